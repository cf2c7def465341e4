//! A folder and its bundled file answer alike, bit for bit.

use super::{bundled, copied, orchard, refused, stdout};
use std::fs;

pub const QUESTIONS: &[&[&str]] = &[
    &["ask", "--job", "120 N·m"],
    &[
        "ask", "--job", "wheel", "--tool", "wren-18", "--pack", "thin-3",
    ],
    &["ask", "--job", "200 N·m", "--edition", "1"],
    &["rank"],
    &["rank", "--job", "300 N·m"],
    &[
        "compare",
        "--tool",
        "rook-18",
        "--pack",
        "thin-3",
        "--with-tool",
        "rook-18",
        "--with-pack",
        "thick-6",
    ],
    &["packs", "--tool", "rook-18", "--job", "200 N·m"],
    &["choices", "--job", "120 N·m"],
    &["runs", "--tool", "wren-18", "--pack", "thick-6"],
    &["runs", "--tool", "rook-18", "--pack", "thick-6", "--drafts"],
];

#[test]
fn a_folder_answers_as_its_file_does() {
    let (around, folder) = copied();
    let file = bundled(&folder, around.path());
    let (folder, file) = (folder.to_str().unwrap(), file.to_str().unwrap());
    for question in QUESTIONS {
        let (command, options) = question.split_first().unwrap();
        let of = |dataset| stdout(&[&[*command, dataset, "--json"], options].concat());
        let answer = of(folder);
        assert!(answer.len() > 100, "{question:?}");
        assert_eq!(answer, of(file), "{question:?}");
    }
}

#[test]
fn raw_samples_are_in_the_units_of_the_format() {
    let (around, folder) = copied();
    let file = bundled(&folder, around.path());
    let dataset: serde_json::Value = serde_json::from_slice(&fs::read(file).unwrap()).unwrap();
    let run = |at: usize| &dataset["runs"][at];
    // N·m, volts and amperes with units in the header.
    assert_eq!(run(0)["interval_s"], 0.005);
    assert_eq!(run(0)["at_s"], 32_700);
    let log =
        fs::read_to_string(orchard().join("logs/plain/2026-04-06_rook-18_thin-3_A_1.csv")).unwrap();
    let line = log.lines().nth(41).unwrap();
    let cells: Vec<f64> = line.split(',').map(|cell| cell.parse().unwrap()).collect();
    for (name, cell, unit) in [
        ("torque_dnm", 1, 10.0),
        ("angle_ddeg", 2, 10.0),
        ("voltage_mv", 3, 1000.0),
        ("current_ma", 4, 1000.0),
    ] {
        let value = run(0)[name][40].as_f64().unwrap();
        assert_eq!(value, (cells[cell] * unit).round(), "{name}");
    }
    // Latin-1, decimal commas, milliseconds, lbf·ft with the sign turned.
    let log = fs::read(orchard().join("logs/amp/wren-1.txt")).unwrap();
    let log: String = log.iter().map(|&byte| char::from(byte)).collect();
    let cells: Vec<&str> = log.lines().nth(41).unwrap().split(';').collect();
    let pound_feet: f64 = cells[1].replace(',', ".").parse().unwrap();
    let torque = run(6)["torque_dnm"][40].as_f64().unwrap();
    assert_eq!(
        torque,
        (-pound_feet * 1.355_817_948_331_400_4 * 10.0).round()
    );
    assert_eq!(
        run(6)["time_us"][40].as_f64().unwrap(),
        cells[0].parse::<f64>().unwrap() * 1000.0
    );
    // Kilonewtons by the calibration in force on the day, and the second run of three.
    assert_eq!(run(10)["log"]["part"], 2);
    let peak = |at: usize| {
        run(at)["torque_dnm"]
            .as_array()
            .unwrap()
            .iter()
            .map(|torque| torque.as_i64().unwrap())
            .max()
            .unwrap()
    };
    for (at, peak_nm) in [(9, 171), (10, 168), (11, 174)] {
        assert!((peak(at) - peak_nm * 10).abs() < 15, "{at}: {}", peak(at));
    }
    assert_eq!(
        dataset["tools"][0]["aka"],
        serde_json::json!(["Rook", "Rook XL"])
    );
    assert_eq!(dataset["tools"][0]["mass_kg"], 1.85);
    assert_eq!(dataset["tools"][0]["prices"][1]["amount"], 179.9);
    assert_eq!(dataset["packs"][1]["cells"]["parallel"], 2);
    assert_eq!(dataset["specimens"][0]["serial_ends"], "0041");
    assert_eq!(dataset["runs"][2]["grease_batch"], "07");
    assert_eq!(dataset["season"]["year"], 2026);
    assert!(run(14).get("edition").is_none());
}

#[test]
fn nothing_is_written_over_unasked() {
    let (around, folder) = copied();
    let file = around.path().join("bench.json");
    let (folder, out) = (folder.to_str().unwrap(), file.to_str().unwrap());
    fs::write(&file, "mine").unwrap();
    let (code, said) = refused(&["bundle", folder, "--out", out]);
    assert_eq!(code, 2, "{said}");
    assert!(said.contains("--force"), "{said}");
    assert_eq!(fs::read(&file).unwrap(), b"mine");
    stdout(&["bundle", folder, "--out", out, "--force"]);
    let (code, said) = refused(&["unbundle", out, "--out", folder]);
    assert_eq!(code, 2);
    assert!(said.contains("not empty"), "{said}");
}
