//! Real nuts that members tried to loosen with tools of the shed: drawn, each with what it took.
//!
//! A nut's breakaway torque is its factor times the torque it was tightened to. Factors of one state
//! scatter about its median; nuts of one group (one day, fastener, tool, state) share half of that
//! scatter's variance. Each try is a run of a tool that was never on the bench, on the bench's joint: the
//! nut comes loose when the torque gets there, and hands stop the clock up to 0.3 s later. All invented.

use crate::blows::random::{between, normal, stream};
use crate::plan::{Oddity, Planned};
use crate::{bench, quoted};
use serde::Serialize;

/// Seed of the nuts, apart from those of runs and of what runs share.
const NUT_SEED: u64 = bench::SEED + 6;
/// What a group shares: of the variance of its factors, this part.
const SHARED: f64 = 0.5;
/// Hands stop the clock later by at most this, s.
const LATE_S: f64 = 0.3;
/// Members give up after this, s.
const PATIENCE_S: f64 = 5.0;
/// Of a tool that was never on the bench.
const IN_USE: &str = "in use";

/// What nuts of one state have in common: median of the factor, and its scatter (logarithm).
const FRESH: (f64, f64) = (0.75, 0.12);
const AGED: (f64, f64) = (1.35, 0.25);

/// Nuts of one day, fastener, tool and state.
struct Group {
    date: &'static str,
    tool: &'static str,
    pack: &'static str,
    fastener: &'static str,
    state: &'static str,
    installed_nm: f64,
    count: usize,
}

const GROUPS: [Group; 8] = [
    group(
        ["2026-03-21", "tansy-18-small", "slim-4-0"],
        ["M12×1.5 wheel nut", "fresh"],
        (135.0, 2),
    ),
    group(
        ["2026-04-11", "teasel-18-large", "two-row-5-0"],
        ["M20×1.5 wheel nut", "three winters old, rusty thread ends"],
        (420.0, 4),
    ),
    group(
        ["2026-05-23", "sorrel-18-medium", "two-row-8-0"],
        ["M22×1.5 wheel nut", "two winters old, dry"],
        (640.0, 1),
    ),
    group(
        ["2026-05-23", "mullein-36-large", "twenty-cell-8-0"],
        ["M22×1.5 wheel nut", "two winters old, dry"],
        (640.0, 3),
    ),
    group(
        ["2026-06-06", "tansy-18-small", "two-row-5-0"],
        ["M14×1.5 wheel nut", "one winter old, dry"],
        (270.0, 4),
    ),
    // A pair nobody ran.
    group(
        ["2026-06-13", "burdock-18-medium", "pouch-5-0"],
        ["M16 gate bolt", "ten years in the open"],
        (250.0, 2),
    ),
    group(
        ["2026-06-20", "yarrow-18-large", "slim-4-0"],
        ["M22×1.5 wheel nut", "two winters old, dry"],
        (640.0, 4),
    ),
    group(
        ["2026-06-27", "bracken-18-medium", "two-row-8-0"],
        ["M20×1.5 wheel nut", "fresh"],
        (420.0, 4),
    ),
];

const fn group(
    [date, tool, pack]: [&'static str; 3],
    [fastener, state]: [&'static str; 2],
    (installed_nm, count): (f64, usize),
) -> Group {
    Group {
        date,
        tool,
        pack,
        fastener,
        state,
        installed_nm,
        count,
    }
}

/// What holds for nuts of one state.
#[derive(Debug, Serialize)]
pub struct StatedNuts {
    state: &'static str,
    median_factor: f64,
    factor_scatter_percent: f64,
    shared_percent: f64,
}

/// What one nut took.
#[derive(Debug, Serialize)]
pub struct Nut {
    nut: usize,
    factor: f64,
}

/// The truth of both states.
pub fn stated() -> Vec<StatedNuts> {
    let all = [("fresh", FRESH), ("aged", AGED)];
    let all = all.map(|(state, (median_factor, scatter))| StatedNuts {
        state,
        median_factor,
        factor_scatter_percent: 100.0 * scatter,
        shared_percent: 100.0 * SHARED,
    });
    all.into()
}

/// The rows of `field_checks.csv`, and what each nut took. None if the stock lacks a tool or a pack.
pub fn tried() -> Option<(String, Vec<Nut>)> {
    let mut table = String::from("date,tool,pack,fastener,state,installed_nm,came_loose,tried_s\n");
    let mut nuts = Vec::new();
    for (index, group) in GROUPS.iter().enumerate() {
        let mut rng = stream(NUT_SEED, index as u64);
        let (median, scatter) = if group.state == "fresh" { FRESH } else { AGED };
        let shared = SHARED.sqrt() * normal(&mut rng);
        for _ in 0..group.count {
            let own = (1.0 - SHARED).sqrt() * normal(&mut rng);
            let factor = median * libm::exp(scatter * (shared + own));
            let loose_s = loosened_s(group, factor * group.installed_nm, nuts.len())?;
            let stopped_s = loose_s.map(|loose_s| loose_s + between(&mut rng, 0.0, LATE_S));
            table += &row(
                group,
                stopped_s.filter(|stopped_s| *stopped_s <= PATIENCE_S),
            );
            nuts.push(Nut {
                nut: nuts.len(),
                factor: (factor * 1e4).round() / 1e4,
            });
        }
    }
    Some((table, nuts))
}

/// When a try gets to a torque, s after it began to rise; no time if it does not. None if the stock lacks
/// its tool or its pack.
fn loosened_s(group: &Group, breakaway_nm: f64, nut: usize) -> Option<Option<f64>> {
    let planned = Planned {
        day: 0,
        tool: group.tool,
        specimen: IN_USE,
        pack: group.pack,
        setup: "standard",
        oddity: Oddity::None,
    };
    let staircase =
        bench::simulate_with(&mut stream(NUT_SEED + 1, nut as u64), &planned)?.staircase;
    let reached_s = staircase.reaches_s(breakaway_nm);
    Some(reached_s.map(|reached_s| reached_s - staircase.start_s))
}

/// The row of a nut that came loose when the clock was stopped, or held.
fn row(group: &Group, stopped_s: Option<f64>) -> String {
    let tenths = |time_s: f64| format!("{:.1}", (10.0 * time_s).round().max(1.0) / 10.0);
    let cells = [
        group.date.into(),
        group.tool.into(),
        group.pack.into(),
        quoted(group.fastener),
        quoted(group.state),
        group.installed_nm.to_string(),
        if stopped_s.is_some() { "yes" } else { "no" }.into(),
        tenths(stopped_s.unwrap_or(PATIENCE_S)),
    ];
    cells.join(",") + "\n"
}
