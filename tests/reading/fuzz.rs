//! Changed inputs of every kind: logs with a block, tables, `bench.toml`, name patterns, the survey of
//! `look` and the lines of `--say`. Each is read or refused; none panics or does not end.

use super::choices::Choices;
use super::mutate::{TABLE_WORDS, TOML_WORDS, below, bytes, one};
use super::said;
use super::shape::{Case, draw};
use super::sound;
use jobtorque::bench::columns::{
    DAYS, DOUBTS, FIELD_CHECKS, Layout, PACKS, PRICES, RUNS, SPECIMENS, TOOLS,
};
use jobtorque::bench::look::{block_text, look, said::Said};
use jobtorque::bench::name_pattern::NamePattern;
use jobtorque::bench::rows::elements;
use jobtorque::bench::split::parts;
use jobtorque::bench::table::Table;
use jobtorque::bench::{block_reader, logger, settings};
use rand_pcg::{Pcg32, rand_core::Rng};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::time::{Duration, Instant};

/// An input on which more time is spent than this does not end.
const LONGEST_S: u64 = 30;

/// The longest path that systems take, in bytes.
const LONGEST_PATH: usize = 4_096;

/// Draws an input of one kind and reads it.
type Trial = fn(&mut Pcg32) -> Verdict;

const KINDS: [(&str, Trial); 6] = [
    ("logs", a_log),
    ("tables", a_table),
    ("bench.toml", a_bench),
    ("name patterns", a_name),
    ("look", a_look),
    ("--say", a_line),
];

/// Whether an input was accepted; what is not sound of it.
type Verdict = Result<bool, String>;

/// A case in some shape.
fn case(rng: &mut Pcg32) -> Case {
    let length = below(rng, 400);
    let values: Vec<u16> = (0..length).map(|_| rng.next_u32() as u16).collect();
    draw(&mut Choices::new(&values))
}

fn a_block(case: &Case) -> String {
    let keys = case
        .block
        .iter()
        .map(|(key, value)| format!("{key} = {value}\n"));
    format!("[[loggers]]\nid = \"own\"\n{}", keys.collect::<String>())
}

/// Takes the unit of a channel out of the block; where the header does not say it, nobody does.
fn unsay_a_unit(rng: &mut Pcg32, case: &mut Case) {
    let has_unit = |(_, value): &&mut (String, String)| {
        value.contains("unit = ") && !value.contains("inverted = ")
    };
    let mut channels: Vec<_> = case.block.iter_mut().filter(has_unit).collect();
    if channels.is_empty() {
        return;
    }
    let at = below(rng, channels.len());
    let (_, value) = &mut channels[at];
    let start = value.find("unit = ").unwrap();
    let length = value[start..].find([',', '}']).unwrap();
    value.replace_range(start..start + length, "inverted = false ");
}

fn a_log(rng: &mut Pcg32) -> Verdict {
    let mut case = case(rng);
    if below(rng, 4) == 0 {
        unsay_a_unit(rng, &mut case);
    }
    let mut block = a_block(&case).into_bytes();
    let mut log = case.bytes.clone();
    if below(rng, 3) == 0 {
        bytes(rng, &mut block, TOML_WORDS);
    }
    if below(rng, 3) > 0 {
        bytes(rng, &mut log, TABLE_WORDS);
    }
    let Ok(settings) = settings::read(&block) else {
        return Ok(false);
    };
    let Ok(loggers) = block_reader::loggers(&settings) else {
        return Ok(false);
    };
    let mut accepted = false;
    for own in loggers.iter().filter(|own| logger::faults(own).is_empty()) {
        match logger::read_log(&log, own) {
            Ok(logged) => {
                accepted = true;
                sound::log(&logged, own, &decoded(&log))?;
                if let Some(split) = own.split {
                    let apart: usize = parts(&logged.samples, split)
                        .iter()
                        .map(|part| part.time_us.len())
                        .sum();
                    if apart != 0 && apart != logged.samples.time_us.len() {
                        return Err("samples are lost between the runs of a log".into());
                    }
                }
            }
            Err(problems) if problems.is_empty() => return Err("refused without a problem".into()),
            Err(_) => {}
        }
    }
    Ok(accepted)
}

/// The letters of a log in whatever encoding, for the units in it.
fn decoded(log: &[u8]) -> String {
    let letters = log.iter().filter(|byte| **byte != 0);
    letters
        .map(|&byte| char::from(byte))
        .collect::<String>()
        .replace('Â', "")
}

const TABLES: [(&Layout, &str); 8] = [
    (&RUNS, include_str!("../folder/orchard/runs.csv")),
    (&TOOLS, include_str!("../folder/orchard/tools.csv")),
    (&PACKS, include_str!("../folder/orchard/packs.csv")),
    (&SPECIMENS, include_str!("../folder/orchard/specimens.csv")),
    (&DAYS, include_str!("../folder/orchard/days.csv")),
    (&PRICES, include_str!("../folder/orchard/prices.csv")),
    (
        &FIELD_CHECKS,
        include_str!("../folder/orchard/field_checks.csv"),
    ),
    (
        &DOUBTS,
        "doubt;about;words;fingerprint\nclipped;a.csv;known, \"so\";x0123456789abcdef\n",
    ),
];

fn a_table(rng: &mut Pcg32) -> Verdict {
    let (layout, text) = TABLES[below(rng, TABLES.len())];
    let mut table = text.as_bytes().to_vec();
    bytes(rng, &mut table, TABLE_WORDS);
    let encoding = [None, Some(encoding_rs::WINDOWS_1252)][below(rng, 2)];
    match Table::read(layout, &table, encoding) {
        Ok(read) => {
            let elements = elements(layout, &read, &[]);
            sound::problems(&elements.problems, &table)?;
            sound::rows(layout, &read, &elements)?;
            Ok(elements.problems.is_empty())
        }
        Err(problems) => sound::problems(&problems, &table).map(|()| false),
    }
}

fn a_bench(rng: &mut Pcg32) -> Verdict {
    let mut text = include_bytes!("../folder/orchard/bench.toml").to_vec();
    if below(rng, 2) == 0 {
        text.extend(a_block(&case(rng)).into_bytes());
    }
    bytes(rng, &mut text, TOML_WORDS);
    let read = settings::read(&text).and_then(|settings| {
        let loggers = block_reader::loggers(&settings)?;
        let faults = loggers.iter().flat_map(logger::faults);
        Ok(faults.count() == 0)
    });
    match read {
        Ok(sound) => Ok(sound),
        Err(problems) => sound::problems(&problems, &text).map(|()| false),
    }
}

fn a_name(rng: &mut Pcg32) -> Verdict {
    let parts = [
        "{day}",
        "{tool}",
        "{pack}",
        "{specimen}",
        "{n}",
        "{a}",
        "{b}",
        "{c}",
        "{d}",
        "{e}",
        "{f}",
        "_",
        "-",
        ".csv",
        "/",
        " ",
        "run",
        "a",
        "aa",
        "é",
        "{",
        "}",
        "{}",
    ];
    let names = [
        "2026-05-04",
        "rook-18",
        "thin",
        "_",
        "-",
        "a",
        "aaaa",
        "/",
        ".csv",
        "run",
        "7",
        "é",
        " ",
    ];
    // A name that fits the pattern, if nothing is changed in it.
    let (mut pattern, mut name) = (String::new(), String::new());
    for _ in 0..below(rng, 24) {
        let part = one(rng, &parts);
        pattern.push_str(part);
        if part.starts_with('{') {
            (0..=below(rng, 3)).for_each(|_| name.push_str(one(rng, &names)));
        } else {
            name.push_str(part);
        }
    }
    if below(rng, 2) == 0 {
        let mut changed = name.into_bytes();
        bytes(rng, &mut changed, &names);
        changed.truncate(LONGEST_PATH);
        name = String::from_utf8_lossy(&changed).into_owned();
    }
    let Some(pattern) = NamePattern::parse(&pattern) else {
        return Ok(false);
    };
    let blanks = pattern.names().count();
    let readings = pattern.readings(&name);
    let is_sound = |filled: &Vec<(String, String)>| {
        filled.len() == blanks
            && filled
                .iter()
                .all(|(_, text)| !text.is_empty() && name.contains(text.as_str()))
    };
    match readings.iter().all(is_sound) && readings.len() <= 100 {
        true => Ok(!readings.is_empty()),
        false => Err(format!("{pattern:?} reads {name:?} as {readings:?}")),
    }
}

const LOGS: [&[u8]; 5] = [
    include_bytes!("../folder/orchard/logs/plain/2026-04-06_rook-18_thin-3_A_1.csv"),
    include_bytes!("../folder/orchard/logs/amp/wren-1.txt"),
    include_bytes!("../folder/orchard/logs/cell/2026-05-04 wren thick.csv"),
    include_bytes!("../logs/preamble-semicolons.csv"),
    include_bytes!("../logs/time-of-day.csv"),
];

fn a_look(rng: &mut Pcg32) -> Verdict {
    looked(rng, &Said::default(), TABLE_WORDS)
}

/// Looks at a log, changed or not; the block that is proposed must say every unit that is read.
fn looked(rng: &mut Pcg32, said: &Said, words: &[&str]) -> Verdict {
    let mut log = match below(rng, 2) {
        0 => case(rng).bytes,
        _ => {
            let rows = 3 + below(rng, 60);
            let lines = LOGS[below(rng, LOGS.len())].split_inclusive(|byte| *byte == b'\n');
            lines.take(rows).collect::<Vec<_>>().concat()
        }
    };
    if below(rng, 3) > 0 {
        bytes(rng, &mut log, words);
    }
    let Ok(seen) = look(&log, said) else {
        return Ok(false);
    };
    let Some(logged) = &seen.logged else {
        return Ok(false);
    };
    let block =
        block_text(&seen.block).replacen('\n', "\nid = \"own\"\n", usize::from(!said.has("id")));
    let settings = settings::read(block.as_bytes()).map_err(|problems| format!("{problems:?}"))?;
    let loggers = block_reader::loggers(&settings).map_err(|problems| format!("{problems:?}"))?;
    sound::log(logged, &loggers[0], &seen.survey.text)?;
    Ok(true)
}

fn a_line(rng: &mut Pcg32) -> Verdict {
    let block = case(rng).block;
    let mut lines: Vec<String> = Vec::new();
    for (key, value) in &block {
        if below(rng, 3) > 0 {
            continue;
        }
        let mut line = format!("{key} = {value}").into_bytes();
        if below(rng, 3) == 0 {
            bytes(rng, &mut line, TOML_WORDS);
        }
        lines.push(String::from_utf8_lossy(&line).into_owned());
    }
    match Said::read(&lines) {
        Ok(said) => looked(rng, &said, TABLE_WORDS).map(|_| true),
        Err(why) if why.is_empty() => Err("refused without words".into()),
        Err(_) => Ok(false),
    }
}

/// What became of inputs.
#[derive(Default)]
struct Counts {
    /// Accepted and refused by kind.
    by_kind: [(u64, u64); KINDS.len()],
    faults: Vec<String>,
    slowest: Duration,
    slowest_input: u64,
}

/// Reads the inputs from one number to below another; `now` is the one at work.
fn work(seed: u64, from: u64, to: u64, now: &AtomicU64) -> Counts {
    let mut counts = Counts::default();
    for input in from..to {
        now.store(input, Ordering::Relaxed);
        let mut rng = Pcg32::new(input, seed);
        let kind = [0, 0, 0, 1, 1, 2, 2, 3, 4, 5][below(&mut rng, 10)];
        let (name, read) = KINDS[kind];
        let began = Instant::now();
        let verdict = catch_unwind(AssertUnwindSafe(|| read(&mut rng)));
        let took = began.elapsed();
        if took > counts.slowest {
            (counts.slowest, counts.slowest_input) = (took, input);
        }
        let (accepted, refused) = &mut counts.by_kind[kind];
        match verdict {
            Ok(Ok(true)) => *accepted += 1,
            Ok(Ok(false)) => *refused += 1,
            Ok(Err(fault)) => counts
                .faults
                .push(format!("input {input}, {name}: {fault}")),
            Err(_) => counts
                .faults
                .push(format!("input {input}, {name}: a panic")),
        }
    }
    counts
}

/// Ends the program if a worker is at one input for too long.
fn watch(now: &[AtomicU64], done: &AtomicBool, seed: u64) {
    let mut since: Vec<(u64, Instant)> = now.iter().map(|_| (u64::MAX, Instant::now())).collect();
    while !done.load(Ordering::Relaxed) {
        std::thread::sleep(Duration::from_millis(100));
        for (now, since) in now.iter().zip(&mut since) {
            let input = now.load(Ordering::Relaxed);
            if since.0 != input {
                *since = (input, Instant::now());
            } else if input != u64::MAX && since.1.elapsed().as_secs() > LONGEST_S {
                eprintln!("input {input} of seed {seed} does not end");
                std::process::exit(101);
            }
        }
    }
}

/// Reads so many inputs on some threads, from the first number on.
fn fuzz(seed: u64, first: u64, count: u64, threads: u64) -> Counts {
    let now: Vec<AtomicU64> = (0..threads).map(|_| AtomicU64::new(u64::MAX)).collect();
    let done = AtomicBool::new(false);
    let mut all = Counts::default();
    std::thread::scope(|scope| {
        scope.spawn(|| watch(&now, &done, seed));
        let workers: Vec<_> = now
            .iter()
            .zip(0..threads)
            .map(|(now, worker)| {
                let bound = |worker: u64| first + count * worker / threads;
                scope.spawn(move || {
                    let counts = work(seed, bound(worker), bound(worker + 1), now);
                    now.store(u64::MAX, Ordering::Relaxed);
                    counts
                })
            })
            .collect();
        for worker in workers {
            let counts = worker.join().unwrap();
            for (all, of) in all.by_kind.iter_mut().zip(counts.by_kind) {
                *all = (all.0 + of.0, all.1 + of.1);
            }
            all.faults.extend(counts.faults);
            if counts.slowest > all.slowest {
                (all.slowest, all.slowest_input) = (counts.slowest, counts.slowest_input);
            }
        }
        done.store(true, Ordering::Relaxed);
    });
    all
}

/// Fails at any fault; prints the counts.
fn hold(seed: u64, first: u64, count: u64, threads: u64) {
    let counts = fuzz(seed, first, count, threads);
    for ((name, _), (accepted, refused)) in KINDS.iter().zip(counts.by_kind) {
        println!("{name}: {accepted} accepted, {refused} refused");
    }
    println!(
        "slowest: input {} in {:?}",
        counts.slowest_input, counts.slowest
    );
    let first: Vec<&String> = counts.faults.iter().take(10).collect();
    assert!(
        counts.faults.is_empty(),
        "{} faults with seed {seed}: {first:#?}",
        counts.faults.len()
    );
    for ((name, _), (accepted, refused)) in KINDS.iter().zip(counts.by_kind) {
        let all = accepted + refused;
        assert!(
            count < 1_000 || accepted * 50 > all && refused * 50 > all,
            "{name}: {accepted} of {all} accepted"
        );
    }
}

#[test]
fn changed_inputs_are_read_or_refused() {
    hold(1, 0, 4_000, 1);
}

/// As many inputs as `INPUTS` says, from the number `FIRST` on, drawn with `SEED`, on `THREADS`
/// threads; a fault names its input, so `INPUTS=1 FIRST=…` reads it again.
#[test]
#[ignore = "takes minutes"]
fn a_million_changed_inputs_are_read_or_refused() {
    hold(
        said("SEED", 2),
        said("FIRST", 0),
        said("INPUTS", 1_000_000),
        said("THREADS", 2),
    );
}
