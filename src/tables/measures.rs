//! The table of measures: the figures of each run.

use super::table::Kind::{Number, Truth, Whole};
use super::table::{Column, Table, number};
use crate::cells::Cell;
use crate::dataset::types::Flag;
use crate::results::Results;

const COLUMNS: &[Column] = &[
    Column::new("run", Whole, "Number of the run in runs.csv").required(),
    Column::new("peak_torque_nm", Number, "Peak torque: the build-up curve at its end").unit("N·m").required(),
    Column::new("mean_torque_nm", Number, "Mean torque of the build-up curve over the rig's window").unit("N·m").required(),
    Column::new("early_torque_nm", Number, "Build-up curve at one second").unit("N·m").required(),
    Column::new("largest_sample_nm", Number, "Largest sample less the zero").unit("N·m").required(),
    Column::new("torque_factor", Number, "What corrections multiplied the torques of this row and of curves.csv by; 1 without a correction").required(),
    Column::new("zero_nm", Number, "Zero taken away from the log, not corrected").unit("N·m").required(),
    Column::new("samples", Whole, "Samples of the log, repeated time stamps merged").required(),
    Column::new("sample_gap_s", Number, "Median interval between samples").unit("s").required(),
    Column::new("short", Truth, "Whether the log ends or the torque falls for good before the window has passed").required(),
    Column::new("no_quiet_start", Truth, "Whether no sample lies below the onset level").required(),
    Column::new("open_voltage_v", Number, "Open-circuit voltage of the pack").unit("V"),
    Column::new("lowest_voltage_v", Number, "Lowest loaded voltage of the pack").unit("V"),
    Column::new("resistance_ohm", Number, "Resistance of the pack").unit("Ω"),
    Column::new("energy_j", Number, "Electrical energy from the onset to the end").unit("J"),
];

/// The table of the figures of the runs of an edition, corrections applied.
pub fn table(results: &Results, edition: u32) -> Table {
    let mut table = Table::new(
        "measures",
        "The figures of each run, corrections applied: one row for each run",
        COLUMNS,
        &["run"],
        results.digits(),
    );
    for told in results.each_run(edition) {
        let measures = told.counted.measures;
        let buildup = told.counted.buildup;
        let part = |whole: Option<i64>, of: f64| Cell::Number(whole.map(|whole| whole as f64 / of));
        table.row(&[
            number(told.index),
            Cell::Number(Some(measures.peak_nm)),
            Cell::Number(Some(measures.mean_nm)),
            Cell::Number(Some(measures.early_nm)),
            Cell::Number(Some(told.counted.largest_nm)),
            Cell::Number(Some(told.torque_factor)),
            Cell::Number(Some(f64::from(buildup.zero_dnm) / 10.0)),
            Cell::Whole(Some(u64::from(buildup.samples))),
            Cell::Number(Some(f64::from(buildup.gap_us) / 1e6)),
            Cell::Truth(Some(buildup.is(Flag::Short))),
            Cell::Truth(Some(buildup.is(Flag::NoQuiet))),
            part(buildup.open_mv, 1e3),
            part(buildup.lowest_mv, 1e3),
            part(buildup.resistance_uohm, 1e6),
            part(buildup.energy_mj, 1e3),
        ]);
    }
    table
}
