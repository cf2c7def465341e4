//! Asks about a measured field, and holds the answers against what is true of it.

use super::campaign::{Measured, measure};
use super::scenario::Scenario;
use super::world::World;
use crate::bench::luck;
use crate::blows::random::between;
use crate::campaign::Runs;
use crate::judge::{quantile, written};
use crate::likeness::{Between, Equivalence};
use crate::tally::{By, Claim, Compared, Job, Tally};
use crate::truth::{WINDOW_S, ranks};
use jobtorque::compare::data::{CompareVerdict, Comparison, Ratio};
use jobtorque::query::question::{MOST_BESIDE, Measure, PairIds, Question};
use jobtorque::run::measures::Measures;
use jobtorque::study::Kept;
use jobtorque::table::data::Table;
use rand_pcg::Pcg32;

/// How much is asked of a field.
#[derive(Clone, Copy, Debug)]
pub struct Plan {
    /// Fields.
    pub fields: u64,
    /// Further tries of each pair; none where only ratios are asked about.
    pub tries: usize,
    /// Torques asked about, beside those of the jobs.
    pub torques: usize,
}

/// How far a torque asked about may be from the true one of some pair (logarithm).
const ABOUT: f64 = 0.12;

/// The jobs, by the share of the pairs that do not reach them.
const JOBS: [(Job, f64); 3] = [(Job::Easy, 0.05), (Job::Middle, 0.5), (Job::Hard, 0.9)];

/// The ratio of the very packs and tools that were tested.
fn as_tested(comparison: &Comparison) -> Ratio {
    comparison.mean_torque_ratio.unwrap()
}

/// The ratio of their kinds.
fn of_kinds(comparison: &Comparison) -> Ratio {
    comparison.mean_torque_ratio_of_kinds.unwrap()
}

/// A measured field, what is true of it, and what was made out about it so far.
struct Judge<'a> {
    world: &'a World,
    measured: &'a Measured,
    /// Logarithm of the mean torque of the kinds of each pair.
    means: Vec<f64>,
    /// Logarithms of the torque at the window's end of the kinds of each pair, ...
    ends: Vec<f64>,
    /// ... and of further tries of each, ascending.
    tries: Vec<Vec<f64>>,
    kept: Option<Kept>,
    tally: Tally,
}

/// Draws field number `index` of a scenario, measures it and judges the answers.
pub fn judge(scenario: &Scenario, plan: Plan, index: u64) -> Tally {
    let mut rng = luck(0x50, index);
    let world = World::draw(scenario, &mut rng);
    let measured = measure(&world, &mut rng);
    let kinds: Vec<_> = (0..world.pairs.len())
        .map(|pair| world.kind(pair))
        .collect();
    let ends: Vec<f64> = kinds
        .iter()
        .map(|kind| kind.log_torque_at(WINDOW_S))
        .collect();
    let mean = |kind| libm::log(Measures::of(kind, WINDOW_S).mean_nm);
    let further = |(pair, end): (usize, &f64)| {
        let tool = world.pairs[pair].tool;
        let one = |_| end + world.further(tool, &mut rng);
        let mut tries: Vec<f64> = (0..plan.tries).map(one).collect();
        tries.sort_by(f64::total_cmp);
        tries
    };
    let tries = ends.iter().enumerate().map(further).collect();
    let mut judge = Judge {
        world: &world,
        measured: &measured,
        means: kinds.iter().map(mean).collect(),
        ends,
        tries,
        kept: None,
        tally: Tally::new(scenario.specimens.0, world.pairs.len()),
    };
    if plan.tries > 0 {
        judge.ranks();
        judge.reach(plan.torques, &mut luck(0x60, index));
    }
    judge.packs();
    judge.tools();
    judge.tally
}

impl Judge<'_> {
    fn table(&mut self, question: &Question) -> Table {
        let results = &self.measured.results;
        let study = match &self.kept {
            Some(kept) => results.study_after(question, kept),
            None => results.study(question),
        };
        let study = study.unwrap();
        self.kept = Some(study.kept());
        study.table().unwrap()
    }

    fn index(&self, tool: &str, pack: &str) -> usize {
        let [tool, pack]: [usize; 2] = [tool, pack].map(|id| id.parse().unwrap());
        let mut pairs = self.world.pairs.iter();
        pairs
            .position(|pair| (pair.tool, pair.pack) == (tool, pack))
            .unwrap()
    }

    /// Intervals of ranks, by mean torque and for the jobs.
    fn ranks(&mut self) {
        let table = self.table(&Question {
            by: Some(Measure::Mean),
            ..Default::default()
        });
        let keys: Vec<_> = self.means.iter().map(|mean| (0, -mean)).collect();
        self.note_ranks(&table, By::Mean, &ranks(&keys));
        self.nineteen_of_twenty(&table);
        let mut ends: Vec<f64> = self.ends.iter().map(|end| libm::exp(*end)).collect();
        ends.sort_by(f64::total_cmp);
        for (job, share) in JOBS {
            let torque_nm = quantile(&ends, share) * libm::exp(self.world.gain);
            let needed_nm = written(torque_nm);
            let table = self.table(&asked(needed_nm));
            // A rank is one on this rig: what the rig reads as this is what is there by its gain.
            let there_nm = needed_nm / libm::exp(self.world.gain);
            let key = |pair: usize| {
                let kind = self.world.kind(pair);
                match kind.time_to(there_nm, WINDOW_S) {
                    Some(time_s) => (0, time_s),
                    None => (1, -kind.torque_at(WINDOW_S)),
                }
            };
            let keys: Vec<_> = (0..self.ends.len()).map(key).collect();
            self.note_ranks(&table, By::Typical(job), &ranks(&keys));
            self.note_reach(&table, needed_nm);
        }
    }

    fn note_ranks(&mut self, table: &Table, by: By, truth: &[u32]) {
        for row in &table.rows {
            let pair = self.index(&row.tool, &row.pack);
            let (low, high) = (row.rank_low.unwrap(), row.rank_high.unwrap());
            let covers = (low..=high).contains(&truth[pair]);
            let claim = Claim::Place(Runs::ThreeToFive, by);
            let places = f64::from(high - low + 1);
            self.tally.note(claim, places, std::iter::once(covers));
        }
    }

    /// The 19-of-20 torque against further tries.
    fn nineteen_of_twenty(&mut self, table: &Table) {
        for row in &table.rows {
            let pair = self.index(&row.tool, &row.pack);
            let held = libm::log(row.torque_19_of_20_nm.unwrap());
            let tries = self.tries[pair].iter().map(|end| *end >= held);
            self.tally.note(Claim::NineteenOfTwenty, 0.95, tries);
        }
    }

    /// Chances at the window's end against further tries.
    fn reach(&mut self, torques: usize, rng: &mut Pcg32) {
        for _ in 0..torques {
            let pair = between(rng, 0.0, self.ends.len() as f64) as usize;
            let about = self.ends[pair] + between(rng, -ABOUT, ABOUT);
            let needed_nm = written(libm::exp(about));
            let table = self.table(&asked(needed_nm));
            self.note_reach(&table, needed_nm);
        }
    }

    fn note_reach(&mut self, table: &Table, needed_nm: f64) {
        let needed = libm::log(needed_nm);
        for row in &table.rows {
            let pair = self.index(&row.tool, &row.pack);
            let probability = row.reach_probability.unwrap();
            let tenth = ((10.0 * probability) as usize).min(9);
            let tries = self.tries[pair].iter().map(|end| *end >= needed);
            self.tally.note(Claim::Tenth(0, tenth), probability, tries);
        }
    }

    /// Packs on each tool, by turns each against up to four others.
    fn packs(&mut self) {
        for tool in 0..self.world.scenario.tools {
            let of_tool = self.pairs_where(|pair| pair.0 == tool);
            self.compared(&of_tool, tool, |judge, comparison, [first, second]| {
                let kinds = judge.means[first] - judge.means[second];
                let tested = &judge.measured.as_tested;
                let here = kinds + tested[first] - tested[second];
                judge.note_ratio(Compared::PacksAsTested, as_tested(comparison), here);
                judge.note_ratio(Compared::PacksOfKinds, of_kinds(comparison), kinds);
                let packs = [first, second].map(|pair| judge.world.pairs[pair].pack);
                let neighbours = packs[0] / 2 == packs[1] / 2;
                if judge.world.scenario.at_margin && neighbours {
                    let called = comparison.verdict == Some(CompareVerdict::Match);
                    let claim = Equivalence::MatchAtMargin;
                    judge.tally.note_likeness(Between::Packs, claim, 0, called);
                }
            });
        }
    }

    /// Tools on each pack, likewise.
    fn tools(&mut self) {
        for pack in 0..self.world.scenario.packs {
            let of_pack = self.pairs_where(|pair| pair.1 == pack);
            self.compared(&of_pack, pack, |judge, comparison, [first, second]| {
                let kinds = judge.means[first] - judge.means[second];
                judge.note_ratio(Compared::ToolsOfKinds, of_kinds(comparison), kinds);
            });
        }
    }

    fn pairs_where(&self, wanted: impl Fn((usize, usize)) -> bool) -> Vec<usize> {
        let pairs = self.world.pairs.iter().enumerate();
        let wanted = pairs.filter(|(_, pair)| wanted((pair.tool, pair.pack)));
        wanted.map(|(index, _)| index).collect()
    }

    /// Compares one of these pairs, another at every turn, with the next ones.
    fn compared(
        &mut self,
        pairs: &[usize],
        turn: usize,
        mut note: impl FnMut(&mut Self, &Comparison, [usize; 2]),
    ) {
        if pairs.len() < 2 {
            return;
        }
        let mut pairs = pairs.to_vec();
        let count = pairs.len();
        pairs.rotate_left(turn % count);
        pairs.truncate(MOST_BESIDE + 1);
        let mut ids = pairs.iter().map(|pair| self.ids(*pair));
        let first = ids.next().unwrap();
        let question = Question {
            tool: Some(first.tool),
            pack: Some(first.pack),
            beside: ids.collect(),
            ..Default::default()
        };
        let results = &self.measured.results;
        let study = match &self.kept {
            Some(kept) => results.study_after(&question, kept),
            None => results.study(&question),
        };
        for comparison in study.unwrap().comparison().unwrap() {
            let both = comparison.pairs.each_ref();
            let both = both.map(|pair| self.index(&pair.tool, &pair.pack));
            note(self, &comparison, both);
        }
    }

    fn ids(&self, pair: usize) -> PairIds {
        let pair = self.world.pairs[pair];
        PairIds {
            tool: pair.tool.to_string(),
            pack: pair.pack.to_string(),
        }
    }

    /// Whether the interval of a ratio holds the true one (logarithm), and half its width in per cent.
    fn note_ratio(&mut self, compared: Compared, ratio: Ratio, truth: f64) {
        let [low, high] = [ratio.low, ratio.high].map(|end| libm::log(end.unwrap()));
        let half_percent = 100.0 * libm::expm1(0.5 * (high - low));
        let holds = std::iter::once((low..=high).contains(&truth));
        self.tally.note(Claim::Ratio(compared), half_percent, holds);
    }
}

/// A job of a torque, within the window.
fn asked(needed_nm: f64) -> Question {
    Question {
        job: Some(format!("{needed_nm:.1} N·m")),
        ..Default::default()
    }
}
