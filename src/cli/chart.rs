//! `chart`: an answer, one run or the check runs as a picture.

use super::one_run::{OneRun, USUAL};
use super::options::{JobOptions, Reading};
use super::picture_files::PictureFiles;
use super::{Failure, drift, load, print};
use crate::bench::one_log::{self, OneLog, Wanted};
use crate::dataset::types::{Dataset, Edition, Run};
use crate::export::plain_text::credit;
use crate::picture::sheet::Told;
use crate::picture::{picture, run};
use crate::query::question::{PairIds, Question};
use crate::text;
use crate::text::catalogue::Catalogue;
use clap::Args;
use std::path::{Path, PathBuf};

/// Options that make no sense where a run or the check runs are drawn.
const OF_ANSWERS: [&str; 15] = [
    "tool",
    "pack",
    "with_tool",
    "with_pack",
    "runs",
    "job",
    "loosen",
    "tighten",
    "condition",
    "loss",
    "within",
    "score",
    "setup",
    "rig",
    "edition",
];

#[derive(Debug, Args)]
#[command(
    after_help = "Without --log or --drift the answer to a question is drawn, with its typical curves. \
    With --log it is one run of a bench folder: its samples, their running median, the fitted curve, and \
    where `reduce` finds onset, end, peak and zero. With --drift it is the check runs by day, as `drift` \
    tells them."
)]
pub(super) struct Chart {
    /// Dataset or bench folder [default: the invented demo]
    file: Option<PathBuf>,
    /// Id of the tool [default: any tool]
    #[arg(long, value_name = "ID")]
    tool: Option<String>,
    /// Id of the pack [default: any pack that fits]
    #[arg(long, value_name = "ID")]
    pack: Option<String>,
    /// Id of the tool of a pair laid over the chart
    #[arg(long, value_name = "ID", requires = "with_pack")]
    with_tool: Option<String>,
    /// Id of the pack of a pair laid over the chart
    #[arg(long, value_name = "ID", requires = "with_tool")]
    with_pack: Option<String>,
    /// Draw the runs behind the first curve too, and no other curve
    #[arg(long)]
    runs: bool,
    /// Draw the run of this log of the bench folder, named by its path or its path below logs/
    #[arg(long, value_name = "LOG", requires = "file", conflicts_with_all = OF_ANSWERS, conflicts_with = "drift", conflicts_with = "drafts")]
    log: Option<PathBuf>,
    /// Number of the run, from 1, in a log of several runs
    #[arg(long, value_name = "N", requires = "log")]
    part: Option<usize>,
    /// Logger of the folder that wrote the log [default: as the notebook or the log's path says]
    #[arg(long, value_name = "ID", requires = "log")]
    logger: Option<String>,
    /// Draw the check runs by day
    #[arg(long, conflicts_with_all = OF_ANSWERS)]
    drift: bool,
    #[command(flatten)]
    job: JobOptions,
    #[command(flatten)]
    reading: Reading,
    #[command(flatten)]
    files: PictureFiles,
}

impl Chart {
    pub fn run(&self) -> Result<(), Failure> {
        if !self.files.any() {
            let missing = "say where to write the picture: --svg FILE, --png FILE, or both";
            return Err(Failure::Misuse(missing.into()));
        }
        let svg = match (&self.file, &self.log) {
            (Some(folder), Some(log)) => self.one_run(folder, log)?,
            _ if self.drift => self.check_runs()?,
            _ => self.answer()?,
        };
        self.files.write(&svg, self.file.as_deref())?;
        print(&self.files.written())
    }

    fn answer(&self) -> Result<String, Failure> {
        let loaded = load::dataset(self.file.as_deref(), &self.reading.lang, self.job.drafts)?;
        let beside = self.with_tool.clone().zip(self.with_pack.clone());
        let question = Question {
            tool: self.tool.clone(),
            pack: self.pack.clone(),
            beside: beside
                .map(|(tool, pack)| PairIds { tool, pack })
                .into_iter()
                .collect(),
            ..self.job.question(&self.reading)
        };
        let picture = picture(&loaded.results, &question, self.runs, &self.files.size())?;
        if picture.curves == 0 {
            return Err(Failure::Misuse(format!(
                "there is no curve to draw: {}",
                picture.headline
            )));
        }
        Ok(picture.svg)
    }

    fn check_runs(&self) -> Result<String, Failure> {
        let loaded = load::dataset(self.file.as_deref(), &self.reading.lang, self.job.drafts)?;
        let found = drift::of_newest(&loaded.results);
        let unit = self.reading.units().unwrap_or_default();
        drift::picture(&loaded.results, &found, unit, &self.files)
    }

    fn one_run(&self, folder: &Path, log: &Path) -> Result<String, Failure> {
        if folder.is_file() {
            return Err(Failure::Misuse(format!(
                "--log: {} is one file; logs are below the logs/ of a bench folder (`jobtorque \
                 unbundle` makes one of a dataset)",
                folder.display()
            )));
        }
        let (catalogue, _) = load::catalogue(&self.reading.lang)?;
        let in_folder = |problems: Vec<_>| load::in_folder(folder, &problems);
        let wanted = Wanted {
            logger: self.logger.as_deref(),
            part: self.part,
        };
        let logged = one_log::read(folder, log, wanted).map_err(in_folder)?;
        let about = one_log::about(folder).map_err(in_folder)?;
        let name = one_log::path_of(folder, log).map_err(|problem| in_folder(vec![problem]))?;
        let settings = logged.settings.unwrap_or(USUAL);
        let mut told = told(&catalogue, &about, &logged, &name, self.part);
        let one = OneRun::of(&name, logged.samples, &settings, logged.clips_at_nm)?;
        told.lines
            .extend(one.notes.into_iter().map(|note| note.sentence));
        let drawn = run::DrawnRun {
            samples: &one.samples,
            run: &one.run,
            settings: &settings,
            unit: self.reading.units().unwrap_or_default(),
        };
        Ok(run::picture(&drawn, &told, &self.files.size()))
    }
}

/// The words around a run: what was run, and what it is part of.
fn told(
    catalogue: &Catalogue,
    about: &Dataset,
    logged: &OneLog,
    log: &str,
    part: Option<usize>,
) -> Told {
    let run = logged.run.as_ref();
    let date = logged.day.as_ref().map(|day| day.date.as_str());
    let published = published(about, run);
    let edition = match (published, date) {
        (Some(edition), _) => Some(edition.clone()),
        (None, Some(date)) => Some(Edition {
            date: date.into(),
            draft: Some(true),
            ..Edition::default()
        }),
        (None, None) => None,
    };
    let as_it_stands = Dataset {
        editions: vec![Edition {
            draft: Some(published.is_none()),
            ..Edition::default()
        }],
        invented: about.invented,
        ..Dataset::default()
    };
    let specimen = run.and_then(|run| run.specimen.as_ref());
    let subline = [
        specimen.map(|specimen| format!("specimen {specimen}")),
        date.map(|date| catalogue.date(date)),
        Some(format!("log {log}")),
        part.map(|part| format!("part {part}")),
    ];
    let subline: Vec<String> = subline.into_iter().flatten().collect();
    Told {
        lang: catalogue.lang.clone(),
        notice: text::notice(catalogue, &as_it_stands).unwrap_or_default(),
        headline: headline(about, run),
        subline: subline.join(", "),
        lines: run.map(standing).unwrap_or_default(),
        credit: credit(
            catalogue,
            &about.title,
            &text::edition(catalogue, edition.as_ref()),
            &about.license,
        ),
    }
}

/// The published edition that a run counts in.
fn published<'a>(about: &'a Dataset, run: Option<&Run>) -> Option<&'a Edition> {
    let number = run.and_then(|run| run.edition);
    about
        .editions
        .iter()
        .find(|own| Some(own.edition) == number)
}

/// What was run.
fn headline(about: &Dataset, run: Option<&Run>) -> String {
    match run {
        Some(run) => {
            let tool = about.tools.iter().find(|tool| tool.id == run.tool);
            let pack = about.packs.iter().find(|pack| pack.id == run.pack);
            format!(
                "{} with {}",
                tool.map_or(run.tool.as_str(), |tool| &tool.name),
                pack.map_or(run.pack.as_str(), |pack| &pack.name)
            )
        }
        None => "A log that no row of the notebook names".into(),
    }
}

/// What keeps a run from counting.
fn standing(run: &Run) -> Vec<String> {
    let mut lines = Vec::new();
    if run.control == Some(true) {
        lines.push("Check run.".into());
    }
    let excluded = run.excluded.as_ref();
    lines.extend(excluded.map(|excluded| format!("Set aside: {}.", excluded.reason)));
    lines
}
