//! Checks on real fasteners beside the verdict.

use super::demo::{ask, demo, edited, list, question, read};
use jobtorque::answer::data::Answer;
use jobtorque::export::{brief, take};
use jobtorque::query::verdict::{Basis, Verdict};
use jobtorque::results::Results;
use serde_json::{Value, json};

const FAILED: &str = "This pair failed on a nut at 640 N·m (two winters old, dry).";

/// The same check where another pair was asked about, or the pack was left open.
const FAILED_NAMED: &str = "In 5 s, Sorrel 18 medium with two-row 8.0 did not loosen a nut tightened to 640 N·m (two winters old, dry).";

fn pair(tool: &str, pack: &str, job: &str) -> Value {
    json!({"tool": tool, "pack": pack, "job": job})
}

fn sorrel(job: &str) -> Value {
    pair("sorrel-18-medium", "two-row-8-0", job)
}

/// Which checks an answer tells: torque, and whether it came loose.
fn told(answer: &Answer) -> Vec<(f64, bool)> {
    let checks = answer.field_checks.iter();
    checks
        .map(|check| (check.installed_nm, check.came_loose))
        .collect()
}

/// The invented dataset with checks of the pair: pack, torque, whether it came loose.
fn with_checks(checks: &[(Option<&str>, f64, bool)]) -> Results {
    edited(|document| {
        let check = |&(pack, installed_nm, came_loose): &(Option<&str>, f64, bool)| {
            json!({
                "tool": "sorrel-18-medium", "pack": pack, "installed_nm": installed_nm,
                "came_loose": came_loose,
            })
        };
        *list(document, "field_checks") = checks.iter().map(check).collect();
    })
}

const OWN: Option<&str> = Some("two-row-8-0");

#[test]
fn a_failure_stands_beside_a_verdict_that_says_otherwise() {
    let results = read(&demo());
    let answer = ask(&results, sorrel("heavy-truck-wheel-loosen"));
    assert_eq!(answer.verdict, Some(Verdict::WithinReach));
    assert_eq!(answer.checks, [FAILED]);
    let [check] = answer.field_checks.as_slice() else {
        panic!("{:?}", answer.field_checks);
    };
    assert!(check.of_pair && !check.came_loose);
    assert_eq!(
        (check.tool.as_str(), check.pack.as_deref()),
        ("sorrel-18-medium", OWN)
    );
    assert_eq!((check.installed_nm, check.tried_s), (640.0, Some(5.0)));
    // In the list it stands with its own pair and no other.
    let list = ask(&results, json!({"job": "heavy-truck-wheel-loosen"}))
        .list
        .unwrap();
    for one in list {
        let own: Vec<&str> = one.checks.iter().map(String::as_str).collect();
        let (tool, pack) = (one.tool.as_deref(), one.pack.as_deref());
        match (tool == Some("sorrel-18-medium"), pack == OWN) {
            (true, true) => assert_eq!(own, [FAILED]),
            (true, false) => assert_eq!(own, [FAILED_NAMED], "{}", one.label),
            (false, _) => {
                assert!(!own.contains(&FAILED_NAMED), "{}", one.label);
                let tool_name = one.label.split(" with ").next().unwrap();
                let named = |line: &&&str| {
                    let counted = line.ends_with("in the data.");
                    line.contains(tool_name) || line.starts_with("This pair ") || counted
                };
                assert_eq!(
                    own.iter().filter(named).count(),
                    own.len(),
                    "{}: {own:?}",
                    one.label
                );
            }
        }
    }
}

#[test]
fn a_success_is_told_too() {
    let answer = ask(
        &read(&demo()),
        pair("mullein-36-large", "twenty-cell-8-0", "650 N·m"),
    );
    let loose =
        |time| format!("This pair loosened a nut at 640 N·m (two winters old, dry) in {time}.");
    assert_eq!(answer.checks, [loose("1 s")]);
    assert_eq!(answer.rests_on[..2], ["1 s", "1.1 s"].map(loose));
}

#[test]
fn without_a_check_of_the_pair_its_tool_s_are_told_with_their_own_pack() {
    let results = read(&demo());
    let answer = ask(
        &results,
        pair("sorrel-18-medium", "slim-4-0", "heavy-truck-wheel-loosen"),
    );
    assert_eq!(answer.checks, [FAILED_NAMED]);
    assert!(!answer.field_checks[0].of_pair);
    // With the pack left open there is no other one.
    let open = json!({"tool": "sorrel-18-medium", "job": "heavy-truck-wheel-loosen"});
    assert_eq!(ask(&results, open).checks, [FAILED_NAMED]);
    let results = with_checks(&[(None, 640.0, false), (Some("slim-4-0"), 640.0, true)]);
    let answer = ask(&results, sorrel("650 N·m"));
    assert_eq!(
        answer.checks[0],
        "Sorrel 18 medium did not loosen a nut tightened to 640 N·m. \
         Which pack was on it, nobody noted."
    );
    assert_eq!(told(&answer), [(640.0, false), (640.0, true)]);
    let own = ask(&results, pair("sorrel-18-medium", "slim-4-0", "650 N·m"));
    assert_eq!(told(&own), [(640.0, true)]);
}

#[test]
fn a_success_at_less_and_a_failure_at_more_say_nothing() {
    let near = |installed_nm: f64, came_loose: bool| {
        let results = with_checks(&[(OWN, installed_nm, came_loose)]);
        !ask(&results, sorrel("600 N·m")).field_checks.is_empty()
    };
    for (installed_nm, came_loose, told) in [
        (510.0, true, true),
        (509.0, true, false),
        (2000.0, true, true),
        (690.0, false, true),
        (691.0, false, false),
        (100.0, false, true),
    ] {
        assert_eq!(near(installed_nm, came_loose), told, "{installed_nm}");
    }
    // What is needed counts, not the job's torque.
    let results = with_checks(&[(OWN, 600.0, true)]);
    let aged = json!({
        "tool": "sorrel-18-medium", "pack": "two-row-8-0", "job": "600 N·m", "condition": 1.5,
    });
    assert_eq!(told(&ask(&results, sorrel("600 N·m"))).len(), 1);
    assert!(ask(&results, aged).field_checks.is_empty());
}

#[test]
fn failures_come_first_then_the_nearest_and_no_more_than_three_are_told() {
    let checks = [
        (OWN, 900.0, true),
        (OWN, 620.0, true),
        (OWN, 300.0, false),
        (OWN, 610.0, false),
        (OWN, 640.0, true),
    ];
    let answer = ask(&with_checks(&checks), sorrel("600 N·m"));
    let order = [
        (610.0, false),
        (300.0, false),
        (620.0, true),
        (640.0, true),
        (900.0, true),
    ];
    assert_eq!(told(&answer), order);
    assert_eq!(answer.checks.len(), 1);
    assert!(answer.checks[0].contains("610 N·m") && answer.rests_on[1].contains("620 N·m"));
    assert_eq!(answer.rests_on[2], "2 more such checks stand in the data.");
    let four = ask(&with_checks(&checks[..4]), sorrel("600 N·m"));
    assert_eq!(four.rests_on[2], "1 more such check stands in the data.");
}

#[test]
fn a_check_says_nothing_of_tightening() {
    let tighten = json!({
        "tool": "sorrel-18-medium", "pack": "two-row-8-0", "job": "640 N·m", "direction": "tighten",
    });
    let answer = ask(&read(&demo()), tighten);
    assert!(answer.field_checks.is_empty() && answer.checks.is_empty());
}

#[test]
fn an_estimate_has_its_checks_too() {
    for pack in ["two-row-8-0", "slim-4-0"] {
        let results = edited(|document| {
            let is_it = |run: &Value| run["tool"] == "sorrel-18-medium" && run["pack"] == pack;
            list(document, "runs").retain(|run| !is_it(run));
        });
        let answer = ask(&results, pair("sorrel-18-medium", pack, "640 N·m"));
        assert_eq!(answer.basis, Basis::Estimate);
        assert_eq!(told(&answer), [(640.0, false)]);
        assert_eq!(answer.field_checks[0].of_pair, Some(pack) == OWN);
        let is_own = Some(pack) == OWN;
        let expected = if is_own { FAILED } else { FAILED_NAMED };
        assert_eq!(answer.checks, [expected]);
    }
}

#[test]
fn they_stand_directly_under_the_verdict_in_all_that_is_taken_along() {
    let results = read(&demo());
    let asked = question(sorrel("heavy-truck-wheel-loosen"));
    let answer = results.ask(&asked).unwrap();
    let taken = take(&results, &asked, None).unwrap();
    let brief = brief(&results, &asked).unwrap();
    let html = format!(
        "<h2 class=\"headline\">{}</h2>\n<p class=\"check\">{FAILED}</p>\n<p>",
        answer.headline
    );
    for plain in [&taken.plain, &brief] {
        assert!(plain.contains(&html), "{plain}");
    }
    let text = format!("{}\n{FAILED}\n", answer.headline);
    assert!(taken.text.contains(&text), "{}", taken.text);
}
