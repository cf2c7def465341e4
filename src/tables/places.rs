//! The table of places: the ranked field of every job, rig and setup.

use super::table::Kind::{Number, Text, Truth, Whole};
use super::table::{Column, Table};
use crate::cells::Cell;
use crate::problem::Problem;
use crate::query::question::Question;
use crate::query::verdict::Verdict;
use crate::results::Results;
use crate::table::row::Row;

const COLUMNS: &[Column] = &[
    Column::new("edition", Whole, "Number of the edition").required(),
    Column::new("rig", Text, "Identifier of the rig").required(),
    Column::new("setup", Text, "Identifier of the setup").required(),
    Column::new(
        "job",
        Text,
        "Identifier of the job, or its torque where the file has no job",
    )
    .required(),
    Column::new(
        "required_torque_nm",
        Number,
        "Torque that the job needs at the anvil",
    )
    .unit("N·m")
    .required(),
    Column::new("tool", Text, "Identifier of the tool").required(),
    Column::new("pack", Text, "Identifier of the battery pack").required(),
    Column::new(
        "rank",
        Whole,
        "Place by time to the job; empty where the pair cannot be ranked",
    ),
    Column::new(
        "rank_low",
        Whole,
        "Lower end of the 90 % interval of the place",
    ),
    Column::new(
        "rank_high",
        Whole,
        "Upper end of the 90 % interval of the place",
    ),
    Column::new("rank_of", Whole, "How many pairs have a place").required(),
    Column::new(
        "reaches",
        Truth,
        "Whether the typical curve reaches the job",
    ),
    Column::new(
        "time_to_job_s",
        Number,
        "Typical time to the job; empty where it is not reached",
    )
    .unit("s"),
    Column::new("work_j", Number, "Work to the job").unit("J"),
    Column::new(
        "average_power_w",
        Number,
        "Average power to the job; 0 if not reached",
    )
    .unit("W"),
    Column::new(
        "rise_rate_nm_per_s",
        Number,
        "Rise rate to the job; 0 if not reached",
    )
    .unit("N·m/s"),
    Column::new("peak_torque_nm", Number, "Typical peak torque").unit("N·m"),
    Column::new(
        "mean_torque_nm",
        Number,
        "Typical mean torque over the window",
    )
    .unit("N·m")
    .required(),
    Column::new("early_torque_nm", Number, "Typical torque at one second")
        .unit("N·m")
        .required(),
    Column::new(
        "torque_19_of_20_nm",
        Number,
        "Torque that 19 of 20 tries reach; empty with too few runs",
    )
    .unit("N·m"),
    Column::new(
        "reach_probability",
        Number,
        "Probability that a further try reaches the job; empty with too few runs",
    ),
    Column::new("verdict", Text, "Whether the job is within reach"),
    Column::new("runs_used", Whole, "Runs that count").required(),
    Column::new("runs_excluded", Whole, "Runs set aside").required(),
    Column::new(
        "specimens",
        Whole,
        "Specimens of the tool with a run that counts",
    )
    .required(),
    Column::new("mass_kg", Number, "Mass of tool and pack").unit("kg"),
    Column::new("length_mm", Number, "Length of the tool").unit("mm"),
];

/// The table of the places of measured pairs for every job of the file, or for the job that the page
/// asks of its own accord where the file has none.
///
/// # Errors
///
/// As [`Results::table`].
pub fn table(results: &Results, edition: u32) -> Result<Table, Problem> {
    let mut table = Table::new(
        "places",
        "The measured pairs of every job, rig and setup, each with its place and figures",
        COLUMNS,
        &["edition", "rig", "setup", "job", "tool", "pack"],
        results.digits(),
    );
    let dataset = results.dataset();
    let mut jobs: Vec<String> = dataset.jobs.iter().map(|job| job.id.clone()).collect();
    if jobs.is_empty() {
        jobs.push(results.default_job());
    }
    for rig in &dataset.rigs {
        for setup in &dataset.setups {
            for job in &jobs {
                let question = Question {
                    rig: Some(rig.id.clone()),
                    setup: Some(setup.id.clone()),
                    job: Some(job.clone()),
                    edition: Some(edition),
                    ..Question::default()
                };
                let field = results.table(&question)?;
                for row in &field.rows {
                    let head = [
                        Cell::Whole(Some(u64::from(edition))),
                        Cell::Text(&rig.id),
                        Cell::Text(&setup.id),
                        Cell::Text(job),
                        Cell::Number(field.required_torque_nm),
                    ];
                    table.row(&[&head[..], &figures(row)].concat());
                }
            }
        }
    }
    Ok(table)
}

fn figures(row: &Row) -> [Cell<'_>; 22] {
    let whole = |number: Option<u32>| Cell::Whole(number.map(u64::from));
    let figures = &row.figures;
    [
        Cell::Text(&row.tool),
        Cell::Text(&row.pack),
        whole(row.rank),
        whole(row.rank_low),
        whole(row.rank_high),
        whole(Some(row.rank_of)),
        Cell::Truth(row.reaches),
        Cell::Number(figures.time_to_job_s),
        Cell::Number(figures.work_j),
        Cell::Number(figures.average_power_w),
        Cell::Number(figures.rise_rate_nm_per_s),
        Cell::Number(figures.peak_torque_nm),
        Cell::Number(figures.mean_torque_nm),
        Cell::Number(figures.early_torque_nm),
        Cell::Number(row.torque_19_of_20_nm),
        Cell::Number(row.reach_probability),
        Cell::Text(row.verdict.map_or("", Verdict::code)),
        whole(figures.runs_used),
        whole(figures.runs_excluded),
        whole(figures.specimens),
        Cell::Number(row.mass_kg),
        Cell::Number(row.length_mm),
    ]
}
