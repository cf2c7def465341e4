//! The fields of the full run: those that a file describes rightly, and those that it cannot.

use super::scenario::{CLEAN, Days, FIELD, Percent, Scenario, checks};

/// What may be expected where nothing is known.
const TYPICAL: Percent = Percent {
    specimen: 3.5,
    unit: 2.0,
    day: 1.0,
    ..CLEAN
};

/// Days that differ.
const fn day(percent: f64) -> Percent {
    Percent {
        day: percent,
        ..CLEAN
    }
}

/// Pack units that differ.
const fn unit(percent: f64) -> Percent {
    Percent {
        unit: percent,
        ..CLEAN
    }
}

/// Tool specimens that differ.
const fn specimen(percent: f64) -> Percent {
    Percent {
        specimen: percent,
        ..CLEAN
    }
}

/// Packs on days of their own.
const PACKS_ON_DAYS: Scenario = Scenario {
    name: "packs on own day 1.5 %",
    percent: day(1.5),
    days: Days::Packs,
    honest: false,
    ..FIELD
};

/// Tools on days of their own.
const TOOLS_ON_DAYS: Scenario = Scenario {
    name: "tools on own day 3 %",
    percent: day(3.0),
    days: Days::Tools,
    honest: false,
    ..FIELD
};

/// Pack units that differ more than is assumed, one of each.
const UNITS: Scenario = Scenario {
    name: "pack units 5 %, one of each",
    percent: unit(5.0),
    honest: false,
    ..FIELD
};

/// Tools of one specimen.
const ONE_SPECIMEN: Scenario = Scenario {
    name: "one specimen of each, 3.5 %",
    percent: specimen(3.5),
    specimens: (0, 1),
    ..FIELD
};

/// Everything at once.
const ALL: Scenario = Scenario {
    name: "all: two runs, one specimen 5 %, packs on own day 1.5 %, units 3 %, heavy tails",
    runs: (2, 2),
    percent: Percent {
        specimen: 5.0,
        unit: 3.0,
        day: 1.5,
        ..CLEAN
    },
    specimens: (0, 1),
    days: Days::Packs,
    heavy_tails: true,
    honest: false,
    ..FIELD
};

/// A field as small as can be told apart.
const SMALL: Scenario = Scenario {
    name: "small: 3 tools, 2 packs, 3 runs",
    tools: 3,
    packs: 2,
    missing: 0.0,
    runs: (3, 3),
    specimens: (0, 1),
    ..FIELD
};

/// Packs that differ by exactly the margin, run by runs that scatter little.
const MARGIN: Scenario = Scenario {
    name: "margin: runs 1 %, five of each",
    percent: Percent { run: 1.0, ..CLEAN },
    runs: (5, 5),
    at_margin: true,
    ..FIELD
};

/// All scenarios of the full run.
pub const SCENARIOS: [Scenario; 35] = [
    FIELD,
    Scenario {
        name: "clean, 3 checks a day, second units of two packs",
        checks: checks(3),
        second_units: 2,
        ..FIELD
    },
    Scenario {
        name: "typical: specimens 3.5, units 2, days 1 %, one of each",
        percent: TYPICAL,
        specimens: (0, 1),
        days: Days::Tools,
        ..FIELD
    },
    Scenario {
        name: "typical, three specimens of three tools, 3 checks, second units of two packs",
        percent: TYPICAL,
        days: Days::Tools,
        checks: checks(3),
        second_units: 2,
        ..FIELD
    },
    PACKS_ON_DAYS,
    Scenario {
        name: "packs on own day 1.5 %, 1 check",
        checks: checks(1),
        ..PACKS_ON_DAYS
    },
    Scenario {
        name: "packs on own day 1.5 %, 3 checks",
        checks: checks(3),
        honest: true,
        ..PACKS_ON_DAYS
    },
    Scenario {
        name: "packs on own day 1.5 %, 3 checks, second units of two packs",
        checks: checks(3),
        second_units: 2,
        honest: true,
        ..PACKS_ON_DAYS
    },
    Scenario {
        name: "pairs on own day 1.5 %, 2 checks",
        days: Days::Pairs,
        checks: checks(2),
        honest: true,
        ..PACKS_ON_DAYS
    },
    Scenario {
        name: "tools on own day 1.5 %",
        days: Days::Tools,
        honest: true,
        ..PACKS_ON_DAYS
    },
    Scenario {
        name: "tools on own day 1.5 %, 3 checks",
        days: Days::Tools,
        checks: checks(3),
        honest: true,
        ..PACKS_ON_DAYS
    },
    TOOLS_ON_DAYS,
    Scenario {
        name: "tools on own day 3 %, 3 checks",
        checks: checks(3),
        ..TOOLS_ON_DAYS
    },
    Scenario {
        name: "tools over two days 3 %",
        days: Days::ToolsOverTwo,
        ..TOOLS_ON_DAYS
    },
    Scenario {
        name: "pack units 3 %, one of each",
        percent: unit(3.0),
        ..UNITS
    },
    Scenario {
        name: "pack units 3 %, two of two packs",
        percent: unit(3.0),
        second_units: 2,
        ..UNITS
    },
    UNITS,
    Scenario {
        name: "pack units 5 %, two of two packs",
        second_units: 2,
        ..UNITS
    },
    Scenario {
        name: "pack units 5 %, two of all packs",
        second_units: 5,
        ..UNITS
    },
    Scenario {
        name: "pack units 5 %, one of each, stated to differ by 4 %",
        units_stated: Some(4.0),
        honest: true,
        ..UNITS
    },
    Scenario {
        name: "pack units 5 %, two of two packs, stated to differ by 4 %",
        second_units: 2,
        units_stated: Some(4.0),
        honest: true,
        ..UNITS
    },
    ONE_SPECIMEN,
    Scenario {
        name: "one specimen of each, 5 %",
        percent: specimen(5.0),
        honest: false,
        ..ONE_SPECIMEN
    },
    Scenario {
        name: "two specimens of two tools, 5 %",
        percent: specimen(5.0),
        specimens: (2, 2),
        honest: false,
        ..ONE_SPECIMEN
    },
    Scenario {
        name: "two runs",
        runs: (2, 2),
        ..FIELD
    },
    Scenario {
        name: "heavy tails",
        heavy_tails: true,
        ..FIELD
    },
    Scenario {
        name: "one run in five cut short",
        cut: 0.2,
        honest: false,
        ..FIELD
    },
    ALL,
    Scenario {
        name: "all, 3 checks, two specimens and units of two tools and packs",
        specimens: (2, 2),
        checks: checks(3),
        second_units: 2,
        ..ALL
    },
    SMALL,
    Scenario {
        name: "small, specimens 3.5, units 2, days 1 %",
        percent: TYPICAL,
        days: Days::Tools,
        ..SMALL
    },
    MARGIN,
    Scenario {
        name: "margin, units 3 %, one of each",
        percent: Percent {
            run: 1.0,
            ..unit(3.0)
        },
        honest: false,
        ..MARGIN
    },
    Scenario {
        name: "margin, units 3 %, two of all packs",
        percent: Percent {
            run: 1.0,
            ..unit(3.0)
        },
        second_units: 5,
        honest: false,
        ..MARGIN
    },
    Scenario {
        name: "margin, packs on own day 1.5 %, 3 checks, two units of all packs",
        percent: Percent {
            run: 1.0,
            ..day(1.5)
        },
        days: Days::Packs,
        checks: checks(3),
        second_units: 5,
        ..MARGIN
    },
];
