//! A question, checked and looked up.

use super::bolt::{self, BoltFigures};
use super::condition::{self, Checked, Condition};
use super::names::{named, names_of_packs, names_of_tools};
use super::offers;
use super::overlay;
use super::question::{Measure, Question, Score};
use super::written::{TORQUES_NM, Typed, Written};
use crate::IS_WHOLE;
use crate::dataset::types::{Caution, Direction, Rig, Setup};
use crate::problem::Problem;
use crate::reach::required_torque_nm;
use crate::results::Results;
use crate::text::catalogue::Catalogue;
use crate::text::number::Figure;
use crate::text::{RequiredTorque, given_time};
use crate::units::TorqueUnit;

/// A checked question.
#[derive(Clone, Debug)]
pub(crate) struct Asked {
    pub tool: Option<usize>,
    pub pack: Option<usize>,
    pub beside: Vec<(usize, usize)>,
    pub rig_place: usize,
    pub rig: Rig,
    pub setup_place: usize,
    pub setup: Setup,
    pub edition: u32,
    pub score: Score,
    pub window_s: f64,
    pub within_s: f64,
    pub job: Option<Job>,
}

/// A checked job.
#[derive(Clone, Debug)]
pub(crate) struct Job {
    /// Identifier in the file.
    pub id: Option<String>,
    /// The bolt it was written as.
    pub bolt: Option<BoltFigures>,
    pub direction: Direction,
    pub torque_nm: f64,
    pub condition: f64,
    /// Which nuts that were tried the condition is that of.
    pub checked: Option<Checked>,
    pub loss_percent: f64,
    pub required_nm: f64,
    pub caution: Option<Caution>,
    /// The two figures of a job with a range, in N·m.
    pub range_nm: Option<(f64, f64)>,
    /// The same as sentences show them.
    pub range: Option<[Figure; 2]>,
    /// The torque that a number without a unit was read as, in the unit of `needed`.
    pub read_as: Option<Figure>,
    /// The needed torque as sentences show it.
    pub needed: RequiredTorque,
    /// The job torque in the same way.
    pub own: RequiredTorque,
}

/// Which job a question is about, and how its tries are counted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct JobOf {
    required_nm: f64,
    checked: Option<Checked>,
    score: Score,
    within_s: f64,
}

impl Asked {
    /// A question without its job, which is looked up with what its field says of nuts.
    pub fn of(results: &Results, question: &Question) -> Result<Self, Problem> {
        let (dataset, catalogue) = (&results.dataset, &results.catalogue);
        let tools = names_of_tools(dataset);
        let tool = named(
            question.tool.as_deref(),
            tools,
            "/tool",
            catalogue,
            "error.unknown_tool",
        )?;
        let packs = names_of_packs(dataset);
        let pack = named(
            question.pack.as_deref(),
            packs,
            "/pack",
            catalogue,
            "error.unknown_pack",
        )?;
        let (setup_place, rig_place) = setup_and_rig(results, question)?;
        let nothing = || Problem::new("", "a dataset without rig or setup", "one of each");
        let rig = dataset.rigs.get(rig_place).ok_or_else(nothing)?;
        let setup = dataset.setups.get(setup_place).ok_or_else(nothing)?;
        let edition = edition(results, question)?;
        let window_s = rig.window_s();
        let within_s = within_s(results, question, window_s)?;
        Ok(Self {
            tool,
            pack,
            beside: overlay::pairs(results, &question.beside)?,
            rig_place,
            rig: rig.clone(),
            setup_place,
            setup: setup.clone(),
            edition,
            score: question.score.unwrap_or_default(),
            window_s,
            within_s,
            job: None,
        })
    }

    /// What depends on the job depends on this; `None` without a job.
    pub fn job_key(&self) -> Option<JobOf> {
        let job = self.job.as_ref()?;
        Some(JobOf {
            required_nm: job.required_nm,
            checked: job.checked,
            score: self.score,
            within_s: self.within_s,
        })
    }

    /// Whether a pair is one of those asked for.
    pub fn matches(&self, tool: usize, pack: usize) -> bool {
        self.tool.is_none_or(|asked| asked == tool) && self.pack.is_none_or(|asked| asked == pack)
    }

    /// What a table is ranked by.
    pub fn measure(&self, question: &Question, catalogue: &Catalogue) -> Result<Measure, Problem> {
        let default = if self.job.is_some() {
            Measure::Time
        } else {
            Measure::Mean
        };
        match question.by.unwrap_or(default) {
            Measure::Time if self.job.is_none() => Err(no_job(catalogue)),
            measure => Ok(measure),
        }
    }
}

/// The indices of the setup and the rig asked for, or of the first.
fn setup_and_rig(results: &Results, question: &Question) -> Result<(usize, usize), Problem> {
    let (dataset, catalogue) = (&results.dataset, &results.catalogue);
    let setups = dataset
        .setups
        .iter()
        .map(|setup| vec![setup.id.as_str(), setup.name.as_str()]);
    let setup_place = named(
        question.setup.as_deref(),
        setups,
        "/setup",
        catalogue,
        "error.unknown_setup",
    )?
    .unwrap_or_default();
    let rigs = dataset
        .rigs
        .iter()
        .map(|rig| vec![rig.id.as_str(), rig.name.as_deref().unwrap_or(&rig.id)]);
    let rig_place = named(
        question.rig.as_deref(),
        rigs,
        "/rig",
        catalogue,
        "error.unknown_rig",
    )?
    .unwrap_or_default();
    Ok((setup_place, rig_place))
}

/// The edition asked for, or the newest.
fn edition(results: &Results, question: &Question) -> Result<u32, Problem> {
    let edition = question.edition.unwrap_or_else(|| results.newest_edition());
    let mut editions = results.dataset.editions.iter();
    if editions.any(|other| other.edition == edition) {
        return Ok(edition);
    }
    let problem = Problem::new("/edition", edition.to_string(), "an edition of this file");
    let values = [("edition", &*edition.to_string())];
    Err(problem.message(results.catalogue.fill("error.unknown_edition", &values)))
}

/// The visitor's patience in s, the window if none is said.
fn within_s(results: &Results, question: &Question, window_s: f64) -> Result<f64, Problem> {
    let within_s = question.within_s.unwrap_or(window_s);
    if within_s > 0.0 && within_s <= window_s {
        return Ok(within_s);
    }
    let catalogue = &results.catalogue;
    let window = given_time(catalogue, window_s);
    let problem = Problem::new(
        "/within_s",
        (results.digits)(within_s),
        format!("above 0 and at most {}", (results.digits)(window_s)),
    );
    Err(problem.message(catalogue.fill("error.patience", &[("window", &window)])))
}

/// The problem of a question without the job it needs.
pub(crate) fn no_job(catalogue: &Catalogue) -> Problem {
    Problem::new("/job", "nothing", "a torque such as 650 N·m")
        .message(catalogue.fill("error.no_torque", &[]))
}

impl Job {
    /// The job of a question, if it has one; `tried` gives the factor of nuts that were tried.
    pub fn of(
        results: &Results,
        question: &Question,
        tried: impl FnOnce(Checked) -> Result<f64, Problem>,
    ) -> Result<Option<Self>, Problem> {
        let Some(text) = question.job.as_deref() else {
            return Ok(None);
        };
        let or_offers = |problem| match IS_WHOLE {
            true => offers::beside(problem, results, question, text),
            false => problem,
        };
        let written = Written::read(results, question, text).map_err(or_offers)?;
        let torque_nm = written.torque_nm();
        let written_in = written.unit();
        let (listed, typed, bolt) = match &written {
            Written::Listed(job) => (Some(*job), None, None),
            Written::Torque(typed) => (None, Some(typed), None),
            Written::Bolt(bolt) => (None, None, Some(bolt::figures::figures(bolt))),
        };
        let direction = question
            .direction
            .or(listed.map(|job| job.direction))
            .unwrap_or(Direction::Loosen);
        let condition = condition::factor(results, question.condition, direction, tried)?;
        let loss_percent = loss_percent(results, question)?;
        let required_nm = required_torque_nm(torque_nm, condition, loss_percent);
        // The unit of the answer is the one asked for, else the one the visitor wrote.
        let unit = question.units.or(written_in).unwrap_or_default();
        within_limits(results, torque_nm, required_nm, unit).map_err(or_offers)?;
        Ok(Some(Self {
            id: listed.map(|job| job.id.clone()),
            bolt,
            direction,
            torque_nm,
            condition,
            checked: match question.condition {
                Some(Condition::Checked(checked)) => Some(checked),
                _ => None,
            },
            loss_percent,
            required_nm,
            caution: listed.and_then(|job| job.caution),
            range_nm: written.range_nm(),
            range: written.range(unit),
            read_as: typed.and_then(Typed::read_as),
            needed: RequiredTorque::new(required_nm, unit, typed.map(|typed| &typed.torque)),
            own: RequiredTorque::new(torque_nm, unit, typed.map(|typed| &typed.torque)),
        }))
    }
}

/// What is lost between anvil and fastener, in per cent, 0 if nothing is said.
fn loss_percent(results: &Results, question: &Question) -> Result<f64, Problem> {
    let loss_percent = question.loss_percent.unwrap_or(0.0);
    if (0.0..100.0).contains(&loss_percent) {
        return Ok(loss_percent);
    }
    let found = (results.digits)(loss_percent);
    let problem = Problem::new("/loss_percent", found, "from 0 to below 100");
    Err(problem.message(results.catalogue.fill("error.loss", &[])))
}

/// Refuses a job torque or a needed torque beyond the limits.
fn within_limits(
    results: &Results,
    job_nm: f64,
    required_nm: f64,
    unit: TorqueUnit,
) -> Result<(), Problem> {
    let job_fits = TORQUES_NM.contains(&job_nm);
    if job_fits && TORQUES_NM.contains(&required_nm) {
        return Ok(());
    }
    let digits = results.digits;
    let found = if job_fits {
        format!("a needed torque of {} N·m", digits(required_nm))
    } else {
        format!("{} N·m", digits(job_nm))
    };
    let key = if job_fits && required_nm > *TORQUES_NM.end() {
        "error.needed_limits"
    } else {
        "error.torque_limits"
    };
    let catalogue = &results.catalogue;
    let words = |torque_nm| RequiredTorque::new(torque_nm, unit, None).words(catalogue);
    let (low, high) = (words(*TORQUES_NM.start()), words(*TORQUES_NM.end()));
    let values = [
        ("needed", &*words(required_nm)),
        ("low", &low),
        ("high", &high),
    ];
    let problem = Problem::new("/job", found, "from 1 to 20,000 N·m");
    Err(problem.message(catalogue.fill(key, &values)))
}
