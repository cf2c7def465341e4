//! How it was measured, and who paid, in words.

use super::coverage::Extent;
use super::data::EditionTold;
use crate::dataset::types::{Correction, Dataset, Edition, Rig, Rotation, Setup, TorqueFrom};
use crate::text::catalogue::Catalogue;
use crate::text::passage::Passage;
use crate::text::specimen::{self, Kind};
use crate::text::{edition_named, given_time, number, percent, span, warning};

/// What the words need.
struct Wording<'a> {
    catalogue: &'a Catalogue,
    dataset: &'a Dataset,
}

/// How it was measured, and who paid.
pub fn measured(catalogue: &Catalogue, dataset: &Dataset, extent: &Extent) -> Vec<Passage> {
    let wording = Wording { catalogue, dataset };
    let paid = [Some(dataset.disclosure.clone()), wording.contact()];
    let passages = [
        (
            "measured.section.paid",
            paid.into_iter().flatten().collect(),
        ),
        ("measured.section.got", wording.got()),
        ("measured.section.rig", wording.rigs()),
        ("measured.section.setup", wording.setups()),
        ("measured.section.runs", wording.extent(extent)),
        ("measured.section.not", wording.not_measured()),
    ];
    let passages = passages.into_iter().filter(|(_, lines)| !lines.is_empty());
    passages
        .map(|(heading, lines)| Passage {
            heading: catalogue.fill(heading, &[]),
            lines,
        })
        .collect()
}

/// How to cite an edition, and under which licence it stands.
pub fn citation(catalogue: &Catalogue, dataset: &Dataset) -> Vec<String> {
    let newest = dataset.editions.last();
    let edition = newest.map_or_else(String::new, |edition| edition_named(catalogue, edition));
    let mut cited: Vec<&str> = dataset.publisher.iter().map(String::as_str).collect();
    cited.extend([dataset.title.as_str(), &edition, &dataset.license]);
    vec![
        catalogue.fill("cite.as", &[("text", &cited.join(". "))]),
        catalogue.fill("cite.license", &[("text", &dataset.license)]),
    ]
}

/// What a correction changed, and why.
#[cfg(not(target_arch = "wasm32"))]
pub(crate) fn correction(
    catalogue: &Catalogue,
    dataset: &Dataset,
    correction: &Correction,
) -> String {
    Wording { catalogue, dataset }.correction(correction)
}

/// Every edition, newest first, `with_changes` with what each changed.
pub fn editions(catalogue: &Catalogue, dataset: &Dataset, with_changes: bool) -> Vec<EditionTold> {
    let wording = Wording { catalogue, dataset };
    let mut published = dataset
        .editions
        .iter()
        .rev()
        .filter(|edition| !edition.is_draft());
    let newest = published.next().map(|edition| edition.edition);
    let told = |edition: &Edition| {
        let outdated = newest.filter(|newest| *newest > edition.edition);
        EditionTold {
            edition: edition.edition,
            name: edition_named(catalogue, edition),
            lines: if with_changes {
                wording.edition(edition)
            } else {
                Vec::new()
            },
            corrected: warning::corrected(catalogue, edition.edition),
            outdated: outdated.map(|newest| {
                let (edition, newest) = (edition.edition.to_string(), newest.to_string());
                wording.fill(
                    "edition.outdated",
                    &[("edition", &edition), ("newest", &newest)],
                )
            }),
        }
    };
    dataset.editions.iter().rev().map(told).collect()
}

impl Wording<'_> {
    fn fill(&self, key: &str, values: &[(&str, &str)]) -> String {
        self.catalogue.fill(key, values)
    }

    /// A text of the file in a sentence, if there is one.
    fn with(&self, key: &str, text: Option<&str>) -> Option<String> {
        text.map(|text| self.fill(key, &[("text", text)]))
    }

    fn contact(&self) -> Option<String> {
        self.with("measured.contact", self.dataset.contact.as_deref())
    }

    /// How each tool and pack was got: one line for each.
    fn got(&self) -> Vec<String> {
        let dataset = self.dataset;
        let tools = dataset
            .tools
            .iter()
            .map(|tool| (Kind::Tool, &tool.id, &tool.name));
        let packs = dataset
            .packs
            .iter()
            .map(|pack| (Kind::Pack, &pack.id, &pack.name));
        let line = |(kind, id, name): (Kind, &String, &String)| {
            let own = dataset.specimens.iter().filter(|specimen| match kind {
                Kind::Tool => specimen.tool.as_ref() == Some(id),
                Kind::Pack => specimen.pack.as_ref() == Some(id),
            });
            let own: Vec<String> = own
                .map(|specimen| {
                    let mut parts = vec![specimen::name(self.catalogue, kind, &specimen.specimen)];
                    parts.extend(specimen::got(self.catalogue, specimen));
                    parts.extend(self.with("specimen.from", specimen.got_from.as_deref()));
                    let made = specimen.made.as_ref().map(|made| self.catalogue.date(made));
                    parts.extend(self.with("specimen.made", made.as_deref()));
                    parts.join(", ")
                })
                .collect();
            (!own.is_empty()).then(|| {
                let values = [("tool", name.as_str()), ("text", &own.join("; "))];
                self.fill("specimen.line", &values)
            })
        };
        tools.chain(packs).filter_map(line).collect()
    }

    /// What people ask for and this data cannot say.
    fn not_measured(&self) -> Vec<String> {
        let setups = &self.dataset.setups;
        let part_empty =
            |setup: &Setup| setup.start_charge_percent.is_some_and(|full| full < 100.0);
        let packs = match setups.iter().any(part_empty) {
            true => "measured.not.old_packs",
            false => "measured.not.packs",
        };
        let one_rig = self.dataset.rigs.len() == 1;
        let keys = [
            Some(packs),
            Some("measured.not.heat"),
            one_rig.then_some("measured.not.rig"),
            Some("measured.not.noise"),
        ];
        keys.into_iter()
            .flatten()
            .map(|key| self.fill(key, &[]))
            .collect()
    }

    fn rigs(&self) -> Vec<String> {
        let rigs = &self.dataset.rigs;
        let mut lines: Vec<String> = rigs.iter().flat_map(|rig| self.rig(rig)).collect();
        if rigs.len() > 1 {
            lines.push(self.fill("measured.rigs", &[]));
        }
        lines
    }

    fn rig(&self, rig: &Rig) -> Vec<String> {
        let name = rig.name.as_deref().unwrap_or(&rig.id);
        let from = match rig.torque_from {
            TorqueFrom::BoltTension => "measured.bolt_tension",
            TorqueFrom::TorqueSensor => "measured.torque_sensor",
        };
        let window = given_time(self.catalogue, rig.window_s());
        let mut lines = vec![
            self.fill(from, &[("rig", name)]),
            self.fill("measured.window", &[("window", &window)]),
        ];
        for joint in &rig.joints {
            let mut said = vec![self.fill("measured.joint", &[("text", &joint.name)])];
            said.extend(self.with("measured.lubricant", joint.lubricant.as_deref()));
            lines.push(said.join(" "));
        }
        for calibrated in &rig.calibrations {
            let mut said = vec![calibration(
                self.catalogue,
                &calibrated.date,
                calibrated.expanded_uncertainty_percent,
                calibrated.coverage_factor(),
            )];
            let note = calibrated.note.as_ref();
            said.extend(note.map(|note| noted(self.catalogue, note)));
            lines.push(said.join(" "));
        }
        lines
    }

    /// The standard setup in full, the others by name.
    fn setups(&self) -> Vec<String> {
        let mut setups = self.dataset.setups.iter();
        let mut lines = Vec::new();
        lines.extend(setups.next().map(|setup| self.standard(setup)));
        let others =
            setups.map(|setup| self.fill("measured.other_setup", &[("text", &setup.name)]));
        lines.extend(others);
        lines
    }

    fn standard(&self, setup: &Setup) -> String {
        let style = &self.catalogue.number;
        let units = &self.catalogue.units;
        let given =
            |value: f64, unit: &str| self.catalogue.quantity(&number::given(value, style), unit);
        let mut said = vec![self.fill("measured.setup", &[("text", &setup.name)])];
        said.extend(setup.rotation.map(|rotation| match rotation {
            Rotation::Forward => self.fill("measured.forward", &[]),
            Rotation::Reverse => self.fill("measured.reverse", &[]),
        }));
        said.extend(self.with("measured.mode", setup.tool_mode.as_deref()));
        let charge = setup.start_charge_percent;
        let charge = charge.map(|charge| given(charge, &units.percent));
        said.extend(self.with("measured.charge", charge.as_deref()));
        let start = setup.pack_start_c.map(|start| number::given(start, style));
        said.extend(self.with("measured.pack_start", start.as_deref()));
        said.extend(setup.extension_mm.map(|length| {
            if length > 0.0 {
                self.fill(
                    "measured.extension",
                    &[("text", &given(length, &units.millimetre))],
                )
            } else {
                self.fill("measured.no_extension", &[])
            }
        }));
        said.extend(self.with("measured.adapters", setup.adapters.as_deref()));
        said.join(" ")
    }

    /// What was run, when, and how warm it was.
    fn extent(&self, extent: &Extent) -> Vec<String> {
        let plural = |key: &str, count: u64| self.catalogue.fill_plural(key, count, &[]);
        let counts = [
            ("runs", plural("count.runs", extent.runs)),
            ("pairs", plural("count.pairs", extent.pairs)),
            ("tools", plural("count.tools", extent.tools)),
            ("packs", plural("count.packs", extent.packs)),
        ];
        let counts = counts.each_ref().map(|(name, text)| (*name, text.as_str()));
        let mut lines = vec![self.fill("measured.counts", &counts)];
        if let Some((from, to)) = extent.span {
            let (from, to) = (self.catalogue.date(from), self.catalogue.date(to));
            let values = [("from", from.as_str()), ("to", &to)];
            let days = self
                .catalogue
                .fill_plural("measured.days", extent.days, &values);
            let mut said = vec![days];
            said.extend(extent.ambient_c.map(|(low, high)| {
                let temperature = span(self.catalogue, low, high);
                self.fill("measured.ambient", &[("temperature", &temperature)])
            }));
            lines.push(said.join(" "));
        }
        if extent.set_aside > 0 {
            lines.push(plural("measured.set_aside", extent.set_aside));
        }
        if extent.controls > 0 {
            lines.push(plural("measured.controls", extent.controls));
        }
        lines
    }

    /// What an edition brought, and what it corrected.
    fn edition(&self, edition: &Edition) -> Vec<String> {
        let note = edition.note.iter();
        let mut lines: Vec<String> = note.map(|note| noted(self.catalogue, note)).collect();
        lines.extend(
            edition
                .corrections
                .iter()
                .map(|correction| self.correction(correction)),
        );
        lines
    }

    fn correction(&self, correction: &Correction) -> String {
        let dataset = self.dataset;
        let mut said = vec![self.fill("edition.correction", &[("text", &correction.text)])];
        let days = dataset.days.iter();
        let days = days.filter(|day| correction.days.contains(&day.id));
        let days: Vec<String> = days.map(|day| self.catalogue.date(&day.date)).collect();
        if !days.is_empty() {
            let days = days.join(", ");
            let torque_factor = correction.torque_factor.unwrap_or(1.0);
            said.extend(factor(
                self.catalogue,
                torque_factor,
                ["edition.lowered", "edition.raised"],
                ("days", &days),
            ));
        }
        let tools = dataset.tools.iter();
        let tools = tools.filter(|tool| correction.tools.contains(&tool.id));
        let tools: Vec<&str> = tools.map(|tool| tool.name.as_str()).collect();
        if !tools.is_empty() {
            said.push(self.fill("edition.tools", &[("tools", &tools.join(", "))]));
        }
        said.join(" ")
    }
}

/// When a rig was calibrated, and how far it may read wrong.
pub(crate) fn calibration(
    catalogue: &Catalogue,
    date: &str,
    uncertainty_percent: Option<f64>,
    coverage_factor: f64,
) -> String {
    let date = catalogue.date(date);
    let Some(uncertainty) = uncertainty_percent else {
        return catalogue.fill("measured.calibrated", &[("date", &date)]);
    };
    let percent = percent(catalogue, uncertainty);
    let factor = number::given(coverage_factor, &catalogue.number);
    let values = [
        ("date", date.as_str()),
        ("percent", &percent),
        ("factor", &factor),
    ];
    catalogue.fill("measured.calibrated_within", &values)
}

/// By how many per cent a factor lowers or raises torque: the one sentence or the other, with a
/// value beside the percentage; nothing for a factor of 1.
pub(crate) fn factor(
    catalogue: &Catalogue,
    factor: f64,
    [lowered, raised]: [&str; 2],
    value: (&str, &str),
) -> Option<String> {
    let key = if factor < 1.0 { lowered } else { raised };
    let percent = percent(catalogue, 100.0 * (factor - 1.0).abs());
    (factor != 1.0).then(|| catalogue.fill(key, &[value, ("percent", &percent)]))
}

/// A note of the file.
pub(crate) fn noted(catalogue: &Catalogue, note: &str) -> String {
    catalogue.fill("measured.note", &[("text", note.trim_end_matches('.'))])
}
