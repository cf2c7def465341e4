//! Doubts about one run by itself.

use super::super::columns::RUNS;
use super::doubt::Doubt;
use super::evidence::{Evidence, Reduced, RunEvidence, about};
use super::lead_in;
use crate::logs::notes::figure;
use crate::run::running_median::median;
use crate::run::samples::Samples;

/// More samples at the largest value than this part of all are told as clipped …
const CLIPPED_PART: f64 = 0.02;

/// … if there are at least so many.
const LEAST_CLIPPED: usize = 5;

/// A sample that is below `clips_at_nm` by no more than this part has reached it: numbers in other
/// units are rounded.
const AT_LIMIT: f64 = 0.0005;

/// Repeated time stamps above this part of the samples are told.
const REPEATED_PART: f64 = 0.01;

/// A log whose length is this many times that of the usual log, or one over it, has another unit of
/// time: smaller than any ratio of units of time, larger than what short runs differ by.
const LENGTH_RATIO: f64 = 8.0;

/// A log longer than this, in s, has its time in another unit than was said, most likely …
const LONG_S: f64 = 600.0;

/// … and so has one shorter than this, in s.
const BRIEF_S: f64 = 0.05;

/// A pack that starts this many points of charge below its setup was not full.
const CHARGE_POINTS: f64 = 2.0;

/// Every doubt about single runs, those set aside left out.
pub fn doubts(evidence: &Evidence) -> Vec<Doubt> {
    let lengths = evidence
        .runs
        .iter()
        .filter(|run| run.counts)
        .filter_map(lasted_s);
    let usual_s = median(lengths.collect());
    let mut doubts = Vec::new();
    for (at, run) in evidence.runs.iter().enumerate() {
        if !run.counts {
            continue;
        }
        let fingerprint = evidence.fingerprint([at], &[]);
        let mut of_run: Vec<Doubt> = of_run(evidence, run, usual_s);
        for doubt in &mut of_run {
            doubt.fingerprint.clone_from(&fingerprint);
        }
        doubts.extend(of_run);
    }
    doubts
}

fn of_run(evidence: &Evidence, run: &RunEvidence, usual_s: f64) -> Vec<Doubt> {
    let mut doubts: Vec<Doubt> = start_charge(evidence, run).into_iter().collect();
    if let Some(wrong) = &run.wrong_sign {
        let doubt = about("wrong-sign", run).says(
            wrong.found.clone(),
            "torque that rises above zero",
            "the sign is reversed: inverted = true is missing in the logger's block, or the sensor was mounted the other way round",
        );
        doubts.push(doubt);
        return doubts;
    }
    // Reduced with another unit of time a run is nothing like itself.
    if let Some(doubt) = length(run, usual_s) {
        doubts.push(doubt);
        return doubts;
    }
    if let Some(doubt) = still_zero(run) {
        doubts.push(doubt);
        return doubts;
    }
    let Some(reduced) = &run.reduced else {
        return doubts;
    };
    if let Some(samples) = &run.samples {
        doubts.extend(clipped(evidence, run, samples));
        doubts.extend(repeated(run, samples));
    }
    doubts.extend(noted(run, reduced));
    if reduced.short {
        doubts.push(short(evidence, run, reduced));
    }
    doubts
}

/// What the reduction noted.
fn noted(run: &RunEvidence, reduced: &Reduced) -> Vec<Doubt> {
    let mut doubts = Vec::new();
    let has = |code: &str| reduced.notes.iter().find(|note| note.code == code);
    let sentence = |text: &str| text.trim_end_matches('.').to_owned();
    if let Some(note) = has("negative") {
        doubts.push(about("below-zero", run).says(
            sentence(note.sentence.split(':').next().unwrap_or_default()),
            "not below zero by more than a tenth of the largest",
            "the sign is reversed, the zero is off, or the sensor is not sound",
        ));
    }
    let loaded = has("loaded_start");
    if let Some(note) = loaded {
        doubts.push(about("loaded-start", run).says(
            sentence(note.sentence.split(':').next().unwrap_or_default()),
            "the first samples within 5 % of the largest",
            "the log was started under load (the trigger came too late), or the sensor has an offset",
        ));
    }
    doubts.extend(lead_in::doubt(run, reduced, loaded.is_some()));
    if has("slow").is_some() {
        doubts.push(about("sampled-slowly", run).says(
            format!("{:.0} samples a second", 1e6 / reduced.gap_us),
            "100 samples a second or more",
            "sampled slower than the blows, so that peaks are missed; or the unit of time is another",
        ));
    }
    doubts
}

fn short(evidence: &Evidence, run: &RunEvidence, reduced: &Reduced) -> Doubt {
    let window_s = run.rig.map_or(5.0, |rig| rig.window_s());
    let lasted = length_s(reduced).map_or(String::new(), |length_s| {
        format!(" (it ends {} s after the onset)", figure(length_s))
    });
    let logger = run
        .logger
        .and_then(|logger| evidence.loggers.get(logger))
        .filter(|logger| logger.rate_hz.is_some());
    let rate = logger.map_or(String::new(), |logger| {
        format!(
            ", or rate_hz of the logger {} is higher than it was",
            logger.id
        )
    });
    about("short", run).says(
        format!(
            "The log ends or the torque falls for good before the window of {window_s} s has passed{lasted}"
        ),
        "a run over the whole window",
        format!("the trigger was let go too early, the log is cut off{rate}"),
    )
}

fn start_charge(evidence: &Evidence, run: &RunEvidence) -> Option<Doubt> {
    let (_, bench) = evidence.folder?;
    let cell = bench
        .sources
        .tables
        .get(RUNS.list)?
        .cell(run.row, "start_charge_percent");
    let charge: f64 = cell.replace(',', ".").parse().ok()?;
    let setups = evidence.dataset.setups.iter();
    let setup = setups.into_iter().find(|setup| setup.id == run.setup)?;
    let wanted = setup.start_charge_percent?;
    ((charge - wanted).abs() > CHARGE_POINTS).then(|| {
        about("start-charge", run).says(
            format!("The pack started at a charge of {charge} %"),
            format!("{wanted} %, as the setup {} says", setup.id),
            "the pack was not charged, or this run belongs to another setup",
        )
    })
}

fn still_zero(run: &RunEvidence) -> Option<Doubt> {
    let (rise, noise) = run.still_zero?;
    Some(about("torque-still-zero", run).says(
        format!(
            "The torque stays near zero: it rises by {} N·m, its noise has a standard deviation of {} N·m",
            figure(rise),
            figure(noise)
        ),
        "a rise far above the noise",
        "the sensor was not connected, or another column holds the torque",
    ))
}

fn clipped(evidence: &Evidence, run: &RunEvidence, samples: &Samples) -> Option<Doubt> {
    let torque = &samples.torque_nm;
    let largest = torque.iter().copied().reduce(f64::max)?;
    let logger = run.logger.and_then(|logger| evidence.loggers.get(logger));
    let limit = logger.and_then(|logger| logger.clips_at_nm);
    let meaning = "the record is clipped: the range of the amplifier or the logger was too small, and the true torque was higher";
    if let Some(limit) = limit
        && largest >= limit * (1.0 - AT_LIMIT)
    {
        let count = torque
            .iter()
            .filter(|&&torque| torque >= limit * (1.0 - AT_LIMIT));
        return Some(about("clipped", run).says(
            format!(
                "{} of {} samples are at the limit, {} N·m",
                count.count(),
                torque.len(),
                figure(limit)
            ),
            "all below clips_at_nm of the logger",
            meaning,
        ));
    }
    let count = torque.iter().filter(|&&torque| torque == largest).count();
    (count >= LEAST_CLIPPED && count as f64 > CLIPPED_PART * torque.len() as f64).then(|| {
        about("clipped", run).says(
            format!(
                "{count} of {} samples are at the largest value, {} N·m",
                torque.len(),
                figure(largest)
            ),
            "at most 2 % of them",
            meaning,
        )
    })
}

fn repeated(run: &RunEvidence, samples: &Samples) -> Option<Doubt> {
    let all = samples.repeated + samples.time_us.len();
    (samples.repeated as f64 > REPEATED_PART * all as f64).then(|| {
        about("repeated-stamps", run).says(
            format!(
                "{} of {all} samples repeat the time stamp of the sample before",
                samples.repeated
            ),
            "a time stamp of its own for each sample",
            "time stamps were rounded when the log was exported; samples of one time count as their mean",
        )
    })
}

/// From the onset to the last sample, in seconds.
fn length_s(reduced: &Reduced) -> Option<f64> {
    let reduction = reduced.reduction.as_ref()?;
    Some((reduction.last_us as f64 - reduction.onset_us) / 1e6)
}

/// From the onset, or from the first sample where no onset was found, to the last sample, in seconds.
fn lasted_s(run: &RunEvidence) -> Option<f64> {
    if let Some(length_s) = run.reduced.as_ref().and_then(length_s) {
        return Some(length_s);
    }
    let times = &run.samples.as_ref()?.time_us;
    let length_us = times.last()? - times.first()?;
    (length_us > 0).then_some(length_us as f64 / 1e6)
}

fn length(run: &RunEvidence, usual_s: f64) -> Option<Doubt> {
    let length_s = lasted_s(run)?;
    let ratio = length_s / usual_s;
    let differs = !(1.0 / LENGTH_RATIO..=LENGTH_RATIO).contains(&ratio);
    let implausible = !(BRIEF_S..=LONG_S).contains(&length_s);
    (differs || implausible).then(|| {
        let unit = if ratio >= 1.0 {
            "the times are in milliseconds (ms) and are said to be in seconds (1,000 times), or the rate is said too low"
        } else {
            "the times are in seconds and are said to be in milliseconds (ms, 1 ÷ 1,000), or the rate is said too high"
        };
        about("time-unit", run).says(
            format!("The run lasts {} s from its onset", figure(length_s)),
            format!("{} s in this season", figure(usual_s)),
            unit,
        )
    })
}

#[cfg(test)]
mod tests {
    use super::super::super::doubts;
    use super::super::tests::{Case, names};

    #[test]
    fn a_sound_run_raises_no_doubt() {
        assert_eq!(
            names(&doubts::of_dataset(&Case::default().reading())),
            [""; 0]
        );
    }

    #[test]
    fn a_reversed_sign_is_told() {
        let mut case = Case::default();
        case.run(4).iter_mut().for_each(|dnm| *dnm = -*dnm);
        assert_eq!(case.names(), ["wrong-sign"]);
    }

    #[test]
    fn a_clipped_record_is_told_and_a_high_peak_is_not() {
        let mut case = Case::default();
        let largest = *case.run(4).iter().max().unwrap();
        case.run(4)
            .iter_mut()
            .for_each(|dnm| *dnm = (*dnm).min(largest * 98 / 100));
        assert_eq!(case.names(), ["clipped"]);
        let mut case = Case::default();
        case.run(4)[600] += 40;
        assert_eq!(case.names(), [""; 0]);
    }

    #[test]
    fn a_run_started_under_load_is_told() {
        let mut case = Case::default();
        case.run(4).drain(..150);
        assert!(case.names().contains(&"loaded-start"), "{:?}", case.names());
    }

    #[test]
    fn a_run_let_go_too_early_is_told_and_a_full_one_is_not() {
        let mut case = Case::default();
        case.run(4).truncate(800);
        assert_eq!(case.names(), ["short"]);
        let mut case = Case::default();
        case.run(4).truncate(1_190);
        assert_eq!(case.names(), [""; 0]);
    }

    #[test]
    fn a_channel_that_was_not_connected_is_told() {
        let mut case = Case::default();
        let noise = |i: usize| [0, 13, -9, 4, 20, -20, -8, 3, -15, 11, 17][(i * i + i / 7) % 11];
        for (i, dnm) in case.run(4).iter_mut().enumerate() {
            *dnm = noise(i);
        }
        assert_eq!(case.names(), ["torque-still-zero"]);
    }

    #[test]
    fn sampling_and_the_unit_of_time_are_told() {
        let mut case = Case::default();
        let slow: Vec<i32> = case.run(4).iter().copied().step_by(4).collect();
        *case.run(4) = slow;
        case.runs[4].interval_s = Some(0.02);
        assert_eq!(case.names(), ["sampled-slowly"]);
        let mut case = Case::default();
        case.runs[4].interval_s = Some(5.0);
        let found = case.names();
        assert!(found.contains(&"time-unit"), "{found:?}");
        let mut case = Case::default();
        case.runs[4].interval_s = None;
        let stamps = (0..case.run(4).len() as i64).map(|i| i / 2 * 10_000);
        case.runs[4].time_us = Some(stamps.collect());
        assert_eq!(case.names(), ["repeated-stamps"]);
    }
}
