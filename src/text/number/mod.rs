//! Numbers as people read them: each quantity rounded in its own way, in the signs of a language.
//!
//! Only what is shown or printed is rounded; files keep full precision. All printing is integer arithmetic
//! on the rounded value. A value that is not finite or is too large to print becomes [`UNPRINTABLE`].

mod decimal;
mod figure;

pub use crate::text::number::decimal::{NumberStyle, RoundingDirection};
pub use crate::text::number::figure::{FallsShort, Figure, UNPRINTABLE, falls_short, told_apart};

use crate::units::{Duration, Power, RiseRate, Torque, TorqueUnit, WrittenTorque};
use decimal::{Decimal, Step};
use figure::Rounding;

const ONES: Step = Step::whole(1);
const FIVES: Step = Step::whole(5);
const TENS: Step = Step::whole(10);
const TENTHS: Step = Step::decimals(1);
const HUNDREDTHS: Step = Step::decimals(2);

/// Finer than the rig's own uncertainty would be noise: 2 % of 800 N·m is 16 N·m.
const NEWTON_METRES: &[(i64, Step)] = &[(100, ONES), (500, FIVES)];
const POUND_FORCE_FEET: &[(i64, Step)] = &[(100, ONES), (400, FIVES)];
const JOBS: Rounding = Rounding::Bands(&[(20, ONES), (100, FIVES)], TENS);
const PERCENT: Rounding = Rounding::Bands(&[(10, TENTHS)], ONES);
const IN_SENTENCES: Rounding = Rounding::Figures(2);
const IN_TABLES: Rounding = Rounding::Figures(3);

/// Below this a time or a percentage is given as "under 0.1", never as 0.0.
const TENTH: f64 = 0.1;

/// The steps of a torque below the limits of each, and the step above.
const fn torque_bands(unit: TorqueUnit) -> (&'static [(i64, Step)], Step) {
    match unit {
        TorqueUnit::NewtonMetre => (NEWTON_METRES, TENS),
        TorqueUnit::PoundForceFoot => (POUND_FORCE_FEET, TENS),
    }
}

/// The step that suits a torque of this size, above 0, in its unit: that of [`Figure::torque`].
#[must_use]
pub fn torque_step(value: f64, unit: TorqueUnit) -> f64 {
    let (below, above) = torque_bands(unit);
    let own = below.iter().find(|(limit, _)| value < *limit as f64);
    own.map_or(above, |(_, step)| *step).multiple() as f64
}

impl Figure {
    /// A torque in steps that suit the rig: of 1 below 100, of 5 below 500 N·m or 400 lbf·ft, of 10 above.
    #[must_use]
    pub fn torque(torque: Torque, unit: TorqueUnit, direction: RoundingDirection) -> Self {
        let (below, above) = torque_bands(unit);
        let rounding = Rounding::Bands(below, above);
        Self::new(torque.in_unit(unit.into()), rounding, direction)
    }

    /// A torque that is needed, as a whole number, rounded up.
    #[must_use]
    pub fn needed_torque(torque: Torque, unit: TorqueUnit) -> Self {
        Self::new(
            torque.in_unit(unit.into()),
            Rounding::To(ONES),
            RoundingDirection::Up,
        )
    }

    /// The torque someone wrote, in their own unit and digits, never rounded.
    #[must_use]
    pub fn written(written: &WrittenTorque) -> Self {
        let value = written.torque().in_unit(written.unit());
        let rounding = Decimal::read(written.number()).map_or(Rounding::To(ONES), Rounding::Own);
        Self::new(value, rounding, RoundingDirection::Nearest)
    }

    /// A number that someone chose or a file states, with as few decimals as it needs, at most three:
    /// 5 s, a factor of 1.5. Below a thousandth it has as many as it needs to be more than zero, at
    /// most nine.
    #[must_use]
    pub fn given(value: f64) -> Self {
        let close = |number: &Decimal| (number.value() - value).abs() <= 1e-9 * value.abs();
        let finest = if value.abs() < 0.001 { 9 } else { 3 };
        let number = (0..=finest)
            .filter_map(|decimals| {
                Decimal::rounded(value, Step::decimals(decimals), RoundingDirection::Nearest)
            })
            .find(close);
        let rounding = number.map_or(Rounding::To(Step::decimals(finest)), Rounding::Own);
        let direction = if finest > 3 {
            RoundingDirection::Up
        } else {
            RoundingDirection::Nearest
        };
        Self::new(value, rounding, direction)
    }

    /// A time in a sentence, in seconds: to 0.1 s.
    #[must_use]
    pub fn time_sentence(time: Duration) -> Self {
        Self::new(
            time.seconds(),
            Rounding::To(TENTHS),
            RoundingDirection::Nearest,
        )
    }

    /// A time in a table, in seconds: to 0.01 s, so that neighbours differ.
    #[must_use]
    pub fn time_table(time: Duration) -> Self {
        Self::new(
            time.seconds(),
            Rounding::To(HUNDREDTHS),
            RoundingDirection::Nearest,
        )
    }
}

/// A figure that is given as "under 0.1" where it would be 0.0.
#[derive(Clone, Debug, Eq, PartialEq)]
pub enum SmallFigure {
    /// Below a tenth, whatever its sign, and for a percentage not zero.
    UnderTenth,
    /// The number.
    Number(String),
}

/// How many of a hundred tries, never all and never none.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Chance {
    /// Below 1 of 100.
    FewerThan1,
    /// From 1 to 99 of 100.
    OfHundred(u8),
    /// Above 99 of 100.
    MoreThan99,
}

/// A typical, peak or end torque in steps that suit the rig. See [`Figure::torque`].
#[must_use]
pub fn torque(
    torque: Torque,
    unit: TorqueUnit,
    direction: RoundingDirection,
    style: &NumberStyle,
) -> String {
    Figure::torque(torque, unit, direction).print(style)
}

/// A needed torque: to one unit, up.
#[must_use]
pub fn needed_torque(torque: Torque, unit: TorqueUnit, style: &NumberStyle) -> String {
    Figure::needed_torque(torque, unit).print(style)
}

/// The largest sample of a run: to one unit, nearest.
#[must_use]
pub fn largest_sample(torque: Torque, unit: TorqueUnit, style: &NumberStyle) -> String {
    nearest(torque.in_unit(unit.into()), Rounding::To(ONES), style)
}

/// A number that someone chose or a file states. See [`Figure::given`].
#[must_use]
pub fn given(value: f64, style: &NumberStyle) -> String {
    Figure::given(value).print(style)
}

/// A time in a sentence: to 0.1 s, below 0.1 s "under 0.1".
#[must_use]
pub fn time_sentence(time: Duration, style: &NumberStyle) -> SmallFigure {
    if time.seconds() < TENTH {
        SmallFigure::UnderTenth
    } else {
        SmallFigure::Number(Figure::time_sentence(time).print(style))
    }
}

/// A time in a table: to 0.01 s.
#[must_use]
pub fn time_table(time: Duration, style: &NumberStyle) -> String {
    Figure::time_table(time).print(style)
}

/// An average power in a sentence, in watts: two figures.
#[must_use]
pub fn power_sentence(power: Power, style: &NumberStyle) -> String {
    nearest(power.watts(), IN_SENTENCES, style)
}

/// An average power in a table, in watts: three figures.
#[must_use]
pub fn power_table(power: Power, style: &NumberStyle) -> String {
    nearest(power.watts(), IN_TABLES, style)
}

/// A rise rate in a sentence, in the unit each second: two figures.
#[must_use]
pub fn rise_rate_sentence(rate: RiseRate, unit: TorqueUnit, style: &NumberStyle) -> String {
    nearest(per_second(rate, unit), IN_SENTENCES, style)
}

/// A rise rate in a table, in the unit each second: three figures.
#[must_use]
pub fn rise_rate_table(rate: RiseRate, unit: TorqueUnit, style: &NumberStyle) -> String {
    nearest(per_second(rate, unit), IN_TABLES, style)
}

/// A quotient that has no unit of its own to round by: three figures.
#[must_use]
pub fn three_figures(value: f64, style: &NumberStyle) -> String {
    nearest(value, IN_TABLES, style)
}

/// How many times as much: to a tenth.
#[must_use]
pub fn times(factor: f64, style: &NumberStyle) -> String {
    nearest(factor, Rounding::To(TENTHS), style)
}

/// A difference or scatter in percent: whole from 10, one decimal below, "under 0.1" for what is not zero.
#[must_use]
pub fn percent(percent: f64, style: &NumberStyle) -> SmallFigure {
    if percent == 0.0 {
        SmallFigure::Number(nearest(percent, Rounding::To(ONES), style))
    } else if percent.abs() < TENTH {
        SmallFigure::UnderTenth
    } else {
        SmallFigure::Number(nearest(percent, PERCENT, style))
    }
}

/// The number that [`percent`] prints of a percentage above 0; `None` where it prints none.
#[must_use]
pub fn percent_rounded(percent: f64) -> Option<f64> {
    let printed = Figure::new(percent, PERCENT, RoundingDirection::Nearest);
    let rounded = (percent >= TENTH).then(|| printed.rounded())?;
    rounded.map(Decimal::value)
}

/// How far a percentage may be off, in the step of that percentage, outward.
#[must_use]
pub fn percent_off(off: f64, percent: f64, style: &NumberStyle) -> String {
    let beside = Figure::new(percent, PERCENT, RoundingDirection::Nearest);
    let step = Rounding::To(beside.step());
    Figure::new(off, step, RoundingDirection::Up).print(style)
}

/// An end of an interval of a percentage, in the step of that percentage, outward; on the same side of
/// nothing as it is unrounded.
#[must_use]
pub fn percent_end(
    end: f64,
    percent: f64,
    outward: RoundingDirection,
    style: &NumberStyle,
) -> String {
    let beside = Figure::new(percent, PERCENT, RoundingDirection::Nearest);
    let end = Figure::new(end, Rounding::To(beside.step()), outward);
    told_apart(&end, &Figure::given(0.0), style).0
}

/// A count of things.
#[must_use]
pub fn count(count: u64, style: &NumberStyle) -> String {
    style.print(&count.to_string())
}

/// The mass of a pair in kilograms, added first: to 0.1 kg.
#[must_use]
pub fn mass(mass_kg: f64, style: &NumberStyle) -> String {
    nearest(mass_kg, Rounding::To(TENTHS), style)
}

/// How much heavier one pair is than another, in kilograms: the difference of the masses as printed;
/// `None` where that is nothing.
#[must_use]
pub fn mass_difference(own_kg: f64, other_kg: f64) -> Option<f64> {
    difference(own_kg, other_kg, Rounding::To(TENTHS))
}

/// How much more one price is than another: the difference of the prices as printed; `None` where that
/// is nothing.
#[must_use]
pub fn price_difference(own: f64, other: f64) -> Option<f64> {
    difference(own, other, Rounding::To(ONES))
}

/// The difference of two numbers as they are printed; `None` where that is nothing.
fn difference(own: f64, other: f64, rounding: Rounding) -> Option<f64> {
    let rounded = |value| Figure::new(value, rounding, RoundingDirection::Nearest).rounded();
    let difference = rounded(own)?.minus(rounded(other)?)?;
    Some(difference.value()).filter(|difference| *difference != 0.0)
}

/// A length in millimetres: to 1 mm.
#[must_use]
pub fn length(length_mm: f64, style: &NumberStyle) -> String {
    nearest(length_mm, Rounding::To(ONES), style)
}

/// A price: whole units of its currency.
#[must_use]
pub fn price(amount: f64, style: &NumberStyle) -> String {
    nearest(amount, Rounding::To(ONES), style)
}

/// How many jobs one charge lasts for, as it is told.
#[derive(Clone, Debug, Eq, PartialEq)]
pub enum Jobs {
    /// About so many.
    About(String),
    /// More than so many, which is all that an estimate can say.
    MoreThan(String),
}

/// More jobs on one charge than this are not told apart.
const MOST_JOBS: u32 = 1_000;

/// Jobs on one charge: down, in steps of 1 below 20, of 5 below 100, of 10 above, so with at most two
/// significant figures, up to 1,000. Energy per run scatters by several per cent.
#[must_use]
pub fn jobs_per_charge(jobs: u32, style: &NumberStyle) -> Jobs {
    if jobs > MOST_JOBS {
        return Jobs::MoreThan(count(MOST_JOBS.into(), style));
    }
    Jobs::About(Figure::new(f64::from(jobs), JOBS, RoundingDirection::Down).print(style))
}

/// A resistance in thousandths of an ohm: two figures.
#[must_use]
pub fn milliohm(resistance_ohm: f64, style: &NumberStyle) -> String {
    nearest(1e3 * resistance_ohm, IN_SENTENCES, style)
}

/// A voltage for each cell in volts: to 0.01 V.
#[must_use]
pub fn cell_voltage(voltage_v: f64, style: &NumberStyle) -> String {
    nearest(voltage_v, Rounding::To(HUNDREDTHS), style)
}

/// A probability from 0 to 1 as tries of a hundred, rounded down. None for NaN.
///
/// It is compared with the hundredths themselves, without tolerance, so that what is below 0.95 never
/// reads 95.
#[must_use]
pub fn chance(probability: f64) -> Option<Chance> {
    if probability.is_nan() {
        return None;
    }
    if probability > 0.99 {
        return Some(Chance::MoreThan99);
    }
    let hundredths = (1..=99_u8)
        .rev()
        .find(|&count| f64::from(count) / 100.0 <= probability);
    Some(hundredths.map_or(Chance::FewerThan1, Chance::OfHundred))
}

fn nearest(value: f64, rounding: Rounding, style: &NumberStyle) -> String {
    Figure::new(value, rounding, RoundingDirection::Nearest).print(style)
}

fn per_second(rate: RiseRate, unit: TorqueUnit) -> f64 {
    match unit {
        TorqueUnit::NewtonMetre => rate.newton_metres_per_second(),
        TorqueUnit::PoundForceFoot => rate.pound_force_feet_per_second(),
    }
}

#[cfg(test)]
mod tests;
