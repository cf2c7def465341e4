//! A job asked for as a bolt.

use super::demo::{ask, demo, question, read, told};
use jobtorque::answer::data::Answer;
use serde_json::json;

/// A bolt's figures by hand: 75 % of proof stress on ISO 898-1's formula area, K = 0.20.
const M20_10_9_NM: f64 = 609.538_035_417_867;

/// The message that refuses a job.
fn refused(job: &str) -> String {
    let results = read(&demo());
    let problem = results.ask(&question(json!({"job": job}))).unwrap_err();
    assert_eq!(problem.pointer, "/job", "{job}");
    problem.message
}

#[test]
fn a_bolt_is_judged_by_its_tightening_torque() {
    let results = read(&demo());
    let pair = json!({"job": "M20 10.9", "tool": "teasel-18-large", "pack": "two-row-8-0"});
    let answer = ask(&results, pair);
    let bolt = answer.bolt.as_ref().unwrap();
    assert!((answer.job_torque_nm / M20_10_9_NM - 1.0).abs() < 1e-12);
    assert_eq!(answer.job_torque_nm, bolt.tightening_torque_nm);
    assert_eq!(answer.required_torque_nm, bolt.tightening_torque_nm);
    assert!(bolt.loosening_torque_nm < bolt.tightening_torque_nm);
    assert_eq!(answer.job, None);
    assert_eq!(
        answer.rests_on[0],
        "M20×2.5, class 10.9, finish unknown: about 610 N·m gives 152 kN, 75 % of its proof load."
    );
    assert!(answer.headline.contains("610 N·m"), "{}", answer.headline);
    let loose = "Fresh, with the same friction, it comes loose at about 490 N·m.";
    assert!(answer.rests_on.iter().any(|line| line.starts_with(loose)));
}

#[test]
fn a_bolt_is_answered_as_its_torque_is() {
    let results = read(&demo());
    let asked = |job: &str| ask(&results, json!({"job": job, "tool": "teasel-18-large"}));
    let bolt = asked("M20 10.9");
    let torque = asked(&format!("{M20_10_9_NM} N·m"));
    let near = |a: Option<f64>, b: Option<f64>| match (a, b) {
        (Some(a), Some(b)) => (a - b).abs() <= 1e-6,
        (a, b) => a == b,
    };
    let (ones, others) = (bolt.list.unwrap(), torque.list.unwrap());
    assert!(!ones.is_empty() && ones.len() == others.len());
    for (one, other) in ones.into_iter().zip(others) {
        assert_eq!(
            (one.tool, one.pack, one.rank),
            (other.tool, other.pack, other.rank)
        );
        assert_eq!(one.verdict, other.verdict);
        assert!(near(one.reach_probability, other.reach_probability));
        assert!(near(one.time_to_job_s, other.time_to_job_s));
    }
}

#[test]
fn an_inch_bolt_is_told_in_inch_units_unless_others_are_asked_for() {
    let results = read(&demo());
    let first = |answer: &Answer| answer.rests_on[0].clone();
    let inch = ask(&results, json!({"job": "1/2-13 grade 8 oiled"}));
    assert_eq!(
        first(&inch),
        "1/2-13 UNC, grade 8, oiled: about 80 lbf·ft gives 12,800 lbf, 75 % of its proof load."
    );
    let metric = ask(
        &results,
        json!({"job": "1/2-13 grade 8 oiled", "units": "n-m"}),
    );
    assert_eq!(
        first(&metric),
        "1/2-13 UNC, grade 8, oiled: about 109 N·m gives 56.8 kN, 75 % of its proof load."
    );
    assert!(told(&inch).contains("lbf·ft") && !told(&metric).contains("lbf"));
}

#[test]
fn friction_may_be_told_in_numbers() {
    let results = read(&demo());
    let first = |job: &str| ask(&results, json!({"job": job})).rests_on[0].clone();
    assert_eq!(
        first("M12x1.25 8.8 μ 0.12"),
        "M12×1.25, class 8.8, μ 0.12: about 91 N·m gives 48.0 kN, using 90 % of its yield strength."
    );
    assert_eq!(
        first("M20 10.9 K 0.18 70 %"),
        "M20×2.5, class 10.9, K 0.18: about 513 N·m gives 142 kN, 70 % of its proof load."
    );
}

const HANDBOOK: &str = "A handbook formula gave this torque: the maker's figure goes first.";

#[test]
fn cautions_of_a_bolt_stand_with_every_answer() {
    let results = read(&demo());
    for asked in [
        json!({"job": "M20 10.9"}),
        json!({"job": "M20 10.9", "direction": "tighten"}),
        json!({"job": "M20 10.9", "tool": "teasel-18-large", "pack": "two-row-8-0"}),
        // Not measured: the torque is told all the same.
        json!({"job": "M20 10.9", "tool": "sedge-18-small", "pack": "ten-cell-4-0"}),
    ] {
        let answer = ask(&results, asked.clone());
        assert_eq!(answer.cautions, [HANDBOOK], "{asked}");
        let sure = answer.rests_on.join(" ");
        assert!(sure.contains("uncertain by about ±35 %"), "{asked}");
        assert!(sure.contains("2.1 times as hard"), "{asked}");
        assert!(sure.starts_with("M20×2.5, class 10.9"), "{asked}");
        assert!(
            answer
                .rests_on
                .iter()
                .any(|text| text.contains("stress area 245 mm²"))
        );
    }
    let tighten = ask(
        &results,
        json!({"job": "M20 10.9 oiled", "direction": "tighten"}),
    );
    let [goes_on, finish] = tighten.before.as_slice() else {
        panic!("{:?}", tighten.before);
    };
    assert!(goes_on.ends_with("Stop well short."), "{goes_on}");
    assert_eq!(
        finish,
        "Finish with a torque wrench set to the maker's figure."
    );
    assert_eq!(tighten.cautions, [HANDBOOK]);
    let rests_on = tighten.rests_on.join(" ");
    assert!(rests_on.contains("±25 %") && !rests_on.contains("comes loose"));
    let aged = ask(&results, json!({"job": "M20 10.9", "condition": 1.5}));
    assert_eq!(
        aged.cautions,
        ["The factor is common practice, not measured."]
    );
    assert!(aged.rests_on.iter().any(|text| text == HANDBOOK));
    assert_eq!(
        aged.rests_on[1],
        "You need about 915 N·m: 610 N·m times 1.5."
    );
}

#[test]
fn a_tool_that_ends_below_the_job_does_not_go_on_beyond_it() {
    let results = read(&demo());
    let before = |tool: &str, job: &str| {
        let asked =
            json!({"job": job, "direction": "tighten", "tool": tool, "pack": "two-row-8-0"});
        ask(&results, asked).before
    };
    let finish = "Finish with a torque wrench set to the maker's figure.";
    assert_eq!(before("vetch-18-small", "678 N·m"), [finish]);
    assert_eq!(before("teasel-18-large", "1900 N·m"), [finish]);
    let goes_on = before("teasel-18-large", "678 N·m");
    assert!(goes_on[0].starts_with("Left running, it goes on to "));
    assert_eq!(goes_on[1], finish);
}

#[test]
fn a_torque_or_a_job_has_no_bolt() {
    let results = read(&demo());
    for job in ["650 N·m", "car-wheel-loosen"] {
        let answer = ask(&results, json!({"job": job}));
        assert_eq!(answer.bolt, None);
        assert!(!answer.cautions.join(" ").contains("handbook"));
    }
}

#[test]
fn what_is_wrong_with_a_bolt_is_said_of_the_bolt() {
    for (job, message) in [
        (
            "M20",
            "Which class or grade? We know 4.6, 4.8, 5.6, 5.8, 6.8, 8.8, 10.9, 12.9, A2-50, A2-70, \
             A2-80, A4-50, A4-70, A4-80. Write for example M20×2.5 10.9.",
        ),
        (
            "1/2-13",
            "Which class or grade? We know 2, 5, 8. Write for example 1/2-13 UNC grade 8.",
        ),
        (
            "M20 9.8",
            "For M20 we know 4.6, 4.8, 5.6, 5.8, 6.8, 8.8, 10.9, 12.9, A2-50, A2-70, A2-80, A4-50, \
             A4-70, A4-80. Write for example M20×2.5 10.9.",
        ),
        (
            "M20x1.75 10.9",
            "For M20 we know these threads: M20×2.5, M20×2, M20×1.5.",
        ),
        (
            "M5 8.8",
            "We know threads from M6 to M30, and from 1/4 to 1 in. Others need their torque.",
        ),
        (
            "M20 10.9 lorry",
            "We cannot read \"lorry\" here. Write for example M20 10.9.",
        ),
        (
            "M20 10.9 K 2",
            "K goes from 0.08 to 0.5, μ from 0.04 to 0.4, the share from 10 to 100 %.",
        ),
    ] {
        assert_eq!(refused(job), message);
    }
    for job in ["650 kN", "650 J", "", "0.1"] {
        assert!(!refused(job).contains("thread"), "{job}");
    }
}

#[test]
fn the_assumptions_about_stainless_steel_are_said() {
    let results = read(&demo());
    let pair = |job: &str| json!({"job": job, "tool": "teasel-18-large", "pack": "two-row-8-0"});
    let answer = ask(&results, pair("M20 A2-70"));
    // By hand: 0.20 × 0.75 × 450 N/mm² × 244.79 mm² × 20 mm.
    assert!(
        (answer.job_torque_nm - 330.47).abs() < 0.01,
        "{}",
        answer.job_torque_nm
    );
    let factor =
        "We assume K 0.2. Stainless steel often rubs harder, and then it needs more torque.";
    let seizes = "Stainless threads can seize while they are turned fast. Follow the maker.";
    let has = |answer: &Answer, text: &str| answer.rests_on.iter().any(|said| said == text);
    assert!(has(&answer, factor), "{:?}", answer.rests_on);
    assert_eq!(answer.cautions, [seizes]);
    assert!(
        answer
            .rests_on
            .iter()
            .any(|said| said.contains("no proof load"))
    );
    let stated = ask(&results, pair("M20 A2-70 K 0.3"));
    assert!(!has(&stated, factor) && stated.cautions == [seizes]);
    let mild = ask(&results, pair("M20 4.6"));
    // 0.20 × 0.75 × 225 N/mm² × 244.79 mm² × 20 mm.
    assert!(
        (mild.job_torque_nm - 165.23).abs() < 0.01,
        "{}",
        mild.job_torque_nm
    );
    assert!(!has(&mild, factor) && !has(&mild, seizes));
}
