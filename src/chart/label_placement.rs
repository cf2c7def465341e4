//! Places labels among curves: each goes to the free place nearest to where it belongs.

use super::label::{Anchor, Label};

/// An upright box in CSS pixels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Area {
    pub left: f64,
    pub top: f64,
    pub right: f64,
    pub bottom: f64,
}

impl Area {
    pub fn meets(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    fn holds(&self, other: &Self) -> bool {
        self.left <= other.left
            && other.right <= self.right
            && self.top <= other.top
            && other.bottom <= self.bottom
    }

    /// Whether a line through these points, in rising order of x, comes into this box.
    fn is_crossed_by(&self, points: &[(f64, f64)]) -> bool {
        points.windows(2).any(|pair| match pair {
            &[(x, y), (next_x, next_y)] => {
                x <= self.right
                    && self.left <= next_x
                    && y.min(next_y) <= self.bottom
                    && self.top <= y.max(next_y)
            }
            _ => false,
        })
    }
}

/// The drawing as far as words must keep clear of it.
#[derive(Clone)]
pub(crate) struct LabelPlacement<'a> {
    /// Words stay in here.
    pub within: Area,
    /// Lines to keep clear of.
    pub lines: Vec<&'a [(f64, f64)]>,
    /// Height of a line of text.
    pub line_px: f64,
    /// Width of an average letter.
    pub letter_px: f64,
    taken: Vec<Area>,
}

impl<'a> LabelPlacement<'a> {
    pub fn new(
        within: Area,
        lines: Vec<&'a [(f64, f64)]>,
        line_px: f64,
        letter_px: f64,
    ) -> LabelPlacement<'a> {
        let taken = Vec::new();
        LabelPlacement {
            within,
            lines,
            line_px,
            letter_px,
            taken,
        }
    }

    /// Keeps words out of this box.
    pub fn block(&mut self, area: Area) {
        self.taken.push(area);
    }

    /// The box of a text of so many letters whose anchor is at (`x`, `top`).
    fn area(&self, letters: usize, (x, top, anchor): Spot) -> Area {
        let width = letters as f64 * self.letter_px;
        let left = match anchor {
            Anchor::Start => x,
            Anchor::Middle => x - width / 2.0,
            Anchor::End => x - width,
        };
        Area {
            left,
            top,
            right: left + width,
            bottom: top + self.line_px,
        }
    }

    /// The text at the first of these spots that is free; `None` if none is.
    pub fn take(&mut self, text: &str, extra_letters: usize, spots: &[Spot]) -> Option<Label> {
        let letters = text.chars().count() + extra_letters;
        let (spot, area) = spots
            .iter()
            .map(|&spot| (spot, self.area(letters, spot)))
            .find(|(_, area)| {
                self.within.holds(area)
                    && !self.taken.iter().any(|taken| taken.meets(area))
                    && !self.lines.iter().any(|line| area.is_crossed_by(line))
            })?;
        self.taken.push(area);
        let (x_px, y_px, anchor) = spot;
        Some(Label {
            x_px,
            y_px,
            anchor,
            text: text.to_owned(),
        })
    }

    /// Tops of lines of text from `y` outwards, nearest first, a quarter of a line apart.
    pub fn outwards(&self, y: f64) -> impl Iterator<Item = f64> + use<> {
        let (line, gap) = (self.line_px, self.line_px / 4.0);
        let most = ((self.within.bottom - self.within.top) / gap).max(0.0) as u32;
        (1..=most).flat_map(move |steps| {
            let away = f64::from(steps) * gap;
            [y - line - away, y + away]
        })
    }
}

/// Where a text may stand: its anchor's x, its top, its anchor.
pub(crate) type Spot = (f64, f64, Anchor);

#[cfg(test)]
mod tests {
    use super::*;

    const WITHIN: Area = Area {
        left: 0.0,
        top: 0.0,
        right: 300.0,
        bottom: 100.0,
    };

    #[test]
    fn a_text_moves_to_the_next_free_spot() {
        let line = [(0.0, 50.0), (300.0, 50.0)];
        let mut room = LabelPlacement::new(WITHIN, vec![&line], 16.0, 7.0);
        let spots = |room: &LabelPlacement| -> Vec<Spot> {
            room.outwards(50.0)
                .map(|top| (298.0, top, Anchor::End))
                .collect()
        };
        let all = spots(&room);
        let one = room.take("a curve", 0, &all).unwrap();
        let other = room.take("another", 0, &all).unwrap();
        let third = room.take("a third", 0, &all).unwrap();
        assert_eq!((one.y_px, other.y_px), (30.0, 54.0));
        assert!((third.y_px - one.y_px).abs() >= 16.0 && (third.y_px - other.y_px).abs() >= 16.0);
        assert_eq!(room.take(&"long ".repeat(20), 0, &all), None);
    }

    #[test]
    fn a_line_is_met_between_its_points_too() {
        let area = Area {
            left: 10.0,
            top: 10.0,
            right: 20.0,
            bottom: 20.0,
        };
        assert!(area.is_crossed_by(&[(12.0, 90.0), (14.0, 0.0)]));
        assert!(!area.is_crossed_by(&[(0.0, 90.0), (9.0, 0.0)]));
        assert!(!area.is_crossed_by(&[(0.0, 9.0), (30.0, 9.0)]));
    }
}
