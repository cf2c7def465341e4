//! Two pairs side by side.

use super::data::{CompareVerdict, ComparedPair, Comparison, CurveLead, Panel, Ratio};
use super::leads::leads;
use super::times::{JobTime, TimeRatio};
use crate::field::Member;
use crate::field::uncertainty::{Uncertainty, mean_of, scatter_at};
use crate::query::resolved::Job;
use crate::results::prices::Prices;
use crate::results::products;
use crate::scatter::difference::{Difference, Equivalence};
use crate::scatter::run::RunScatter;
use crate::special::student;
use crate::study::Study;
use crate::typical::Counted;
use std::sync::Arc;

/// Two-sided 90 %: the upper quantile.
const UPPER: f64 = 0.95;

/// A study whose pairs are compared.
pub(crate) struct Comparing<'s> {
    pub study: &'s Study<'s>,
    pub prices: Prices<'s>,
}

impl<'s> Comparing<'s> {
    pub fn of(study: &'s Study<'s>) -> Self {
        Self {
            study,
            prices: study.prices(),
        }
    }

    fn uncertainty(&self) -> &'s Uncertainty {
        self.study.uncertainty()
    }

    /// The job, and the scatter of runs at each pair's typical time to it.
    fn at_job(&self) -> Option<(&'s Job, &'s RunScatter)> {
        let answering = self.study.answering().ok()?;
        Some((answering.job, answering.scatter_at_job()))
    }

    pub fn member(&self, pair: (usize, usize)) -> Option<&'s Member> {
        self.study.member(pair).map(|(_, member)| member)
    }

    /// Ratios within this many per cent are a match.
    pub fn margin_percent(&self) -> Option<f64> {
        self.study.results.dataset.match_margin_percent
    }

    pub fn pairs(&self, pairs: [(usize, usize); 2]) -> Comparison {
        let (dataset, asked) = (&self.study.results.dataset, self.study.asked());
        let mut comparison = Comparison {
            invented: dataset.invented.unwrap_or(false),
            rig: asked.rig.id.clone(),
            setup: asked.setup.id.clone(),
            edition: asked.edition,
            job_torque_nm: asked.job.as_ref().map(|job| job.torque_nm),
            required_torque_nm: asked.job.as_ref().map(|job| job.required_nm),
            window_s: asked.window_s,
            match_margin_percent: self.margin_percent(),
            pairs: pairs.map(|pair| self.pair(pair)),
            verdict: None,
            mean_torque_ratio: None,
            peak_torque_ratio: None,
            time_to_job_ratio: None,
            leads: Vec::new(),
            chance_ahead: None,
            words: Panel::default(),
        };
        if let [Some(a), Some(b)] = pairs.map(|pair| self.member(pair)) {
            self.fill(&mut comparison, a, b);
        }
        comparison
    }

    fn pair(&self, (tool, pack): (usize, usize)) -> ComparedPair {
        let member = self.member((tool, pack));
        let combination = member.map(|member| &member.combination);
        let (tool_id, pack_id) = products::ids(self.study.results, tool, pack);
        let price = self.prices.of_pair(tool, pack);
        let count = |number: usize| u32::try_from(number).unwrap_or(u32::MAX);
        ComparedPair {
            tool: tool_id,
            pack: pack_id,
            runs_used: count(combination.map_or(0, |own| own.runs().count())),
            specimens: count(combination.map_or(0, |own| own.specimen_count())),
            mean_torque_nm: combination.map(|own| own.mean_nm()),
            peak_torque_nm: combination.map(|own| own.peak_nm()),
            time_to_job_s: member
                .zip(self.study.asked().job.as_ref())
                .and_then(|(member, job)| self.time_to(member, job.required_nm)),
            mass_kg: products::mass_kg(self.study.results, tool, pack),
            price: price.as_ref().map(|(amount, _)| *amount),
            currency: price.map(|(_, currency)| currency),
        }
    }

    fn time_to(&self, member: &Member, torque_nm: f64) -> Option<f64> {
        let window_s = self.study.field().window_s;
        member.combination.time_to(torque_nm, window_s)
    }

    /// Fills in what two measured pairs have to do with each other.
    fn fill(&self, comparison: &mut Comparison, a: &Member, b: &Member) {
        let mean = self.difference(a, b);
        let peak = |run: &Counted| run.measures.peak_nm;
        let peak = self.between(a, b, self.study.peak_scatter(), |member| {
            member.combination.log_of(&peak)
        });
        comparison.verdict = Some(self.verdict(&mean));
        comparison.mean_torque_ratio = Some(self.ratio(&mean));
        comparison.peak_torque_ratio = Some(self.ratio(&peak));
        comparison.time_to_job_ratio = self.time_ratio(a, b);
        comparison.chance_ahead = self.chance(a, b);
        let ahead =
            |time_s| a.combination.log_torque_at(time_s) - b.combination.log_torque_at(time_s);
        comparison.leads = leads(self.study.field().window_s, ahead)
            .into_iter()
            .map(|lead| CurveLead {
                from_s: lead.from_s,
                pair: u8::from(!lead.first),
            })
            .collect();
    }

    /// The difference of two pairs in ln mean torque.
    pub fn difference(&self, a: &Member, b: &Member) -> Difference {
        let mean = |run: &Counted| run.measures.mean_nm;
        self.between(a, b, self.study.mean_scatter(), |member| {
            member.combination.log_of(&mean)
        })
    }

    fn between(
        &self,
        a: &Member,
        b: &Member,
        run: &RunScatter,
        log: impl Fn(&Member) -> f64,
    ) -> Difference {
        let mean = |member| mean_of(member, run, log(member));
        let specimen = self.uncertainty().specimen.scatter;
        Difference::of_means(&mean(a), &mean(b), specimen, in_common(a, b))
    }

    /// The verdict on a difference in ln mean torque.
    pub fn verdict(&self, difference: &Difference) -> CompareVerdict {
        if self.uncertainty().too_few() {
            return CompareVerdict::TooFewRuns;
        }
        match Equivalence::of(difference.interval(), self.margin_percent()) {
            Equivalence::Match => CompareVerdict::Match,
            Equivalence::Differ => CompareVerdict::Differ,
            Equivalence::Undecided => CompareVerdict::Undecided,
        }
    }

    /// A difference of logarithms as a ratio.
    pub fn ratio(&self, difference: &Difference) -> Ratio {
        let known = !self.uncertainty().too_few();
        let (low, high) = difference.interval();
        Ratio {
            ratio: libm::exp(difference.log),
            low: known.then(|| libm::exp(low)),
            high: known.then(|| libm::exp(high)),
        }
    }

    /// The ratio of the times to the job, each with the interval that its curve, shifted by its
    /// standard error, gives it.
    fn time_ratio(&self, a: &Member, b: &Member) -> Option<Ratio> {
        let (job, run) = self.at_job()?;
        let specimen = self.uncertainty().specimen.scatter;
        let time = |member: &Member| {
            let time_s = self.time_to(member, job.required_nm)?;
            let (se, nu) = mean_of(member, run, 0.0).standard_error(specimen);
            let shifted = |sign: f64| {
                let factor = libm::exp(sign * se * student::quantile(UPPER, nu));
                self.time_to(member, job.required_nm * factor)
            };
            let low_s = shifted(-1.0).unwrap_or(time_s);
            let time = JobTime {
                time_s,
                low_s,
                high_s: shifted(1.0),
            };
            Some((time, se))
        };
        let ((time_a, se_a), (time_b, se_b)) = (time(a)?, time(b)?);
        let own = |member: &Member| member.specimens.len() as f64;
        let covariance = specimen.variance * in_common(a, b) as f64 / (own(a) * own(b));
        let ratio = TimeRatio::of(&time_a, &time_b, covariance / (se_a * se_b));
        let known = !self.uncertainty().too_few();
        Some(Ratio {
            ratio: ratio.ratio,
            low: ratio.low.filter(|_| known),
            high: ratio.high.filter(|_| known),
        })
    }

    /// Probability that a try of the first beats a try of the second.
    fn chance(&self, a: &Member, b: &Member) -> Option<f64> {
        if self.uncertainty().too_few() {
            return None;
        }
        let specimen = self.uncertainty().specimen.scatter;
        let tries = |run: &RunScatter, log: &dyn Fn(&Member) -> f64| {
            let mean = |member| mean_of(member, run, log(member));
            let one_tool = a.tool == b.tool;
            Difference::of_tries(&mean(a), &mean(b), specimen, in_common(a, b), one_tool).chance()
        };
        let Some((job, _)) = self.at_job() else {
            let mean = |run: &Counted| run.measures.mean_nm;
            return Some(tries(self.study.mean_scatter(), &|member| {
                member.combination.log_of(&mean)
            }));
        };
        let times = [a, b].map(|member| self.time_to(member, job.required_nm));
        let quicker_s = times
            .into_iter()
            .flatten()
            .fold(self.study.field().window_s, f64::min);
        let run = scatter_at(self.study.field(), |_| quicker_s);
        Some(tries(&run, &|member| {
            member.combination.log_torque_at(quicker_s)
        }))
    }
}

/// Specimens that both were run on.
fn in_common(a: &Member, b: &Member) -> usize {
    if a.tool != b.tool {
        return 0;
    }
    let shared = |mark: &&Option<Arc<str>>| b.specimens.contains(mark);
    a.specimens.iter().filter(shared).count()
}
