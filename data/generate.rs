//! Writes the notebook, the raw logs and the real nuts of the invented bench folder `demo`, and beside it
//! `demo-truth.json`, which says what the simulation knows:
//! `cargo run --release --example demo-data [DIR]`. The folder's other files are written by hand;
//! `jobtorque bundle data/demo --out data/demo.json` makes one dataset of it.
//!
//! The scenario is its own: a members' workshop lends cordless impact wrenches and tests its stock
//! on a bolt rig, so that members borrow the right one. The same bytes on every machine: random
//! numbers from a seeded PCG (`random.rs`), plain arithmetic and `libm`, whole numbers out. It
//! shares no code with the library, so that the one can be tested against the other.

#[path = "bench.rs"]
mod bench;
#[path = "blows.rs"]
mod blows;
#[path = "logs.rs"]
mod logs;
#[path = "nuts.rs"]
mod nuts;
#[path = "plan.rs"]
mod plan;
#[path = "stock.rs"]
mod stock;
#[path = "truth.rs"]
mod truth;

use blows::rig::Dirt;
use logs::Logger;
use plan::{Oddity, Planned};
use serde::Serialize;
use std::error::Error;
use std::path::{Path, PathBuf};
use truth::{Fact, Stated, StatedSpecimen};

/// Every so many runs the clamp on the pack's leads was in place: voltage and current are logged.
const CLAMP_EVERY: usize = 3;
/// From the start of one run to that of the next: bolt loosened, pack changed, s.
const RUN_EVERY_S: usize = 210;
/// A bolt is renewed after so many uses.
const BOLT_LASTS: usize = 24;
/// When the first run of a day is made, s after midnight.
const DAY_BEGINS_S: usize = 9 * 3600;

/// The columns of the notebook.
const NOTEBOOK: &str = "log,tool,pack,specimen,pack_specimen,setup,day,clock,control,edition,excluded,excluded_edition,bolt_use\n";

/// A file of the bench folder.
struct File {
    path: String,
    bytes: Vec<u8>,
}

fn main() -> Result<(), Box<dyn Error>> {
    let directory = PathBuf::from(std::env::args_os().nth(1).unwrap_or_else(|| "data".into()));
    let (files, truth) = make()?;
    for file in files {
        write(&directory.join("demo").join(file.path), &file.bytes)?;
    }
    write(&directory.join("demo-truth.json"), truth.as_bytes())?;
    Ok(())
}

fn write(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    if let Some(folder) = path.parent() {
        std::fs::create_dir_all(folder)?;
    }
    std::fs::write(path, bytes)
}

/// The files of the folder, and the text of the truth.
fn make() -> Result<(Vec<File>, String), Box<dyn Error>> {
    let mut files = Vec::new();
    let mut notebook = String::from(NOTEBOOK);
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
        let (place, bolt_use) = places.next(planned.day);
        let logger = Logger::of(day, index.is_multiple_of(CLAMP_EVERY));
        let log = logger.path(day, place + 1, planned);
        notebook += &row(planned, &log, day, place, bolt_use);
        let bytes = logger.write(&simulated.log, bench::INTERVAL_S);
        files.push(File {
            path: format!("logs/{log}"),
            bytes,
        });
    }
    files.push(File {
        path: "runs.csv".into(),
        bytes: notebook.into_bytes(),
    });

    let (field_checks, nuts) = nuts::tried().ok_or("the stock lacks what a nut needs")?;
    files.push(File {
        path: "field_checks.csv".into(),
        bytes: field_checks.into_bytes(),
    });

    let about = serde_json::to_string(truth::ABOUT)?;
    let stated = serde_json::to_string(&Stated::new(specimens, &dirt))?;
    let facts = lines(&facts)?;
    let nuts = lines(&nuts)?;
    let truth = format!(
        "{{\n\"about\": {about},\n\"stated\": {stated},\n\"runs\": {facts},\n\"nuts\": {nuts}\n}}\n"
    );
    Ok((files, truth))
}

/// The row of a run in the notebook.
fn row(planned: &Planned, log: &str, day: &str, place: usize, bolt_use: usize) -> String {
    let clock_s = DAY_BEGINS_S + place * RUN_EVERY_S;
    let clock = format!(
        "{:02}:{:02}:{:02}",
        clock_s / 3600,
        clock_s / 60 % 60,
        clock_s % 60
    );
    let control = if planned.oddity == Oddity::Control {
        "yes"
    } else {
        ""
    };
    let edition = planned
        .edition()
        .map(|edition| edition.to_string())
        .unwrap_or_default();
    let (reason, excluded_edition) = match planned.oddity.exclusion() {
        Some((reason, edition)) => (quoted(reason), edition.to_string()),
        None => Default::default(),
    };
    let cells = [
        log,
        planned.tool,
        planned.pack,
        planned.specimen,
        bench::pack_specimen(planned),
        planned.setup,
        day,
        &clock,
        control,
        &edition,
        &reason,
        &excluded_edition,
        &bolt_use.to_string(),
    ];
    cells.join(",") + "\n"
}

/// A cell of CSV (RFC 4180), in quotes where it needs them.
fn quoted(text: &str) -> String {
    if text.contains([',', '"', '\n']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}

/// Counts the runs of a day and the uses of a bolt.
#[derive(Default)]
struct Places {
    day: usize,
    in_day: usize,
    in_all: usize,
}

impl Places {
    /// How many runs its day had before it, and which use of its bolt it is.
    fn next(&mut self, day: usize) -> (usize, usize) {
        if day != self.day {
            (self.day, self.in_day) = (day, 0);
        }
        let place = (self.in_day, self.in_all % BOLT_LASTS + 1);
        self.in_day += 1;
        self.in_all += 1;
        place
    }
}

/// An array with one element a line, so that differences can be read.
fn lines(elements: &[impl Serialize]) -> Result<String, serde_json::Error> {
    let lines: Result<Vec<String>, _> = elements.iter().map(serde_json::to_string).collect();
    Ok(format!("[\n{}\n]", lines?.join(",\n")))
}
