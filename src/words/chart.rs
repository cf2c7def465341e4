//! The words of a chart: its ticks, the needed line, and a sentence for each curve.

use super::catalogue::Catalogue;
use super::{Needed, number, time, with_unit};
use crate::units::Torque;

/// The text at the needed line.
pub fn needed(catalogue: &Catalogue, needed: &Needed) -> String {
    catalogue.fill("chart.needed", &[("torque", &needed.words(catalogue))])
}

/// The text of the band about a curve.
pub fn band(catalogue: &Catalogue) -> String {
    catalogue.fill("chart.band", &[])
}

/// The words of the control that takes a pair off the chart.
pub fn take_off(catalogue: &Catalogue, pair: &str) -> String {
    catalogue.fill("chart.take_off", &[("pair", pair)])
}

/// That a pair laid over the chart has no curve.
pub fn without_runs(catalogue: &Catalogue, pair: &str) -> String {
    catalogue.fill("chart.without_runs", &[("pair", pair)])
}

/// The text beside the point where a curve crosses the needed line, after this many seconds.
pub fn crossing(catalogue: &Catalogue, time_s: f64) -> String {
    time(catalogue, time_s)
}

/// A number at an axis, without its unit.
pub fn tick(catalogue: &Catalogue, value: f64) -> String {
    number::given(value, &catalogue.number)
}

/// What a curve does, for those who do not see it: when it gets to the needed torque, in s, if it
/// does, and its torque in N·m at the window's end.
pub fn curve(
    catalogue: &Catalogue,
    needed: &Needed,
    pair: &str,
    time_to_job_s: Option<f64>,
    end_nm: f64,
) -> String {
    let (end, style) = (Torque::from_newton_metres(end_nm), &catalogue.number);
    let unit = |number: &str| with_unit(catalogue, number, needed.unit);
    let Some(time_s) = time_to_job_s else {
        let words = number::falls_short(end, &needed.figure, needed.unit, style);
        let values = [
            ("pair", pair),
            ("torque", &unit(&words.needed)),
            ("end", &unit(&words.reached)),
        ];
        return catalogue.fill("chart.name.falls_short", &values);
    };
    let end = number::Figure::torque(end, needed.unit, number::Direction::Nearest);
    let (end, torque) = number::told_apart(&end, &needed.figure, style);
    let values = [
        ("pair", pair),
        ("torque", &unit(&torque)),
        ("time", &time(catalogue, time_s)),
        ("end", &unit(&end)),
    ];
    catalogue.fill("chart.name.reaches", &values)
}
