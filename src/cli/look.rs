//! `look`: what was understood of logs before anything is kept.

mod drawing;

use super::{Failure, load, print, text};
use crate::bench::gather::Refused;
use crate::bench::logger_block::Logger;
use crate::bench::look::said::Said;
use crate::bench::look::{Block, Look, Open, block_text, keep, look, look_with};
use crate::bench::one_log;
use crate::logs::Understood;
use crate::logs::notes::figure;
use crate::logs::survey::{Fields, Layout};
use crate::problem::quoted;
use crate::run::samples::Samples;
use clap::Args;
use std::path::{Path, PathBuf};

/// How many runs of one log are drawn.
const MOST_DRAWN: usize = 4;

/// How many lines of the preamble are shown.
const MOST_PREAMBLE: usize = 8;

/// Where the figures of a line begin.
const INDENT: usize = 12;

#[derive(Debug, Args)]
#[command(
    after_help = "What the log does not say, and what can be read in several ways, is asked for and \
    never assumed: say it with --say, in the words of the logger's block, such as \
    --say 'rate_hz = 250' or --say 'torque = { column = \"M\", unit = \"N·m\" }'."
)]
pub(super) struct LookAt {
    /// Logs of one logger: delimited text
    #[arg(required = true)]
    logs: Vec<PathBuf>,
    /// Bench folder: a log that one of its loggers reads is shown as that logger reads it
    #[arg(long = "in", value_name = "DIR")]
    folder: Option<PathBuf>,
    /// Put the block of this logger into bench.toml of the folder
    #[arg(long, value_name = "ID", requires = "folder")]
    keep: Option<String>,
    /// A line of the block, which goes before what is seen of the log; may be given several times
    #[arg(long, value_name = "KEY = VALUE")]
    say: Vec<String>,
}

impl LookAt {
    pub fn run(&self) -> Result<(), Failure> {
        let said = Said::read(&self.say).map_err(|why| Failure::Misuse(format!("--say: {why}")))?;
        let mut blocks: Vec<Block> = Vec::new();
        let mut unclear = Vec::new();
        for log in &self.logs {
            let name = log.display().to_string();
            let logger = self.logger(log)?;
            let bytes = load::log(&self.file(log))?;
            let seen = match &logger {
                Some(logger) => look_with(&bytes, logger),
                None => look(&bytes, &said),
            };
            let seen = seen.map_err(|problem| {
                Failure::Data(text::problems(&name, std::slice::from_ref(&problem), 0))
            })?;
            let is_clear = seen.open.is_empty() && seen.problems.is_empty();
            print(&in_words(&name, bytes.len(), &seen, logger.as_ref()).join("\n"))?;
            if !is_clear {
                unclear.push(unclear_line(&name, &seen));
            }
            if self.logs.len() > 1 {
                print("")?;
            }
            if !blocks.contains(&seen.block) {
                blocks.push(seen.block);
            }
        }
        if !unclear.is_empty() {
            if self.keep.is_some() {
                unclear.push("Nothing was written to bench.toml.".into());
            }
            return Err(Failure::Data(unclear));
        }
        match (&self.folder, &self.keep) {
            (Some(folder), Some(id)) => self.keep(folder, id, &blocks),
            _ => Ok(()),
        }
    }

    /// The file of a log; within a folder it may be named by its path below `logs/`.
    fn file(&self, log: &Path) -> PathBuf {
        let below = self
            .folder
            .as_ref()
            .map(|folder| folder.join("logs").join(log));
        match below {
            Some(below) if !log.exists() => below,
            _ => log.to_owned(),
        }
    }

    /// The logger of the folder that reads a log, if nothing is said and none is to be kept.
    fn logger(&self, log: &Path) -> Result<Option<Logger>, Failure> {
        let Some(folder) = self
            .folder
            .as_ref()
            .filter(|_| self.say.is_empty() && self.keep.is_none())
        else {
            return Ok(None);
        };
        one_log::logger(folder, log).map_err(|problems| load::in_folder(folder, &problems))
    }

    fn keep(&self, folder: &Path, id: &str, blocks: &[Block]) -> Result<(), Failure> {
        let [block] = blocks else {
            let why = "the logs need different blocks: keep one for each kind";
            return Err(Failure::Misuse(format!(
                "--keep: {why}; nothing was written"
            )));
        };
        let paths = self.logs.iter().map(|log| one_log::path_of(folder, log));
        let paths: Vec<String> = paths
            .collect::<Result<_, _>>()
            .map_err(|problem| load::in_folder(folder, &[problem]))?;
        let mut block = block.clone();
        if !block.iter().any(|(key, _)| key == "files") {
            let Some(pattern) = keep::pattern(&paths) else {
                let why = "the logs have no folder and extension in common: say which files the logger wrote, such as --say 'files = \"unit4/*\"'";
                return Err(Failure::Misuse(format!(
                    "--keep: {why}; nothing was written"
                )));
            };
            block.insert(
                0,
                ("files".into(), toml_edit::Value::from(pattern).to_string()),
            );
        }
        keep::keep(folder, id, &paths, &block).map_err(|refused| match refused {
            Refused::Problems(problems) => load::in_folder(folder, &problems),
            Refused::Unwritten(why) => Failure::Misuse(why),
        })?;
        let file = folder.join("bench.toml");
        let files = block.iter().find(|(key, _)| key == "files");
        let files = files.map(|(_, value)| value.as_str()).unwrap_or_default();
        let said = format!(
            "The logger {} for {files} stands in {}.",
            quoted(id),
            file.display()
        );
        print(&format!("\n{}", text::wrapped(&said)))
    }
}

/// One line on what stands in the way of reading a log.
fn unclear_line(name: &str, seen: &Look) -> String {
    let count = seen.open.len();
    match (count, seen.problems.len()) {
        (0, _) => format!("{name}: the block does not read the log"),
        (1, _) => format!("{name}: one thing has to be said first"),
        _ => format!("{name}: {count} things have to be said first"),
    }
}

fn line(name: &str, value: &str) -> Vec<String> {
    let mut lines = text::wrapped_at(value, 80 - INDENT).into_iter();
    let first = lines.next().unwrap_or_default();
    let mut all = vec![format!("{name:<INDENT$}{first}")];
    all.extend(lines.map(|line| format!("{:INDENT$}{line}", "")));
    all
}

fn in_words(name: &str, bytes: usize, seen: &Look, logger: Option<&Logger>) -> Vec<String> {
    let survey = &seen.survey;
    let lines = survey.text.lines().count();
    let mut words = vec![name.to_owned()];
    let size = format!(
        "{} bytes, {} lines ending in {}",
        grouped(bytes),
        grouped(lines),
        survey.line_ends
    );
    words.extend(line("size", &size));
    words.extend(line(
        "encoding",
        &format!("{} ({})", survey.encoding.name, survey.encoding.by),
    ));
    match survey.layouts.as_slice() {
        [layout] => words.extend(of_layout(layout, &survey.text, seen)),
        _ => words.extend(ends(&survey.text)),
    }
    if let Some(logger) = logger {
        words.extend(line(
            "logger",
            &format!("{} of bench.toml", quoted(&logger.id)),
        ));
    }
    if let Some(logged) = &seen.logged {
        words.extend(line("samples", &rate(&logged.samples)));
        let unit = if logged.tension { "kN" } else { "N·m" };
        words.extend(runs(&seen.runs, unit));
    }
    words.extend(
        seen.open
            .iter()
            .enumerate()
            .flat_map(|(at, open)| question(at + 1, open)),
    );
    words.extend(
        seen.notes
            .iter()
            .map(|note| format!("\n{}", text::wrapped(&format!("Note: {note}")))),
    );
    if !seen.problems.is_empty() {
        words.push("\nRead so, the log has problems:".into());
        words.extend(seen.problems.iter().map(|problem| {
            let at = problem
                .line
                .map(|line| format!("line {line}: "))
                .unwrap_or_default();
            text::wrapped(&format!("{at}{}", problem.message))
        }));
    }
    if !seen.block.is_empty() {
        words.push(if seen.open.is_empty() {
            "\nThe block that says so:\n".into()
        } else {
            "\nThe block as far as it is clear:\n".into()
        });
        words.push(block_text(&seen.block));
    }
    words
}

fn of_layout(layout: &Layout, whole: &str, seen: &Look) -> Vec<String> {
    let mut words = Vec::new();
    let delimiter = match (layout.columns.len(), layout.delimiter.as_str()) {
        (1, _) => "none, one column",
        (_, "space") => "blanks",
        (_, other) => other,
    };
    words.extend(line("delimiter", delimiter));
    let decimal = if layout.decimal == ',' {
        "comma"
    } else {
        "point"
    };
    let thousands = match layout.thousands {
        None => String::new(),
        Some(' ') => ", a space between thousands".into(),
        Some(mark) => format!(", {mark} between thousands"),
    };
    words.extend(line("decimals", &format!("{decimal}{thousands}")));
    if layout.skip_lines > 0 {
        let count = layout.skip_lines;
        let lines = if count == 1 {
            "1 line".into()
        } else {
            format!("{count} lines")
        };
        words.extend(line("preamble", &lines));
        words.extend(whole.lines().take(count.min(MOST_PREAMBLE)).map(quote));
        if count > MOST_PREAMBLE {
            words.push(format!("{:INDENT$}…", ""));
        }
    }
    let header = match (layout.header_line, layout.units_row) {
        (Some(at), false) => format!("line {at}"),
        (Some(at), true) => format!("line {at}, units in the line below"),
        (None, _) => "none".into(),
    };
    words.extend(line("header", &header));
    let rows = grouped(layout.rows);
    words.extend(line(
        "rows",
        &format!("{rows} from line {}", layout.first_line),
    ));
    let all: Vec<&str> = whole.lines().collect();
    let first = layout.first_line as usize - 1;
    words.extend(all.iter().skip(first).take(2).map(|line| quote(line)));
    words.push(format!("{:INDENT$}…", ""));
    let end = layout
        .footer
        .as_ref()
        .map_or(all.len(), |footer| footer.line as usize - 1);
    let rows = all.get(..end).unwrap_or_default().iter().rev();
    let last = rows.filter(|line| !line.trim().is_empty()).take(2);
    let last: Vec<String> = last.map(|line| quote(line)).collect();
    words.extend(last.into_iter().rev());
    if let Some(footer) = &layout.footer {
        words.extend(line("footer", &format!("from line {}", footer.line)));
        words.extend(
            all.iter()
                .skip(footer.line as usize - 1)
                .take(3)
                .map(|line| quote(line)),
        );
    }
    words.extend(columns(
        layout,
        seen.logged
            .as_ref()
            .map(|logged| logged.columns.as_slice())
            .unwrap_or_default(),
    ));
    words
}

/// First and last lines of a log whose rows are not clear.
fn ends(whole: &str) -> Vec<String> {
    const SHOWN: usize = 3;
    let all: Vec<&str> = whole.lines().collect();
    let mut words = vec!["lines".to_owned()];
    words.extend(all.iter().take(SHOWN).map(|line| quote(line)));
    if all.len() > 2 * SHOWN {
        words.push(format!("{:INDENT$}…", ""));
    }
    let last = all.len().saturating_sub(SHOWN).max(SHOWN);
    words.extend(all.iter().skip(last).map(|line| quote(line)));
    words
}

/// A line of the log as it stands, cut to the width.
fn quote(line: &str) -> String {
    let shown = line.replace('\t', "→");
    let kept: String = shown.chars().take(80 - INDENT - 3).collect();
    let more = if kept.len() < shown.len() { "…" } else { "" };
    format!("{:INDENT$}| {kept}{more}", "")
}

/// The columns, what they were read as, and their ranges.
fn columns(layout: &Layout, read: &[Understood]) -> Vec<String> {
    let longest = |texts: &[String]| {
        texts
            .iter()
            .map(|text| text.chars().count())
            .max()
            .unwrap_or_default()
    };
    let headers: Vec<String> = layout
        .columns
        .iter()
        .map(|column| {
            if column.header.is_empty() {
                String::new()
            } else {
                quoted(&column.header)
            }
        })
        .collect();
    let roles: Vec<String> = layout
        .columns
        .iter()
        .map(|column| {
            let read = read.iter().find(|read| read.column == Some(column.number));
            let units: Vec<&str> = column.units.iter().map(|unit| unit.symbol).collect();
            match (read, &column.holds, units.as_slice()) {
                (Some(read), ..) => format!("{} in {}", read.channel, read.unit),
                (None, Fields::Words, _) => "words".into(),
                (None, Fields::Times(_), _) => "clock or date".into(),
                (None, _, []) => "no unit".into(),
                (None, _, units) => units.join(" and "),
            }
        })
        .collect();
    let (wide, role) = (longest(&headers).min(28), longest(&roles));
    let rows = layout
        .columns
        .iter()
        .zip(headers.iter().zip(&roles))
        .enumerate();
    rows.map(|(at, (column, (header, said)))| {
        let name = if at == 0 { "columns" } else { "" };
        let range = match column.holds {
            Fields::Numbers(least, most) => {
                format!("{} … {}", drawing::plain(least), drawing::plain(most))
            }
            _ => column.first.clone(),
        };
        let row = format!(
            "{name:<INDENT$}{:>2}  {header:<wide$}  {said:<role$}  {range}",
            column.number
        );
        row.chars()
            .take(80)
            .collect::<String>()
            .trim_end()
            .to_owned()
    })
    .collect()
}

/// How many samples there are, how often they were taken and for how long.
fn rate(samples: &Samples) -> String {
    let times = &samples.time_us;
    let mut gaps: Vec<i64> = times
        .windows(2)
        .filter_map(|pair| Some(pair.get(1)? - pair.first()?))
        .collect();
    gaps.sort_unstable();
    let duration = times
        .last()
        .zip(times.first())
        .map_or(0, |(last, first)| last - first);
    let duration = figure(duration as f64 / 1e6);
    let repeated = gaps.iter().filter(|gap| **gap == 0).count();
    let count = grouped(times.len());
    let median = gaps.get(gaps.len() / 2).copied().unwrap_or_default();
    let mut text = format!("{count} in {duration} s");
    if median > 0 {
        let even = if gaps
            .last()
            .zip(gaps.first())
            .is_some_and(|(most, least)| most - least <= 2)
        {
            "evenly"
        } else {
            "unevenly"
        };
        text += &format!(", {} a second, {even}", figure(1e6 / median as f64));
    }
    if repeated > 0 {
        text += &format!(", {repeated} repeated time stamps");
    }
    text
}

/// Every run with a drawing, as far as there is room.
fn runs(runs: &[Samples], unit: &str) -> Vec<String> {
    let count = match runs.len() {
        0 => "none: the torque stays below that of split".to_owned(),
        1 => "1".into(),
        count => format!("{count} parts"),
    };
    let mut words = line("runs", &count);
    for (at, run) in runs.iter().take(MOST_DRAWN).enumerate() {
        if runs.len() > 1 {
            words.push(format!("\npart {}: {}", at + 1, rate(run)));
        } else {
            words.push(String::new());
        }
        words.extend(drawing::drawing(run, unit));
    }
    if runs.len() > MOST_DRAWN {
        words.push(format!("… and {} more parts", runs.len() - MOST_DRAWN));
    }
    words
}

/// A question, the readings and how to say them.
fn question(number: usize, open: &Open) -> Vec<String> {
    let mut words = vec![format!(
        "\n{}",
        text::wrapped(&format!("{number}. {}", open.question))
    )];
    for (meaning, lines) in &open.readings {
        let meaning = text::wrapped_at(&format!("- {meaning}:"), 77);
        words.extend(meaning.into_iter().map(|line| format!("   {line}")));
        words.extend(lines.lines().map(|line| format!("     --say '{line}'")));
    }
    words
}

/// A count with commas between groups of three digits.
fn grouped(count: usize) -> String {
    let digits: Vec<char> = count.to_string().chars().rev().collect();
    let groups: Vec<String> = digits
        .chunks(3)
        .map(|group| group.iter().rev().collect())
        .collect();
    let groups: Vec<&str> = groups.iter().rev().map(String::as_str).collect();
    groups.join(",")
}
