//! Packs a published dataset that a browser test changed: JSON comes in, the text that a page reads goes
//! out, the bytes in it behind the mark that the JSON carries, if any. With the argument `summary` it is the
//! text that the first part of an article reads.

use jobtorque::dataset::{FORMAT, MARK, json, packed};
use jobtorque::results::Results;
use jobtorque::site::byte_text::byte_text;
use jobtorque::site::publish;
use serde_json::Value;
use std::error::Error;
use std::io::{Write, read_to_string, stdin, stdout};

#[allow(clippy::indexing_slicing)]
fn main() -> Result<(), Box<dyn Error>> {
    let mut document: Value = serde_json::from_str(&read_to_string(stdin())?)?;
    // Another format is to be packed like this one.
    let format = document["format"].take();
    document["format"] = FORMAT.into();
    let reading = json::parse(&document.to_string()).map_err(|problems| format!("{problems:?}"))?;
    let mut dataset = reading.dataset;
    dataset.format = format.as_str().unwrap_or_default().into();
    let mark = document.get(MARK).and_then(|mark| mark.as_str());
    let line = format!("{}\n", mark.unwrap_or_default());
    let results = match std::env::args().nth(1).as_deref() {
        Some("summary") => {
            let texts = serde_json::from_str(&std::fs::read_to_string("www/texts/en.json")?)?;
            let results = Results::published(dataset.clone(), texts, json::digits)?;
            let newest = dataset.editions.last().map_or(0, |newest| newest.edition);
            let mut in_short = results.put_in_short(&dataset, newest)?;
            if dataset.format != FORMAT {
                in_short.dataset.format = dataset.format;
            }
            packed::written(&in_short)
        }
        Some(other) => return Err(format!("no \"{other}\", only \"summary\"").into()),
        None => publish::results(&dataset),
    };
    let bytes = [line.as_bytes(), &results].concat();
    let before = if mark.is_some() { &*line } else { "" };
    write!(stdout(), "{before}{}", byte_text(&bytes))?;
    Ok(())
}
