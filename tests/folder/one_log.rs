//! One log as the folder reads it: `reduce LOG --in DIR`, and measured logs that nobody here made.

use super::{copied, edit, json_of, refused, stdout};
use jobtorque::dataset::json;
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};

#[test]
fn a_log_is_reduced_as_the_folder_says() {
    let (_around, folder) = copied();
    let dir = folder.to_str().unwrap();
    let of =
        |arguments: &[&str]| json_of(&[&["reduce", "--json", "--in", dir], arguments].concat());
    let log = "plain/2026-05-05_rook-18_thick-6_A_9.csv";
    let below = of(&[log]);
    let path = folder.join("logs").join(log);
    assert_eq!(of(&[path.to_str().unwrap()]), below);
    assert!(below["peak_torque_nm"].as_f64().unwrap() > 0.0);
    // The rig's smoothing, where the options do not say another.
    edit(&folder, "bench.toml", "smooth_s = 0.02", "smooth_s = 0.5");
    let wider = of(&[log]);
    assert_ne!(wider["mean_torque_nm"], below["mean_torque_nm"]);
    assert_eq!(of(&[log, "--smooth", "0.02"]), below);
}

#[test]
fn what_the_folder_cannot_say_is_asked_for() {
    let (_around, folder) = copied();
    let dir = folder.to_str().unwrap();
    let log = "plain/2026-05-05_rook-18_thick-6_A_9.csv";
    let said = |arguments: &[&str]| refused(&[&["reduce", "--in", dir], arguments].concat());
    let (code, text) = said(&["gone.csv"]);
    assert_eq!(code, 1, "{text}");
    assert!(text.contains("\"gone.csv\", which is not there"), "{text}");
    let (code, text) = said(&[log, "--part", "2"]);
    assert_eq!(code, 1, "{text}");
    assert!(
        text.contains("found a log with 1 run, wanted part 2"),
        "{text}"
    );
    let (code, text) = said(&[log, "--logger", "none"]);
    assert_eq!(code, 1, "{text}");
    assert!(text.contains("the unknown logger \"none\""), "{text}");
    let (code, text) = said(&[log, "--delimiter", ";"]);
    assert_eq!(code, 2, "{text}");
    assert!(text.contains("leave the other options out"), "{text}");
    assert_eq!(refused(&["reduce", log, "--part", "1"]).0, 2);
}

#[test]
fn a_log_whose_day_or_rig_is_not_understood_is_not_reduced() {
    let tension = "cell/2026-05-04 wren thick.csv";
    for (file, find, replace, parts) in [
        (
            "runs.csv",
            "A,,,2026-05-04,14:00,",
            "A,,,2026-05-99,14:00,",
            &["runs.csv:11:54: day: ", "the unknown day \"2026-05-99\""][..],
        ),
        (
            "bench.toml",
            "window_s = 0.35",
            "window_s = \"0.35\"",
            &["bench.toml", "rigs.0.window_s", "wanted a number"],
        ),
        (
            "days.csv",
            "id,date,rig",
            "id,date,rigg",
            &["days.csv", "rigg"],
        ),
        (
            "days.csv",
            "2026-05-04,,21",
            "2026-05-04,pres,21",
            &["days.csv:3:23: rig: ", "the unknown rig \"pres\""],
        ),
    ] {
        let (_around, folder) = copied();
        edit(&folder, file, find, replace);
        let dir = folder.to_str().unwrap();
        let (code, text) = refused(&["reduce", "--in", dir, tension, "--part", "1"]);
        assert_eq!(code, 1, "{text}");
        assert!(parts.iter().all(|part| text.contains(part)), "{text}");
    }
}

#[test]
fn a_log_without_a_row_is_reduced_only_where_its_rig_is_beyond_doubt() {
    let (around, folder) = copied();
    let dir = folder.to_str().unwrap();
    let log = "plain/2026-05-05_rook-18_thick-6_A_9.csv";
    let logs = folder.join("logs/plain");
    fs::copy(
        folder.join("logs").join(log),
        logs.join("without a row.csv"),
    )
    .unwrap();
    let new = "plain/without a row.csv";
    let of = |log: &str| json_of(&["reduce", "--json", "--in", dir, log]);
    let by_its_row = of(log);
    assert_eq!(of(new), by_its_row, "one rig");
    let another = "[[rigs]]\nid = \"bar\"\ntorque_from = \"torque sensor\"\nwindow_s = 0.35\nsmooth_s = 0.02\n\n[[setups]]\nid = \"standard\"";
    edit(
        &folder,
        "bench.toml",
        "[[setups]]\nid = \"standard\"",
        another,
    );
    assert_eq!(of(new), by_its_row, "two rigs that reduce alike");
    let (alike, other) = (
        "window_s = 0.35\nsmooth_s = 0.02\n\n[[setups]]",
        "\n[[setups]]",
    );
    edit(&folder, "bench.toml", alike, other);
    assert_eq!(of(log), by_its_row, "its row says the day, and so the rig");
    let picture = around.path().join("run.svg");
    let svg = picture.to_str().unwrap();
    for arguments in [
        &["reduce", "--in", dir, new][..],
        &["reduce", "--in", dir, new, "--json"],
        &["chart", dir, "--log", new, "--svg", svg],
    ] {
        let (code, text) = refused(arguments);
        assert_eq!(code, 1, "{text}");
        for part in [
            "logs/plain/without a row.csv: found no row of runs.csv",
            "in different ways: \"press\", \"bar\"",
            "wanted a row in the notebook",
            "`jobtorque gather DIR`",
        ] {
            assert!(text.contains(part), "{text}");
        }
    }
    assert!(!picture.exists());
}

#[test]
fn a_member_of_the_settings_that_is_not_understood_is_told_before_a_picture_is_drawn() {
    let (around, folder) = copied();
    edit(
        &folder,
        "bench.toml",
        "invented = true",
        "invented = \"true\"",
    );
    let picture = around.path().join("run.svg");
    let (code, text) = refused(&[
        "chart",
        folder.to_str().unwrap(),
        "--log",
        "cell/2026-05-04 wren thick.csv",
        "--part",
        "1",
        "--svg",
        picture.to_str().unwrap(),
    ]);
    assert_eq!(code, 1, "{text}");
    assert!(
        text.contains("bench.toml") && text.contains("invented"),
        "{text}"
    );
    assert!(!picture.exists());
}

/// What the station recorded of the final step of a run.
struct Recorded {
    run: String,
    start_s: f64,
    peak_nm: f64,
    time_to_peak_s: f64,
    angle_to_peak_deg: f64,
}

/// The measured runs, if they are there: outsiders do not have them.
fn recorded() -> Option<(PathBuf, Vec<Recorded>)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../shared/real/screwdriving");
    if !folder.is_dir() {
        println!("the measured screw-driving runs are not on this machine: nothing was compared");
        return None;
    }
    let text = fs::read_to_string(folder.join("recorded-results.json")).unwrap();
    let all: Vec<Value> = serde_json::from_str(&text).unwrap();
    let of = |one: &Value| {
        let number = |key: &str| one[key].as_f64().unwrap();
        Recorded {
            run: one["run"].as_str().unwrap().to_owned(),
            start_s: number("final_step_start_s"),
            peak_nm: number("final_step_peak_torque_nm"),
            time_to_peak_s: number("final_step_time_to_peak_s"),
            angle_to_peak_deg: number("final_step_angle_to_peak_deg"),
        }
    };
    Some((folder, all.iter().map(of).collect()))
}

/// A bench folder made by `start`, with the measured logs, a logger's block and a notebook.
fn station(logs: &Path, recorded: &[Recorded], channels: &str) -> (tempfile::TempDir, PathBuf) {
    let around = tempfile::tempdir().unwrap();
    let folder = around.path().join("station");
    stdout(&["start", folder.to_str().unwrap()]);
    for one in recorded {
        let name = format!("run-{}.csv", one.run);
        fs::copy(logs.join(&name), folder.join("logs").join(&name)).unwrap();
    }
    let settings = "title = \"Measured screws\"\nlicense = \"CC-BY-4.0\"\ndisclosure = \"nobody\"\n[[editions]]\nedition = 1\ndate = \"2026-03-02\"\n[[rigs]]\nid = \"station\"\ntorque_from = \"torque sensor\"\n";
    let block = format!(
        "\n[[loggers]]\nid = \"station\"\nfiles = \"run-*.csv\"\ntime = \"time [s]\"\n{channels}\n"
    );
    fs::write(folder.join("bench.toml"), settings.to_owned() + &block).unwrap();
    let mut rows = "log,tool,pack,day,edition\n".to_owned();
    for one in recorded {
        rows += &format!("run-{}.csv,screw-station,mains,2026-01-12,1\n", one.run);
    }
    fs::write(folder.join("runs.csv"), rows).unwrap();
    for (file, text) in [
        (
            "tools.csv",
            "id,name,pack_mount\nscrew-station,Screw station,mains\n",
        ),
        ("packs.csv", "id,name,pack_mount\nmains,Mains,mains\n"),
        ("days.csv", "id,date\n2026-01-12,2026-01-12\n"),
        ("specimens.csv", "tool,pack,specimen\nscrew-station,,A\n"),
    ] {
        fs::write(folder.join(file), text).unwrap();
    }
    (around, folder)
}

/// Of the final step: largest torque, time from the step's start to it, and angle turned until then.
fn final_step(times: &[i64], torque: &[f64], angle: &[f64], start_s: f64) -> (f64, f64, f64) {
    let start_us = (start_s * 1e6).round() as i64;
    let first = times.iter().rposition(|&time| time <= start_us).unwrap();
    let peak = (first..times.len())
        .reduce(|a, b| if torque[b] > torque[a] { b } else { a })
        .unwrap();
    let time_s = (times[peak] - start_us) as f64 / 1e6;
    (torque[peak], time_s, angle[peak] - angle[first])
}

#[test]
fn measured_logs_come_in_by_a_block_and_a_notebook() {
    let Some((logs, recorded)) = recorded() else {
        return;
    };
    assert_eq!(recorded.len(), 9);
    // A dataset holds torque in tenths of a N·m and angle in tenths of a degree, too coarse for a
    // screw in plastic and a station that counts quarters of a degree: the block makes of each N·m a
    // thousand and of each degree ten.
    let channels = "torque = { column = \"torque [N·m]\", factor = 1000 }\nangle = { column = \"angle [deg]\", factor = 10 }";
    let (_around, folder) = station(&logs, &recorded, channels);
    let dir = folder.to_str().unwrap();
    let said = stdout(&["check", dir]);
    assert!(said.contains("fine, 9 runs"), "{said}");
    let file = folder.with_extension("json");
    stdout(&["bundle", dir, "--out", file.to_str().unwrap()]);
    let text = fs::read_to_string(file).unwrap();
    let runs = json::parse(&text).unwrap().dataset.runs;
    assert_eq!(runs.len(), 9);
    for (run, one) in runs.iter().zip(&recorded) {
        let tenths = |series: &Option<Vec<i32>>| -> Vec<f64> {
            let series = series.as_ref().expect(&one.run);
            series
                .iter()
                .map(|&value| f64::from(value) / 10.0)
                .collect()
        };
        let torque = tenths(&run.torque_dnm);
        let angle = tenths(&run.angle_ddeg);
        let times = run.time_us.as_ref().expect(&one.run);
        let (peak, time_s, angle_deg) = final_step(times, &torque, &angle, one.start_s);
        assert_eq!(peak, (one.peak_nm * 1000.0).round(), "{}", one.run);
        assert!(
            (time_s - one.time_to_peak_s).abs() <= 0.01,
            "{}: {time_s} s",
            one.run
        );
        assert!(
            (angle_deg / 10.0 - one.angle_to_peak_deg).abs() <= 0.5,
            "{}: {angle_deg}°",
            one.run
        );
    }
}

#[test]
fn measured_logs_are_reduced_in_their_own_unit() {
    let Some((logs, recorded)) = recorded() else {
        return;
    };
    let (_around, folder) = station(&logs, &recorded, "torque = \"torque [N·m]\"");
    for one in &recorded {
        let log = format!("run-{}.csv", one.run);
        let run = json_of(&[
            "reduce",
            &log,
            "--in",
            folder.to_str().unwrap(),
            "--keep-zero",
            "--json",
        ]);
        assert_eq!(
            run["largest_sample_nm"].as_f64(),
            Some(one.peak_nm),
            "{}",
            one.run
        );
    }
}
