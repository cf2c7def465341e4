//! How sure places are where specimens, packs and days are shared, against `spread.py`: the sums as
//! defined, and errors drawn at random.

use super::close::{assert_near, assert_within, fixture};
use jobtorque::ranking::spread::{Doubt, Doubtful, Entries};
use jobtorque::scatter::Scatter;
use jobtorque::scatter::shares::Factor;
use serde::Deserialize;

#[derive(Deserialize)]
struct Fixture {
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    name: String,
    by: By,
    /// Of specimens, pack specimens, days and runs.
    sds: [f64; 4],
    places: Vec<Place>,
    se: Vec<f64>,
    mean: Vec<f64>,
    sd: Vec<f64>,
    mean_drawn: Vec<f64>,
    sd_drawn: Vec<f64>,
}

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "lowercase")]
enum By {
    Measure,
    Job,
}

#[derive(Deserialize)]
struct Place {
    tool: usize,
    level: f64,
    q: f64,
    /// Kind, number, share.
    shares: Vec<(String, usize, f64)>,
}

/// A level by a measure, or a curve exp(level)(1 − exp(−t − 0.01)) on its way to 1.
struct Told {
    by: By,
    level: f64,
    doubt: Doubt,
}

const WINDOW_S: f64 = 5.0;

impl Told {
    fn curve(&self, time_s: f64) -> f64 {
        self.level + libm::log(1.0 - libm::exp(-time_s - 0.01))
    }
}

impl Doubtful for Told {
    fn at(&self, course: f64) -> f64 {
        match self.by {
            By::Measure => self.level + course,
            By::Job => self.curve(course.min(WINDOW_S)) + (course - WINDOW_S).max(0.0),
        }
    }

    fn comes_to(&self, level: f64) -> f64 {
        let short = level - self.curve(WINDOW_S);
        match self.by {
            By::Measure => level - self.level,
            By::Job if short > 0.0 => WINDOW_S + short,
            By::Job => (-libm::log(1.0 - libm::exp(level - self.level)) - 0.01).max(0.0),
        }
    }

    fn doubt(&self) -> &Doubt {
        &self.doubt
    }
}

impl Case {
    fn levels(&self) -> Vec<Told> {
        let [specimen, pack, day, run] = self.sds;
        let level = |place: &Place| {
            let loading = |(kind, name, share): &(String, usize, f64)| match kind.as_str() {
                "specimen" => (Factor::Specimen(*name), share * specimen),
                "pack" => (Factor::Pack(*name), share * pack),
                _ => (Factor::Day(*name), share * day),
            };
            let mut loadings: Vec<(Factor, f64)> = place.shares.iter().map(loading).collect();
            loadings.sort_by_key(|(factor, _)| *factor);
            let squares: f64 = loadings.iter().map(|(_, own)| own * own).sum();
            let doubt = Doubt {
                se: (squares + run * run * place.q).sqrt(),
                nu: 9.0,
                tool: place.tool,
                loadings,
            };
            Told {
                by: self.by,
                level: place.level,
                doubt,
            }
        };
        self.places.iter().map(level).collect()
    }
}

#[test]
fn mean_and_deviation_are_the_sums_as_defined() {
    let fixture: Fixture = fixture("spread.json");
    assert!(fixture.cases.len() >= 8);
    for case in &fixture.cases {
        let levels = case.levels();
        let (places, at_once) = (Entries::of(&levels), Entries::of(&levels).spreads());
        for (place, level) in levels.iter().enumerate() {
            let what = format!("{}, {place}", case.name);
            assert_near(level.doubt.se, case.se[place], &what);
            let plain = places.spread(place).unwrap();
            assert_near(plain.mean, case.mean[place], &what);
            assert_near(plain.sd, case.sd[place], &what);
            assert_within(at_once[place].mean, plain.mean, 0.06, &what);
            assert_within(at_once[place].sd, plain.sd, 0.06, &what);
        }
    }
}

#[test]
fn mean_and_deviation_are_nearly_those_of_errors_that_are_drawn() {
    let fixture: Fixture = fixture("spread.json");
    for case in &fixture.cases {
        for (place, spread) in Entries::of(&case.levels()).spreads().iter().enumerate() {
            let what = format!("{}, {place}", case.name);
            assert_within(spread.mean, case.mean_drawn[place], 0.15, &what);
            let drawn = case.sd_drawn[place];
            assert_within(spread.sd, drawn, (0.1 * drawn).max(0.05), &what);
        }
    }
}

#[test]
fn a_place_knows_its_error_by_its_shares() {
    use jobtorque::scatter::cells::Run;
    use jobtorque::scatter::shares::{Scatters, Shares};
    let known = |sd: f64| Scatter {
        variance: sd * sd,
        nu: 9.0,
    };
    let scatters = Scatters {
        specimen: known(0.03),
        pack: known(0.02),
        day: known(0.01),
        corrected_days: vec![(5, 0.25e-4)],
    };
    let run = Run {
        tool: 2,
        pair: 0,
        specimen: 7,
        pack: 4,
        day: 5,
    };
    let doubt = Doubt::of(2, &Shares::of_mean(&[run; 4]), &scatters, known(0.02));
    assert_near(doubt.se * doubt.se, 9e-4 + 4e-4 + 0.25e-4 + 1e-4, "se²");
    let wanted = [
        (Factor::Specimen(7), 0.03),
        (Factor::Pack(4), 0.02),
        (Factor::Day(5), 0.005),
    ];
    assert_eq!(doubt.loadings.len(), 3);
    for ((factor, loading), (wanted, size)) in doubt.loadings.iter().zip(wanted) {
        assert_eq!(*factor, wanted);
        assert_near(*loading, size, "loading");
    }
}
