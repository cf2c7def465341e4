//! A dataset to a bench folder: the way back from [`super::Bench::bundled_text`].

use super::cell::{Kind, write};
use super::columns::{LISTS, Layout, PRICES, RUNS};
use super::raw_logs::FOLDER;
use super::rows::near_column;
use super::series::even;
use super::settings;
use super::settings_text::{Raw, settings_text};
use super::unbundled::UNBUNDLED;
use crate::dataset::types::Run;
use crate::problem::{Problem, quoted};
use crate::run::samples::Samples;
use indexmap::{IndexMap, IndexSet};
use serde_json::value::RawValue;

/// A file of the folder: its path in it, and its bytes.
pub type File = (String, Vec<u8>);

/// The files of a bench folder that holds the dataset `text`, whose runs as read are `runs`.
///
/// # Errors
///
/// What cannot be told in such a folder.
pub fn files(text: &str, runs: &[Run]) -> Result<Vec<File>, Vec<Problem>> {
    let top: Raw = serde_json::from_str(text).map_err(|error| {
        vec![Problem::new(
            "",
            format!("a text that cannot be read: {error}"),
            "a dataset",
        )]
    })?;
    let mut writer = Writer::default();
    for layout in LISTS {
        let Some(list) = top.get(layout.list).filter(|list| list.get() != "null") else {
            continue;
        };
        let elements: Vec<Raw> = serde_json::from_str(list.get()).unwrap_or_default();
        let mut rows: Vec<Row> = Vec::with_capacity(elements.len());
        for (at, element) in elements.iter().enumerate() {
            let mut row = writer.row(layout, element, &format!("/{}/{at}", layout.list));
            if layout.list == RUNS.list
                && let Some(run) = runs.get(at)
            {
                writer.log(run, at, element, &mut row);
            }
            if let Some(id) = element.get("id") {
                writer.prices(layout, id, element, at);
            }
            rows.push(row);
        }
        writer.table(layout, &rows);
    }
    if !writer.prices.is_empty() {
        let prices = std::mem::take(&mut writer.prices);
        writer.table(&PRICES, &prices);
    }
    let in_tables = |key: &str| LISTS.iter().any(|layout| layout.list == key);
    let members = top
        .iter()
        .filter(|(key, _)| !in_tables(key) && *key != "format");
    match settings_text(members, &writer.extra, &writer.blocks()) {
        Ok(text) => writer
            .files
            .push((settings::FILE.into(), text.into_bytes())),
        Err(problems) => writer.problems.extend(problems),
    }
    if writer.problems.is_empty() {
        Ok(writer.files)
    } else {
        Err(writer.problems)
    }
}

/// Cells by the headers of their columns.
type Row = IndexMap<String, String>;

#[derive(Default)]
struct Writer {
    files: Vec<File>,
    prices: Vec<Row>,
    /// Names that are nearly known and meant.
    extra: IndexSet<String>,
    /// Which kinds of logs were written: with voltage, with current.
    kinds: IndexSet<(bool, bool)>,
    problems: Vec<Problem>,
}

impl Writer {
    /// The row of an element.
    fn row(&mut self, layout: &'static Layout, element: &Raw, pointer: &str) -> Row {
        let mut row = Row::new();
        for (key, value) in element.iter().filter(|(_, value)| value.get() != "null") {
            let elsewhere = layout.elsewhere.iter().any(|(field, _)| field == key);
            if layout.nested.contains(&key.as_str()) {
                let members: Raw = serde_json::from_str(value.get()).unwrap_or_default();
                for (inner, value) in &members {
                    self.cell(layout, &[key, inner], value, pointer, &mut row);
                }
            } else if !elsewhere {
                self.cell(layout, &[key], value, pointer, &mut row);
            }
        }
        row
    }

    fn cell(
        &mut self,
        layout: &'static Layout,
        path: &[&String],
        value: &RawValue,
        pointer: &str,
        row: &mut Row,
    ) {
        let keys: Vec<&str> = path.iter().map(|key| key.as_str()).collect();
        let known = layout.columns.iter().find(|column| column.path == keys);
        let (name, kind) = match known {
            Some(column) => (column.name.to_owned(), column.kind),
            None => (keys.join("."), Kind::Any),
        };
        let own = layout.list == RUNS.list
            && ["start_s", "interval_s", "time_us"].contains(&name.as_str());
        if own {
            return;
        }
        let taken =
            known.is_none() && (layout.column(&name).is_some() || layout.extra_path(&name) != keys);
        let strange =
            name.is_empty() || name.trim().len() != name.len() || name.starts_with("sep=");
        if taken || strange {
            let found = format!("a field named {}", quoted(&name));
            let wanted = format!("a name that a column of {} can have", layout.file);
            self.problems.push(Problem::new(pointer, found, wanted));
        }
        row.insert(name, write(value.get(), kind));
    }

    fn prices(&mut self, layout: &'static Layout, id: &RawValue, element: &Raw, at: usize) {
        let owner = layout.list.trim_end_matches('s');
        let Some(prices) = element
            .get("prices")
            .filter(|_| PRICES.column(owner).is_some())
        else {
            return;
        };
        let prices: Vec<Raw> = serde_json::from_str::<Option<_>>(prices.get())
            .ok()
            .flatten()
            .unwrap_or_default();
        for (k, price) in prices.iter().enumerate() {
            let mut row = Row::from([(owner.to_owned(), write(id.get(), Kind::Text))]);
            row.extend(self.row(&PRICES, price, &format!("/{}/{at}/prices/{k}", layout.list)));
            self.prices.push(row);
        }
    }

    /// The log of a run with samples, and the cells that say where it is.
    fn log(&mut self, run: &Run, at: usize, element: &Raw, row: &mut Row) {
        let (Some(samples), Some(torque)) = (Samples::of_run(run), &run.torque_dnm) else {
            return;
        };
        let kind = (run.voltage_mv.is_some(), run.current_ma.is_some());
        self.kinds.insert(kind);
        let tidy = |id: &str| {
            id.chars()
                .map(|c| {
                    if c.is_ascii_alphanumeric() || c == '-' {
                        c
                    } else {
                        '-'
                    }
                })
                .collect::<String>()
        };
        let name = format!("{:04}-{}-{}.csv", at + 1, tidy(&run.tool), tidy(&run.pack));
        let path = format!("{}/{name}", folder_of(kind));
        row.insert(
            "log".into(),
            write(
                &serde_json::Value::from(path.as_str()).to_string(),
                Kind::Text,
            ),
        );
        let raw = |key: &str| {
            element
                .get(key)
                .map(|value| value.get())
                .filter(|value| *value != "null")
        };
        let (start, interval) = (raw("start_s"), raw("interval_s"));
        let number = |text: Option<&str>| text.and_then(|text| text.parse::<f64>().ok());
        let derived = even(&samples.time_us);
        let keep = match (interval, derived) {
            (None, None) => start.is_some(),
            (None, Some(_)) => true,
            (Some(_), derived) => {
                derived.is_none() || derived != number(start).zip(number(interval))
            }
        };
        if keep {
            for (name, value) in [("start_s", start), ("interval_s", interval)] {
                row.extend(value.map(|value| (name.to_owned(), value.to_owned())));
            }
            if interval.is_none() {
                row.insert("time_us".into(), "yes".into());
            }
        }
        self.files.push((
            format!("{FOLDER}/{path}"),
            log_text(run, &samples, torque).into_bytes(),
        ));
    }

    /// The blocks of the loggers that read the logs written here.
    fn blocks(&self) -> Vec<(String, String, (bool, bool))> {
        let kinds = self.kinds.iter().map(|&kind| {
            let id = folder_of(kind).replace('/', "-");
            (id, format!("{}/*.csv", folder_of(kind)), kind)
        });
        kinds.collect()
    }

    fn table(&mut self, layout: &'static Layout, rows: &[Row]) {
        let used: IndexSet<&str> = rows
            .iter()
            .flat_map(Row::keys)
            .map(String::as_str)
            .collect();
        let known = layout.columns.iter().map(|column| column.name);
        let known = known.filter(|name| used.contains(name) || layout.needed.contains(name));
        let mut header: IndexSet<&str> = known.collect();
        let more = used
            .iter()
            .copied()
            .filter(|name| layout.column(name).is_none());
        let more: Vec<&str> = more.collect();
        header.extend(&more);
        let there: Vec<String> = header.iter().map(ToString::to_string).collect();
        let near = more
            .iter()
            .filter(|name| near_column(layout, &there, name).is_some());
        self.extra.extend(near.map(ToString::to_string));
        let mut writer = csv::Writer::from_writer(Vec::new());
        let cells = |row: &Row| -> Vec<String> {
            there
                .iter()
                .map(|name| row.get(name).cloned().unwrap_or_default())
                .collect()
        };
        let all = [there.clone()].into_iter().chain(rows.iter().map(cells));
        for record in all {
            if let Err(error) = writer.write_record(&record) {
                let problem = Problem::new(
                    format!("/{}", layout.list),
                    format!("rows that cannot be written: {error}"),
                    "a table",
                );
                self.problems.push(problem);
                return;
            }
        }
        match writer.into_inner() {
            Ok(bytes) => self.files.push((layout.file.into(), bytes)),
            Err(error) => self.problems.push(Problem::new(
                format!("/{}", layout.list),
                error.to_string(),
                "a table",
            )),
        }
    }
}

/// The folder below `logs/` of logs with these columns besides torque.
fn folder_of((voltage, current): (bool, bool)) -> String {
    let mut folder = UNBUNDLED.to_owned();
    for (there, name) in [(voltage, "/voltage"), (current, "/current")] {
        if there {
            folder.push_str(name);
        }
    }
    folder
}

/// A log with a unit in each header.
fn log_text(run: &Run, samples: &Samples, torque: &[i32]) -> String {
    let mut columns = vec![
        ("time [s]", samples.time_us.clone(), 1_000_000),
        ("torque [N·m]", wide(torque), 10),
    ];
    let more = [
        ("angle [deg]", &run.angle_ddeg, 10),
        ("voltage_v", &run.voltage_mv, 1000),
        ("current_a", &run.current_ma, 1000),
    ];
    columns.extend(
        more.into_iter()
            .filter_map(|(name, series, unit)| Some((name, wide(series.as_deref()?), unit))),
    );
    let names: Vec<&str> = columns.iter().map(|(name, ..)| *name).collect();
    let mut text = names.join(",");
    for at in 0..torque.len() {
        text.push('\n');
        for (k, (_, series, unit)) in columns.iter().enumerate() {
            if k > 0 {
                text.push(',');
            }
            push_decimal(
                &mut text,
                series.get(at).copied().unwrap_or_default(),
                *unit,
            );
        }
    }
    text.push('\n');
    text
}

fn wide(series: &[i32]) -> Vec<i64> {
    series.iter().map(|&value| value.into()).collect()
}

/// Writes a whole number of parts of `unit`, a power of ten, as a decimal.
fn push_decimal(text: &mut String, value: i64, unit: u64) {
    if value < 0 {
        text.push('-');
    }
    let (whole, parts) = (value.unsigned_abs() / unit, value.unsigned_abs() % unit);
    let width = unit.ilog10() as usize;
    text.push_str(&format!("{whole}.{parts:0width$}"));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::run::samples::microseconds;

    /// Whether a time written in seconds comes back as it was.
    fn comes_back(time_us: i64) -> bool {
        let mut text = String::new();
        push_decimal(&mut text, time_us, 1_000_000);
        text.parse()
            .is_ok_and(|time: f64| microseconds(time) == time_us)
    }

    #[test]
    fn times_come_back_to_the_microsecond() {
        for time_us in [
            0,
            -1,
            1,
            999_999,
            -1_000_001,
            3_600_000_001,
            999_999_999_999_999,
        ] {
            assert!(comes_back(time_us), "{time_us}");
        }
    }
}
