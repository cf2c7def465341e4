//! What a tester's field is like: how much specimens, pack units, days and runs scatter, and which of
//! them the tester told apart.

/// Scatter of the logarithm of torque, each one standard deviation in per cent.
#[derive(Clone, Copy, Debug)]
pub struct Percent {
    /// From run to run, in the middle over tools.
    pub run: f64,
    /// Between tool specimens of one kind.
    pub specimen: f64,
    /// Between pack units of one kind.
    pub unit: f64,
    /// From day to day.
    pub day: f64,
    /// Standard uncertainty of the rig's calibration; stated in the file if above 0.
    pub calibration: f64,
}

/// Which runs have a day of their own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Days {
    /// All runs on one day.
    One,
    /// Each pack.
    Packs,
    /// Each pair.
    Pairs,
    /// Each tool.
    Tools,
    /// Each tool has two, by turns.
    ToolsOverTwo,
}

/// Check runs on every day.
#[derive(Clone, Copy, Debug)]
pub struct Checks {
    /// How many a day.
    pub a_day: usize,
    /// Run scatter, in per cent, of a tool that serves the check alone; the first pair's tool and
    /// scatter if absent.
    pub own_tool: Option<f64>,
}

/// A field and how it was measured.
#[derive(Clone, Copy, Debug)]
pub struct Scenario {
    /// In words.
    pub name: &'static str,
    /// Tools.
    pub tools: usize,
    /// Packs.
    pub packs: usize,
    /// Share of the pairs that nobody ran.
    pub missing: f64,
    /// Runs of a pair and specimen: fewest and most.
    pub runs: (usize, usize),
    /// Scatter.
    pub percent: Percent,
    /// So many tools were run in so many specimens.
    pub specimens: (usize, usize),
    /// How many packs have two units, used by turns.
    pub second_units: usize,
    /// Days.
    pub days: Days,
    /// Check runs.
    pub checks: Checks,
    /// Whether runs scatter as t with three degrees of freedom, of the same variance.
    pub heavy_tails: bool,
    /// Share of the runs whose log ends early.
    pub cut: f64,
    /// Whether neighbouring packs differ by exactly [`MARGIN_PERCENT`], on every tool.
    pub at_margin: bool,
    /// Whether what the file says and shows of every scatter is right: what is assumed is true, or
    /// enough was tested to see it.
    pub honest: bool,
}

/// Ratios within this many per cent are a match.
pub const MARGIN_PERCENT: f64 = 3.0;

/// No check runs.
const NO_CHECKS: Checks = checks(0);

/// Check runs of the first pair.
const fn checks(a_day: usize) -> Checks {
    Checks {
        a_day,
        own_tool: None,
    }
}

/// The scatter of a field unless said otherwise: no other units or days differ.
const CLEAN: Percent = Percent {
    run: 2.5,
    specimen: 2.5,
    unit: 0.0,
    day: 0.0,
    calibration: 1.0,
};

/// What may be expected where nothing is known.
const TYPICAL: Percent = Percent {
    specimen: 3.5,
    unit: 2.0,
    day: 1.0,
    ..CLEAN
};

/// A field unless said otherwise.
pub const FIELD: Scenario = Scenario {
    name: "clean, no checks",
    tools: 8,
    packs: 5,
    missing: 0.2,
    runs: (3, 5),
    percent: CLEAN,
    specimens: (3, 3),
    second_units: 0,
    days: Days::One,
    checks: NO_CHECKS,
    heavy_tails: false,
    cut: 0.0,
    at_margin: false,
    honest: true,
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
pub const SCENARIOS: [Scenario; 33] = [
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
        ..PACKS_ON_DAYS
    },
    Scenario {
        name: "packs on own day 1.5 %, 3 checks, second units of two packs",
        checks: checks(3),
        second_units: 2,
        ..PACKS_ON_DAYS
    },
    Scenario {
        name: "pairs on own day 1.5 %, 2 checks",
        days: Days::Pairs,
        checks: checks(2),
        ..PACKS_ON_DAYS
    },
    Scenario {
        name: "tools on own day 1.5 %",
        days: Days::Tools,
        ..PACKS_ON_DAYS
    },
    Scenario {
        name: "tools on own day 1.5 %, 3 checks",
        days: Days::Tools,
        checks: checks(3),
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
