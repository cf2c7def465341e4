//! The band about a curve: its edges on the axes, and where its words stand.

use super::super::label::{Anchor, Label};
use super::super::label_placement::LabelPlacement;
use super::axes::Axes;
use crate::chart::curves::NamedCurve;
use serde::Serialize;

/// The band that 90 of 100 tries stay in.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Band {
    /// What it is.
    pub text: String,
    /// The same in the drawing, where there is room for it.
    pub label: Option<Label>,
    /// Its outline: the upper edge from left to right, the lower edge back. Script does not need it.
    #[serde(skip_serializing)]
    pub outline: Vec<(f64, f64)>,
}

/// The two edges of a band from left to right, in CSS pixels, within the axes.
pub(super) struct Edges {
    upper: Vec<(f64, f64)>,
    lower: Vec<(f64, f64)>,
}

/// How far a band's edges are from its curve, as a factor, at a time: between the times it is told
/// for, in proportion. `None` where it is not told.
fn factor(band: &[(f64, f64, f64)], time_s: f64) -> Option<f64> {
    let at = |&(time_s, lower_nm, upper_nm): &(f64, f64, f64)| {
        let factor = (upper_nm / lower_nm).sqrt();
        factor.is_finite().then_some((time_s, factor))
    };
    let next = band.partition_point(|&(other_s, ..)| other_s < time_s);
    let after = band.get(next..)?.iter().find_map(at)?;
    let before = band.get(..next)?.iter().rev().find_map(at);
    Some(before.map_or(after.1, |before| {
        let share = (time_s - before.0) / (after.0 - before.0);
        before.1 + share * (after.1 - before.1)
    }))
}

impl Edges {
    /// The edges of a curve's band; `None` without a band.
    pub fn of(curve: &NamedCurve, axes: &Axes) -> Option<Self> {
        let told = axes.times().filter_map(|time_s| {
            let factor = factor(&curve.band, time_s)?;
            let typical_nm = curve.combination.torque_at(time_s);
            let point = |torque_nm| (axes.x(time_s), axes.y(torque_nm));
            Some((point(typical_nm * factor), point(typical_nm / factor)))
        });
        let (upper, lower): (Vec<_>, Vec<_>) = told.unzip();
        (!upper.is_empty()).then_some(Self { upper, lower })
    }

    /// Both edges, for words to keep clear of.
    pub fn both(&self) -> [&[(f64, f64)]; 2] {
        [&self.upper, &self.lower]
    }

    /// The band, with its words as near below its lower edge, or above its upper one, as there is room.
    pub fn band(&self, room: &mut LabelPlacement, text: String) -> Band {
        let within = room.within;
        let across = [
            (within.right - 2.0, Anchor::End),
            ((within.left + within.right) / 2.0, Anchor::Middle),
        ];
        let end_y = |edge: &[(f64, f64)]| edge.last().map_or(within.bottom, |&(_, y)| y);
        let (top, bottom) = (end_y(&self.upper), end_y(&self.lower));
        let mut spots = Vec::new();
        for (x, anchor) in across {
            let below = room.outwards(bottom).filter(|&y| y >= bottom);
            let above = room.outwards(top).filter(|&y| y < top);
            spots.extend(below.chain(above).map(|y| (x, y, anchor)));
        }
        let outline = self.upper.iter().chain(self.lower.iter().rev());
        Band {
            label: room.take(&text, 0, &spots),
            outline: outline.copied().collect(),
            text,
        }
    }
}

#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests {
    use super::super::super::tests::{demo, question, view};
    use super::super::tests::on_line;
    use super::super::thinned::OFF_PX;
    use super::*;

    const PAIR: (&str, &str) = ("sorrel-18-medium", "two-row-5-0");

    #[test]
    fn a_factor_lies_between_its_neighbours() {
        let band = [
            (0.0, 0.0, 0.0),
            (1.0, 50.0, 200.0),
            (2.0, 100.0, 100.0),
            (3.0, 80.0, 80.0),
        ];
        assert_eq!(factor(&band, 0.5), Some(2.0));
        assert_eq!(factor(&band, 1.0), Some(2.0));
        assert_eq!(factor(&band, 1.5), Some(1.5));
        assert_eq!(factor(&band, 2.5), Some(1.0));
        assert_eq!(factor(&band, 3.5), None);
        assert_eq!(factor(&[], 1.0), None);
    }

    #[test]
    fn the_band_lies_about_its_curve_and_within_the_axes() {
        let results = demo();
        for (job, width_px) in [("20 N·m", 328.0), ("150 N·m", 640.0), ("9000 N·m", 1100.0)] {
            let view = view(&results, &question(job, Some(PAIR)), width_px);
            let band = view.band.clone().unwrap();
            let half = band.outline.len() / 2;
            let (upper, lower) = band.outline.split_at(half);
            assert!(half > 50);
            for (upper, lower) in upper.iter().zip(lower.iter().rev()) {
                assert_eq!(upper.0, lower.0);
                assert!(view.top_px <= upper.1 && upper.1 <= lower.1 && lower.1 <= view.bottom_px);
                let y = on_line(&view.curves[0].points, upper.0);
                let (top, bottom) = (upper.1 - OFF_PX, lower.1 + OFF_PX);
                assert!(top <= y && y <= bottom, "{upper:?} {y} {lower:?}");
            }
            let ends = (upper.last().unwrap().1, lower.first().unwrap().1);
            assert!(ends.1 - ends.0 > 2.0, "{ends:?}");
        }
    }

    #[test]
    fn the_axis_holds_the_whole_band() {
        let results = demo();
        let question = question("150 N·m", Some(PAIR));
        let curves = results.curves(&question).unwrap();
        let band = &curves.curves[0].band;
        assert_eq!(band.last().unwrap().0, curves.window_s);
        let highest_nm = band.iter().fold(0.0, |highest, edge| edge.2.max(highest));
        let view = view(&results, &question, 640.0);
        // The last tick's torque tells the scale.
        let tick = view.torque_ticks.last().unwrap();
        let tick_nm: f64 = tick.label.text.replace(',', "").parse().unwrap();
        let top_nm = tick_nm * (view.bottom_px - view.top_px) / (view.bottom_px - tick.at_px);
        assert!(top_nm >= highest_nm * (1.0 - 1e-9), "{top_nm} {highest_nm}");
    }

    #[test]
    fn a_list_has_no_band() {
        let results = demo();
        assert_eq!(view(&results, &question("150 N·m", None), 640.0).band, None);
    }

    #[test]
    fn the_words_of_the_band_are_always_there() {
        let results = demo();
        for width_px in [40.0, 300.0, 640.0, 1100.0] {
            for job in ["20 N·m", "150 N·m", "335 N·m", "9000 N·m"] {
                let view = view(&results, &question(job, Some(PAIR)), width_px);
                let band = view.band.unwrap();
                assert_eq!(band.text, "90 of 100 tries stay in this band");
                assert!(band.label.iter().all(|label| label.text == band.text));
                if width_px != 300.0 {
                    assert_eq!(band.label.is_some(), width_px > 300.0, "{width_px} {job}");
                }
            }
        }
    }
}
