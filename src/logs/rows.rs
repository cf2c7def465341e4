//! Text to rows of fields, each with the line it begins in.

use crate::problem::{Problem, quoted};

/// One row of a log.
#[derive(Clone, Debug, Default)]
pub(super) struct Row {
    /// Its line, from 1.
    pub line: u32,
    /// Its fields, without the blanks around them.
    pub fields: Vec<String>,
}

impl Row {
    /// Takes these fields in place of those it has, in the same memory.
    fn fill<'a>(&mut self, texts: impl Iterator<Item = &'a str>) {
        let mut count = 0;
        for text in texts {
            match self.fields.get_mut(count) {
                Some(field) => {
                    field.clear();
                    field.push_str(text);
                }
                None => self.fields.push(text.to_owned()),
            }
            count += 1;
        }
        self.fields.truncate(count);
    }

    /// Whether no field holds anything.
    pub fn is_empty(&self) -> bool {
        self.fields.iter().all(String::is_empty)
    }

    /// The field at an index; empty where there is none.
    pub fn field(&self, index: usize) -> &str {
        self.fields
            .get(index)
            .map(String::as_str)
            .unwrap_or_default()
    }
}

/// What stands between fields.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub(super) enum Delimiter {
    /// One character.
    One(u8),
    /// Any number of blanks and tabs.
    Blanks,
}

impl Delimiter {
    /// The delimiter that a format names; a comma if it names none.
    pub fn named(text: Option<&str>) -> Result<Self, Problem> {
        match text {
            None => Ok(Self::One(b',')),
            Some("tab") => Ok(Self::One(b'\t')),
            Some("space" | " ") => Ok(Self::Blanks),
            Some(text) => match text.as_bytes() {
                &[one] if one.is_ascii_punctuation() && one != b'"' || one == b'\t' => {
                    Ok(Self::One(one))
                }
                _ => {
                    let wanted = "one mark such as ; or |, or the words tab or space";
                    Err(Problem::new(
                        "",
                        format!("the delimiter {}", quoted(text)),
                        wanted,
                    ))
                }
            },
        }
    }

    /// The option of `reduce` that says so.
    pub fn option(self) -> String {
        match self {
            Self::One(b'\t') => "--delimiter tab".into(),
            Self::One(one) => format!("--delimiter '{}'", char::from(one)),
            Self::Blanks => "--delimiter space".into(),
        }
    }
}

/// The byte at which a line, from 1, of a text begins.
pub(super) fn start_of(text: &str, line: usize) -> usize {
    let before = text.split_inclusive('\n').take(line.saturating_sub(1));
    before.map(str::len).sum()
}

/// The rows of a text from a line on, empty lines passed over. Lines end with `\n` alone.
pub(super) fn rows(
    text: &str,
    from_line: usize,
    delimiter: Delimiter,
) -> impl Iterator<Item = Result<Row, Problem>> + '_ {
    let mut rows = Rows::new(text, from_line, delimiter);
    std::iter::from_fn(move || {
        let mut row = Row::default();
        rows.read(&mut row)
            .map(|there| there.then_some(row))
            .transpose()
    })
}

/// Reads rows one after the other into the memory of one.
pub(super) struct Rows<'a> {
    lines: Lines<'a>,
    fields: Fields<'a>,
}

enum Fields<'a> {
    /// Lines, each with its number from 0, whose fields stand between blanks.
    Blanks(std::iter::Enumerate<std::str::Lines<'a>>),
    /// The same, whose fields stand between delimiters, none of them quoted.
    Plain(std::iter::Enumerate<std::str::Lines<'a>>, char),
    /// Fields between delimiters, and the memory for those of one row.
    Quoted(csv::Reader<&'a [u8]>, csv::StringRecord),
}

impl<'a> Rows<'a> {
    /// As [`rows`].
    pub fn new(text: &'a str, from_line: usize, delimiter: Delimiter) -> Self {
        let rest = text.get(start_of(text, from_line)..).unwrap_or_default();
        let lines = Lines {
            text: rest,
            byte: 0,
            line: from_line,
        };
        let fields = match delimiter {
            Delimiter::Blanks => Fields::Blanks(rest.lines().enumerate()),
            // Where nothing is quoted, every line is a row and every delimiter parts two fields.
            Delimiter::One(one) if !rest.contains('"') => {
                Fields::Plain(rest.lines().enumerate(), char::from(one))
            }
            Delimiter::One(one) => {
                let reader = csv::ReaderBuilder::new()
                    .delimiter(one)
                    .has_headers(false)
                    .flexible(true)
                    .from_reader(rest.as_bytes());
                Fields::Quoted(reader, csv::StringRecord::new())
            }
        };
        Self { lines, fields }
    }

    /// Reads the next row into `row`; whether there was one.
    ///
    /// # Errors
    ///
    /// If a line is no delimited text; the next call goes on after it.
    pub fn read(&mut self, row: &mut Row) -> Result<bool, Problem> {
        match &mut self.fields {
            Fields::Blanks(lines) => {
                for (i, line) in lines {
                    row.fill(line.split_whitespace());
                    if !row.fields.is_empty() {
                        row.line = line_number(self.lines.line + i);
                        return Ok(true);
                    }
                }
                Ok(false)
            }
            Fields::Plain(lines, delimiter) => {
                let Some((i, line)) = lines.find(|(_, line)| !line.is_empty()) else {
                    return Ok(false);
                };
                row.fill(line.split(*delimiter).map(str::trim));
                row.line = line_number(self.lines.line + i);
                Ok(true)
            }
            Fields::Quoted(reader, record) => match reader.read_record(record) {
                Ok(false) => Ok(false),
                Ok(true) => {
                    row.line = self
                        .lines
                        .at(record.position().map_or(0, csv::Position::byte));
                    row.fill(record.iter().map(str::trim));
                    Ok(true)
                }
                Err(_) => Err(Problem::new(
                    "",
                    "a line that cannot be read",
                    "delimited text",
                )),
            },
        }
    }
}

fn line_number(line: usize) -> u32 {
    u32::try_from(line).unwrap_or(u32::MAX)
}

/// Counts lines along a text. The reader of delimited text counts empty lines with the row behind
/// them.
struct Lines<'a> {
    text: &'a str,
    byte: usize,
    line: usize,
}

impl Lines<'_> {
    /// The line of the first byte, from an index on, that does not end a line.
    fn at(&mut self, byte: u64) -> u32 {
        let to = usize::try_from(byte)
            .unwrap_or(usize::MAX)
            .min(self.text.len());
        let bytes = self.text.as_bytes();
        let passed = bytes.get(self.byte..to).unwrap_or_default();
        self.line += passed.iter().filter(|&&byte| byte == b'\n').count();
        self.byte = to.max(self.byte);
        while bytes.get(self.byte) == Some(&b'\n') {
            self.line += 1;
            self.byte += 1;
        }
        line_number(self.line)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand_pcg::Pcg32;
    use rand_pcg::rand_core::{Rng, SeedableRng};

    fn lines(text: &str, from: usize, delimiter: Delimiter) -> Vec<(u32, usize)> {
        let rows = rows(text, from, delimiter);
        rows.map(|row| row.unwrap())
            .map(|row| (row.line, row.fields.len()))
            .collect()
    }

    #[test]
    fn rows_without_quotes_are_those_of_the_csv_crate() {
        let mut random = Pcg32::seed_from_u64(3);
        for _ in 0..2_000 {
            let parts = ["1", "2.5", ",", ",", "\n", " ", "\t", ";", "−3", "x"];
            let mut part = |_| parts[random.next_u32() as usize % parts.len()];
            let plain: String = (0..20).map(&mut part).collect();
            // A quoted field at the end, alone in its line, sends the whole text to the crate.
            let quoted = format!("{plain}\n\"\"");
            let of = |text: &str| -> Vec<(u32, Vec<String>)> {
                let rows = rows(text, 1, Delimiter::One(b','));
                rows.map(|row| row.unwrap())
                    .map(|row| (row.line, row.fields))
                    .collect()
            };
            let mut wanted = of(&quoted);
            wanted.pop();
            assert_eq!(of(&plain), wanted, "{plain:?}");
        }
    }

    #[test]
    fn every_row_knows_its_line() {
        let comma = Delimiter::One(b',');
        assert_eq!(
            lines("a,b\n\n\n1,2\n3,4\n", 1, comma),
            [(1, 2), (4, 2), (5, 2)]
        );
        assert_eq!(lines("x\ny\n\n1,2\n3,4,5", 3, comma), [(4, 2), (5, 3)]);
        assert_eq!(lines("\"a\nb\",c\n1,2\n", 1, comma), [(1, 2), (3, 2)]);
        assert_eq!(
            lines("\"a\",b\n\n\n1,2\n3,4\n", 1, comma),
            [(1, 2), (4, 2), (5, 2)]
        );
        assert_eq!(
            lines("\n a  b \n\n1\t2 \n", 1, Delimiter::Blanks),
            [(2, 2), (4, 2)]
        );
    }
}
