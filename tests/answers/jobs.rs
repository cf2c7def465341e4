//! What a job may be written as, and what is said where it cannot be understood.

use super::demo::{ask, demo, question, read};
use jobtorque::dataset::types::Direction;
use jobtorque::results::Results;
use serde_json::{Value, json};

/// The message for a question that has no answer, and the part it belongs to.
fn refused(results: &Results, asked: Value) -> (String, String) {
    let problem = results.ask(&question(asked)).unwrap_err();
    (problem.pointer.clone(), problem.message.clone())
}

#[test]
fn a_job_goes_by_its_name() {
    let results = read(&demo());
    for (written, job) in [
        ("heavy-truck-wheel-loosen", "heavy-truck-wheel-loosen"),
        ("Passenger-car wheel nut", "car-wheel-loosen"),
        ("passenger-car", "car-wheel-loosen"),
        ("MEDIUM truck", "medium-truck-wheel-loosen"),
        ("large vehicle", "van-wheel-loosen"),
    ] {
        let answer = ask(&results, json!({"job": written}));
        assert_eq!(answer.job.as_deref(), Some(job), "{written}");
    }
}

#[test]
fn a_job_in_the_other_direction_is_its_twin() {
    let results = read(&demo());
    let asked = |job: &str, direction: &str| {
        let answer = ask(&results, json!({"job": job, "direction": direction}));
        (answer.job, answer.direction)
    };
    assert_eq!(
        asked("passenger-car", "tighten"),
        (Some("car-wheel-tighten".into()), Direction::Tighten)
    );
    assert_eq!(
        asked("car-wheel-tighten", "loosen"),
        (Some("car-wheel-loosen".into()), Direction::Loosen)
    );
    // A job without a twin keeps its torque.
    assert_eq!(
        asked("structural-m12-tighten", "loosen"),
        (Some("structural-m12-tighten".into()), Direction::Loosen)
    );
}

#[test]
fn a_blank_that_cannot_be_understood_says_what_to_do() {
    let results = read(&demo());
    for (part, written, message) in [
        (
            "job",
            "650 kN·m",
            "We do not know that unit. Write 650 N·m or 480 lbf·ft.",
        ),
        (
            "job",
            "650 J",
            "That is an energy. Please give a torque, such as 650 N·m.",
        ),
        (
            "job",
            "30000 N·m",
            "We take torques from 1 N·m to 20,000 N·m.",
        ),
        (
            "job",
            "30000 lbf·ft",
            "We take torques from 1 lbf·ft to 14,752 lbf·ft.",
        ),
        ("job", "", "Which torque? Write 650 N·m or 480 lbf·ft."),
        (
            "job",
            "tractor",
            "There is no job \"tractor\" here. Write a torque such as 650 N·m, or choose a job.",
        ),
        (
            "job",
            "truck wheel",
            "Which one: \"Heavy-truck wheel nut, hub-piloted\", \"Medium-truck wheel nut\"?",
        ),
        (
            "tool",
            "hemlock-18",
            "There is no tool \"hemlock-18\" here. Choose another.",
        ),
        (
            "tool",
            "small",
            "Which one: \"Sedge 18 small\", \"Vetch 18 small\", \"Tansy 18 small\"?",
        ),
    ] {
        let mut asked = json!({"job": "650 N·m"});
        asked[part] = written.into();
        let pointer = format!("/{part}");
        assert_eq!(
            refused(&results, asked),
            (pointer, message.to_owned()),
            "{written}"
        );
    }
}

#[test]
fn a_tool_goes_by_its_other_names() {
    let results = read(&demo());
    for written in [
        "sorrel-18-medium",
        "sorrel mid",
        "Sorrel 18 Medium",
        "SORREL",
    ] {
        let answer = ask(&results, json!({"job": "650 N·m", "tool": written}));
        assert_eq!(
            answer.tool.as_deref(),
            Some("sorrel-18-medium"),
            "{written}"
        );
    }
}

#[test]
fn who_is_typing_finds_jobs_and_tools() {
    let results = read(&demo());
    let names = |text: &str, asked: Value| {
        let found = results.found(text, &question(asked));
        let jobs: Vec<String> = found.jobs.into_iter().map(|job| job.job).collect();
        let tools: Vec<String> = found.tools.into_iter().map(|tool| tool.id).collect();
        (jobs, tools)
    };
    let (jobs, tools) = names("", json!({}));
    assert_eq!((jobs.len(), tools.len()), (10, 10));
    let (jobs, _) = names("passenger", json!({"direction": "tighten"}));
    assert_eq!(jobs, ["car-wheel-tighten", "van-wheel-loosen"]);
    let (jobs, tools) = names("the little", json!({}));
    assert_eq!((jobs.len(), tools), (0, vec!["sedge-18-small".to_owned()]));
    let found = results.found("the little", &question(json!({})));
    assert_eq!(found.tools[0].aka, ["sedge small", "the little one"]);
    // Those of one maker stand together.
    let found = results.found("", &question(json!({"units": "lbf-ft"})));
    let mut makers: Vec<_> = found.tools.iter().map(|tool| &tool.maker).collect();
    let several = makers.len();
    makers.dedup();
    assert!(makers.len() < several && makers.len() == 3, "{makers:?}");
    assert_eq!(found.jobs[0].torque, "450 to 501 lbf·ft");
}

#[test]
fn the_torque_stands_in_the_unit_of_the_answer() {
    let results = read(&demo());
    for (asked, torque, units) in [
        (
            json!({"job": "heavy-truck-wheel-loosen"}),
            "610 to 678",
            json!("n-m"),
        ),
        (
            json!({"job": "heavy-truck-wheel-loosen", "units": "lbf-ft"}),
            "450 to 501",
            json!("lbf-ft"),
        ),
        (json!({"job": "480 lbf·ft"}), "480", json!("lbf-ft")),
    ] {
        let answer = ask(&results, asked);
        assert_eq!(answer.job_torque, torque);
        assert_eq!(serde_json::to_value(answer.units).unwrap(), units);
    }
}

#[test]
fn figures_stand_where_they_are_told() {
    let results = read(&demo());
    let asked = json!({"job": "650 N·m", "tool": "sorrel-18-medium", "pack": "two-row-8-0"});
    let answer = ask(&results, asked);
    let figures: Vec<String> = answer
        .stressed
        .iter()
        .map(|&[line, begin, end]| {
            let units: Vec<u16> = answer.lines[line as usize].encode_utf16().collect();
            String::from_utf16(&units[begin as usize..end as usize]).unwrap()
        })
        .collect();
    assert_eq!(figures.len(), 3, "{figures:?}");
    assert!(figures[0].ends_with(" of 100"), "{figures:?}");
    assert!(
        figures[1].ends_with(" s") && figures[2].ends_with(" N·m"),
        "{figures:?}"
    );
    let place = |line: &String| line.starts_with("By time, place ");
    assert!(answer.further.iter().any(place) && !answer.lines.iter().any(place));
}
