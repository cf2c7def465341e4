//! A bench folder of 150 long logs, all invented, and what reading it is held against. The same bytes
//! on every machine.
//!
//! `long-logs make DIR RATE` writes the folder: 6.1 seconds a log at RATE samples a second, time and
//! torque; 61,000 samples at 10,000. `long-logs pass DIR` reads every log and splits its fields with
//! the `csv` crate, on one core, and prints the seconds it took, the fields and their bytes.
//! `long-logs change DIR N` gives one sample of one log a value that depends on N.

use rand_pcg::Pcg32;
use rand_pcg::rand_core::{Rng, SeedableRng};
use std::error::Error;
use std::fmt::Write;
use std::fs;
use std::path::Path;
use std::time::Instant;

/// Tools, each run with every pack.
const TOOLS: usize = 10;
/// Packs.
const PACKS: usize = 5;
/// Runs of each pair.
const RUNS: usize = 3;
/// Tenths of a second that a log lasts.
const TENTHS: usize = 61;
/// Blows a second.
const BLOWS: f64 = 35.0;
/// When the first blow falls, in s.
const BEGINS: f64 = 0.5;
/// Days, one after the other.
const DAYS: usize = 5;

const SETTINGS: &str = r#"format = "jobtorque/1"
title = "Long logs, made up for a bench"
summary = "Invented tools on an invented rig."
license = "CC0-1.0"
invented = true
disclosure = "nobody paid, nobody lent"

[[editions]]
edition = 1
date = 2026-04-20

[[rigs]]
id = "rig"
name = "Invented rig"
torque_from = "torque sensor"

[[rigs.calibrations]]
date = 2026-02-20
expanded_uncertainty_percent = 2.0

[[setups]]
id = "standard"
name = "full pack, forward"

[[jobs]]
id = "wheel"
label = "wheel nut M12"
fastener = "M12x1.5"
direction = "loosen"
torque_nm = [110, 140]
caution = "wheel"

[[loggers]]
id = "logger"
files = "**/*.csv"
time = { column = "time", unit = "s" }
torque = { column = "torque", unit = "N·m" }
"#;

fn main() -> Result<(), Box<dyn Error>> {
    let given: Vec<String> = std::env::args().skip(1).collect();
    let given: Vec<&str> = given.iter().map(String::as_str).collect();
    match given.as_slice() {
        ["make", folder, rate] => make(Path::new(folder), rate.parse()?),
        ["pass", folder] => pass(Path::new(folder)),
        ["change", folder, value] => change(Path::new(folder), value.parse()?),
        _ => Err("long-logs make DIR RATE, long-logs pass DIR or long-logs change DIR N".into()),
    }
}

fn make(folder: &Path, rate: usize) -> Result<(), Box<dyn Error>> {
    let logs = folder.join("logs");
    fs::create_dir_all(&logs)?;
    let mut random = Pcg32::seed_from_u64(61_000);
    let mut tools = String::from("id,name,pack_mount,mass_kg\n");
    for tool in 0..TOOLS {
        writeln!(tools, "t{tool},Tool {tool} (invented),rail,{}", 1 + tool)?;
    }
    let mut packs =
        String::from("id,name,pack_mount,nominal_v,capacity_ah,cells.series,cells.parallel\n");
    for pack in 0..PACKS {
        writeln!(packs, "p{pack},Pack {pack} (invented),rail,18,4,5,1")?;
    }
    let mut days = String::from("id,date,rig,ambient_c\n");
    for day in 1..=DAYS {
        writeln!(days, "d{day},2026-04-0{day},rig,20")?;
    }
    let mut notebook = String::from("log,tool,pack,day,clock,control,edition\n");
    for at in 0..TOOLS * PACKS * RUNS {
        // Every run of a pair on a day of its own.
        let (pair, nth) = (at % (TOOLS * PACKS), at / (TOOLS * PACKS));
        let (tool, pack) = (pair / PACKS, pair % PACKS);
        let day = (pair + 2 * nth) % DAYS + 1;
        let (hour, minute) = (8 + at / 20, 3 * (at % 20));
        let name = format!("{at:03}.csv");
        writeln!(
            notebook,
            "{name},t{tool},p{pack},d{day},{hour}:{minute:02},,1"
        )?;
        let level = 200.0 * (1.0 + 0.3 * tool as f64) * (1.0 + 0.05 * pack as f64);
        let level = level * (1.0 + 0.008 * normal(&mut random));
        fs::write(logs.join(name), log(level, rate, &mut random)?)?;
    }
    let files = [
        ("bench.toml", SETTINGS),
        ("tools.csv", &tools),
        ("packs.csv", &packs),
        ("days.csv", &days),
        ("runs.csv", &notebook),
    ];
    for (name, text) in files {
        fs::write(folder.join(name), text)?;
    }
    Ok(())
}

/// A run up to `level` in N·m, with `rate` samples a second: a staircase of blows, between which the
/// torque falls, and noise.
fn log(level: f64, rate: usize, random: &mut Pcg32) -> Result<String, Box<dyn Error>> {
    let mut text = String::from("time,torque\n");
    let mut stairs = 0.0;
    let mut blow = -1.0;
    for at in 0..TENTHS * rate / 10 {
        let time = at as f64 / rate as f64;
        let since = time - BEGINS;
        let place = (since * BLOWS).floor();
        if since >= 0.0 && place > blow {
            blow = place;
            let rise = level * (1.0 - libm::exp(-since / 1.2));
            stairs = f64::max(stairs, rise * (1.0 + 0.01 * normal(random)));
        }
        // In the last two fifths of the time between blows.
        let falls = since >= 0.0 && since * BLOWS - place > 0.6;
        let held = if falls { 0.94 * stairs } else { stairs };
        let torque = held + 2.0 * normal(random);
        writeln!(text, "{time:.4},{torque:.2}")?;
    }
    Ok(text)
}

/// Twelve uniform values less six: normal but for the farthest tails.
fn normal(random: &mut Pcg32) -> f64 {
    let uniform = |_| f64::from(random.next_u32()) / 4_294_967_296.0;
    (0..12).map(uniform).sum::<f64>() - 6.0
}

fn pass(folder: &Path) -> Result<(), Box<dyn Error>> {
    let begun = Instant::now();
    let (mut fields, mut bytes) = (0, 0);
    for at in 0..TOOLS * PACKS * RUNS {
        let log = fs::read(folder.join("logs").join(format!("{at:03}.csv")))?;
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .from_reader(log.as_slice());
        let mut record = csv::ByteRecord::new();
        while reader.read_byte_record(&mut record)? {
            fields += record.len();
            bytes += record.iter().map(<[u8]>::len).sum::<usize>();
        }
    }
    let seconds = begun.elapsed().as_secs_f64();
    // What was counted is printed, so that the pass cannot be left out by the compiler.
    println!("{seconds} {fields} {bytes}");
    Ok(())
}

/// Gives the second-last sample of the log in the middle another value, which depends on `value`.
fn change(folder: &Path, value: usize) -> Result<(), Box<dyn Error>> {
    let path = folder
        .join("logs")
        .join(format!("{:03}.csv", TOOLS * PACKS * RUNS / 2));
    let text = fs::read_to_string(&path)?;
    let mut lines: Vec<&str> = text.lines().collect();
    let place = lines.len().checked_sub(2).ok_or("an empty log")?;
    let line = lines.get_mut(place).ok_or("an empty log")?;
    let (time, _) = line.split_once(',').ok_or("a line without a comma")?;
    let changed = format!("{time},{}.{:02}", 100, value % 100);
    *line = &changed;
    fs::write(&path, lines.join("\n") + "\n")?;
    Ok(())
}
