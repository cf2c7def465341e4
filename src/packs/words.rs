//! The packs on one tool, in words.

use super::data::{PackOnTool, Packs};
use crate::compare::data::{CompareVerdict, Panel, PanelRow};
use crate::compare::words::{CompareWording, excludes_1};
use crate::text::{given_percent, given_time, number};

/// What people know a pack by.
pub struct NamedPack {
    /// Its name.
    pub name: String,
    /// Cells in series.
    pub cells: Option<u32>,
    /// Nominal voltage in V.
    pub nominal_v: Option<f64>,
}

impl CompareWording<'_> {
    /// The packs on one tool; `names` in their order. Nothing where there are not two.
    pub fn packs(&self, packs: &Packs, names: &[NamedPack]) -> Option<Panel> {
        let against = packs.packs.iter().zip(names);
        let (against, named) = against
            .clone()
            .find(|(pack, _)| Some(&pack.pack) == packs.against.as_ref())?;
        if packs.packs.len() < 2 {
            return None;
        }
        let window = given_time(self.catalogue, self.window_s);
        let values = [("pack", named.name.as_str()), ("window", &window)];
        Some(Panel {
            notice: self.notice.clone(),
            headline: self.fill("packs.against", &values),
            lines: self.lines_of_packs(packs, names),
            prices: self.price_line(packs.packs.iter().any(|pack| pack.price.is_some())),
            headings: Vec::new(),
            rows: packs
                .packs
                .iter()
                .zip(names)
                .map(|(pack, named)| self.pack(pack, named, against))
                .collect(),
        })
    }

    /// Which packs match, and what that assumes.
    fn lines_of_packs(&self, packs: &Packs, names: &[NamedPack]) -> Vec<String> {
        let mut lines = self.groups(packs, names);
        let assumed = self.packs_assumed_percent;
        lines.extend(assumed.map(|assumed| {
            let assumed = given_percent(self.catalogue, assumed);
            self.fill("packs.assumed", &[("assumed", &assumed)])
        }));
        lines
    }

    /// Which packs match.
    fn groups(&self, packs: &Packs, names: &[NamedPack]) -> Vec<String> {
        let mut lines: Vec<String> = Vec::new();
        let last = packs.packs.iter().filter_map(|pack| pack.group).max();
        for group in 1..=last.unwrap_or_default() {
            let own = packs.packs.iter().zip(names);
            let own = own.filter(|(pack, _)| pack.group == Some(group));
            let alike: Vec<&str> = own.clone().map(|(_, named)| named.name.as_str()).collect();
            let values = [("packs", &*alike.join(", ")), ("margin", &self.margin())];
            let mut own = own.map(|(pack, _)| pack);
            let key = if own.all(|pack| pack.group_matches == Some(true)) {
                "packs.match"
            } else {
                "packs.alike"
            };
            lines.push(self.fill(key, &values));
        }
        let half_matched = |pack: &PackOnTool| {
            pack.verdict.is_some_and(CompareVerdict::is_alike) && pack.group.is_none()
        };
        if packs.packs.iter().any(half_matched) {
            lines.push(self.fill("packs.no_group", &[]));
        }
        lines
    }

    fn pack(&self, pack: &PackOnTool, named: &NamedPack, against: &PackOnTool) -> PanelRow {
        let heavier = pack.mass_kg.zip(against.mass_kg);
        let heavier = heavier.and_then(|(own, other)| self.more_mass(own, other));
        let (line, sure) = match pack.mean_torque_ratio {
            None => (self.fill("packs.this", &[]), String::new()),
            Some(ratio) => {
                let gain = self.gain(ratio.ratio);
                let line = match heavier {
                    Some(mass) => self.fill("packs.line", &[("percent", &gain), ("mass", &mass)]),
                    None => self.fill("packs.line_same_mass", &[("percent", &gain)]),
                };
                (line, self.sure(pack, &ratio))
            }
        };
        PanelRow {
            pack: Some(pack.pack.clone()),
            cells: vec![named.name.clone(), line, sure, self.facts(pack, named)],
        }
    }

    fn sure(&self, pack: &PackOnTool, ratio: &crate::compare::data::Ratio) -> String {
        let key = match pack.verdict {
            Some(CompareVerdict::Match) => "packs.verdict.match",
            Some(CompareVerdict::AlikeAsTested) => "packs.verdict.alike",
            Some(CompareVerdict::Undecided) if excludes_1(ratio) => "packs.verdict.as_tested",
            Some(CompareVerdict::Undecided) => "packs.verdict.undecided",
            Some(CompareVerdict::TooFewRuns) | None => return String::new(),
            Some(CompareVerdict::Differ) => "packs.verdict.differ",
        };
        self.fill(key, &[("give", &self.give_or_take(ratio))])
    }

    /// What else there is to know of a pack, in short.
    fn facts(&self, pack: &PackOnTool, named: &NamedPack) -> String {
        let style = self.style();
        let fact = |key: &str, number: String| self.fill(key, &[("number", &number)]);
        let facts = [
            named
                .nominal_v
                .map(|nominal_v| fact("packs.nominal", number::given(nominal_v, style))),
            named
                .cells
                .map(|cells| self.catalogue.fill_plural("packs.cells", cells.into(), &[])),
            pack.energy_wh
                .map(|energy_wh| fact("packs.energy", number::given(energy_wh, style))),
            pack.lowest_v_per_cell
                .map(|voltage_v| fact("packs.loaded", number::cell_voltage(voltage_v, style))),
            pack.resistance_ohm
                .map(|ohm| fact("packs.resistance", number::milliohm(ohm, style))),
            self.price(pack.price, pack.currency.as_deref())
                .map(|price| self.fill("packs.price", &[("price", &price)])),
        ];
        let facts: Vec<String> = facts.into_iter().flatten().collect();
        facts.join(", ")
    }
}
