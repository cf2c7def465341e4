//! Times of samples: as numbers in a unit, as clocks, as dates with clocks, or by a rate.

use super::choices::Choices;
use super::decimal::Decimal;

/// What a time must be read as.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wanted {
    pub time_us: i64,
    /// By how much it may differ: 0 where doubles hold it exactly.
    pub within_us: i64,
}

impl Wanted {
    fn exact(time_us: i64) -> Self {
        Self {
            time_us,
            within_us: 0,
        }
    }

    /// The whole number nearest to `numerator` / `denominator`, whose distance to it is at most a half.
    fn nearest(numerator: i128, denominator: i128) -> Self {
        let twice = 2 * numerator.abs() + denominator;
        let whole = twice / (2 * denominator);
        let time_us = i64::try_from(if numerator < 0 { -whole } else { whole }).unwrap();
        let remainder = numerator.abs() % denominator;
        // Seconds as a double, times 10^6, are off by a few of its last places.
        let error = 1e-3 + 5e-16 * (time_us as f64).abs();
        let is_tie = (remainder as f64 / denominator as f64 - 0.5).abs() < error;
        // A double of seconds holds microseconds up to some 30 years.
        let is_large = time_us.abs() > 1_000_000_000_000_000;
        Self {
            time_us,
            within_us: if is_large { 4 } else { i64::from(is_tie) },
        }
    }
}

/// A factor of the block: its text in TOML and its value as a fraction.
#[derive(Clone, Copy, Debug)]
pub struct Factor {
    pub text: &'static str,
    pub numerator: i64,
    pub denominator: i64,
}

pub const FACTORS: &[Factor] = &[
    Factor {
        text: "2",
        numerator: 2,
        denominator: 1,
    },
    Factor {
        text: "0.5",
        numerator: 1,
        denominator: 2,
    },
    Factor {
        text: "-1",
        numerator: -1,
        denominator: 1,
    },
    Factor {
        text: "1e-3",
        numerator: 1,
        denominator: 1_000,
    },
    Factor {
        text: "-0.125",
        numerator: -1,
        denominator: 8,
    },
    Factor {
        text: "1000.0",
        numerator: 1_000,
        denominator: 1,
    },
    Factor {
        text: "4.4482216",
        numerator: 44_482_216,
        denominator: 10_000_000,
    },
];

impl Factor {
    pub const ONE: Self = Self {
        text: "1",
        numerator: 1,
        denominator: 1,
    };

    pub fn value(self) -> f64 {
        self.numerator as f64 / self.denominator as f64
    }
}

/// Numbers in a unit of so many microseconds, times a factor; steps are even if `even`.
pub fn numbers(
    choices: &mut Choices,
    count: usize,
    unit_us: i64,
    factor: Factor,
    even: bool,
) -> (Vec<Decimal>, Vec<Wanted>) {
    let places = choices.one(&[3, 0, 1, 6, 9]);
    let ten: i64 = 10_i64.pow(places as u32);
    let start = choices.one(&[0, -1, 7, -12_345, 1_700_000_000_123]);
    let step = choices.one(&[5, 1, 3, 250, 100_000]);
    let least = i128::from(unit_us) * i128::from(factor.numerator);
    let per = i128::from(ten) * i128::from(factor.denominator);
    // Times of 10^10 s and more are refused.
    let is_small = |digits: i64| i128::from(digits) * least < 4_000_000_000_000_000 * per;
    let start = if is_small(start) { start } else { 7 };
    let step = if is_small(step * 40 * count as i64) {
        step
    } else {
        1
    };
    // Even steps are so long that rounding to microseconds does not move the middle of a rest.
    let shortest = if even { 10 * per } else { per };
    let step = step.max(i64::try_from((shortest + least - 1) / least).unwrap());
    let mut at = start;
    let (mut texts, mut wanted) = (Vec::new(), Vec::new());
    for _ in 0..count {
        texts.push(Decimal {
            negative: at < 0,
            digits: at.unsigned_abs(),
            places,
        });
        wanted.push(Wanted::nearest(i128::from(at) * least, per));
        at += step * if even { 1 } else { choices.one(&[1, 0, 2, 40]) };
    }
    (texts, wanted)
}

/// Samples a second.
pub fn rate(choices: &mut Choices, count: usize) -> (&'static str, Vec<Wanted>) {
    let (text, numerator, denominator) = choices.one(&[
        ("1000", 1_000, 1),
        ("250.0", 250, 1),
        ("3", 3, 1),
        ("0.5", 1, 2),
        ("44100", 44_100, 1),
        ("1e6", 1_000_000, 1),
        ("33.333", 33_333, 1_000),
    ]);
    let at = |i: usize| Wanted::nearest(i as i128 * 1_000_000 * denominator, numerator);
    (text, (0..count).map(at).collect())
}

/// Year, month and day, and those of the day after.
type Days = [(u32, u32, u32); 2];

const DAYS: [Days; 4] = [
    [(2026, 5, 4), (2026, 5, 5)],
    [(2026, 2, 28), (2026, 3, 1)],
    [(2028, 2, 29), (2028, 3, 1)],
    [(2026, 12, 31), (2027, 1, 1)],
];

const DATES: [&str; 8] = [
    "%Y-%m-%d", "%d.%m.%Y", "%m/%d/%Y", "%Y%m%d", "%Y/%m/%d", "%d-%b-%Y", "%d.%m.%y", "%Y.%m.%d",
];

const CLOCKS: [&str; 7] = [
    "%H:%M:%S%.f",
    "%H:%M:%S,%f",
    "%H:%M:%S:%f",
    "%H:%M:%S",
    "%I:%M:%S%.f %p",
    "%H%M%S%.f",
    "%Hh%Mm%S%.fs",
];

const ZONES: [&str; 5] = ["", "Z", "%:z", " %z", " UTC"];

const MONTHS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

/// Clocks, with dates if `dated`: format, fields, times.
pub fn stamps(
    choices: &mut Choices,
    count: usize,
    dated: bool,
    even: bool,
    no_blanks: bool,
) -> (String, Vec<String>, Vec<Wanted>) {
    let blank = |text: &&str| !no_blanks || !text.contains(' ');
    let of = |all: &[&'static str]| all.iter().copied().filter(blank).collect::<Vec<_>>();
    let clock = choices.one(&of(&CLOCKS));
    let zone = if dated { choices.one(&of(&ZONES)) } else { "" };
    let date = if dated { choices.one(&DATES) } else { "" };
    let between = if dated {
        choices.one(&of(&["T", " ", "_"]))
    } else {
        ""
    };
    let format = format!("{date}{between}{clock}{zone}");
    let days = choices.one(&DAYS);
    let whole = clock == "%H:%M:%S";
    let places = choices.one(&[3, 6, 9, 1]);
    let unit_ns: i64 = if whole {
        1_000_000_000
    } else {
        10_i64.pow(9 - places)
    };
    let start_s = choices.one(&[49_512, 0, 86_399, 43_199, 86_398]);
    let start = start_s * (1_000_000_000 / unit_ns);
    let step = choices
        .one(&[5, 1, 20, 100])
        .min(if whole { 20 } else { 100 });
    let step = step.max(if even { 10_000 / unit_ns } else { 1 });
    let mut at = start;
    let (mut texts, mut wanted) = (Vec::new(), Vec::new());
    for _ in 0..count {
        let ns = at * unit_ns;
        let (day, of_day) = ((ns / 86_400_000_000_000) as usize, ns % 86_400_000_000_000);
        let (second, fraction) = (of_day / 1_000_000_000, of_day % 1_000_000_000);
        let (h, m, s) = (second / 3600, second / 60 % 60, second % 60);
        let (year, month, dom) = days[day.min(1)];
        let digits = format!("{fraction:09}");
        let digits = &digits[..places as usize];
        let text = format
            .replace("%Y", &format!("{year}"))
            .replace("%y", &format!("{:02}", year % 100))
            .replace("%b", MONTHS[month as usize - 1])
            .replace("%m", &format!("{month:02}"))
            .replace("%d", &format!("{dom:02}"))
            .replace("%H", &format!("{h:02}"))
            .replace(
                "%I",
                &format!("{:02}", if h % 12 == 0 { 12 } else { h % 12 }),
            )
            .replace("%M", &format!("{m:02}"))
            .replace("%S", &format!("{s:02}"))
            .replace("%.f", &format!(".{digits}"))
            .replace("%f", digits)
            .replace("%p", if h < 12 { "AM" } else { "PM" })
            .replace("%:z", "+02:00")
            .replace("%z", "-0330");
        texts.push(text);
        wanted.push(Wanted::exact((ns + 500) / 1_000));
        at += step * if even { 1 } else { choices.one(&[1, 0, 2, 40]) };
    }
    (format, texts, wanted)
}
