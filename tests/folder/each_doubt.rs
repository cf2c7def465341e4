//! Doubts one by one: each is told of a folder changed in just that way, with its figure, and not of the
//! folder as it was.

use super::small_season::{LEAD_IN, SAMPLES, path, write};
use super::{doubts_of, edit};
use jobtorque::bench::fingerprint::fingerprint;
use std::fs;
use std::path::Path;

/// What doubts of a name say of a folder: what they are about, and their figures.
fn told(folder: &Path, name: &str) -> Vec<(String, String)> {
    let text = |value: &serde_json::Value| value.as_str().unwrap().to_owned();
    let doubts = doubts_of(folder).into_iter();
    doubts
        .filter(|doubt| doubt["name"] == name)
        .map(|doubt| (text(&doubt["about"]), text(&doubt["figure"])))
        .collect()
}

/// Changes a season without doubts; the doubts of a name before and after.
fn changed(name: &str, change: impl Fn(&Path)) -> Vec<(String, String)> {
    let around = tempfile::tempdir().unwrap();
    let folder = write(around.path());
    assert_eq!(told(&folder, name), []);
    change(&folder);
    told(&folder, name)
}

/// Changes the rows of a log, from 0 where the first samples stand.
fn rows(folder: &Path, log: &str, change: impl Fn(usize, &str) -> Option<String>) {
    let path = folder.join(log);
    let text = fs::read_to_string(&path).unwrap();
    let (head, rows) = text.split_at(text.match_indices('\n').nth(1).unwrap().0 + 1);
    let rows = rows
        .lines()
        .enumerate()
        .filter_map(|(at, row)| change(at, row));
    let rows: String = rows.map(|row| row + "\n").collect();
    fs::write(path, head.to_owned() + &rows).unwrap();
}

/// The path below `logs/`, as doubts name it.
fn named(log: &str) -> &str {
    log.trim_start_matches("logs/")
}

/// The log of a run that counts, and the number of its day.
fn a_log() -> (String, usize) {
    (path(1, 1, 3, 1), 3)
}

#[test]
fn the_season_has_no_doubt() {
    let around = tempfile::tempdir().unwrap();
    let doubts = doubts_of(&write(around.path()));
    let suspicions: Vec<_> = doubts
        .iter()
        .filter(|doubt| doubt["fact"] == false)
        .collect();
    assert!(suspicions.is_empty(), "{suspicions:#?}");
}

#[test]
fn a_log_with_the_date_of_another_day_is_told() {
    let (log, _) = a_log();
    let found = changed("stamp-differs", |folder| {
        edit(folder, &log, "2026-03-03", "2026-03-04")
    });
    let figure = "The date in the log is 2026-03-04, its day in the notebook is 2026-03-03";
    assert_eq!(found, [(named(&log).to_owned(), figure.to_owned())]);
    // A logger that stamps some other date on all its logs says nothing of days.
    let found = changed("stamp-differs", |folder| {
        for entry in fs::read_dir(folder.join("logs")).unwrap() {
            let log = entry.unwrap().path();
            let text = fs::read_to_string(&log).unwrap();
            fs::write(&log, text.replace("2026-03-0", "2025-11-0")).unwrap();
        }
    });
    assert_eq!(found, []);
}

#[test]
fn a_log_changed_since_its_fingerprint_was_noted_is_told() {
    let around = tempfile::tempdir().unwrap();
    let folder = write(around.path());
    let of = |log: &str| fingerprint(&fs::read(folder.join("logs").join(log)).unwrap());
    let notebook = fs::read_to_string(folder.join("runs.csv")).unwrap();
    let rows = notebook.lines().enumerate().map(|(at, row)| match at {
        0 => format!("{row},log.sha256\n"),
        _ => format!("{row},{}\n", of(row.split(',').next().unwrap())),
    });
    fs::write(folder.join("runs.csv"), rows.collect::<String>()).unwrap();
    assert_eq!(told(&folder, "log-changed"), []);
    let (log, _) = a_log();
    let before = of(named(&log));
    let text = fs::read_to_string(folder.join(&log)).unwrap();
    fs::write(folder.join(&log), text + "\n").unwrap();
    let after = of(named(&log));
    let figure = format!(
        "The log has the fingerprint {}…, the notebook says {}…",
        &after[..12],
        &before[..12]
    );
    assert_eq!(
        told(&folder, "log-changed"),
        [(named(&log).to_owned(), figure)]
    );
}

#[test]
fn a_start_charge_that_is_not_the_setup_s_is_told_from_more_than_two_points() {
    let (log, day) = a_log();
    let charged = |percent: u32| {
        changed("start-charge", |folder| {
            let row = format!("{},t1,p1,standard,d{day},,1,", named(&log));
            edit(
                folder,
                "runs.csv",
                &format!("{row}100\n"),
                &format!("{row}{percent}\n"),
            );
        })
    };
    assert_eq!(charged(98), []);
    let figure = "The pack started at a charge of 97 %";
    assert_eq!(charged(97), [(named(&log).to_owned(), figure.to_owned())]);
}

#[test]
fn packs_swapped_on_one_tool_are_told() {
    let found = changed("packs-out-of-order", |folder| {
        let notebook = fs::read_to_string(folder.join("runs.csv")).unwrap();
        let swapped = notebook
            .replace(",t1,p0,", ",t1,p9,")
            .replace(",t1,p1,", ",t1,p0,");
        fs::write(
            folder.join("runs.csv"),
            swapped.replace(",t1,p9,", ",t1,p1,"),
        )
        .unwrap();
    });
    let [(about, figure)] = found.as_slice() else {
        panic!("{found:?}");
    };
    assert_eq!(about, "t1 with p1 and p0");
    assert!(
        figure.starts_with("On t1 the pack p1, which holds more energy, gives "),
        "{figure}"
    );
    assert!(
        figure.contains(" N·m, 0.96") && figure.ends_with(" N·m of p0"),
        "{figure}"
    );
}

#[test]
fn a_log_without_a_lead_in_is_told() {
    let (log, _) = a_log();
    let kept = |samples: usize| {
        changed("no-lead-in", |folder| {
            rows(folder, &log, |at, row| {
                (at >= LEAD_IN - samples).then(|| row.to_owned())
            });
        })
    };
    assert_eq!(kept(20), []);
    let figure = "Fewer than ten samples lie before the onset, so no zero was taken away";
    assert_eq!(kept(4), [(named(&log).to_owned(), figure.to_owned())]);
}

#[test]
fn a_sample_far_below_zero_is_told() {
    let (log, _) = a_log();
    let with = |torque_nm: f64| {
        changed("below-zero", |folder| {
            rows(folder, &log, |at, row| match at {
                400 => Some(format!("{},{torque_nm}", row.split(',').next().unwrap())),
                _ => Some(row.to_owned()),
            });
        })
    };
    // A tenth of the largest is some 47 N·m.
    assert_eq!(with(-30.0), []);
    let found = with(-80.0);
    let [(about, figure)] = found.as_slice() else {
        panic!("{found:?}");
    };
    assert_eq!(about, named(&log));
    assert!(
        figure.starts_with("The lowest sample is -80.")
            || figure.starts_with("The lowest sample is -79."),
        "{figure}"
    );
    assert!(figure.contains("the largest 4"), "{figure}");
}

#[test]
fn a_row_that_stands_twice_is_told() {
    let (log, day) = a_log();
    let found = changed("same-log", |folder| {
        let row = format!("{},t1,p1,standard,d{day},,1,100\n", named(&log));
        edit(folder, "runs.csv", &row, &row.repeat(2));
    });
    let figure = "2 rows name the same log";
    assert_eq!(found, [(named(&log).to_owned(), figure.to_owned())]);
}

#[test]
fn samples_at_the_torque_at_which_the_sensor_clips_are_told() {
    // The strongest run alone has a sample of 1500 N·m.
    let log = path(3, 3, 4, 1);
    let clips_at = |limit_nm: &str| {
        changed("clipped", |folder| {
            rows(folder, &log, |at, row| match at {
                600..603 => Some(format!("{},1500.00", row.split(',').next().unwrap())),
                _ => Some(row.to_owned()),
            });
            edit(
                folder,
                "bench.toml",
                "clips_at_nm = 2000",
                &format!("clips_at_nm = {limit_nm}"),
            );
        })
    };
    assert_eq!(clips_at("1502"), []);
    let figure = format!("3 of {SAMPLES} samples are at the limit, 1500 N·m");
    assert_eq!(clips_at("1500"), [(named(&log).to_owned(), figure)]);
}
