//! What real nuts that were tried say of others, in words.

use super::data::NutsTried;
use crate::breakaway::{LEAST_CHECKS, LEAST_GROUPS, LEAST_LOOSE};
use crate::problem::Problem;
use crate::query::condition::Checked;
use crate::text::catalogue::Catalogue;
use crate::text::number;

/// Writes the words of nuts of one state.
pub fn told(catalogue: &Catalogue, nuts: &mut NutsTried) {
    let times = |factor: Option<f64>| number::times(factor.unwrap_or_default(), &catalogue.number);
    let (low, high) = (times(nuts.loose_from), times(nuts.loose_to));
    let loose = number::count(nuts.loose.into(), &catalogue.number);
    let aged = nuts.condition == Checked::Aged;
    let key = match nuts.loose {
        0 if aged => "nuts.aged.none",
        0 => "nuts.fresh.none",
        _ if aged && low == high => "nuts.aged.loose_at",
        _ if low == high => "nuts.fresh.loose_at",
        _ if aged => "nuts.aged.loose",
        _ => "nuts.fresh.loose",
    };
    let values = [("loose", &*loose), ("low", &*low), ("high", &*high)];
    nuts.words = catalogue.fill_plural(key, nuts.checks.into(), &values);
    if nuts.factor.is_some() {
        let n = number::count(nuts.checks.into(), &catalogue.number);
        let key = if aged {
            "nuts.aged.take"
        } else {
            "nuts.fresh.take"
        };
        nuts.take = Some(catalogue.fill(key, &[("n", &n)]));
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
    let key = match checked {
        Checked::Aged => "error.few_nuts.aged",
        Checked::Fresh => "error.few_nuts.fresh",
    };
    Problem::new("/condition", checked.code(), "a factor").message(catalogue.fill(key, &values))
}

#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests {
    use super::*;

    fn words(checks: u32, loose: u32, from: f64, to: f64) -> String {
        let texts = include_str!("../../www/texts/en.json");
        let mut nuts = NutsTried {
            condition: Checked::Fresh,
            checks,
            groups: 1,
            loose,
            loose_from: (loose > 0).then_some(from),
            loose_to: (loose > 0).then_some(to),
            factor: None,
            factor_19_of_20: None,
            words: String::new(),
            take: None,
        };
        told(&serde_json::from_str(texts).unwrap(), &mut nuts);
        assert_eq!(nuts.take, None);
        nuts.words
    }

    #[test]
    fn few_nuts_are_counted() {
        let tightened = "what they were tightened to.";
        assert_eq!(
            words(4, 3, 1.08, 1.56),
            format!("3 of 4 fresh nuts came loose, at 1.1 to 1.6 times {tightened}")
        );
        assert_eq!(
            words(4, 1, 0.83, 0.83),
            format!("1 of 4 fresh nuts came loose, at up to 0.8 times {tightened}")
        );
        let one = "One fresh nut was tried here. It ";
        assert_eq!(
            words(1, 1, 0.83, 0.83),
            format!("{one}came loose, at up to 0.8 times what it was tightened to.")
        );
        assert_eq!(words(1, 0, 0.0, 0.0), format!("{one}did not come loose."));
        assert_eq!(
            words(2, 0, 0.0, 0.0),
            "None of the 2 fresh nuts came loose."
        );
    }
}
