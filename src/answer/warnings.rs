//! What to bear in mind about a combination and about a field.

use crate::dataset::types::{Direction, Flag, Got, Rotation, TorqueFrom};
use crate::field::{Field, Member};
use crate::pack::is_not_full;
use crate::query::resolved::{Asked, Job};
use crate::results::Results;
use crate::sort;
use crate::text::warning::Warning;

/// Sampling slower than this hides peaks: the median interval between samples in microseconds.
const SLOW_GAP_US: u32 = 10_000;

/// Warnings that belong to one measured combination. `tools_vary_percent` is how much tools of
/// one model are known to differ, if that is known.
pub(crate) fn of_member(
    results: &Results,
    field: &Field,
    member: &Member,
    job: &Job,
    edition: u32,
    tools_vary_percent: Option<f64>,
) -> Vec<Warning> {
    let mut warnings = runs(member);
    warnings.extend(not_full(field, member));
    if member.combination.specimen_count() == 1 {
        warnings.extend(tools_vary_percent.map(Warning::OneTool));
    }
    let beyond = field
        .joint
        .as_ref()
        .is_some_and(|joint| joint.work_to(job.required_nm).beyond_line);
    if beyond
        && member
            .combination
            .time_to(job.required_nm, field.window_s)
            .is_some()
    {
        warnings.push(Warning::BeyondJointLine);
    }
    if !calibrated(results, member) {
        warnings.push(Warning::NoCalibration);
    }
    warnings.extend(suspect_days(results, field, member));
    warnings.extend(tool(results, member));
    warnings.extend(corrections(results, member, edition));
    warnings
}

fn runs(member: &Member) -> Vec<Warning> {
    let combination = &member.combination;
    let flagged = |flag| {
        combination
            .runs()
            .filter(|run| run.buildup.is(flag))
            .count() as u32
    };
    let (short, no_quiet) = (flagged(Flag::Short), flagged(Flag::NoQuiet));
    let slowest = combination
        .runs()
        .map(|run| run.buildup.gap_us)
        .max()
        .unwrap_or_default();
    let mut warnings = Vec::new();
    if combination.runs().count() == 1 {
        warnings.push(Warning::OneRun);
    }
    if short > 0 {
        warnings.push(Warning::Short(short));
    }
    if no_quiet > 0 {
        warnings.push(Warning::NoQuiet(no_quiet));
    }
    if slowest > SLOW_GAP_US {
        warnings.push(Warning::SlowSampling(1_000_000 / slowest));
    }
    warnings
}

/// Runs whose pack started below what runs of that pack start with in this field.
fn not_full(field: &Field, member: &Member) -> Option<Warning> {
    let usual_v = field.usual_open_v.get(member.pack).copied()??;
    let open_v = member
        .combination
        .runs()
        .filter_map(|run| run.buildup.open_v());
    let low = open_v
        .filter(|&open_v| is_not_full(open_v, usual_v))
        .count() as u32;
    (low > 0).then_some(Warning::PacksNotFull(low))
}

/// Whether a calibration of its rig was in force on the day of every counted run.
fn calibrated(results: &Results, member: &Member) -> bool {
    let dataset = &results.dataset;
    member.runs.iter().all(|&index| {
        let run = results.runs.get(index);
        let rig = run.and_then(|run| dataset.rigs.get(run.rig));
        let day = run.and_then(|run| dataset.days.get(run.day));
        rig.zip(day)
            .is_some_and(|(rig, day)| rig.calibration_on(&day.date).is_some())
    })
}

/// Days of counted runs on which the check runs were off.
fn suspect_days(results: &Results, field: &Field, member: &Member) -> Vec<Warning> {
    let runs = member.runs.iter();
    let days = runs.filter_map(|&index| Some(results.runs.get(index)?.day));
    let suspect = days.filter(|&day| field.checks.suspect(day) == Some(true));
    let mut dates: Vec<&str> = suspect
        .filter_map(|day| Some(results.dataset.days.get(day)?.date.as_str()))
        .collect();
    sort::distinct(&mut dates);
    let warning = |date: &str| Warning::SuspectDay(date.to_owned());
    dates.into_iter().map(warning).collect()
}

fn tool(results: &Results, member: &Member) -> Vec<Warning> {
    let dataset = &results.dataset;
    let Some(tool) = dataset.tools.get(member.tool) else {
        return Vec::new();
    };
    let used = |specimen: Option<&str>| {
        let counted = member
            .runs
            .iter()
            .filter_map(|&index| dataset.runs.get(index));
        counted
            .into_iter()
            .any(|run| run.specimen.as_deref() == specimen)
    };
    let mut warnings: Vec<Warning> = dataset
        .specimens
        .iter()
        .filter(|specimen| {
            specimen.tool.as_ref() == Some(&tool.id) && used(Some(&specimen.specimen))
        })
        .filter_map(|specimen| match specimen.got? {
            Got::Lent => Some(Warning::Lent(specimen.got_from.clone())),
            Got::Given => Some(Warning::Given(specimen.got_from.clone())),
            Got::Bought => None,
        })
        .collect();
    // Several specimens from one person are said once.
    warnings.dedup();
    warnings.extend(tool.last_sold.clone().map(Warning::Discontinued));
    warnings
}

/// Warnings that belong to every answer of a field.
pub(crate) fn of_field(asked: &Asked) -> Vec<Warning> {
    let mut warnings = Vec::new();
    if asked
        .setup
        .start_charge_percent
        .is_some_and(|percent| percent < 100.0)
    {
        warnings.push(Warning::PackNotFull);
    }
    let loosening = asked
        .job
        .as_ref()
        .is_some_and(|job| job.direction == Direction::Loosen);
    if loosening && asked.setup.rotation == Some(Rotation::Forward) {
        warnings.push(Warning::ForwardOnly);
    }
    if asked.rig.torque_from == TorqueFrom::BoltTension {
        warnings.push(Warning::BoltTension);
    }
    warnings
}

/// Corrections up to the edition shown that are to stand beside the member's tool.
fn corrections(results: &Results, member: &Member, edition: u32) -> Vec<Warning> {
    let Some(tool) = results.dataset.tools.get(member.tool) else {
        return Vec::new();
    };
    let editions = results
        .dataset
        .editions
        .iter()
        .filter(|other| other.edition <= edition);
    let touched = editions.filter(|other| {
        other
            .corrections
            .iter()
            .any(|other| other.tools.contains(&tool.id))
    });
    touched
        .map(|other| Warning::Corrected(other.edition))
        .collect()
}
