//! What a question takes over from the one before it changes no answer.

use super::demo::{edited, question};
use jobtorque::query::question::Question;
use jobtorque::results::Results;
use jobtorque::study::Study;
use serde_json::{Value, json};

/// Everything that is told of a question, as text.
fn told(study: &Study) -> String {
    let whole = study.whole_field();
    let parts = [
        format!("{:?}", study.answer()),
        format!("{:?}", study.list()),
        format!("{:?}", study.chart()),
        format!("{:?}", study.panels()),
        format!("{:?}", study.worded_alternatives()),
        format!("{:?}", whole.table()),
        format!("{:?}", whole.worded_table()),
        format!("{:?}", study.unfiltered().table()),
        format!("{:?}", study.worded_runs()),
    ];
    parts.join("\n")
}

/// Questions, each of which differs from the first in one part.
fn asked() -> Vec<Question> {
    let first = json!({"job": "400 N·m", "tool": "sorrel-18-medium", "pack": "two-row-8-0",
        "beside": [{"tool": "teasel-18-large", "pack": "two-row-8-0"}]});
    let changes = [
        json!({}),
        json!({"job": "150 N·m"}),
        json!({"job": "295 lbf·ft"}),
        json!({"units": "lbf-ft"}),
        json!({"condition": 1.5}),
        json!({"condition": "checked"}),
        json!({"direction": "tighten"}),
        json!({"within_s": 1.0}),
        json!({"score": "best-of-three"}),
        json!({"pack": "two-row-5-0"}),
        json!({"pack": null}),
        json!({"tool": null, "pack": null}),
        json!({"beside": []}),
        json!({"edition": 1}),
        json!({"edition": 1, "job": "150 N·m"}),
        json!({"setup": "extension"}),
        json!({"order": "quickest"}),
        json!({"sort": "mass"}),
        json!({"narrow": {"heaviest_kg": 3.0}}),
        json!({"by": "mean"}),
    ];
    let changed = |change: Value| {
        let mut asked = first.clone();
        for (name, value) in change.as_object().unwrap() {
            asked[name] = value.clone();
        }
        question(asked)
    };
    changes.into_iter().map(changed).collect()
}

fn alone(results: &Results, question: &Question) -> String {
    told(&results.study(question).unwrap())
}

#[test]
fn what_is_taken_over_from_the_question_before_changes_nothing() {
    let results = edited(|_| ());
    let asked = asked();
    let alone: Vec<String> = asked.iter().map(|one| alone(&results, one)).collect();
    for (i, before) in asked.iter().enumerate() {
        let first = results.study(before).unwrap();
        // Worked out, so that it can be taken over.
        told(&first);
        for (j, after) in asked.iter().enumerate() {
            let study = results.study_after(after, &first.kept()).unwrap();
            assert!(told(&study) == alone[j], "{after:?} after {before:?}");
        }
        assert!(told(&first) == alone[i], "{before:?}");
    }
}

#[test]
fn a_question_that_cannot_be_opened_is_a_problem_after_any_other() {
    let results = edited(|_| ());
    let kept = results.study(&asked()[0]).unwrap().kept();
    let mut wrong = asked()[0].clone();
    wrong.tool = Some("nobody's".into());
    let after = results.study_after(&wrong, &kept).unwrap_err();
    assert_eq!(after, results.study(&wrong).unwrap_err());
    assert_eq!(after.pointer, "/tool");
}
