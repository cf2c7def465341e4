//! The page "How it works" against the element.

use super::{files, text};
use std::collections::BTreeSet;

/// The words between `before` and `end` wherever they stand in the texts.
fn between<'a>(
    texts: impl Iterator<Item = &'a String>,
    before: &str,
    end: &[char],
) -> BTreeSet<String> {
    texts
        .flat_map(|text| text.split(before).skip(1))
        .filter_map(|rest| rest.split(end).next().map(String::from))
        .collect()
}

#[test]
fn the_page_how_it_works_names_every_property_part_and_attribute_of_the_element() {
    let how = text("www/how.html");
    let table = how.split("to set</th>").nth(1).unwrap();
    let table = table.split("</table>").next().unwrap();
    let table = table.replace("<code>", "`").replace("</code>", "`");
    let www = files("www");
    let of_kind = |kind: &'static str| {
        let files = www.iter().filter(move |(name, _)| name.ends_with(kind));
        files.map(|(_, text)| text)
    };
    let mut properties = between(of_kind(".css"), "var(--job-torque-", &[',', ')']);
    // Not for pages: worked out in the sheet.
    properties.remove("root-size");
    // Five curves are told by their ends.
    properties.retain(|name| !["curve-2", "curve-3", "curve-4"].contains(&name.as_str()));
    let told = between([&table].into_iter(), "`--job-torque-", &['`']);
    assert_eq!(told, properties);

    let parts = between(of_kind(".js"), "'part', '", &['\'']);
    let row = |start: &str| {
        let start = format!("<tr><th scope=\"row\">{start}<");
        let row = table.lines().find(|line| line.starts_with(&start)).unwrap();
        let names = row.split('`').skip(1).step_by(2).map(String::from);
        names.collect::<BTreeSet<String>>()
    };
    let mut told = row("single parts");
    assert!(told.remove("::part(…)"));
    assert_eq!(told, parts);

    let choice = text("www/attributes.js");
    let asked = choice.split("const PARTS = [").nth(1).unwrap();
    let asked = asked.split("\n];").next().unwrap().to_owned();
    let mut attributes = between([&asked].into_iter(), "\n  ['", &['\'']);
    // What is laid over the chart and how the table stands is for links, not for authors.
    let for_links = [
        "beside", "find", "size", "mount", "sold", "longest", "heaviest", "dearest", "reaching",
        "currency", "sort", "order", "stated",
    ];
    attributes.retain(|name| !for_links.contains(&name.as_str()));
    assert_eq!(row("the question"), attributes);
}
