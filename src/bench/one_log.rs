//! One log read as the folder reads it, with exact samples and the settings of its rig.

use super::assemble;
use super::calibrated::{nm_per_kn, scaled};
use super::file_problem::FileProblem;
use super::logger_block::{Logger, logger_of};
use super::raw_logs::{self, FOLDER, path_below};
use super::split::parts;
use crate::dataset::types::{Dataset, Day, Rig, Run};
use crate::logs::Understood;
use crate::problem::{Problem, quoted};
use crate::run::reduce::Settings;
use crate::run::samples::Samples;
use std::path::{Path, PathBuf};

/// Which run is wanted.
#[derive(Clone, Copy, Debug, Default)]
pub struct Wanted<'a> {
    /// Identifier of the logger; if absent, the one of its row in the notebook or of its path.
    pub logger: Option<&'a str>,
    /// Number of the run in its log, from 1; needed only where a log holds several.
    pub part: Option<usize>,
}

/// A run of a log of the folder.
#[derive(Debug)]
pub struct OneLog {
    /// Its samples, torque in N·m, repeated time stamps not yet merged.
    pub samples: Samples,
    /// Which column was read as what.
    pub columns: Vec<Understood>,
    /// Identifier of the logger; empty if none of the folder's fits.
    pub logger: String,
    /// Torque at which its sensor clips, in N·m.
    pub clips_at_nm: Option<f64>,
    /// How runs of its rig are reduced; none in a folder without a rig.
    pub settings: Option<Settings>,
    /// Its row in the notebook, if it has one.
    pub run: Option<Run>,
    /// The day of that row.
    pub day: Option<Day>,
}

/// The path below `logs/` of a log that is named by a path of the system or below `logs/`.
///
/// # Errors
///
/// If there is no such file below `logs/`.
pub fn path_of(folder: &Path, log: &Path) -> Result<String, FileProblem> {
    let logs = folder.join(FOLDER);
    let whole = |path: PathBuf| path.canonicalize().ok();
    let found = [log.to_owned(), logs.join(log)]
        .into_iter()
        .filter_map(whole)
        .find_map(|path| Some(path.strip_prefix(whole(logs.clone())?).ok()?.to_owned()));
    let below = found.and_then(|path| path_below(&path.to_string_lossy()));
    below.ok_or_else(|| {
        let found = format!(
            "the log {}, which is not there",
            quoted(&log.to_string_lossy())
        );
        FileProblem::file(
            FOLDER,
            Problem::new("", found, "the path of a file below logs/"),
        )
    })
}

/// The logger of `bench.toml` that reads a log, by the notebook or the log's path.
///
/// # Errors
///
/// Every problem of `bench.toml` and the tables; a log that does not lie below `logs/` has none.
pub fn logger(folder: &Path, log: &Path) -> Result<Option<Logger>, Vec<FileProblem>> {
    let Ok(path) = path_of(folder, log) else {
        return Ok(None);
    };
    let rows = assemble::rows_of_log(folder, &path)?;
    let named = if rows.reading.dataset.runs.is_empty() {
        ""
    } else {
        rows.cell(0, "logger")
    };
    let plain = Logger::default();
    let logger = logger_of(&rows.loggers, named, &path, &plain);
    Ok(logger.filter(|logger| logger.block.is_some()).cloned())
}

/// Reads a run of a log with the folder's loggers, calibrations and rigs.
///
/// # Errors
///
/// Every problem of `bench.toml` and the tables, of the log, and of what is wanted of it.
pub fn read(folder: &Path, log: &Path, wanted: Wanted) -> Result<OneLog, Vec<FileProblem>> {
    let path = path_of(folder, log).map_err(|problem| vec![problem])?;
    let rows = assemble::rows_of_log(folder, &path)?;
    let dataset = &rows.reading.dataset;
    let plain = Logger::default();
    let is_wanted = |run: &usize| {
        let part = rows.cell(*run, "part").parse().unwrap_or(1);
        wanted.part.is_none_or(|wanted| wanted == part)
    };
    let row = (0..dataset.runs.len()).find(is_wanted);
    let run = row.and_then(|row| dataset.runs.get(row));
    let named = wanted
        .logger
        .or(row.map(|row| rows.cell(row, "logger")))
        .unwrap_or_default();
    let Some(logger) = logger_of(&rows.loggers, named, &path, &plain) else {
        let found = format!("the unknown logger {}", quoted(named));
        let problem = Problem::new("", found, "the \"id\" of a logger in bench.toml");
        return Err(vec![FileProblem::file(super::settings::FILE, problem)]);
    };
    let file = format!("{FOLDER}/{path}");
    let wrong = |problem: Problem| vec![FileProblem::file(&file, problem)];
    let settings = match row.zip(run) {
        Some((row, run)) => {
            let rig = rig(row, run, dataset);
            rig.map_err(|problem| vec![rows.located(problem)])?
                .map(Settings::of)
        }
        None => only_settings(&dataset.rigs).map_err(wrong)?,
    };
    let read = raw_logs::read_one(folder, &path, logger);
    let read = read.map_err(|error| {
        wrong(Problem::new(
            "",
            format!("a log that cannot be read: {error}"),
            "a file",
        ))
    })?;
    let logged = read
        .into_logged()
        .map_err(|problems| problems.into_iter().flat_map(wrong).collect::<Vec<_>>())?;
    let samples = in_nm(logged.samples, logged.tension, run, dataset).map_err(wrong)?;
    let samples = match logger.split {
        None => one_of(vec![samples], wanted.part),
        Some(split) => one_of(parts(&samples, split), wanted.part),
    };
    Ok(OneLog {
        samples: samples.map_err(wrong)?,
        columns: logged.columns,
        logger: logger.id.clone(),
        clips_at_nm: logger.clips_at_nm,
        settings,
        run: run.cloned(),
        day: run
            .and_then(|run| dataset.days.iter().find(|day| day.id == run.day))
            .cloned(),
    })
}

/// Samples with their torque in N·m; from tension in kN by the calibration of the run's day.
fn in_nm(
    samples: Samples,
    tension: bool,
    run: Option<&Run>,
    dataset: &Dataset,
) -> Result<Samples, Problem> {
    let nm_per_kn = match run {
        Some(run) => nm_per_kn(tension, run, dataset)?,
        None if tension => {
            let found = "bolt tension, and no row of runs.csv that says the day";
            let problem = Problem::new("", found, "a row in the notebook, for its calibration");
            return Err(problem.hint("`jobtorque gather DIR` adds one"));
        }
        None => None,
    };
    Ok(match nm_per_kn {
        Some(nm_per_kn) => scaled(&samples, nm_per_kn),
        None => samples,
    })
}

/// What stands in the folder about all of its runs, without reading them: title, licence, editions,
/// tools and packs.
///
/// # Errors
///
/// Every problem of `bench.toml` and of the tables of tools and packs.
pub fn about(folder: &Path) -> Result<Dataset, Vec<FileProblem>> {
    assemble::about(folder)
}

/// The part that is wanted; the only one if none is named.
fn one_of(mut parts: Vec<Samples>, part: Option<usize>) -> Result<Samples, Problem> {
    let count = parts.len();
    let at = part.unwrap_or(1).wrapping_sub(1);
    if at >= count || part.is_none() && count > 1 {
        let runs = if count == 1 {
            "1 run"
        } else {
            &format!("{count} runs")
        };
        let found = format!("a log with {runs}");
        let wanted = match part {
            Some(part) => format!("part {part}"),
            None => "the number of one of them".into(),
        };
        return Err(Problem::new("", found, wanted).hint("say which with --part"));
    }
    Ok(parts.swap_remove(at))
}

/// The rig of the day of the `row`-th run.
fn rig<'a>(row: usize, run: &Run, dataset: &'a Dataset) -> Result<Option<&'a Rig>, Problem> {
    let Some(at) = dataset.days.iter().position(|day| day.id == run.day) else {
        let found = format!("the unknown day {}", quoted(&run.day));
        let wanted = "the \"id\" of a day in days.csv";
        return Err(Problem::new(format!("/runs/{row}/day"), found, wanted));
    };
    let Some(id) = dataset.days.get(at).and_then(|day| day.rig.as_ref()) else {
        return Ok(dataset.rigs.first());
    };
    let rig = dataset.rigs.iter().find(|rig| &rig.id == id);
    if rig.is_none() {
        let found = format!("the unknown rig {}", quoted(id));
        let wanted = "the \"id\" of a rig in bench.toml";
        return Err(Problem::new(format!("/days/{at}/rig"), found, wanted));
    }
    Ok(rig)
}

/// How a run is reduced that no row names: as every rig of the folder does.
///
/// # Errors
///
/// If rigs differ in that, as nothing says on which of them the log was made.
fn only_settings(rigs: &[Rig]) -> Result<Option<Settings>, Problem> {
    let mut all = rigs.iter().map(Settings::of);
    let first = all.next();
    if all.all(|other| Some(other) == first) {
        return Ok(first);
    }
    let ids: Vec<String> = rigs.iter().map(|rig| quoted(&rig.id)).collect();
    let found = format!(
        "no row of runs.csv that says the day, and rigs that reduce runs in different ways: {}",
        ids.join(", ")
    );
    let problem = Problem::new("", found, "a row in the notebook, for the rig of its day");
    Err(problem.hint("`jobtorque gather DIR` adds one"))
}
