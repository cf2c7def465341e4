//! The picture of the check runs by day, a panel for each tool and pack that is run again and again.

use super::layout::{Word, lines, width_px};
use super::plot::{Mark, Plot, Sample, Scale};
use super::sheet::{Told, sheet};
use super::{CURVES, GRID, INK, NEEDED, QUIET, Size};
use crate::chart::draw::shapes::{Shape, Stroke};
use crate::chart::label::Anchor;
use crate::chart::label_placement::{Area, LabelPlacement};
use crate::chart::view::Kind;
use crate::drift::data::{CheckSeries, CheckedDay, Drift};
use crate::units::{EntryUnit, Torque, TorqueUnit};

/// Height of a panel over that of a chart.
const PANEL: f64 = 0.9;
/// Empty part of the torque axis below and above what is drawn.
const MARGIN: f64 = 0.06;

/// Half the width of what marks a day without a check run, at most, over the size of the text.
const GAP: f64 = 1.0;

const LIMIT: Stroke = Stroke {
    colour: NEEDED,
    width_px: 1.5,
    dashes_px: &[8.0, 4.0],
};
const CENTRE: Stroke = Stroke {
    colour: QUIET,
    width_px: 1.25,
    dashes_px: &[],
};
const BETWEEN: Stroke = Stroke {
    colour: CURVES[0],
    width_px: 1.0,
    dashes_px: &[],
};
const CALIBRATION: Stroke = Stroke {
    colour: INK,
    width_px: 1.5,
    dashes_px: &[1.5, 3.0],
};

/// How many positions above and below its mark are tried for the name of a day.
const NEAR: usize = 4;

/// The mark of a day.
const WITHIN: Mark = Mark {
    kind: Kind::Full,
    colour: CURVES[0],
    inside: None,
};
/// The mark of a day outside its limits.
const OUTSIDE: Mark = Mark {
    kind: Kind::Dashdot,
    colour: CURVES[1],
    inside: Some(super::GROUND),
};

/// A day of a panel: its date, and its check runs if it has any.
struct Column<'a> {
    date: &'a str,
    checked: Option<&'a CheckedDay>,
}

/// The SVG document of the check runs by day; `None` without a check run.
pub fn picture(drift: &Drift, unit: TorqueUnit, told: &Told, size: &Size) -> Option<String> {
    let mut plot = Plot::new(size.inner_px(), size.text_px);
    for series in &drift.series {
        panel(&mut plot, drift, series, unit, size);
    }
    let names = drift
        .series
        .iter()
        .map(|series| format!(" {}.", heading(series)));
    let description = format!("{}.{}", told.headline, names.collect::<String>());
    (!drift.series.is_empty()).then(|| sheet(&plot, told, &description, size))
}

/// Which check runs a panel shows.
fn heading(series: &CheckSeries) -> String {
    format!(
        "{}, rig {}, setup {}",
        series.label, series.rig, series.setup
    )
}

/// The days of a series with those of its rig that have no check run, in order of time.
fn columns<'a>(drift: &'a Drift, series: &'a CheckSeries) -> Vec<Column<'a>> {
    let checked = series
        .days
        .iter()
        .map(|day| (&day.day, &day.date, Some(day)));
    let without = drift
        .days_without
        .iter()
        .filter(|day| day.rig == series.rig);
    let without = without.map(|day| (&day.day, &day.date, None));
    let mut days: Vec<_> = checked.chain(without).collect();
    days.sort_by_key(|(day, date, _)| (*date, *day));
    let column = |(_, date, checked): (&String, &'a String, _)| Column { date, checked };
    days.into_iter().map(column).collect()
}

fn panel(plot: &mut Plot, drift: &Drift, series: &CheckSeries, unit: TorqueUnit, size: &Size) {
    let entry = EntryUnit::from(unit);
    let in_unit = |torque_nm| Torque::from_newton_metres(torque_nm).in_unit(entry);
    let line_px = plot.line_px();
    let columns = columns(drift, series);
    let (least, most) = range(&columns, in_unit);
    // A single day without limits has no span.
    let margin = (MARGIN * (most - least)).max(0.01 * most);

    let top = titled(plot, series, unit) + 0.3 * line_px;
    let bottom = top + PANEL * size.chart_px - 4.0 * line_px;
    let torque = Scale {
        from: least - margin,
        to: most + margin,
        from_px: bottom,
        // Words of new calibrations stand above all that is drawn.
        to_px: top + line_px,
    };
    let ticks = torque.ticks(plot.rows_apart_px());
    let area = Area {
        left: plot.numbers_px(&ticks).min(plot.width_px / 3.0),
        top,
        right: plot.width_px,
        bottom,
    };
    let column_px = column_px(&columns, area);
    let left_of = |at: usize| area.left + at as f64 * column_px;
    let middle_of = |at: usize| left_of(at) + column_px / 2.0;
    without_checks(plot, &columns, area, middle_of);
    plot.rows(area, &torque, &ticks);
    dates(plot, &columns, area, middle_of);

    let y = |torque_nm: f64| torque.px(in_unit(torque_nm));
    let mut drawn: Vec<Vec<(f64, f64)>> = Vec::new();
    for (stroke, value) in values() {
        for steps in stepped(&columns, value, left_of, y) {
            plot.line(steps.clone(), stroke);
            drawn.push(steps);
        }
    }
    let means = columns.iter().enumerate().filter_map(|(at, column)| {
        let day = column.checked?;
        Some(((middle_of(at), y(day.mean_torque_nm)), day))
    });
    let means: Vec<_> = means.collect();
    let between: Vec<(f64, f64)> = means.iter().map(|(centre, _)| *centre).collect();
    plot.line(between.clone(), BETWEEN);
    drawn.push(between);
    let mut room = room(plot, area);
    new_calibrations(plot, &mut room, series, &columns, area);
    marks(plot, &means);
    room.lines = drawn.iter().map(Vec::as_slice).collect();
    named(plot, &means, room);
    plot.height_px = bottom + 1.4 * line_px;
    plot.legend(&legend(&columns, series));
    plot.height_px += line_px / 2.0;
}

/// The least torque that a panel draws and the largest, at least 0, in the unit shown.
fn range(columns: &[Column], in_unit: impl Fn(f64) -> f64) -> (f64, f64) {
    let days = || columns.iter().filter_map(|column| column.checked);
    let drawn = days().flat_map(|day| [Some(day.mean_torque_nm), day.low_nm, day.high_nm]);
    let drawn: Vec<f64> = drawn.flatten().map(in_unit).collect();
    let least = drawn.iter().copied().fold(f64::INFINITY, f64::min);
    let most = drawn.iter().copied().fold(0.0, f64::max);
    (least, most)
}

/// The room for words in a panel, beside the numbers of its axis too.
fn room<'l>(plot: &Plot, area: Area) -> LabelPlacement<'l> {
    let whole = Area {
        left: 0.0,
        right: plot.width_px,
        ..area
    };
    let letter_px = width_px("0", plot.text_px);
    LabelPlacement::new(whole, Vec::new(), plot.line_px(), letter_px)
}

/// Marks the means of days.
fn marks(plot: &mut Plot, means: &[((f64, f64), &CheckedDay)]) {
    for (centre, day) in means {
        let mark = match day.outside {
            Some(true) => OUTSIDE,
            _ => WITHIN,
        };
        plot.shapes.push(mark.at(*centre));
    }
}

/// The words above a panel; where they end.
fn titled(plot: &mut Plot, series: &CheckSeries, unit: TorqueUnit) -> f64 {
    let line_px = plot.line_px();
    let start = plot.height_px;
    let words = match unit {
        TorqueUnit::NewtonMetre => "mean torque of the day's check runs, N·m",
        TorqueUnit::PoundForceFoot => "mean torque of the day's check runs, lbf·ft",
    };
    let mut under = start;
    for (text, colour) in [(heading(series).as_str(), INK), (words, QUIET)] {
        for line in lines(text, plot.text_px, plot.width_px) {
            plot.word((0.0, under), Anchor::Start, &line, colour);
            under += line_px;
        }
    }
    under
}

/// Width of a column of an area.
fn column_px(columns: &[Column], area: Area) -> f64 {
    (area.right - area.left) / columns.len().max(1) as f64
}

/// Marks the days without a check run.
fn without_checks(
    plot: &mut Plot,
    columns: &[Column],
    area: Area,
    middle_of: impl Fn(usize) -> f64,
) {
    let column_px = column_px(columns, area);
    for (at, _) in columns
        .iter()
        .enumerate()
        .filter(|(_, column)| column.checked.is_none())
    {
        let half = (column_px / 2.0).min(GAP * plot.text_px);
        let (left, right) = (middle_of(at) - half, middle_of(at) + half);
        plot.shapes.push(Shape::Area {
            outline: vec![
                (left, area.top),
                (right, area.top),
                (right, area.bottom),
                (left, area.bottom),
            ],
            colour: GRID,
        });
    }
}

/// A line down before the first day of each new calibration, with its date where there is room.
fn new_calibrations(
    plot: &mut Plot,
    room: &mut LabelPlacement,
    series: &CheckSeries,
    columns: &[Column],
    area: Area,
) {
    let column_px = column_px(columns, area);
    for date in &series.calibrations {
        let Some(at) = columns
            .iter()
            .position(|column| column.date >= date.as_str())
        else {
            continue;
        };
        let x_px = area.left + at as f64 * column_px;
        plot.line(vec![(x_px, area.top), (x_px, area.bottom)], CALIBRATION);
        let gap = plot.text_px / 3.0;
        let spots = [
            (x_px + gap, area.top, Anchor::Start),
            (x_px - gap, area.top, Anchor::End),
        ];
        // Where there is no room the date stands in the sentences alone.
        let label = [format!("new calibration {date}"), date.clone()];
        let label = label.iter().find_map(|text| room.take(text, 0, &spots));
        plot.words
            .extend(label.map(|label| Word { label, colour: INK }));
    }
}

/// A value of a day in N·m, if it has one.
type Value = fn(&CheckedDay) -> Option<f64>;

/// The lines of the limits and of the mean of the other days.
fn values() -> [(Stroke, Value); 3] {
    [
        (LIMIT, |day| day.low_nm),
        (LIMIT, |day| day.high_nm),
        (CENTRE, |day| day.mean_of_others_nm),
    ]
}

/// A value of each day as a line with steps, as wide as its column, broken at days without it.
fn stepped(
    columns: &[Column],
    value: Value,
    left_of: impl Fn(usize) -> f64,
    y: impl Fn(f64) -> f64,
) -> Vec<Vec<(f64, f64)>> {
    let mut lines: Vec<Vec<(f64, f64)>> = Vec::new();
    let mut goes_on = false;
    for (at, column) in columns.iter().enumerate() {
        let Some(value_nm) = column.checked.and_then(value) else {
            goes_on = false;
            continue;
        };
        if !goes_on {
            lines.push(Vec::new());
        }
        goes_on = true;
        if let Some(line) = lines.last_mut() {
            line.extend([(left_of(at), y(value_nm)), (left_of(at + 1), y(value_nm))]);
        }
    }
    lines
}

/// As many dates below the area as there is room for, at equal steps of columns.
fn dates(plot: &mut Plot, columns: &[Column], area: Area, middle_of: impl Fn(usize) -> f64) {
    let gap = plot.text_px;
    let widths = columns
        .iter()
        .map(|column| width_px(column.date, plot.text_px));
    let widest = widths.fold(0.0, f64::max);
    let column_px = middle_of(1) - middle_of(0);
    let every = ((widest + gap) / column_px).ceil().max(1.0) as usize;
    let below = area.bottom + plot.line_px() / 5.0;
    for (at, column) in columns.iter().enumerate().step_by(every) {
        let half = widest / 2.0;
        let x_px = middle_of(at).clamp(
            half.min(plot.width_px / 2.0),
            (plot.width_px - half).max(plot.width_px / 2.0),
        );
        plot.word((x_px, below), Anchor::Middle, column.date, QUIET);
    }
}

/// The days outside their limits by date and distance, near their marks; clear of the lines if there
/// is such a position.
fn named(plot: &mut Plot, means: &[((f64, f64), &CheckedDay)], mut room: LabelPlacement) {
    let mark_px = plot.text_px / 2.0;
    for ((x_px, y_px), _) in means {
        room.block(Area {
            left: x_px - mark_px,
            top: y_px - mark_px,
            right: x_px + mark_px,
            bottom: y_px + mark_px,
        });
    }
    for ((x_px, y_px), day) in means.iter().filter(|(_, day)| day.outside == Some(true)) {
        let anchors = [
            (x_px + 2.0 * mark_px, Anchor::Start),
            (x_px - 2.0 * mark_px, Anchor::End),
            (*x_px, Anchor::Middle),
        ];
        let level = y_px - plot.line_px() / 2.0;
        let near = room.outwards(*y_px).take(NEAR);
        let spots: Vec<_> = [level]
            .into_iter()
            .chain(near)
            .flat_map(|top| anchors.map(|(x_px, anchor)| (x_px, top, anchor)))
            .collect();
        let text = off(day);
        let clear = room.take(&text, 0, &spots);
        let lines = std::mem::take(&mut room.lines);
        let label = clear
            .or_else(|| room.take(&text, 0, &spots))
            .or_else(|| room.take(&day.date, 0, &spots));
        room.lines = lines;
        let colour = OUTSIDE.colour;
        plot.words.extend(label.map(|label| Word { label, colour }));
    }
}

/// A day with how far it is off the mean of the others, such as `2026-06-29 (−18.2 %)`.
pub fn off(day: &CheckedDay) -> String {
    let off = day.off_percent.unwrap_or_default();
    let off = format!("{off:+.1}").replace('-', "−");
    format!("{} ({off} %)", day.date)
}

fn legend(columns: &[Column], series: &CheckSeries) -> Vec<(Sample, String)> {
    let line = |stroke, text: &str| (Sample::Line(stroke, None), text.to_owned());
    let mut legend = vec![(
        Sample::Line(BETWEEN, Some(WITHIN)),
        "mean of a day".to_owned(),
    )];
    let outside = series.days.iter().any(|day| day.outside == Some(true));
    if outside {
        legend.push((Sample::Mark(OUTSIDE), "day outside its limits".into()));
    }
    if series.days.iter().any(|day| day.low_nm.is_some()) {
        legend.push(line(LIMIT, "limits of a day"));
        legend.push(line(CENTRE, "mean of the other days"));
    }
    if columns.iter().any(|column| column.checked.is_none()) {
        legend.push((Sample::Area(GRID), "day without a check run".into()));
    }
    if !series.calibrations.is_empty() {
        legend.push(line(CALIBRATION, "new calibration of the rig"));
    }
    legend
}

#[cfg(test)]
mod tests;
