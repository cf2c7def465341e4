//! The scale of the marks of a table.

use super::data::Table;
use super::row::Row;

/// The places that the marks of a table span: all, or those of the rows where these are but a part.
pub(crate) struct Scale {
    /// The first place.
    pub low: u32,
    /// The last place.
    pub high: u32,
    /// Whether that is but a part of all places.
    pub zoomed: bool,
}

impl Scale {
    /// The rows' own places where they span less than half of all, else all.
    pub(super) fn of(table: &Table) -> Self {
        let ends = |row: &Row| {
            let rank = row.rank?;
            Some((row.rank_low.unwrap_or(rank), row.rank_high.unwrap_or(rank)))
        };
        let ends = || table.rows.iter().filter_map(ends);
        let low = ends().map(|(low, _)| low).min().unwrap_or(1);
        let high = ends().map(|(_, high)| high).max().unwrap_or(1);
        let all = table.rows.first().map_or(1, |row| row.rank_of);
        if high > low && 2 * (high - low + 1) < all {
            Self {
                low,
                high,
                zoomed: true,
            }
        } else {
            Self {
                low: 1,
                high: all,
                zoomed: false,
            }
        }
    }

    /// Where a place stands, from 0 to 1.
    pub(super) fn part(&self, rank: u32) -> f64 {
        f64::from(rank.saturating_sub(self.low))
            / f64::from(self.high.saturating_sub(self.low).max(1))
    }
}
