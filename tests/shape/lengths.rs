//! How long a file and a function may be.

use super::{files, syntax};

/// Lines of a file.
const MOST_LINES: usize = 400;

/// Lines of a function, from its signature to its closing brace.
const MOST_OF_FUNCTION: usize = 60;

#[test]
fn no_file_is_too_long_to_be_held_in_the_head() {
    // A catalogue of texts is data.
    let scripts = files("www").into_iter();
    let scripts = scripts.filter(|(name, _)| !name.ends_with(".json"));
    let all = files("src").into_iter().chain(scripts);
    let lines = all.map(|(name, text)| (name, text.lines().count()));
    let long: Vec<_> = lines.filter(|(_, lines)| *lines > MOST_LINES).collect();
    assert!(long.is_empty(), "more than {MOST_LINES} lines: {long:#?}");
}

#[test]
fn no_function_is_too_long_to_be_held_in_the_head() {
    let functions = syntax::functions().into_iter();
    let long: Vec<_> = functions
        .filter(|(_, lines)| *lines > MOST_OF_FUNCTION)
        .collect();
    assert!(
        long.is_empty(),
        "more than {MOST_OF_FUNCTION} lines: {long:#?}"
    );
}
