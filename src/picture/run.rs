//! The picture of one run: its samples, their running median, the fitted curve, and where the
//! reduction has its onset, end, peak and zero.

use super::layout::{lines, width_px};
use super::plot::{Mark, Plot, Sample, Scale, by_columns};
use super::sheet::{Told, sheet};
use super::{CURVES, GROUND, INK, NEEDED, QUIET, Size};
use crate::chart::draw::Colour;
use crate::chart::draw::shapes::Stroke;
use crate::chart::label::Anchor;
use crate::chart::label_placement::Area;
use crate::chart::view::Kind;
use crate::run::reduce::{Reduction, Settings};
use crate::run::running_median::running_median;
use crate::run::samples::Samples;
use crate::units::figure::figure;
use crate::units::{EntryUnit, Torque, TorqueUnit};

/// The colour of raw samples.
const PALE: Colour = (0xa9, 0xa6, 0x9b);

/// A log whose clock begins later than this, in seconds, is drawn from its first whole second on: a
/// clock that counts from midnight or from 1970 has too many digits for an axis.
const LATE_CLOCK_S: f64 = 1000.0;

/// Empty part of the torque axis below and above the samples.
const MARGIN: f64 = 0.04;

/// Rows of text above the samples: onset, end and peak, each in its own.
const ROWS: f64 = 3.0;

const RAW: Stroke = Stroke {
    colour: PALE,
    width_px: 0.75,
    dashes_px: &[],
};
const FITTED: Stroke = Stroke {
    colour: CURVES[0],
    width_px: 2.5,
    dashes_px: &[],
};
const MEDIAN: Stroke = Stroke {
    colour: CURVES[1],
    width_px: 1.25,
    dashes_px: &[6.0, 3.0],
};
const ZERO: Stroke = Stroke {
    colour: INK,
    width_px: 3.0,
    dashes_px: &[3.0, 2.0],
};
const ONSET: Stroke = Stroke {
    colour: NEEDED,
    width_px: 1.25,
    dashes_px: &[1.5, 3.0],
};
const END: Stroke = Stroke {
    colour: NEEDED,
    width_px: 1.25,
    dashes_px: &[10.0, 3.0, 1.5, 3.0],
};

/// The mark at the onset.
const ONSET_MARK: Mark = Mark {
    kind: Kind::Full,
    colour: NEEDED,
    inside: Some(GROUND),
};
/// The mark at the end, which is where the peak is.
const PEAK_MARK: Mark = Mark {
    kind: Kind::Dotted,
    colour: NEEDED,
    inside: None,
};

/// A run to be drawn.
#[derive(Clone, Copy, Debug)]
pub struct DrawnRun<'a> {
    /// Its samples as logged, repeated time stamps merged.
    pub samples: &'a Samples,
    /// What they reduce to.
    pub run: &'a Reduction,
    /// The settings of that reduction.
    pub settings: &'a Settings,
    /// The unit of torque to draw in.
    pub unit: TorqueUnit,
}

/// The SVG document of a run.
///
/// Torque is drawn less the zero that the reduction takes away, so that the axis has its figures.
pub fn picture(drawn: &DrawnRun, told: &Told, size: &Size) -> String {
    let figures = Figures::of(drawn);
    let description = format!(
        "{}: {}; {}; {}; {}.",
        told.headline,
        figures.onset(),
        figures.end(),
        figures.peak(),
        figures.zero
    );
    let mut told = told.clone();
    if drawn.run.zero_kept.is_some() {
        told.lines.insert(0, "The zero is kept as logged.".into());
    }
    sheet(&plot(drawn, &figures, size), &told, &description, size)
}

/// The figures of the reduction, in what the axes are in.
struct Figures {
    /// What is taken off the log's clock, in seconds.
    origin_s: f64,
    onset_s: f64,
    end_s: f64,
    /// N·m in one unit of the torque axis.
    unit_nm: f64,
    unit: &'static str,
    peak: f64,
    /// What became of the zero, in words.
    zero: String,
}

impl Figures {
    fn of(drawn: &DrawnRun) -> Self {
        let run = drawn.run;
        let first_s = drawn
            .samples
            .time_us
            .first()
            .map_or(0.0, |&first| seconds(first));
        let origin_s = match first_s > LATE_CLOCK_S {
            true => first_s.floor(),
            false => 0.0,
        };
        let entry = EntryUnit::from(drawn.unit);
        let in_unit = |torque_nm| Torque::from_newton_metres(torque_nm).in_unit(entry);
        let unit = match drawn.unit {
            TorqueUnit::NewtonMetre => "N·m",
            TorqueUnit::PoundForceFoot => "lbf·ft",
        };
        Self {
            origin_s,
            onset_s: run.onset_us / 1e6 - origin_s,
            end_s: seconds(run.end_us) - origin_s,
            unit_nm: entry.newton_metres(),
            unit,
            peak: in_unit(run.curve().peak_nm()),
            zero: match run.zero_kept {
                None => format!("zero, {} {unit} taken away", figure(in_unit(run.zero_nm))),
                Some(_) => "zero kept as logged".into(),
            },
        }
    }

    fn onset(&self) -> String {
        format!("onset {:.4} s", self.onset_s)
    }

    fn end(&self) -> String {
        format!("end {:.4} s", self.end_s)
    }

    fn peak(&self) -> String {
        format!("peak {} {}", figure(self.peak), self.unit)
    }

    /// The title of the time axis.
    fn time(&self) -> String {
        match self.origin_s {
            0.0 => "time on the log's clock, s".into(),
            origin_s => format!("time after {origin_s:.0} s of the log's clock, s"),
        }
    }

    /// The title of the torque axis.
    fn torque(&self) -> String {
        format!("torque, {}", self.unit)
    }
}

fn seconds(time_us: i64) -> f64 {
    time_us as f64 / 1e6
}

fn plot(drawn: &DrawnRun, figures: &Figures, size: &Size) -> Plot {
    let (samples, run) = (drawn.samples, drawn.run);
    let mut plot = Plot::new(size.inner_px(), size.text_px);
    let line_px = plot.line_px();
    let raw = samples.torque_nm.iter();
    let raw: Vec<f64> = raw.map(|torque_nm| torque_nm - run.zero_nm).collect();
    let Axes { area, time, torque } = axes(&mut plot, drawn, &raw, figures, size);

    let point = |(&time_us, &torque_nm): (&i64, &f64)| {
        let x_px = time.px(seconds(time_us) - figures.origin_s);
        (x_px, torque.px(torque_nm / figures.unit_nm))
    };
    plot.line(by_columns(samples.time_us.iter().zip(&raw).map(point)), RAW);
    let (onset_px, end_px) = (time.px(figures.onset_s), time.px(figures.end_s));
    let onset = (onset_px, torque.px(run.start_nm / figures.unit_nm));
    let fitted = run.time_us.iter().zip(&run.torque_nm).map(point);
    plot.line(by_columns([onset].into_iter().chain(fitted)), FITTED);
    // Of the same samples as in the reduction, so that the fit is seen to be one of this line.
    let median = running_median(
        &samples.time_us,
        &samples.torque_nm,
        drawn.settings.smooth_us,
    );
    let median: Vec<f64> = median
        .iter()
        .map(|torque_nm| torque_nm - run.zero_nm)
        .collect();
    plot.line(
        by_columns(samples.time_us.iter().zip(&median).map(point)),
        MEDIAN,
    );
    if run.zero_kept.is_none() {
        let zero_px = torque.px(0.0);
        plot.line(vec![(area.left, zero_px), (onset_px, zero_px)], ZERO);
    }
    let row = |row: f64| area.top + row * line_px;
    plot.line(vec![(onset_px, row(0.0)), (onset_px, area.bottom)], ONSET);
    plot.line(vec![(end_px, row(1.0)), (end_px, area.bottom)], END);
    plot.shapes.push(ONSET_MARK.at(onset));
    plot.shapes
        .push(PEAK_MARK.at((end_px, torque.px(figures.peak))));
    beside(&mut plot, (onset_px, row(0.0)), &[figures.onset()]);
    beside(
        &mut plot,
        (end_px, row(1.0)),
        &[figures.end(), figures.peak()],
    );
    plot.legend(&legend(drawn, figures));
    plot
}

/// The axes of a run.
struct Axes {
    area: Area,
    time: Scale,
    torque: Scale,
}

/// Draws the axes that hold these torques in N·m, with their titles.
fn axes(plot: &mut Plot, drawn: &DrawnRun, raw: &[f64], figures: &Figures, size: &Size) -> Axes {
    let line_px = plot.line_px();
    let least = raw.iter().copied().fold(0.0, f64::min) / figures.unit_nm;
    let most = raw.iter().copied().fold(0.0, f64::max) / figures.unit_nm;
    let (top, bottom) = (line_px * (1.3 + ROWS), size.chart_px - 2.4 * line_px);
    let margin = MARGIN * (most - least).max(f64::MIN_POSITIVE);
    let torque = Scale {
        from: least - margin,
        to: most + margin,
        from_px: bottom,
        to_px: top,
    };
    let torque_ticks = torque.ticks(plot.rows_apart_px());
    let times = &drawn.samples.time_us;
    let [first_s, last_s] = [times.first(), times.last()]
        .map(|time| time.map_or(0.0, |&time| seconds(time)) - figures.origin_s);
    let area = Area {
        left: plot.numbers_px(&torque_ticks).min(plot.width_px / 3.0),
        top: line_px * 1.3,
        right: plot.width_px - plot.text_px,
        bottom,
    };
    let time = Scale {
        from: first_s,
        to: last_s,
        from_px: area.left,
        to_px: area.right,
    };
    let time_ticks = time.ticks(5.0 * plot.text_px);
    plot.rows(area, &torque, &torque_ticks);
    plot.columns(area, &time, &time_ticks);
    plot.word((0.0, 0.0), Anchor::Start, &figures.torque(), QUIET);
    let mut below = area.bottom + 1.2 * line_px;
    for line in lines(&figures.time(), plot.text_px, plot.width_px) {
        plot.word((plot.width_px, below), Anchor::End, &line, QUIET);
        below += line_px;
    }
    plot.height_px = below + 0.2 * line_px;
    Axes { area, time, torque }
}

/// Words one below the other to the right of a line down, or to its left where there is no room.
fn beside(plot: &mut Plot, (x_px, top_px): (f64, f64), texts: &[String]) {
    let gap = plot.text_px / 2.0;
    let widths = texts.iter().map(|text| width_px(text, plot.text_px));
    let (x_px, anchor) = match x_px + gap + widths.fold(0.0, f64::max) <= plot.width_px {
        true => (x_px + gap, Anchor::Start),
        false => (x_px - gap, Anchor::End),
    };
    let tops = (0..).map(|row| top_px + f64::from(row) * plot.line_px());
    let tops: Vec<f64> = tops.take(texts.len()).collect();
    for (text, top_px) in texts.iter().zip(tops) {
        plot.word((x_px, top_px), anchor, text, NEEDED);
    }
}

fn legend(drawn: &DrawnRun, figures: &Figures) -> Vec<(Sample, String)> {
    let line = |stroke, text: &str| (Sample::Line(stroke, None), text.to_owned());
    let median = match drawn.settings.smooth_us {
        0 => "running median of five samples".into(),
        smooth_us => format!("running median over {} ms", smooth_us as f64 / 1e3),
    };
    let mut legend = vec![
        line(RAW, "raw samples"),
        line(MEDIAN, &median),
        line(FITTED, "fitted curve, which cannot fall"),
        (Sample::Line(ONSET, Some(ONSET_MARK)), "onset".into()),
        line(END, "end"),
        (Sample::Mark(PEAK_MARK), "peak".into()),
    ];
    if drawn.run.zero_kept.is_none() {
        legend.push(line(ZERO, &figures.zero));
    }
    legend
}

#[cfg(test)]
mod tests;
