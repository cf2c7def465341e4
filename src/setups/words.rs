//! What another setup costs in torque, in words.

use super::data::{Changed, SetupCost};
use crate::text::catalogue::Catalogue;
use crate::text::number::{self, RoundingDirection};
use crate::text::percent;

/// Writes the words of a setup's cost, and the loss to take as it is printed.
pub fn cost(catalogue: &Catalogue, cost: &mut SetupCost, setup: &str) {
    let lost = cost.lost_percent;
    let pairs = catalogue.fill_plural("count.pairs", cost.pairs.into(), &[]);
    let end = |end: f64, outward| number::percent_end(end, lost, outward, &catalogue.number);
    let (low, high) = (
        cost.low_percent
            .map(|low| end(low, RoundingDirection::Down)),
        cost.high_percent
            .map(|high| end(high, RoundingDirection::Up)),
    );
    let unit = &catalogue.units.percent;
    let high = high.map(|high| catalogue.quantity(&high, unit));
    let shown = percent(catalogue, lost);
    let mut values = vec![
        ("percent", shown.as_str()),
        ("pairs", &pairs),
        ("setup", setup),
    ];
    let key = match (&low, &high) {
        _ if lost <= 0.0 => "cost.nothing",
        (Some(low), Some(high)) => {
            values.extend([("low", low.as_str()), ("high", high)]);
            "cost.less"
        }
        _ => "cost.less_unsure",
    };
    cost.words = catalogue.fill(key, &values);
    let taken = number::percent_rounded(lost).filter(|taken| *taken < 100.0);
    if cost.changed == Changed::Extension && taken.is_some() {
        cost.take_percent = taken;
        cost.take = Some(catalogue.fill("cost.take", &[("percent", &shown)]));
    }
}
