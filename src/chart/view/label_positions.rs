//! Where the words at the lines of a chart stand.

use super::super::label::{Anchor, Label};
use super::super::label_placement::{Area, LabelPlacement};

/// Letters that a mark before a name takes.
const MARK_LETTERS: usize = 2;

/// A label at a position.
pub(super) fn label(x_px: f64, y_px: f64, anchor: Anchor, text: String) -> Label {
    Label {
        x_px,
        y_px,
        anchor,
        text,
    }
}

/// The words of the needed line: above or below it, at its right end, its left end or its middle;
/// if no such position is free, the nearest that is; above its right end if none is.
pub(super) fn needed_label(room: &mut LabelPlacement, text: String, y: f64) -> Label {
    let Area { left, right, .. } = room.within;
    let (above, below) = (y - room.line_px - 1.0, y + 2.0);
    let across = [
        (right - 2.0, Anchor::End),
        ((left + right) / 2.0, Anchor::Middle),
        (left + 2.0, Anchor::Start),
    ];
    let mut spots = Vec::new();
    for (x, anchor) in across {
        spots.extend([(x, above, anchor), (x, below, anchor)]);
    }
    for top in room.outwards(y) {
        spots.extend(across.map(|(x, anchor)| (x, top, anchor)));
    }
    room.take(&text, 0, &spots)
        .unwrap_or_else(|| label(right - 2.0, above.max(0.0), Anchor::End, text))
}

/// The names of the curves, right-aligned, each as near to the end of its curve as there is room;
/// none if there is not room for all.
pub(super) fn end_labels<'a>(
    room: &mut LabelPlacement,
    ends: impl Iterator<Item = (&'a str, f64)>,
) -> Vec<Label> {
    let right = room.within.right - 2.0;
    let before = room.clone();
    let labels: Option<Vec<Label>> = ends
        .map(|(text, end_y)| {
            let tops = room.outwards(end_y);
            let spots: Vec<_> = tops.map(|top| (right, top, Anchor::End)).collect();
            room.take(text, MARK_LETTERS, &spots)
        })
        .collect();
    labels.unwrap_or_else(|| {
        *room = before;
        Vec::new()
    })
}

/// The time at a crossing: below it to the right, where a rising curve leaves room, or above it.
pub(super) fn crossing_label(
    room: &mut LabelPlacement,
    text: &str,
    (x, y): (f64, f64),
    gap: f64,
) -> Option<Label> {
    let (above, below) = (y - room.line_px - gap, y + gap);
    let spots = [
        (x + 1.5 * gap, below, Anchor::Start),
        (x - 1.5 * gap, above, Anchor::End),
        (x + 1.5 * gap, above, Anchor::Start),
    ];
    room.take(text, 0, &spots)
}
