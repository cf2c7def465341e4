//! Pairs side by side, and the packs on one tool: figures in SI units, and the words for people.

use serde::Serialize;

/// Two pairs side by side; every ratio is the first over the second. Absent figures are `null`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Comparison {
    /// Whether the data are made up.
    pub invented: bool,
    /// Identifier of the rig.
    pub rig: String,
    /// Identifier of the setup.
    pub setup: String,
    /// The edition shown.
    pub edition: u32,
    /// Job torque in N·m; `null` without a job.
    pub job_torque_nm: Option<f64>,
    /// Required torque at the anvil in N·m; `null` without a job.
    pub required_torque_nm: Option<f64>,
    /// Length of a run that counts, in s.
    pub window_s: f64,
    /// Ratios within this many per cent are a match; fixed beforehand in the file.
    pub match_margin_percent: Option<f64>,
    /// The two pairs.
    pub pairs: [ComparedPair; 2],
    /// Whether the two match, by mean torque; `null` if one of them was not measured.
    pub verdict: Option<CompareVerdict>,
    /// Ratio of typical mean torque, as tested: of these very tools and packs.
    pub mean_torque_ratio: Option<Ratio>,
    /// The same, of any tools and packs of their kinds.
    pub mean_torque_ratio_of_kinds: Option<Ratio>,
    /// Ratio of typical peak torque, as tested.
    pub peak_torque_ratio: Option<Ratio>,
    /// Ratio of typical time to the job, as tested; `null` if one does not reach it.
    pub time_to_job_ratio: Option<Ratio>,
    /// Who leads when, by the typical curves: every lead of at least 0.1 s or to the window's end.
    pub leads: Vec<CurveLead>,
    /// Probability that a try of the first beats a try of the second: by torque at the instant when
    /// the quicker typical curve reaches the job, else at the window's end; without a job by mean
    /// torque. Other specimens of tools and packs than those tested, the same for both where tool or pack
    /// is the same, on one day.
    pub chance_ahead: Option<f64>,
    /// The comparison in words.
    pub words: Panel,
}

/// One of two pairs side by side.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ComparedPair {
    /// Identifier of the tool.
    pub tool: String,
    /// Identifier of the pack.
    pub pack: String,
    /// Counted runs.
    pub runs_used: u32,
    /// Specimens of the tool with a counted run.
    pub specimens: u32,
    /// Typical mean torque over the window in N·m.
    pub mean_torque_nm: Option<f64>,
    /// Typical peak torque in N·m.
    pub peak_torque_nm: Option<f64>,
    /// The typical curve's time to the required torque in s; `null` if not reached.
    pub time_to_job_s: Option<f64>,
    /// Mass of tool and pack in kg.
    pub mass_kg: Option<f64>,
    /// Price of tool and pack.
    pub price: Option<f64>,
    /// Currency of that price.
    pub currency: Option<String>,
}

/// A ratio with its 90 % interval; `null` for an end that is open, or where there are too few runs.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Ratio {
    /// The ratio.
    pub ratio: f64,
    /// Lower end.
    pub low: Option<f64>,
    /// Upper end.
    pub high: Option<f64>,
}

/// From when on which of two curves leads.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct CurveLead {
    /// When the lead begins, in s.
    pub from_s: f64,
    /// 0 for the first pair, 1 for the second.
    pub pair: u8,
}

impl CompareVerdict {
    /// Whether two match or are alike as tested.
    pub fn is_alike(self) -> bool {
        matches!(self, Self::Match | Self::AlikeAsTested)
    }
}

/// Whether two match, by the ratio of their kinds. The words are codes and do not change with the language.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum CompareVerdict {
    /// The whole interval lies within the margin, and the runs show how much specimens of both differ.
    #[serde(rename = "match")]
    Match,
    /// No match, but the whole interval of the ratio as tested lies within the margin.
    #[serde(rename = "alike as tested")]
    AlikeAsTested,
    /// The interval does not hold 1.
    #[serde(rename = "differ")]
    Differ,
    /// Neither.
    #[serde(rename = "undecided")]
    Undecided,
    /// Too few runs to say.
    #[serde(rename = "too few runs to say")]
    TooFewRuns,
}

/// A small table with sentences above it, in words.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Panel {
    /// Says that the data are made up, if they are.
    pub notice: Option<String>,
    /// What it says in short.
    pub headline: String,
    /// Further sentences.
    pub lines: Vec<String>,
    /// Of when the prices in it are; `null` where it shows none.
    pub prices: Option<String>,
    /// Headings of the columns; empty where the cells explain themselves.
    pub headings: Vec<String>,
    /// Rows of the table.
    pub rows: Vec<PanelRow>,
}

/// A row of a small table.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct PanelRow {
    /// Identifier of the pack that the row is about, if it is about one.
    pub pack: Option<String>,
    /// One text for each column.
    pub cells: Vec<String>,
}
