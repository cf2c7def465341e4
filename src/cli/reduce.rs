//! `reduce`: one run from one log.

use super::one_run::{OneRun, USUAL};
use super::{Failure, load, print, print_json, text};
use crate::bench::one_log::{self, OneLog, Wanted};
use crate::logs::notes::{Note, figure};
use crate::logs::{Channel, ColumnName, LogFormat, Understood, check, read_log};
use crate::problem::{Problem, quoted};
use crate::run::LEAST_TIME_S;
use crate::run::measures::Measures;
use crate::run::reduce::{Reduction, Settings};
use crate::run::samples::{Samples, microseconds};
use crate::run::zero::ZeroKept;
use crate::units::WrittenTorque;
use crate::{dataset::types::BuildUp, units::Torque};
use clap::Args;
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

/// How the text is written.
#[derive(Debug, Args)]
#[command(next_help_heading = "How the log is written")]
struct TextOptions {
    /// Between fields: a mark, "tab", or "space" for any blanks [default: ,]
    #[arg(long, value_name = "MARK")]
    delimiter: Option<String>,
    /// Decimals stand after a comma
    #[arg(long)]
    decimal_comma: bool,
    /// Between groups of three digits: , . ' or "space" [default: nothing]
    #[arg(long, value_name = "MARK")]
    thousands: Option<String>,
    /// Encoding, such as windows-1252 [default: its byte-order mark, or UTF-8]
    #[arg(long, value_name = "LABEL")]
    encoding: Option<String>,
    /// Lines to pass over before the header
    #[arg(long, value_name = "N", default_value_t = 0, hide_default_value = true)]
    skip_lines: usize,
    /// The header is the first line that begins so
    #[arg(long, value_name = "TEXT")]
    header_starts_with: Option<String>,
    /// A row of units stands below the header
    #[arg(long, conflicts_with = "no_header")]
    units_row: bool,
    /// There is no header: columns are named by their numbers
    #[arg(long)]
    no_header: bool,
    /// The samples end before the first row that begins so, such as "Max"
    #[arg(long, value_name = "TEXT")]
    end_before: Option<String>,
}

/// What its columns hold.
#[derive(Debug, Args)]
#[command(next_help_heading = "What its columns hold")]
struct ColumnOptions {
    /// Column of times: its header, or its number from 1 [default: by its unit]
    #[arg(long, value_name = "COLUMN")]
    time: Option<String>,
    /// Unit of the times, where the log says none: s, ms, µs, min
    #[arg(long, value_name = "UNIT")]
    time_unit: Option<String>,
    /// How a clock or date in the column of times is written, such as "%H:%M:%S%.f" (strftime)
    #[arg(
        long,
        value_name = "FORMAT",
        conflicts_with = "time_unit",
        requires = "time"
    )]
    time_format: Option<String>,
    /// Samples a second, where the log has no times
    #[arg(long, value_name = "HZ", conflicts_with_all = ["time", "time_unit", "time_format"])]
    rate: Option<f64>,
    /// Column of torques [default: by its unit]
    #[arg(long, value_name = "COLUMN")]
    torque: Option<String>,
    /// Unit of the torques, where the log says none: N·m, lbf·ft, lbf·in, kgf·m …
    #[arg(long, value_name = "UNIT")]
    torque_unit: Option<String>,
    /// The torque's sign is reversed
    #[arg(long)]
    inverted: bool,
    /// Torque is what was logged, times this
    #[arg(long, value_name = "X")]
    factor: Option<f64>,
    /// Column of bolt tension, in place of a torque
    #[arg(long, value_name = "COLUMN", conflicts_with_all = ["torque", "torque_unit"], requires = "nm_per_kn")]
    tension: Option<String>,
    /// Unit of the tension, where the log says none: kN, N, lbf
    #[arg(long, value_name = "UNIT", requires = "tension")]
    tension_unit: Option<String>,
    /// Torque for each kN of tension, in N·m
    #[arg(long, value_name = "X", requires = "tension")]
    nm_per_kn: Option<f64>,
    /// Column of angles [default: by its unit, if there is one]
    #[arg(long, value_name = "COLUMN")]
    angle: Option<String>,
    /// Unit of the angles, where the log says none: deg, rad, rev
    #[arg(long, value_name = "UNIT")]
    angle_unit: Option<String>,
}

/// How the run is reduced.
#[derive(Debug, Args)]
#[command(next_help_heading = "How the run is reduced")]
struct ReductionOptions {
    /// Keep the torque's zero as logged, even after a flat lead-in
    #[arg(long)]
    keep_zero: bool,
    /// Length of a run that counts, in seconds [default: that of the rig, or 5]
    #[arg(long, value_name = "S")]
    window: Option<f64>,
    /// Width of the running median in seconds; 0 is a median of five samples [default: that of the
    /// rig, or 0.04]
    #[arg(long, value_name = "S")]
    smooth: Option<f64>,
    /// Onset level above the quiet level, such as "5 N·m" [default: 2 % of the largest rise]
    #[arg(long, value_name = "TORQUE")]
    onset: Option<String>,
    /// Also the time, work and power to a torque, such as "90 N·m"
    #[arg(long, value_name = "TORQUE")]
    at: Option<String>,
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
        let format = self.format()?;
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

    fn format(&self) -> Result<LogFormat, Failure> {
        let (text, columns) = (&self.text, &self.columns);
        let channel = |column: &Option<String>, unit: &Option<String>| Channel {
            column: column.clone().map(ColumnName::Header),
            unit: unit.clone(),
            ..Channel::default()
        };
        let signed = |channel: Channel| Channel {
            factor: columns.factor,
            inverted: columns.inverted,
            ..channel
        };
        let torque = channel(&columns.torque, &columns.torque_unit);
        let tension = columns.tension.as_ref();
        let format = LogFormat {
            encoding: text.encoding.clone(),
            delimiter: text.delimiter.clone(),
            decimal: text.decimal_comma.then(|| ",".into()),
            thousands: text.thousands.clone(),
            skip_lines: text.skip_lines,
            header_starts_with: text.header_starts_with.clone(),
            no_header: text.no_header,
            detects_header: false,
            units_row: text.units_row,
            end_before: text.end_before.clone(),
            rate_hz: columns.rate,
            time: Channel {
                format: columns.time_format.clone(),
                ..channel(&columns.time, &columns.time_unit)
            },
            torque: if tension.is_none() {
                signed(torque)
            } else {
                torque
            },
            tension: tension.map(|_| signed(channel(&columns.tension, &columns.tension_unit))),
            angle: channel(&columns.angle, &columns.angle_unit),
            voltage: None,
            current: None,
            nm_per_kn: columns.nm_per_kn,
        };
        check(&format).map_err(|problem| Failure::Misuse(problem.message))?;
        Ok(format)
    }
}

impl ReductionOptions {
    /// The settings of a rig, or the usual ones, with what the options say in their place.
    fn settings(&self, rig: Option<Settings>) -> Result<Settings, Failure> {
        let usual = rig.unwrap_or(USUAL);
        let refused =
            |option: &str, wanted: &str| Err(Failure::Misuse(format!("{option}: give {wanted}")));
        if self
            .window
            .is_some_and(|window| !(window > 0.0 && window <= 3600.0))
        {
            return refused("--window", "seconds above 0 and at most 3600");
        }
        if self
            .smooth
            .is_some_and(|smooth| !(0.0..=1.0).contains(&smooth))
        {
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
            smooth_us: self.smooth.map_or(usual.smooth_us, microseconds),
            onset_nm: onset_nm.or(usual.onset_nm),
            window_s: self.window.unwrap_or(usual.window_s),
            keep_zero: self.keep_zero || usual.keep_zero,
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
