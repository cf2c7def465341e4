//! Why a text is no bolt, and what would be one.

use crate::bolt::{LIMITS, ParseBoltError, SIZES, Size, System, Thread, classes};
use crate::escape::echoed;
use crate::text::catalogue::Catalogue;
use crate::text::number;

/// A bolt that reads well, for someone whose text does not.
const EXAMPLE: &str = "M20 10.9";

/// Why a text is no bolt, for whoever wrote it.
pub fn refused(error: &ParseBoltError, catalogue: &Catalogue) -> String {
    let of_size = |size: &'static Size| {
        size.threads()
            .next()
            .as_ref()
            .map_or_else(String::new, example)
    };
    match error {
        ParseBoltError::NotAThread | ParseBoltError::UnknownThread => no_thread(catalogue),
        ParseBoltError::UnknownPitch(size) => {
            let values = [("thread", size.name), ("threads", &all_threads(size))];
            catalogue.fill("error.bolt_pitch", &values)
        }
        ParseBoltError::NoClass(thread) => {
            let (example, classes) = (example(thread), all_classes(thread.size()));
            let values = [("example", example.as_str()), ("classes", &classes)];
            catalogue.fill("error.bolt_no_class", &values)
        }
        ParseBoltError::UnknownClass(size) => {
            let (example, classes) = (of_size(size), all_classes(size));
            let values = [
                ("thread", size.name),
                ("classes", &classes),
                ("example", &example),
            ];
            catalogue.fill("error.bolt_class", &values)
        }
        ParseBoltError::BeyondLimits(_) => beyond_limits(catalogue),
        ParseBoltError::NotUnderstood(piece) => {
            let values = [("piece", &*echoed(piece)), ("example", EXAMPLE)];
            catalogue.fill("error.bolt_piece", &values)
        }
    }
}

/// The smallest and the largest threads there are.
fn no_thread(catalogue: &Catalogue) -> String {
    let name = |system, last| {
        let mut sizes = SIZES.iter().filter(|size| size.system == system);
        let size = if last {
            sizes.next_back()
        } else {
            sizes.next()
        };
        size.map_or("", |size| size.name)
    };
    let values = [
        ("smallest", name(System::Metric, false)),
        ("largest", name(System::Metric, true)),
        ("low", name(System::Inch, false)),
        ("high", name(System::Inch, true)),
    ];
    catalogue.fill("error.bolt_thread", &values)
}

/// The limits of the numbers that are taken.
fn beyond_limits(catalogue: &Catalogue) -> String {
    let number =
        |thousandths: u32| number::given(f64::from(thousandths) / 1000.0, &catalogue.number);
    let range = |[low, high]: [u32; 2]| {
        let (low, high) = (number(low), number(high));
        catalogue.fill("range", &[("low", &low), ("high", &high)])
    };
    let values = [
        ("factor", range(LIMITS.nut_factor)),
        ("coefficient", range(LIMITS.coefficient)),
        ("percent", range(LIMITS.percent)),
    ];
    let values = values.each_ref().map(|(name, text)| (*name, text.as_str()));
    catalogue.fill("error.bolt_limits", &values)
}

/// What there is instead of what was written, for whoever reads the problem and not its message.
pub fn wanted(error: &ParseBoltError) -> String {
    match error {
        ParseBoltError::NotAThread | ParseBoltError::UnknownThread => {
            let names: Vec<&str> = SIZES.iter().map(|size| size.name).collect();
            format!("a thread: {}", names.join(", "))
        }
        ParseBoltError::UnknownPitch(size) => format!("a thread: {}", all_threads(size)),
        ParseBoltError::NoClass(thread) => all_classes(thread.size()),
        ParseBoltError::UnknownClass(size) => all_classes(size),
        ParseBoltError::BeyondLimits(_) => "a number that bolts have".to_owned(),
        ParseBoltError::NotUnderstood(_) => format!("a bolt such as {EXAMPLE}"),
    }
}

/// The classes or grades of a size.
fn all_classes(size: &Size) -> String {
    let names: Vec<&str> = classes(size).map(|class| class.name).collect();
    names.join(", ")
}

/// The threads of a size.
fn all_threads(size: &'static Size) -> String {
    let names = size.threads().map(|thread| thread.name());
    names.collect::<Vec<_>>().join(", ")
}

/// A thread with a class it has, as it may be written.
fn example(thread: &Thread) -> String {
    match thread.size().system {
        System::Metric => format!("{} 10.9", thread.name()),
        System::Inch => format!("{} grade 8", thread.name()),
    }
}
