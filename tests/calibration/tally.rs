//! What was claimed, and how often it was so.

use crate::campaign::Runs;
use crate::likeness::{Between, Equivalence};
use jobtorque::query::question::Score;
use std::collections::BTreeMap;

/// A job, by how many pairs of the field reach it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Job {
    /// Half of what the weakest pair reaches.
    Light,
    /// Nineteen in twenty pairs reach it.
    Easy,
    /// Half of them.
    Middle,
    /// One in ten.
    Hard,
}

/// What a place was counted by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum By {
    /// Time to a job on the typical curve.
    Typical(Job),
    /// Best of three for a job.
    BestOfThree(Job),
    /// Mean torque.
    Mean,
    /// Torque at one second.
    Early,
}

/// Every claim about places.
pub fn places() -> Vec<Claim> {
    let jobs = [Job::Light, Job::Easy, Job::Middle, Job::Hard];
    let mut by: Vec<By> = jobs.map(By::Typical).into();
    by.extend([By::Mean, By::Early]);
    let two = by.clone().into_iter().map(|by| Claim::Place(Runs::Two, by));
    let best_of_three = jobs.map(By::BestOfThree);
    let more = by.into_iter().chain(best_of_three);
    more.map(|by| Claim::Place(Runs::ThreeToFive, by))
        .chain(two)
        .collect()
}

impl By {
    /// By a score for a job.
    pub fn job(score: Score, job: Job) -> Self {
        match score {
            Score::Typical => Self::Typical(job),
            Score::BestOfThree => Self::BestOfThree(job),
        }
    }
}

/// A claim that simulation can judge.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Claim {
    /// The interval of a place holds the true rank.
    Place(Runs, By),
    /// A probability in this tenth, for a limit (a place in [`LIMITS_S`]).
    Tenth(usize, usize),
    /// "Within reach", for a limit.
    WithinReach(usize),
    /// "Within reach", where the probability is below [`JUST`].
    JustWithinReach(usize),
    /// The torque that nineteen of twenty tries reach.
    NineteenOfTwenty,
    /// What is said of two that are alike or differ by a margin (a place in
    /// [`crate::likeness::MARGINS_PERCENT`]).
    Alike(Between, Equivalence, usize),
    /// The interval of a ratio holds the true one; stated is half its width in per cent.
    Ratio(Compared),
    /// As these, of estimates of pairs that were left out: a probability in this tenth, ...
    EstimatedTenth(usize, usize),
    /// ... "within reach", ...
    EstimatedWithinReach(usize),
    /// ... the same where the probability is below [`JUST`], ...
    EstimatedJustWithinReach(usize),
    /// ... the torque that nineteen of twenty tries reach, ...
    EstimatedNineteenOfTwenty,
    /// ... and the band that 90 of 100 tries stay in, about this guess, at this instant (a place in
    /// [`LIMITS_S`]).
    Band(Guess, usize),
    /// How far a guess is from the true typical torque at this instant: the square of the logarithm
    /// of their ratio is what is stated.
    Off(Guess, usize),
}

/// What is compared by a ratio.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Compared {
    /// Packs on one tool, these very units and specimens.
    PacksAsTested,
    /// Packs on one tool, their kinds.
    PacksOfKinds,
    /// Tools on one pack, their kinds.
    ToolsOfKinds,
}

/// What a pair that was left out is guessed by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Guess {
    /// The estimate.
    Estimate,
    /// The mean of the tool's other packs.
    ToolMean,
    /// The mean of the pack's other tools.
    PackMean,
}

/// Every guess.
pub const GUESSES: [Guess; 3] = [Guess::Estimate, Guess::ToolMean, Guess::PackMean];

/// Limits in time of the questions about reach, s.
pub const LIMITS_S: [f64; 3] = [5.0, 1.0, 0.4];

/// Below this a job within reach is only just so: those far within reach are certain, and say
/// little.
pub const JUST: f64 = 0.98;

/// How often a claim was made and came true.
#[derive(Clone, Copy, Debug, Default)]
pub struct Count {
    /// Claims.
    pub claims: f64,
    /// Trials of them: one for a place, every further try for a probability.
    pub trials: f64,
    /// Trials in which it was so.
    pub so: f64,
    /// Sum over claims of what was stated: the probability, or how many places the interval has.
    pub stated: f64,
}

/// The claims made about one field.
#[derive(Clone, Debug, Default)]
pub struct Tally {
    /// How many of its tools were tested in several specimens.
    pub replicated: usize,
    /// Pairs in the field.
    pub pairs: usize,
    counts: BTreeMap<Claim, Count>,
}

impl Tally {
    /// An empty one.
    pub fn new(replicated: usize, pairs: usize) -> Self {
        Self {
            replicated,
            pairs,
            ..Default::default()
        }
    }

    /// Notes a claim: what was stated, and whether each trial bore it out.
    pub fn note(&mut self, claim: Claim, stated: f64, trials: impl Iterator<Item = bool>) {
        let count = self.counts.entry(claim).or_default();
        count.claims += 1.0;
        count.stated += stated;
        for so in trials {
            count.trials += 1.0;
            count.so += f64::from(so);
        }
    }
}

impl Tally {
    /// Notes what is said of two that are alike, or differ by a margin.
    pub fn note_likeness(&mut self, between: Between, claim: Equivalence, margin: usize, so: bool) {
        let claim = Claim::Alike(between, claim, margin);
        self.note(claim, 0.0, std::iter::once(so));
    }
}

/// How often a claim came true over many fields.
#[derive(Clone, Copy, Debug)]
pub struct Rate {
    /// Share of the trials in which it was so, in per cent.
    pub percent: f64,
    /// Standard error of that, in points. Runs of one field share their luck, so it comes from the
    /// differences between fields: a ratio of sums over independent clusters.
    pub se: f64,
    /// Mean of what was stated.
    pub stated: f64,
    /// Claims.
    pub claims: f64,
    /// Trials.
    pub trials: f64,
}

/// How often the claims that `of` picks came true.
pub fn rate<'a>(tallies: impl Iterator<Item = &'a Tally>, of: impl Fn(Claim) -> bool) -> Rate {
    let fields: Vec<Count> = tallies
        .map(|tally| {
            let picked = tally.counts.iter().filter(|(claim, _)| of(**claim));
            picked.fold(Count::default(), |sum, (_, count)| sum.plus(count))
        })
        .collect();
    let all = fields
        .iter()
        .fold(Count::default(), |sum, one| sum.plus(one));
    let share = all.so / all.trials;
    let squares: f64 = fields
        .iter()
        .map(|one| (one.so - share * one.trials) * (one.so - share * one.trials))
        .sum();
    Rate {
        percent: 100.0 * share,
        se: 100.0 * squares.sqrt() / all.trials,
        stated: all.stated / all.claims,
        claims: all.claims,
        trials: all.trials,
    }
}

impl Count {
    fn plus(self, other: &Self) -> Self {
        Self {
            claims: self.claims + other.claims,
            trials: self.trials + other.trials,
            so: self.so + other.so,
            stated: self.stated + other.stated,
        }
    }
}
