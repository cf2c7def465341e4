//! Jobs on one charge, worked out again from the published figures of the runs.

use super::demo::{ask, demo, list, read};
use serde_json::json;

#[test]
fn jobs_per_charge_are_what_the_pack_holds_over_what_a_job_takes() {
    let mut document = demo();
    // Every run from here on is one that counts.
    list(&mut document, "runs").retain(|run| {
        run["edition"].is_u64() && run["control"] != json!(true) && run.get("excluded").is_none()
    });
    let results = read(&document);
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
        let packs = &results.dataset().packs;
        let pack = packs
            .iter()
            .find(|pack| Some(&pack.id) == answer.pack.as_ref())
            .unwrap();
        let held_j = 3600.0 * pack.nominal_v.unwrap() * pack.capacity_ah.unwrap();
        let jobs = held_j / (power_w * answer.time_to_job_s.unwrap());
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
