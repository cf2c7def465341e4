//! The texts of one language, as data: whole-sentence templates, number signs, unit names, plural rule.

use super::number::{self, NumberStyle};
use crate::units::EntryUnit;
use serde::Deserialize;
use std::collections::BTreeMap;

/// One language, read from a file such as `www/texts/en.json`.
///
/// Nothing in it can fail at run time: what is missing shows as its key in brackets.
#[derive(Clone, Debug, Default, Deserialize)]
pub struct Catalogue {
    /// Language tag (BCP 47), such as `en`.
    pub lang: String,
    /// The language's own name for itself.
    pub name: String,
    /// How the language forms plurals.
    pub plural: PluralRule,
    /// The signs numbers are written with.
    pub number: NumberStyle,
    /// The names of units.
    pub units: UnitNames,
    /// Templates by key. `{name}` stands for what is filled in, `*...*` around the figure that
    /// matters; templates that depend on a count stand under `key.one` and `key.other`.
    pub texts: BTreeMap<String, String>,
}

/// Which whole numbers take the singular. Source: Unicode CLDR, `plurals.xml`, for whole numbers;
/// its category "many" of French and Spanish, for whole millions, does not occur here.
#[derive(Clone, Copy, Debug, Default, Deserialize, Eq, PartialEq)]
#[serde(rename_all = "kebab-case")]
pub enum PluralRule {
    /// One takes the singular, all else the plural. CLDR: `i = 1 and v = 0` for English and German,
    /// `n = 1` for Spanish.
    #[default]
    OneOther,
    /// Zero and one take the singular, all else the plural. CLDR: `i = 0,1` for French.
    ZeroOneOther,
}

impl PluralRule {
    /// The ending of the key for this count.
    fn ending(self, count: u64) -> &'static str {
        match (self, count) {
            (Self::OneOther | Self::ZeroOneOther, 1) | (Self::ZeroOneOther, 0) => "one",
            _ => "other",
        }
    }
}

/// The unit names a language prints behind a number.
#[derive(Clone, Debug, Default, Deserialize, Eq, PartialEq)]
pub struct UnitNames {
    /// Newton metre.
    pub newton_metre: String,
    /// Pound-force foot.
    pub pound_force_foot: String,
    /// Pound-force inch, shown only where someone wrote it.
    pub pound_force_inch: String,
    /// Kilogram-force metre, shown only where someone wrote it.
    pub kilogram_force_metre: String,
    /// Newton metre each second, for rise rates in tables.
    pub newton_metre_per_second: String,
    /// Pound-force foot each second, for rise rates in tables.
    pub pound_force_foot_per_second: String,
    /// Second.
    pub second: String,
    /// Watt.
    pub watt: String,
    /// Kilogram.
    pub kilogram: String,
    /// Millimetre.
    pub millimetre: String,
    /// Percent.
    pub percent: String,
}

impl UnitNames {
    /// The name of a unit of torque.
    #[must_use]
    pub fn torque(&self, unit: EntryUnit) -> &str {
        match unit {
            EntryUnit::NewtonMetre => &self.newton_metre,
            EntryUnit::PoundForceFoot => &self.pound_force_foot,
            EntryUnit::PoundForceInch => &self.pound_force_inch,
            EntryUnit::KilogramForceMetre => &self.kilogram_force_metre,
        }
    }
}

impl Catalogue {
    /// The text of a key with its placeholders filled in. What is filled in is text, never a template. A
    /// missing key, a missing value or a broken template gives the key in brackets.
    #[must_use]
    pub fn fill(&self, key: &str, values: &[(&str, &str)]) -> String {
        self.sentence(key, values).text
    }

    /// The text of a key as [`Catalogue::fill`] gives it, and where its figures stand.
    #[must_use]
    pub fn sentence(&self, key: &str, values: &[(&str, &str)]) -> Sentence {
        self.texts
            .get(key)
            .and_then(|template| filled(template, values))
            .unwrap_or_else(|| format!("[{key}]").into())
    }

    /// The text for a count: `key.one` or `key.other`, as the language has it. `{n}` is the count.
    #[must_use]
    pub fn fill_plural(&self, key: &str, count: u64, values: &[(&str, &str)]) -> String {
        let count_text = number::count(count, &self.number);
        let mut values = values.to_vec();
        values.push(("n", &count_text));
        self.fill(&format!("{key}.{}", self.plural.ending(count)), &values)
    }

    /// A date of the dataset (`2026-03-02` or `2026-03`) in words. Any other text is given back as it is.
    #[must_use]
    pub fn date(&self, iso: &str) -> String {
        let mut parts = iso.split('-');
        let (Some(year), Some(month), day, None) =
            (parts.next(), parts.next(), parts.next(), parts.next())
        else {
            return iso.to_owned();
        };
        let Some(month) = self.texts.get(&format!("month.{month}")) else {
            return iso.to_owned();
        };
        match day {
            Some(day) => {
                let day = day.strip_prefix('0').unwrap_or(day);
                self.fill("date", &[("day", day), ("month", month), ("year", year)])
            }
            None => self.fill("date.month", &[("month", month), ("year", year)]),
        }
    }

    /// A printed number with its unit behind it, as the language joins them.
    #[must_use]
    pub fn quantity(&self, number: &str, unit: &str) -> String {
        self.fill("quantity", &[("number", number), ("unit", unit)])
    }
}

/// A sentence, and where the figures that matter stand in it.
#[derive(Clone, Debug, Default, Eq, PartialEq)]
pub struct Sentence {
    /// Its text.
    pub text: String,
    /// Where each figure begins and ends, in UTF-16 code units.
    pub stressed: Vec<[u32; 2]>,
}

impl From<String> for Sentence {
    fn from(text: String) -> Self {
        Self {
            text,
            stressed: Vec::new(),
        }
    }
}

fn filled(template: &str, values: &[(&str, &str)]) -> Option<Sentence> {
    let mut text = String::new();
    let mut stressed = Vec::new();
    let mut begin = None;
    let mut rest = template;
    while let Some(at) = rest.find(['{', '*']) {
        let (before, after) = rest.split_at_checked(at)?;
        text.push_str(before);
        if let Some(after) = after.strip_prefix('*') {
            let here = u32::try_from(text.encode_utf16().count()).ok()?;
            match begin.take() {
                None => begin = Some(here),
                Some(begin) => stressed.push([begin, here]),
            }
            rest = after;
        } else {
            let (name, after) = after.strip_prefix('{')?.split_once('}')?;
            let (_, value) = values.iter().find(|(known, _)| *known == name)?;
            text.push_str(value);
            rest = after;
        }
    }
    text.push_str(rest);
    begin.is_none().then_some(Sentence { text, stressed })
}

#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests;
