//! How much was run.

use crate::history::editions::{Part, controls, part_of};
use crate::results::Results;
use crate::sort;

/// How much was run, in every setup and on every rig.
#[derive(Clone, Copy, Debug)]
pub struct Extent<'a> {
    /// Runs that count.
    pub runs: u64,
    /// Runs that are set aside.
    pub set_aside: u64,
    /// Control runs.
    pub controls: u64,
    /// Pairs of tool and pack.
    pub pairs: u64,
    /// Tools.
    pub tools: u64,
    /// Packs.
    pub packs: u64,
    /// Days.
    pub days: u64,
    /// First and last day, `YYYY-MM-DD`.
    pub span: Option<(&'a str, &'a str)>,
    /// Lowest and highest air temperature in °C.
    pub ambient_c: Option<(f64, f64)>,
}

/// How much the newest edition holds, in every setup and on every rig.
pub(crate) fn extent(results: &Results) -> Extent<'_> {
    let (dataset, newest) = (&results.dataset, results.newest_edition());
    let mut extent = Extent {
        runs: 0,
        set_aside: 0,
        controls: 0,
        pairs: 0,
        tools: 0,
        packs: 0,
        days: 0,
        span: None,
        ambient_c: None,
    };
    let mut pairs = Vec::new();
    let mut run_on = vec![false; dataset.days.len()];
    for (run, reduced) in dataset.runs.iter().zip(&results.runs) {
        match part_of(run, newest) {
            Part::Counts => extent.runs += 1,
            Part::SetAside => extent.set_aside += 1,
            Part::None => {
                extent.controls += u64::from(controls(run, newest));
                continue;
            }
        }
        pairs.push((reduced.tool, reduced.pack));
        if let Some(run_on) = run_on.get_mut(reduced.day) {
            *run_on = true;
        }
    }
    sort::distinct(&mut pairs);
    extent.pairs = pairs.len() as u64;
    let mut distinct: [Vec<usize>; 2] = [
        pairs.iter().map(|(tool, _)| *tool).collect(),
        pairs.iter().map(|(_, pack)| *pack).collect(),
    ];
    let [tools, packs] = distinct.each_mut().map(|list| {
        sort::distinct(list);
        list.len() as u64
    });
    (extent.tools, extent.packs) = (tools, packs);
    let days = dataset.days.iter().zip(run_on);
    for day in days.filter_map(|(day, run_on)| run_on.then_some(day)) {
        extent.days += 1;
        let date = day.date.as_str();
        let (from, to) = extent.span.unwrap_or((date, date));
        extent.span = Some((from.min(date), to.max(date)));
        if let Some(ambient_c) = day.ambient_c {
            let (low, high) = extent.ambient_c.unwrap_or((ambient_c, ambient_c));
            extent.ambient_c = Some((low.min(ambient_c), high.max(ambient_c)));
        }
    }
    extent
}
