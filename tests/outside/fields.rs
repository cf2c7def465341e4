//! The invented fields of `uncertainty.json`, and what is expected of them.

use super::close::fixture;
use jobtorque::query::question::Question;
use jobtorque::results::Results;
use jobtorque::text::catalogue::Catalogue;
use serde::Deserialize;
use serde_json::Value;

/// A dataset with the questions asked of its first rig and setup. Lists run over `pairs`.
#[derive(Clone, Deserialize)]
pub struct Field {
    pub name: String,
    pub dataset: Value,
    /// Measured pairs, tool and pack, in the order of the file's tools and packs.
    pub pairs: Vec<(String, String)>,
    /// Places of each pair's counted runs in the file.
    pub runs: Vec<Vec<usize>>,
    /// Places of the check runs that serve the field.
    pub checks: Vec<usize>,
    /// Whether cells tell days apart.
    pub by_day: bool,
    /// Effective share q.
    pub share: Vec<f64>,
    /// Relative standard uncertainty of the calibration.
    pub u_cal: Vec<f64>,
    pub too_few: bool,
    pub effects: Effects,
    pub ends: Ends,
    pub jobs: Vec<Asked<Job>>,
    pub by: Vec<Asked<Level>>,
}

/// Scatters of specimens, pack specimens and days.
#[derive(Clone, Deserialize)]
pub struct Effects {
    /// Standard deviation and degrees of freedom of what is assumed beforehand.
    pub assumed: [(f64, f64); 3],
    pub variances: [f64; 3],
    pub nu: [f64; 3],
    /// Standard deviations as stored.
    pub ppm: [u32; 3],
    /// Degrees of freedom as stored.
    pub cnu: [u32; 3],
    /// `measured`, `held` or `assumed`.
    pub basis: [String; 3],
}

/// The typical curves at the window's end.
#[derive(Clone, Deserialize)]
pub struct Ends {
    pub typical_end_nm: Vec<f64>,
    pub still_rising: Vec<bool>,
}

/// A question and its answers.
#[derive(Clone, Deserialize)]
pub struct Asked<T> {
    pub question: Question,
    pub expected: T,
}

/// Answers for a job.
#[derive(Clone, Deserialize)]
pub struct Job {
    pub required_nm: f64,
    /// Typical time to the job.
    pub time_us: Vec<Option<u32>>,
    /// Absent without a second run anywhere.
    pub job_scatter: Option<RunScatter>,
    #[serde(flatten)]
    pub reach: Option<Reach>,
    /// Best-of-three scores.
    pub score: Option<Vec<Option<f64>>>,
    #[serde(flatten)]
    pub places: Places,
}

/// What is asked by patience and window; absent where there are too few runs, or best of three is asked.
#[derive(Clone, Deserialize)]
pub struct Reach {
    pub reach_scatter: RunScatter,
    pub s: Vec<f64>,
    pub nu: Vec<f64>,
    pub probability: Vec<f64>,
    pub verdict: Vec<String>,
    pub torque_19_of_20_nm: Vec<f64>,
    pub nine_in_ten_us: Vec<Option<u32>>,
}

/// Answers by a measure.
#[derive(Clone, Deserialize)]
pub struct Level {
    pub scatter: Option<RunScatter>,
    #[serde(flatten)]
    pub places: Places,
}

/// Run scatter for one choice of y; lists run over the tools with a counted run.
#[derive(Clone, Deserialize)]
pub struct RunScatter {
    pub s: f64,
    pub nu: f64,
    pub moderated_s: Vec<f64>,
    pub moderated_nu: Vec<f64>,
}

/// Ranks and their intervals.
#[derive(Clone, Deserialize)]
pub struct Places {
    pub rank: Vec<Option<u32>>,
    pub se: Vec<Option<f64>>,
    /// Degrees of freedom of its square.
    pub se_nu: Vec<Option<f64>>,
    pub rank_mean: Vec<Option<f64>>,
    pub rank_sd: Vec<Option<f64>>,
    pub rank_low: Vec<Option<u32>>,
    pub rank_high: Vec<Option<u32>>,
    pub rank_of: u32,
}

impl Field {
    /// All fields.
    pub fn all() -> Vec<Self> {
        #[derive(Deserialize)]
        struct Fixture {
            cases: Vec<Field>,
        }
        let fixture: Fixture = fixture("uncertainty.json");
        assert!(fixture.cases.len() >= 31);
        for field in &fixture.cases {
            for job in &field.jobs {
                let silent = field.too_few || job.expected.score.is_some();
                assert_eq!(job.expected.reach.is_none(), silent, "{}", field.name);
            }
        }
        fixture.cases
    }

    /// The field's file, read.
    pub fn results(&self) -> Results {
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/www/texts/en.json");
        let text = std::fs::read_to_string(path).unwrap();
        let catalogue: Catalogue = serde_json::from_str(&text).unwrap();
        Results::read(self.dataset.to_string().as_bytes(), catalogue)
            .unwrap_or_else(|problems| panic!("{}: {problems:?}", self.name))
    }

    /// The tools with a counted run, in the file's order.
    pub fn tools(&self) -> Vec<&str> {
        let mut tools: Vec<&str> = self.pairs.iter().map(|(tool, _)| tool.as_str()).collect();
        tools.dedup();
        tools
    }

    /// The place of a pair's tool in [`Field::tools`].
    pub fn tool_of(&self, pair: usize) -> usize {
        let tool = &self.pairs[pair].0;
        self.tools().iter().position(|other| other == tool).unwrap()
    }
}
