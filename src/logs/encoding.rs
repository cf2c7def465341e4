//! Bytes to text.

use crate::problem::{Problem, quoted};
use encoding_rs::Encoding;
use std::borrow::Cow;

/// The text of a log: as its byte-order mark says, else as `label` says, else UTF-8.
pub(super) fn decoded<'a>(bytes: &'a [u8], label: Option<&str>) -> Result<Cow<'a, str>, Problem> {
    let marked = Encoding::for_bom(bytes).map(|(encoding, _)| encoding);
    let named = label.map(named).transpose()?;
    let encoding = marked.or(named).unwrap_or(encoding_rs::UTF_8);
    let (text, faulty) = encoding.decode_with_bom_removal(bytes);
    if faulty {
        let found = format!("bytes that are not {}", encoding.name());
        let hint = "name the encoding, such as --encoding windows-1252 or --encoding utf-16le";
        return Err(Problem::new("", found, "a text in one encoding").hint(hint));
    }
    Ok(text)
}

fn named(label: &str) -> Result<&'static Encoding, Problem> {
    Encoding::for_label(label.as_bytes()).ok_or_else(|| {
        Problem::new(
            "",
            format!("the encoding {}", quoted(label)),
            "a label such as utf-8, windows-1252 or utf-16le",
        )
    })
}
