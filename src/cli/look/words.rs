//! What was seen of a log, in words.

use super::drawing;
use super::layout::{ends, of_layout};
use super::line::{grouped, line};
use crate::bench::logger_block::Logger;
use crate::bench::look::{Look, Open, block_text};
use crate::cli::text;
use crate::logs::notes::figure;
use crate::problem::quoted;
use crate::run::samples::Samples;

/// How many runs of one log are drawn.
const MOST_DRAWN: usize = 4;

/// All that is told of a log of this name and so many bytes; `logger` is the one that reads it.
pub(super) fn in_words(
    name: &str,
    bytes: usize,
    seen: &Look,
    logger: Option<&Logger>,
) -> Vec<String> {
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
        [layout] => {
            let logged = seen.logged.as_ref();
            let read = logged.map(|logged| logged.columns.as_slice());
            words.extend(of_layout(layout, &survey.text, read.unwrap_or_default()));
        }
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
    words.extend(what_is_open(seen));
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

/// The questions, the notes and the problems of a log.
fn what_is_open(seen: &Look) -> Vec<String> {
    let questions = seen.open.iter().enumerate();
    let mut words: Vec<String> = questions
        .flat_map(|(at, open)| question(at + 1, open))
        .collect();
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
    words
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
