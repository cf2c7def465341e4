//! A run as a drawing of Braille characters: torque against the log's own time.

use crate::logs::notes::figure;
use crate::run::samples::Samples;

/// Characters of the whole drawing across.
const WIDTH: usize = 76;

/// Characters before the vertical axis.
const LABEL: usize = 9;

/// Characters of the curve across and down; each has two by four dots.
const COLUMNS: usize = WIDTH - LABEL - 1;
const ROWS: usize = 9;

/// The first of the 256 Braille patterns.
const BLANK: u32 = 0x2800;

/// The bits of a pattern's dots, by row and column.
const DOTS: [[u32; 2]; 4] = [[0x01, 0x08], [0x02, 0x10], [0x04, 0x20], [0x40, 0x80]];

/// A figure; a plain 0 for nothing.
pub(super) fn plain(value: f64) -> String {
    if value == 0.0 {
        "0".into()
    } else {
        figure(value)
    }
}

/// A time in s, with three decimals where a figure of four digits would hide a run.
fn seconds(time_us: i64) -> String {
    let time_s = time_us as f64 / 1e6;
    if time_s.abs() < 100.0 {
        plain(time_s)
    } else {
        format!("{time_s:.3}")
    }
}

/// The lines of a drawing; none for fewer than two samples.
pub(super) fn drawing(run: &Samples, unit: &str) -> Vec<String> {
    let values = run.torque_nm.iter().copied();
    let (Some(&from), Some(&to)) = (run.time_us.first(), run.time_us.last()) else {
        return Vec::new();
    };
    let least = values.clone().fold(0.0, f64::min);
    let most = values.fold(0.0, f64::max);
    if to <= from || most - least <= 0.0 {
        return vec!["(every sample is 0)".into()];
    }
    let across = |time: i64| (time - from) as f64 / (to - from) as f64 * (COLUMNS * 2 - 1) as f64;
    let down = |value: f64| (most - value) / (most - least) * (ROWS * 4 - 1) as f64;
    let points = run.time_us.iter().zip(&run.torque_nm);
    let cells = cells(points.map(|(&time, &value)| (across(time), down(value))));
    let zero = (down(0.0).round() as usize) / 4;
    let label = |row: usize| match row {
        0 => figure(most),
        _ if row == zero => "0".into(),
        _ if row == ROWS - 1 => figure(least),
        _ => String::new(),
    };
    let mut lines = vec![format!("{unit:>LABEL$}")];
    for (row, cells) in cells.iter().enumerate() {
        let axis = if row == 0 || row == zero || row == ROWS - 1 {
            '┤'
        } else {
            '│'
        };
        let curve: String = cells
            .iter()
            .filter_map(|dots| char::from_u32(BLANK + dots))
            .collect();
        let curve = curve.trim_end_matches('\u{2800}');
        lines.push(format!(
            "{:>width$} {axis}{curve}",
            label(row),
            width = LABEL - 1
        ));
    }
    lines.push(format!("{:LABEL$}└{}", "", "─".repeat(COLUMNS)));
    let (start, end) = (seconds(from), format!("{} s", seconds(to)));
    let between = (COLUMNS + 1).saturating_sub(start.len() + end.len());
    lines.push(format!("{:LABEL$}{start}{:between$}{end}", "", ""));
    lines
}

/// The patterns of a line through points, each in dots from the left and from the top.
fn cells(points: impl Iterator<Item = (f64, f64)>) -> Vec<Vec<u32>> {
    let mut cells = vec![vec![0_u32; COLUMNS]; ROWS];
    let mut set = |x: f64, y: f64| {
        let (x, y) = (x.round() as usize, y.round() as usize);
        let cell = cells.get_mut(y / 4).and_then(|row| row.get_mut(x / 2));
        let dot = DOTS.get(y % 4).and_then(|dots| dots.get(x % 2));
        if let (Some(cell), Some(dot)) = (cell, dot) {
            *cell |= dot;
        }
    };
    let mut before: Option<(f64, f64)> = None;
    for (x, y) in points {
        let (x0, y0) = before.unwrap_or((x, y));
        let steps = (x - x0).abs().max((y - y0).abs()).ceil().max(1.0);
        for step in 0..=steps as usize {
            let part = step as f64 / steps;
            set(x0 + (x - x0) * part, y0 + (y - y0) * part);
        }
        before = Some((x, y));
    }
    cells
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ramp_rises_from_the_lower_left_to_the_upper_right() {
        let run = Samples {
            time_us: (0..=1000).map(|i| i * 1000).collect(),
            torque_nm: (0..=1000).map(f64::from).collect(),
            ..Samples::default()
        };
        let lines = drawing(&run, "N·m");
        assert_eq!(lines.len(), ROWS + 3);
        assert!(
            lines.iter().all(|line| line.chars().count() <= WIDTH),
            "{lines:?}"
        );
        assert_eq!(lines[0].trim(), "N·m");
        assert!(lines[1].starts_with("    1000 ┤"), "{}", lines[1]);
        assert!(lines[ROWS].starts_with("       0 ┤"), "{}", lines[ROWS]);
        // Where the curve begins in each row: farther left, farther down.
        let begins = |line: &String| {
            line.chars()
                .position(|c| c > '\u{2800}' && c <= '\u{28ff}')
                .unwrap()
        };
        let begins: Vec<usize> = lines[1..=ROWS].iter().map(begins).collect();
        assert!(
            begins.windows(2).all(|pair| pair[0] > pair[1]),
            "{begins:?}"
        );
        assert_eq!(begins[ROWS - 1], LABEL + 1);
        assert_eq!(lines[1].chars().count(), WIDTH);
        assert_eq!(lines[ROWS + 2].trim(), format!("0{:59}1.000 s", ""));
    }

    #[test]
    fn the_zero_has_its_own_figure() {
        let run = Samples {
            time_us: vec![0, 1, 2],
            torque_nm: vec![-100.0, 0.0, 100.0],
            ..Samples::default()
        };
        let lines = drawing(&run, "kN");
        let figures: Vec<&str> = lines[1..=ROWS]
            .iter()
            .map(|line| line[..8].trim())
            .filter(|text| !text.is_empty())
            .collect();
        assert_eq!(figures, ["100.0", "0", "-100.0"]);
    }
}
