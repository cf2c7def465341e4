//! The exported tables, read by other programs: frictionless checks them against their descriptor,
//! duckdb runs the example of DEVELOPERS.md.

use super::{bundled, copied, edit, json_of, orchard, refused, stdout};
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// The tables of a dataset.
fn exported(dataset: Option<&Path>, options: &[&str]) -> (tempfile::TempDir, PathBuf, String) {
    let around = tempfile::tempdir().unwrap();
    let tables = around.path().join("tables");
    let dataset: Vec<&str> = dataset.iter().map(|path| path.to_str().unwrap()).collect();
    let out = ["--csv", tables.to_str().unwrap()];
    let said = stdout(&[&["export"][..], &dataset, &out, options].concat());
    (around, tables, said)
}

/// What a Python program prints that runs in a folder.
fn python(folder: &Path, program: &str) -> String {
    let output = Command::new("python3")
        .args(["-c", program])
        .current_dir(folder)
        .output()
        .unwrap();
    let errors = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{errors}");
    String::from_utf8(output.stdout).unwrap()
}

/// What frictionless finds wrong.
fn wrong(tables: &Path) -> Vec<String> {
    let found = python(
        tables,
        "import frictionless\n\
        report = frictionless.validate('datapackage.json')\n\
        assert report.stats['tasks'] == 4, report.stats\n\
        for type, field, message in report.flatten(['type', 'fieldName', 'message']): print(type, field, message)",
    );
    found.lines().map(String::from).collect()
}

/// The cells of a column of a table.
fn column(tables: &Path, table: &str, name: &str) -> Vec<String> {
    let mut reader = csv::Reader::from_path(tables.join(table)).unwrap();
    let headers = reader.headers().unwrap().clone();
    let at = headers.iter().position(|header| header == name).unwrap();
    let records = reader.records().map(|record| record.unwrap());
    records.map(|record| record[at].to_owned()).collect()
}

#[test]
fn the_tables_are_as_their_descriptor_says() {
    let demo: Value = serde_json::from_str(include_str!("../../data/demo.json")).unwrap();
    let published = |run: &&Value| !run["edition"].is_null();
    let of_demo = demo["runs"].as_array().unwrap().iter().filter(published);
    for (dataset, runs) in [(None, of_demo.count()), (Some(orchard()), 14)] {
        let (_around, tables, _) = exported(dataset.as_deref(), &[]);
        assert_eq!(wrong(&tables), Vec::<String>::new());
        let numbers = column(&tables, "runs.csv", "run");
        assert_eq!(numbers.len(), runs, "{dataset:?}");
        assert_eq!(column(&tables, "measures.csv", "run"), numbers);
        let mut of_curves = column(&tables, "curves.csv", "run");
        of_curves.dedup();
        assert_eq!(of_curves, numbers);
    }
}

#[test]
fn a_table_that_breaks_its_descriptor_is_found() {
    for (table, find, replace, kind) in [
        ("measures.csv", "\n2,", "\n99,", "foreign-key"),
        ("runs.csv", "set aside", "put aside", "constraint-error"),
        ("places.csv", "\n2,press", "\nnew,press", "type-error"),
    ] {
        let (_around, tables, _) = exported(Some(&orchard()), &[]);
        let path = tables.join(table);
        let text = fs::read_to_string(&path).unwrap();
        fs::write(path, text.replacen(find, replace, 1)).unwrap();
        let found = wrong(&tables);
        assert!(
            found.iter().any(|line| line.starts_with(kind)),
            "{table}: {found:?}"
        );
    }
}

#[test]
fn a_folder_and_its_file_give_the_same_tables() {
    let (around, folder) = copied();
    let file = bundled(&folder, around.path());
    let (_of_folder, a, _) = exported(Some(&folder), &[]);
    let (_of_file, b, _) = exported(Some(&file), &[]);
    for name in [
        "runs.csv",
        "measures.csv",
        "curves.csv",
        "places.csv",
        "datapackage.json",
    ] {
        assert!(
            fs::read(a.join(name)).unwrap() == fs::read(b.join(name)).unwrap(),
            "{name}"
        );
    }
}

#[test]
fn figures_are_those_of_the_other_commands() {
    let (_around, tables, _) = exported(Some(&orchard()), &[]);
    let folder = orchard();
    let of_pair = [
        "runs",
        folder.to_str().unwrap(),
        "--json",
        "--tool",
        "rook-18",
        "--pack",
        "thin-3",
    ];
    let told = json_of(&of_pair);
    let first = &told["runs"][0];
    for (name, field) in [
        ("peak_torque_nm", "peak_torque_nm"),
        ("mean_torque_nm", "mean_torque_nm"),
        ("early_torque_nm", "early_torque_nm"),
        ("largest_sample_nm", "largest_sample_nm"),
        ("torque_factor", "torque_factor"),
    ] {
        let cell: f64 = column(&tables, "measures.csv", name)[0].parse().unwrap();
        assert_eq!(cell, first[field].as_f64().unwrap(), "{name}");
    }
    assert_eq!(column(&tables, "measures.csv", "torque_factor")[0], "0.99");
    assert_eq!(column(&tables, "measures.csv", "energy_j")[0], "284.199");
    let roles = column(&tables, "runs.csv", "role");
    assert_eq!(
        (roles[7].as_str(), roles[12].as_str()),
        ("set aside", "check run")
    );
    assert_eq!(
        column(&tables, "runs.csv", "set_aside_reason")[7],
        "socket slipped"
    );
    // A curve ends at the peak of its run.
    let curve = column(&tables, "curves.csv", "run").into_iter();
    let torques = column(&tables, "curves.csv", "torque_nm");
    let mut of_first = curve.zip(torques).filter(|(run, _)| run == "1");
    assert_eq!(
        of_first.next_back().unwrap().1,
        column(&tables, "measures.csv", "peak_torque_nm")[0]
    );
    let rank = json_of(&["rank", folder.to_str().unwrap(), "--json", "--job", "wheel"]);
    let rows = rank["rows"].as_array().unwrap();
    let times = column(&tables, "places.csv", "time_to_job_s");
    assert_eq!(rows.len(), 4);
    for (row, time) in rows.iter().zip(times) {
        assert_eq!(row["time_to_job_s"].as_f64(), time.parse().ok(), "{row}");
    }
}

#[test]
fn a_text_that_begins_like_a_formula_stays_a_text() {
    let (_around, folder) = copied();
    edit(&folder, "runs.csv", "socket slipped", "=1+1");
    let (_tables, tables, _) = exported(Some(&folder), &[]);
    assert_eq!(column(&tables, "runs.csv", "set_aside_reason")[7], "'=1+1");
    assert_eq!(wrong(&tables), Vec::<String>::new());
}

#[test]
fn a_licence_in_words_is_a_file() {
    let (_around, folder) = copied();
    edit(
        &folder,
        "bench.toml",
        "license = \"CC0-1.0\"",
        "license = \"Ask us first, please\"",
    );
    let (_tables, tables, _) = exported(Some(&folder), &[]);
    assert_eq!(
        fs::read(tables.join("LICENSE.txt")).unwrap(),
        b"Ask us first, please\n"
    );
    assert_eq!(wrong(&tables), Vec::<String>::new());
}

#[test]
fn drafts_are_left_out_unless_asked_for() {
    let (_around, tables, said) = exported(Some(&orchard()), &[]);
    assert!(
        said.contains("1 run belongs to no edition and is left out"),
        "{said}"
    );
    assert!(!column(&tables, "runs.csv", "edition").contains(&"3".to_owned()));
    let (_around, tables, said) = exported(Some(&orchard()), &["--drafts"]);
    assert!(!said.contains("left out"), "{said}");
    assert_eq!(column(&tables, "runs.csv", "edition").last().unwrap(), "3");
    let text = fs::read_to_string(tables.join("datapackage.json")).unwrap();
    assert!(text.contains("Draft, not published"), "{text}");
}

#[test]
fn a_folder_that_is_not_empty_is_refused() {
    let (around, folder) = copied();
    let (code, said) = refused(&[
        "export",
        folder.to_str().unwrap(),
        "--csv",
        around.path().to_str().unwrap(),
    ]);
    assert_eq!(code, 2);
    assert!(said.contains("not empty"), "{said}");
}

#[test]
fn the_example_for_an_sql_engine_gives_the_figures_of_the_program() {
    let guide = include_str!("../../DEVELOPERS.md");
    let example = guide.split("```python\n").nth(1).unwrap();
    let example = example.split("```").next().unwrap();
    let (_around, tables, _) = exported(None, &[]);
    let program = format!(
        "{example}\nimport json\nprint('RESULT' + json.dumps([pairs.fetchall(), times.fetchall()]))"
    );
    let printed = python(&tables, &program);
    let result = printed.split("RESULT").nth(1).unwrap();
    let result: Value = serde_json::from_str(result).unwrap();
    let rank = json_of(&["rank", "--json"]);
    let (rows, found) = (
        rank["rows"].as_array().unwrap(),
        result[0].as_array().unwrap(),
    );
    assert!(rows.len() > 10);
    assert_eq!(rows.len(), found.len());
    for (row, pair) in rows.iter().zip(found) {
        assert_eq!((&row["tool"], &row["pack"]), (&pair[0], &pair[1]));
        let (own, other) = (
            row["mean_torque_nm"].as_f64().unwrap(),
            pair[2].as_f64().unwrap(),
        );
        // Sums in another order.
        assert!((own / other - 1.0).abs() < 1e-12, "{row} {pair}");
        assert_eq!(row["runs_used"], pair[3]);
    }
    assert!(result[1].as_array().unwrap().len() > 100, "{}", result[1]);
}
