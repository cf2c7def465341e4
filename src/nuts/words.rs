//! What real nuts that were tried say of others, in words.

use super::data::NutsTried;
use crate::breakaway::{LEAST_CHECKS, LEAST_GROUPS, LEAST_LOOSE};
use crate::problem::Problem;
use crate::query::condition::Checked;
use crate::text::catalogue::Catalogue;
use crate::text::number;

/// Writes the words of nuts of one state.
pub fn told(catalogue: &Catalogue, nuts: &mut NutsTried) {
    let state = key(nuts.condition);
    let times = |factor: Option<f64>| number::times(factor.unwrap_or_default(), &catalogue.number);
    let (low, high) = (times(nuts.loose_from), times(nuts.loose_to));
    let loose = number::count(nuts.loose.into(), &catalogue.number);
    let what = match nuts.loose {
        0 => "none",
        _ if low == high => "loose_at",
        _ => "loose",
    };
    let values = [("loose", &*loose), ("low", &*low), ("high", &*high)];
    let key = format!("nuts.{state}.{what}");
    nuts.words = catalogue.fill_plural(&key, nuts.checks.into(), &values);
    if nuts.factor.is_some() {
        let n = number::count(nuts.checks.into(), &catalogue.number);
        nuts.take = Some(catalogue.fill(&format!("nuts.{state}.take"), &[("n", &n)]));
    }
}

/// The problem of a question for the factor of nuts of which too few were tried.
pub fn too_few(catalogue: &Catalogue, checked: Checked, nuts: Option<&NutsTried>) -> Problem {
    let count = |of: fn(&NutsTried) -> u32| {
        let count = nuts.map(of).unwrap_or_default();
        number::count(count.into(), &catalogue.number)
    };
    let least = |least: usize| number::count(least as u64, &catalogue.number);
    let values = [
        ("n", count(|nuts| nuts.checks)),
        ("groups", count(|nuts| nuts.groups)),
        ("loose", count(|nuts| nuts.loose)),
        ("least", least(LEAST_CHECKS)),
        ("least_groups", least(LEAST_GROUPS)),
        ("least_loose", least(LEAST_LOOSE)),
    ];
    let values = values.each_ref().map(|(name, text)| (*name, text.as_str()));
    let key = format!("error.few_nuts.{}", key(checked));
    Problem::new("/condition", checked.code(), "a factor").message(catalogue.fill(&key, &values))
}

fn key(checked: Checked) -> &'static str {
    match checked {
        Checked::Aged => "aged",
        Checked::Fresh => "fresh",
    }
}
