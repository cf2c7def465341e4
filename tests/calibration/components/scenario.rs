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
    /// How much pack units are stated to differ, in per cent; nothing is stated if absent.
    pub units_stated: Option<f64>,
    /// Days.
    pub days: Days,
    /// Check runs.
    pub checks: Checks,
    /// Whether runs scatter as t with three degrees of freedom, of the same variance.
    pub heavy_tails: bool,
    /// Share of the runs whose log ends early.
    pub cut: f64,
    /// Whether every second pack is stronger than the one before by exactly [`MARGIN_PERCENT`], on
    /// every tool.
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
pub const fn checks(a_day: usize) -> Checks {
    Checks {
        a_day,
        own_tool: None,
    }
}

/// The scatter of a field unless said otherwise: no other units or days differ.
pub const CLEAN: Percent = Percent {
    run: 2.5,
    specimen: 2.5,
    unit: 0.0,
    day: 0.0,
    calibration: 1.0,
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
    units_stated: None,
    days: Days::One,
    checks: NO_CHECKS,
    heavy_tails: false,
    cut: 0.0,
    at_margin: false,
    honest: true,
};
