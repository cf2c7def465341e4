//! The words of a chart: its ticks, the needed line, and a sentence for each curve.

use crate::text::catalogue::Catalogue;
use crate::text::{RequiredTorque, given_time, number, time, with_unit};
use crate::units::{Torque, TorqueUnit};

/// The text at the needed line.
pub fn needed(catalogue: &Catalogue, needed: &RequiredTorque) -> String {
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

/// A time at which curves are read.
pub fn read_time(catalogue: &Catalogue, time_s: f64) -> String {
    given_time(catalogue, time_s)
}

/// The torque that a curve reads, in N·m, on its side of the needed torque.
pub fn read_torque(catalogue: &Catalogue, needed: &RequiredTorque, torque_nm: f64) -> String {
    let torque = Torque::from_newton_metres(torque_nm);
    let figure = number::Figure::torque(torque, needed.unit, number::RoundingDirection::Nearest);
    let (figure, _) = number::told_apart(&figure, &needed.figure, &catalogue.number);
    with_unit(catalogue, &figure, needed.unit)
}

/// The sentence that begins a reading.
pub fn reading(catalogue: &Catalogue, time: &str) -> String {
    catalogue.fill("chart.reading", &[("time", time)])
}

/// The sentence of a curve in a reading.
pub fn curve_reading(catalogue: &Catalogue, pair: &str, torque: &str) -> String {
    catalogue.fill("chart.reading.curve", &[("pair", pair), ("torque", torque)])
}

/// The text beside the point where a curve crosses the needed line, after this many seconds.
pub fn crossing(catalogue: &Catalogue, time_s: f64) -> String {
    time(catalogue, time_s)
}

/// The title of the torque axis.
pub fn torque_axis(catalogue: &Catalogue, unit: TorqueUnit) -> String {
    let unit = catalogue.units.torque(unit.into());
    catalogue.fill("chart.axis.torque", &[("unit", unit)])
}

/// The title of the time axis.
pub fn time_axis(catalogue: &Catalogue) -> String {
    catalogue.fill("chart.axis.time", &[("unit", &catalogue.units.second)])
}

/// What the plot of places shows.
pub fn places(catalogue: &Catalogue, unit: TorqueUnit, band: bool) -> String {
    let unit = catalogue.units.torque(unit.into());
    let key = match band {
        true => "chart.places.band",
        false => "chart.places",
    };
    catalogue.fill(key, &[("unit", unit)])
}

/// The place of a pair, for those who do not see it.
pub fn place(catalogue: &Catalogue, pair: &str, place: u32, needed: &RequiredTorque) -> String {
    let values = [
        ("pair", pair),
        ("place", &number::count(place.into(), &catalogue.number)),
        ("torque", &needed.words(catalogue)),
    ];
    catalogue.fill("chart.places.name", &values)
}

/// A number at an axis, without its unit.
pub fn tick(catalogue: &Catalogue, value: f64) -> String {
    number::given(value, &catalogue.number)
}

/// What a curve does, for those who do not see it: when it gets to the needed torque, in s, if it
/// does, and its torque in N·m at the window's end.
pub fn curve(
    catalogue: &Catalogue,
    needed: &RequiredTorque,
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
    let end = number::Figure::torque(end, needed.unit, number::RoundingDirection::Nearest);
    let (end, torque) = number::told_apart(&end, &needed.figure, style);
    let values = [
        ("pair", pair),
        ("torque", &unit(&torque)),
        ("time", &time(catalogue, time_s)),
        ("end", &unit(&end)),
    ];
    catalogue.fill("chart.name.reaches", &values)
}
