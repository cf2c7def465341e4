//! The table of runs: what was run, on which day, and whether it counts.

use super::table::Kind::{Date, Number, Text, Whole};
use super::table::{Column, Table, number, text};
use crate::cells::Cell;
use crate::results::Results;
use crate::results::each::Role;

const COLUMNS: &[Column] = &[
    Column::new(
        "run",
        Whole,
        "Number of the run: its place in the notebook or file, from 1",
    )
    .required(),
    Column::new("tool", Text, "Identifier of the tool").required(),
    Column::new("pack", Text, "Identifier of the battery pack").required(),
    Column::new(
        "specimen",
        Text,
        "Specimen of the tool; empty where none is named",
    ),
    Column::new(
        "pack_specimen",
        Text,
        "Specimen of the pack; empty where none is named",
    ),
    Column::new("setup", Text, "Identifier of the setup").required(),
    Column::new("rig", Text, "Identifier of the rig").required(),
    Column::new("day", Text, "Identifier of the day").required(),
    Column::new("date", Date, "Date of the day").required(),
    Column::new("at_s", Number, "When in its day").unit("s"),
    Column::new("ambient_c", Number, "Air temperature of the day").unit("°C"),
    Column::new("edition", Whole, "Edition that first published the run").required(),
    Column::new(
        ROLE,
        Text,
        "\"counts\", \"set aside\", or \"check run\", which serves the control chart alone",
    )
    .required(),
    Column::new("set_aside_reason", Text, "Why the run is set aside"),
    Column::new(
        "set_aside_edition",
        Whole,
        "Edition from which on it is set aside",
    ),
    Column::new("bolt_use", Whole, "How often the bolt had been used"),
    Column::new("log_file", Text, "File of the raw log"),
    Column::new("log_sha256", Text, "SHA-256 of the raw log in hexadecimal"),
];

/// The column that says what a run is to the edition.
pub const ROLE: &str = "role";

/// What that column may hold.
pub const ROLES: [&str; 3] = ["counts", "set aside", "check run"];

/// The table of the runs of an edition.
pub fn table(results: &Results, edition: u32) -> Table {
    let mut table = Table::new(
        "runs",
        "One row for each run",
        COLUMNS,
        &["run"],
        results.digits(),
    );
    let [counts, set_aside, check_run] = ROLES;
    for told in results.each_run(edition) {
        let run = told.run;
        let excluded = run
            .excluded
            .as_ref()
            .filter(|_| told.role == Role::SetAside);
        let log = run.log.as_ref();
        table.row(&[
            number(told.index),
            Cell::Text(&run.tool),
            Cell::Text(&run.pack),
            text(run.specimen.as_ref()),
            text(run.pack_specimen.as_ref()),
            Cell::Text(told.setup),
            Cell::Text(told.rig),
            Cell::Text(&told.day.id),
            Cell::Text(&told.day.date),
            Cell::Number(run.at_s),
            Cell::Number(told.day.ambient_c),
            Cell::Whole(run.edition.map(u64::from)),
            Cell::Text(match told.role {
                Role::Counts => counts,
                Role::SetAside => set_aside,
                Role::CheckRun => check_run,
            }),
            text(excluded.map(|excluded| &excluded.reason)),
            Cell::Whole(
                excluded
                    .and_then(|excluded| excluded.edition)
                    .map(u64::from),
            ),
            Cell::Whole(run.bolt_use.map(u64::from)),
            text(log.and_then(|log| log.file.as_ref())),
            text(log.and_then(|log| log.sha256.as_ref())),
        ]);
    }
    table
}
