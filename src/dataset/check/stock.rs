//! Tools, packs, specimens, jobs and checks on real fasteners.

use super::{Checker, List};
use crate::dataset::indices::ById;
use crate::dataset::limits::{self, JOB_TORQUE_NM};
use crate::dataset::pointer::Pointer;
use crate::dataset::types::{Price, Specimen};
use crate::problem::quoted;

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
        for (i, tool) in dataset.tools.iter().enumerate() {
            let pointer = gaps.pointer("tools", i);
            let is_first = self.indices.tools.get(&tool.id) == Some(i);
            self.id(&pointer, &tool.id, is_first);
            self.texts(
                &pointer,
                &[
                    ("name", Some(&tool.name)),
                    ("maker", tool.maker.as_deref()),
                    ("drive_shape", tool.drive_shape.as_deref()),
                    ("pack_mount", Some(&tool.pack_mount)),
                ],
            );
            for (k, name) in tool.aka.iter().enumerate() {
                self.text(&pointer.element("aka", k), "aka", name);
            }
            self.fields(
                &pointer,
                &[
                    ("drive_mm", tool.drive_mm),
                    ("mass_kg", tool.mass_kg),
                    ("length_mm", tool.length_mm),
                    ("centre_to_side_mm", tool.centre_to_side_mm),
                    ("stated_tightening_nm", tool.stated_tightening_nm),
                    ("stated_loosening_nm", tool.stated_loosening_nm),
                ],
            );
            self.month(&pointer.member("last_sold"), tool.last_sold.as_deref());
            self.prices(&pointer, &tool.prices);
        }
    }

    fn packs(&mut self) {
        let (dataset, gaps) = (self.dataset, self.gaps);
        for (i, pack) in dataset.packs.iter().enumerate() {
            let pointer = gaps.pointer("packs", i);
            let is_first = self.indices.packs.get(&pack.id) == Some(i);
            self.id(&pointer, &pack.id, is_first);
            let cells = pack.cells.as_ref();
            self.texts(
                &pointer,
                &[
                    ("name", Some(&pack.name)),
                    ("pack_mount", Some(&pack.pack_mount)),
                ],
            );
            self.fields(
                &pointer,
                &[
                    ("nominal_v", pack.nominal_v),
                    ("capacity_ah", pack.capacity_ah),
                    ("mass_kg", pack.mass_kg),
                ],
            );
            let inside = pointer.member("cells");
            let format = cells.and_then(|cells| cells.format.as_deref());
            self.texts(&inside, &[("format", format)]);
            let [series, parallel] = [
                cells.and_then(|cells| cells.series),
                cells.and_then(|cells| cells.parallel),
            ]
            .map(|count| count.map(f64::from));
            self.fields(&inside, &[("series", series), ("parallel", parallel)]);
            self.prices(&pointer, &pack.prices);
        }
    }

    fn prices(&mut self, pointer: &Pointer, prices: &[Price]) {
        for (k, price) in prices.iter().enumerate() {
            let pointer = pointer.element("prices", k);
            self.field(&pointer, "amount", Some(price.amount));
            self.texts(&pointer, &[("where", price.place.as_deref())]);
            if price.currency.len() != 3
                || !price.currency.bytes().all(|byte| byte.is_ascii_uppercase())
            {
                self.problem(
                    &pointer.member("currency"),
                    quoted(&price.currency),
                    "three capital letters such as \"EUR\"",
                );
            }
            self.date(&pointer.member("date"), &price.date);
        }
    }

    fn specimens(&mut self) {
        let dataset = self.dataset;
        let whole = |specimen: &Specimen| {
            let [tool, pack] = [&specimen.tool, &specimen.pack].map(|id| id.as_deref());
            let [tool, pack] = [tool, pack].map(Option::unwrap_or_default);
            [tool, pack, specimen.specimen.as_str()].join("\0")
        };
        let whole: Vec<String> = dataset.specimens.iter().map(whole).collect();
        let listed = ById::of(&whole, |whole| whole);
        for (i, (specimen, whole)) in dataset.specimens.iter().zip(&whole).enumerate() {
            let pointer = self.gaps.pointer("specimens", i);
            if listed.get(whole) != Some(i) {
                self.problem(
                    &pointer.member("specimen"),
                    format!("the specimen {} again", quoted(&specimen.specimen)),
                    "every specimen of a tool or pack once",
                );
            }
            self.month(&pointer.member("made"), specimen.made.as_deref());
            self.texts(
                &pointer,
                &[
                    ("specimen", Some(&specimen.specimen)),
                    ("got_from", specimen.got_from.as_deref()),
                    ("serial_ends", specimen.serial_ends.as_deref()),
                ],
            );
            if specimen.tool.is_some() == specimen.pack.is_some() {
                let found = if specimen.tool.is_some() {
                    "both \"tool\" and \"pack\""
                } else {
                    "neither \"tool\" nor \"pack\""
                };
                self.problem(&pointer, found, "one of the two");
            }
            if let Some(tool) = &specimen.tool {
                self.known(&pointer.member("tool"), tool, List::Tools);
            }
            if let Some(pack) = &specimen.pack {
                self.known(&pointer.member("pack"), pack, List::Packs);
            }
        }
    }

    fn jobs(&mut self) {
        let (dataset, gaps) = (self.dataset, self.gaps);
        let jobs = ById::of(&dataset.jobs, |job| &job.id);
        for (i, job) in dataset.jobs.iter().enumerate() {
            let pointer = gaps.pointer("jobs", i);
            self.id(&pointer, &job.id, jobs.get(&job.id) == Some(i));
            self.texts(
                &pointer,
                &[
                    ("label", Some(&job.label)),
                    ("fastener", job.fastener.as_deref()),
                    ("source", job.source.as_deref()),
                ],
            );
            let pointer = &pointer.member("torque_nm");
            for &figure in job.torque_nm.figures() {
                self.number(pointer, figure, JOB_TORQUE_NM, limits::unit("torque_nm"));
            }
            match job.torque_nm.figures() {
                [_] => {}
                &[low, high] if low > high => self.problem(
                    pointer,
                    format!("[{}, {}]", (self.digits)(low), (self.digits)(high)),
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
                self.date(&pointer.member("date"), date);
            }
            if let Some(tool) = &check.tool {
                self.known(&pointer.member("tool"), tool, List::Tools);
            }
            if let Some(pack) = &check.pack {
                self.known(&pointer.member("pack"), pack, List::Packs);
            }
            self.texts(
                &pointer,
                &[
                    ("fastener", check.fastener.as_deref()),
                    ("state", check.state.as_deref()),
                ],
            );
            self.fields(
                &pointer,
                &[
                    ("installed_nm", check.installed_nm),
                    ("tried_s", check.tried_s),
                ],
            );
        }
    }
}
