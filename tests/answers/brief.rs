//! The answer in one line, and the question in another: they stand where the rest cannot be seen.

use super::demo::{ask, demo, edited, list, read};
use jobtorque::results::Results;
use serde_json::{Value, json};

/// The question for one pair, with more members or others in their stead.
fn asked(more: Value) -> Value {
    let mut question = json!({"tool": "sorrel-18-medium", "pack": "two-row-8-0"});
    for (name, value) in more.as_object().unwrap() {
        question[name] = value.clone();
    }
    question
}

fn brief(results: &Results, more: Value) -> String {
    ask(results, asked(more)).brief.join(" ")
}

#[test]
fn each_kind_of_answer_is_told_in_a_line() {
    let results = read(&demo());
    for (more, wanted) in [
        (
            json!({"job": "650 N·m"}),
            "Invented data. 650 N·m: within reach, 0.8 s. Place 19 of 43.",
        ),
        (
            json!({"job": "850 N·m"}),
            "Invented data. 850 N·m: borderline. Place 20 of 43.",
        ),
        (
            json!({"job": "1500 N·m"}),
            "Invented data. 1,500 N·m: out of reach. Place 20 of 43.",
        ),
        (
            json!({"job": "650 N·m", "tool": null, "pack": null}),
            "Invented data. 650 N·m: 30 of 43 pairs reach it.",
        ),
        (
            json!({"job": "2000 N·m", "tool": null, "pack": null}),
            "Invented data. 2,000 N·m: none of 43 pairs reaches it.",
        ),
        (
            json!({"job": "650 N·m", "pack": "ten-cell-4-0"}),
            "Invented data. 650 N·m: this pack does not fit.",
        ),
        (
            json!({"job": "400 N·m", "condition": "checked"}),
            "Invented data. Nut of 400 N·m, like those tried: within reach. Place 16 of 43.",
        ),
        (
            json!({"job": "400 N·m", "condition": "checked", "pack": null}),
            "Invented data. Nut of 400 N·m, like those tried: 3 of 6 pairs reach it.",
        ),
    ] {
        assert_eq!(brief(&results, more.clone()), wanted, "{more}");
    }
}

#[test]
fn only_invented_data_are_called_so() {
    let measured = edited(|document| document["invented"] = json!(false));
    let said = brief(&measured, json!({"job": "650 N·m"}));
    assert_eq!(said, "650 N·m: within reach, 0.8 s. Place 19 of 43.");
    let none = edited(|document| {
        document["invented"] = json!(false);
        list(document, "runs").clear();
    });
    let open = json!({"job": "650 N·m", "tool": null, "pack": null});
    assert_eq!(brief(&none, open), "650 N·m: no runs yet.");
}

#[test]
fn the_question_is_told_in_full() {
    let results = read(&demo());
    for (more, wanted) in [
        (json!({"job": "650 N·m"}), "Question: 650 N·m to loosen."),
        (
            json!({"job": "M20 10.9", "condition": 1.5}),
            "Question: M20×2.5 10.9 times 1.5, 915 N·m to loosen.",
        ),
        (
            json!({"job": "1/2-13 UNC grade 8", "loss_percent": 10.0}),
            "Question: 1/2-13 UNC grade 8, 10 % lost on the way, 119 lbf·ft to loosen.",
        ),
        (
            json!({"job": "610 N·m", "condition": 1.5, "loss_percent": 10.0}),
            "Question: 610 N·m times 1.5, 10 % lost on the way, 1,017 N·m to loosen.",
        ),
        (
            json!({"job": "heavy-truck-wheel-loosen"}),
            "Question: Heavy-truck wheel nut, hub-piloted, 678 N·m to loosen.",
        ),
        (
            json!({"job": "610 N·m", "loss_percent": 10.0, "direction": "tighten"}),
            "Question: 610 N·m, 10 % lost on the way, 678 N·m to tighten.",
        ),
        (
            json!({"job": "heavy-truck-wheel-loosen", "direction": "tighten"}),
            "Question: Heavy-truck wheel nut, hub-piloted, 678 N·m to tighten.",
        ),
        (
            json!({"job": "300 N·m", "direction": "tighten"}),
            "Question: 300 N·m to tighten.",
        ),
    ] {
        let question = asked(more.clone());
        assert_eq!(ask(&results, question).asked, wanted, "{more}");
    }
}
