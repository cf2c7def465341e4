//! What an answer rests on, and its verdict.

use crate::cells::{Cell, Cells};
use serde::Serialize;

/// What an answer rests on. The words are codes and do not change with the language.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "lowercase")]
pub enum Basis {
    /// Counted runs.
    Measured,
    /// Runs of the same tool and the same pack, each with others.
    Estimate,
    /// Nothing.
    #[default]
    None,
}

impl Basis {
    /// Its code, as JSON writes it.
    pub fn code(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::Estimate => "estimate",
            Self::None => "none",
        }
    }
}

impl Cells for Basis {
    fn cells<'a>(&'a self, take: &mut dyn FnMut(Cell<'a>)) {
        take(Cell::Text(self.code()));
    }
}

/// A verdict. The words are codes and do not change with the language.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub enum Verdict {
    /// At least 95 of 100 tries reach the job.
    #[serde(rename = "within reach")]
    WithinReach,
    /// At least 50 of 100.
    #[serde(rename = "borderline")]
    Borderline,
    /// Fewer.
    #[serde(rename = "out of reach")]
    OutOfReach,
    /// Too few runs to say.
    #[serde(rename = "too few runs to say")]
    TooFewRuns,
}

impl Verdict {
    /// Its code, as JSON writes it.
    pub fn code(self) -> &'static str {
        match self {
            Self::WithinReach => "within reach",
            Self::Borderline => "borderline",
            Self::OutOfReach => "out of reach",
            Self::TooFewRuns => "too few runs to say",
        }
    }

    /// Whether a measured pair counts as reaching the job: by the verdict; where there are too few
    /// runs to say, by whether its typical run reaches it in time.
    pub fn counts(self, typical_run_reaches: bool) -> bool {
        match self {
            Self::TooFewRuns => typical_run_reaches,
            verdict => verdict == Self::WithinReach,
        }
    }
}

impl Cells for Option<Verdict> {
    fn cells<'a>(&'a self, take: &mut dyn FnMut(Cell<'a>)) {
        take(Cell::Text(self.map_or("", Verdict::code)));
    }
}

#[cfg(test)]
#[cfg(not(target_arch = "wasm32"))]
mod tests {
    use super::*;

    #[test]
    fn codes_are_as_in_json() {
        for one in [Basis::Measured, Basis::Estimate, Basis::None] {
            assert_eq!(serde_json::to_value(one).unwrap(), one.code());
        }
        for verdict in [
            Verdict::WithinReach,
            Verdict::Borderline,
            Verdict::OutOfReach,
            Verdict::TooFewRuns,
        ] {
            assert_eq!(serde_json::to_value(verdict).unwrap(), verdict.code());
        }
    }
}
