//! Two pairs side by side, in words.

use super::data::{CompareVerdict, ComparedPair, Comparison, Panel, PanelRow, Ratio};
use crate::results::prices::{self, Priced};
use crate::text::catalogue::Catalogue;
use crate::text::number::{self, RoundingDirection, SmallFigure};
use crate::text::{RequiredTorque, given_percent, given_time, percent, time, torque};
use crate::units::{Duration, TorqueUnit};

/// What the words of a comparison need beside its figures.
pub struct CompareWording<'a> {
    /// The language.
    pub catalogue: &'a Catalogue,
    /// The unit of every torque.
    pub unit: TorqueUnit,
    /// The needed torque, if there is a job.
    pub needed: Option<RequiredTorque>,
    /// Says that the data are made up, if they are.
    pub notice: Option<String>,
    /// Length of a run that counts, in s.
    pub window_s: f64,
    /// Ratios within this many per cent are a match.
    pub margin_percent: Option<f64>,
    /// What tools of one model are assumed to differ by, in per cent; `None` if that is more than an
    /// assumption.
    pub tools_assumed_percent: Option<f64>,
    /// The same of packs of one kind.
    pub packs_assumed_percent: Option<f64>,
    /// Of when the prices of the field are, if it has any.
    pub priced: Option<Priced>,
}

impl CompareWording<'_> {
    pub(crate) fn fill(&self, key: &str, values: &[(&str, &str)]) -> String {
        self.catalogue.fill(key, values)
    }

    /// The margin, as the file states it.
    pub(crate) fn margin(&self) -> String {
        given_percent(self.catalogue, self.margin_percent.unwrap_or_default())
    }

    pub(crate) fn style(&self) -> &number::NumberStyle {
        &self.catalogue.number
    }

    /// Two pairs side by side. `names` tell them apart, by their packs alone if `by_pack`.
    pub fn side_by_side(
        &self,
        comparison: &Comparison,
        (names, by_pack): ([String; 2], bool),
    ) -> Panel {
        Panel {
            notice: self.notice.clone(),
            headline: self.headline(comparison, &names, by_pack),
            lines: self.lines(comparison, &names),
            prices: self.price_line(comparison.pairs.iter().any(|pair| pair.price.is_some())),
            rows: self.rows(comparison),
            headings: [String::new()]
                .into_iter()
                .chain(names)
                .chain([self.fill("compare.difference", &[]), String::new()])
                .collect(),
        }
    }

    fn headline(&self, comparison: &Comparison, names: &[String; 2], by_pack: bool) -> String {
        let [first, second] = names;
        let ratio = comparison.mean_torque_ratio;
        match comparison.verdict.zip(ratio) {
            None => {
                let [_, other] = &comparison.pairs;
                let missing = if other.runs_used == 0 { second } else { first };
                self.fill("compare.not_run", &[("pair", missing)])
            }
            Some((CompareVerdict::TooFewRuns, _)) => self.fill("answer.too_few_runs", &[]),
            Some((CompareVerdict::Match, _)) => {
                self.fill("compare.match", &[("margin", &self.margin())])
            }
            Some((CompareVerdict::AlikeAsTested, _)) => {
                self.fill("compare.alike", &[("margin", &self.margin())])
            }
            Some((CompareVerdict::Undecided, ratio)) if !excludes_1(&ratio) => {
                self.fill("compare.undecided", &[])
            }
            Some((CompareVerdict::Undecided | CompareVerdict::Differ, ratio)) => {
                // Of the second against the first, as in the rows.
                let ratio = turned(ratio);
                let gain = 100.0 * (ratio.ratio - 1.0);
                let give = number::percent_off(off(&ratio), gain.abs(), self.style());
                let give = self
                    .catalogue
                    .quantity(&give, &self.catalogue.units.percent);
                let key = match (by_pack, gain > 0.0) {
                    (true, true) => "compare.differ_packs",
                    (true, false) => "compare.weaker_packs",
                    (false, true) => "compare.differ",
                    (false, false) => "compare.weaker",
                };
                let values = [
                    ("pair", second),
                    ("percent", &percent(self.catalogue, gain.abs())),
                    ("give", &give),
                ];
                self.fill(key, &values.map(|(name, text)| (name, text.as_str())))
            }
        }
    }

    fn lines(&self, comparison: &Comparison, names: &[String; 2]) -> Vec<String> {
        let mut lines = Vec::new();
        if let Some((verdict, ratio)) = comparison.verdict.zip(comparison.mean_torque_ratio) {
            let gain = 100.0 * (ratio.ratio.max(1.0 / ratio.ratio) - 1.0);
            if verdict.is_alike() && excludes_1(&ratio) {
                lines.push(self.fill("compare.match_differs", &[]));
            }
            let within = self.margin_percent.is_some_and(|margin| gain < margin);
            if verdict == CompareVerdict::Differ && within {
                lines.push(self.fill("compare.differs_little", &[("margin", &self.margin())]));
            }
        }
        lines.extend(self.kinds_line(comparison));
        lines.extend(self.lead_line(comparison, names));
        lines.extend(self.chance_line(comparison, names));
        lines
    }

    /// What others of their kinds are expected to do, the second against the first.
    fn kinds_line(&self, comparison: &Comparison) -> Option<String> {
        let ratio = turned(comparison.mean_torque_ratio_of_kinds?);
        let (low, high) = self.both_ends(&ratio);
        let (low, high) = (low?, high?);
        let high = self
            .catalogue
            .quantity(&high, &self.catalogue.units.percent);
        let [a, b] = &comparison.pairs;
        let tools = self.tools_assumed_percent.filter(|_| a.tool != b.tool);
        let packs = self.packs_assumed_percent.filter(|_| a.pack != b.pack);
        let (key, assumed) = match (a.tool == b.tool || a.pack == b.pack, tools.or(packs)) {
            (_, None) => ("compare.kinds", None),
            (true, assumed) => ("compare.kinds_assumed", assumed),
            (false, _) => ("compare.kinds_partly_assumed", None),
        };
        let assumed = assumed.map(|assumed| given_percent(self.catalogue, assumed));
        let values = [
            ("low", low.as_str()),
            ("high", &high),
            ("percent", &assumed.unwrap_or_default()),
        ];
        Some(self.fill(key, &values))
    }

    /// Of when the prices are, where any is shown.
    pub(crate) fn price_line(&self, shown: bool) -> Option<String> {
        let priced = self.priced.as_ref().filter(|_| shown);
        priced.map(|priced| prices::words(self.catalogue, priced))
    }

    /// Where the typical curves cross.
    fn lead_line(&self, comparison: &Comparison, names: &[String; 2]) -> Option<String> {
        let [.., before, last] = comparison.leads.as_slice() else {
            return None;
        };
        let [first, second] = names;
        let name = |pair: u8| if pair == 0 { first } else { second };
        let time = time(self.catalogue, last.from_s);
        let values = [
            ("first", name(before.pair).as_str()),
            ("second", name(last.pair)),
            ("time", &time),
        ];
        let changes = comparison.leads.len() as u64 - 1;
        Some(match changes {
            1 => self.fill("compare.crossing", &values),
            _ => self.fill("compare.crossings", &values),
        })
    }

    /// Who leads in how many of a hundred tries.
    fn chance_line(&self, comparison: &Comparison, names: &[String; 2]) -> Option<String> {
        let chance = comparison.chance_ahead?;
        let [first, second] = names;
        let (name, chance) = if chance >= 0.5 {
            (first, chance)
        } else {
            (second, 1.0 - chance)
        };
        let chance = match number::chance(chance)? {
            number::Chance::FewerThan1 => return None,
            number::Chance::OfHundred(tries) => tries.to_string(),
            number::Chance::MoreThan99 => self.fill("chance.more_than_99", &[]),
        };
        Some(self.fill("compare.chance", &[("pair", name), ("chance", &chance)]))
    }

    /// The figures of both; the difference is that of the second against the first.
    fn rows(&self, comparison: &Comparison) -> Vec<PanelRow> {
        let none = self.fill("table.none", &[]);
        let [a, b] = &comparison.pairs;
        let row =
            |what: String,
             cell: &dyn Fn(&ComparedPair) -> Option<String>,
             (difference, ends): (Option<String>, Option<String>)| PanelRow {
                pack: None,
                cells: vec![
                    what,
                    cell(a).unwrap_or_else(|| none.clone()),
                    cell(b).unwrap_or_else(|| none.clone()),
                    difference.unwrap_or_else(|| none.clone()),
                    ends.unwrap_or_default(),
                ],
            };
        let torque = |torque_nm| torque(self.catalogue, torque_nm, self.unit);
        let ratio = |ratio: Option<Ratio>| {
            let ratio = ratio.map(turned);
            let ends = ratio.and_then(|ratio| self.ends(&ratio));
            (ratio.map(|ratio| self.gain(ratio.ratio)), ends)
        };
        let window = given_time(self.catalogue, self.window_s);
        let mut rows = vec![
            row(
                self.fill("compare.mean", &[("window", &window)]),
                &|pair| pair.mean_torque_nm.map(torque),
                ratio(comparison.mean_torque_ratio),
            ),
            row(
                self.fill("table.peak", &[]),
                &|pair| pair.peak_torque_nm.map(torque),
                ratio(comparison.peak_torque_ratio),
            ),
        ];
        if let Some(needed) = self.needed {
            let needed = needed.words(self.catalogue);
            rows.push(row(
                self.fill("compare.time", &[("torque", &needed)]),
                &|pair| self.time_to_job(pair),
                ratio(comparison.time_to_job_ratio),
            ));
        }
        let mass = |pair: &ComparedPair| pair.mass_kg.map(|mass_kg| self.mass(mass_kg));
        let heavier = a.mass_kg.zip(b.mass_kg);
        let heavier = heavier.and_then(|(a, b)| self.more_mass(b, a));
        rows.push(row(self.fill("table.mass", &[]), &mass, (heavier, None)));
        let price = |pair: &ComparedPair| self.price(pair.price, pair.currency.as_deref());
        let one_currency = a.currency == b.currency;
        let dearer = a.price.zip(b.price).filter(|_| one_currency);
        let more =
            dearer.and_then(|(own, other)| self.more_price(other, own, a.currency.as_deref()));
        rows.push(row(self.fill("table.price", &[]), &price, (more, None)));
        rows
    }

    /// A pair's time to the job; nothing where it was not measured.
    fn time_to_job(&self, pair: &ComparedPair) -> Option<String> {
        pair.mean_torque_nm?;
        Some(match pair.time_to_job_s {
            Some(time_s) => self.time(time_s),
            None => self.fill("table.not_reached", &[]),
        })
    }

    fn time(&self, time_s: f64) -> String {
        let time = number::time_table(Duration::from_seconds(time_s), self.style());
        self.catalogue.quantity(&time, &self.catalogue.units.second)
    }

    fn mass(&self, mass_kg: f64) -> String {
        let mass = number::mass(mass_kg, self.style());
        self.catalogue
            .quantity(&mass, &self.catalogue.units.kilogram)
    }

    pub(crate) fn price(&self, price: Option<f64>, currency: Option<&str>) -> Option<String> {
        let price = number::price(price?, self.style());
        Some(self.catalogue.quantity(&price, currency?))
    }

    /// So much more or less mass, of the masses as printed; nothing where they are printed alike.
    pub(crate) fn more_mass(&self, own_kg: f64, other_kg: f64) -> Option<String> {
        let more_kg = number::mass_difference(own_kg, other_kg)?;
        Some(self.signed(&self.mass(more_kg), more_kg))
    }

    fn more_price(&self, own: f64, other: f64, currency: Option<&str>) -> Option<String> {
        let more = number::price_difference(own, other)?;
        let price = self.price(Some(more), currency)?;
        Some(self.signed(&price, more))
    }

    /// A number with its sign, plus included.
    fn signed(&self, number: &str, value: f64) -> String {
        if value > 0.0 {
            self.fill("compare.plus", &[("number", number)])
        } else {
            number.to_owned()
        }
    }

    /// A ratio as so many per cent more or less.
    pub(crate) fn gain(&self, ratio: f64) -> String {
        let gain = 100.0 * (ratio - 1.0);
        let percent = percent(self.catalogue, gain);
        match number::percent(gain, self.style()) {
            SmallFigure::UnderTenth => percent,
            SmallFigure::Number(_) => self.signed(&percent, gain),
        }
    }

    /// The lower and the upper end of a ratio's interval, each as so many per cent more or less.
    fn both_ends(&self, ratio: &Ratio) -> (Option<String>, Option<String>) {
        let gain = 100.0 * (ratio.ratio - 1.0);
        let end = |end: f64, outward| {
            let end = 100.0 * (end - 1.0);
            self.signed(&number::percent_end(end, gain, outward, self.style()), end)
        };
        (
            ratio.low.map(|low| end(low, RoundingDirection::Down)),
            ratio.high.map(|high| end(high, RoundingDirection::Up)),
        )
    }

    /// The interval of a ratio in words.
    fn ends(&self, ratio: &Ratio) -> Option<String> {
        let (low, high) = self.both_ends(ratio);
        Some(match (low, high) {
            (Some(low), Some(high)) => {
                self.fill("compare.between", &[("low", &low), ("high", &high)])
            }
            (Some(low), None) => self.fill("compare.at_least", &[("low", &low)]),
            (None, Some(high)) => self.fill("compare.at_most", &[("high", &high)]),
            (None, None) => return None,
        })
    }

    /// How far a ratio may be off, in words.
    pub(crate) fn give_or_take(&self, ratio: &Ratio) -> String {
        let gain = 100.0 * (ratio.ratio - 1.0);
        let give = number::percent_off(off(ratio), gain, self.style());
        let give = self
            .catalogue
            .quantity(&give, &self.catalogue.units.percent);
        self.fill("compare.give_or_take", &[("give", &give)])
    }
}

/// Whether the interval of a ratio does not hold 1.
pub(crate) fn excludes_1(ratio: &Ratio) -> bool {
    ratio.low.is_some_and(|low| low > 1.0) || ratio.high.is_some_and(|high| high < 1.0)
}

/// The larger distance from a ratio to an end of its interval, in per cent.
fn off(ratio: &Ratio) -> f64 {
    let (low, high) = (
        ratio.low.unwrap_or(ratio.ratio),
        ratio.high.unwrap_or(ratio.ratio),
    );
    100.0 * (high - ratio.ratio).max(ratio.ratio - low)
}

/// The second over the first.
fn turned(ratio: Ratio) -> Ratio {
    Ratio {
        ratio: 1.0 / ratio.ratio,
        low: ratio.high.map(|high| 1.0 / high),
        high: ratio.low.map(|low| 1.0 / low),
    }
}
