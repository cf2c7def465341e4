//! Asks about a measured field, and holds the answers against what is true.

use crate::bench::luck;
use crate::blows::random::between;
use crate::campaign::{Runs, measure};
use crate::field::Field;
use crate::tally::{By, Claim, JUST, Job, LIMITS_S, Tally};
use crate::truth::{self, Pair, WINDOW_S, ranks};
use jobtorque::answer::data::Answer;
use jobtorque::query::question::{Measure, Question, Score};
use jobtorque::query::verdict::{Basis, Verdict};
use jobtorque::results::Results;
use jobtorque::run::measures::Measures;
use jobtorque::text::catalogue::Catalogue;
use std::sync::LazyLock;
use std::sync::atomic::{AtomicU64, Ordering};

/// How much is simulated.
#[derive(Clone, Copy, Debug)]
pub struct Plan {
    /// Fields.
    pub fields: u64,
    /// Runs behind the true typical curve of a pair.
    pub typical: usize,
    /// Further tries of a pair, each on a fresh specimen.
    pub tries: usize,
    /// Torques asked about, for each limit in time.
    pub torques: usize,
}

/// How many fields are worked on at once.
const THREADS: usize = 2;

/// Judges so many fields, each by itself.
pub fn every(fields: u64, judge: impl Fn(&Field) -> Tally + Sync) -> Vec<Tally> {
    indices(fields, |index| judge(&Field::draw(index)))
}

/// Judges so many fields by their numbers.
pub fn indices(fields: u64, judge: impl Fn(u64) -> Tally + Sync) -> Vec<Tally> {
    let next = AtomicU64::new(0);
    let work = || {
        let mut done = Vec::new();
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            if index >= fields {
                return done;
            }
            done.push((index, judge(index)));
        }
    };
    let mut done = std::thread::scope(|scope| {
        let threads: Vec<_> = (0..THREADS).map(|_| scope.spawn(work)).collect();
        let done = threads.into_iter().map(|thread| thread.join().unwrap());
        done.flatten().collect::<Vec<_>>()
    });
    done.sort_by_key(|(index, _)| *index);
    done.into_iter().map(|(_, tally)| tally).collect()
}

impl Plan {
    /// Simulates and judges every field.
    pub fn carry_out(self) -> Vec<Tally> {
        every(self.fields, |field| self.judge(field))
    }

    fn judge(self, field: &Field) -> Tally {
        let truth = truth::of(field, self.typical, self.tries);
        let measured = |runs| Judge {
            field,
            truth: &truth,
            results: measure(field, runs, catalogue()),
            runs,
        };
        let mut tally = Tally::new(field.replicated, field.pairs.len());
        let judge = measured(Runs::ThreeToFive);
        judge.places(&mut tally);
        judge.reach(self.torques, &mut tally);
        judge.nineteen_of_twenty(&mut tally);
        measured(Runs::Two).places(&mut tally);
        tally
    }
}

/// The language of what is asked.
pub fn catalogue() -> Catalogue {
    static READ: LazyLock<Catalogue> =
        LazyLock::new(|| serde_json::from_str(include_str!("../../www/texts/en.json")).unwrap());
    READ.clone()
}

/// A measured field and what is true of it.
struct Judge<'a> {
    field: &'a Field,
    truth: &'a [Pair],
    results: Results,
    runs: Runs,
}

impl Judge<'_> {
    /// Asks about every measured pair: its place in the field, and the answer.
    fn ask(&self, question: &Question) -> Vec<(usize, Answer)> {
        let mut list = self.results.ask(question).unwrap().list.unwrap();
        list.retain(|answer| answer.basis == Basis::Measured);
        let place = |answer: &Answer| self.place(answer.tool.as_deref(), answer.pack.as_deref());
        list.into_iter()
            .map(|answer| (place(&answer), answer))
            .collect()
    }

    fn place(&self, tool: Option<&str>, pack: Option<&str>) -> usize {
        let pair: [usize; 2] = [tool, pack].map(|id| id.unwrap().parse().unwrap());
        let mut pairs = self.field.pairs.iter();
        pairs
            .position(|&(tool, pack)| [tool, pack] == pair)
            .unwrap()
    }

    /// Torques of the field's true typical curves at an instant, from the least.
    fn torques_at(&self, time_s: f64) -> Vec<f64> {
        let mut torques: Vec<f64> = self
            .truth
            .iter()
            .map(|pair| pair.torque_at(time_s))
            .collect();
        torques.sort_by(f64::total_cmp);
        torques
    }

    /// Intervals of places against true ranks.
    fn places(&self, tally: &mut Tally) {
        let at_end = self.torques_at(WINDOW_S);
        for (job, torque_nm) in [
            (Job::Light, 0.5 * at_end[0]),
            (Job::Easy, quantile(&at_end, 0.05)),
            (Job::Middle, quantile(&at_end, 0.5)),
            (Job::Hard, quantile(&at_end, 0.9)),
        ] {
            let needed_nm = written(torque_nm * self.field.gain);
            for score in [Score::Typical, Score::BestOfThree] {
                if (self.runs, score) == (Runs::Two, Score::BestOfThree) {
                    continue;
                }
                self.job_places(needed_nm, score, By::job(score, job), tally);
            }
        }
        self.measure_places(Measure::Mean, By::Mean, |m| m.mean_nm, tally);
        self.measure_places(Measure::Early, By::Early, |m| m.early_nm, tally);
    }

    fn job_places(&self, needed_nm: f64, score: Score, by: By, tally: &mut Tally) {
        // A rank is one on this rig: what the rig reads as this is what is there by its gain.
        let there_nm = needed_nm / self.field.gain;
        let key = |pair: &Pair| match score {
            Score::Typical => pair.by_time(there_nm),
            Score::BestOfThree => pair.by_best_of_three(there_nm),
        };
        let truth = ranks(&self.truth.iter().map(key).collect::<Vec<_>>());
        let question = Question {
            job: Some(format!("{needed_nm:.1} N·m")),
            score: Some(score),
            ..Default::default()
        };
        for (place, answer) in self.ask(&question) {
            let interval = (answer.rank_low.unwrap(), answer.rank_high.unwrap());
            self.note_place(by, interval, truth[place], tally);
        }
    }

    fn measure_places(
        &self,
        measure: Measure,
        by: By,
        torque_nm: fn(&Measures) -> f64,
        tally: &mut Tally,
    ) {
        let key = |pair: &Pair| {
            let log = pair.log_mean(|run| torque_nm(&Measures::of(run, WINDOW_S)));
            (0, -log)
        };
        let truth = ranks(&self.truth.iter().map(key).collect::<Vec<_>>());
        let question = Question {
            by: Some(measure),
            ..Default::default()
        };
        for row in self.results.table(&question).unwrap().rows {
            let place = self.place(Some(&row.tool), Some(&row.pack));
            let interval = (row.rank_low.unwrap(), row.rank_high.unwrap());
            self.note_place(by, interval, truth[place], tally);
        }
    }

    fn note_place(&self, by: By, (low, high): (u32, u32), truth: u32, tally: &mut Tally) {
        let covers = (low..=high).contains(&truth);
        tally.note(
            Claim::Place(self.runs, by),
            f64::from(high - low + 1),
            std::iter::once(covers),
        );
    }

    /// Probabilities and verdicts against further tries.
    fn reach(&self, torques: usize, tally: &mut Tally) {
        let mut rng = luck(0x20, self.field.index);
        for (limit, &within_s) in LIMITS_S.iter().enumerate() {
            let at_limit = self.torques_at(within_s);
            let (least_nm, most_nm) = (0.85 * at_limit[0], 1.15 * at_limit[at_limit.len() - 1]);
            for _ in 0..torques {
                let log_nm = between(&mut rng, libm::log(least_nm), libm::log(most_nm));
                self.reach_within(written(libm::exp(log_nm)), limit, within_s, tally);
            }
        }
    }

    fn reach_within(&self, needed_nm: f64, limit: usize, within_s: f64, tally: &mut Tally) {
        let question = Question {
            job: Some(format!("{needed_nm:.1} N·m")),
            within_s: Some(within_s),
            ..Default::default()
        };
        for (place, answer) in self.ask(&question) {
            let probability = answer.reach_probability.unwrap();
            let tries = || {
                let tries = self.truth[place].tries.iter();
                tries.map(|run| run.torque_at(within_s) >= needed_nm)
            };
            let tenth = ((10.0 * probability) as usize).min(9);
            tally.note(Claim::Tenth(limit, tenth), probability, tries());
            if answer.verdict == Some(Verdict::WithinReach) {
                tally.note(Claim::WithinReach(limit), probability, tries());
                if probability < JUST {
                    tally.note(Claim::JustWithinReach(limit), probability, tries());
                }
            }
        }
    }

    /// The 19-of-20 torque against further tries.
    fn nineteen_of_twenty(&self, tally: &mut Tally) {
        for row in self.results.table(&Question::default()).unwrap().rows {
            let place = self.place(Some(&row.tool), Some(&row.pack));
            let held_nm = row.torque_19_of_20_nm.unwrap();
            let tries = self.truth[place].tries.iter();
            let held = tries.map(|run| run.torque_at(WINDOW_S) >= held_nm);
            tally.note(Claim::NineteenOfTwenty, 0.95, held);
        }
    }
}

/// A torque as it is written in a question: to the tenth of a newton metre.
pub fn written(torque_nm: f64) -> f64 {
    (10.0 * torque_nm).round() / 10.0
}

/// A quantile of sorted values, linear between them.
pub fn quantile(sorted: &[f64], share: f64) -> f64 {
    let place = share * (sorted.len() - 1) as f64;
    let (low, part) = (place as usize, place % 1.0);
    let high = (low + 1).min(sorted.len() - 1);
    sorted[low] + part * (sorted[high] - sorted[low])
}
