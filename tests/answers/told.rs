//! Lines that stand beside figures: of when prices are, how warm it was, and counts as they are printed.

use super::demo::{edited, list, question};
use jobtorque::results::Results;
use serde_json::{Value, json};

/// Every tool and pack priced like this.
fn priced(price: impl Fn(usize) -> Value) -> Results {
    edited(|document| {
        for name in ["tools", "packs"] {
            for (place, one) in list(document, name).iter_mut().enumerate() {
                one["prices"] = json!([price(place)]);
            }
        }
    })
}

fn of(date: &str, tax: Value) -> Value {
    json!({"amount": 100, "currency": "EUR", "date": date, "tax_included": tax})
}

/// What is said of prices beside a table, a list by price, packs and pairs.
fn said(results: &Results) -> [Vec<String>; 4] {
    let pair = json!({"job": "400 N·m", "tool": "sorrel-18-medium", "pack": "two-row-8-0",
        "beside": [{"tool": "teasel-18-large", "pack": "two-row-8-0"}]});
    let table = results.worded_table(&question(json!({"job": "400 N·m"})));
    let by_price = json!({"job": "400 N·m", "order": "least-costly"});
    let choices = results.worded_choices(&question(by_price));
    let panels = results.panels(&question(pair)).unwrap();
    let packs = panels.packs.unwrap();
    let all = [
        table.unwrap().notes,
        choices.unwrap().prices.into_iter().collect(),
        packs.prices.into_iter().collect(),
        panels.beside[0].prices.iter().cloned().collect(),
    ];
    all.map(|lines| {
        let of_prices = |line: &String| line.starts_with("Prices of ");
        lines.into_iter().filter(of_prices).collect()
    })
}

#[test]
fn prices_are_told_with_their_months_and_tax() {
    let all_say = |results: Results, wanted: &str| {
        for lines in said(&results) {
            assert_eq!(lines, [wanted]);
        }
    };
    all_say(
        priced(|_| of("2026-03-01", json!(true))),
        "Prices of March 2026, with tax. Check before you buy.",
    );
    all_say(
        priced(|place| of(["2026-02-03", "2026-03-30"][place % 2], json!(false))),
        "Prices of February 2026 to March 2026, without tax. Check before you buy.",
    );
    all_say(
        priced(|place| of("2026-03-01", json!([true, false][place % 2]))),
        "Prices of March 2026. Check before you buy.",
    );
    // A price of after the edition is none; without prices nothing is said of them.
    let without = said(&priced(|_| of("2031-01-01", json!(true))));
    assert!(without.iter().all(Vec::is_empty), "{without:?}");
}

#[test]
fn one_temperature_is_told_once() {
    let told = |temperatures: [f64; 2]| {
        let results = edited(|document| {
            for (place, day) in list(document, "days").iter_mut().enumerate() {
                day["ambient_c"] = json!(temperatures[place % 2]);
            }
        });
        let measured = results.contents().measured;
        let lines = measured.into_iter().flat_map(|passage| passage.lines);
        lines.collect::<Vec<_>>().join(" ")
    };
    assert!(told([18.0, 18.0]).contains("The air at the bench had 18 °C."));
    assert!(told([18.0, 21.5]).contains("The air at the bench had 18 to 21.5 °C."));
}

#[test]
fn fewer_than_two_packs_make_no_panel() {
    let results = edited(|_| {});
    let asked = json!({"tool": "teasel-18-large", "setup": "extension"});
    assert!(results.packs(&question(asked)).unwrap().words.is_none());
}
