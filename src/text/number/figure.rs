//! A value with its rounding, and the rule that no figure may change sides by being rounded.

use super::decimal::{Decimal, NumberStyle, RoundingDirection, Step};
use crate::units::{Torque, TorqueUnit};
use std::cmp::Ordering;

/// What is printed where there is no number to print: not finite, or beyond what an `f64` counts.
pub const UNPRINTABLE: &str = "–";

/// The most decimals given to tell two figures apart.
const FINEST: u8 = 6;

#[derive(Clone, Copy, Debug)]
pub(super) enum Rounding {
    /// Always this step.
    To(Step),
    /// Steps that widen with the number: the first step below the first limit, and so on, then the last.
    /// The rounded number picks the band, so 99.6 in steps of one is 100.
    Bands(&'static [(i64, Step)], Step),
    /// This many significant figures, but never more than three decimals; zero is 0.
    Figures(u8),
    /// Someone's own number, never rounded.
    Own(Decimal),
}

/// A value and how it is rounded, ready to be printed alone or beside the one it is compared with.
#[derive(Clone, Copy, Debug)]
pub struct Figure {
    value: f64,
    rounding: Rounding,
    direction: RoundingDirection,
}

impl Figure {
    pub(super) fn new(value: f64, rounding: Rounding, direction: RoundingDirection) -> Self {
        Self {
            value,
            rounding,
            direction,
        }
    }

    /// The figure in the signs of a language, or [`UNPRINTABLE`].
    #[must_use]
    pub fn print(&self, style: &NumberStyle) -> String {
        print(self.rounded(), style)
    }

    /// The number that is printed; `None` if it is beyond what can be.
    pub(super) fn rounded(&self) -> Option<Decimal> {
        self.at(self.step())
    }

    /// The figure rounded to this step; its own number as it is.
    fn at(&self, step: Step) -> Option<Decimal> {
        match self.rounding {
            Rounding::Own(number) => Some(number),
            _ => Decimal::rounded(self.value, step, self.direction),
        }
    }

    /// The step it is rounded to when it stands alone.
    pub(super) fn step(&self) -> Step {
        match self.rounding {
            Rounding::To(step) => step,
            Rounding::Own(_) => Step::whole(1),
            Rounding::Bands(below, above) => below
                .iter()
                .find(|(limit, step)| {
                    self.at(*step)
                        .is_some_and(|number| number.size_is_below(*limit))
                })
                .map_or(above, |(_, step)| *step),
            Rounding::Figures(_) if self.value == 0.0 => Step::whole(1),
            Rounding::Figures(figures) => {
                let most = 10_u64.saturating_pow(figures.into());
                let mut step = Step::decimals(3);
                while self
                    .at(step)
                    .is_some_and(|number| number.count(step) >= most)
                {
                    step = step.coarser();
                }
                step
            }
        }
    }

    fn is_own(&self) -> bool {
        matches!(self.rounding, Rounding::Own(_))
    }
}

/// Two figures in one unit, printed so that the reader sees them in their true order: each as it is rounded
/// alone if that will do, else with digits added until the printed figures stand as the true values do.
/// Someone's own number is never changed. Equal values are printed alike.
///
/// Values that differ by less than the sixth decimal are told apart by one unit of that decimal.
#[must_use]
pub fn told_apart(one: &Figure, other: &Figure, style: &NumberStyle) -> (String, String) {
    let (one, other) = apart(one, other);
    (print(one, style), print(other, style))
}

/// A torque that falls short of the one needed, printed.
#[derive(Clone, Debug, Eq, PartialEq)]
pub struct FallsShort {
    /// What was reached.
    pub reached: String,
    /// What was needed.
    pub needed: String,
    /// What is missing: the difference of the two as printed.
    pub shortfall: String,
}

/// What was reached, what was needed, and what is missing, for a reached torque below the needed one:
/// `648`, `650` and `2`. `needed` must be in the same unit.
#[must_use]
pub fn falls_short(
    reached: Torque,
    needed: &Figure,
    unit: TorqueUnit,
    style: &NumberStyle,
) -> FallsShort {
    let reached = Figure::torque(reached, unit, RoundingDirection::Nearest);
    let (reached, needed) = apart(&reached, needed);
    let missing = needed.zip(reached);
    let missing = missing.and_then(|(needed, reached)| needed.minus(reached));
    FallsShort {
        reached: print(reached, style),
        needed: print(needed, style),
        shortfall: print(missing, style),
    }
}

/// Both numbers in their true order.
fn apart(one: &Figure, other: &Figure) -> (Option<Decimal>, Option<Decimal>) {
    let (mut one_step, mut other_step) = (one.step(), other.step());
    let (mut first, mut second) = (one.at(one_step), other.at(other_step));
    let truth = match one.value.partial_cmp(&other.value) {
        Some(truth) if !(one.is_own() && other.is_own()) => truth,
        _ => return (first, second),
    };
    if truth == Ordering::Equal {
        let alike = if one.is_own() { first } else { second };
        return (alike, alike);
    }
    while let (Some(a), Some(b)) = (first, second)
        && a.cmp(b) != truth
    {
        // The coarser gains a digit, or both if they are alike.
        let finer_one = if other.is_own() || one_step >= other_step {
            one_step.finer()
        } else {
            one_step
        };
        let finer_other = if one.is_own() || other_step >= one_step {
            other_step.finer()
        } else {
            other_step
        };
        let (finer_a, finer_b) = (one.at(finer_one), other.at(finer_other));
        if finer_one.decimal_places().max(finer_other.decimal_places()) > FINEST
            || finer_a.is_none()
            || finer_b.is_none()
        {
            if one.is_own() {
                second = a.beside(other_step, truth.reverse());
            } else {
                first = b.beside(one_step, truth);
            }
            break;
        }
        (one_step, other_step, first, second) = (finer_one, finer_other, finer_a, finer_b);
    }
    (first, second)
}

fn print(number: Option<Decimal>, style: &NumberStyle) -> String {
    number.map_or_else(|| UNPRINTABLE.to_owned(), |number| number.print(style))
}

#[cfg(test)]
mod tests {
    use super::super::tests::english;
    use super::*;
    use crate::units::{Duration, EntryUnit, WrittenTorque};

    fn torque(torque_nm: f64) -> Figure {
        let torque = Torque::from_newton_metres(torque_nm);
        Figure::torque(torque, TorqueUnit::NewtonMetre, RoundingDirection::Nearest)
    }

    fn needed(torque_nm: f64) -> Figure {
        Figure::needed_torque(
            Torque::from_newton_metres(torque_nm),
            TorqueUnit::NewtonMetre,
        )
    }

    fn written(text: &str) -> Figure {
        Figure::written(&WrittenTorque::parse(text).unwrap())
    }

    fn short(reached_nm: f64, needed: &Figure) -> [String; 3] {
        let reached = Torque::from_newton_metres(reached_nm);
        let short = falls_short(reached, needed, TorqueUnit::NewtonMetre, &english());
        [short.reached, short.needed, short.shortfall]
    }

    #[test]
    fn a_torque_that_falls_short_is_shown_short() {
        assert_eq!(short(648.3, &needed(650.0)), ["648", "650", "2"]);
        assert_eq!(short(648.3, &written("650 N·m")), ["648", "650", "2"]);
        assert_eq!(short(540.0, &needed(650.0)), ["540", "650", "110"]);
        assert_eq!(short(543.0, &needed(650.0)), ["540", "650", "110"]);
        assert_eq!(short(649.97, &needed(650.0)), ["649.97", "650.00", "0.03"]);
        assert_eq!(
            short(649.97, &written("650 N·m")),
            ["649.97", "650", "0.03"]
        );
        assert_eq!(
            short(1_648.0, &written("1650 N·m")),
            ["1,648", "1,650", "2"]
        );
        assert_eq!(short(650.2, &needed(650.4)), ["650", "651", "1"]);
    }

    #[test]
    fn figures_gain_only_the_digits_they_need() {
        let style = english();
        let apart = |one, other| told_apart(&one, &other, &style);
        assert_eq!(
            apart(torque(812.0), needed(650.0)),
            ("810".into(), "650".into())
        );
        assert_eq!(
            apart(torque(654.0), needed(650.0)),
            ("654".into(), "650".into())
        );
        assert_eq!(
            apart(torque(650.9), needed(650.79)),
            ("650.9".into(), "650.8".into())
        );
        let time = Figure::time_sentence(Duration::from_seconds(4.98));
        assert_eq!(apart(time, Figure::given(5.0)), ("4.98".into(), "5".into()));
    }

    #[test]
    fn equal_values_are_printed_alike() {
        let style = english();
        for (one, other, text) in [
            (torque(650.3), needed(650.3), "651"),
            (torque(648.0), torque(648.0), "650"),
            (torque(655.0), written("655 N·m"), "655"),
            (written("655.0 N·m"), torque(655.0), "655.0"),
        ] {
            assert_eq!(told_apart(&one, &other, &style), (text.into(), text.into()));
        }
    }

    #[test]
    fn two_that_people_wrote_stay_as_they_were_written() {
        for (one, other) in [("655.0", "655"), ("655", "655.0"), ("648", "650")] {
            let [a, b] = [one, other].map(|number| written(&format!("{number} N·m")));
            let told = told_apart(&a, &b, &english());
            assert_eq!(told, (one.into(), other.into()));
        }
    }

    #[test]
    fn values_an_ulp_apart_still_keep_their_order() {
        let style = english();
        let next = f64::from_bits(650.0_f64.to_bits() + 1);
        assert_eq!(
            told_apart(&torque(next), &written("650 N·m"), &style),
            ("650.000001".into(), "650".into())
        );
        assert_eq!(
            told_apart(&written("650 N·m"), &torque(next), &style),
            ("650".into(), "650.000001".into())
        );
        assert_eq!(
            told_apart(&torque(650.0), &torque(next), &style),
            ("649.999999".into(), "650.000000".into())
        );
    }

    #[test]
    fn what_cannot_be_printed_is_marked() {
        let style = english();
        for value in [f64::NAN, f64::INFINITY, -f64::MAX] {
            assert_eq!(torque(value).print(&style), UNPRINTABLE);
            assert_eq!(
                told_apart(&torque(value), &needed(650.0), &style),
                (UNPRINTABLE.into(), "650".into())
            );
            let _ = short(value, &needed(650.0));
            let _ = short(650.0, &needed(value));
        }
    }

    /// Order of two printed English numbers, read digit by digit and not as `f64`.
    fn printed_order(one: &str, other: &str) -> Ordering {
        let plain = |text: &str| {
            let text = text.replace(',', "").replace('−', "-");
            let (whole, fraction) = text.split_once('.').unwrap_or((&text, ""));
            format!("{whole}{fraction:0<15}").parse::<i128>().unwrap()
        };
        plain(one).cmp(&plain(other))
    }

    /// Two figures that are equal or apart by little or much, in either order, in either unit, rounded
    /// in every way and as someone wrote them.
    fn two_figures(turn: i32, random: &mut impl FnMut() -> f64) -> (Figure, Figure) {
        let value_nm = 1.0 + 20_000.0 * random() * random() * random();
        let gap_nm = if turn % 50 == 0 {
            0.0
        } else {
            1e3 * libm::pow(1e-10, random())
        };
        let other_nm = if turn % 2 == 0 {
            value_nm + gap_nm
        } else {
            value_nm - gap_nm
        };
        let unit = if turn % 3 == 0 {
            TorqueUnit::PoundForceFoot
        } else {
            TorqueUnit::NewtonMetre
        };
        let direction = match turn % 5 {
            0 => RoundingDirection::Up,
            1 => RoundingDirection::Down,
            _ => RoundingDirection::Nearest,
        };
        let one = Figure::torque(Torque::from_newton_metres(value_nm), unit, direction);
        let other = match turn % 4 {
            0 => Figure::needed_torque(Torque::from_newton_metres(other_nm), unit),
            1 => Figure::torque(
                Torque::from_newton_metres(other_nm),
                unit,
                RoundingDirection::Down,
            ),
            2 => Figure::torque(
                Torque::from_newton_metres(other_nm),
                unit,
                RoundingDirection::Nearest,
            ),
            _ => {
                let symbol = EntryUnit::from(unit).symbol();
                let number = Torque::from_newton_metres(other_nm).in_unit(unit.into());
                written(&format!("{number:.9} {symbol}").replace("-", "−"))
            }
        };
        (one, other)
    }

    #[test]
    fn no_figure_changes_sides_by_rounding() {
        let style = english();
        let mut state: u64 = 20_260_302;
        let mut random = || {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (state >> 11) as f64 / (1_u64 << 53) as f64
        };
        let mut kept = 0;
        for turn in 0..300_000 {
            let (one, other) = two_figures(turn, &mut random);
            let (a, b) = told_apart(&one, &other, &style);
            let truth = one.value.partial_cmp(&other.value).unwrap();
            assert_eq!(
                printed_order(&a, &b),
                truth,
                "{} {} as {a} {b}",
                one.value,
                other.value
            );
            let (c, d) = told_apart(&other, &one, &style);
            assert_eq!(
                printed_order(&c, &d),
                truth.reverse(),
                "{} {} as {c} {d}",
                other.value,
                one.value
            );
            let alone = (one.print(&style), other.print(&style));
            if printed_order(&alone.0, &alone.1) == truth && truth != Ordering::Equal {
                assert_eq!((a, b), alone);
                kept += 1;
            }
        }
        assert!(kept > 10_000, "only {kept}");
    }
}
