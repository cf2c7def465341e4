//! `reduce`: one run from one log.

use super::{Failure, load, print, print_json, text};
use crate::logs::{LogFormat, read};
use crate::run::LEAST_TIME_S;
use crate::run::measures::Measures;
use crate::run::reduce::{Reduction, Settings, reduce};
use crate::run::samples::{Samples, microseconds};
use crate::units::WrittenTorque;
use crate::{dataset::types::BuildUp, units::Torque};
use clap::Args;
use serde::Serialize;
use std::path::PathBuf;

#[derive(Debug, Args)]
pub(super) struct Reduce {
    /// The log: delimited text whose header names every column and its unit
    log: PathBuf,
    /// Header of the column of times, in s unless its header says otherwise
    #[arg(long, value_name = "COLUMN")]
    time: Option<String>,
    /// Header of the column of torques, in N·m unless its header says otherwise
    #[arg(long, value_name = "COLUMN")]
    torque: Option<String>,
    /// Header of the column of angles, in degrees
    #[arg(long, value_name = "COLUMN")]
    angle: Option<String>,
    /// What stands between fields: a character, or "tab"
    #[arg(long, value_name = "CHARACTER", default_value = ",")]
    delimiter: String,
    /// Decimals stand after a comma
    #[arg(long)]
    decimal_comma: bool,
    /// Encoding of the log, such as windows-1252 [default: its byte-order mark, or UTF-8]
    #[arg(long, value_name = "LABEL")]
    encoding: Option<String>,
    /// Leave the torque's zero as logged
    #[arg(long)]
    keep_zero: bool,
    /// Length of a run that counts, in seconds
    #[arg(long, value_name = "S", default_value_t = 5.0)]
    window: f64,
    /// Width of the running median in seconds; 0 is a median of five samples
    #[arg(long, value_name = "S", default_value_t = 0.04)]
    smooth: f64,
    /// Onset level above the quiet level, such as "5 N·m" [default: 2 % of the largest rise]
    #[arg(long, value_name = "TORQUE")]
    onset: Option<String>,
    /// Also the time, work and power to a torque, such as "90 N·m"
    #[arg(long, value_name = "TORQUE")]
    at: Option<String>,
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
        let settings = self.settings()?;
        let at = self
            .at
            .as_deref()
            .map(|at| torque("--at", at))
            .transpose()?;
        let format = self.format()?;
        let name = self.log.display().to_string();
        let told = |problems: &[crate::problem::Problem]| {
            let mut lines: Vec<String> = problems
                .iter()
                .map(|problem| format!("{name}:{problem}"))
                .collect();
            lines.push(text::problems_found(&name, problems.len()));
            Failure::Data(lines)
        };
        let rows = read(&load::read(&self.log)?, &format).map_err(|problems| told(&problems))?;
        let samples = rows.merged();
        let Some(run) = reduce(&samples, &settings) else {
            let problem = crate::problem::Problem::new("", "torque that never rises", "a run")
                .hint("lower the onset level with --onset, or look at the column of torques");
            return Err(told(&[problem]));
        };
        let reduced = reduced(&samples, &run, &settings, at.map(Torque::newton_metres));
        if self.json {
            print_json(&reduced)
        } else {
            print(&in_words(&reduced))
        }
    }

    fn settings(&self) -> Result<Settings, Failure> {
        let refused =
            |option: &str, wanted: &str| Err(Failure::Misuse(format!("{option}: give {wanted}")));
        if !(self.window > 0.0 && self.window <= 3600.0) {
            return refused("--window", "seconds above 0 and at most 3600");
        }
        if !(0.0..=1.0).contains(&self.smooth) {
            return refused("--smooth", "seconds from 0 to 1");
        }
        let onset_nm = self
            .onset
            .as_deref()
            .map(|onset| torque("--onset", onset))
            .transpose()?
            .map(Torque::newton_metres);
        if onset_nm.is_some_and(|onset| onset <= 0.0) {
            return refused("--onset", "a torque above 0");
        }
        Ok(Settings {
            smooth_us: microseconds(self.smooth),
            onset_nm,
            window_s: self.window,
            keep_zero: self.keep_zero,
        })
    }

    fn format(&self) -> Result<LogFormat, Failure> {
        let delimiter = match self.delimiter.as_bytes() {
            b"tab" => b'\t',
            [one] => *one,
            _ => {
                return Err(Failure::Misuse(
                    "--delimiter: give one character, or tab".into(),
                ));
            }
        };
        if self.decimal_comma && delimiter == b',' {
            return Err(Failure::Misuse(
                "--decimal-comma: a comma cannot stand between fields too; give --delimiter ';'"
                    .into(),
            ));
        }
        Ok(LogFormat {
            delimiter,
            decimal_comma: self.decimal_comma,
            encoding: self.encoding.clone(),
            time: self.time.clone(),
            torque: self.torque.clone(),
            angle: self.angle.clone(),
        })
    }
}

fn torque(option: &str, text: &str) -> Result<Torque, Failure> {
    WrittenTorque::parse(text)
        .map(|written| written.torque())
        .map_err(|error| Failure::Misuse(format!("{option}: {error}")))
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
    let line = |name: &str, value: f64, unit: &str| {
        format!("{name:<16} {:>8} {unit}", four_figures(value))
    };
    let mut lines = vec![
        line("peak torque", run.peak_torque_nm, "N·m"),
        line("largest sample", run.largest_sample_nm, "N·m"),
        line("mean torque", run.mean_torque_nm, "N·m over the window"),
        line("zero", run.zero_nm, "N·m taken away"),
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
            four_figures(run.thinning_nm)
        ),
    ];
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
    if run.short {
        lines.push(
            "The run is short: the log ends or the torque falls before the window has passed."
                .into(),
        );
    }
    if run.no_quiet {
        lines.push(
            "There is no quiet part before the onset: the first sample counts as the onset.".into(),
        );
    }
    lines.join("\n")
}

/// Four significant figures, at most four decimals: as much as a log can tell.
fn four_figures(value: f64) -> String {
    let decimals = match value.abs() {
        large if large >= 1000.0 => 0,
        large if large >= 100.0 => 1,
        large if large >= 10.0 => 2,
        large if large >= 1.0 => 3,
        _ => 4,
    };
    format!("{value:.decimals$}")
}
