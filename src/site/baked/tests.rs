//! The finished answer: what it says, and that the style sheet knows all of it.

use super::*;
use crate::text::catalogue::Catalogue;

fn results() -> Results {
    let texts = include_str!("../../../www/texts/en.json");
    let catalogue: Catalogue = serde_json::from_str(texts).unwrap();
    Results::read(include_bytes!("../../../data/demo.json"), catalogue).unwrap()
}

fn question(tool: Option<&str>, pack: Option<&str>, job: &str) -> Question {
    Question {
        tool: tool.map(String::from),
        pack: pack.map(String::from),
        job: Some(job.into()),
        ..Question::default()
    }
}

/// Questions with every part that the finished answer may have.
fn questions() -> Vec<Question> {
    let pair = question(Some("sorrel-18-medium"), Some("two-row-5-0"), "650 N·m");
    vec![
        question(None, None, "heavy-truck-wheel-tighten"),
        Question {
            condition: Some(Condition::Factor(1.5)),
            edition: Some(1),
            ..pair.clone()
        },
        question(Some("vetch-18-small"), None, "M20 10.9"),
        Question {
            direction: Some(Direction::Tighten),
            ..pair
        },
        question(Some("vetch-18-small"), Some("ten-cell-4-0"), "650 N·m"),
    ]
}

#[test]
fn every_class_and_element_is_among_those_the_style_is_cut_for() {
    let results = results();
    for question in questions() {
        let html = baked(&results, &question, "index.html").unwrap();
        let (_, body) = html.split_once("</style>").unwrap();
        // Without style of their own.
        let bare = [
            "check",
            "none",
            "div",
            "section",
            "figure",
            "figcaption",
            "svg",
            "g",
            "circle",
            "template",
        ];
        for classes in body.split(" class=\"").skip(1) {
            for class in classes.split('"').next().unwrap().split(' ') {
                assert!(
                    USED.classes.contains(&class) || bare.contains(&class),
                    "{class}"
                );
            }
        }
        for element in body.split('<').skip(1).filter(|tag| !tag.starts_with('/')) {
            let name = element.split([' ', '>', '/']).next().unwrap();
            assert!(
                USED.elements.contains(&name) || bare.contains(&name),
                "{name}"
            );
        }
    }
}

#[test]
fn it_says_what_the_answer_says() {
    let results = results();
    for question in questions() {
        let answer = results.ask(&question).unwrap();
        let html = baked(&results, &question, "index.html").unwrap();
        let (_, body) = html.split_once("</style>").unwrap();
        let mut text = String::new();
        for piece in body.split('<') {
            text.push_str(piece.split_once('>').map_or("", |(_, text)| text));
        }
        let text = text.replace("&nbsp;", " ");
        for said in [&answer.headline]
            .into_iter()
            .chain(&answer.lines)
            .chain(&answer.checks)
            .chain(&answer.before)
            .chain(&answer.cautions)
        {
            assert!(text.contains(&escaped(said)), "{said}\n{text}");
        }
        for &[line, begin, end] in &answer.stressed {
            let units: Vec<u16> = answer.lines[line as usize].encode_utf16().collect();
            let figure = String::from_utf16(&units[begin as usize..end as usize]).unwrap();
            let figure = format!("<b>{}</b>", escaped(&joined(&figure)));
            assert!(body.contains(&figure), "{figure}");
        }
    }
}

#[test]
fn what_is_asked_stands_in_the_controls_and_in_the_element() {
    let results = results();
    let question = Question {
        condition: Some(Condition::Factor(1.5)),
        ..question(Some("sorrel-18-medium"), Some("two-row-5-0"), "650 N·m")
    };
    let html = element(&results, &question).unwrap();
    for wanted in [
        "<job-torque src=\"results.json\" tool=\"sorrel-18-medium\" pack=\"two-row-5-0\" job=\"650 N·m\" \
         condition=\"1.5\" edition=\"3\" compact>\n<template shadowrootmode=\"open\">",
        "<option value=\"sorrel-18-medium\" selected>",
        "<option value=\"two-row-5-0\" selected>",
        "name=\"job\" autocomplete=\"off\" spellcheck=\"false\" aria-label=\"job\" part=\"control\" value=\"650 N·m\"",
        "name=\"condition\" aria-label=\"factor\" autocomplete=\"off\" part=\"control\" value=\"1.5\"",
        "href=\"index.html#tool=sorrel-18-medium&amp;pack=two-row-5-0&amp;job=650+N%C2%B7m&amp;condition=1.5&amp;edition=3\"",
        "</template>\n<p class=\"notice\">",
        "</p>\n</job-torque>\n",
    ] {
        assert!(html.contains(wanted), "{wanted}\n{html}");
    }
    assert!(!html.contains("<rect"));
}

#[test]
fn a_name_is_never_markup() {
    let demo = include_str!("../../../data/demo.json");
    let hostile = demo.replace("Sorrel 18 medium", "<img src=x>\\\"'</template>");
    let texts = include_str!("../../../www/texts/en.json");
    let results = Results::read(hostile.as_bytes(), serde_json::from_str(texts).unwrap()).unwrap();
    let pair = question(Some("sorrel-18-medium"), Some("two-row-8-0"), "650 N·m");
    for question in [pair, question(Some("sorrel-18-medium"), None, "650 N·m")] {
        let html = element(&results, &question).unwrap();
        assert!(html.contains("&lt;img src=x&gt;"), "{html}");
        assert!(
            !html.contains("<img") && html.matches("</template").count() == 1,
            "{html}"
        );
    }
}

#[test]
fn a_text_in_an_address_is_written_as_script_does() {
    assert_eq!(encoded("a b·/\"<&"), "a+b%C2%B7%2F%22%3C%26");
}
