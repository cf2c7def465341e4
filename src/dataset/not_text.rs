//! Files of another kind under the name of a text: what their first bytes say, and what to do.

use crate::problem::Problem;

/// First bytes, what a file that begins so is, and what makes a text of it. Sources: the ZIP, Compound
/// File Binary, gzip (RFC 1952), Zstandard (RFC 8878) and PDF (ISO 32000) formats.
const KINDS: [(&[u8], &str, &str); 5] = [
    (
        b"PK\x03\x04",
        "a ZIP archive, which a spreadsheet may be too",
        "save a spreadsheet as CSV; unpack an archive first",
    ),
    (
        b"\xd0\xcf\x11\xe0",
        "a binary document, such as a spreadsheet",
        "save the spreadsheet as CSV",
    ),
    (b"\x1f\x8b", "a file packed with gzip", "unpack it first"),
    (
        b"\x28\xb5\x2f\xfd",
        "a file packed with zstd",
        "unpack it first",
    ),
    (
        b"%PDF",
        "a PDF document",
        "take the values from where they were printed, as CSV",
    ),
];

/// The problem of a file of another kind where `wanted` should stand; `None` for any other bytes.
pub fn not_text(bytes: &[u8], wanted: &str) -> Option<Problem> {
    let (_, found, hint) = KINDS.iter().find(|(first, ..)| bytes.starts_with(first))?;
    Some(Problem::new("", *found, wanted).hint(*hint).at(1, 1))
}

#[cfg(test)]
mod tests {
    use super::not_text;

    #[test]
    fn a_file_of_another_kind_is_known_by_its_first_bytes() {
        let said = |bytes: &[u8]| not_text(bytes, "a text").map(|problem| problem.to_string());
        for (first, words) in [
            (&b"PK\x03\x04\x14\0"[..], "unpack an archive first"),
            (b"\xd0\xcf\x11\xe0\xa1\xb1", "save the spreadsheet as CSV"),
            (b"\x1f\x8b\x08", "packed with gzip"),
            (b"\x28\xb5\x2f\xfd\x04", "packed with zstd"),
            (b"%PDF-1.7", "a PDF document"),
        ] {
            let text = said(first).unwrap();
            assert!(text.starts_with("1:1: found a "), "{text}");
            assert!(text.contains(words), "{text}");
        }
        for other in [
            &b""[..],
            b"PK",
            b"P\xc3\x9f",
            b"time,torque",
            b"\xff\xfet\0",
            b"{",
        ] {
            assert_eq!(said(other), None, "{other:?}");
        }
    }
}
