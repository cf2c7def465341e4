//! Two pairs side by side.

use super::data::{CompareVerdict, ComparedPair, Comparison, CurveLead, Panel, Ratio};
use super::leads::leads;
use super::times::{JobTime, TimeRatio};
use crate::field::Member;
use crate::field::uncertainty::Uncertainty;
use crate::query::resolved::Job;
use crate::results::prices::Prices;
use crate::results::products;
use crate::scatter::Scatter;
use crate::scatter::difference::{Difference, Equivalence};
use crate::scatter::effects::Basis;
use crate::scatter::run::RunScatter;
use crate::scatter::shares::{Scatters, Shares};
use crate::scatter::terms::Terms;
use crate::special::student;
use crate::study::Study;
use crate::typical::Counted;

/// Two-sided 90 %: the upper quantile.
const UPPER: f64 = 0.95;

/// A term below this part of a variance is what is left of one that cancels.
const LAST_BITS: f64 = 1e-12;

/// The difference of two pairs, two ways.
pub(crate) struct Apart {
    /// Of these very tools and packs.
    pub as_tested: Difference,
    /// Of any tools and packs of their kinds.
    pub of_kinds: Difference,
    /// Whether the runs show how much the specimens and packs that are not behind both differ.
    kinds_are_seen: bool,
}

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
            mean_torque_ratio_of_kinds: None,
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
        comparison.mean_torque_ratio = Some(self.ratio(&mean.as_tested));
        comparison.mean_torque_ratio_of_kinds = Some(self.ratio(&mean.of_kinds));
        comparison.peak_torque_ratio = Some(self.ratio(&peak.as_tested));
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
    pub fn difference(&self, a: &Member, b: &Member) -> Apart {
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
    ) -> Apart {
        let (shares, log) = (a.shares.less(&b.shares), log(a) - log(b));
        let terms = |scatters: &Scatters| shares.terms(scatters, |tool| run.of_tool(tool));
        let scatters = &self.uncertainty().scatters;
        let of_kinds = terms(scatters);
        Apart {
            as_tested: Difference::of_terms(log, &terms(&scatters.as_tested())),
            of_kinds: Difference::of_terms(log, &of_kinds),
            kinds_are_seen: self.are_seen(&of_kinds),
        }
    }

    /// Whether what specimens and packs add to a variance is more than an assumption.
    fn are_seen(&self, terms: &Terms) -> bool {
        let effects = &self.uncertainty().effects;
        // What cancels leaves the last bits of its sums.
        let nothing = LAST_BITS * terms.total().variance;
        let seen = |term: Scatter, basis| term.variance <= nothing || basis != Basis::Assumed;
        seen(terms.specimens, effects.specimen.basis()) && seen(terms.packs, effects.pack.basis())
    }

    /// The verdict on a difference in ln mean torque: that of their kinds, and of two that may not be
    /// called a match whether they are alike as tested.
    pub fn verdict(&self, apart: &Apart) -> CompareVerdict {
        if self.uncertainty().too_few() {
            return CompareVerdict::TooFewRuns;
        }
        let of =
            |difference: &Difference| Equivalence::of(difference.interval(), self.margin_percent());
        match (of(&apart.of_kinds), of(&apart.as_tested)) {
            (Equivalence::Match, _) if apart.kinds_are_seen => CompareVerdict::Match,
            (Equivalence::Differ, _) => CompareVerdict::Differ,
            (_, Equivalence::Match) => CompareVerdict::AlikeAsTested,
            (Equivalence::Match | Equivalence::Undecided, _) => CompareVerdict::Undecided,
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

    /// The ratio of the times to the job as tested, each with the interval that its curve, shifted by
    /// its standard error, gives it.
    fn time_ratio(&self, a: &Member, b: &Member) -> Option<Ratio> {
        let (job, run) = self.at_job()?;
        let scatters = self.uncertainty().scatters.as_tested();
        let time = |member: &Member| {
            let time_s = self.time_to(member, job.required_nm)?;
            let terms = member.shares.terms(&scatters, |tool| run.of_tool(tool));
            let of_mean = terms.total();
            let se = of_mean.variance.sqrt();
            let shifted = |sign: f64| {
                let factor = libm::exp(sign * se * student::quantile(UPPER, of_mean.nu));
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
        let covariance = a.shares.covariance(&b.shares, &scatters);
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
        let (one, other) = (a.origins.first()?, b.origins.first()?);
        let further = Shares::of_further_tries(one, other, a.pack == b.pack);
        let shares = further.less(&a.shares.less(&b.shares));
        let tries = |run: &RunScatter, log: &dyn Fn(&Member) -> f64| {
            let terms = shares.terms(&self.uncertainty().scatters, |tool| run.of_tool(tool));
            Difference::of_terms(log(a) - log(b), &terms).chance()
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
        let run = self.study.field().scatter_at(&mut |_| quicker_s);
        Some(tries(&run, &|member| {
            member.combination.log_torque_at(quicker_s)
        }))
    }
}
