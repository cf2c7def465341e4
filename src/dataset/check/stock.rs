//! Tools, packs, specimens, jobs and checks on real fasteners.

use super::{Checker, List, Range};
use crate::dataset::types::Price;
use crate::problem::quoted;

/// Job torques that are taken, in N·m.
const JOB_TORQUE: Range = Range::Within(1.0, 20_000.0);

impl Checker<'_> {
    pub(super) fn stock(&mut self) {
        self.tools();
        self.packs();
        self.specimens();
        self.jobs();
        self.field_checks();
    }

    fn tools(&mut self) {
        let (dataset, gaps) = (self.dataset, self.gaps);
        self.unique_ids(
            dataset
                .tools
                .iter()
                .enumerate()
                .map(|(i, tool)| (gaps.pointer("tools", i), tool.id.as_str())),
        );
        for (i, tool) in dataset.tools.iter().enumerate() {
            let pointer = gaps.pointer("tools", i);
            for (name, value) in [
                ("drive_mm", tool.drive_mm),
                ("mass_kg", tool.mass_kg),
                ("length_mm", tool.length_mm),
                ("centre_to_side_mm", tool.centre_to_side_mm),
                ("stated_tightening_nm", tool.stated_tightening_nm),
                ("stated_loosening_nm", tool.stated_loosening_nm),
            ] {
                self.number(format!("{pointer}/{name}"), value, Range::Positive);
            }
            self.prices(&pointer, &tool.prices);
        }
    }

    fn packs(&mut self) {
        let (dataset, gaps) = (self.dataset, self.gaps);
        self.unique_ids(
            dataset
                .packs
                .iter()
                .enumerate()
                .map(|(i, pack)| (gaps.pointer("packs", i), pack.id.as_str())),
        );
        for (i, pack) in dataset.packs.iter().enumerate() {
            let pointer = gaps.pointer("packs", i);
            for (name, value) in [
                ("nominal_v", pack.nominal_v),
                ("capacity_ah", pack.capacity_ah),
                ("mass_kg", pack.mass_kg),
            ] {
                self.number(format!("{pointer}/{name}"), value, Range::Positive);
            }
            let cells = pack.cells.as_ref();
            for (name, count) in [
                ("series", cells.and_then(|cells| cells.series)),
                ("parallel", cells.and_then(|cells| cells.parallel)),
            ] {
                self.number(
                    format!("{pointer}/cells/{name}"),
                    count.map(f64::from),
                    Range::Within(1.0, 1000.0),
                );
            }
            self.prices(&pointer, &pack.prices);
        }
    }

    fn prices(&mut self, pointer: &str, prices: &[Price]) {
        for (k, price) in prices.iter().enumerate() {
            let pointer = format!("{pointer}/prices/{k}");
            self.number(
                format!("{pointer}/amount"),
                Some(price.amount),
                Range::Positive,
            );
            if price.currency.len() != 3
                || !price.currency.bytes().all(|byte| byte.is_ascii_uppercase())
            {
                self.problem(
                    format!("{pointer}/currency"),
                    quoted(&price.currency),
                    "three capital letters such as \"EUR\"",
                );
            }
            self.date(format!("{pointer}/date"), &price.date);
        }
    }

    fn specimens(&mut self) {
        for (i, specimen) in self.dataset.specimens.iter().enumerate() {
            let pointer = self.gaps.pointer("specimens", i);
            if specimen.tool.is_some() == specimen.pack.is_some() {
                let found = if specimen.tool.is_some() {
                    "both \"tool\" and \"pack\""
                } else {
                    "neither \"tool\" nor \"pack\""
                };
                self.problem(&pointer, found, "one of the two");
            }
            if let Some(tool) = &specimen.tool {
                self.known(format!("{pointer}/tool"), tool, List::Tools);
            }
            if let Some(pack) = &specimen.pack {
                self.known(format!("{pointer}/pack"), pack, List::Packs);
            }
        }
    }

    fn jobs(&mut self) {
        let (dataset, gaps) = (self.dataset, self.gaps);
        self.unique_ids(
            dataset
                .jobs
                .iter()
                .enumerate()
                .map(|(i, job)| (gaps.pointer("jobs", i), job.id.as_str())),
        );
        for (i, job) in dataset.jobs.iter().enumerate() {
            let pointer = format!("{}/torque_nm", gaps.pointer("jobs", i));
            for &figure in job.torque_nm.figures() {
                self.number(pointer.clone(), Some(figure), JOB_TORQUE);
            }
            match job.torque_nm.figures() {
                [_] => {}
                [low, high] if low > high => self.problem(
                    pointer,
                    format!("[{low}, {high}]"),
                    "the smaller figure first",
                ),
                [_, _] => {}
                other => self.problem(
                    pointer,
                    format!("{} figures", other.len()),
                    "one figure or two",
                ),
            }
        }
    }

    fn field_checks(&mut self) {
        for (i, check) in self.dataset.field_checks.iter().enumerate() {
            let pointer = self.gaps.pointer("field_checks", i);
            if let Some(date) = &check.date {
                self.date(format!("{pointer}/date"), date);
            }
            if let Some(tool) = &check.tool {
                self.known(format!("{pointer}/tool"), tool, List::Tools);
            }
            if let Some(pack) = &check.pack {
                self.known(format!("{pointer}/pack"), pack, List::Packs);
            }
            self.number(
                format!("{pointer}/installed_nm"),
                check.installed_nm,
                Range::Positive,
            );
            self.number(format!("{pointer}/tried_s"), check.tried_s, Range::Positive);
        }
    }
}
