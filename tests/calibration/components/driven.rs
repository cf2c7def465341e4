//! Fields in which nearly all scatter is that of one component, so that few of them show whether an
//! interval allows for it.

use super::scenario::{Days, FIELD, Percent, Scenario, checks};
use crate::tally::Compared;

/// Runs repeat well; nothing else differs.
const STILL: Percent = Percent {
    run: 0.3,
    specimen: 0.0,
    unit: 0.0,
    day: 0.0,
    calibration: 0.0,
};

/// A field unless said otherwise: two tools and eight packs, one of each, every pair in three runs.
const PLAIN: Scenario = Scenario {
    tools: 2,
    packs: 8,
    missing: 0.0,
    runs: (3, 3),
    percent: STILL,
    specimens: (0, 1),
    ..FIELD
};

/// As many tools as there were packs.
const TOOLS: Scenario = Scenario {
    tools: 8,
    packs: 2,
    ..PLAIN
};

/// The scenarios, and what is compared in each. A component differs by what is assumed of it where
/// nothing in the field can show it, and by more where it can.
pub const DRIVEN: [(Scenario, Compared); 6] = [
    (
        Scenario {
            name: "days differ by what is assumed",
            percent: Percent { day: 1.0, ..STILL },
            days: Days::Packs,
            ..PLAIN
        },
        Compared::PacksAsTested,
    ),
    (
        Scenario {
            name: "days differ by more, and check runs show it",
            percent: Percent { day: 3.0, ..STILL },
            days: Days::Packs,
            checks: checks(3),
            ..PLAIN
        },
        Compared::PacksAsTested,
    ),
    (
        Scenario {
            name: "pack units differ by what is assumed",
            percent: Percent { unit: 2.0, ..STILL },
            ..PLAIN
        },
        Compared::PacksOfKinds,
    ),
    (
        Scenario {
            name: "pack units differ by more, and second units show it",
            percent: Percent { unit: 5.0, ..STILL },
            second_units: 8,
            ..PLAIN
        },
        Compared::PacksOfKinds,
    ),
    (
        Scenario {
            name: "tool specimens differ by what is assumed",
            percent: Percent {
                specimen: 3.5,
                ..STILL
            },
            ..TOOLS
        },
        Compared::ToolsOfKinds,
    ),
    (
        Scenario {
            name: "tool specimens differ by more, and second specimens show it",
            percent: Percent {
                specimen: 7.0,
                ..STILL
            },
            specimens: (8, 2),
            ..TOOLS
        },
        Compared::ToolsOfKinds,
    ),
];
