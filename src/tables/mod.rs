//! A dataset as tidy tables for other programs: runs, measures, curves and places as CSV with units
//! in the headers, and a descriptor of them (Data Package 2, Table Schema).
//!
//! [`table`] holds columns and writes cells, the other modules each fill one table, [`package`]
//! writes the descriptor.

pub mod curves;
pub mod measures;
pub mod package;
pub mod places;
pub mod runs;
pub mod table;

use crate::problem::Problem;
use crate::results::Results;

/// A file to write: its name and its bytes.
pub type File = (String, Vec<u8>);

/// The files of the tables of edition `edition`, `datapackage.json` last.
///
/// # Errors
///
/// A problem that names the part of a job of the file that cannot be asked.
pub fn files(results: &Results, edition: u32) -> Result<Vec<File>, Problem> {
    let tables = [
        runs::table(results, edition),
        measures::table(results, edition),
        curves::table(results, edition),
        places::table(results, edition)?,
    ];
    let package = package::files(results, edition, &tables);
    let tables = tables
        .into_iter()
        .map(|table| (table.file(), table.csv.into_bytes()));
    Ok(tables.chain(package).collect())
}
