//! Packs a published dataset that a browser test changed: JSON comes in, the bytes that a page reads go
//! out, behind the mark that the JSON carries, if any.

use jobtorque::dataset::{MARK, json, packed};
use std::error::Error;
use std::io::{Write, read_to_string, stdin, stdout};

fn main() -> Result<(), Box<dyn Error>> {
    let text = read_to_string(stdin())?;
    let reading = json::parse(&text).map_err(|problems| format!("{problems:?}"))?;
    let document: serde_json::Value = serde_json::from_str(&text)?;
    let mark = document.get(MARK).and_then(|mark| mark.as_str());
    let mut out = stdout().lock();
    writeln!(out, "{}", mark.unwrap_or_default())?;
    out.write_all(&packed::written(&reading.dataset))?;
    Ok(())
}
