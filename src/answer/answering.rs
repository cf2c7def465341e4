//! One question answered: a pair, or the pairs that match. Figures and the words for them, put together.

use super::data::{Answer, StandingFigures, SureFigures};
use super::figures::{Listed, OtherSetup, Others};
use super::warnings;
use super::words::Wording;
use crate::dataset::types::{Direction, Job};
use crate::field::Member;
use crate::field::estimated::Estimated;
use crate::field::pair;
use crate::field::pair_figures::PairFigures;
use crate::nuts::data::NutsTried;
use crate::ranking::order::order;
use crate::results::products;
use crate::setups;
use crate::study::job::JobStudy;

impl<'s> JobStudy<'s> {
    /// The answer: for one pair, or for those that match, without the list of them.
    pub fn answer(&self) -> Answer {
        let answer = match (self.asked().tool, self.asked().pack) {
            (Some(tool), Some(pack)) => match self.matching().next() {
                Some((index, member)) => self.measured(index, member),
                None => self.not_run(tool, pack),
            },
            _ => self.several(),
        };
        Answer {
            setup_costs: self.study.setup_costs().to_vec(),
            nuts_tried: self.nuts_tried().to_vec(),
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
            .map(|(index, member)| self.measured(index, member))
            .collect();
        list.extend(self.estimated_list());
        Some(list)
    }

    fn measured(&self, index: usize, member: &Member) -> Answer {
        let (results, field) = (self.study.results, self.field());
        let interval = self.intervals().get(index).copied().flatten();
        let (rank_low, rank_high) = interval.unzip();
        let rank = self.places().ranks.get(index).copied().flatten();
        let others = Some(self.others()).filter(Others::are_known);
        let (asked, job) = (self.asked(), self.job);
        let others_percent = others.map(|others| others.tools.percent);
        let own = warnings::of_member(results, field, member, job, asked.edition, others_percent);
        let figures = self.figures(
            (Some(member.tool), Some(member.pack)),
            PairFigures::measured(results, field, member, Some(job)),
            self.sureness(index),
            StandingFigures {
                rank,
                rank_low,
                rank_high,
                ..self.standing()
            },
            own,
        );
        let rig_percent = self.study.uncertainty().rig_percent(Some(index));
        self.wording(0).measured(figures, rig_percent)
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
                    PairFigures::not_run(self.field().set_aside((tool, pack))),
                    SureFigures::default(),
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
        let reach = self.reach_of_estimate(estimated);
        let end_nm = uncertainty.torque_19_of_20_of_estimate_nm(estimated, window_s);
        let others = self.others();
        let figures = self.figures(
            (Some(tool), Some(pack)),
            PairFigures::estimated(self.field(), estimated, Some(job)),
            SureFigures {
                verdict: Some(reach.verdict),
                reach_probability: Some(reach.probability),
                time_nine_in_ten_s: None,
                torque_19_of_20_nm: Some(end_nm),
                run_scatter_percent: Some(100.0 * reach.run.variance.sqrt()),
                unit_scatter_percent: Some(others.tools.percent),
                pack_scatter_percent: Some(others.packs.percent),
                day_scatter_percent: Some(others.days.percent),
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
        let best_first = order.best_first.iter().filter_map(|&index| all.get(index));
        best_first
            .map(|one| self.estimated(one, estimates.off_by_percent()))
            .collect()
    }

    /// The answer for every pair that matches.
    fn several(&self) -> Answer {
        let matching: Vec<(&Member, Listed)> = self
            .matching()
            .map(|(index, member)| (member, self.listed(index, member)))
            .collect();
        let reaching = || matching.iter().filter(|(_, one)| one.in_reach);
        let figures = self.figures(
            (self.asked().tool, self.asked().pack),
            PairFigures::default(),
            SureFigures::default(),
            StandingFigures {
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

    /// What real nuts say that were tried, where one is to be loosened.
    fn nuts_tried(&self) -> &'s [NutsTried] {
        match self.job.direction {
            Direction::Loosen => &self.study.nuts().told,
            Direction::Tighten => &[],
        }
    }

    /// The file's job that is asked for.
    fn listed_job(&self) -> Option<&'s Job> {
        let id = self.job.id.as_ref()?;
        let mut jobs = self.study.results.dataset.jobs.iter();
        jobs.find(|job| job.id == *id)
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
            listed: self.listed_job(),
            range: self.job.range,
            read_as: self.job.read_as,
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
            nuts: self.nuts_tried(),
            checked: self.job.checked,
            full_packs_c: self.field().ambient_c.filter(|_| {
                self.asked().setup_place == 0 && setup.start_charge_percent == Some(100.0)
            }),
        }
    }
}
