//! Packs a published dataset that a browser test changed: JSON comes in, the text that a page reads goes
//! out, the bytes in it behind the mark that the JSON carries, if any.

use jobtorque::dataset::{FORMAT, MARK, json, packed};
use jobtorque::site::byte_text::byte_text;
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
    let bytes = [line.as_bytes(), &packed::written(&dataset)].concat();
    let before = if mark.is_some() { &*line } else { "" };
    write!(stdout(), "{before}{}", byte_text(&bytes))?;
    Ok(())
}
