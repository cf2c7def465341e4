use super::*;
use crate::dataset::json::Slice;
use crate::dataset::types::{Caution, Price, Rotation, Size, TorqueRange};

/// What is said of a value that is to be a `T`.
fn said<T: Value>(text: &str) -> String {
    let value = serde_json::from_str(text).unwrap();
    let mut problems = Problems::default();
    let pointer = Pointer::Top.member("x_mv");
    assert!(T::read(&Slice::new(value), &pointer, &mut problems).is_none());
    let [problem] = &problems[..] else {
        panic!("{problems:?}");
    };
    format!("{} {}", problem.pointer, problem.message)
}

/// A reading of a value, the text of one that does not fit, and what is said of it.
type Unfit = (fn(&str) -> String, &'static str, &'static str);

const UNFIT: [Unfit; 21] = [
    (
        said::<f64>,
        "\"a\\\"b\"",
        "/x_mv found the text \"a\\\"b\", wanted a number",
    ),
    (
        said::<f64>,
        "1e999",
        "/x_mv found a number too large to be read, wanted a smaller one",
    ),
    (
        said::<u32>,
        "-1",
        "/x_mv found -1, wanted a whole number, 0 or more",
    ),
    (
        said::<u32>,
        "4294967296",
        "/x_mv found 4294967296, wanted a whole number from 0 to 4294967295",
    ),
    (
        said::<u32>,
        "\"5\"",
        "/x_mv found the text \"5\", wanted a whole number, 0 or more",
    ),
    (
        said::<i64>,
        "1e30",
        "/x_mv found 1e30, wanted a whole number",
    ),
    (
        said::<i64>,
        "9223372036854775808",
        "/x_mv found 9223372036854775808, wanted a whole number of at most 18 digits",
    ),
    (
        said::<i32>,
        "1.50",
        "/x_mv found 1.5, wanted a whole number (this field counts millivolts)",
    ),
    (
        said::<Vec<i32>>,
        "[1, 2.0]",
        "/x_mv/1 found 2.0, wanted a whole number (this field counts millivolts)",
    ),
    (
        said::<Vec<u32>>,
        "[1, null, -2]",
        "/x_mv/1 found null, wanted a whole number, 0 or more",
    ),
    (
        said::<Vec<i64>>,
        "{}",
        "/x_mv found an object, wanted an array",
    ),
    (said::<String>, "true", "/x_mv found true, wanted a text"),
    (
        said::<bool>,
        "null",
        "/x_mv found null, wanted true or false",
    ),
    (
        said::<Size>,
        "\"huge\"",
        "/x_mv found \"huge\", wanted one of \"small\", \"medium\", \"large\"",
    ),
    (
        said::<Rotation>,
        "7",
        "/x_mv found 7, wanted \"forward\" or \"reverse\"",
    ),
    (
        said::<Caution>,
        "\"\"",
        "/x_mv found \"\", wanted \"wheel\"",
    ),
    (
        said::<TorqueRange>,
        "{}",
        "/x_mv found an object, wanted a torque in N·m or a list of two",
    ),
    (
        said::<Price>,
        "[]",
        "/x_mv found an array, wanted an object",
    ),
    (
        said::<Price>,
        "{\"currency\": 1, \"amount\": 2}",
        "/x_mv/currency found 1, wanted a text",
    ),
    (
        said::<Price>,
        "{\"amount\": 2}",
        "/x_mv found no \"currency\", wanted the required field \"currency\"",
    ),
    (
        said::<Vec<Price>>,
        "[{\"where\": 1}]",
        "/x_mv/0 found no \"amount\", wanted the required field \"amount\"",
    ),
];

#[test]
fn what_does_not_fit_is_said_in_words() {
    for (said, text, wanted) in UNFIT {
        assert_eq!(said(text), wanted);
    }
}

#[test]
fn a_long_text_is_cut_short() {
    let long = said::<f64>(&format!("\"{}\"", "x".repeat(10_000)));
    assert!(long.len() < 120, "{long}");
}

#[test]
fn absent_and_null_mean_the_same() {
    let read = |text: &str| {
        let value = serde_json::from_str(text).unwrap();
        let price = Price::read(&Slice::new(value), &Pointer::Top, &mut Problems::default());
        price.unwrap().tax_included
    };
    let needed = r#""amount": 1, "currency": "EUR", "date": """#;
    for (rest, wanted) in [
        ("", None),
        (", \"tax_included\": null", None),
        (", \"tax_included\": false", Some(false)),
    ] {
        assert_eq!(read(&format!("{{{needed}{rest}}}")), wanted);
    }
}
