//! Writes the invented dataset `demo.json` and beside it `demo-truth.json`, which says what the
//! simulation knows: `cargo run --release --example demo-data [DIR]`.
//!
//! The scenario is its own: a members' workshop lends cordless impact wrenches and tests its stock
//! on a bolt rig, so that members borrow the right one. The same bytes on every machine: random
//! numbers from a seeded PCG (`random.rs`), plain arithmetic and `libm`, whole numbers out. It
//! shares no code with the library, so that the one can be tested against the other.

#[path = "bench.rs"]
mod bench;
#[path = "blows.rs"]
mod blows;
#[path = "plan.rs"]
mod plan;
#[path = "stock.rs"]
mod stock;
#[path = "truth.rs"]
mod truth;

use blows::Simulated;
use blows::rig::Dirt;
use plan::{Oddity, Planned};
use serde::Serialize;
use std::error::Error;
use std::path::PathBuf;
use truth::{Fact, Stated, StatedSpecimen};

/// The dataset without its runs, one element a line.
const STOCK: &str = include_str!("stock.json");
/// The line of it where the runs go.
const NO_RUNS: &str = "\"runs\": [],\n";
/// Every so many runs the clamp on the pack's leads was in place: voltage and current are logged.
const CLAMP_EVERY: usize = 3;
/// From the start of one run to that of the next: bolt loosened, pack changed, s.
const RUN_EVERY_S: usize = 210;
/// A bolt is renewed after so many uses.
const BOLT_LASTS: usize = 24;

/// One line of `runs`.
#[derive(Serialize)]
struct Run {
    tool: &'static str,
    pack: &'static str,
    setup: &'static str,
    specimen: &'static str,
    pack_specimen: &'static str,
    day: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    edition: Option<u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    control: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    excluded: Option<Excluded>,
    at_s: usize,
    bolt_use: usize,
    start_s: u32,
    interval_s: f64,
    torque_dnm: Vec<i32>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    voltage_mv: Vec<i32>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    current_ma: Vec<i32>,
}

#[derive(Serialize)]
struct Excluded {
    reason: &'static str,
    edition: u32,
}

fn main() -> Result<(), Box<dyn Error>> {
    let directory = PathBuf::from(std::env::args_os().nth(1).unwrap_or_else(|| "data".into()));
    let (dataset, truth) = make()?;
    std::fs::write(directory.join("demo.json"), dataset)?;
    std::fs::write(directory.join("demo-truth.json"), truth)?;
    Ok(())
}

/// The text of both files.
fn make() -> Result<(String, String), Box<dyn Error>> {
    let mut runs = Vec::new();
    let mut facts = Vec::new();
    let mut specimens: Vec<StatedSpecimen> = Vec::new();
    let mut dirt = Dirt::default();
    let mut places = Places::default();
    for (index, planned) in plan::runs().iter().enumerate() {
        let unknown = || format!("the stock lacks what run {index} needs: {planned:?}");
        let (day, _, gain) = stock::DAYS.get(planned.day).ok_or_else(unknown)?;
        let simulated = bench::simulate(index, planned).ok_or_else(unknown)?;
        facts.push(Fact::new(index, planned, &simulated, *gain).ok_or_else(unknown)?);
        if !specimens.iter().any(|specimen| specimen.is_of(planned)) {
            specimens.push(StatedSpecimen::new(planned));
        }
        dirt.add(&simulated.log.dirt);
        runs.push(Run::new(
            index,
            planned,
            simulated,
            day,
            places.next(planned.day),
        ));
    }
    let (before, after) = STOCK
        .split_once(NO_RUNS)
        .ok_or("stock.json has no place for runs")?;
    let runs = lines(&runs)?;
    let dataset = format!("{before}\"runs\": {runs},\n{after}");

    let about = serde_json::to_string(truth::ABOUT)?;
    let stated = serde_json::to_string(&Stated::new(specimens, &dirt))?;
    let facts = lines(&facts)?;
    let truth = format!("{{\n\"about\": {about},\n\"stated\": {stated},\n\"runs\": {facts}\n}}\n");
    Ok((dataset, truth))
}

/// Counts the runs of a day and the uses of a bolt.
#[derive(Default)]
struct Places {
    day: usize,
    in_day: usize,
    in_all: usize,
}

impl Places {
    /// Seconds since the day's first run, and which use of its bolt it is.
    fn next(&mut self, day: usize) -> (usize, usize) {
        if day != self.day {
            (self.day, self.in_day) = (day, 0);
        }
        let place = (self.in_day * RUN_EVERY_S, self.in_all % BOLT_LASTS + 1);
        self.in_day += 1;
        self.in_all += 1;
        place
    }
}

impl Run {
    fn new(
        index: usize,
        planned: &Planned,
        simulated: Simulated,
        day: &'static str,
        (at_s, bolt_use): (usize, usize),
    ) -> Self {
        let log = simulated.log;
        let clamped = index.is_multiple_of(CLAMP_EVERY);
        let series = |series| if clamped { series } else { Vec::new() };
        let exclusion = planned.oddity.exclusion();
        Run {
            tool: planned.tool,
            pack: planned.pack,
            setup: planned.setup,
            specimen: planned.specimen,
            pack_specimen: bench::pack_specimen(planned),
            day,
            edition: planned.edition(),
            control: (planned.oddity == Oddity::Control).then_some(true),
            excluded: exclusion.map(|(reason, edition)| Excluded { reason, edition }),
            at_s,
            bolt_use,
            start_s: 0,
            interval_s: bench::INTERVAL_S,
            torque_dnm: log.torque_dnm,
            voltage_mv: series(log.voltage_mv),
            current_ma: series(log.current_ma),
        }
    }
}

/// An array with one element a line, so that differences can be read.
fn lines(elements: &[impl Serialize]) -> Result<String, serde_json::Error> {
    let lines: Result<Vec<String>, _> = elements.iter().map(serde_json::to_string).collect();
    Ok(format!("[\n{}\n]", lines?.join(",\n")))
}
