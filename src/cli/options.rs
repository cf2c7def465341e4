//! Options that several commands share.

use crate::dataset::types::{Direction, Size};
use crate::query::condition::{Checked, Condition};
use crate::query::filter::Narrowing;
use crate::query::question::{Question, Score};
use crate::units::TorqueUnit;
use clap::{Args, ValueEnum};
use std::path::{Path, PathBuf};

/// Declares the values of an option by the names of those of the core that they stand for.
macro_rules! values {
    ($option:ident of $core:ty { $($(#[$about:meta])* $value:ident,)* }) => {
        #[derive(Clone, Copy, Debug, ValueEnum)]
        enum $option {
            $($(#[$about])* $value,)*
        }

        impl From<$option> for $core {
            fn from(option: $option) -> Self {
                match option {
                    $($option::$value => Self::$value,)*
                }
            }
        }
    };
}
pub(super) use values;

/// What people read.
#[derive(Debug, Args)]
pub(super) struct Reading {
    /// Unit of torque in text for people; JSON is always SI
    #[arg(long, value_enum)]
    units: Option<Units>,
    /// Language of text for people
    #[arg(long, default_value = "en")]
    pub lang: String,
}

impl Reading {
    pub fn units(&self) -> Option<TorqueUnit> {
        self.units.map(|units| match units {
            Units::NM => TorqueUnit::NewtonMetre,
            Units::LbfFt => TorqueUnit::PoundForceFoot,
        })
    }
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Units {
    /// Newton metres
    #[value(name = "n-m")]
    NM,
    /// Pound-force feet
    #[value(name = "lbf-ft")]
    LbfFt,
}

/// A job, and which runs shall answer.
#[derive(Debug, Args)]
pub(super) struct JobOptions {
    /// A torque with its unit, such as "650 N·m" or "480 lbf·ft", or a range, "90-110 N·m"; a bolt, such
    /// as "M20 10.9" or "1/2-13 grade 8 oiled"; or the id of a job of the file. A number alone is in the
    /// unit of --units
    #[arg(long, allow_negative_numbers = true)]
    job: Option<String>,
    /// The job is to loosen [default, unless the file's job says otherwise]
    #[arg(long, conflicts_with = "tighten")]
    loosen: bool,
    /// The job is to tighten
    #[arg(long)]
    tighten: bool,
    /// Factor on the torque of an aged joint that is to be loosened; "checked": that of the aged nuts
    /// that were tried, where there are enough, "checked-fresh": of the fresh ones
    #[arg(long, value_name = "X", allow_negative_numbers = true, value_parser = condition)]
    condition: Option<Condition>,
    /// Loss between anvil and fastener, in per cent
    #[arg(long, value_name = "PERCENT", allow_negative_numbers = true)]
    loss: Option<f64>,
    /// Your patience, in seconds
    #[arg(long, value_name = "S", allow_negative_numbers = true)]
    within: Option<f64>,
    /// What places are counted by
    #[arg(long, value_enum)]
    score: Option<ScoreOption>,
    /// Id of the setup [default: the file's first]
    #[arg(long, value_name = "ID")]
    setup: Option<String>,
    /// Id of the rig [default: the file's first]
    #[arg(long, value_name = "ID")]
    rig: Option<String>,
    /// Number of the edition [default: the newest]
    #[arg(long, value_name = "N")]
    edition: Option<u32>,
    /// Count runs that belong to no edition yet, as a draft after the newest
    #[arg(long)]
    pub drafts: bool,
}

values! {
    ScoreOption of Score {
        /// The typical run
        Typical,
        /// The best of three runs
        BestOfThree,
    }
}

/// A factor, or which nuts give it.
fn condition(text: &str) -> Result<Condition, String> {
    let mut all = Checked::ALL.into_iter();
    if let Some(checked) = all.find(|checked| checked.code() == text) {
        return Ok(Condition::Checked(checked));
    }
    let factor = text.parse().map(Condition::Factor);
    factor.map_err(|_| "neither a number nor checked or checked-fresh".into())
}

impl JobOptions {
    /// The question these options ask.
    pub fn question(&self, reading: &Reading) -> Question {
        Question {
            job: self.job.clone(),
            direction: match (self.loosen, self.tighten) {
                (true, _) => Some(Direction::Loosen),
                (_, true) => Some(Direction::Tighten),
                _ => None,
            },
            condition: self.condition,
            loss_percent: self.loss,
            within_s: self.within,
            score: self.score.map(Score::from),
            setup: self.setup.clone(),
            rig: self.rig.clone(),
            edition: self.edition,
            units: reading.units(),
            ..Question::default()
        }
    }
}

/// Which pairs to show. Places stay as they are.
#[derive(Debug, Args)]
pub(super) struct NarrowOptions {
    /// Only pairs with these words in the name, another name or the maker
    #[arg(long, value_name = "WORDS")]
    find: Option<String>,
    /// Only tools of this size
    #[arg(long, value_enum)]
    size: Option<SizeOption>,
    /// Only packs with this mount
    #[arg(long, value_name = "MOUNT")]
    mount: Option<String>,
    /// Only tools that are still sold
    #[arg(long)]
    sold: bool,
    /// Only tools at most this long, in mm
    #[arg(long, value_name = "MM", allow_negative_numbers = true)]
    longest: Option<f64>,
    /// Only pairs at most this heavy, in kg
    #[arg(long, value_name = "KG", allow_negative_numbers = true)]
    heaviest: Option<f64>,
    /// Only pairs at most this dear, in the one currency of the prices or that of --currency
    #[arg(long, value_name = "PRICE", allow_negative_numbers = true)]
    dearest: Option<f64>,
    /// Currency of the prices, such as EUR
    #[arg(long, value_name = "CODE")]
    pub currency: Option<String>,
}

values! {
    SizeOption of Size {
        Small,
        Medium,
        Large,
    }
}

impl NarrowOptions {
    /// What these options narrow by; with `reaching`, only pairs that have the job within reach.
    pub fn narrowing(&self, reaching: bool) -> Option<Narrowing> {
        let narrowing = Narrowing {
            find: self.find.clone(),
            size: self.size.map(Size::from),
            mount: self.mount.clone(),
            still_sold: self.sold.then_some(true),
            longest_mm: self.longest,
            heaviest_kg: self.heaviest,
            dearest: self.dearest,
            reaching: reaching.then_some(true),
        };
        Some(narrowing).filter(|narrowing| *narrowing != Narrowing::default())
    }
}

/// A dataset to build the site from.
#[derive(Debug, Default, Args)]
pub(super) struct Data {
    /// Dataset or bench folder [default: the invented demo]
    #[arg(value_name = "DATA")]
    given: Option<PathBuf>,
    /// The same by its former name.
    #[arg(long, value_name = "DATA", hide = true, conflicts_with = "given")]
    data: Option<PathBuf>,
    /// Count runs that belong to no edition yet, as a draft after the newest
    #[arg(long)]
    pub drafts: bool,
}

impl Data {
    /// The dataset or bench folder; nothing for the demo.
    pub fn path(&self) -> Option<&Path> {
        self.given.as_deref().or(self.data.as_deref())
    }
}
