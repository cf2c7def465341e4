//! Units as loggers write them, wherever they stand in a header.

use crate::units::constants::{
    KILOGRAM_FORCE_METRE_NM, POUND_FORCE_FOOT_NM, POUND_FORCE_INCH_NM, POUND_FORCE_N,
};
use std::f64::consts::PI;

/// What a channel measures.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Quantity {
    /// Time, in s.
    Time,
    /// Torque, in N·m.
    Torque,
    /// Bolt tension, in kN.
    Tension,
    /// Angle, in degrees.
    Angle,
    /// Voltage, in V.
    Voltage,
    /// Current, in A.
    Current,
}

/// A unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unit {
    /// What it measures.
    pub quantity: Quantity,
    /// Its symbol.
    pub symbol: &'static str,
    /// Its size in s, N·m, kN, degrees, V or A.
    pub size: f64,
}

/// Where a spelling counts as a unit.
#[derive(Clone, Copy, Debug, Eq, Ord, PartialEq, PartialOrd)]
enum Stands {
    /// Only in brackets, after a slash, or as a whole: elsewhere it may be a word or a name.
    Apart,
    /// Also as the last word.
    Last,
    /// As any word.
    Anywhere,
}

/// Units of one word, in lower case; what is a unit only with a small m is not met by a capital M.
const WORDS: &[(Quantity, &str, f64, Stands, &[&str])] = {
    use Quantity::*;
    use Stands::*;
    &[
        (Time, "s", 1.0, Last, &["s"]),
        (
            Time,
            "s",
            1.0,
            Last,
            &["sec", "secs", "second", "seconds", "sek"],
        ),
        (
            Time,
            "ms",
            1e-3,
            Anywhere,
            &["ms", "msec", "millisecond", "milliseconds"],
        ),
        (
            Time,
            "µs",
            1e-6,
            Anywhere,
            &["µs", "µsec", "usec", "microsecond", "microseconds"],
        ),
        (Time, "µs", 1e-6, Last, &["us"]),
        (Time, "min", 60.0, Apart, &["min"]),
        (Torque, "N·m", 1.0, Anywhere, &["nm"]),
        (Torque, "kN·m", 1e3, Anywhere, &["knm"]),
        (Torque, "daN·m", 10.0, Anywhere, &["danm"]),
        (Torque, "cN·m", 1e-2, Anywhere, &["cnm"]),
        (Torque, "mN·m", 1e-3, Anywhere, &["mnm"]),
        (
            Torque,
            "lbf·ft",
            POUND_FORCE_FOOT_NM,
            Anywhere,
            &["lbfft", "lbft", "lbsft", "ftlb", "ftlbs", "ftlbf"],
        ),
        (
            Torque,
            "lbf·in",
            POUND_FORCE_INCH_NM,
            Anywhere,
            &["lbfin", "lbin", "lbsin", "inlb", "inlbs", "inlbf"],
        ),
        (
            Torque,
            "kgf·m",
            KILOGRAM_FORCE_METRE_NM,
            Anywhere,
            &["kgfm", "kpm"],
        ),
        (
            Torque,
            "kgf·cm",
            KILOGRAM_FORCE_METRE_NM / 100.0,
            Anywhere,
            &["kgfcm", "kpcm"],
        ),
        (Tension, "kN", 1.0, Anywhere, &["kn"]),
        (Tension, "N", 1e-3, Apart, &["n"]),
        (Tension, "lbf", POUND_FORCE_N / 1e3, Apart, &["lbf"]),
        (
            Angle,
            "deg",
            1.0,
            Anywhere,
            &["deg", "degs", "degree", "degrees", "°", "º"],
        ),
        (Angle, "rad", 180.0 / PI, Apart, &["rad"]),
        (
            Angle,
            "rev",
            360.0,
            Apart,
            &["rev", "revs", "turn", "turns"],
        ),
        (Voltage, "V", 1.0, Apart, &["v", "volt", "volts"]),
        (Voltage, "mV", 1e-3, Anywhere, &["mv"]),
        (
            Current,
            "A",
            1.0,
            Apart,
            &["a", "amp", "amps", "ampere", "amperes"],
        ),
        (Current, "mA", 1e-3, Anywhere, &["ma"]),
    ]
};

/// Units of two words with a dot or one like it between them: a force and an arm, in either order.
const PAIRS: &[(&str, f64, &[&str], &[&str])] = &[
    ("N·m", 1.0, &["n", "newton"], METRE),
    ("kN·m", 1e3, &["kn"], METRE),
    ("daN·m", 10.0, &["dan"], METRE),
    ("cN·m", 1e-2, &["cn"], METRE),
    ("mN·m", 1e-3, &["mn"], METRE),
    ("lbf·ft", POUND_FORCE_FOOT_NM, POUND, FOOT),
    ("lbf·ft", POUND_FORCE_FOOT_NM, FOOT, POUND),
    ("lbf·in", POUND_FORCE_INCH_NM, POUND, INCH),
    ("lbf·in", POUND_FORCE_INCH_NM, INCH, POUND),
    ("ozf·in", POUND_FORCE_INCH_NM / 16.0, OUNCE, INCH),
    ("ozf·in", POUND_FORCE_INCH_NM / 16.0, INCH, OUNCE),
    ("kgf·m", KILOGRAM_FORCE_METRE_NM, KILOGRAM, METRE),
    ("kgf·cm", KILOGRAM_FORCE_METRE_NM / 100.0, KILOGRAM, &["cm"]),
];

const METRE: &[&str] = &["m", "metre", "metres", "meter", "meters"];
const FOOT: &[&str] = &["ft", "foot", "feet"];
const INCH: &[&str] = &["in", "inch", "inches"];
const POUND: &[&str] = &["lbf", "lb", "lbs", "pound", "pounds"];
const OUNCE: &[&str] = &["ozf", "oz"];
const KILOGRAM: &[&str] = &["kgf", "kg", "kp"];

/// Marks that multiply; a plain hyphen, underscore or point may stand for them.
const DOTS: &str = "·⋅•∙‧×*.-‐‑–_";

/// Words before or after which a unit is part of another one: a rate, a square.
const PER: &[&str] = &["per", "pro"];

/// Words for time before a slash.
const TIMES: &[&str] = &[
    "t", "time", "zeit", "temps", "tempo", "tiempo", "tijd", "tid",
];

/// The different units that stand in a header.
pub fn units_in(header: &str) -> Vec<Unit> {
    let words = words(header);
    let mut found: Vec<(usize, usize, Unit, Stands)> = Vec::new();
    for at in 0..words.len() {
        found.extend(pair_at(&words, at).map(|(unit, stands)| (at, at + 2, unit, stands)));
        found.extend(word_at(&words, at).map(|(unit, stands)| (at, at + 1, unit, stands)));
    }
    // What is part of a longer unit is none: the N of N·m.
    let spans: Vec<(usize, usize)> = found.iter().map(|found| (found.0, found.1)).collect();
    let longer = |from: usize, to: usize| {
        let within = |&(a, b): &(usize, usize)| a <= from && to <= b && b - a > to - from;
        spans.iter().any(within)
    };
    found.retain(|&(from, to, ..)| !longer(from, to));
    found.retain(|&(from, to, ..)| !is_part_of_another(&words, from, to));
    // Words that may be names count only where nothing plainer stands.
    let stands_apart = |&(from, to, ..): &(usize, usize, Unit, Stands)| apart(&words, from, to);
    if found.iter().any(stands_apart) {
        found.retain(|other| stands_apart(other) || other.3 == Stands::Anywhere);
    } else {
        found.retain(|&(_, to, _, stands)| {
            stands == Stands::Anywhere || stands == Stands::Last && to == words.len()
        });
    }
    let mut units: Vec<Unit> = Vec::new();
    for (_, _, unit, _) in found {
        if !units.iter().any(|other| other.symbol == unit.symbol) {
            units.push(unit);
        }
    }
    units
}

/// The unit that a text is, as a whole.
pub fn unit(text: &str) -> Option<Unit> {
    match units_in(&format!(
        "[{}]",
        text.trim().trim_matches(['[', ']', '(', ')'])
    ))
    .as_slice()
    {
        &[unit] if is_whole(text) => Some(unit),
        _ => None,
    }
}

/// The unit of this quantity that the last word of a header is, and how many letters it has: also
/// one that elsewhere may be a word or a name, such as the A of `Strom_A`.
pub fn last_word(quantity: Quantity, header: &str) -> Option<(Unit, usize)> {
    let words = words(header);
    let last = words.len().checked_sub(1).filter(|last| *last > 0)?;
    let (unit, _) = word_at(&words, last)?;
    let is_whole = words.get(last).is_some_and(|word| word.after.is_empty());
    let fits = unit.quantity == quantity && is_whole;
    let letters = words.get(last)?.text.chars().count();
    (fits && !is_part_of_another(&words, last, last + 1)).then_some((unit, letters))
}

/// Whether a text has no words beside one unit.
fn is_whole(text: &str) -> bool {
    let words = words(text);
    words.len() == 1 || words.len() == 2 && pair_at(&words, 0).is_some()
}

/// The symbols of a quantity's units, for messages.
pub fn symbols(quantity: Quantity) -> String {
    let mut symbols: Vec<&str> = Vec::new();
    let words = WORDS
        .iter()
        .filter(|word| word.0 == quantity)
        .map(|word| word.1);
    let pairs = PAIRS
        .iter()
        .filter(|_| quantity == Quantity::Torque)
        .map(|pair| pair.0);
    for symbol in words.chain(pairs) {
        if !symbols.contains(&symbol) {
            symbols.push(symbol);
        }
    }
    symbols.join(", ")
}

/// A word of a header and what stands between it and the one before.
struct Word {
    before: String,
    text: String,
    after: String,
}

fn words(header: &str) -> Vec<Word> {
    let mut words: Vec<Word> = Vec::new();
    let mut between = String::new();
    let mut inside = false;
    for c in header.chars() {
        // The micro sign and the Greek letter are one here.
        let c = if c == 'μ' { 'µ' } else { c };
        if c.is_alphanumeric() || c == '°' {
            if !inside {
                words.push(Word {
                    before: std::mem::take(&mut between),
                    text: String::new(),
                    after: String::new(),
                });
            }
            inside = true;
            if let Some(word) = words.last_mut() {
                word.text.push(c);
            }
        } else {
            inside = false;
            between.push(c);
            if let Some(word) = words.last_mut() {
                word.after.push(c);
            }
        }
    }
    words
}

/// The unit that the word at an index is.
fn word_at(words: &[Word], at: usize) -> Option<(Unit, Stands)> {
    let text = &words.get(at)?.text;
    let spelling = plain(text)?;
    let known =
        |word: &&(Quantity, &str, f64, Stands, &[&str])| word.4.contains(&spelling.as_str());
    let &(quantity, symbol, size, stands, _) = WORDS.iter().find(known)?;
    let unit = Unit {
        quantity,
        symbol,
        size,
    };
    // Among words in small letters a capital letter names a channel rather than a second.
    let small = |word: &Word| word.text.chars().any(char::is_lowercase);
    let is_name = text == "S" && words.iter().any(small);
    let stands = if is_name { Stands::Apart } else { stands };
    Some((unit, stands))
}

/// The unit that the two words from an index on are.
fn pair_at(words: &[Word], at: usize) -> Option<(Unit, Stands)> {
    let (first, second) = (words.get(at)?, words.get(at + 1)?);
    let (force, arm) = (plain(&first.text)?, plain(&second.text)?);
    let joint = second.before.trim();
    let is_dot = joint.chars().count() == 1 && joint.chars().all(|c| DOTS.contains(c));
    if !is_dot && !joint.is_empty() {
        return None;
    }
    let fits = |pair: &&(&str, f64, &[&str], &[&str])| {
        pair.2.contains(&force.as_str()) && pair.3.contains(&arm.as_str())
    };
    let &(symbol, size, ..) = PAIRS.iter().find(fits)?;
    // "in lb" is inch and pound in brackets, but may be a plain "in" before a weight elsewhere.
    let stands = match is_dot || force != "in" {
        true => Stands::Anywhere,
        false => Stands::Apart,
    };
    let unit = Unit {
        quantity: Quantity::Torque,
        symbol,
        size,
    };
    Some((unit, stands))
}

/// A spelling in lower case; `None` where a capital M would make milli of mega.
fn plain(text: &str) -> Option<String> {
    let lower = text.to_lowercase();
    let short = text.chars().count() <= 3 && text.chars().any(char::is_lowercase);
    let mega = text.starts_with('M') && (short || lower.starts_with("mn"));
    (!mega).then_some(lower)
}

/// Whether the words from one index to another are only a part of a unit: of a rate, a square, a
/// temperature.
fn is_part_of_another(words: &[Word], from: usize, to: usize) -> bool {
    let text = |at: Option<usize>| {
        let word = at.and_then(|at| words.get(at));
        word.map(|word| word.text.to_lowercase())
            .unwrap_or_default()
    };
    let (before, after) = (text(from.checked_sub(1)), text(Some(to)));
    let (ahead, behind) = around(words, from, to);
    let unit_before = from.checked_sub(1).and_then(|at| word_at(words, at));
    let is_time = word_at(words, from).is_some_and(|(unit, _)| unit.quantity == Quantity::Time);
    // "t/s" is a time in seconds, "deg/s", "1/s" and "U/min" are rates.
    let divided = ahead.ends_with('/')
        && (unit_before.is_some()
            || before.starts_with(|c: char| c.is_ascii_digit())
            || is_time && !TIMES.contains(&before.as_str()));
    let first = text(Some(from));
    divided
        || behind.starts_with(['/', '^', '*', '·', '⋅', '×'])
        || ahead.ends_with(['*', '·', '⋅', '×'])
        || PER.contains(&before.as_str())
        || PER.contains(&after.as_str())
        || (first.starts_with("deg") || first == "°") && ["c", "f"].contains(&after.as_str())
}

/// The signs before and behind the words from one index to another.
fn around(words: &[Word], from: usize, to: usize) -> (&str, &str) {
    let first = words.get(from);
    let last = to.checked_sub(1).and_then(|last| words.get(last));
    (
        first.map(|word| word.before.trim_end()).unwrap_or_default(),
        last.map(|word| word.after.trim_start()).unwrap_or_default(),
    )
}

/// Whether the words from one index to another stand in brackets or behind a slash by themselves,
/// or are all there is.
fn apart(words: &[Word], from: usize, to: usize) -> bool {
    let (ahead, behind) = around(words, from, to);
    let bracketed = ahead.ends_with(['[', '(', '{']) && behind.starts_with([']', ')', '}']);
    let ends = to == words.len() && behind.is_empty();
    bracketed || ends && (ahead.ends_with(['/', ',']) || from == 0)
}

#[cfg(test)]
mod tests;
