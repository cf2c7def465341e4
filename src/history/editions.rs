//! Which runs count in an edition, and what it corrects.

use crate::dataset::types::{Dataset, Day, Edition, Run};

/// What a run is to an edition.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// It counts.
    Counts,
    /// It is set aside.
    SetAside,
    /// It is a draft, comes later, or is a control run: the edition's results know nothing of it.
    None,
}

/// What `run` is to edition `edition`: it counts if it belongs to that edition or an earlier one,
/// is no control run and is not set aside by that edition or an earlier one.
pub fn part_of(run: &Run, edition: u32) -> Part {
    match (
        is_published(run, edition) && !is_control(run),
        is_set_aside(run, edition),
    ) {
        (false, _) => Part::None,
        (true, true) => Part::SetAside,
        (true, false) => Part::Counts,
    }
}

/// Whether `run` is a control run that edition `edition` knows of and does not set aside.
pub fn controls(run: &Run, edition: u32) -> bool {
    is_control(run) && is_published(run, edition) && !is_set_aside(run, edition)
}

fn is_control(run: &Run) -> bool {
    run.control.unwrap_or(false)
}

fn is_published(run: &Run, edition: u32) -> bool {
    run.edition.is_some_and(|first| first <= edition)
}

fn is_set_aside(run: &Run, edition: u32) -> bool {
    let exclusion = run.excluded.as_ref();
    exclusion
        .and_then(|exclusion| exclusion.edition)
        .is_some_and(|since| since <= edition)
}

/// The factor by which edition `edition` multiplies the torque of the runs of a day: the product
/// of the factors of all corrections up to it.
pub fn torque_factor(editions: &[Edition], day: &str, edition: u32) -> f64 {
    let factors = torque_factors(editions, day, edition);
    factors.map(|made| made.factor).product()
}

/// As [`torque_factor`], without the factors that check runs of the day gave: scatters and charts of
/// check runs are those of values without them.
pub fn torque_factor_before_checks(editions: &[Edition], day: &str, edition: u32) -> f64 {
    let factors = torque_factors(editions, day, edition);
    let before = factors.filter(|made| !made.from_checks);
    before.map(|made| made.factor).product()
}

/// Whether edition `edition` corrects a day by what its check runs show.
pub fn is_corrected_by_checks(editions: &[Edition], day: &str, edition: u32) -> bool {
    torque_factors(editions, day, edition).any(|made| made.from_checks)
}

/// A factor that a correction multiplies torque by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FactorMade {
    /// Number of the edition that makes the correction.
    pub edition: u32,
    /// The factor.
    pub factor: f64,
    /// Whether it is what check runs show.
    pub from_checks: bool,
}

/// The factors of all corrections up to edition `edition` on the torque of the runs of a day.
pub fn torque_factors<'a>(
    editions: &'a [Edition],
    day: &'a str,
    edition: u32,
) -> impl Iterator<Item = FactorMade> + 'a {
    let until = editions
        .iter()
        .filter(move |other| other.edition <= edition);
    let corrections = until.flat_map(|other| {
        let corrections = other.corrections.iter();
        corrections.map(move |correction| (other.edition, correction))
    });
    corrections
        .filter(move |(_, correction)| correction.days.iter().any(|other| other == day))
        .filter_map(|(edition, correction)| {
            Some(FactorMade {
                edition,
                factor: correction.torque_factor?,
                from_checks: correction.from_checks.unwrap_or_default(),
            })
        })
}

/// Editions that are dated before a run that they publish: their indices, and the latest day of such
/// a run. A draft edition is published by nobody.
pub fn before_their_runs(dataset: &Dataset) -> Vec<(usize, &Day)> {
    let editions = dataset.editions.iter().enumerate();
    let published = editions.filter(|(_, edition)| !edition.is_draft());
    let latest = |(index, edition): (usize, &Edition)| {
        let runs = dataset
            .runs
            .iter()
            .filter(|run| run.edition == Some(edition.edition));
        let days = runs.filter_map(|run| dataset.days.iter().find(|day| day.id == run.day));
        let latest = days.max_by(|a, b| a.date.cmp(&b.date))?;
        (latest.date > edition.date).then_some((index, latest))
    };
    published.filter_map(latest).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dataset::types::{Correction, Exclusion};

    fn run(edition: Option<u32>, excluded: Option<u32>) -> Run {
        let excluded = excluded.map(|edition| Exclusion {
            reason: "slipped".into(),
            edition: Some(edition),
        });
        Run {
            edition,
            excluded,
            ..Run::default()
        }
    }

    #[test]
    fn a_run_counts_from_its_edition_until_it_is_set_aside() {
        let run = run(Some(2), Some(4));
        let parts: Vec<Part> = (1..=5).map(|edition| part_of(&run, edition)).collect();
        assert_eq!(
            parts,
            [
                Part::None,
                Part::Counts,
                Part::Counts,
                Part::SetAside,
                Part::SetAside
            ]
        );
    }

    #[test]
    fn drafts_and_control_runs_never_count() {
        assert_eq!(part_of(&run(None, None), 9), Part::None);
        assert_eq!(
            part_of(
                &Run {
                    control: Some(true),
                    ..run(Some(1), None)
                },
                9
            ),
            Part::None
        );
    }

    #[test]
    fn control_runs_serve_from_their_edition_until_they_are_set_aside() {
        let control = Run {
            control: Some(true),
            ..run(Some(2), Some(4))
        };
        let serves: Vec<bool> = (1..=4).map(|edition| controls(&control, edition)).collect();
        assert_eq!(serves, [false, true, true, false]);
        assert!(!controls(&run(Some(1), None), 2));
    }

    #[test]
    fn an_edition_is_not_older_than_its_runs() {
        let day = |id: &str| Day {
            id: id.into(),
            date: id.into(),
            ..Day::default()
        };
        let edition = |edition, draft| Edition {
            edition,
            date: "2026-03-02".into(),
            draft,
            ..Edition::default()
        };
        let of = |day: &str, edition| Run {
            day: day.into(),
            ..run(Some(edition), None)
        };
        let dataset = Dataset {
            editions: vec![edition(1, None), edition(2, None), edition(3, Some(true))],
            days: vec![day("2026-03-02"), day("2026-03-03"), day("2026-03-04")],
            runs: vec![
                of("2026-03-02", 1),
                of("2026-03-04", 2),
                of("2026-03-03", 2),
                of("2026-03-04", 3),
            ],
            ..Dataset::default()
        };
        let found = before_their_runs(&dataset);
        let found: Vec<_> = found
            .iter()
            .map(|(index, day)| (*index, day.id.as_str()))
            .collect();
        assert_eq!(found, [(1, "2026-03-04")]);
    }

    #[test]
    fn factors_of_several_corrections_multiply() {
        let correction = |factor, day: &str| Correction {
            text: String::new(),
            tools: Vec::new(),
            days: vec![day.into()],
            torque_factor: factor,
            from_checks: None,
        };
        let edition = |edition, corrections| Edition {
            edition,
            corrections,
            ..Edition::default()
        };
        let editions = [
            edition(1, vec![]),
            edition(2, vec![correction(Some(0.5), "a"), correction(None, "a")]),
            edition(
                3,
                vec![correction(Some(3.0), "a"), correction(Some(7.0), "b")],
            ),
        ];
        let factors: Vec<f64> = (1..=3)
            .map(|edition| torque_factor(&editions, "a", edition))
            .collect();
        assert_eq!(factors, [1.0, 0.5, 1.5]);
    }
}
