//! A build-up curve as few knots, all whole numbers: the published form, and the curve they make.

use super::curve::Curve;
use super::reduce::Reduction;
use crate::dataset::types::{BuildUp, Flag};

/// The curve as written is at no sample off by more than this part of its peak …
const BOUND_PART: f64 = 0.001;

/// … or this many tenths of a N·m, if that is more: whole tenths cannot do better.
const LEAST_BOUND_DNM: f64 = 1.0;

/// How far knots may be off a curve with this peak, in tenths of a N·m.
pub fn bound_dnm(peak_nm: f64) -> f64 {
    (BOUND_PART * peak_nm * 10.0).max(LEAST_BOUND_DNM)
}

impl BuildUp {
    /// The published form of a reduced run.
    pub fn of(run: &Reduction) -> Self {
        let tick = run.tick_us.unwrap_or(1).max(1);
        let first = run.time_us.first().copied().unwrap_or_default();
        let ticks: Vec<u32> = run
            .time_us
            .iter()
            .map(|&time| u32::try_from((time - first) / i64::from(tick)).unwrap_or(u32::MAX))
            .collect();
        let height: Vec<f64> = run.torque_nm.iter().map(|torque| torque * 10.0).collect();
        let peak_nm = run.torque_nm.last().copied().unwrap_or_default();
        let knots = thin(&ticks, &height, bound_dnm(peak_nm));
        let places: Vec<usize> = knots.iter().map(|knot| knot.index).collect();
        let torque: Vec<i32> = knots.iter().map(|knot| knot.dnm).collect();
        let electrical = run.electrical;
        Self {
            onset_dnm: whole(run.start_nm * 10.0).min(torque.first().copied().unwrap_or_default()),
            tick_us: tick,
            first_us: u32::try_from((first as f64 - run.onset_us).round() as i64)
                .unwrap_or_default(),
            step: growth(places.iter().filter_map(|&index| ticks.get(index).copied())),
            rise_dnm: growth(torque.iter().copied()),
            largest_dnm: whole(run.largest_nm * 10.0),
            samples: u32::try_from(run.samples).unwrap_or(u32::MAX),
            zero_dnm: whole(run.zero_nm * 10.0),
            gap_us: whole(run.gap_us).unsigned_abs(),
            flags: [(run.short, Flag::Short), (run.no_quiet, Flag::NoQuiet)]
                .into_iter()
                .filter_map(|(set, flag)| set.then_some(flag))
                .collect(),
            turn_ddeg: run.turn_deg.as_ref().map(|turn| {
                growth(
                    places
                        .iter()
                        .filter_map(|&index| turn.get(index).map(|turn| whole(turn * 10.0))),
                )
            }),
            open_mv: electrical.open_v.map(|volt| (volt * 1e3).round() as i64),
            resistance_uohm: electrical
                .resistance_ohm
                .map(|ohm| (ohm * 1e6).round() as i64),
            lowest_mv: electrical.lowest_v.map(|volt| (volt * 1e3).round() as i64),
            energy_mj: electrical
                .energy_j
                .map(|joule| (joule * 1e3).round() as i64),
        }
    }

    /// Whether the knots make a curve: as many of each series, each later than the one before and not
    /// below it.
    pub fn is_curve(&self) -> bool {
        let (knots, rises) = (self.step.len(), &self.rise_dnm);
        let as_many = |turn: &Vec<i32>| turn.len() == knots;
        let mut steps = self.step.iter().enumerate();
        knots > 0
            && rises.len() == knots
            && self.turn_ddeg.as_ref().is_none_or(as_many)
            && self.tick_us > 0
            && steps.all(|(k, &step)| (k == 0) == (step == 0))
            && rises.iter().skip(1).all(|&rise| rise >= 0)
            && rises.first().is_some_and(|&first| self.onset_dnm <= first)
            && sums(rises).last().is_some_and(|peak| peak > 0)
    }

    /// The curve through the knots.
    pub fn curve(&self) -> Curve {
        let mut ticks = 0u64;
        let time_s = self.step.iter().map(|&step| {
            ticks += u64::from(step);
            ticks
                .saturating_mul(self.tick_us.into())
                .saturating_add(self.first_us.into()) as f64
                / 1e6
        });
        let time_s = time_s.collect();
        let torque_nm = sums(&self.rise_dnm).map(|dnm| dnm as f64 / 10.0).collect();
        let turn_rad = self.turn_ddeg.as_ref().map(|turn| {
            sums(turn)
                .map(|ddeg| (ddeg as f64 / 10.0).to_radians())
                .collect()
        });
        Curve::new(
            f64::from(self.onset_dnm) / 10.0,
            time_s,
            torque_nm,
            turn_rad,
        )
    }

    /// Open-circuit voltage of the pack in V, where it is known.
    pub fn open_v(&self) -> Option<f64> {
        self.open_mv.map(|open_mv| open_mv as f64 / 1000.0)
    }

    /// Whether a flag is set.
    pub fn is(&self, flag: Flag) -> bool {
        self.flags.contains(&flag)
    }
}

fn sums(differences: &[i32]) -> impl Iterator<Item = i64> {
    differences.iter().scan(0i64, |sum, &difference| {
        *sum += i64::from(difference);
        Some(*sum)
    })
}

/// Differences of a series from one to the next, the first from zero.
fn growth<T: Copy + Default + std::ops::Sub<Output = T>>(
    series: impl Iterator<Item = T>,
) -> Vec<T> {
    let mut before = T::default();
    series
        .map(|value| {
            let difference = value - before;
            before = value;
            difference
        })
        .collect()
}

/// Rounded half away from zero, kept within what the file's fields hold.
fn whole(value: f64) -> i32 {
    value.round() as i32
}

/// A knot: a sample and the whole number of tenths of a N·m it is written as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Knot {
    /// Index of the sample.
    pub index: usize,
    /// Torque in tenths of a N·m.
    pub dnm: i32,
}

/// Thins a curve that does not fall, given at `ticks` with `height` in tenths of a N·m.
///
/// From each knot the longest segment to a later sample for which some whole number, not below the
/// knot's own and itself within `bound` of the height there, keeps every sample between within
/// `bound`; of such numbers the one nearest to the height, the larger at a tie. The first sample
/// and the last are knots.
pub fn thin(ticks: &[u32], height: &[f64], bound: f64) -> Vec<Knot> {
    let mut knots: Vec<Knot> = height
        .first()
        .map(|&first| Knot {
            index: 0,
            dnm: whole(first),
        })
        .into_iter()
        .collect();
    while let Some(&from) = knots.last()
        && from.index + 1 < height.len().min(ticks.len())
    {
        let Some(next) = longest_segment(ticks, height, bound, from) else {
            break;
        };
        knots.push(next);
    }
    knots
}

/// The farthest knot that a straight line from `from` may go to.
fn longest_segment(ticks: &[u32], height: &[f64], bound: f64, from: Knot) -> Option<Knot> {
    let start = f64::from(*ticks.get(from.index)?);
    let own = f64::from(from.dnm);
    let (mut least_slope, mut most_slope) = (0.0_f64, f64::INFINITY);
    let mut best = None;
    for (index, (&tick, &height)) in ticks.iter().zip(height).enumerate().skip(from.index + 1) {
        let run = f64::from(tick) - start;
        let low = (height - bound).max(own + least_slope * run);
        let high = (height + bound).min(own + most_slope * run);
        if let Some(dnm) = nearest_whole(height, low, high) {
            best = Some(Knot { index, dnm });
        }
        least_slope = least_slope.max((height - bound - own) / run);
        most_slope = most_slope.min((height + bound - own) / run);
        if least_slope > most_slope {
            break;
        }
    }
    best
}

/// The whole number from `low` to `high` that is nearest to `aim`, the larger at a tie.
fn nearest_whole(aim: f64, low: f64, high: f64) -> Option<i32> {
    // The limits come from divisions: a whole number that lies on one must not be lost to the last bit.
    const LAST_BITS: f64 = 1e-9;
    let (low, high) = ((low - LAST_BITS).ceil(), (high + LAST_BITS).floor());
    let nearest = (aim + 0.5).floor();
    (low <= high).then(|| nearest.max(low).min(high) as i32)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn knots(height: &[f64], bound: f64) -> Vec<(usize, i32)> {
        let ticks: Vec<u32> = (0..height.len()).map(|i| i as u32).collect();
        thin(&ticks, height, bound)
            .into_iter()
            .map(|knot| (knot.index, knot.dnm))
            .collect()
    }

    #[test]
    fn a_straight_line_needs_two_knots() {
        let line: Vec<f64> = (0..100).map(|i| f64::from(i) * 3.0).collect();
        assert_eq!(knots(&line, 1.0), [(0, 0), (99, 297)]);
    }

    #[test]
    fn a_staircase_keeps_its_steps() {
        assert_eq!(
            knots(&[0.0, 0.0, 100.0, 100.0], 1.0),
            [(0, 0), (1, 0), (2, 100), (3, 100)]
        );
    }

    #[test]
    fn one_sample_is_one_knot() {
        assert_eq!(knots(&[7.5], 1.0), [(0, 8)]);
        assert!(knots(&[], 1.0).is_empty());
    }

    #[test]
    fn a_tie_takes_the_larger() {
        assert_eq!(nearest_whole(2.5, 0.0, 9.0), Some(3));
        assert_eq!(nearest_whole(2.5, 0.0, 2.2), Some(2));
        assert_eq!(nearest_whole(2.5, 2.1, 2.9), None);
    }
}
