//! A log in some shape that a logger's block can describe, written from the block's own words and not
//! by any code of the reader.

use super::channels::{self, Column, Drawn};
use super::choices::Choices;
use super::times::Wanted;

/// A log, its logger's block, and what must be read from it.
#[derive(Clone, Debug)]
pub struct Case {
    /// Keys and values of the block, as TOML.
    pub block: Vec<(String, String)>,
    pub text: String,
    pub bytes: Vec<u8>,
    /// The runs of the log.
    pub runs: Vec<Run>,
    /// Channel, number and symbol of the unit of each column that is read.
    pub columns: Vec<(&'static str, Option<usize>, String)>,
    pub clips_at_nm: Option<f64>,
}

/// Samples of a run as they must be read.
#[derive(Clone, Debug, Default)]
pub struct Run {
    pub times: Vec<Wanted>,
    /// Torque, angle, voltage, current.
    pub series: [Option<Vec<f64>>; 4],
}

/// How the text is put together.
#[derive(Clone, Debug)]
pub struct Text {
    pub encoding: Encoding,
    /// The delimiter as the block says it, if it does.
    pub delimiter_said: Option<&'static str>,
    /// What stands between fields; nothing for any number of blanks.
    pub delimiter: Option<char>,
    pub decimal: char,
    pub thousands: Option<char>,
    pub minus: char,
    pub has_header: bool,
    pub units_row: bool,
}

impl Text {
    /// Whether a field may hold blanks.
    pub fn blanks(&self) -> bool {
        self.delimiter.is_some()
    }
}

/// The bytes of a text.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Encoding {
    Utf8,
    Utf8Marked,
    Utf16LeMarked,
    Utf16BeMarked,
    Utf16Le,
    Utf16Be,
    Latin1,
    Windows1252,
}

impl Encoding {
    const ALL: [Self; 8] = [
        Self::Utf8,
        Self::Utf8Marked,
        Self::Latin1,
        Self::Windows1252,
        Self::Utf16LeMarked,
        Self::Utf16BeMarked,
        Self::Utf16Le,
        Self::Utf16Be,
    ];

    /// The value of `encoding` in the block, where it must or may be said.
    fn said(self, choices: &mut Choices) -> Option<&'static str> {
        match self {
            Self::Utf8 | Self::Utf8Marked => choices.one(&[None, Some("utf-8")]),
            Self::Latin1 => Some("latin-1"),
            Self::Windows1252 => Some("windows-1252"),
            Self::Utf16LeMarked | Self::Utf16BeMarked => choices.one(&[None, Some("utf-16")]),
            Self::Utf16Le => Some(choices.one(&["utf-16", "utf-16le"])),
            Self::Utf16Be => Some("utf-16be"),
        }
    }

    fn is_unicode(self) -> bool {
        !matches!(self, Self::Latin1 | Self::Windows1252)
    }

    fn bytes(self, text: &str) -> Vec<u8> {
        let wide = |order: fn(u16) -> [u8; 2]| text.encode_utf16().flat_map(order).collect();
        let one = |c: char| match c {
            '’' => 0x92,
            c => u8::try_from(u32::from(c)).unwrap(),
        };
        match self {
            Self::Utf8 => text.into(),
            Self::Utf8Marked => format!("\u{feff}{text}").into(),
            Self::Utf16LeMarked => [vec![0xff, 0xfe], wide(u16::to_le_bytes)].concat(),
            Self::Utf16BeMarked => [vec![0xfe, 0xff], wide(u16::to_be_bytes)].concat(),
            Self::Utf16Le => wide(u16::to_le_bytes),
            Self::Utf16Be => wide(u16::to_be_bytes),
            Self::Latin1 | Self::Windows1252 => text.chars().map(one).collect(),
        }
    }
}

/// A text in TOML, in one of its two kinds of quotation marks.
pub fn toml(text: &str) -> String {
    if text.contains('\'') || text.contains(char::is_control) {
        let text = text
            .replace('\\', "\\\\")
            .replace('"', "\\\"")
            .replace('\t', "\\t");
        format!("\"{text}\"")
    } else {
        format!("'{text}'")
    }
}

/// Draws encoding and marks.
fn text(choices: &mut Choices) -> Text {
    let encoding = choices.one(&Encoding::ALL);
    let delimiter_said = choices.one(&[
        None,
        Some(","),
        Some(";"),
        Some("tab"),
        Some("\t"),
        Some("|"),
        Some("space"),
        Some(" "),
        Some(":"),
        Some("/"),
        Some("#"),
        Some("'"),
        Some("."),
    ]);
    let delimiter = match delimiter_said {
        None => Some(','),
        Some("tab") => Some('\t'),
        Some("space" | " ") => None,
        Some(one) => one.chars().next(),
    };
    let decimal = choices.one(&['.', ',']);
    let decimal = if delimiter == Some(',') { '.' } else { decimal };
    let blank = if encoding.is_unicode() {
        &[' ', '\u{a0}', '\u{202f}', '\u{2009}'][..]
    } else {
        &[' ', '\u{a0}']
    };
    let quote = if encoding == Encoding::Latin1 {
        &['\''][..]
    } else {
        &['\'', '’']
    };
    let thousands = match choices.below(5) {
        1 => Some(if decimal == '.' { ',' } else { '.' }),
        2 if delimiter.is_some() => Some(choices.one(blank)),
        3 => Some(choices.one(quote)),
        _ => None,
    };
    let minus = if encoding.is_unicode() && choices.chance(4) {
        '−'
    } else {
        '-'
    };
    let has_header = !choices.chance(4);
    Text {
        encoding,
        delimiter_said,
        delimiter,
        decimal,
        thousands,
        minus,
        has_header,
        units_row: has_header && choices.chance(3),
    }
}

/// The keys of the block that say encoding and marks.
fn text_keys(text: &Text, choices: &mut Choices) -> Vec<(String, String)> {
    let mut keys = Vec::new();
    let mut key = |key: &str, value: String| keys.push((key.to_owned(), value));
    if let Some(encoding) = text.encoding.said(choices) {
        key("encoding", toml(encoding));
    }
    if let Some(delimiter) = text.delimiter_said {
        key("delimiter", toml(delimiter));
    }
    if text.decimal == ',' || choices.chance(4) {
        key("decimal", toml(&text.decimal.to_string()));
    }
    if let Some(mark) = text.thousands {
        let said = match mark {
            mark if mark.is_whitespace() => "space".to_owned(),
            mark => mark.to_string(),
        };
        key("thousands", toml(&said));
    }
    if text.units_row {
        key("units_row", "true".into());
    }
    keys
}

/// Draws a case.
pub fn draw(choices: &mut Choices) -> Case {
    let text = text(choices);
    let mut block = text_keys(&text, choices);
    let drawn = channels::draw(&text, choices);
    block.extend(drawn.keys.iter().cloned());
    let written = written(&text, &drawn, choices, &mut block);
    Case {
        bytes: text.encoding.bytes(&written),
        text: written,
        block,
        runs: drawn.runs.clone(),
        columns: drawn.understood.clone(),
        clips_at_nm: drawn.clips_at_nm,
    }
}

/// A field of a row: in quotation marks where it has to be, or always.
fn field(text: &Text, cell: &str, always: bool) -> String {
    let Some(delimiter) = text.delimiter else {
        return cell.into();
    };
    let must = cell.contains([delimiter, '"', '\n']);
    if must || always {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell.into()
    }
}

const PREAMBLE: [&str; 7] = [
    "Rig 7, invented",
    "# made up",
    "",
    "1;2;3",
    "\"open",
    "Zeit\tx",
    "a,b,\"c",
];

/// The text of the log; keys that say where its rows stand are added to the block.
fn written(
    text: &Text,
    drawn: &Drawn,
    choices: &mut Choices,
    block: &mut Vec<(String, String)>,
) -> String {
    let always = choices.chance(3);
    let (between, pad) = match text.delimiter {
        Some(delimiter) => (
            delimiter.to_string(),
            if delimiter != '\t' && choices.chance(5) {
                " "
            } else {
                ""
            },
        ),
        None => (choices.one(&[" ", "   ", "\t"]).to_owned(), ""),
    };
    let trailing = if text.delimiter.is_some() {
        choices.below(3)
    } else {
        0
    };
    let join = |cells: Vec<&str>, trailing: bool| {
        let fields = cells.iter().map(|cell| field(text, cell, always));
        // Quotation marks count only at the edge of a field.
        let fields: Vec<String> = fields
            .map(|field| {
                if field.starts_with('"') {
                    field
                } else {
                    format!("{field}{pad}")
                }
            })
            .collect();
        format!(
            "{}{}",
            fields.join(&between),
            if trailing { between.as_str() } else { "" }
        )
    };
    let of = |cell: fn(&Column) -> &str| drawn.columns.iter().map(cell).collect::<Vec<&str>>();
    let mut lines: Vec<String> = Vec::new();
    let preamble: Vec<&str> = (0..choices.below(4))
        .map(|_| choices.one(&PREAMBLE))
        .collect();
    lines.extend(preamble.iter().map(|line| (*line).to_owned()));
    let first = drawn.columns[0]
        .header
        .split([' ', '\n', ',', '[', '(', '_', '/'])
        .next()
        .unwrap_or_default();
    let begins = |line: &&str| line.trim_start_matches([' ', '\t', '"']).starts_with(first);
    let by_beginning = text.has_header && !first.is_empty() && choices.chance(2);
    if by_beginning && !preamble.iter().any(begins) {
        block.push(("header_starts_with".into(), toml(first)));
        if choices.chance(3) && !preamble.is_empty() {
            block.push(("skip_lines".into(), "1".into()));
        }
    } else if !preamble.is_empty() || choices.chance(4) {
        block.push(("skip_lines".into(), preamble.len().to_string()));
    }
    if text.has_header {
        lines.push(join(of(|column| &column.header), trailing == 2));
        if text.units_row {
            lines.push(join(of(|column| &column.below), trailing == 2));
        }
    }
    let rows = drawn.columns[0].cells.len();
    for row in 0..rows {
        if choices.chance(8) {
            lines.push(String::new());
        }
        let cells = drawn
            .columns
            .iter()
            .map(|column| column.cells[row].as_str());
        lines.push(join(cells.collect(), trailing > 0));
    }
    if text.delimiter.is_some() && choices.chance(5) {
        // Rows of empty fields, as spreadsheets leave them at the end.
        lines.push(between.repeat(drawn.columns.len() - 1));
    }
    if choices.chance(3) {
        let end = choices.one(&["Max", "End of log", "Summary"]);
        let word = end.split(' ').next().unwrap_or_default();
        block.push((
            "end_before".into(),
            toml(if text.blanks() {
                choices.one(&[end, word])
            } else {
                word
            }),
        ));
        lines.push(join(vec![end, "12"], false));
        lines.push(
            choices
                .one(&["", "never \"closed", "0;0;0;0;0;0;0;0;0;0;0;0"])
                .to_owned(),
        );
    }
    let end = choices.one(&["\n", "\r\n", "\r"]);
    let mut written = lines.join("\n");
    if !choices.chance(4) {
        written.push('\n');
    }
    written.replace('\n', end)
}
