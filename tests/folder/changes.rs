//! `changes`: what an edition changes against an earlier one.

use super::{copied, edit, json_of, orchard, refused, stdout};
use serde_json::Value;
use std::fs;

fn told(arguments: &[&str]) -> Value {
    json_of(&[&["changes", "--json"], arguments].concat())
}

#[test]
fn an_edition_is_told_against_the_one_before() {
    let said = stdout(&["changes", orchard().to_str().unwrap()]);
    let said = said.replace("\n  ", " ");
    for part in [
        "Edition 2, 10 May 2026: changes against Edition 1, 20 April 2026\n",
        "Pairs new\n- Wren 18; small (invented) with Thick 6.0 (invented): mean torque 145 N·m (90 % interval 130 to 155), 3 runs.\n",
        ", before 125 N·m (90 % interval 115 to 135). 1 run more. 1 run set aside. The new runs read 3.6 % more, within scatter.\n",
        ", before 230 N·m (90 % interval 215 to 245). Corrected.\n",
        "- Rook 18 (invented) with Thick 6.0 (invented): mean torque 260 N·m (90 % interval 245 to 280), before 265 N·m (90 % interval 245 to 280). Corrected.\n",
        "Runs set aside\n- Run 8, Wren 18; small (invented) with Thin 3.0 (invented), 6 April 2026: socket slipped.\n",
        "Torque of 6 April 2026 is lowered by 1.0 %",
        "- wheel nut M12, loosen 140 N·m: none of 3 pairs moved.\n",
    ] {
        assert!(said.contains(part), "{part}\n{said}");
    }
    assert!(
        said.lines()
            .all(|line| line != "Pairs without a run that counts"),
        "{said}"
    );
}

#[test]
fn figures_are_those_that_each_edition_gives() {
    let folder = orchard();
    let folder = folder.to_str().unwrap();
    let changes = told(&[folder]);
    let mean = |edition: &str, tool: &str, pack: &str| {
        let rank = stdout(&["rank", folder, "--json", "--edition", edition]);
        let rank: Value = serde_json::from_str(&rank).unwrap();
        let rows = rank["rows"].as_array().unwrap().clone();
        let row = rows
            .into_iter()
            .find(|row| row["tool"] == tool && row["pack"] == pack);
        row.unwrap()["mean_torque_nm"].clone()
    };
    let changed = changes["changed"].as_array().unwrap();
    assert_eq!(changed.len(), 3);
    for pair in changed {
        let (tool, pack) = (
            pair["now"]["tool"].as_str().unwrap(),
            pair["now"]["pack"].as_str().unwrap(),
        );
        assert_eq!(pair["now"]["mean_torque_nm"], mean("2", tool, pack));
        assert_eq!(pair["before"]["mean_torque_nm"], mean("1", tool, pack));
    }
    let wren = changed
        .iter()
        .find(|pair| pair["now"]["tool"] == "wren-18")
        .unwrap();
    // One more run over the two that count before it, their mean torques from `runs`.
    let runs = json_of(&[
        "runs", folder, "--json", "--tool", "wren-18", "--pack", "thin-3",
    ]);
    let logs = |edition: u64| -> Vec<f64> {
        let runs = runs["runs"].as_array().unwrap().iter();
        let own = runs.filter(|run| run["edition"] == edition && run["set_aside"].is_null());
        own.map(|run| libm::log(run["mean_torque_nm"].as_f64().unwrap()))
            .collect()
    };
    let mean = |logs: Vec<f64>| logs.iter().sum::<f64>() / logs.len() as f64;
    let ratio = libm::exp(mean(logs(2)) - mean(logs(1)));
    let found = wren["added_over_before"]["ratio"].as_f64().unwrap();
    assert!(
        (found - ratio).abs() < 1e-12 && ratio > 1.03,
        "{found} {ratio}"
    );
    assert_eq!(wren["beyond_scatter"], false);
}

#[test]
fn runs_that_read_otherwise_are_beyond_scatter() {
    let (_around, folder) = copied();
    // The new run of the pair becomes one of a log of the stronger tool.
    edit(
        &folder,
        "runs.csv",
        "plain/2026-05-04_wren-18_thin-3_A_8.csv",
        "plain/2026-04-06_rook-18_thin-3_A_1.csv",
    );
    let changes = told(&[folder.to_str().unwrap()]);
    let changed = changes["changed"].as_array().unwrap();
    let wren = changed
        .iter()
        .find(|pair| pair["now"]["tool"] == "wren-18")
        .unwrap();
    assert_eq!(wren["beyond_scatter"], true, "{wren}");
    assert!(
        wren["added_over_before"]["low"].as_f64().unwrap() > 1.0,
        "{wren}"
    );
}

#[test]
fn places_are_counted_among_pairs_of_both_editions() {
    let changes = told(&[]);
    let places = changes["places"].as_array().unwrap();
    let job = places
        .iter()
        .filter(|places| places["setup"] == "standard")
        .max_by_key(|places| places["moved"].as_array().unwrap().len())
        .unwrap();
    let moved = job["moved"].as_array().unwrap();
    assert!(moved.len() > 3);
    for pair in moved.iter().take(4) {
        let runs = json_of(&[
            "runs",
            "--json",
            "--tool",
            pair["tool"].as_str().unwrap(),
            "--pack",
            pair["pack"].as_str().unwrap(),
            "--job",
            job["job"].as_str().unwrap(),
        ]);
        let editions = runs["places"].as_array().unwrap();
        let earlier = editions.iter().find(|place| place["edition"] == 2).unwrap();
        let both = &earlier["among_both"];
        assert_eq!(both["of"], job["of"]);
        assert_eq!(both["rank"], pair["rank_before"]);
        assert_eq!(both["rank_shown"], pair["rank"]);
        assert_eq!(both["interval"], pair["interval_before"]);
        assert_eq!(both["interval_shown"], pair["interval"]);
        assert_eq!(earlier["changed"], pair["beyond_doubt"]);
    }
}

#[test]
fn drafts_are_told_as_the_next_edition() {
    let folder = orchard();
    let folder = folder.to_str().unwrap();
    let changes = told(&[folder, "--drafts"]);
    assert_eq!(
        (&changes["since"], &changes["edition"]),
        (&2.into(), &3.into())
    );
    assert_eq!(changes["draft"], true);
    assert_eq!(changes["changed"][0]["runs_added"], 1);
    let note = stdout(&["changes", folder, "--drafts", "--markdown"]);
    assert!(note.starts_with("## Draft with runs up to "), "{note}");
    assert!(
        note.contains("\n### Pairs run again\n\n- Rook 18 (invented)"),
        "{note}"
    );
    assert!(!note.contains("--published"), "{note}");
    let since = told(&[folder, "--drafts", "--since", "1"]);
    assert_eq!(since["new_pairs"].as_array().unwrap().len(), 1);
}

#[test]
fn an_edition_that_is_not_there_is_refused() {
    let folder = orchard();
    let (code, said) = refused(&["changes", folder.to_str().unwrap(), "--since", "2"]);
    assert_eq!(code, 2);
    assert!(
        said.contains("no such edition before edition 2, only 1"),
        "{said}"
    );
}

#[test]
fn a_log_changed_since_publication_is_named() {
    let (around, folder) = copied();
    let published = around.path().join("published.json");
    let (at, file) = (folder.to_str().unwrap(), published.to_str().unwrap());
    stdout(&["bundle", at, "--out", file]);
    assert_eq!(told(&[at])["logs"], Value::Null);
    assert_eq!(
        told(&[at, "--published", file])["logs"],
        serde_json::json!([])
    );
    let log = "plain/2026-04-06_rook-18_thin-3_A_1.csv";
    let path = folder.join("logs").join(log);
    let mut bytes = fs::read(&path).unwrap();
    bytes.extend_from_slice(b"\n");
    fs::write(&path, bytes).unwrap();
    let logs = told(&[at, "--published", file])["logs"].clone();
    assert_eq!(logs.as_array().unwrap().len(), 1, "{logs}");
    assert_eq!(logs[0]["log_file"], log);
    let said = stdout(&["changes", at, "--published", file]);
    let told = format!("Logs changed since they were published\n- {log}: its bytes");
    assert!(said.contains(&told), "{said}");
}
