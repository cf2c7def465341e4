//! One question answered: a pair, or the pairs that match.

use super::data::{Answer, AnswerFigures};
use super::words::setups::OtherSetup;
use super::words::uncertainty::{Others, Source};
use super::words::{Listed, Wording};
use super::{checks, warnings};
use crate::field::Member;
use crate::field::estimates::Estimated;
use crate::field::intervals::Interval;
use crate::field::pair::{self, OfPair};
use crate::field::uncertainty::Reach;
use crate::query::verdict::Verdict;
use crate::ranking::order::order;
use crate::results::products;
use crate::scatter::Scatter;
use crate::study::job::JobStudy;
use crate::typical::Combination;
use crate::{setups, text};

impl<'s> JobStudy<'s> {
    /// The answer: for one pair, or for those that match, without the list of them.
    pub fn answer(&self) -> Answer {
        let answer = match (self.asked().tool, self.asked().pack) {
            (Some(tool), Some(pack)) => match self.matching().next() {
                Some((place, member)) => self.measured(place, member),
                None => self.not_run(tool, pack),
            },
            _ => self.several(),
        };
        Answer {
            setup_costs: self.study.setup_costs().to_vec(),
            ..answer
        }
    }

    /// The answers for the pairs that match, in rank order, then the estimates; `None` for one pair.
    pub fn list(&self) -> Option<Vec<Answer>> {
        if self.asked().tool.is_some() && self.asked().pack.is_some() {
            return None;
        }
        let measured = self.matching();
        let mut list: Vec<Answer> = measured
            .map(|(place, member)| self.measured(place, member))
            .collect();
        list.extend(self.estimated_list());
        Some(list)
    }

    fn measured(&self, place: usize, member: &Member) -> Answer {
        let (results, field) = (self.study.results, self.field());
        let interval = self.intervals().get(place).copied().flatten();
        let rank = self.places().ranks.get(place).copied().flatten();
        let others = Some(self.others()).filter(Others::are_known);
        let (asked, job) = (self.asked(), self.job);
        let others_percent = others.map(|others| others.percent);
        let own = warnings::of_member(results, field, member, job, asked.edition, others_percent);
        let figures = self.figures(
            (Some(member.tool), Some(member.pack)),
            OfPair::measured(results, field, member, job),
            self.sureness(place),
            Standing {
                rank,
                interval,
                ..self.standing()
            },
            own,
        );
        let rig_percent = self.study.uncertainty().rig_percent(Some(place));
        self.wording(0).measured(figures, rig_percent)
    }

    /// How sure a measured pair's answer is, and the verdict.
    fn sureness(&self, place: usize) -> Sureness {
        let reach = self.reach(place);
        Sureness {
            verdict: Some(verdict_of(reach)),
            reach_probability: reach.map(|reach| reach.probability),
            time_nine_in_ten_s: reach.and_then(|reach| reach.time_nine_in_ten_s),
            torque_19_of_20_nm: self.study.nineteen_of_twenty_nm(place),
            run_scatter_percent: reach.map(|reach| 100.0 * reach.run.variance.sqrt()),
            unit_scatter_percent: reach.map(|_| self.unit_percent()),
        }
    }

    /// That nobody stands anywhere yet.
    fn standing(&self) -> Standing {
        Standing {
            rank: None,
            interval: None,
            rank_of: self.places().of,
            of: None,
            reach_count: None,
        }
    }

    /// Scatter from tool to tool in per cent.
    fn unit_percent(&self) -> f64 {
        let specimen = &self.study.uncertainty().specimen;
        100.0 * specimen.scatter.variance.sqrt()
    }

    /// The answer for a pair nobody ran: an estimate, or that there is none.
    fn not_run(&self, tool: usize, pack: usize) -> Answer {
        let estimated = self.study.estimates().and_then(|estimates| {
            Some((
                estimates.pair(self.field(), tool, pack)?,
                estimates.off_by_percent(),
            ))
        });
        match estimated {
            Some((estimated, off_by_percent)) => self.estimated(&estimated, off_by_percent),
            None => {
                let figures = self.figures(
                    (Some(tool), Some(pack)),
                    OfPair::not_run(self.field().set_aside((tool, pack))),
                    Sureness::default(),
                    self.standing(),
                    Vec::new(),
                );
                let wording = self.wording_of_not_run(tool, pack);
                wording.not_measured(figures)
            }
        }
    }

    fn estimated(&self, estimated: &Estimated, off_by_percent: f64) -> Answer {
        let (uncertainty, window_s) = (self.study.uncertainty(), self.field().window_s);
        let (tool, pack, job) = (estimated.tool, estimated.pack, self.job);
        let reach = uncertainty.reach_of_estimate(estimated, job.required_nm, self.uncertainty());
        let end_nm = uncertainty.torque_19_of_20_of_estimate_nm(estimated, window_s);
        let figures = self.figures(
            (Some(tool), Some(pack)),
            OfPair::estimated(self.field(), estimated, job),
            Sureness {
                verdict: Some(reach.verdict),
                reach_probability: Some(reach.probability),
                time_nine_in_ten_s: None,
                torque_19_of_20_nm: Some(end_nm),
                run_scatter_percent: Some(100.0 * reach.run.variance.sqrt()),
                unit_scatter_percent: Some(self.unit_percent()),
            },
            self.standing(),
            Vec::new(),
        );
        let wording = self.wording_of_not_run(tool, pack);
        wording.estimated(figures, off_by_percent, uncertainty.rig_percent(None))
    }

    /// The answers for the pairs asked for that nobody ran, best first by their typical curves.
    fn estimated_list(&self) -> Vec<Answer> {
        let Some(estimates) = self.study.estimates() else {
            return Vec::new();
        };
        let all = estimates.all(self.field(), self.asked());
        let (window_s, required_nm) = (self.field().window_s, self.job.required_nm);
        let standing =
            |one: &Estimated| pair::typical_standing(&one.combination, window_s, required_nm);
        let order = order(&all.iter().map(standing).collect::<Vec<_>>());
        let best_first = order.best_first.iter().filter_map(|&place| all.get(place));
        best_first
            .map(|one| self.estimated(one, estimates.off_by_percent()))
            .collect()
    }

    /// The band that 90 of 100 tries of the pair asked for stay in about its typical curve: time in
    /// s, lower and upper torque in N·m. Empty where no single pair is asked for, or there are too
    /// few runs to say.
    pub fn band(&self) -> Vec<(f64, f64, f64)> {
        let single = self.asked().tool.is_some() && self.asked().pack.is_some();
        let Some((_, member)) = self.matching().next().filter(|_| single) else {
            return Vec::new();
        };
        let uncertainty = self.study.uncertainty();
        if uncertainty.too_few() {
            return Vec::new();
        }
        self.band_about(&member.combination, member.tool, |run| {
            uncertainty.band(run, member)
        })
    }

    /// As [`JobStudy::band`], about an estimate.
    pub fn band_of_estimate(&self, estimated: &Estimated) -> Vec<(f64, f64, f64)> {
        self.band_about(&estimated.combination, estimated.tool, |run| {
            self.study.uncertainty().band_of_estimate(run, estimated)
        })
    }

    /// A band about a typical curve; `half` is half its width with a run scatter of its tool.
    fn band_about(
        &self,
        combination: &Combination,
        tool: usize,
        half: impl Fn(Scatter) -> f64,
    ) -> Vec<(f64, f64, f64)> {
        let scatter = self.study.band_scatter().iter();
        scatter
            .map(|(time_s, scatter)| {
                let factor = libm::exp(half(scatter.of_tool(tool)));
                let typical_nm = combination.torque_at(*time_s);
                (*time_s, typical_nm / factor, typical_nm * factor)
            })
            .collect()
    }

    /// The answer for every pair that matches.
    fn several(&self) -> Answer {
        let matching: Vec<(&Member, Listed)> = self
            .matching()
            .map(|(place, member)| (member, self.listed(place, member)))
            .collect();
        let reaching = || matching.iter().filter(|(_, one)| one.in_reach);
        let figures = self.figures(
            (self.asked().tool, self.asked().pack),
            OfPair::NONE,
            Sureness::default(),
            Standing {
                of: u32::try_from(matching.len()).ok(),
                reach_count: u32::try_from(reaching().count()).ok(),
                ..self.standing()
            },
            Vec::new(),
        );
        let lightest = reaching()
            .filter_map(|(member, one)| {
                let mass_kg = products::mass_kg(self.study.results, member.tool, member.pack)?;
                Some((one.label.clone(), mass_kg))
            })
            .min_by(|a, b| a.1.total_cmp(&b.1));
        let list: Vec<Listed> = matching.into_iter().map(|(_, one)| one).collect();
        let wording = self.wording(self.only_standard());
        wording.list(figures, &list, lightest)
    }

    /// What the words on several pairs say of one.
    fn listed(&self, place: usize, member: &Member) -> Listed {
        let reach = self.reach(place);
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

    /// How much tools of one model are taken to differ, and why.
    fn others(&self) -> Others {
        let uncertainty = self.study.uncertainty();
        let specimen = &uncertainty.specimen;
        Others {
            percent: 100.0 * specimen.scatter.variance.sqrt(),
            source: match (specimen.measured, self.asked().rig.unit_to_unit_percent) {
                (true, _) => Source::Specimens(uncertainty.further_specimens),
                (false, Some(_)) => Source::Beforehand,
                (false, None) => Source::Runs,
            },
        }
    }

    /// How many of the pairs asked for were run in the file's first setup and not in the one asked for.
    fn only_standard(&self) -> u64 {
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

    fn wording_of_not_run(&self, tool: usize, pack: usize) -> Wording<'s> {
        let other = self.asked().setup_place != 0;
        let run = other
            && self
                .study
                .run_in_standard()
                .binary_search(&(tool, pack))
                .is_ok();
        self.wording(u64::from(run))
    }

    /// `only_standard` of the pairs it speaks of were run in the file's first setup only.
    fn wording(&self, only_standard: u64) -> Wording<'s> {
        let (setup, results) = (&self.asked().setup, self.study.results);
        let extended = setups::figures::is_extended(setup);
        let standard = results.dataset.setups.first();
        let standard = standard.filter(|_| self.asked().setup_place != 0);
        Wording {
            catalogue: &results.catalogue,
            needed: self.job.needed,
            range_nm: self.job.range_nm,
            trigger_stated: results.dataset.least_trigger_s.is_some(),
            others: self.others(),
            extended,
            loss_unknown: extended && self.field().members.is_empty(),
            other_setup: standard.map(|standard| OtherSetup {
                name: &setup.name,
                standard: &standard.name,
                only_standard,
            }),
            setup_costs: self.study.setup_costs(),
            full_packs_c: self.field().ambient_c.filter(|_| {
                self.asked().setup_place == 0 && setup.start_charge_percent == Some(100.0)
            }),
        }
    }

    /// The figures of an answer for a pair, or for all of a tool, of a pack or of the field; `warnings`
    /// are its own.
    fn figures(
        &self,
        (tool, pack): (Option<usize>, Option<usize>),
        of_pair: OfPair,
        sure: Sureness,
        standing: Standing,
        mut warnings: Vec<String>,
    ) -> AnswerFigures {
        let (asked, job, results) = (self.asked(), self.job, self.study.results);
        let (dataset, catalogue) = (&results.dataset, &results.catalogue);
        warnings.extend(warnings::of_field(results, asked));
        let near = tool.map(|tool| checks::near(results, tool, pack, job));
        let tool = tool.and_then(|tool| dataset.tools.get(tool));
        let pack = pack.and_then(|pack| dataset.packs.get(pack));
        let range = job.range_nm.map(|(low, high)| vec![low, high]);
        let job_nm = range.unwrap_or_else(|| vec![job.torque_nm]);
        let (rank_low, rank_high) = standing.interval.unzip();
        AnswerFigures {
            basis: of_pair.basis,
            verdict: sure.verdict,
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
            loss_percent: job.loss_percent,
            required_torque_nm: job.required_nm,
            window_s: asked.window_s,
            within_s: asked.within_s,
            peak_torque_nm: of_pair.peak_torque_nm,
            largest_sample_nm: of_pair.largest_sample_nm,
            mean_torque_nm: of_pair.mean_torque_nm,
            early_torque_nm: of_pair.early_torque_nm,
            typical_end_nm: of_pair.typical_end_nm,
            still_rising: of_pair.still_rising,
            time_to_job_s: of_pair.time_to_job_s,
            work_j: of_pair.work_j,
            average_power_w: of_pair.average_power_w,
            rise_rate_nm_per_s: of_pair.rise_rate_nm_per_s,
            best_of_three_power_w: of_pair.best_of_three_power_w,
            best_of_three_rise_rate_nm_per_s: of_pair.best_of_three_rise_rate_nm_per_s,
            torque_19_of_20_nm: sure.torque_19_of_20_nm,
            reach_probability: sure.reach_probability,
            time_nine_in_ten_s: sure.time_nine_in_ten_s,
            rank: standing.rank,
            rank_low,
            rank_high,
            rank_of: Some(standing.rank_of),
            runs_used: of_pair.runs_used,
            runs_excluded: of_pair.runs_excluded,
            specimens: of_pair.specimens,
            run_scatter_percent: sure.run_scatter_percent,
            unit_scatter_percent: sure.unit_scatter_percent,
            jobs_per_charge: of_pair.jobs_per_charge,
            least_trigger_s: pair::least_trigger_s(dataset),
            field_checks: near.unwrap_or_default(),
            warnings,
            label: text::pair(
                catalogue,
                tool.map(|tool| tool.name.as_str()),
                pack.map(|pack| pack.name.as_str()),
            ),
            notice: text::notice(catalogue, dataset),
            caution: job.caution,
            setup_costs: Vec::new(),
            of: standing.of,
            reach_count: standing.reach_count,
        }
    }
}

/// How sure an answer is.
#[derive(Default)]
struct Sureness {
    verdict: Option<Verdict>,
    reach_probability: Option<f64>,
    time_nine_in_ten_s: Option<f64>,
    torque_19_of_20_nm: Option<f64>,
    run_scatter_percent: Option<f64>,
    unit_scatter_percent: Option<f64>,
}

/// Where a pair stands, or how many there are of several.
struct Standing {
    rank: Option<u32>,
    interval: Interval,
    rank_of: u32,
    of: Option<u32>,
    reach_count: Option<u32>,
}

fn verdict_of(reach: Option<Reach>) -> Verdict {
    reach.map_or(Verdict::TooFewRuns, |reach| reach.verdict)
}
