//! `drift`: the check runs of each day.

use super::picture_files::PictureFiles;
use super::text::{rows_aligned, wrapped};
use super::{Failure, load, print, print_json};
use crate::drift::data::{CheckSeries, CheckedDay, Drift, Proposal};
use crate::export::plain_text::credit;
use crate::history::check_days::LEAST_DAYS;
use crate::picture::drift;
use crate::picture::sheet::Told;
use crate::results::Results;
use crate::text;
use crate::units::TorqueUnit;
use clap::Args;
use std::path::PathBuf;

/// Characters of the drawing of a day.
const WIDTH: usize = 33;

#[derive(Debug, Args)]
pub(super) struct DriftOf {
    /// Dataset or bench folder [default: the invented demo]
    file: Option<PathBuf>,
    /// Count runs that belong to no edition yet, as a draft after the newest
    #[arg(long)]
    drafts: bool,
    /// Print the figures as JSON, exact, in SI units
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    files: PictureFiles,
}

impl DriftOf {
    pub fn run(&self) -> Result<(), Failure> {
        let loaded = load::dataset(self.file.as_deref(), "en", self.drafts)?;
        let results = &loaded.results;
        let drift = of_newest(results);
        if self.files.any() {
            let svg = picture(results, &drift, TorqueUnit::NewtonMetre, &self.files)?;
            self.files.write(&svg, self.file.as_deref())?;
        }
        if self.json {
            return print_json(&drift);
        }
        let notice = text::notice(results.catalogue(), results.dataset());
        let mut parts: Vec<String> = notice.iter().map(|notice| wrapped(notice)).collect();
        parts.extend(told(&drift));
        parts.extend(self.files.any().then(|| self.files.written()));
        print(&parts.join("\n\n"))
    }
}

/// What the check runs say of each day, as the newest edition has them.
pub(super) fn of_newest(results: &Results) -> Drift {
    let newest = results.dataset().editions.last();
    results.drift(newest.map_or(0, |edition| edition.edition))
}

/// The picture of the check runs, with the sentences of the text.
pub(super) fn picture(
    results: &Results,
    drift: &Drift,
    unit: TorqueUnit,
    files: &PictureFiles,
) -> Result<String, Failure> {
    let catalogue = results.catalogue();
    let several = drift.series.len() > 1;
    let lines = drift.series.iter().flat_map(|series| {
        let heading = several.then(|| format!("{}:", series.label));
        heading.into_iter().chain(sentences(series))
    });
    let contents = results.contents();
    let edition = text::edition(catalogue, results.dataset().editions.last());
    let told = Told {
        lang: "en".into(),
        notice: text::notice(catalogue, results.dataset()).unwrap_or_default(),
        headline: "Check runs by day".into(),
        subline: String::new(),
        lines: lines.chain(days_without(drift)).collect(),
        credit: credit(catalogue, &contents.title, &edition, &contents.license),
    };
    drift::picture(drift, unit, &told, &files.size())
        .ok_or_else(|| Failure::Misuse(format!("there is nothing to draw: {NO_CHECK_RUN}")))
}

/// What is said where no check run is.
const NO_CHECK_RUN: &str = "There is no check run, so nothing shows whether the rig has drifted. \
    Run the same tool and pack on every day and write \"yes\" in the column \"control\" of runs.csv.";

fn told(drift: &Drift) -> Vec<String> {
    let mut parts: Vec<String> = drift.series.iter().flat_map(of_series).collect();
    if drift.series.is_empty() {
        parts.push(wrapped(NO_CHECK_RUN));
    }
    parts.extend(days_without(drift).map(|said| wrapped(&said)));
    parts
}

/// The days with runs and without a check run, in a sentence.
fn days_without(drift: &Drift) -> Option<String> {
    let days = drift.days_without.iter().map(|day| {
        let id = match day.day == day.date {
            true => String::new(),
            false => format!(" ({})", day.day),
        };
        format!("{}{id}", day.date)
    });
    let days: Vec<String> = days.collect();
    if !days.is_empty() {
        let days = days.join(", ");
        return Some(format!("Days with runs and without a check run: {days}."));
    }
    (!drift.series.is_empty()).then(|| "Every day with runs has a check run.".into())
}

fn of_series(series: &CheckSeries) -> Vec<String> {
    let kind = match series.reference {
        true => "Reference checks",
        false => "Check runs",
    };
    let mut parts = vec![wrapped(&format!(
        "{kind} with {}, rig {}, setup {}. Mean torque of each day in N·m:",
        series.label, series.rig, series.setup
    ))];
    parts.push(table(series));
    parts.extend(sentences(series).iter().map(|said| wrapped(said)));
    parts
}

/// What the check runs of a tool and pack say, in sentences.
fn sentences(series: &CheckSeries) -> Vec<String> {
    let percent = |percent: f64| format!("{percent:.1} %");
    // The chance that goes with it is good to some parts in a hundred.
    let rounded = |percent: f64| match percent {
        10.0.. => format!("{percent:.0} %"),
        _ => format!("{percent:.1} %"),
    };
    let mut said = vec![
        match (series.smallest_shift_percent, series.run_scatter_percent) {
            (Some(shift), Some(scatter)) => format!(
                "Each day is held against the other days; the limits lie 3 standard deviations from \
             their mean. Runs of one day scatter by {}. The chart would show a shift of one day by \
             {} in about three of four cases (four of five if its limits were known exactly); \
             smaller shifts mostly go unseen.",
                percent(scatter),
                rounded(shift)
            ),
            (None, Some(_)) => {
                format!("Limits are drawn from {LEAST_DAYS} days with check runs on.")
            }
            (_, None) => {
                "No pair was run twice on one day, so the scatter of runs is not known and no \
                      limits are drawn."
                    .into()
            }
        },
    ];
    let outside = series.days.iter().filter(|day| day.outside == Some(true));
    let outside: Vec<String> = outside.map(drift::off).collect();
    if !outside.is_empty() {
        said.push(format!(
            "Outside its limits: {}. Runs of such a day may read wrong: look for the cause, and run \
             again what was run on it.",
            outside.join(", ")
        ));
    }
    said.extend(proposals(series));
    if !series.calibrations.is_empty() {
        said.push(format!(
            "New calibration of the rig: {}.",
            series.calibrations.join(", ")
        ));
    }
    said
}

/// The corrections of days that check runs propose.
fn proposals(series: &CheckSeries) -> Option<String> {
    let days = series.days.iter();
    let proposed = days.filter(|day| day.proposal == Some(Proposal::Proposed));
    let told =
        proposed.filter_map(|day| Some(format!("{} by {:.4}", day.date, day.torque_factor?)));
    let told: Vec<String> = told.collect();
    (!told.is_empty()).then(|| {
        format!(
            "By these check runs torque would be multiplied on {}. Nothing is corrected by itself: to do \
             so, add corrections of these days with torque_factor and from_checks = true to an edition.",
            told.join(", ")
        )
    })
}

fn table(series: &CheckSeries) -> String {
    let lows = series.days.iter().filter_map(|day| day.low_nm);
    let highs = series.days.iter().filter_map(|day| day.high_nm);
    let means = || series.days.iter().map(|day| day.mean_torque_nm);
    let low = means().chain(lows).fold(f64::INFINITY, f64::min);
    let high = means().chain(highs).fold(0.0, f64::max);
    let head = ["day", "runs", "mean", "limits", "off"];
    let mut rows = vec![head.map(String::from).to_vec()];
    for day in &series.days {
        let limits = day.low_nm.zip(day.high_nm);
        rows.push(vec![
            day.date.clone(),
            day.runs.to_string(),
            format!("{:.1}", day.mean_torque_nm),
            limits.map_or_else(String::new, |(low, high)| format!("{low:.0} to {high:.0}")),
            day.off_percent
                .map_or_else(String::new, |off| format!("{off:+.1} %").replace('-', "−")),
            drawn(day, low, high),
        ]);
    }
    rows_aligned(&rows)
}

/// A day as a line from the lowest torque to the highest: its limits as bars, its mean as a dot, or
/// as a cross outside the limits.
fn drawn(day: &CheckedDay, low: f64, high: f64) -> String {
    let at = |torque_nm: f64| {
        let share = (torque_nm - low) / (high - low).max(f64::MIN_POSITIVE);
        (share * (WIDTH - 1) as f64).round() as usize
    };
    let limits = [day.low_nm.map(at), day.high_nm.map(at)];
    let mean = at(day.mean_torque_nm);
    let signs = (0..WIDTH).map(|index| match index {
        index if index == mean && day.outside == Some(true) => 'x',
        index if index == mean => 'o',
        index if limits.contains(&Some(index)) => '|',
        _ => ' ',
    });
    signs.collect::<String>().trim_end().to_owned()
}
