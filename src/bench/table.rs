//! A table of a bench folder: delimited text as spreadsheets write it, every cell with its position.

use super::cell::{Decimals, Kind};
use super::columns::Layout;
use super::field_starts::FieldStarts;
use super::file_problem::FileProblem;
use crate::dataset::not_text::not_text;
use crate::problem::{Problem, quoted};
use encoding_rs::Encoding;
use std::borrow::Cow;

/// How a table is written: what another row has to keep to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Style {
    /// Between cells.
    pub delimiter: u8,
    /// Whether lines end with CR and LF.
    pub crlf: bool,
}

/// A table.
#[derive(Debug)]
pub struct Table {
    /// Name of its file.
    pub file: &'static str,
    /// How it is written.
    pub style: Style,
    /// Its headers, without white space around them.
    pub header: Vec<String>,
    /// Its rows; those that are empty or comments are left out.
    pub rows: Vec<Row>,
    /// What it says about the fractions of its numbers.
    pub decimals: Decimals,
    text: String,
    /// Where the header begins.
    header_start: usize,
}

/// A row.
#[derive(Debug)]
pub struct Row {
    /// Its cells, without white space around them.
    pub cells: Vec<String>,
    /// Where it begins in the text.
    start: usize,
}

/// Which encoding tables have where the bytes do not say: UTF-8, or what `tables_encoding` names.
pub type TableEncoding = Option<&'static Encoding>;

/// The text of a table, without a byte-order mark.
///
/// # Errors
///
/// If the bytes are not in the encoding, or a file of another kind.
pub fn decoded(bytes: &[u8], encoding: TableEncoding) -> Result<Cow<'_, str>, Problem> {
    if let Some(problem) = not_text(bytes, "a table as a text") {
        return Err(problem);
    }
    let marked = Encoding::for_bom(bytes).map(|(encoding, _)| encoding);
    let encoding = marked.or(encoding).unwrap_or(encoding_rs::UTF_8);
    let (text, faulty) = encoding.decode_with_bom_removal(bytes);
    if !faulty {
        return Ok(text);
    }
    let before = str::from_utf8(bytes).map_or_else(|error| error.valid_up_to(), str::len);
    let (line, column) = position_in(
        &String::from_utf8_lossy(bytes.get(..before).unwrap_or_default()),
        before,
    );
    let problem = Problem::new(
        "",
        format!("bytes that are not {}", encoding.name()),
        "a text in UTF-8",
    );
    let hint = "save the table as \"CSV UTF-8\", or write tables_encoding = \"windows-1252\" in bench.toml";
    Err(problem.hint(hint).at(line, column))
}

/// Line and column in bytes, both from 1, of a byte of a text.
pub fn position_in(text: &str, at: usize) -> (u32, u32) {
    let before = text.as_bytes().get(..at).unwrap_or(text.as_bytes());
    let line = before.iter().filter(|&&byte| byte == b'\n').count();
    let start = before
        .iter()
        .rposition(|&byte| byte == b'\n')
        .map_or(0, |end| end + 1);
    let number = |count: usize| u32::try_from(count + 1).unwrap_or(u32::MAX);
    (number(line), number(before.len() - start))
}

/// The characters that may stand between cells, and their names.
const DELIMITERS: [(char, &str); 3] = [(',', "commas"), (';', "semicolons"), ('\t', "tabs")];

impl Table {
    /// Reads a table.
    ///
    /// # Errors
    ///
    /// Problems that leave no table to be read.
    pub fn read(
        layout: &Layout,
        bytes: &[u8],
        encoding: TableEncoding,
    ) -> Result<Self, Vec<FileProblem>> {
        let failed = |problem| vec![FileProblem::file(layout.file, problem)];
        let text = decoded(bytes, encoding).map_err(failed)?.into_owned();
        let (said, header_start) = said_delimiter(&text);
        let first = text.get(header_start..).unwrap_or_default().lines();
        let first = first.map(str::trim).find(|line| !line.is_empty());
        let Some(first) = first else {
            let header = layout.columns.iter().map(|column| column.name);
            let problem = Problem::new("", "an empty file", "a first line that names the columns")
                .hint(format!("such as {}", header.collect::<Vec<_>>().join(",")))
                .at(1, 1);
            return Err(failed(problem));
        };
        let delimiter = match said {
            Some(said) => said,
            None => delimiter_of(first, layout).map_err(|problem| failed(problem.at(1, 1)))?,
        };
        let crlf = text
            .find('\n')
            .is_some_and(|at| text.get(..at).is_some_and(|line| line.ends_with('\r')));
        let mut table = Self {
            file: layout.file,
            style: Style { delimiter, crlf },
            header: Vec::new(),
            rows: Vec::new(),
            decimals: Decimals::default(),
            text,
            header_start,
        };
        table.split().map_err(failed)?;
        table.learn_decimals(layout);
        Ok(table)
    }

    /// Splits the text into header and rows.
    fn split(&mut self) -> Result<(), Problem> {
        let body = self.text.get(self.header_start..).unwrap_or_default();
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(self.style.delimiter)
            .from_reader(body.as_bytes());
        let mut record = csv::StringRecord::new();
        let mut header = None;
        let mut rows = Vec::new();
        loop {
            let start = usize::try_from(reader.position().byte()).unwrap_or_default();
            match reader.read_record(&mut record) {
                Ok(false) => break,
                Ok(true) => {}
                Err(error) => {
                    let problem =
                        Problem::new("", format!("what is no table ({error})"), "delimited text");
                    let (line, column) = position_in(&self.text, self.header_start + start);
                    return Err(problem.at(line, column));
                }
            }
            let rest = body.get(start..).unwrap_or_default();
            let start = self.header_start
                + start
                + (rest.len() - rest.trim_start_matches(['\r', '\n']).len());
            let cells: Vec<String> = record.iter().map(|cell| cell.trim().to_owned()).collect();
            if header.is_none() {
                header = Some((cells, start));
            } else if cells.iter().any(|cell| !cell.is_empty())
                && !cells.first().is_some_and(|first| first.starts_with('#'))
            {
                rows.push(Row { cells, start });
            }
        }
        if let Some(open) = self.fields_from(self.header_start).open_at_the_end() {
            let (line, column) = position_in(&self.text, open);
            let problem = Problem::new(
                "",
                "a quotation mark that is never closed",
                "a second one at the end of the cell",
            );
            return Err(problem.at(line, column));
        }
        let (header, start) = header.unwrap_or_default();
        (self.header, self.header_start, self.rows) = (header, start, rows);
        Ok(())
    }

    fn learn_decimals(&mut self, layout: &Layout) {
        let numbers = self.header.iter().enumerate();
        let numbers = numbers.filter(|(_, name)| {
            layout
                .column(name)
                .is_some_and(|column| column.kind == Kind::Number)
        });
        let numbers: Vec<usize> = numbers.map(|(at, _)| at).collect();
        for row in &self.rows {
            for cell in numbers.iter().filter_map(|&at| row.cells.get(at)) {
                self.decimals.learn(cell);
            }
        }
    }

    /// Line and column, from 1, of a cell of a row; of the header where `row` is `None`.
    pub fn position(&self, row: Option<usize>, column: usize) -> (u32, u32) {
        let start = match row {
            Some(row) => self.rows.get(row).map_or(self.text.len(), |row| row.start),
            None => self.header_start,
        };
        let at = self.fields_from(start).nth(column).unwrap_or(start);
        position_in(&self.text, at)
    }

    fn fields_from(&self, at: usize) -> FieldStarts<'_> {
        FieldStarts::of(&self.text, self.style.delimiter, at)
    }

    /// Index of a column by its header.
    pub fn column(&self, name: &str) -> Option<usize> {
        self.header.iter().position(|other| other == name)
    }

    /// A cell by its row and the header of its column; empty where there is none.
    pub fn cell(&self, row: usize, name: &str) -> &str {
        let cell = self
            .column(name)
            .and_then(|column| self.rows.get(row)?.cells.get(column));
        cell.map_or("", String::as_str)
    }
}

/// What a first line `sep=;` says, and where the header begins.
fn said_delimiter(text: &str) -> (Option<u8>, usize) {
    let end = text.find('\n').map_or(text.len(), |at| at + 1);
    let first = text
        .get(..end)
        .unwrap_or_default()
        .trim_end_matches(['\r', '\n']);
    match first.strip_prefix("sep=").map(str::as_bytes) {
        Some(&[one]) => (Some(one), end),
        _ => (None, 0),
    }
}

/// The delimiter of a header: the only one there, or the one under which most columns are known.
fn delimiter_of(header: &str, layout: &Layout) -> Result<u8, Problem> {
    let known = |delimiter: char| {
        let names = header
            .split(delimiter)
            .map(|name| name.trim().trim_matches('"'));
        names.filter(|name| layout.column(name).is_some()).count()
    };
    let there = DELIMITERS
        .iter()
        .filter(|(delimiter, _)| header.contains(*delimiter));
    let there: Vec<(usize, char, &str)> = there
        .map(|&(delimiter, name)| (known(delimiter), delimiter, name))
        .collect();
    let most = there
        .iter()
        .map(|(known, ..)| *known)
        .max()
        .unwrap_or_default();
    let best: Vec<_> = there.iter().filter(|(known, ..)| *known == most).collect();
    match best.as_slice() {
        [] => Ok(b','),
        [(_, delimiter, _)] => Ok(u8::try_from(*delimiter).unwrap_or(b',')),
        several => {
            let names: Vec<&str> = several.iter().map(|(.., name)| *name).collect();
            let found = format!("{} in the header {}", names.join(" and "), quoted(header));
            Err(Problem::new(
                "",
                found,
                "one of them between the columns, and names of columns",
            ))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::columns::{DAYS, TOOLS};

    fn read(text: &str) -> Table {
        Table::read(&DAYS, text.as_bytes(), None).unwrap()
    }

    fn refused(layout: &Layout, bytes: &[u8]) -> String {
        let problems = Table::read(layout, bytes, None).unwrap_err();
        problems[0].to_string()
    }

    #[test]
    fn habits_of_spreadsheets_are_read() {
        for text in [
            "id,date\na,2026-03-02\n",
            "\u{feff}id;date\r\na;2026-03-02\r\n;\r\n;\r\n",
            "id\tdate\n\na\t2026-03-02",
            "sep=;\r\n\"id\";\"date\"\r\n\"a\"; \"2026-03-02\"\r\n",
            "id , date\n# monday , 2026-03-09\n a , 2026-03-02 \n",
        ] {
            let table = read(text);
            assert_eq!(table.header, ["id", "date"], "{text}");
            assert_eq!(table.rows.len(), 1, "{text}");
            assert_eq!(table.cell(0, "id"), "a", "{text}");
            assert_eq!(
                table.cell(0, "date").trim_matches('"'),
                "2026-03-02",
                "{text}"
            );
        }
    }

    #[test]
    fn cells_are_found_by_line_and_column() {
        let table =
            read("id,note,date\n\n\"a\",\"two\nlines, \"\"quoted\"\"\",  2026-03-02\nb,,x\n");
        assert_eq!(table.position(None, 2), (1, 9));
        assert_eq!(table.position(Some(0), 0), (3, 1));
        assert_eq!(table.position(Some(0), 1), (3, 5));
        assert_eq!(table.position(Some(0), 2), (4, 22));
        assert_eq!(table.position(Some(1), 1), (5, 3));
        assert_eq!(table.position(Some(1), 9), (5, 1));
    }

    #[test]
    fn what_cannot_be_read_is_refused_with_its_place() {
        assert!(
            refused(&DAYS, b"id,note\na,Caf\xe9\n").starts_with("days.csv:2:6: found bytes"),
            "{}",
            refused(&DAYS, b"id,note\na,Caf\xe9\n")
        );
        assert!(
            refused(&DAYS, b"id,note\na,\"open\nb,c\n")
                .starts_with("days.csv:2:3: found a quotation mark")
        );
        assert!(refused(&DAYS, b"\n").contains("an empty file"));
        let sheet = refused(&DAYS, b"PK\x03\x04\x14\0\x06\0");
        assert!(
            sheet.starts_with("days.csv:1:1: found a ZIP archive"),
            "{sheet}"
        );
        assert!(!sheet.contains("encoding"), "{sheet}");
        assert!(refused(&TOOLS, b"a,b;c\n").contains("commas and semicolons"));
    }

    #[test]
    fn another_encoding_is_read_where_it_is_said() {
        let windows = Some(encoding_rs::WINDOWS_1252);
        let table = Table::read(&DAYS, b"id;note\na;Caf\xe9\n", windows).unwrap();
        assert_eq!(table.cell(0, "note"), "Café");
    }
}
