//! Estimates against what is true: every measured pair is left out in turn, where its tool and its
//! pack were each run with others.

use crate::bench::luck;
use crate::blows::random::between;
use crate::campaign::{Made, Runs, make_runs};
use crate::field::Field;
use crate::judge::{Plan, catalogue, every, written};
use crate::tally::{Claim, GUESSES, Guess, JUST, LIMITS_S, Tally, rate};
use crate::truth::{self, Pair};
use jobtorque::answer::data::Answer;
use jobtorque::dataset::types::Run;
use jobtorque::query::question::Question;
use jobtorque::query::verdict::{Basis, Verdict};
use jobtorque::results::Results;

/// A field without one of its pairs, and what is true of that pair.
struct LeftOut<'a> {
    field: &'a Field,
    results: Results,
    pair: (usize, usize),
    truth: &'a Pair,
}

/// Simulates fields, and judges the estimate of every pair left out.
pub fn carry_out(plan: Plan) -> Vec<Tally> {
    every(plan.fields, |field| {
        let field = field.clone().with_interaction();
        let truth = truth::of(&field, plan.typical, plan.tries);
        let runs = make_runs(&field, Runs::ThreeToFive);
        let mut rng = luck(0x40, field.index);
        let mut tally = Tally::new(field.replicated, field.pairs.len());
        for (&pair, truth) in field.pairs.iter().zip(&truth) {
            let others = |same: fn((usize, usize)) -> usize| {
                let of = field
                    .pairs
                    .iter()
                    .filter(|&&other| same(other) == same(pair));
                of.count() > 1
            };
            if !(others(|pair| pair.0) && others(|pair| pair.1)) {
                continue;
            }
            let is_it =
                |run: &Run| run.tool == pair.0.to_string() && run.pack == pair.1.to_string();
            let rest = runs.iter().filter(|run| !is_it(run)).cloned().collect();
            let left_out = LeftOut {
                field: &field,
                results: Made::of(&field, rest).results(&field, catalogue()),
                pair,
                truth,
            };
            left_out.judge(plan.torques, &mut rng, &mut tally);
        }
        tally
    })
}

/// What estimates must keep to.
pub struct Bounds {
    /// The least and the largest share of tries that stay in the band at each limit.
    pub band_percent: [(f64, f64); 3],
    /// The least share of tries that hold a job "within reach".
    pub within_reach_percent: f64,
    /// The least and the largest share of tries that hold the 19-of-20 torque.
    pub nineteen_percent: (f64, f64),
}

impl Bounds {
    /// Holds every claim about estimates against these bounds.
    pub fn check(&self, tallies: &[Tally]) {
        let of = |wanted: Claim| rate(tallies.iter(), |claim| claim == wanted);
        let mut missed = Vec::new();
        let mut hold = |claim: Claim, (least, most): (f64, f64)| {
            let rate = of(claim);
            if !(least..=most).contains(&rate.percent) {
                missed.push(format!("{claim:?}: {rate:?}"));
            }
        };
        for (limit, band) in self.band_percent.into_iter().enumerate() {
            hold(Claim::Band(Guess::Estimate, limit), band);
            let least = (self.within_reach_percent, 100.0);
            hold(Claim::EstimatedWithinReach(limit), least);
            hold(Claim::EstimatedJustWithinReach(limit), least);
        }
        hold(Claim::EstimatedNineteenOfTwenty, self.nineteen_percent);
        for limit in 0..LIMITS_S.len() {
            let [estimate, tool, pack] = GUESSES.map(|guess| of(Claim::Off(guess, limit)).stated);
            if estimate >= tool.min(pack) {
                missed.push(format!("{estimate} is no better than {tool} or {pack}"));
            }
        }
        assert!(missed.is_empty(), "{}", missed.join("\n"));
    }
}

impl LeftOut<'_> {
    fn question(&self, needed_nm: f64, within_s: f64) -> Question {
        Question {
            tool: Some(self.pair.0.to_string()),
            pack: Some(self.pair.1.to_string()),
            job: Some(format!("{needed_nm:.1} N·m")),
            within_s: Some(within_s),
            ..Default::default()
        }
    }

    fn ask(&self, needed_nm: f64, within_s: f64) -> Answer {
        let question = self.question(needed_nm, within_s);
        self.results.ask(&question).unwrap()
    }

    fn judge(&self, torques: usize, rng: &mut rand_pcg::Pcg32, tally: &mut Tally) {
        let answer = self.ask(100.0, LIMITS_S[0]);
        if answer.basis != Basis::Estimate {
            // Nothing links its tool and its pack any more.
            return;
        }
        self.guesses(tally);
        let held_nm = answer.torque_19_of_20_nm.unwrap();
        let held = self.tries(LIMITS_S[0]).map(|try_nm| try_nm >= held_nm);
        tally.note(Claim::EstimatedNineteenOfTwenty, 0.95, held);
        for (limit, within_s) in LIMITS_S.into_iter().enumerate() {
            let about_nm = self.truth.torque_at(within_s);
            for _ in 0..torques {
                let needed_nm = written(about_nm * libm::exp(between(rng, -0.25, 0.15)));
                let answer = self.ask(needed_nm, within_s);
                let probability = answer.reach_probability.unwrap();
                let tries = || self.tries(within_s).map(|try_nm| try_nm >= needed_nm);
                let tenth = ((10.0 * probability) as usize).min(9);
                tally.note(Claim::EstimatedTenth(limit, tenth), probability, tries());
                if answer.verdict == Some(Verdict::WithinReach) {
                    tally.note(Claim::EstimatedWithinReach(limit), probability, tries());
                    if probability < JUST {
                        let claim = Claim::EstimatedJustWithinReach(limit);
                        tally.note(claim, probability, tries());
                    }
                }
            }
        }
    }

    /// Torques of further tries, as a right rig reads them.
    fn tries(&self, time_s: f64) -> impl Iterator<Item = f64> {
        let tries = self.truth.tries.iter();
        tries.map(move |run| run.torque_at(time_s))
    }

    /// The estimate and the plain means against the true typical torque and against further tries,
    /// as this rig reads them. The band about a plain mean is as wide as that about the estimate.
    fn guesses(&self, tally: &mut Tally) {
        let curves = self.results.curves(&self.question(100.0, LIMITS_S[0]));
        let curves = curves.unwrap();
        let (estimate, gain) = (&curves.curves[0], self.field.gain);
        assert!(estimate.estimate);
        for (limit, time_s) in LIMITS_S.into_iter().enumerate() {
            let true_nm = self.truth.torque_at(time_s) * gain;
            let &(_, low_nm, high_nm) = estimate
                .band
                .iter()
                .min_by(|a, b| (a.0 - time_s).abs().total_cmp(&(b.0 - time_s).abs()))
                .unwrap();
            let half = (high_nm / low_nm).sqrt();
            for guess in GUESSES {
                let guess_nm = match guess {
                    Guess::Estimate => estimate.combination.torque_at(time_s),
                    Guess::ToolMean => self.mean_of(|pair| pair.0, time_s),
                    Guess::PackMean => self.mean_of(|pair| pair.1, time_s),
                };
                let off = libm::log(guess_nm / true_nm);
                tally.note(Claim::Off(guess, limit), off * off, std::iter::empty());
                let held = self.tries(time_s).map(|try_nm| {
                    let read_nm = try_nm * gain;
                    (guess_nm / half..=guess_nm * half).contains(&read_nm)
                });
                tally.note(Claim::Band(guess, limit), 0.9, held);
            }
        }
    }

    /// The geometric mean, at an instant, of the typical curves of the other pairs with the same tool
    /// or the same pack.
    fn mean_of(&self, same: fn((usize, usize)) -> usize, time_s: f64) -> f64 {
        let others = self.field.pairs.iter();
        let others = others.filter(|&&other| other != self.pair && same(other) == same(self.pair));
        let logs: Vec<f64> = others
            .map(|pair| {
                let question = Question {
                    tool: Some(pair.0.to_string()),
                    pack: Some(pair.1.to_string()),
                    job: Some("100 N·m".into()),
                    ..Default::default()
                };
                let curves = self.results.curves(&question).unwrap();
                curves.curves[0].combination.log_torque_at(time_s)
            })
            .collect();
        libm::exp(logs.iter().sum::<f64>() / logs.len() as f64)
    }
}
