//! Rows appended to the bytes of a table, which stay as they are.

use super::table::{Style, TableEncoding};
use encoding_rs::{Encoding, UTF_8};

/// Appends rows in the style of a table and in its encoding.
///
/// # Errors
///
/// Says why they cannot be written; `bytes` are then not to be used.
pub fn append_rows(
    bytes: &mut Vec<u8>,
    style: Style,
    rows: &[Vec<String>],
    encoding: TableEncoding,
) -> Result<(), String> {
    let marked = Encoding::for_bom(bytes).map(|(encoding, _)| encoding);
    let encoding = marked.or(encoding).unwrap_or(UTF_8);
    if encoding.output_encoding() != encoding {
        let why = "rows are not added to a file in UTF-16; save it as \"CSV UTF-8\"";
        return Err(why.into());
    }
    let Style { delimiter, crlf } = style;
    let end: &[u8] = if crlf { b"\r\n" } else { b"\n" };
    let mut writer = csv::WriterBuilder::new()
        .delimiter(delimiter)
        .terminator(if crlf {
            csv::Terminator::CRLF
        } else {
            csv::Terminator::Any(b'\n')
        })
        .from_writer(Vec::new());
    for row in rows {
        writer
            .write_record(row)
            .map_err(|error| error.to_string())?;
    }
    let rows = writer.into_inner().map_err(|error| error.to_string())?;
    let rows = String::from_utf8(rows).map_err(|error| error.to_string())?;
    let (rows, _, faulty) = encoding.encode(&rows);
    if faulty {
        return Err("the new rows cannot be written in the encoding of the tables".into());
    }
    if !bytes.is_empty() && !bytes.ends_with(b"\n") {
        bytes.extend_from_slice(end);
    }
    bytes.extend_from_slice(&rows);
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use encoding_rs::{UTF_16LE, WINDOWS_1252};

    const STYLE: Style = Style {
        delimiter: b';',
        crlf: false,
    };

    fn appended(before: &[u8], encoding: TableEncoding) -> Result<Vec<u8>, String> {
        let mut bytes = before.to_vec();
        append_rows(&mut bytes, STYLE, &[vec!["é".into(), "1".into()]], encoding).map(|()| bytes)
    }

    #[test]
    fn rows_are_written_in_the_encoding_of_the_table() {
        assert_eq!(appended(b"a;b", None).unwrap(), "a;b\né;1\n".as_bytes());
        let latin = appended(b"a;b\n", Some(WINDOWS_1252)).unwrap();
        assert_eq!(latin, b"a;b\n\xe9;1\n");
        // A byte-order mark goes before what `tables_encoding` names.
        let marked = appended("\u{feff}a;b\n".as_bytes(), Some(WINDOWS_1252)).unwrap();
        assert_eq!(marked, "\u{feff}a;b\né;1\n".as_bytes());
    }

    #[test]
    fn no_row_is_added_in_another_encoding() {
        assert!(
            appended(b"a\0;\0b\0\n\0", Some(UTF_16LE))
                .unwrap_err()
                .contains("UTF-16")
        );
        assert!(
            appended(b"\xff\xfea\0", None)
                .unwrap_err()
                .contains("UTF-16")
        );
    }
}
