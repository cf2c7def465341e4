//! The figures of an answer that are not of a pair alone: the question, how sure it is, standing.

use super::data::{AnswerFigures, QuestionFigures, StandingFigures, SureFigures};
use super::{checks, warnings};
use crate::field::Member;
use crate::field::pair_figures::{PairFigures, least_trigger_s};
use crate::field::uncertainty::Reach;
use crate::query::verdict::Verdict;
use crate::results::products;
use crate::scatter::effects::{Basis, Effect};
use crate::study::job::JobStudy;
use crate::text;
use crate::text::warning::Warning;

/// How much things of one kind are taken to differ, and why.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Differ {
    /// Standard deviation in per cent, as it is used.
    pub percent: f64,
    /// What was assumed beforehand, in per cent.
    pub assumed_percent: f64,
    /// What the figure rests on.
    pub basis: Basis,
    /// Specimens that were run beside the first of their kind; 0 for days.
    pub further: u32,
    /// Whether the rig's file states what is assumed.
    pub stated: bool,
}

impl Differ {
    fn of(effect: &Effect, further: u32, stated: Option<f64>) -> Self {
        Self {
            percent: 100.0 * effect.scatter.variance.sqrt(),
            assumed_percent: 100.0 * effect.assumed.sd,
            basis: effect.basis(),
            further,
            stated: stated.is_some(),
        }
    }
}

/// How much tools of one model, packs of one kind and days are taken to differ.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Others {
    /// Tools.
    pub tools: Differ,
    /// Packs.
    pub packs: Differ,
    /// Days.
    pub days: Differ,
}

impl Others {
    /// Whether the figure for tools is more than this program's own assumption.
    pub fn are_known(&self) -> bool {
        self.tools.stated || self.tools.basis != Basis::Assumed
    }
}

/// A setup that is not the file's first.
#[derive(Clone, Copy, Debug)]
pub struct OtherSetup<'a> {
    /// Its name.
    pub name: &'a str,
    /// Name of the file's first setup.
    pub standard: &'a str,
    /// How many of the pairs asked for were run in the file's first setup and not in this one.
    pub only_standard: u64,
}

/// One of several pairs that match a question.
pub struct Listed {
    /// Its name for people.
    pub label: String,
    /// Whether there are enough runs to say how likely a further try reaches the job.
    pub judged: bool,
    /// Whether it counts as reaching the job.
    pub in_reach: bool,
    /// Probability that a further try reaches the job in time.
    pub probability: Option<f64>,
}

impl JobStudy<'_> {
    /// How sure a measured pair's answer is, and the verdict.
    pub fn sureness(&self, index: usize) -> SureFigures {
        let (reach, others) = (self.reach(index), self.others());
        SureFigures {
            verdict: Some(verdict_of(reach)),
            reach_probability: reach.map(|reach| reach.probability),
            time_nine_in_ten_s: reach.and_then(|reach| reach.time_nine_in_ten_s),
            torque_19_of_20_nm: self.study.nineteen_of_twenty_nm(index),
            run_scatter_percent: reach.map(|reach| 100.0 * reach.run.variance.sqrt()),
            unit_scatter_percent: reach.map(|_| others.tools.percent),
            pack_scatter_percent: reach.map(|_| others.packs.percent),
            day_scatter_percent: reach.map(|_| others.days.percent),
        }
    }

    /// That nobody stands anywhere yet.
    pub fn standing(&self) -> StandingFigures {
        StandingFigures {
            rank_of: Some(self.places().of),
            ..StandingFigures::default()
        }
    }

    /// What the words on several pairs say of one.
    pub fn listed(&self, index: usize, member: &Member) -> Listed {
        let reach = self.reach(index);
        let verdict = verdict_of(reach);
        let (combination, window_s) = (&member.combination, self.field().window_s);
        let in_time = || {
            let time_s = combination.time_to(self.job.required_nm, window_s);
            time_s.is_some_and(|time_s| time_s <= self.asked().within_s)
        };
        Listed {
            label: products::label(self.study.results, member.tool, member.pack),
            judged: verdict != Verdict::TooFewRuns,
            in_reach: verdict.counts(verdict == Verdict::TooFewRuns && in_time()),
            probability: reach.map(|reach| reach.probability),
        }
    }

    /// How much tools, packs and days are taken to differ, and why.
    pub fn others(&self) -> Others {
        let (uncertainty, rig) = (self.study.uncertainty(), &self.asked().rig);
        let effects = &uncertainty.effects;
        let (tools, packs) = (uncertainty.further_specimens, uncertainty.further_packs);
        Others {
            tools: Differ::of(&effects.specimen, tools, rig.unit_to_unit_percent),
            packs: Differ::of(&effects.pack, packs, rig.pack_to_pack_percent),
            days: Differ::of(&effects.day, 0, rig.day_to_day_percent),
        }
    }

    /// How many of the pairs asked for were run in the file's first setup and not in the one asked for.
    pub fn only_standard(&self) -> u64 {
        if self.asked().setup_place == 0 {
            return 0;
        }
        let here = |pair: &(usize, usize)| {
            let members = &self.field().members;
            let found = members.binary_search_by_key(pair, |member| (member.tool, member.pack));
            found.is_ok()
        };
        let asked = |&&(tool, pack): &&(usize, usize)| self.asked().matches(tool, pack);
        let only = self.study.run_in_standard().iter().filter(asked);
        only.filter(|pair| !here(pair)).count() as u64
    }

    /// The figures of an answer for a pair, or for all of a tool, of a pack or of the field; `warnings`
    /// are its own.
    pub fn figures(
        &self,
        (tool, pack): (Option<usize>, Option<usize>),
        pair: PairFigures,
        sure: SureFigures,
        standing: StandingFigures,
        mut warnings: Vec<Warning>,
    ) -> AnswerFigures {
        let (asked, job, results) = (self.asked(), self.job, self.study.results);
        let (dataset, catalogue) = (&results.dataset, &results.catalogue);
        warnings.extend(warnings::of_field(asked));
        let told = |remarks: bool| {
            let told = warnings.iter().filter(|one| one.is_remark() == remarks);
            told.map(|one| one.words(catalogue)).collect()
        };
        let near = tool.map(|tool| checks::near(results, tool, pack, job));
        let tool = tool.and_then(|tool| dataset.tools.get(tool));
        let pack = pack.and_then(|pack| dataset.packs.get(pack));
        let range = job.range_nm.map(|(low, high)| vec![low, high]);
        let job_nm = range.unwrap_or_else(|| vec![job.torque_nm]);
        let question = QuestionFigures {
            tool: tool.map(|tool| tool.id.clone()),
            pack: pack.map(|pack| pack.id.clone()),
            rig: asked.rig.id.clone(),
            setup: asked.setup.id.clone(),
            edition: asked.edition,
            newest_edition: results.newest_edition(),
            invented: dataset.invented.unwrap_or(false),
            fits: tool
                .zip(pack)
                .map(|(tool, pack)| tool.pack_mount == pack.pack_mount),
            job: job.id.clone(),
            bolt: job.bolt.clone(),
            direction: job.direction,
            score: asked.score,
            units: job.needed.unit,
            job_torque: text::job_torque_number(catalogue, &job_nm, job.needed.unit),
            job_torque_nm: job.torque_nm,
            condition_factor: job.condition,
            condition_from: job.checked,
            loss_percent: job.loss_percent,
            required_torque_nm: job.required_nm,
            window_s: asked.window_s,
            within_s: asked.within_s,
            least_trigger_s: least_trigger_s(dataset),
            field_checks: near.unwrap_or_default(),
            warnings: told(false),
            remarks: told(true),
            label: text::pair(
                catalogue,
                tool.map(|tool| tool.name.as_str()),
                pack.map(|pack| pack.name.as_str()),
            ),
            notice: text::notice(catalogue, dataset),
            caution: job.caution,
            setup_costs: Vec::new(),
            nuts_tried: Vec::new(),
        };
        AnswerFigures::of(question, pair, sure, standing)
    }
}

fn verdict_of(reach: Option<Reach>) -> Verdict {
    reach.map_or(Verdict::TooFewRuns, |reach| reach.verdict)
}
