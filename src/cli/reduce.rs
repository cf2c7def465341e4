//! `reduce`: one run from one log.

mod log_options;
mod reduction_options;

use super::one_run::OneRun;
use super::{Failure, load, print, print_json, text};
use crate::bench::one_log::{self, OneLog, Wanted};
use crate::logs::notes::{Note, figure};
use crate::logs::{LogFormat, Understood, read_log};
use crate::problem::{Problem, quoted};
use crate::run::LEAST_TIME_S;
use crate::run::measures::Measures;
use crate::run::reduce::{Reduction, Settings};
use crate::run::samples::Samples;
use crate::run::zero::ZeroKept;
use crate::{dataset::types::BuildUp, units::Torque};
use clap::Args;
use log_options::{ColumnOptions, TextOptions, format};
use reduction_options::{ReductionOptions, torque};
use serde::Serialize;
use std::path::{Path, PathBuf};

#[derive(Debug, Args)]
#[command(
    after_help = "Columns are found by the units in their headers, such as \"time_ms\" or \"Torque \
    lbf-ft\". What the log does not say is asked for: no unit and no column is assumed."
)]
pub(super) struct Reduce {
    /// The log: delimited text
    log: PathBuf,
    /// Bench folder whose loggers, calibrations and rigs are used; then the log may be named by its
    /// path below logs/
    #[arg(long = "in", value_name = "DIR")]
    folder: Option<PathBuf>,
    /// Number of the run, from 1, in a log of several runs
    #[arg(long, value_name = "N", requires = "folder")]
    part: Option<usize>,
    /// Logger of the folder that wrote it [default: as the notebook or the log's path says]
    #[arg(long, value_name = "ID", requires = "folder")]
    logger: Option<String>,
    #[command(flatten)]
    text: TextOptions,
    #[command(flatten)]
    columns: ColumnOptions,
    #[command(flatten)]
    reduction: ReductionOptions,
    /// Print the reduction as JSON, exact, in SI units
    #[arg(long)]
    json: bool,
}

/// One run's reduction. All but `knots` and `thinning_nm` are before thinning.
#[derive(Serialize)]
struct Reduced {
    onset_s: f64,
    zero_nm: f64,
    end_s: f64,
    duration_s: f64,
    peak_torque_nm: f64,
    largest_sample_nm: f64,
    mean_torque_nm: f64,
    samples: usize,
    repeated_stamps: usize,
    knots: usize,
    thinning_nm: f64,
    short: bool,
    no_quiet: bool,
    /// Why no zero was taken away.
    zero_kept: Option<&'static str>,
    notes: Vec<Note>,
    columns: Vec<Understood>,
    #[serde(flatten, skip_serializing_if = "Option::is_none")]
    at: Option<At>,
}

/// What the run does up to a torque.
#[derive(Serialize)]
struct At {
    time_to_s: Option<f64>,
    log_time_s: Option<f64>,
    work_j: Option<f64>,
    average_power_w: Option<f64>,
    rise_rate_nm_per_s: f64,
}

impl Reduce {
    pub fn run(&self) -> Result<(), Failure> {
        let mut settings = self.reduction.settings(None)?;
        let at = self.reduction.at.as_deref();
        let at = at.map(|at| torque("--at", at)).transpose()?;
        let format = format(&self.text, &self.columns)?;
        let name = self.log.display().to_string();
        let told = |problems: &[Problem]| Failure::Data(text::problems(&name, problems, 0));
        let (samples, columns, clips_at_nm) = match &self.folder {
            Some(folder) => {
                let log = self.in_folder(folder, &format)?;
                settings = self.reduction.settings(log.settings)?;
                (log.samples, log.columns, log.clips_at_nm)
            }
            None => {
                let log = read_log(&load::log(&self.log)?, &format);
                let log = log.map_err(|problems| told(&problems))?;
                (log.samples, log.columns, None)
            }
        };
        let OneRun {
            samples,
            run,
            notes,
        } = OneRun::of(&name, samples, &settings, clips_at_nm)?;
        let reduced = Reduced {
            notes,
            columns,
            ..reduced(&samples, &run, &settings, at.map(Torque::newton_metres))
        };
        if self.json {
            print_json(&reduced)
        } else {
            print(&in_words(&reduced))
        }
    }

    /// The log as a bench folder reads it, which needs no options.
    fn in_folder(&self, folder: &Path, format: &LogFormat) -> Result<OneLog, Failure> {
        if *format != LogFormat::default() {
            let message = "--in: the folder's loggers say how a log is written; leave the other options out, or leave out --in";
            return Err(Failure::Misuse(message.into()));
        }
        let wanted = Wanted {
            logger: self.logger.as_deref(),
            part: self.part,
        };
        one_log::read(folder, &self.log, wanted)
            .map_err(|problems| load::in_folder(folder, &problems))
    }
}

fn reduced(samples: &Samples, run: &Reduction, settings: &Settings, at_nm: Option<f64>) -> Reduced {
    let curve = run.curve();
    let measures = Measures::of(&curve, settings.window_s);
    let knots = BuildUp::of(run);
    let thinned = knots.curve();
    let times = curve.points().skip(1).map(|(time_s, _)| time_s);
    // As written, the first knot lies at a whole microsecond after the onset; so do the rest.
    let shift = thinned
        .points()
        .nth(1)
        .zip(curve.points().nth(1))
        .map_or(0.0, |(written, exact)| written.0 - exact.0);
    let off = |time_s: f64| (thinned.torque_at(time_s + shift) - curve.torque_at(time_s)).abs();
    Reduced {
        onset_s: run.onset_us / 1e6,
        zero_nm: run.zero_nm,
        end_s: run.end_us as f64 / 1e6,
        duration_s: (run.last_us as f64 - run.onset_us) / 1e6,
        peak_torque_nm: measures.peak_nm,
        largest_sample_nm: run.largest_nm,
        mean_torque_nm: measures.mean_nm,
        samples: samples.time_us.len() + samples.repeated,
        repeated_stamps: samples.repeated,
        knots: knots.step.len(),
        thinning_nm: times.map(off).fold(0.0, f64::max),
        short: run.short,
        no_quiet: run.no_quiet,
        zero_kept: run.zero_kept.map(|kept| match kept {
            ZeroKept::Asked => "asked",
            ZeroKept::FewSamples => "few samples",
            ZeroKept::NotFlat(_) => "not flat",
        }),
        notes: Vec::new(),
        columns: Vec::new(),
        at: at_nm.map(|at_nm| {
            let time_s = curve.time_to(at_nm, settings.window_s);
            let work_j = time_s.and_then(|time_s| curve.turned_work_j(time_s));
            At {
                time_to_s: time_s,
                log_time_s: time_s.map(|time_s| run.onset_us / 1e6 + time_s),
                work_j,
                average_power_w: match time_s {
                    Some(time_s) => work_j.map(|work_j| work_j / time_s.max(LEAST_TIME_S)),
                    None => curve.has_turn().then_some(0.0),
                },
                rise_rate_nm_per_s: time_s.map_or(0.0, |time_s| at_nm / time_s.max(LEAST_TIME_S)),
            }
        }),
    }
}

/// Every figure on a line of its own, with its unit.
fn in_words(run: &Reduced) -> String {
    let line =
        |name: &str, value: f64, unit: &str| format!("{name:<16} {:>8} {unit}", figure(value));
    let mut lines: Vec<String> = run.columns.iter().map(column_line).collect();
    lines.extend([
        line("peak torque", run.peak_torque_nm, "N·m"),
        line("largest sample", run.largest_sample_nm, "N·m"),
        line("mean torque", run.mean_torque_nm, "N·m over the window"),
        match run.zero_kept {
            None => line("zero", run.zero_nm, "N·m taken away"),
            Some(_) => format!("zero             {:>8} as logged", "kept"),
        },
        format!("onset            {:8.4} s on the log's clock", run.onset_s),
        format!("end              {:8.4} s on the log's clock", run.end_s),
        format!(
            "duration         {:8.4} s from the onset to the last sample",
            run.duration_s
        ),
        format!("samples          {:8}", run.samples),
        format!("repeated stamps  {:8} merged away", run.repeated_stamps),
        format!(
            "knots            {:8} at most {} N·m off",
            run.knots,
            figure(run.thinning_nm)
        ),
    ]);
    if let Some(at) = &run.at {
        lines.push(match at.time_to_s {
            Some(time_s) => format!("time to torque   {time_s:8.4} s"),
            None => "time to torque   not reached".into(),
        });
        lines.extend(at.work_j.map(|work_j| line("work", work_j, "J")));
        lines.extend(
            at.average_power_w
                .map(|power_w| line("average power", power_w, "W")),
        );
        lines.push(line("rise rate", at.rise_rate_nm_per_s, "N·m/s"));
    }
    let notes = run
        .notes
        .iter()
        .map(|note| text::wrapped(&format!("Note: {}", note.sentence)));
    lines.extend(notes);
    lines.join("\n")
}

/// A column as it was read: its header or number, and its unit.
fn column_line(column: &Understood) -> String {
    let name = match (&column.header, column.column) {
        (Some(header), _) => quoted(header),
        (None, Some(number)) => format!("column {number}"),
        (None, None) => return format!("{:<16} the rate of samples", "time from"),
    };
    // A clock has no unit, but is one.
    let is_clock = ["time of day", "date and time"].contains(&column.unit);
    let said = if is_clock { "as" } else { "in" };
    format!(
        "{:<16} {name} {said} {}",
        format!("{} from", column.channel),
        column.unit
    )
}
