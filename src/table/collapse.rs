//! Which rows of a long table are visible before the user expands it.

use super::data::Collapse;
use super::row::Row;
use crate::query::question::PairIds;

/// Up to this many rows, a table is shown whole.
const WHOLE: usize = 40;

/// From this many rows on, a table has one line for each tool, which opens to its packs.
const BY_TOOL: usize = 150;

/// How many rows stand first in a collapsed table.
const FIRST: usize = 5;

/// How many neighbours of the chosen pair stand there each way.
const NEIGHBOURS: usize = 3;

/// How the rows of a table are collapsed, in their order.
pub(crate) fn collapsed(rows: &[Row], chosen: Option<&PairIds>) -> Vec<Collapse> {
    if rows.len() <= WHOLE {
        let whole = Collapse {
            at_first: true,
            under: None,
        };
        vec![whole; rows.len()]
    } else if rows.len() < BY_TOOL {
        in_part(rows, chosen)
    } else {
        by_tool(rows, chosen)
    }
}

/// The first rows, the chosen one with its neighbours, and the last that reaches the job.
fn in_part(rows: &[Row], chosen: Option<&PairIds>) -> Vec<Collapse> {
    let is_chosen =
        |row: &Row| chosen.is_some_and(|pair| pair.tool == row.tool && pair.pack == row.pack);
    let chosen = rows.iter().position(is_chosen);
    let last = rows.iter().rposition(|row| row.reaches == Some(true));
    let at_first = |index: usize| {
        index < FIRST
            || chosen.is_some_and(|chosen| chosen.abs_diff(index) <= NEIGHBOURS)
            || last == Some(index)
    };
    let collapse = |index| Collapse {
        at_first: at_first(index),
        under: None,
    };
    (0..rows.len()).map(collapse).collect()
}

/// The first row of each tool; all of the chosen one's.
fn by_tool(rows: &[Row], chosen: Option<&PairIds>) -> Vec<Collapse> {
    let mut firsts: Vec<(&str, u32)> = Vec::new();
    let mut collapses = Vec::with_capacity(rows.len());
    for (row, index) in rows.iter().zip(0..) {
        let first = firsts.iter().find(|(tool, _)| *tool == row.tool);
        let under = first.map(|(_, index)| *index);
        if under.is_none() {
            firsts.push((&row.tool, index));
        }
        collapses.push(Collapse {
            at_first: under.is_none() || chosen.is_some_and(|pair| pair.tool == row.tool),
            under,
        });
    }
    collapses
}
