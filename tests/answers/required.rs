//! What a job asks of the tool.

use super::demo::{ask, demo, question, read};
use serde_json::json;

#[test]
fn a_job_with_two_figures_is_judged_by_the_larger() {
    let answer = ask(&read(&demo()), json!({"job": "heavy-truck-wheel-loosen"}));
    assert_eq!(
        (answer.job_torque_nm, answer.required_torque_nm),
        (678.0, 678.0)
    );
    assert_eq!(answer.job.as_deref(), Some("heavy-truck-wheel-loosen"));
}

#[test]
fn condition_and_loss_ask_for_more() {
    let asked = json!({"job": "400 N·m", "condition": 1.5, "loss_percent": 20});
    let answer = ask(&read(&demo()), asked);
    assert_eq!(
        (answer.job_torque_nm, answer.required_torque_nm),
        (400.0, 750.0)
    );
}

#[test]
fn more_is_never_reached_sooner() {
    let results = read(&demo());
    let mut before = 0.0;
    for torque_nm in (50..1400).step_by(50) {
        let asked = json!({"job": format!("{torque_nm} N·m"), "tool": "teasel-18-large", "pack": "two-row-8-0"});
        let time_s = ask(&results, asked).time_to_job_s.unwrap_or(f64::INFINITY);
        assert!(time_s >= before, "{torque_nm} N·m: {time_s}");
        before = time_s;
    }
    assert_eq!(before, f64::INFINITY, "the largest is out of its reach");
}

#[test]
fn pound_feet_are_the_same_torque() {
    let results = read(&demo());
    let answer = ask(&results, json!({"job": "500 lbf·ft"}));
    // 1 lbf·ft = 1.355 817 948 331 4 N·m (U-05).
    assert!((answer.required_torque_nm - 677.908_974_165_7).abs() < 1e-9);
    let other = ask(&results, json!({"job": "500 ft-lb", "units": "lbf-ft"}));
    assert_eq!(answer.required_torque_nm, other.required_torque_nm);
}

#[test]
fn a_condition_goes_with_loosening_only() {
    let results = read(&demo());
    for asked in [
        json!({"job": "400 N·m", "direction": "tighten", "condition": 1.5}),
        json!({"job": "structural-m16-tighten", "condition": 1.5}),
    ] {
        let problem = results.ask(&question(asked)).unwrap_err();
        assert_eq!(problem.pointer, "/condition");
    }
}
