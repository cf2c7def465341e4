//! The channels of a log: their columns, their keys in the block, and the samples in them.

use super::choices::Choices;
use super::decimal::{self, Decimal, Style};
use super::shape::{Run, Text, toml};
use super::times::{self, FACTORS, Factor, Wanted};
use super::units::{self, Unit};

/// N·m for each kN, as the calibration of the test's rig says.
pub const NM_PER_KN: f64 = 3.2;

/// Torque below which the rig rests, in N·m, where a log holds several runs.
const REST_NM: f64 = 10.0;

/// Samples between two runs of a log.
const RESTS: usize = 10;

/// A column of the log.
#[derive(Clone, Debug, Default)]
pub struct Column {
    pub header: String,
    /// What stands in the row of units.
    pub below: String,
    pub cells: Vec<String>,
}

/// All columns, what the block says of them, and what must be read.
pub struct Drawn {
    pub keys: Vec<(String, String)>,
    pub columns: Vec<Column>,
    pub runs: Vec<Run>,
    pub understood: Vec<(&'static str, Option<usize>, String)>,
    pub clips_at_nm: Option<f64>,
}

/// Where the log's block names a column.
#[derive(Clone, Copy, PartialEq)]
enum Named {
    ByUnit,
    Header,
    Number,
}

/// Where a unit is said.
#[derive(Clone, Copy, PartialEq)]
enum Said {
    Header,
    Row,
    Block,
    HeaderAndBlock,
}

/// A channel before its column has a place.
struct Channel {
    key: &'static str,
    named: Named,
    said: Said,
    unit: Unit,
    factor: Option<Factor>,
    inverted: bool,
    format: Option<String>,
    column: Column,
}

impl Channel {
    /// Draws how a channel is named and where its unit is said.
    fn draw(key: &'static str, units: &[Unit], text: &Text, choices: &mut Choices) -> Self {
        let unit = choices.one(units);
        let must_row = text.units_row && matches!(key, "torque" | "tension");
        let said = match choices.below(if text.units_row { 5 } else { 3 }) {
            _ if !text.has_header => Said::Block,
            _ if must_row => Said::Row,
            0 => Said::Header,
            1 => Said::Block,
            2 => Said::HeaderAndBlock,
            _ => Said::Row,
        };
        let named = match choices.below(3) {
            _ if !text.has_header => Named::Number,
            0 if said != Said::Block => Named::ByUnit,
            0 | 1 => Named::Header,
            _ => Named::Number,
        };
        let is_time = key == "time";
        let positive = |factor: &Factor| !is_time || factor.numerator > 0;
        let factor = Some(choices.one(FACTORS))
            .filter(positive)
            .filter(|_| choices.chance(4));
        let mut channel = Self {
            key,
            named,
            said,
            unit,
            factor,
            inverted: !is_time && choices.chance(4),
            format: None,
            column: Column::default(),
        };
        channel.head(text, choices);
        channel
    }

    /// Draws header and unit below it.
    fn head(&mut self, text: &Text, choices: &mut Choices) {
        let bases: &[&str] = match self.key {
            "time" => &["t", "Zeit", "time"],
            "torque" => &["M", "Torque", "Md ch1", "M \"raw\""],
            "tension" => &["F", "Preload", "Clamp force"],
            "angle" => &["phi", "Winkel", "Angle of nut"],
            "voltage" => &["U", "Pack voltage"],
            _ => &["I", "Pack current"],
        };
        let base = choices.one(bases);
        let base = if text.blanks() { base } else { bases[0] };
        let unit = self.unit.0;
        let last_word = self.named != Named::ByUnit && matches!(unit, "V" | "A" | "s");
        let header_says = matches!(self.said, Said::Header | Said::HeaderAndBlock);
        self.column.header = match choices.below(7) {
            _ if !header_says => base.to_owned(),
            1 => format!("{base}({unit})"),
            2 if units::ANYWHERE.contains(&unit) || last_word => format!("{base}_{unit}"),
            3 => format!("{base}/{unit}"),
            4 if text.blanks() => format!("{base}, {unit}"),
            5 if text.blanks() => format!("{base}\n[{unit}]"),
            6 if text.blanks() => format!("{base} [{unit}]"),
            _ => format!("{base}[{unit}]"),
        };
        self.column.below = match choices.below(3) {
            _ if self.said != Said::Row => nothing(text).to_owned(),
            1 => format!("[{unit}]"),
            2 => format!("({unit})"),
            _ => unit.to_owned(),
        };
    }

    /// What the numbers are multiplied by.
    fn scale(&self) -> f64 {
        let sign = if self.inverted { -1.0 } else { 1.0 };
        sign * self.factor.unwrap_or(Factor::ONE).value() * self.unit.2
    }

    /// What the block says of the column at a place; nothing if it needs to say nothing.
    fn value(&self, place: usize, choices: &mut Choices) -> Option<String> {
        let column = match self.named {
            Named::ByUnit => None,
            // A line end within a header is a blank.
            Named::Header => Some(toml(&self.column.header.replace('\n', " "))),
            Named::Number => Some((place + 1).to_string()),
        };
        let mut said = Vec::new();
        if self.format.is_none() && matches!(self.said, Said::Block | Said::HeaderAndBlock) {
            said.push(format!("unit = {}", toml(self.unit.0)));
        }
        said.extend(
            self.factor
                .map(|factor| format!("factor = {}", factor.text)),
        );
        if self.inverted || self.format.is_none() && choices.chance(5) {
            said.push(format!("inverted = {}", self.inverted));
        }
        said.extend(
            self.format
                .iter()
                .map(|format| format!("format = {}", toml(format))),
        );
        if said.is_empty()
            && column.is_none()
            && matches!(self.key, "tension" | "voltage" | "current")
        {
            said.push("factor = 1".into());
        }
        match column {
            Some(column) if said.is_empty() && !choices.chance(3) => Some(column),
            Some(column) => {
                said.insert(0, format!("column = {column}"));
                Some(format!("{{ {} }}", said.join(", ")))
            }
            None if said.is_empty() => None,
            None => Some(format!("{{ {} }}", said.join(", "))),
        }
    }

    /// Writes numbers into the column.
    fn write(&mut self, numbers: &[Decimal], text: &Text, choices: &mut Choices) {
        let style = Style::draw(choices, text.decimal, text.thousands, text.minus);
        let cells = numbers.iter().map(|number| number.written(style));
        self.column.cells = cells.collect();
    }
}

/// A field that holds nothing.
fn nothing(text: &Text) -> &'static str {
    if text.blanks() { "" } else { "-" }
}

/// Which samples are under load, by runs; nothing where a log holds one run.
fn loads(choices: &mut Choices) -> Vec<Vec<bool>> {
    if !choices.chance(4) {
        return Vec::new();
    }
    let runs = 1 + choices.below(3);
    let one = |choices: &mut Choices| {
        let mut run = vec![true; 1 + choices.below(3)];
        if choices.chance(2) {
            // A dip that is shorter than a rest.
            run.extend([false, false, true]);
        }
        run
    };
    (0..runs).map(|_| one(choices)).collect()
}

/// Loads of all samples of a log, and where its runs begin.
fn laid_out(loads: &[Vec<bool>], choices: &mut Choices) -> (Vec<bool>, Vec<usize>) {
    let mut all = vec![false; choices.below(4)];
    let mut starts = vec![0];
    for (at, run) in loads.iter().enumerate() {
        if at > 0 {
            starts.push(all.len() + RESTS / 2);
            all.extend([false; RESTS]);
        }
        all.extend(run);
    }
    all.extend(vec![false; choices.below(4)]);
    (all, starts)
}

/// Draws all channels.
pub fn draw(text: &Text, choices: &mut Choices) -> Drawn {
    let loads = loads(choices);
    let is_split = !loads.is_empty();
    let (loaded, starts) = match is_split {
        true => laid_out(&loads, choices),
        false => (vec![false; 1 + choices.below(6)], vec![0]),
    };
    let count = loaded.len();
    let mut keys = Vec::new();
    let (time, wanted) = time(text, choices, count, is_split, &mut keys);
    let tension = choices.chance(4);
    let mut series: [Option<Vec<f64>>; 4] = Default::default();
    let mut channels: Vec<Channel> = time.into_iter().collect();
    for (at, (key, units)) in [
        (
            if tension { "tension" } else { "torque" },
            if tension {
                units::TENSION
            } else {
                units::TORQUE
            },
        ),
        ("angle", units::ANGLE),
        ("voltage", units::VOLTAGE),
        ("current", units::CURRENT),
    ]
    .into_iter()
    .enumerate()
    {
        if at > 0 && choices.chance(2) {
            continue;
        }
        let mut channel = Channel::draw(key, units, text, choices);
        let to_si = if key == "tension" { NM_PER_KN } else { 1.0 };
        let scale = channel.scale() * to_si;
        let places = choices.one(&[1, 0, 2, 4, 9]);
        let numbers: Vec<Decimal> = match is_split && at == 0 {
            true => loaded
                .iter()
                .map(|loaded| load(choices, *loaded, scale, places))
                .collect(),
            false => (0..count)
                .map(|_| decimal::draw(choices, places, 0.9e9 / scale.abs()))
                .collect(),
        };
        series[at] = Some(
            numbers
                .iter()
                .map(|number| number.value() * scale)
                .collect(),
        );
        channel.write(&numbers, text, choices);
        channels.push(channel);
    }
    if is_split {
        let step_us =
            (wanted[count - 1].time_us - wanted[0].time_us) as f64 / (count - 1).max(1) as f64;
        let rest_s = if count > 1 { 6.0 * step_us / 1e6 } else { 1.0 };
        keys.push((
            "split".into(),
            format!("{{ torque_nm = {REST_NM}, rest_s = {rest_s} }}"),
        ));
    } else if choices.chance(5) {
        keys.push(("split".into(), "'no'".into()));
    }
    let clips_at_nm = choices.chance(3).then_some(350.5);
    keys.extend(clips_at_nm.map(|clips| ("clips_at_nm".to_owned(), clips.to_string())));
    let mut drawn = placed(channels, text, choices, count, keys);
    if !drawn
        .understood
        .iter()
        .any(|(channel, ..)| *channel == "time")
    {
        drawn.understood.insert(0, ("time", None, "s".into()));
    }
    drawn.clips_at_nm = clips_at_nm;
    drawn.runs = starts
        .iter()
        .enumerate()
        .map(|(at, &from)| {
            let to = starts.get(at + 1).copied().unwrap_or(count);
            let of =
                |series: &Option<Vec<f64>>| series.as_ref().map(|series| series[from..to].to_vec());
            Run {
                times: wanted[from..to].to_vec(),
                series: [
                    of(&series[0]),
                    of(&series[1]),
                    of(&series[2]),
                    of(&series[3]),
                ],
            }
        })
        .collect();
    drawn
}

/// A torque above or below the one under which the rig rests.
fn load(choices: &mut Choices, loaded: bool, scale: f64, places: usize) -> Decimal {
    let ten = (0..places).fold(1.0, |ten, _| ten * 10.0);
    let least = (2.0 * REST_NM / scale.abs() * ten).ceil() as u64;
    let low = (0.4 * REST_NM / scale.abs() * ten).floor() as u64;
    match loaded {
        true => Decimal {
            negative: scale < 0.0,
            digits: least + choices.digits(least),
            places,
        },
        false => Decimal {
            negative: choices.chance(3),
            digits: choices.digits(low),
            places,
        },
    }
}

/// The channel of times, none for a rate, and what the times are.
fn time(
    text: &Text,
    choices: &mut Choices,
    count: usize,
    even: bool,
    keys: &mut Vec<(String, String)>,
) -> (Option<Channel>, Vec<Wanted>) {
    let kind = choices.below(4);
    if kind == 3 {
        let (rate, wanted) = times::rate(choices, count);
        keys.push(("rate_hz".into(), rate.into()));
        return (None, wanted);
    }
    let mut channel = Channel::draw("time", units::TIME, text, choices);
    if kind == 0 {
        let unit_us = (channel.unit.2 * 1e6).round() as i64;
        let factor = channel.factor.unwrap_or(Factor::ONE);
        let (numbers, wanted) = times::numbers(choices, count, unit_us, factor, even);
        channel.write(&numbers, text, choices);
        return (Some(channel), wanted);
    }
    let (format, cells, wanted) = times::stamps(choices, count, kind == 2, even, !text.blanks());
    channel.unit = if kind == 2 {
        ("", "date and time", 1.0)
    } else {
        ("", "time of day", 1.0)
    };
    channel.factor = None;
    channel.format = Some(format);
    channel.column = Column {
        header: choices.one(&["Clock", "Uhrzeit", "t"]).into(),
        below: nothing(text).into(),
        cells,
    };
    if channel.named == Named::ByUnit {
        channel.named = Named::Header;
    }
    (Some(channel), wanted)
}

/// Columns that are no channels.
fn others(text: &Text, choices: &mut Choices, count: usize) -> Vec<Column> {
    let headers: &[&str] = match text.blanks() {
        true => &[
            "Status",
            "No.",
            "n [1/min]",
            "T [°C]",
            "p [bar]",
            "",
            "Note; \"more\", etc.",
        ],
        false => &["Status", "No.", "n[1/min]", "p[bar]"],
    };
    let words: &[&str] = match text.blanks() {
        true => &[
            "OK",
            "run 1",
            "",
            "a,b;c",
            "say \"x\"",
            "two\nlines",
            "12,5",
            "1.5",
        ],
        false => &["OK", "-", "12,5", "1.5"],
    };
    let column = |choices: &mut Choices| Column {
        header: choices.one(headers).into(),
        below: choices.one(&[nothing(text), "bar", "1/min"]).into(),
        cells: (0..count).map(|_| choices.one(words).into()).collect(),
    };
    (0..choices.below(3)).map(|_| column(choices)).collect()
}

/// Puts columns in some order and says in the block where the channels are.
fn placed(
    mut channels: Vec<Channel>,
    text: &Text,
    choices: &mut Choices,
    count: usize,
    mut keys: Vec<(String, String)>,
) -> Drawn {
    let others = others(text, choices, count);
    // Places of the channels, then of the other columns, among all columns.
    let all = channels.len() + others.len();
    let mut order: Vec<usize> = (0..all).collect();
    for last in (1..all).rev() {
        order.swap(last, last - choices.below(last + 1));
    }
    let mut columns = vec![Column::default(); all];
    let mut understood = Vec::new();
    for (at, channel) in channels.iter_mut().enumerate() {
        let place = order[at];
        let value = channel.value(place, choices);
        keys.extend(value.map(|value| (channel.key.to_owned(), value)));
        let name = if channel.key == "tension" {
            "torque"
        } else {
            channel.key
        };
        understood.push((name, Some(place + 1), channel.unit.1.to_owned()));
        columns[place] = std::mem::take(&mut channel.column);
    }
    for (other, place) in others.into_iter().zip(&order[channels.len()..]) {
        columns[*place] = other;
    }
    Drawn {
        keys,
        columns,
        runs: Vec::new(),
        understood,
        clips_at_nm: None,
    }
}
