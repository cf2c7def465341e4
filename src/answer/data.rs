//! What comes back: figures in SI units at full precision, and the words for people.

use crate::dataset::types::{Caution, Direction};
use crate::field::pair_figures::{PairFigures, with_pair_figures};
use crate::nuts::data::NutsTried;
use crate::query::bolt::BoltFigures;
use crate::query::condition::Checked;
use crate::query::question::Score;
use crate::query::verdict::{Basis, Verdict};
use crate::setups::data::SetupCost;
use crate::units::TorqueUnit;
use serde::Serialize;

/// An answer and its figures in groups, some before and some after those of a pair, which come from
/// [`with_pair_figures`]: each field stands once.
macro_rules! answer {
    (before { $($(#[$what:meta])+ $group:ident as $own:ident { $($(#[$about:meta])+ $figure:ident: $kind:ty,)* })* }
     after { $($(#[$then:meta])+ $after:ident as $its:ident { $($(#[$of:meta])+ $later:ident: $sort:ty,)* })* }
     words { $($(#[$said:meta])+ $word:ident: $text:ty,)* }
     pair { $($(#[$shown:meta])+ $of_pair:ident: $unit:ty,)* }) => {
        $(
            $(#[$what])+
            #[derive(Debug)]
            pub struct $group {
                $($(#[$about])+ pub $figure: $kind,)*
            }
        )*
        $(
            $(#[$then])+
            #[derive(Debug)]
            pub struct $after {
                $($(#[$of])+ pub $later: $sort,)*
            }
        )*

        /// The answer to a question. Absent figures are `null`: not asked for, not measured, or not
        /// worked out.
        #[derive(Clone, Debug, PartialEq, Serialize)]
        #[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
        pub struct Answer {
            $($($(#[$about])+ pub $figure: $kind,)*)*
            $($(#[$shown])+ pub $of_pair: $unit,)*
            $($($(#[$of])+ pub $later: $sort,)*)*
            $($(#[$said])+ pub $word: $text,)*
            /// The measured combinations that match, in rank order, then those nobody ran that can be
            /// estimated; `null` if a single pair was asked. Script asks for it by itself: it is most
            /// of the answer, and no page shows it.
            #[cfg_attr(target_arch = "wasm32", serde(skip))]
            pub list: Option<Vec<Answer>>,
        }

        /// The figures of an answer, and what was asked.
        #[derive(Debug)]
        pub struct AnswerFigures {
            $($($(#[$about])+ pub $figure: $kind,)*)*
            $($(#[$shown])+ pub $of_pair: $unit,)*
            $($($(#[$of])+ pub $later: $sort,)*)*
        }

        impl AnswerFigures {
            /// All groups of figures together.
            pub fn of($($own: $group,)* pair: PairFigures, $($its: $after,)*) -> Self {
                Self {
                    $($($figure: $own.$figure,)*)*
                    $($of_pair: pair.$of_pair,)*
                    $($($later: $its.$later,)*)*
                }
            }
        }

        /// The words of an answer.
        #[derive(Debug)]
        pub struct AnswerWords {
            $($(#[$said])+ pub $word: $text,)*
        }

        impl Answer {
            /// An answer without a list.
            pub fn new(figures: AnswerFigures, words: AnswerWords) -> Self {
                Self {
                    $($($figure: figures.$figure,)*)*
                    $($of_pair: figures.$of_pair,)*
                    $($($later: figures.$later,)*)*
                    $($word: words.$word,)*
                    list: None,
                }
            }
        }
    };
}

with_pair_figures! { answer {
before {
    /// What was asked, and what belongs to the answer whatever its figures.
    QuestionFigures as question {
        /// Identifier of the tool; `null` for any.
        tool: Option<String>,
        /// Identifier of the pack; `null` for any that fits.
        pack: Option<String>,
        /// Identifier of the rig.
        rig: String,
        /// Identifier of the setup.
        setup: String,
        /// The edition shown.
        edition: u32,
        /// The newest edition of the file.
        newest_edition: u32,
        /// Whether the data are made up.
        invented: bool,
        /// Whether the pack fits the tool; `null` if either is open.
        fits: Option<bool>,
        /// Identifier of the file's job; `null` for a torque.
        job: Option<String>,
        /// What was worked out of the bolt that was asked for; `null` for a torque or a job.
        bolt: Option<BoltFigures>,
        /// Loosen or tighten.
        direction: Direction,
        /// What places are counted by.
        score: Score,
        /// Unit of torque in the words.
        units: TorqueUnit,
        /// The job's torque as a number of that unit for people, or as a range.
        job_torque: String,
        /// Job torque in N·m; of a range the larger.
        job_torque_nm: f64,
        /// Condition factor.
        condition_factor: f64,
        /// Which nuts that were tried the factor is that of; `null` for the visitor's own.
        condition_from: Option<Checked>,
        /// Loss between anvil and fastener in per cent.
        loss_percent: f64,
        /// Required torque at the anvil in N·m.
        required_torque_nm: f64,
        /// Length of a run that counts, in s.
        window_s: f64,
        /// The visitor's patience in s, else the window.
        within_s: f64,
        /// How long each job counts at least at the trigger in `jobs_per_charge`, in s: the file's
        /// figure, or 2 by common practice.
        least_trigger_s: f64,
        /// Checks on real fasteners that bear on the answer, failures first, then the nearest in torque:
        /// of this pair, or where it has none, of this tool. A success counts from 15 % below the
        /// required torque up, a failure from 15 % above it down. Empty where tightening is asked for.
        field_checks: Vec<NearCheck>,
        /// Why to read the result with care, in sentences.
        warnings: Vec<String>,
        /// What to know of the tools tested and of the rig, in sentences; `rests_on` holds them too.
        remarks: Vec<String>,
        /// Name of tool and pack for people; empty if both are open.
        label: String,
        /// Says that the data are made up, if they are. Stands first on every view.
        notice: Option<String>,
        /// Which cautions the job needs.
        caution: Option<Caution>,
        /// What other setups of the file cost in torque, where pairs were run in both; with the whole
        /// answer, not with each of its list.
        setup_costs: Vec<SetupCost>,
        /// What real nuts say that were tried with pairs of the field, by their states, where one is to be
        /// loosened; with the whole answer, not with each of its list.
        nuts_tried: Vec<NutsTried>,
    }
}
after {
    /// How sure an answer is.
    #[derive(Default)]
    SureFigures as sure {
        /// The verdict; `null` where there is no basis, no verdict yet, or no single pair asked.
        verdict: Option<Verdict>,
        /// The torque that 19 of 20 tries reach, in N·m.
        torque_19_of_20_nm: Option<f64>,
        /// Probability that a further try reaches the job in time; of a nut like those tried, where
        /// `condition_from` names such, that it comes loose in time.
        reach_probability: Option<f64>,
        /// By when nine in ten tries are there, in s.
        time_nine_in_ten_s: Option<f64>,
        /// Run scatter in per cent.
        run_scatter_percent: Option<f64>,
        /// Scatter from tool to tool in per cent.
        unit_scatter_percent: Option<f64>,
        /// Scatter from pack to pack of one kind in per cent.
        pack_scatter_percent: Option<f64>,
        /// Scatter from day to day in per cent.
        day_scatter_percent: Option<f64>,
    }
    /// Where a pair stands, or how many there are of several.
    #[derive(Default)]
    StandingFigures as standing {
        /// Place in the field.
        rank: Option<u32>,
        /// Lower end of the 90 % interval of the place.
        rank_low: Option<u32>,
        /// Upper end of the 90 % interval of the place.
        rank_high: Option<u32>,
        /// How many combinations have a place.
        rank_of: Option<u32>,
        /// How many measured combinations match; `null` if a single pair was asked.
        of: Option<u32>,
        /// How many of them reach the job.
        reach_count: Option<u32>,
    }
}
words {
    /// The answer in words: the notice of invented data, if they are, and the headline.
    sentence: String,
    /// The answer in short, one sentence each: that the data are made up, if they are, the verdict, and
    /// the place.
    brief: Vec<String>,
    /// The question in a sentence: the job, its factor, the needed torque, what is to be done.
    asked: String,
    /// What must be read before the answer.
    before: Vec<String>,
    /// The answer in one sentence or two.
    headline: String,
    /// What a real fastener says for or against it, directly under the headline: of several a failure,
    /// then the nearest. The others are in `rests_on`.
    checks: Vec<String>,
    /// The sentences under the headline: how sure, how fast, how strong.
    lines: Vec<String>,
    /// The figures that matter in `lines`: which line, and where in it they begin and end, counted
    /// as script counts (in UTF-16 code units).
    stressed: Vec<[u32; 3]>,
    /// What there is to know beside: place, power, jobs on a charge. In little room it stands below
    /// the chart.
    further: Vec<String>,
    /// The caution that matters most here, in full beside the answer; none if one stands before it, or
    /// a check speaks against it. All others are in `rests_on`.
    cautions: Vec<String>,
    /// What the answer rests on: how its torque came about, what it allows for, further cautions, what
    /// its scatter is made of, what is not known.
    rests_on: Vec<String>,
    /// What to think of before starting, whatever the answer.
    reminders: Vec<String>,
}
} }

/// A check on a real fastener near the torque that an answer is about.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct NearCheck {
    /// Identifier of the tool.
    pub tool: String,
    /// Identifier of the pack; `null` if none was noted.
    pub pack: Option<String>,
    /// Whether it is of the very pair asked for, and not of its tool with another pack.
    pub of_pair: bool,
    /// Name of tool and pack for people.
    pub label: String,
    /// Date.
    pub date: Option<String>,
    /// Thread or name.
    pub fastener: Option<String>,
    /// Its state.
    pub state: Option<String>,
    /// Torque it was tightened to, in N·m.
    pub installed_nm: f64,
    /// Whether it came loose.
    pub came_loose: bool,
    /// How long was tried, in s.
    pub tried_s: Option<f64>,
}
