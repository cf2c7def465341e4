//! The blocks `[[loggers]]` of `bench.toml`, read.

use super::document::{Json, Members, decoded};
use super::file_problem::FileProblem;
use super::logger_block::{Channel, ColumnOf, Logger, Split};
use super::settings::{Settings, problem_at};
use crate::problem::{Problem, quoted};
use globset::{GlobBuilder, GlobMatcher};

/// The loggers of `bench.toml`.
///
/// # Errors
///
/// Every problem.
pub fn loggers(settings: &Settings) -> Result<Vec<Logger>, Vec<FileProblem>> {
    let mut reader = Reader {
        settings,
        problems: Vec::new(),
    };
    let mut loggers: Vec<Logger> = Vec::new();
    match settings.members.get("loggers") {
        None => {}
        Some(Json::List(blocks)) => {
            for (i, block) in blocks.iter().enumerate() {
                let Json::Object(block) = block else {
                    reader.problem(&format!("/loggers/{i}"), "no block", "[[loggers]]");
                    continue;
                };
                let logger = reader.logger(block, i);
                if loggers.iter().any(|other| other.id == logger.id) {
                    let found = format!("the logger {} again", quoted(&logger.id));
                    reader.problem(&format!("/loggers/{i}/id"), &found, "every identifier once");
                }
                loggers.push(logger);
            }
        }
        Some(_) => reader.problem("/loggers", "no blocks", "[[loggers]] for each logger"),
    }
    if reader.problems.is_empty() {
        Ok(loggers)
    } else {
        Err(reader.problems)
    }
}

struct Reader<'a> {
    settings: &'a Settings,
    problems: Vec<FileProblem>,
}

impl Reader<'_> {
    fn problem(&mut self, pointer: &str, found: &str, wanted: &str) {
        self.problems.push(problem_at(
            self.settings,
            pointer,
            Problem::new(pointer, found, wanted),
        ));
    }

    fn logger(&mut self, block: &Members, i: usize) -> Logger {
        let at = |key: &str| format!("/loggers/{i}/{key}");
        let id = self.text(block, "id", &at("id"));
        if id.as_deref().unwrap_or_default().is_empty() {
            self.problem(
                &format!("/loggers/{i}"),
                "no \"id\"",
                "a text that names the logger",
            );
        }
        Logger {
            id: id.unwrap_or_default(),
            files: self.files(block, &at("files")),
            encoding: self.text(block, "encoding", &at("encoding")),
            delimiter: self.text(block, "delimiter", &at("delimiter")),
            decimal: self.text(block, "decimal", &at("decimal")),
            thousands: self.text(block, "thousands", &at("thousands")),
            skip_lines: self.count(block, "skip_lines", &at("skip_lines")),
            header_starts_with: self.text(block, "header_starts_with", &at("header_starts_with")),
            units_row: self.truth(block, "units_row", &at("units_row")),
            end_before: self.text(block, "end_before", &at("end_before")),
            time: self.channel(block, "time", &at("time")),
            rate_hz: self.positive(block, "rate_hz", &at("rate_hz")),
            torque: self.channel(block, "torque", &at("torque")),
            tension: self.channel(block, "tension", &at("tension")),
            angle: self.channel(block, "angle", &at("angle")),
            voltage: self.channel(block, "voltage", &at("voltage")),
            current: self.channel(block, "current", &at("current")),
            split: self.split(block, &at("split")),
            clips_at_nm: self.positive(block, "clips_at_nm", &at("clips_at_nm")),
            name_pattern: self.text(block, "name_pattern", &at("name_pattern")),
            block: Some(i),
        }
    }

    /// The value of a field as JSON text, if it is there and taken apart no further.
    fn raw<'b>(
        &mut self,
        block: &'b Members,
        key: &str,
        pointer: &str,
        wanted: &str,
    ) -> Option<&'b str> {
        match block.get(key)? {
            Json::Raw(text) => Some(text),
            _ => {
                self.problem(pointer, "a list or a table", wanted);
                None
            }
        }
    }

    fn read<T>(
        &mut self,
        block: &Members,
        key: &str,
        pointer: &str,
        wanted: &str,
        read: impl Fn(&str) -> Option<T>,
    ) -> Option<T> {
        let json = self.raw(block, key, pointer, wanted)?;
        let value = read(json);
        if value.is_none() {
            self.problem(pointer, json, wanted);
        }
        value
    }

    fn text(&mut self, block: &Members, key: &str, pointer: &str) -> Option<String> {
        self.read(block, key, pointer, "a text", decoded)
    }

    fn truth(&mut self, block: &Members, key: &str, pointer: &str) -> Option<bool> {
        self.read(block, key, pointer, "true or false", |json| {
            json.parse().ok()
        })
    }

    fn count(&mut self, block: &Members, key: &str, pointer: &str) -> Option<u32> {
        self.read(block, key, pointer, "a whole number, 0 or more", |json| {
            json.parse().ok()
        })
    }

    fn positive(&mut self, block: &Members, key: &str, pointer: &str) -> Option<f64> {
        let positive = |json: &str| {
            json.parse()
                .ok()
                .filter(|number: &f64| *number > 0.0 && number.is_finite())
        };
        self.read(block, key, pointer, "a number above 0", positive)
    }

    fn files(&mut self, block: &Members, pointer: &str) -> Option<GlobMatcher> {
        let pattern = self.text(block, "files", pointer)?;
        match GlobBuilder::new(&pattern).literal_separator(true).build() {
            Ok(glob) => Some(glob.compile_matcher()),
            Err(error) => {
                self.problem(
                    pointer,
                    &format!("{}: {}", quoted(&pattern), error.kind()),
                    "a pattern such as \"**/*.csv\"",
                );
                None
            }
        }
    }

    /// A channel: the header of its column, its number, or a table that says more.
    fn channel(&mut self, block: &Members, key: &str, pointer: &str) -> Option<Channel> {
        let wanted = "a column's header or number, or { column = …, unit = … }";
        let table = match block.get(key)? {
            Json::Object(table) => table,
            Json::Raw(json) => {
                let column = column(json);
                if column.is_none() {
                    self.problem(pointer, json, wanted);
                }
                return column.map(|column| Channel {
                    column,
                    ..Channel::default()
                });
            }
            Json::List(_) => {
                self.problem(pointer, "a list", wanted);
                return None;
            }
        };
        const KEYS: [&str; 5] = ["column", "unit", "factor", "inverted", "format"];
        for name in table.keys().filter(|name| !KEYS.contains(&name.as_str())) {
            let wanted = format!("one of {}", KEYS.map(|key| format!("\"{key}\"")).join(", "));
            self.problem(
                &format!("{pointer}/{name}"),
                &format!("the field {}", quoted(name)),
                &wanted,
            );
        }
        let at = |key: &str| format!("{pointer}/{key}");
        let read = self.read(
            table,
            "column",
            &at("column"),
            "a column's header or number",
            column,
        );
        let factor = self.read(
            table,
            "factor",
            &at("factor"),
            "a number other than 0",
            |json| {
                json.parse()
                    .ok()
                    .filter(|factor: &f64| factor.is_finite() && *factor != 0.0)
            },
        );
        Some(Channel {
            column: read.unwrap_or_default(),
            unit: self.text(table, "unit", &at("unit")),
            factor,
            inverted: self
                .truth(table, "inverted", &at("inverted"))
                .unwrap_or_default(),
            format: self.text(table, "format", &at("format")),
        })
    }

    fn split(&mut self, block: &Members, pointer: &str) -> Option<Split> {
        let wanted = "\"no\", or { torque_nm = …, rest_s = … }";
        match block.get("split")? {
            Json::Raw(json) if json == "\"no\"" => None,
            Json::Object(table) => {
                for name in table.keys() {
                    if !["torque_nm", "rest_s"].contains(&name.as_str()) {
                        let found = format!("the field {}", quoted(name));
                        self.problem(&format!("{pointer}/{name}"), &found, wanted);
                    }
                }
                let torque_nm = self.positive(table, "torque_nm", &format!("{pointer}/torque_nm"));
                let rest_s = self.positive(table, "rest_s", &format!("{pointer}/rest_s"));
                if !(table.contains_key("torque_nm") && table.contains_key("rest_s")) {
                    self.problem(pointer, "a torque or a rest missing", wanted);
                }
                Some(Split {
                    torque_nm: torque_nm?,
                    rest_s: rest_s?,
                })
            }
            other => {
                let mut found = String::new();
                other.write(&mut found);
                self.problem(pointer, &found, wanted);
                None
            }
        }
    }
}

/// A column by its header or number.
fn column(json: &str) -> Option<ColumnOf> {
    match decoded(json) {
        Some(name) => Some(ColumnOf::Named(name)),
        None => json
            .parse()
            .ok()
            .filter(|&number| number > 0)
            .map(ColumnOf::Number),
    }
}

#[cfg(test)]
mod tests {
    use super::super::logger_block::logger_of;
    use super::*;

    fn read(text: &str) -> Result<Vec<Logger>, Vec<String>> {
        let settings = crate::bench::settings::read(text.as_bytes()).unwrap();
        loggers(&settings).map_err(|problems| problems.iter().map(ToString::to_string).collect())
    }

    #[test]
    fn a_block_is_read() {
        let read = read("[[loggers]]\nid = \"a\"\nfiles = \"old/*.csv\"\ndelimiter = \"tab\"\ntorque = { column = 2, unit = \"lbf·ft\", inverted = true }\ntime = \"t [s]\"\nsplit = { torque_nm = 5, rest_s = 2 }\n[[loggers]]\nid = \"b\"\nfiles = \"**\"\nsplit = \"no\"\n").unwrap();
        assert_eq!(read[0].torque.as_ref().unwrap().column, ColumnOf::Number(2));
        assert!(read[0].torque.as_ref().unwrap().inverted);
        assert_eq!(
            read[0].time.as_ref().unwrap().column,
            ColumnOf::Named("t [s]".into())
        );
        assert_eq!(
            read[0].split,
            Some(Split {
                torque_nm: 5.0,
                rest_s: 2.0
            })
        );
        let plain = Logger::default();
        let of = |named, log| logger_of(&read, named, log, &plain).map(|logger| logger.id.as_str());
        assert_eq!(of("", "old/x.csv"), Some("a"));
        assert_eq!(of("", "old/deep/x.csv"), Some("b"));
        assert_eq!(of("a", "x.csv"), Some("a"));
        assert_eq!(of("c", "x.csv"), None);
    }

    #[test]
    fn faults_of_a_block_are_named_with_their_place() {
        let found = read(
            "[[loggers]]\nfiles = \"a[\"\nskip_lines = -1\ntorque = { colum = 2 }\nsplit = 5\n",
        )
        .unwrap_err();
        let starts = [
            "bench.toml:1:1: loggers.0: found no \"id\"",
            "bench.toml:2:9: loggers.0.files",
            "bench.toml:3:14: loggers.0.skip_lines: found -1",
            "bench.toml:4:20: loggers.0.torque.colum",
            "bench.toml:5:9: loggers.0.split: found 5",
        ];
        for (found, start) in found.iter().zip(starts) {
            assert!(found.starts_with(start), "{found}\n{start}");
        }
        assert_eq!(found.len(), starts.len(), "{found:?}");
    }
}
