//! A cell of a table to a JSON value, and back.

use super::document::{Json, decoded, is_json, is_number};

/// Between the texts of a list.
const BETWEEN: char = '|';

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A text.
    Text,
    /// A number, with a decimal point or a decimal comma.
    Number,
    /// A whole number.
    Whole,
    /// `yes` or `no`.
    YesNo,
    /// Texts with `|` between them.
    List,
    /// Of a column that is not known: a JSON value, or a text.
    Any,
}

/// How a table writes the fractions of its numbers, as far as its cells say.
#[derive(Clone, Copy, Debug, Default)]
pub struct Decimals {
    /// Some number has a point that can only be a decimal one.
    pub points: bool,
    /// Some number has a comma that can only be a decimal one.
    pub commas: bool,
}

/// Why a cell cannot be read: what would be right, and what to do.
#[derive(Debug, PartialEq, Eq)]
pub struct Unreadable {
    /// What would be right.
    pub wanted: String,
    /// What to do.
    pub hint: Option<&'static str>,
}

impl Decimals {
    /// Takes note of what a cell of numbers says.
    pub fn learn(&mut self, cell: &str) {
        if grouped(cell).is_none() {
            self.points |= cell.contains('.') && is_number(cell);
            self.commas |= cell.contains(',') && is_number(&cell.replace(',', "."));
        }
    }
}

/// The sign of a number that could also be one of thousands: `1,500` and `1.500`, not `0,500`.
fn grouped(cell: &str) -> Option<char> {
    let digits = cell.trim_start_matches('-');
    let at = digits.find(['.', ','])?;
    let (before, after) = digits.split_at(at);
    let mark = after.chars().next()?;
    let after = after.strip_prefix(mark)?;
    let all = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    let could = after.len() == 3 && all(after) && (1..=3).contains(&before.len()) && all(before);
    (could && !before.starts_with('0')).then_some(mark)
}

/// Reads a cell that is not empty and has no white space around it.
pub fn read(cell: &str, kind: Kind, decimals: Decimals) -> Result<Json, Unreadable> {
    match kind {
        Kind::Text => Ok(decoded(cell).map_or_else(|| Json::text(cell), |text| Json::text(&text))),
        Kind::Any if is_json(cell) => Ok(Json::Raw(cell.into())),
        Kind::Any => Ok(Json::text(cell)),
        Kind::List => Ok(list(cell)),
        Kind::Number => number(cell, decimals),
        Kind::Whole if is_number(cell) && !cell.contains(['.', 'e', 'E']) => {
            Ok(Json::Raw(cell.into()))
        }
        Kind::Whole => Err(wanted("a whole number")),
        Kind::YesNo => match cell.to_ascii_lowercase().as_str() {
            "yes" | "true" => Ok(Json::truth(true)),
            "no" | "false" => Ok(Json::truth(false)),
            _ => Err(wanted("yes, no or nothing")),
        },
    }
}

fn wanted(wanted: &str) -> Unreadable {
    Unreadable {
        wanted: wanted.into(),
        hint: None,
    }
}

fn number(cell: &str, decimals: Decimals) -> Result<Json, Unreadable> {
    let (points, commas) = (cell.matches('.').count(), cell.matches(',').count());
    if points + commas > 1 {
        return Err(Unreadable {
            wanted: "a number without marks between thousands".into(),
            hint: Some("write 1234.5 or 1234,5"),
        });
    }
    let plain = cell.replace(',', ".");
    let written = plain.strip_prefix('+').unwrap_or(&plain);
    if !is_number(written) {
        return Err(wanted("a number"));
    }
    let ambiguous = match grouped(cell) {
        Some('.') => decimals.commas,
        Some(_) => decimals.points || !decimals.commas,
        None => false,
    };
    if ambiguous {
        let digits: String = cell.chars().filter(|c| !".,".contains(*c)).collect();
        return Err(Unreadable {
            wanted: format!(
                "a number that can be read one way only: it could be {digits} or {written}"
            ),
            hint: Some(
                "leave marks between thousands out; write a fraction with another digit, such as 1,5 or 1,5000",
            ),
        });
    }
    Ok(Json::Raw(written.into()))
}

fn list(cell: &str) -> Json {
    if cell.starts_with('[') && is_json(cell) {
        return Json::Raw(cell.into());
    }
    let parts = cell.split(BETWEEN).map(str::trim);
    let parts = parts.filter(|part| !part.is_empty());
    Json::List(parts.map(Json::text).collect())
}

/// The cell of a JSON text, such that [`read`] gives the value back; empty for `null`.
pub fn write(json: &str, kind: Kind) -> String {
    if json == "null" {
        return String::new();
    }
    let text = decoded(json);
    match (kind, text) {
        (Kind::Text, Some(text)) => plain_or(text, json, |text| !text.starts_with('"')),
        (Kind::Any, Some(text)) => plain_or(text, json, |text| !is_json(text)),
        (Kind::YesNo, _) => match json {
            "true" => "yes".into(),
            "false" => "no".into(),
            other => other.into(),
        },
        (Kind::List, _) => {
            let texts: Option<Vec<String>> = serde_json::from_str(json).ok();
            let plain = |text: &String| {
                !text.is_empty() && text.trim().len() == text.len() && !text.contains(BETWEEN)
            };
            match texts {
                Some(texts)
                    if texts.iter().all(plain)
                        && texts
                            .first()
                            .is_some_and(|first| !first.starts_with(['[', '#'])) =>
                {
                    texts.join(" | ")
                }
                _ => json.into(),
            }
        }
        _ => json.into(),
    }
}

/// `text` itself if a cell can hold it, else its JSON text.
fn plain_or(text: String, json: &str, holds: impl Fn(&str) -> bool) -> String {
    let trimmed = text.trim().len() == text.len() && !text.is_empty();
    if trimmed && !text.starts_with('#') && holds(&text) {
        text
    } else {
        json.into()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn number(cell: &str, decimals: Decimals) -> Option<String> {
        match read(cell, Kind::Number, decimals) {
            Ok(Json::Raw(text)) => Some(text),
            _ => None,
        }
    }

    #[test]
    fn a_number_is_read_where_it_can_be_read_one_way_only() {
        let told = |cells: &[&str]| {
            let mut decimals = Decimals::default();
            cells.iter().for_each(|cell| decimals.learn(cell));
            decimals
        };
        let (none, points, commas) = (told(&[]), told(&["0.25"]), told(&["12,5"]));
        assert_eq!(number("1.10", none).as_deref(), Some("1.10"));
        assert_eq!(number("1,5", none).as_deref(), Some("1.5"));
        assert_eq!(number("0,500", none).as_deref(), Some("0.500"));
        assert_eq!(number("1.500", none).as_deref(), Some("1.500"));
        assert_eq!(number("1,500", none), None);
        assert_eq!(number("1,500", commas).as_deref(), Some("1.500"));
        assert_eq!(number("1,500", points), None);
        assert_eq!(number("1.500", commas), None);
        assert_eq!(number("-1,500", none), None);
        assert_eq!(number("1.234,5", none), None);
        assert_eq!(number("1,234,567", none), None);
        for wrong in ["NaN", "1e", "0x10", "12 kg", "--1", "01"] {
            assert_eq!(number(wrong, none), None, "{wrong}");
        }
    }

    #[test]
    fn what_is_written_is_read_back() {
        let texts = [
            "plain",
            "",
            " space",
            "\"quoted\"",
            "#1",
            "12",
            "true",
            "null",
            "[1]",
            "a|b",
            "é\n",
        ];
        let decimals = Decimals::default();
        for text in texts {
            for kind in [Kind::Text, Kind::Any] {
                let Json::Raw(json) = Json::text(text) else {
                    panic!()
                };
                let cell = write(&json, kind);
                assert!(!cell.is_empty() && cell.trim() == cell && !cell.starts_with('#'));
                assert_eq!(
                    read(&cell, kind, decimals),
                    Ok(Json::text(text)),
                    "{text:?}"
                );
            }
        }
        for json in ["12", "1.10", "true", "{\"a\":[1]}", "[1,2]", "1e400"] {
            let cell = write(json, Kind::Any);
            assert_eq!(read(&cell, Kind::Any, decimals), Ok(Json::Raw(json.into())));
        }
        let list = |cell: &str| {
            let mut out = String::new();
            read(cell, Kind::List, decimals).unwrap().write(&mut out);
            out
        };
        for json in [
            "[\"a\",\"b c\"]",
            "[\"a|b\"]",
            "[\"\"]",
            "[]",
            "[\"#\"]",
            "[\"[1]\"]",
        ] {
            assert_eq!(list(&write(json, Kind::List)), json);
        }
    }
}
