//! The table of build-up curves in long form: one row for each knot.

use super::table::Kind::{Number, Whole};
use super::table::{Column, Table, number};
use crate::cells::Cell;
use crate::results::Results;

const COLUMNS: &[Column] = &[
    Column::new("run", Whole, "Number of the run in runs.csv").required(),
    Column::new("knot", Whole, "Number of the knot in its run, from 1").required(),
    Column::new("time_s", Number, "Time after the onset")
        .unit("s")
        .required(),
    Column::new(
        "torque_nm",
        Number,
        "Torque; linear between knots, constant after the last",
    )
    .unit("N·m")
    .required(),
];

/// The table of the curves of the runs of an edition, corrections applied.
pub fn table(results: &Results, edition: u32) -> Table {
    let mut table = Table::new(
        "curves",
        "The build-up curve of each run as knots, corrections applied: one row for each knot",
        COLUMNS,
        &["run", "knot"],
        results.digits(),
    );
    for told in results.each_run(edition) {
        for (knot, (time_s, torque_nm)) in told.counted.curve.points().enumerate() {
            table.row(&[
                number(told.index),
                number(knot),
                Cell::Number(Some(time_s)),
                Cell::Number(Some(torque_nm)),
            ]);
        }
    }
    table
}
