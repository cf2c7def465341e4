//! Where the rows of a log stand, and in which ways they can be read.

use super::stamp_formats::{formats, is_stamp};
use super::{Column, Fields, Footer, Layout, Said};
use crate::logs::numbers::{Marks, is_numeric, number, readings};
use crate::logs::rows::{Delimiter, Row, rows};
use crate::logs::units::{Unit, unit, units_in};

/// The fewest rows that count as samples.
const LEAST_ROWS: usize = 3;

/// More lines than this behind the rows are no footer.
const MOST_FOOTER: usize = 50;

/// The longest field of a row of units, in characters.
const LONGEST_UNIT: usize = 16;

/// How many clocks or dates are tried in each format.
const TRIED_STAMPS: usize = 2_000;

/// What one field holds.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Class {
    Empty,
    Number,
    Stamp,
    Word,
}

fn class(text: &str) -> Class {
    let comma = Marks {
        decimal: ',',
        thousands: None,
    };
    if text.is_empty() {
        Class::Empty
    } else if is_stamp(text) {
        Class::Stamp
    } else if !is_numeric(text) {
        Class::Word
    } else if number(text, Marks::PLAIN).is_some()
        || number(text, comma).is_some()
        || !readings(&[text]).is_empty()
    {
        Class::Number
    } else {
        Class::Word
    }
}

/// The rows of samples among all rows, by their indices.
struct Body {
    from: usize,
    to: usize,
    width: usize,
}

/// Every way of reading a text.
pub(super) fn layouts(text: &str, delimiters: &[Delimiter], said: Said) -> Vec<Layout> {
    let mut found: Vec<Layout> = Vec::new();
    for &delimiter in delimiters {
        let all: Vec<Row> = rows(text, 1, delimiter).filter_map(Result::ok).collect();
        let Some(body) = body(&all) else { continue };
        let of_delimiter = of_delimiter(text, &all, &body, delimiter, said);
        // A mark that stands in every row and in no number is what parts its fields.
        let is_certain = matches!(delimiter, Delimiter::One(b'\t' | b';' | b'|')) && body.width > 1;
        if is_certain && !of_delimiter.is_empty() {
            found = of_delimiter;
            break;
        }
        found.extend(of_delimiter);
    }
    // Lines above the rows are a header where one can be.
    let has_lines_above = |layout: &Layout| layout.header_line.is_none() && layout.skip_lines > 0;
    if found.iter().any(|layout| layout.header_line.is_some()) {
        found.retain(|layout| !has_lines_above(layout));
    }
    same_but_for_delimiter(&mut found);
    if let [one] = found.as_mut_slice() {
        one.example = None;
    }
    found
}

/// A single column reads the same whatever the delimiter: the first stays.
fn same_but_for_delimiter(found: &mut Vec<Layout>) {
    let mut kept: Vec<Layout> = Vec::new();
    for layout in found.drain(..) {
        let like = |other: &Layout| {
            let other = Layout {
                delimiter: layout.delimiter.clone(),
                ..other.clone()
            };
            other == layout
        };
        if !kept.iter().any(like) {
            kept.push(layout);
        }
    }
    *found = kept;
}

/// The rows like the middle one: as many fields, each of the same class.
fn body(all: &[Row]) -> Option<Body> {
    let middle = all.len() / 2;
    let classes: Vec<Class> = all
        .get(middle)?
        .fields
        .iter()
        .map(|text| class(text))
        .collect();
    if !classes.contains(&Class::Number) {
        return None;
    }
    let fits = |row: &Row| {
        row.fields.len() == classes.len()
            && row.fields.iter().zip(&classes).all(|(text, wanted)| {
                let found = class(text);
                found == *wanted || *wanted == Class::Word && found != Class::Empty
            })
    };
    let before = all.get(..middle)?.iter().rev().take_while(|row| fits(row));
    let from = middle - before.count();
    let behind = all.get(middle..)?.iter().take_while(|row| fits(row));
    let to = middle + behind.count();
    (to - from >= LEAST_ROWS && all.len() - to <= MOST_FOOTER).then_some(Body {
        from,
        to,
        width: classes.len(),
    })
}

/// Every way of reading rows parted by this delimiter.
fn of_delimiter(
    text: &str,
    all: &[Row],
    body: &Body,
    delimiter: Delimiter,
    said: Said,
) -> Vec<Layout> {
    let inside = all.get(body.from..body.to).unwrap_or_default();
    let texts = numeric_texts(inside, body.width);
    let (header, units_row) = head(all, body);
    let first = inside.first().map_or(1, |row| row.line);
    let header_line = header.map(|row| row.line);
    let skip_lines = header_line.unwrap_or(first) as usize - 1;
    // An empty line above a first row without a header says nothing.
    let skip_lines = if header_line.is_none() && body.from == 0 {
        0
    } else {
        skip_lines
    };
    let headers: Vec<String> = (0..body.width)
        .map(|index| {
            header
                .map(|row| row.field(index).replace('\n', " "))
                .unwrap_or_default()
        })
        .collect();
    let footer = all.get(body.to).map(|row| footer(row, inside));
    let ways = ways(&texts, delimiter, said);
    let differing = differing(&texts, &ways);
    let layout = |&marks: &Marks| Layout {
        delimiter: key(delimiter),
        decimal: marks.decimal,
        thousands: marks.thousands,
        skip_lines,
        header_line,
        header_starts_with: header.and_then(|row| beginning(text, row)),
        units_row: units_row.is_some(),
        first_line: first,
        rows: body.to - body.from,
        columns: columns(&headers, units_row, inside, marks),
        footer: footer.clone(),
        example: differing.and_then(|text| Some((text.to_owned(), number(text, marks)?))),
    };
    ways.iter().map(layout).collect()
}

/// The texts of a column.
fn texts_of(rows: &[Row], index: usize) -> impl DoubleEndedIterator<Item = &str> {
    rows.iter().map(move |row| row.field(index))
}

/// What a column holds, by the first row.
fn class_of(rows: &[Row], index: usize) -> Option<Class> {
    rows.first().map(|row| class(row.field(index)))
}

/// The texts of all columns of numbers.
fn numeric_texts(rows: &[Row], width: usize) -> Vec<&str> {
    let numeric = (0..width).filter(|&index| class_of(rows, index) == Some(Class::Number));
    numeric.flat_map(|index| texts_of(rows, index)).collect()
}

/// Every column, its numbers read with these marks.
fn columns(headers: &[String], units_row: Option<&Row>, rows: &[Row], marks: Marks) -> Vec<Column> {
    let columns = headers.iter().enumerate().map(|(index, name)| Column {
        number: index + 1,
        header: name.clone(),
        units: units(name, units_row.map(|row| row.field(index))),
        first: texts_of(rows, index).next().unwrap_or_default().to_owned(),
        holds: match class_of(rows, index) {
            Some(Class::Number) => range(texts_of(rows, index), marks),
            Some(Class::Stamp) => {
                let mut texts: Vec<&str> = texts_of(rows, index).take(TRIED_STAMPS).collect();
                texts.extend(texts_of(rows, index).next_back());
                Fields::Times(formats(&texts))
            }
            _ => Fields::Words,
        },
        is_doubled: headers.iter().filter(|other| *other == name).count() > 1,
    });
    columns.collect()
}

/// The footer that begins with this row.
fn footer(row: &Row, inside: &[Row]) -> Footer {
    let field = row.field(0).to_owned();
    let is_told =
        class(&field) == Class::Word && !texts_of(inside, 0).any(|text| text.starts_with(&field));
    Footer {
        line: row.line,
        first_field: if is_told { field } else { String::new() },
    }
}

/// The ways of reading all numbers that give different values.
fn ways(texts: &[&str], delimiter: Delimiter, said: Said) -> Vec<Marks> {
    let mut ways = readings(texts);
    let is_said = |said: Option<&str>, mark: Option<char>| match said {
        None => true,
        Some(text) => {
            let blank = text == "space" || text.trim().is_empty();
            let text = if blank {
                Some(' ')
            } else {
                text.chars().next()
            };
            text == mark
        }
    };
    ways.retain(|marks| {
        is_said(said.decimal, Some(marks.decimal))
            && is_said(said.thousands, marks.thousands)
            // A comma within fields that commas part stands in quotes, which none of these do.
            && (delimiter != Delimiter::One(b',') || marks.decimal != ',')
    });
    let mut different: Vec<Marks> = Vec::new();
    for way in ways {
        let alike = |other: &Marks| {
            texts
                .iter()
                .all(|text| number(text, way) == number(text, *other))
        };
        if !different.iter().any(alike) {
            different.push(way);
        }
    }
    different
}

/// A number that the ways read differently.
fn differing<'a>(texts: &[&'a str], ways: &[Marks]) -> Option<&'a str> {
    let [first, others @ ..] = ways else {
        return None;
    };
    let differs = |text: &&&str| {
        others
            .iter()
            .any(|way| number(text, *way) != number(text, *first))
    };
    texts.iter().find(differs).or(texts.first()).copied()
}

/// The header above the rows and the row of units between, each if there is one.
fn head<'a>(all: &'a [Row], body: &Body) -> (Option<&'a Row>, Option<&'a Row>) {
    let above = |steps: usize| {
        let row = body.from.checked_sub(steps).and_then(|at| all.get(at));
        row.filter(|row| row.fields.len() == body.width)
    };
    let is_filled = |row: &Row| row.fields.iter().any(|text| !text.is_empty());
    let Some(last) = above(1).filter(|row| is_filled(row)) else {
        return (None, None);
    };
    let is_short = |text: &String| text.chars().count() <= LONGEST_UNIT;
    let are_units =
        last.fields.iter().any(|text| unit(text).is_some()) && last.fields.iter().all(is_short);
    match above(2).filter(|row| are_units && row.fields.iter().all(|text| !text.is_empty())) {
        Some(header) => (Some(header), Some(last)),
        None => (Some(last), None),
    }
}

/// With what a header begins, if lines stand above it and none of them begins so.
fn beginning(text: &str, header: &Row) -> Option<String> {
    let above = (header.line as usize).saturating_sub(1);
    let start = header.field(0);
    let begins = |line: &str| line.trim_start_matches([' ', '\t', '"']).starts_with(start);
    let is_free = !text.lines().take(above).any(begins);
    (above > 0 && !start.is_empty() && is_free).then(|| start.to_owned())
}

fn units(header: &str, below: Option<&str>) -> Vec<Unit> {
    let mut units = units_in(header);
    let below = below.and_then(unit);
    units.extend(below.filter(|below| units.iter().all(|unit| unit.symbol != below.symbol)));
    units
}

fn range<'a>(texts: impl Iterator<Item = &'a str>, marks: Marks) -> Fields {
    let numbers = texts.filter_map(|text| number(text, marks));
    let range = numbers.fold(
        (f64::INFINITY, f64::NEG_INFINITY),
        |(least, most), number| (least.min(number), most.max(number)),
    );
    Fields::Numbers(range.0, range.1)
}

/// The value of `delimiter` that says a delimiter.
fn key(delimiter: Delimiter) -> String {
    match delimiter {
        Delimiter::One(b'\t') => "tab".into(),
        Delimiter::One(one) => char::from(one).into(),
        Delimiter::Blanks => "space".into(),
    }
}
