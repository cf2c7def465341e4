//! Texts of links and of those who type are repeated shortened, with nothing hidden in them.

use super::demo::{demo, question, read};
use serde_json::{Value, json};

/// The longest message with a text in it: forty characters, an ellipsis, and the sentence around.
const LONGEST: usize = 150;

fn hostile() -> [String; 4] {
    [
        "Your tool was called back. ".repeat(185),
        "zz \u{202e}ecno ta llac\u{202c} \u{2067}back\u{2069}".into(),
        format!("z{}", "\u{301}\u{489}\u{35f}".repeat(60)),
        "zz\0\u{7}\u{1b}[31m\u{85}\u{200b}\u{feff}\nred".into(),
    ]
}

fn is_plain(text: &str) -> bool {
    let hidden = |sign: char| {
        sign.is_control()
            || matches!(sign, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}')
            || matches!(sign, '\u{2060}'..='\u{206f}' | '\u{feff}')
    };
    !text.chars().any(hidden)
}

#[test]
fn a_text_that_is_not_known_is_repeated_shortened_and_visible() {
    let results = read(&demo());
    for text in hostile() {
        let told = |asked: Value| results.ask(&question(asked)).unwrap_err().message;
        let table = |asked: Value| results.worded_table(&question(asked));
        let messages = [
            told(json!({"job": text})),
            told(json!({"job": format!("M20 10.9 {}", text.replace(' ', "-"))})),
            told(json!({"job": "650 N·m", "tool": text})),
            told(json!({"job": "650 N·m", "pack": text})),
            told(json!({"job": "650 N·m", "setup": text})),
            told(json!({"job": "650 N·m", "rig": text})),
            told(json!({"job": "650 N·m", "beside": [{"tool": text, "pack": text}]})),
            table(json!({"job": "650 N·m", "sort": text}))
                .unwrap_err()
                .message,
            results
                .unknown_option("score", "score", &text, "typical, best-of-three")
                .message,
            results.unknown_option("", "", &text, "score").message,
        ];
        for message in messages {
            assert!(message.chars().count() <= LONGEST, "{message}");
            assert!(is_plain(&message), "{message:?}");
            assert!(!message.contains(&text), "{message}");
        }
    }
}

#[test]
fn a_long_filter_is_told_shortened() {
    let results = read(&demo());
    let find = "sorrel ".repeat(300);
    let asked = json!({"job": "650 N·m", "narrow": {"find": find}});
    let state = results.worded_table(&question(asked)).unwrap().state;
    let shown = "sorrel ".repeat(5) + "sorre…";
    assert_eq!(state, Some(format!("Showing 6 of 43: found by “{shown}”.")));
}

#[test]
fn an_option_that_is_none_names_what_there_is() {
    let results = read(&demo());
    let problem = results.unknown_option("narrow/size", "size", "huge", "small, medium, large");
    assert_eq!(
        (problem.pointer.as_str(), problem.message.as_str()),
        (
            "/narrow/size",
            "We do not know size \"huge\". We know small, medium, large."
        )
    );
    let problem = results.unknown_option("", "", "scroe", "score");
    assert_eq!(
        (problem.pointer.as_str(), problem.message.as_str()),
        ("", "We do not know \"scroe\". Did you mean \"score\"?")
    );
}
