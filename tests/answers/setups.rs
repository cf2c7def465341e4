//! Which setup an answer is for, and what other setups cost.

use super::demo::{ask, demo, edited, list, measured, read};
use jobtorque::query::verdict::Basis;
use jobtorque::results::Results;
use jobtorque::setups::data::Changed;
use serde_json::{Value, json};

const STANDARD: &str = "full pack, forward, strongest setting, 20 °C";
const COLD: &str = "full pack kept at −10 °C overnight";
const UNMEASURED: &str =
    "Extensions and adapters take torque away. How much, we have not measured.";
const OWN: &str = "This loss is your own figure. We did not measure it.";

/// The pair that the demo ran through the extension and with cold packs.
fn teasel(extra: Value) -> Value {
    let mut asked = json!({"tool": "teasel-18-large", "pack": "two-row-8-0", "job": "600 N·m"});
    for (name, value) in extra.as_object().unwrap() {
        asked[name] = value.clone();
    }
    asked
}

/// Geometric mean over specimens of the runs' mean torque of a pair in a setup, from its answer.
fn mean_nm(results: &Results, tool: &str, pack: &str, setup: &str) -> f64 {
    let asked = json!({"tool": tool, "pack": pack, "job": "100 N·m", "setup": setup});
    ask(results, asked).mean_torque_nm.unwrap()
}

/// The demo with every run of the standard setup made through the extension as well, its torque times `factor`.
fn well_tried(factor: f64) -> Results {
    edited(|document| {
        let runs = list(document, "runs");
        let other = |run: &Value| {
            let mut run = run.clone();
            run["setup"] = json!("extension");
            for torque in run["torque_dnm"].as_array_mut().unwrap() {
                *torque = json!((torque.as_f64().unwrap() * factor).round() as i64);
            }
            run
        };
        let standard = runs.iter().filter(|run| {
            run["setup"] == "standard" && run["control"] != true && !run["edition"].is_null()
        });
        let more: Vec<Value> = standard.map(other).collect();
        runs.retain(|run| run["setup"] != "extension");
        runs.extend(more);
    })
}

#[test]
fn a_cost_is_the_ratio_over_the_pairs_run_both_ways() {
    let results = read(&demo());
    let costs = ask(&results, teasel(json!({}))).setup_costs;
    let [cold, extension] = costs.as_slice() else {
        panic!("{costs:?}");
    };
    let ratio = |tool, pack, setup| {
        mean_nm(&results, tool, pack, setup) / mean_nm(&results, tool, pack, "standard")
    };
    let teasel = ("teasel-18-large", "two-row-8-0");
    let sorrel = ("sorrel-18-medium", "slim-4-0");
    let both = ratio(teasel.0, teasel.1, "cold-packs") * ratio(sorrel.0, sorrel.1, "cold-packs");
    let wanted = 100.0 * (1.0 - both.sqrt());
    assert_eq!((cold.setup.as_str(), cold.pairs), ("cold-packs", 2));
    assert_eq!((cold.changed, cold.take_percent), (Changed::Packs, None));
    assert!((cold.lost_percent - wanted).abs() < 1e-9, "{cold:?}");
    assert!(cold.low_percent.unwrap() < wanted && wanted < cold.high_percent.unwrap());
    let wanted = 100.0 * (1.0 - ratio(teasel.0, teasel.1, "extension"));
    assert_eq!(
        (extension.changed, extension.pairs),
        (Changed::Extension, 1)
    );
    assert!((extension.lost_percent - wanted).abs() < 1e-9);
    // Three runs: no interval, and it is said.
    assert_eq!(
        (extension.low_percent, extension.high_percent),
        (None, None)
    );
    assert!(
        extension
            .words
            .contains("There are too few runs to say how sure.")
    );
    assert!(extension.words.contains("on 1 pair."));
}

#[test]
fn a_measured_loss_is_offered_and_never_applied_by_itself() {
    let results = well_tried(0.92);
    let plain = ask(&results, teasel(json!({})));
    assert_eq!((plain.loss_percent, plain.required_torque_nm), (0.0, 600.0));
    let costs = plain.setup_costs.iter();
    let offered: Vec<_> = costs.filter(|cost| cost.take_percent.is_some()).collect();
    let [offer] = offered.as_slice() else {
        panic!("{:?}", plain.setup_costs);
    };
    assert!((offer.lost_percent - 8.0).abs() < 0.05, "{offer:?}");
    assert_eq!(offer.take_percent, Some(8.0));
    assert_eq!(offer.take.as_deref(), Some("Take 8.0 %"));
    let said = "Measured here: 8.0 % less torque (";
    assert!(offer.words.starts_with(said), "{}", offer.words);
    // What is taken is told as measured; what is not stays the visitor's own.
    let taken = ask(&results, teasel(json!({"loss_percent": 8.0})));
    assert!((taken.required_torque_nm - 600.0 / 0.92).abs() < 1e-9);
    let of_loss = |text: &String| text.contains("loss");
    let said = |asked: Value| {
        let answer = ask(&results, teasel(asked));
        let cautions = answer.cautions.into_iter().chain(answer.rests_on);
        cautions.filter(of_loss).collect::<Vec<_>>()
    };
    let pairs = offer.pairs;
    let measured = format!("This loss is the one we measured, on {pairs} pairs.");
    assert_eq!(said(json!({"loss_percent": 8.0})), [measured]);
    assert_eq!(said(json!({"loss_percent": 8.1})), [OWN]);
    assert!(said(json!({})).is_empty());
}

#[test]
fn nothing_lost_is_nothing_to_take() {
    let costs = ask(&well_tried(1.04), teasel(json!({}))).setup_costs;
    let extension = costs.iter().find(|cost| cost.changed == Changed::Extension);
    let extension = extension.unwrap();
    assert!(extension.lost_percent < -3.0 && extension.take_percent.is_none());
    assert!(
        extension
            .words
            .starts_with("Measured here: no less torque, on ")
    );
}

#[test]
fn a_setup_that_changes_anything_else_costs_nothing_known() {
    let changed = |field: &str, value: Value| {
        let results = edited(|document| list(document, "setups")[2][field] = value);
        let costs = ask(&results, teasel(json!({}))).setup_costs;
        let known = costs.iter().find(|cost| cost.setup == "extension");
        known.map(|cost| cost.changed)
    };
    assert_eq!(changed("extension_mm", json!(75)), Some(Changed::Extension));
    for (field, value) in [
        ("rotation", json!("reverse")),
        ("tool_mode", json!("2")),
        ("pack_start_c", json!(0)),
        ("pack_start_c", json!(30)),
        ("start_charge_percent", json!(50)),
        ("start_charge_percent", json!(null)),
        ("rotation", json!(null)),
    ] {
        assert_eq!(changed(field, value.clone()), None, "{field} {value}");
    }
    // Packs that are less full are told as cold ones are, warmer ones not.
    let packs = |start_c: Value, charge: Value| {
        let results = edited(|document| {
            let setup = &mut list(document, "setups")[1];
            (setup["pack_start_c"], setup["start_charge_percent"]) = (start_c, charge);
        });
        let costs = ask(&results, teasel(json!({}))).setup_costs;
        costs.iter().any(|cost| cost.changed == Changed::Packs)
    };
    assert!(packs(json!(20), json!(50)) && packs(json!(-10), json!(50)));
    assert!(!packs(json!(30), json!(100)) && !packs(json!(30), json!(50)));
    assert!(!packs(json!(20), json!(100)));
    assert!(!packs(json!(20), json!(null)));
}

#[test]
fn what_setups_cost_is_told_of_the_first_eight() {
    let results = edited(|document| {
        let again = list(document, "runs").clone();
        let again = again.iter().filter(|run| run["setup"] == "extension");
        let again: Vec<Value> = again.cloned().collect();
        let setup = list(document, "setups")[2].clone();
        for number in 0..20 {
            let id = format!("extension-{number}");
            let mut setup = setup.clone();
            setup["id"] = json!(id);
            list(document, "setups").push(setup);
            let runs = again.iter().map(|run| {
                let mut run = run.clone();
                run["setup"] = json!(id);
                run
            });
            list(document, "runs").extend(runs);
        }
    });
    let costs = ask(&results, teasel(json!({}))).setup_costs;
    let setups: Vec<&str> = costs.iter().map(|cost| cost.setup.as_str()).collect();
    assert_eq!(setups.len(), 8, "{setups:?}");
    assert_eq!(setups[..3], ["cold-packs", "extension", "extension-0"]);
}

#[test]
fn packs_of_a_standard_setup_without_a_temperature_were_as_warm_as_the_air() {
    let told = |start_c: i32| {
        let results = edited(|document| {
            for (place, setup) in list(document, "setups").iter_mut().enumerate() {
                setup["pack_start_c"] = json!([Value::Null, json!(start_c), Value::Null][place]);
            }
        });
        let costs = ask(&results, teasel(json!({}))).setup_costs;
        costs.into_iter().map(|cost| cost.setup).collect::<Vec<_>>()
    };
    assert_eq!(told(-10), ["cold-packs", "extension"]);
    assert_eq!(told(21), ["extension"]);
}

#[test]
fn the_figure_for_cold_packs_stands_for_the_standing_line() {
    let reminder = |results: &Results, asked| ask(results, asked).reminders.pop().unwrap();
    let (as_it_is, cost) = (
        read(&demo()),
        "Measured here: 7.9 % less torque (3.0 to 12.6 %)",
    );
    let said = reminder(&as_it_is, teasel(json!({})));
    assert!(said.starts_with("Tested with full packs at "), "{said}");
    assert!(
        said.contains(cost) && said.ends_with(&format!("Setup: {COLD}.")),
        "{said}"
    );
    assert!(!said.contains("do less"));
    let without =
        edited(|document| list(document, "runs").retain(|run| run["setup"] != "cold-packs"));
    let said = reminder(&without, teasel(json!({})));
    assert!(
        said.ends_with("Cold, old or part-empty packs do less."),
        "{said}"
    );
}

#[test]
fn an_answer_says_which_setup_it_is_for() {
    let results = read(&demo());
    let first = |asked: Value| ask(&results, asked).lines.into_iter().next().unwrap();
    let cold = json!({"setup": "cold-packs"});
    let answer = ask(&results, teasel(cold.clone()));
    assert_eq!((answer.basis, answer.runs_used), (Basis::Measured, Some(3)));
    assert_eq!(
        answer.lines[0],
        format!("This was run in another setup: {COLD}.")
    );
    // Those runs and no others answer.
    let standard = ask(&results, teasel(json!({})));
    assert!(answer.mean_torque_nm < standard.mean_torque_nm);
    assert!(!standard.lines.iter().any(|line| line.contains("setup")));
    let list = json!({"job": "600 N·m", "setup": "cold-packs"});
    assert_eq!(
        first(list),
        format!("These were run in another setup: {COLD}.")
    );
}

#[test]
fn pairs_that_were_not_run_in_the_setup_are_said_so() {
    let results = read(&demo());
    let asked = json!({"tool": "sorrel-18-medium", "pack": "two-row-8-0", "job": "600 N·m", "setup": "cold-packs"});
    let answer = ask(&results, asked.clone());
    assert_eq!(answer.basis, Basis::None);
    assert_eq!(
        answer.headline,
        "We have not run this pair in this setup, and cannot estimate it."
    );
    assert_eq!(answer.lines[0], format!("Setup: {COLD}."));
    assert_eq!(
        answer.lines[1],
        format!("We did run it in the standard setup: {STANDARD}.")
    );
    // Run in neither.
    let without = edited(|document| {
        list(document, "runs")
            .retain(|run| run["tool"] != asked["tool"] || run["pack"] != asked["pack"]);
    });
    let answer = ask(&without, asked);
    assert_eq!(answer.lines, [format!("Setup: {COLD}.")]);
    // In a list, how many.
    let counted = |setup: &str| {
        let asked = json!({"job": "600 N·m", "setup": setup});
        let pairs = |setup| {
            let list = measured(ask(&results, json!({"job": "600 N·m", "setup": setup})));
            list.len()
        };
        let only = pairs("standard") - pairs(setup);
        let said = format!("{only} further pairs were run in the standard setup alone.");
        assert_eq!(ask(&results, asked).lines[1], said);
    };
    counted("cold-packs");
    counted("extension");
    let one_pack =
        json!({"job": "600 N·m", "setup": "cold-packs", "pack": "slim-4-0", "tool": null});
    assert!(ask(&results, one_pack).lines[1].ends_with("in the standard setup alone."));
}

#[test]
fn an_estimate_names_its_setup() {
    let results = well_tried(0.9);
    let asked = json!({"job": "200 N·m", "setup": "extension"});
    let list = ask(&results, asked).list.unwrap();
    let estimate = list.iter().find(|one| one.basis == Basis::Estimate);
    let line = &estimate.expect("an estimate").lines[0];
    assert_eq!(
        line,
        "We estimate it for another setup: as standard, through a 150 mm extension."
    );
}

#[test]
fn what_an_extension_takes_is_unmeasured_only_where_nobody_ran_with_it() {
    let says = |results: &Results, asked: Value| {
        let cautions = ask(results, asked).cautions;
        cautions.iter().any(|caution| caution == UNMEASURED)
    };
    let (as_it_is, through) = (read(&demo()), json!({"setup": "extension"}));
    let list = json!({"job": "600 N·m", "setup": "extension"});
    assert!(!says(&as_it_is, teasel(through.clone())) && !says(&as_it_is, list.clone()));
    assert!(!says(&as_it_is, teasel(json!({}))));
    let without = edited(|document| list_of_runs_without(document, "extension"));
    assert!(says(&without, teasel(through.clone())) && says(&without, list));
    assert!(!says(&without, teasel(json!({}))));
    // A loss on top of such runs counts twice.
    let mut twice = through;
    twice["loss_percent"] = json!(10);
    let cautions = ask(&as_it_is, teasel(twice)).rests_on;
    let said = "These runs went through an extension or adapter, so its loss is in them already.";
    assert!(cautions.iter().any(|caution| caution == said));
}

fn list_of_runs_without(document: &mut Value, setup: &str) {
    list(document, "runs").retain(|run| run["setup"] != setup);
}
