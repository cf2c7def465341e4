//! What to bear in mind, as codes and as sentences.

use super::catalogue::Catalogue;

/// A reason to read an answer with care.
#[derive(Clone, Debug, PartialEq)]
pub enum Warning {
    /// Only one run of the pair counts.
    OneRun,
    /// Only one specimen of the tool was run; others are known to vary by this many per cent.
    OneTool(f64),
    /// This many runs were cut short.
    Short(u32),
    /// This many runs have no quiet start.
    NoQuiet(u32),
    /// Logged only this many times a second.
    SlowSampling(u32),
    /// The torque lies beyond the joint's measured line.
    BeyondJointLine,
    /// No calibration was in force on the day of some counted run.
    NoCalibration,
    /// The control run of this day, `YYYY-MM-DD`, was off.
    SuspectDay(String),
    /// The pack was not full at the start.
    PackNotFull,
    /// The pack of this many runs was not full, by what runs of that pack start with.
    PacksNotFull(u32),
    /// A tool tested was lent, by whom.
    Lent(Option<String>),
    /// A tool tested was given, by whom.
    Given(Option<String>),
    /// Corrected in this edition.
    Corrected(u32),
    /// Last sold in this month, `YYYY-MM`.
    Discontinued(String),
    /// Torque is worked out from bolt tension.
    BoltTension,
    /// Loosening is asked for and the runs turned forward.
    ForwardOnly,
}

impl Warning {
    /// Whether it says what tools were tested and how, and not why to read this result with care.
    pub fn is_remark(&self) -> bool {
        match self {
            Self::OneTool(_)
            | Self::BeyondJointLine
            | Self::Lent(_)
            | Self::Given(_)
            | Self::BoltTension
            | Self::ForwardOnly => true,
            Self::OneRun
            | Self::Short(_)
            | Self::NoQuiet(_)
            | Self::SlowSampling(_)
            | Self::NoCalibration
            | Self::SuspectDay(_)
            | Self::PackNotFull
            | Self::PacksNotFull(_)
            | Self::Corrected(_)
            | Self::Discontinued(_) => false,
        }
    }

    /// The warning in words.
    pub fn words(&self, catalogue: &Catalogue) -> String {
        match self {
            Self::OneRun => catalogue.fill("warning.one_run", &[]),
            Self::OneTool(percent) => {
                let percent = crate::text::percent(catalogue, *percent);
                catalogue.fill("warning.one_tool", &[("percent", &percent)])
            }
            Self::Short(runs) => catalogue.fill_plural("warning.short_run", (*runs).into(), &[]),
            Self::NoQuiet(runs) => catalogue.fill_plural("warning.no_quiet", (*runs).into(), &[]),
            Self::SlowSampling(rate) => {
                let rate = crate::text::number::count((*rate).into(), &catalogue.number);
                catalogue.fill("warning.slow_sampling", &[("rate", &rate)])
            }
            Self::BeyondJointLine => catalogue.fill("warning.joint_extended", &[]),
            Self::NoCalibration => catalogue.fill("warning.no_calibration", &[]),
            Self::SuspectDay(date) => suspect_day(catalogue, date),
            Self::PackNotFull => catalogue.fill("warning.pack_not_full", &[]),
            Self::PacksNotFull(runs) => {
                catalogue.fill_plural("warning.packs_not_full", (*runs).into(), &[])
            }
            Self::Lent(None) => catalogue.fill("warning.lent", &[]),
            Self::Lent(Some(from)) => catalogue.fill("warning.lent_by", &[("from", from)]),
            Self::Given(None) => catalogue.fill("warning.given", &[]),
            Self::Given(Some(from)) => catalogue.fill("warning.given_by", &[("from", from)]),
            Self::Corrected(edition) => corrected(catalogue, *edition),
            Self::Discontinued(month) => {
                catalogue.fill("warning.discontinued", &[("date", &catalogue.date(month))])
            }
            Self::BoltTension => catalogue.fill("warning.bolt_tension", &[]),
            Self::ForwardOnly => catalogue.fill("warning.forward_only", &[]),
        }
    }
}

/// The control run of a day was off.
pub(crate) fn suspect_day(catalogue: &Catalogue, date: &str) -> String {
    catalogue.fill("warning.suspect_day", &[("date", &catalogue.date(date))])
}

/// An edition corrected earlier results.
pub(crate) fn corrected(catalogue: &Catalogue, edition: u32) -> String {
    catalogue.fill("warning.corrected", &[("edition", &edition.to_string())])
}
