//! Rows appended to the bytes of a table, which stay as they are.

use super::table::{Style, TableEncoding};

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
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
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
    let is_utf8 = bytes.starts_with(&[0xef, 0xbb, 0xbf]);
    let rows = match encoding.filter(|_| !is_utf8) {
        Some(encoding) => match encoding.encode(&rows) {
            (rows, _, false) => rows.into_owned(),
            _ => {
                let why = "the new rows cannot be written in the encoding of the tables";
                return Err(why.into());
            }
        },
        None => rows.into_bytes(),
    };
    if !bytes.is_empty() && !bytes.ends_with(b"\n") {
        bytes.extend_from_slice(end);
    }
    bytes.extend_from_slice(&rows);
    Ok(())
}
