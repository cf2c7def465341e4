//! Bytes to text.

use crate::dataset::not_text::not_text;
use crate::problem::{Problem, quoted};
use encoding_rs::Encoding;
use std::borrow::Cow;

/// The text of a log: as its byte-order mark says, else as `label` says, else UTF-8.
pub(super) fn decoded<'a>(bytes: &'a [u8], label: Option<&str>) -> Result<Cow<'a, str>, Problem> {
    if let Some(problem) = not_text(bytes, "a log as a text") {
        return Err(problem);
    }
    let marked = Encoding::for_bom(bytes).map(|(encoding, _)| encoding);
    let named = label.map(named).transpose()?;
    let encoding = marked.or(named).unwrap_or(encoding_rs::UTF_8);
    let (text, faulty) = encoding.decode_with_bom_removal(bytes);
    if faulty {
        let found = format!("bytes that are not {}", encoding.name());
        let hint = "name the encoding, such as --encoding windows-1252 or --encoding utf-16le";
        return Err(Problem::new("", found, "a text in one encoding").hint(hint));
    }
    // Text in UTF-16 without its mark is valid UTF-8, with a NUL beside every letter.
    if marked.is_none() && named.is_none() && utf16_order(bytes).is_some() {
        let found = "a text in UTF-16 without a byte-order mark";
        let hint = "name the encoding: --encoding utf-16le or --encoding utf-16be";
        return Err(Problem::new("", found, "a text in one encoding").hint(hint));
    }
    Ok(text)
}

/// The label of UTF-16 without its mark, if a text is written so: most of its first characters are
/// plain letters, each with a NUL before or behind it.
pub(super) fn utf16_order(bytes: &[u8]) -> Option<&'static str> {
    const LOOKED_AT: usize = 2_000;
    let start = bytes.get(..LOOKED_AT).unwrap_or(bytes);
    let nuls = |odd: usize| {
        let every_other = start.iter().skip(odd).step_by(2);
        every_other.filter(|byte| **byte == 0).count()
    };
    let most = start.len() / 4;
    match (nuls(0), nuls(1)) {
        (before, behind) if behind > most && before < most => Some("utf-16le"),
        (before, behind) if before > most && behind < most => Some("utf-16be"),
        _ => None,
    }
}

/// The text with one way of ending lines, so that rows and lines are counted alike.
pub(super) fn with_newlines(text: Cow<'_, str>) -> Cow<'_, str> {
    if text.contains('\r') {
        text.replace("\r\n", "\n").replace('\r', "\n").into()
    } else {
        text
    }
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
