//! In which formats clocks and dates can be read.

use crate::logs::stamps::Stamps;

const DATES: [&str; 10] = [
    "", "%Y-%m-%d", "%Y/%m/%d", "%Y.%m.%d", "%Y%m%d", "%d.%m.%Y", "%d/%m/%Y", "%m/%d/%Y",
    "%d-%m-%Y", "%m-%d-%Y",
];

const CLOCKS: [&str; 4] = [
    "%H:%M:%S%.f",
    "%H:%M:%S,%f",
    "%H:%M:%S:%f",
    "%I:%M:%S%.f %p",
];

const ZONES: [&str; 4] = ["", "Z", "%:z", "%z"];

/// Every usual format that reads all these texts.
pub(super) fn formats(texts: &[&str]) -> Vec<String> {
    let mut formats = Vec::new();
    for date in DATES {
        for between in if date.is_empty() {
            &[""][..]
        } else {
            &[" ", "T"]
        } {
            for clock in CLOCKS {
                for zone in ZONES {
                    formats.push(format!("{date}{between}{clock}{zone}"));
                }
            }
        }
    }
    let reads_all = |format: &String| {
        let stamps = Stamps::new(format);
        stamps.is_ok_and(|stamps| texts.iter().all(|text| stamps.reads(text)))
    };
    // Most formats fail at the first text.
    let first = texts.first().copied().unwrap_or_default();
    formats.retain(|format| Stamps::new(format).is_ok_and(|stamps| stamps.reads(first)));
    formats.retain(reads_all);
    formats
}

/// Whether a text looks like a clock, or a date with one.
pub(super) fn is_stamp(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_digit())
        && text.matches(':').count() >= 2
        && text
            .chars()
            .all(|c| c.is_ascii_digit() || "-/.,:+ TZAPMapm".contains(c))
}
