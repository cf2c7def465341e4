//! The plain part of a page, which stands there without any script.

use super::demo::{demo, edited, list, question, read};
use jobtorque::export::take;
use jobtorque::results::Results;
use serde_json::{Value, json};

/// The demo with every tool, and its runs, so many times under other names.
fn demo_times(copies: usize) -> Results {
    edited(|document| {
        for (members, name) in [("tools", "id"), ("runs", "tool")] {
            let own: Vec<Value> = list(document, members).clone();
            for copy in 1..copies {
                for one in &own {
                    let mut one = one.clone();
                    one[name] = json!(format!("{}-{copy}", one[name].as_str().unwrap()));
                    list(document, members).push(one);
                }
            }
        }
    })
}

fn plain(results: &Results) -> String {
    let asked = question(json!({"job": "900 N·m"}));
    take(results, &asked, None).unwrap().plain
}

#[test]
fn a_table_of_some_dozens_of_pairs_stands_open() {
    let plain = plain(&read(&demo()));
    assert_eq!(plain.matches("<table>").count(), 1);
    assert!(!plain.contains("<details>"), "{plain}");
}

#[test]
fn of_hundreds_of_pairs_the_first_stand_open_and_none_is_lost() {
    let (one, four) = (plain(&read(&demo())), plain(&demo_times(4)));
    let (open, closed) = four.split_once("<details>").unwrap();
    let count = |html: &str, what: &str| html.matches(what).count();
    let pairs = "<th scope=\"row\">";
    assert_eq!(count(open, "<tr"), 1 + 120);
    assert_eq!(count(&four, pairs), 4 * count(&one, pairs));
    let all = format!("<summary>Show all {} pairs</summary>", count(&four, pairs));
    assert!(closed.starts_with(&all), "{closed}");
    // Both tables have the same heads; what divided the last open row from others does so in the second too.
    let head = |html: &str| {
        let (_, head) = html.split_once("<table>").unwrap();
        head.split_once("<tbody>").unwrap().0.to_owned()
    };
    assert_eq!(head(open), head(closed));
    let (_, divider) = open.rsplit_once("<tr class=\"divider\">").unwrap();
    let divider = divider.split_once("</tr>").unwrap().0;
    let first = format!("<tbody>\n<tr class=\"divider\">{divider}</tr>\n");
    assert!(closed.contains(&first), "{first}");
    assert_eq!(count(&four, "<details>"), count(&four, "</details>"));
}
