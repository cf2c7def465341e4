//! Any run written in any shape that a logger's block can describe reads back equal.

use super::channels::NM_PER_KN;
use super::choices::Choices;
use super::said;
use super::shape::{Case, Run, draw};
use jobtorque::bench::one_log::{self, OneLog, Wanted};
use jobtorque::bench::settings_fields::LOGGER_FIELDS;
use proptest::prelude::*;
use proptest::test_runner::{RngSeed, TestCaseError, TestError, TestRunner};
use rand_pcg::{Pcg32, rand_core::Rng};
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

const LOG: &str = "deep/a 1.csv";

/// A bench folder with one run and no logger.
fn folder() -> tempfile::TempDir {
    let around = tempfile::tempdir().unwrap();
    fs::create_dir_all(around.path().join("logs/deep")).unwrap();
    for (file, text) in [
        ("tools.csv", "id,name,pack_mount\nlark,Lark,slide\n"),
        ("packs.csv", "id,name,pack_mount\nthin,Thin,slide\n"),
        ("days.csv", "id,date\nmonday,2026-05-04\n"),
    ] {
        fs::write(around.path().join(file), text).unwrap();
    }
    around
}

fn settings(case: &Case, files: &str) -> String {
    let block = case
        .block
        .iter()
        .map(|(key, value)| format!("{key} = {value}\n"));
    format!(
        "title = \"Invented\"\nlicense = \"CC0-1.0\"\ndisclosure = \"nobody\"\n\
         [[rigs]]\nid = \"r\"\ntorque_from = \"torque sensor\"\n\
         [[rigs.calibrations]]\ndate = 2026-05-01\nexpanded_uncertainty_percent = 1\nnm_per_kn = {NM_PER_KN}\n\
         [[loggers]]\nid = \"other\"\nfiles = \"*.txt\"\n\
         [[loggers]]\nid = \"own\"\n{files}{}",
        block.collect::<String>()
    )
}

/// Reads the runs of a case by the folder's reader.
fn read(folder: &Path, case: &Case, by_notebook: bool) -> Result<Vec<OneLog>, String> {
    let (files, named) = match by_notebook {
        true => ("", "own"),
        false => ("files = \"deep/*.csv\"\n", ""),
    };
    fs::write(folder.join("bench.toml"), settings(case, files)).unwrap();
    let rows: String = (1..=case.runs.len())
        .map(|part| format!("{LOG},{part},lark,thin,monday,{named}\n"))
        .collect();
    fs::write(
        folder.join("runs.csv"),
        format!("log,part,tool,pack,day,logger\n{rows}"),
    )
    .unwrap();
    fs::write(folder.join("logs").join(LOG), &case.bytes).unwrap();
    let of = |part: usize| {
        let wanted = Wanted {
            part: (case.runs.len() > 1).then_some(part),
            logger: None,
        };
        one_log::read(folder, Path::new(LOG), wanted).map_err(|problems| {
            let problems: Vec<String> = problems.iter().map(ToString::to_string).collect();
            problems.join("\n")
        })
    };
    (1..=case.runs.len()).map(of).collect()
}

/// Doubles that are the same but for the order of multiplications.
fn alike(a: f64, b: f64) -> bool {
    a == b || (a - b).abs() <= 1e-15 * a.abs().max(b.abs())
}

/// What is read otherwise than it was written.
fn difference(case: &Case, read: &[OneLog]) -> Option<String> {
    if read.len() != case.runs.len() {
        return Some(format!("{} runs", read.len()));
    }
    for (at, (wanted, found)) in case.runs.iter().zip(read).enumerate() {
        if let Some(difference) = of_run(wanted, found) {
            return Some(format!("run {}: {difference}", at + 1));
        }
        let columns = found.columns.iter();
        let columns = columns.map(|column| (column.channel, column.column, column.unit.to_owned()));
        let columns: Vec<_> = columns.collect();
        if columns != case.columns {
            return Some(format!("columns {columns:?}, wanted {:?}", case.columns));
        }
        if (found.logger.as_str(), found.clips_at_nm) != ("own", case.clips_at_nm) {
            return Some(format!(
                "logger {}, clips at {:?}",
                found.logger, found.clips_at_nm
            ));
        }
    }
    None
}

fn of_run(wanted: &Run, found: &OneLog) -> Option<String> {
    let samples = &found.samples;
    let times = &samples.time_us;
    let same = |(found, wanted): (&i64, &super::times::Wanted)| {
        (found - wanted.time_us).abs() <= wanted.within_us
    };
    if times.len() != wanted.times.len() || !times.iter().zip(&wanted.times).all(same) {
        return Some(format!("times {times:?}, wanted {:?}", wanted.times));
    }
    let torque = Some(samples.torque_nm.clone());
    let found = [
        &torque,
        &samples.angle_deg,
        &samples.voltage_v,
        &samples.current_a,
    ];
    for (name, (found, wanted)) in ["torque", "angle", "voltage", "current"]
        .iter()
        .zip(found.into_iter().zip(&wanted.series))
    {
        let same = match (found, wanted) {
            (Some(found), Some(wanted)) => {
                found.len() == wanted.len() && found.iter().zip(wanted).all(|(a, b)| alike(*a, *b))
            }
            (found, wanted) => found.is_none() && wanted.is_none(),
        };
        if !same {
            return Some(format!("{name} {found:?}, wanted {wanted:?}"));
        }
    }
    None
}

/// Holds so many drawn shapes.
fn hold(cases: u32, seed: u64) {
    let config = ProptestConfig {
        cases,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(seed),
        max_shrink_iters: 20_000,
        ..ProptestConfig::default()
    };
    let around = folder();
    let values = (
        proptest::collection::vec(any::<u16>(), 0..600),
        any::<bool>(),
    );
    let held = TestRunner::new(config).run(&values, |(values, by_notebook)| {
        let case = draw(&mut Choices::new(&values));
        let wrong = match read(around.path(), &case, by_notebook) {
            Ok(read) => difference(&case, &read),
            Err(refused) => Some(refused),
        };
        match wrong {
            None => Ok(()),
            Some(wrong) => Err(TestCaseError::fail(format!(
                "{wrong}\n{}\n{:?}",
                settings(&case, ""),
                case.text
            ))),
        }
    });
    match held {
        Ok(()) => {}
        // The drawn numbers say nothing; the reason holds block and log.
        Err(TestError::Fail(reason, _)) => panic!("{reason}"),
        Err(TestError::Abort(reason)) => panic!("{reason}"),
    }
}

#[test]
fn the_shapes_use_every_key_of_a_block() {
    let mut rng = Pcg32::new(1, 1);
    let mut said = BTreeSet::new();
    for _ in 0..500 {
        let values: Vec<u16> = (0..400).map(|_| rng.next_u32() as u16).collect();
        let case = draw(&mut Choices::new(&values));
        for (key, value) in &case.block {
            said.insert(key.clone());
            for inner in ["column", "unit", "factor", "inverted", "format"] {
                if value.contains(&format!("{inner} = ")) {
                    said.insert(format!("{key}.{inner}"));
                }
            }
        }
        let text = &case.text;
        let traits = [
            ("CR", text.contains('\r') && !text.contains('\n')),
            ("CRLF", text.contains("\r\n")),
            ("quotation marks", text.contains('"')),
            ("several runs", case.runs.len() > 1),
            ("UTF-16", case.bytes.contains(&0)),
            (
                "a byte-order mark",
                case.bytes.starts_with(&[0xef, 0xbb, 0xbf]),
            ),
            ("an exponent", text.contains("E+")),
        ];
        said.extend(
            traits
                .iter()
                .filter(|(_, has)| *has)
                .map(|(name, _)| (*name).to_owned()),
        );
    }
    // `id`, `files` and `name_pattern` say nothing of a log's text.
    let mut wanted: Vec<String> = LOGGER_FIELDS.iter().map(|key| (*key).to_owned()).collect();
    wanted.retain(|key| !["id", "files", "name_pattern"].contains(&key.as_str()));
    for key in ["time", "torque", "tension", "angle", "voltage", "current"] {
        wanted.extend(["column", "unit", "factor"].map(|inner| format!("{key}.{inner}")));
    }
    wanted.extend(
        [
            "time.format",
            "torque.inverted",
            "CR",
            "CRLF",
            "quotation marks",
        ]
        .map(String::from),
    );
    wanted.extend(["several runs", "UTF-16", "a byte-order mark", "an exponent"].map(String::from));
    let missing: Vec<&String> = wanted.iter().filter(|key| !said.contains(*key)).collect();
    assert!(missing.is_empty(), "{missing:?}");
}

#[test]
fn any_run_in_any_shape_reads_back_equal() {
    hold(500, 1);
}

/// As many shapes as `SHAPES` says, from the beginning `SEED`.
#[test]
#[ignore = "takes minutes"]
fn many_runs_in_any_shape_read_back_equal() {
    let (cases, seed) = (said("SHAPES", 100_000), said("SEED", 2));
    hold(u32::try_from(cases).unwrap(), seed);
}
