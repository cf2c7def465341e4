//! `start`: a new bench folder.

use super::{Failure, print};
use crate::bench::new_folder::new_folder;
use clap::Args;
use std::path::PathBuf;

#[derive(Debug, Args)]
pub(super) struct Start {
    /// Folder to make; it must not be there, or be empty
    folder: PathBuf,
}

impl Start {
    pub fn run(&self) -> Result<(), Failure> {
        let files = crate::bench::start::files();
        new_folder(&self.folder, &files, |_| Ok(())).map_err(Failure::Misuse)?;
        let folder = self.folder.display();
        print(&format!(
            "Made {folder}. Next:\n\
            1. Fill in {folder}/bench.toml and the tables; each holds an example after a #.\n\
            2. Put logs below {folder}/logs/.\n\
            3. jobtorque gather {folder}    adds a row to runs.csv for each log\n\
            4. jobtorque check {folder}     says what is missing or wrong"
        ))
    }
}
