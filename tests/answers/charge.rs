//! What packs give and how long a charge lasts, worked out again from the published figures of the runs.

use super::demo::{ask, demo, edited, list, question, read};
use jobtorque::answer::data::Answer;
use jobtorque::dataset::types::{BuildUp, Run, Tool};
use jobtorque::packs::data::PackOnTool;
use jobtorque::results::Results;
use serde_json::json;

#[test]
fn jobs_per_charge_are_what_the_pack_holds_over_what_a_job_takes() {
    let results = counted();
    let runs: Vec<_> = results
        .dataset()
        .runs
        .iter()
        .zip(results.buildups())
        .collect();
    let answers = ask(&results, json!({"job": "135 N·m"})).list.unwrap();
    let mut given = 0;
    for answer in answers {
        let of_pair = runs.iter().filter(|(run, _)| {
            Some(&run.tool) == answer.tool.as_ref()
                && Some(&run.pack) == answer.pack.as_ref()
                && run.setup.as_deref() == Some("standard")
        });
        let mut powers_w: Vec<f64> = of_pair
            .filter_map(|(_, knots)| {
                let ticks: u32 = knots.step.iter().sum();
                let end_us = f64::from(knots.first_us) + f64::from(ticks * knots.tick_us);
                Some(knots.energy_mj? as f64 / 1e3 / (end_us / 1e6))
            })
            .collect();
        powers_w.sort_by(f64::total_cmp);
        let Some(&low) = powers_w.get((powers_w.len().max(1) - 1) / 2) else {
            assert_eq!(answer.jobs_per_charge, None, "{}", answer.label);
            continue;
        };
        let power_w = (low + powers_w[powers_w.len() / 2]) / 2.0;
        let held_j = held_j(&results, answer.pack.as_ref().unwrap());
        // A job counts at least 2 s at the trigger.
        let jobs = held_j / (power_w * answer.time_to_job_s.unwrap().max(2.0));
        assert_eq!(
            answer.jobs_per_charge,
            Some(jobs as u32),
            "{}",
            answer.label
        );
        given += 1;
    }
    assert!(given > 20, "{given}");
}

/// The median of two in the middle is their mean.
fn median(mut figures: Vec<f64>) -> Option<f64> {
    figures.sort_by(f64::total_cmp);
    let low = figures.get((figures.len().max(1) - 1) / 2)?;
    Some((low + figures[figures.len() / 2]) / 2.0)
}

/// Every pack on every tool.
fn packs(results: &Results) -> Vec<(String, PackOnTool)> {
    let tools = results.dataset().tools.iter();
    let on = |tool: &Tool| {
        let told = results.packs(&question(json!({"tool": tool.id}))).unwrap();
        told.packs
            .into_iter()
            .map(|one| (tool.id.clone(), one))
            .collect::<Vec<_>>()
    };
    tools.flat_map(on).collect()
}

/// What a pack holds when full, in J.
fn held_j(results: &Results, pack: &str) -> f64 {
    let pack = results
        .dataset()
        .packs
        .iter()
        .find(|one| one.id == pack)
        .unwrap();
    3600.0 * pack.nominal_v.unwrap() * pack.capacity_ah.unwrap()
}

/// Demo and results in which every run counts.
fn counted() -> Results {
    edited(|document| {
        list(document, "runs").retain(|run| {
            run["edition"].is_u64()
                && run["control"] != json!(true)
                && run.get("excluded").is_none()
        });
    })
}

/// What the runs in the standard setup say of their packs, with the tool of each.
fn of_standard(results: &Results) -> impl Iterator<Item = (&Run, &BuildUp)> {
    let runs = results.dataset().runs.iter().zip(results.buildups());
    runs.filter(|(run, _)| run.setup.as_deref() == Some("standard"))
}

#[track_caller]
fn assert_close(got: Option<f64>, wanted: f64, name: &str) {
    let got = got.unwrap();
    assert!((got / wanted - 1.0).abs() < 1e-12, "{name}: {got} {wanted}");
}

#[test]
fn energy_of_a_run_and_lowest_voltage_are_those_of_the_pair_s_own_runs() {
    let results = counted();
    let (mut given, mut without) = (0, 0);
    for (tool, one) in packs(&results) {
        let name = format!("{tool} {}", one.pack);
        let own = of_standard(&results).filter(|(run, _)| run.tool == tool && run.pack == one.pack);
        let (energies_j, lowest_v): (Vec<f64>, Vec<f64>) = own
            .filter_map(|(_, knots)| {
                Some((knots.energy_mj? as f64 / 1e3, knots.lowest_mv? as f64 / 1e3))
            })
            .unzip();
        assert_eq!(
            one.lowest_v,
            lowest_v.into_iter().min_by(f64::total_cmp),
            "{name}"
        );
        let Some(run_j) = median(energies_j) else {
            let told = (one.energy_per_run_j, one.runs_per_charge);
            assert_eq!(told, (None, None), "{name}");
            without += 1;
            continue;
        };
        assert_close(one.energy_per_run_j, run_j, &name);
        let runs = held_j(&results, &one.pack) / run_j;
        assert_eq!(one.runs_per_charge, Some(runs as u32), "{name}");
        given += 1;
    }
    assert!(given > 20 && without > 0, "{given} {without}");
}

#[test]
fn voltage_and_resistance_of_a_pack_are_means_over_its_runs_on_any_tool() {
    let results = counted();
    let mut given = 0;
    for (tool, one) in packs(&results) {
        let name = format!("{tool} {}", one.pack);
        let lines: Vec<(f64, f64)> = of_standard(&results)
            .filter(|(run, _)| run.pack == one.pack)
            .filter_map(|(_, knots)| Some((knots.open_mv? as f64, knots.resistance_uohm? as f64)))
            .collect();
        let mean = |sum: f64| sum / lines.len() as f64;
        let open_v = mean(lines.iter().map(|(open_mv, _)| open_mv).sum()) / 1e3;
        let ohm = mean(lines.iter().map(|(_, uohm)| uohm).sum()) / 1e6;
        assert_close(one.open_v, open_v, &name);
        assert_close(one.resistance_ohm, ohm, &name);
        // By hand: half the voltage over the pack, half over what it drives.
        let half_v = open_v / 2.0;
        assert_close(one.most_power_w, half_v * half_v / ohm, &name);
        given += 1;
    }
    assert!(given > 20, "{given}");
}

/// The sentences on jobs on one charge.
fn said(answer: &Answer) -> Vec<&String> {
    let about = |line: &&String| line.starts_with("One charge") || line.contains("the trigger");
    let said = answer.further.iter().chain(&answer.rests_on);
    said.filter(about).collect()
}

const LIGHT: &str = "20 N·m";

#[test]
fn a_light_job_counts_two_seconds_at_the_trigger() {
    let results = read(&demo());
    let mut counted = 0;
    let pair = |job: &str, one: &Answer| json!({"job": job, "tool": one.tool, "pack": one.pack});
    for listed in ask(&results, json!({"job": LIGHT})).list.unwrap() {
        let answer = ask(&results, pair(LIGHT, &listed));
        let Some(jobs) = answer.jobs_per_charge else {
            continue;
        };
        assert_eq!(answer.least_trigger_s, 2.0);
        assert!((100..=1_000).contains(&jobs), "{}: {jobs}", answer.label);
        let said = said(&answer);
        let digits: String = said[0].chars().filter(char::is_ascii_digit).collect();
        assert!(digits.trim_end_matches('0').len() <= 2, "{}", said[0]);
        assert_eq!(
            said[1],
            "Each job counts as at least 2 s at the trigger. That is common practice, not measured."
        );
        counted += 1;
    }
    assert!(counted > 20, "{counted}");
}

#[test]
fn the_file_states_how_long_a_job_counts_at_the_trigger() {
    let pair = json!({"job": LIGHT, "tool": "yarrow-18-large", "pack": "two-row-8-0"});
    let results = |least_s: f64| edited(|document| document["least_trigger_s"] = json!(least_s));
    let usual = ask(&read(&demo()), pair.clone());
    let longer = ask(&results(4.0), pair.clone());
    assert_eq!(longer.least_trigger_s, 4.0);
    assert_eq!(
        longer.jobs_per_charge,
        usual.jobs_per_charge.map(|jobs| jobs / 2)
    );
    assert_eq!(
        said(&longer)[1],
        "Each job counts as at least 4 s at the trigger."
    );
    // What an estimate cannot tell apart is not told.
    let shorter = ask(&results(0.1), pair.clone());
    assert!(shorter.jobs_per_charge.unwrap() > 1_000);
    assert_eq!(
        said(&shorter)[0],
        "One charge: more than 1,000 such jobs, as an estimate."
    );
    // A job that takes longer than that is counted as it is.
    let hard = json!({"job": "300 N·m", "tool": "yarrow-18-large", "pack": "two-row-8-0"});
    assert_eq!(said(&ask(&results(0.1), hard)).len(), 1);
}
