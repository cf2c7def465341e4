//! The real nuts of a dataset that were tried with pairs of a field, measured or estimated.

use super::data::NutsTried;
use crate::breakaway::factors::Factors;
use crate::breakaway::outcome::{Interval, Outcome};
use crate::breakaway::{Check, Count, State, loose_at};
use crate::dataset::types::{Dataset, FieldCheck};
use crate::field::estimates::Estimates;
use crate::field::uncertainty::Uncertainty;
use crate::field::{Field, Member};
use crate::query::condition::Checked;
use crate::query::resolved::Asked;
use crate::results::Results;
use crate::scatter::run::RunScatter;
use crate::sort;
use crate::text::fold::folded;
use crate::typical::Combination;
use std::cell::OnceCell;

/// A nut that nobody noted as this is aged.
const FRESH: &str = "fresh";

/// The field asked for, with its scatters.
#[derive(Clone, Copy)]
pub(crate) struct Here<'a> {
    pub field: &'a Field,
    pub uncertainty: &'a Uncertainty,
    /// Times of the window in s at equal steps from 0 on, each with the scatter of runs there.
    pub scatters: &'a [(f64, RunScatter)],
}

/// What nuts of one state say.
pub(crate) struct OfState {
    pub told: NutsTried,
    /// `None` where too few were tried to say.
    pub factors: Option<Factors>,
}

/// What the nuts say that were tried with pairs of the field up to the edition asked for, by their states.
pub(crate) fn tried(results: &Results, asked: &Asked, here: Here) -> Vec<OfState> {
    let dataset = &results.dataset;
    if here.uncertainty.too_few() {
        return Vec::new();
    }
    let counts = counted(dataset, asked.edition);
    let estimates = OnceCell::new();
    let nuts: Vec<(State, Check)> = grouped(&counts)
        .into_iter()
        .zip(&counts)
        .filter_map(|(group, check)| {
            let pair = pair(results, check)?;
            let (factor, sd) = of_check(here, &estimates, pair, check)?;
            Some((state(check), Check { factor, sd, group }))
        })
        .collect();
    let of_state = |checked: Checked| {
        let of = nuts.iter().filter(|(state, _)| *state == checked.state());
        OfState::of(checked, &of.map(|(_, check)| *check).collect::<Vec<_>>())
    };
    let all = Checked::ALL.into_iter().map(of_state);
    all.filter(|one| one.told.checks > 0).collect()
}

impl OfState {
    fn of(checked: Checked, checks: &[Check]) -> Self {
        let count = Count::of(checks);
        let enough = count.is_enough();
        let factors = enough.then(|| Factors::of(checked.state(), checks));
        let factors = factors.flatten();
        let (loose_from, loose_to) = loose_at(checks).unzip();
        let whole = |count: usize| u32::try_from(count).unwrap_or(u32::MAX);
        Self {
            told: NutsTried {
                condition: checked,
                checks: whole(count.checks),
                groups: whole(count.groups),
                loose: whole(count.loose),
                loose_from,
                loose_to,
                factor: factors.as_ref().map(|factors| factors.factor(HALF)),
                factor_19_of_20: factors
                    .as_ref()
                    .map(|factors| factors.factor(NINETEEN_OF_TWENTY)),
                words: String::new(),
                take: None,
            },
            factors,
        }
    }
}

/// Half of the nuts.
const HALF: f64 = 0.5;

/// Nineteen of twenty nuts.
const NINETEEN_OF_TWENTY: f64 = 0.95;

/// The checks that were made up to an edition; all of a draft.
fn counted(dataset: &Dataset, edition: u32) -> Vec<&FieldCheck> {
    let mut editions = dataset.editions.iter();
    let until = editions.find(|other| other.edition == edition);
    let until = until.filter(|edition| !edition.is_draft());
    let is_by_then = |check: &&FieldCheck| match (&check.date, until) {
        (Some(date), Some(edition)) => *date <= edition.date,
        _ => true,
    };
    dataset.field_checks.iter().filter(is_by_then).collect()
}

/// The number of each check's group: those of one date, fastener, tool and state.
fn grouped(checks: &[&FieldCheck]) -> Vec<usize> {
    let of = |check: &&FieldCheck| {
        let parts = [&check.date, &check.fastener, &check.tool, &check.state];
        parts.map(|part| part.clone().unwrap_or_default())
    };
    let mut groups: Vec<[String; 4]> = checks.iter().map(of).collect();
    sort::distinct(&mut groups);
    let number = |check| groups.binary_search(&of(check)).unwrap_or_default();
    checks.iter().map(number).collect()
}

fn state(check: &FieldCheck) -> State {
    match check.state.as_deref().map(|state| folded(state.trim())) {
        Some(state) if state == FRESH => State::Fresh,
        _ => State::Aged,
    }
}

/// The indices of a check's tool and pack, where it names both.
fn pair(results: &Results, check: &FieldCheck) -> Option<(usize, usize)> {
    let dataset = &results.dataset;
    let (tool, pack) = (check.tool.as_ref()?, check.pack.as_ref()?);
    let tool = dataset.tools.iter().position(|one| one.id == *tool)?;
    let pack = dataset.packs.iter().position(|one| one.id == *pack)?;
    Some((tool, pack))
}

/// Where the logarithm of a nut's factor lies, and the scatter it is seen with; `None` where its pair is
/// neither measured nor estimated, or had built up nothing by then.
fn of_check(
    here: Here,
    estimates: &OnceCell<Option<Estimates>>,
    (tool, pack): (usize, usize),
    check: &FieldCheck,
) -> Option<(Interval, f64)> {
    let (field, window_s) = (here.field, here.field.window_s);
    let installed = libm::log(check.installed_nm?);
    let (loose, tried_s) = (check.came_loose?, check.tried_s);
    let run = scatter_near(here, tried_s.unwrap_or(window_s))?.of_tool(tool);
    let interval = |combination: &Combination| {
        let lead = |time_s| combination.log_torque_at(time_s) - installed;
        match (loose, tried_s) {
            (true, time_s) => Interval::of(Outcome::Loose { time_s }, window_s, lead),
            (false, Some(tried_s)) => Interval::of(Outcome::Held { tried_s }, window_s, lead),
            // It held, for how long nobody noted: it says nothing of where its factor lies.
            (false, None) => Interval {
                low: f64::NEG_INFINITY,
                high: f64::INFINITY,
            },
        }
    };
    let found = field
        .members
        .binary_search_by_key(&(tool, pack), Member::pair);
    let member = found.ok().and_then(|index| field.members.get(index));
    // The rig that read one curve reads the next: its calibration is in both.
    let uncertainty = here.uncertainty;
    let (interval, further) = match member {
        Some(member) => (
            interval(&member.combination),
            uncertainty.further(run, member, 0.0),
        ),
        None => {
            let all = || Estimates::of(field, uncertainty, window_s);
            let estimates = estimates.get_or_init(all).as_ref()?;
            let estimated = estimates.pair(field, tool, pack)?;
            let further = uncertainty.further_estimated(run, &estimated, estimated.end, 0.0);
            (interval(&estimated.combination), further)
        }
    };
    (interval.high > f64::NEG_INFINITY).then_some((interval, further.sd))
}

/// The scatter of runs at the step next to a time, never at the very start, where no curve is.
fn scatter_near(here: Here<'_>, time_s: f64) -> Option<&RunScatter> {
    let off = |at_s: f64| (at_s - time_s).abs();
    let later = here.scatters.iter().skip(1);
    let nearest = later.min_by(|one, other| off(one.0).total_cmp(&off(other.0)));
    nearest.map(|(_, scatter)| scatter)
}
