//! Whether packs that are alike are called a match, and packs that differ are not: invented tools,
//! each with four packs of one kind, two of which give more by exactly the margin, and a twin of its
//! own kind.

use crate::bench::{Bench, luck};
use crate::blows::random::{between, factor};
use crate::campaign::{DAY, Made};
use crate::field::Field;
use crate::judge::catalogue;
use crate::tally::{Claim, Rate, Tally, rate};
use jobtorque::compare::data::{CompareVerdict, ComparedPair, Comparison};
use jobtorque::dataset::types::{BuildUp, Run};
use jobtorque::query::question::{PairIds, Question};
use jobtorque::results::Results;

/// Margins, in per cent: with few runs of scattering tools a narrow one shows no match, a wide one
/// does.
pub const MARGINS_PERCENT: [f64; 3] = [3.0, 6.0, 12.0];

/// Packs of a tool: the first two alike, the others alike and stronger by the margin.
const PACKS: usize = 4;

/// Packs from this one on are the stronger ones.
const STRONGER: usize = 2;

/// The packs that a tool's twin, of the same kind but with specimens of its own, was run with.
const OF_TWINS: [usize; 2] = [0, STRONGER];

/// Whether two packs on one tool are judged, or one tool against another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Between {
    /// Packs on one tool.
    Packs,
    /// Tools of one kind.
    Tools,
}

/// What is claimed of two packs on a tool.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Equivalence {
    /// A match of two that differ by exactly the margin.
    MatchAtMargin,
    /// A match of two that are alike.
    MatchOfAlike,
    /// A difference of two that are alike.
    DifferOfAlike,
    /// One group of two that are alike, and of them alone.
    GroupOfAlike,
    /// One group of two that differ by the margin.
    GroupAtMargin,
    /// The interval of the ratio holds the true one.
    Interval,
}

/// Which of [`MARGINS_PERCENT`] a field has.
pub fn margin(field: u64) -> usize {
    (field / 3) as usize % MARGINS_PERCENT.len()
}

/// Bounds on shares, in per cent.
pub struct Bounds {
    /// The largest share of matches, and of groups, among pairs that differ by exactly the margin.
    pub match_percent: f64,
    /// The largest share of differences among pairs that are alike.
    pub differ_percent: f64,
    /// The least share of intervals that hold the true ratio.
    pub interval_percent: f64,
    /// The least share of packs made alike that are grouped, at the widest margin.
    pub group_percent: f64,
}

impl Bounds {
    /// Holds what was said of two pairs against these bounds.
    pub fn check(&self, tallies: &[Tally]) {
        let any = |_| true;
        let widest = |margin| margin + 1 == MARGINS_PERCENT.len();
        let shares = [
            (
                Equivalence::MatchAtMargin,
                0.0..=self.match_percent,
                any as fn(usize) -> bool,
            ),
            (Equivalence::GroupAtMargin, 0.0..=self.match_percent, any),
            (Equivalence::DifferOfAlike, 0.0..=self.differ_percent, any),
            (Equivalence::Interval, self.interval_percent..=100.0, any),
            (
                Equivalence::GroupOfAlike,
                self.group_percent..=100.0,
                widest,
            ),
        ];
        for (likeness, bounds, margins) in shares {
            let share = of(tallies, likeness, margins);
            assert!(bounds.contains(&share.percent), "{likeness:?}: {share:?}");
        }
    }
}

/// How often something was said of two pairs, of either kind, at the margins picked.
pub fn of(tallies: &[Tally], said: Equivalence, margins: impl Fn(usize) -> bool) -> Rate {
    rate(
        tallies.iter(),
        |claim| matches!(claim, Claim::Alike(_, own, margin) if own == said && margins(margin)),
    )
}

/// Measures a field's tools and their twins, and judges what is said of every two pairs.
pub fn judge(field: &Field) -> Tally {
    let mut tally = Tally::new(field.replicated, field.pairs.len());
    let place = margin(field.index);
    let percent = MARGINS_PERCENT[place];
    let tools = field.tools.len();
    let results = Made {
        tools: 2 * tools,
        packs: PACKS,
        runs: runs(field, percent),
        match_margin_percent: Some(percent),
    }
    .results(field, catalogue());
    for tool in 0..tools {
        let pair = |tool: usize, pack: usize| PairIds {
            tool: tool.to_string(),
            pack: pack.to_string(),
        };
        for first in 0..PACKS {
            let others = (first + 1..PACKS).map(|second| pair(tool, second));
            let question = asked(pair(tool, first), others.collect());
            judge_packs(&results, &question, place, &mut tally);
        }
        for first in OF_TWINS {
            let twins = OF_TWINS.map(|second| pair(tool + tools, second));
            let question = asked(pair(tool, first), twins.into());
            for comparison in results.compare(&question).unwrap() {
                note(Between::Tools, &comparison, place, &mut tally);
            }
        }
    }
    tally
}

fn asked(first: PairIds, beside: Vec<PairIds>) -> Question {
    Question {
        tool: Some(first.tool),
        pack: Some(first.pack),
        beside,
        ..Default::default()
    }
}

fn judge_packs(results: &Results, question: &Question, place: usize, tally: &mut Tally) {
    let told = results.packs(question).unwrap();
    let group = |pack: &str| {
        let mut packs = told.packs.iter();
        packs.find(|told| told.pack == pack).unwrap().group
    };
    for comparison in results.compare(question).unwrap() {
        note(Between::Packs, &comparison, place, tally);
        let [first, second] = comparison.pairs.each_ref().map(|pair| group(&pair.pack));
        let claim = if are_alike(&comparison) {
            Equivalence::GroupOfAlike
        } else {
            Equivalence::GroupAtMargin
        };
        let grouped = first.is_some() && first == second;
        tally.note_likeness(Between::Packs, claim, place, grouped);
    }
}

/// Whether two pairs are alike in truth: both weaker, or both stronger.
fn are_alike(comparison: &Comparison) -> bool {
    let is_stronger = |pair: &ComparedPair| pair.pack.parse::<usize>().unwrap() >= STRONGER;
    let [first, second] = comparison.pairs.each_ref().map(is_stronger);
    first == second
}

fn note(between: Between, comparison: &Comparison, place: usize, tally: &mut Tally) {
    // These very packs are compared as tested; of tools, others of their kinds are.
    let (said, ratio) = match between {
        Between::Packs => (
            comparison.verdict.unwrap().is_alike(),
            comparison.mean_torque_ratio,
        ),
        Between::Tools => (
            comparison.verdict == Some(CompareVerdict::Match),
            comparison.mean_torque_ratio_of_kinds,
        ),
    };
    let differ = comparison.verdict == Some(CompareVerdict::Differ);
    let mut note = |claim, so| tally.note_likeness(between, claim, place, so);
    let truth = if are_alike(comparison) {
        note(Equivalence::MatchOfAlike, said);
        note(Equivalence::DifferOfAlike, differ);
        1.0
    } else {
        note(Equivalence::MatchAtMargin, said);
        let more = 1.0 + MARGINS_PERCENT[place] / 100.0;
        let first: usize = comparison.pairs[0].pack.parse().unwrap();
        if first < STRONGER { 1.0 / more } else { more }
    };
    let ratio = ratio.unwrap();
    let held = ratio.low.unwrap()..=ratio.high.unwrap();
    note(Equivalence::Interval, held.contains(&truth));
}

/// Three to five runs of every tool and pack, on one to three specimens of the tool.
fn runs(field: &Field, percent: f64) -> Vec<Run> {
    let mut rng = luck(0x40, field.index);
    let mut made = Vec::new();
    let tools = field.tools.len();
    for tool in 0..2 * tools {
        let source = tool % tools % field.packs.len();
        let packs: Vec<usize> = match tool < tools {
            true => (0..PACKS).collect(),
            false => OF_TWINS.into(),
        };
        let specimens = between(&mut rng, 1.0, 4.0) as usize;
        for specimen in 0..specimens {
            let bench = Bench {
                tool: &field.tools[tool % tools],
                specimen: factor(&mut rng, field.specimen_scatter),
                pack: &field.packs[source],
                gain: field.gain,
            };
            for &pack in &packs {
                let more = match pack < STRONGER {
                    true => 1.0,
                    false => 1.0 + percent / 100.0,
                };
                let count = between(&mut rng, 3.0, 6.0) as usize;
                made.extend((0..count).map(|_| Run {
                    tool: tool.to_string(),
                    pack: pack.to_string(),
                    specimen: Some(specimen.to_string()),
                    day: DAY.into(),
                    edition: Some(1),
                    buildup: Some(scaled(bench.run(&mut rng), more)),
                    ..Default::default()
                }));
            }
        }
    }
    made
}

/// A run with every torque multiplied, in whole tenths.
fn scaled(mut run: BuildUp, factor: f64) -> BuildUp {
    let times = |torque: i32| (f64::from(torque) * factor).round() as i32;
    let (mut before, mut scaled_before) = (0, 0);
    for rise in &mut run.rise_dnm {
        before += *rise;
        *rise = times(before) - scaled_before;
        scaled_before += *rise;
    }
    run.onset_dnm = times(run.onset_dnm);
    run.largest_dnm = times(run.largest_dnm);
    run
}
