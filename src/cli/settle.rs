//! `settle`: the tester's answer to a doubt.

use super::{Failure, load, print, text};
use crate::bench::doubts::answers::{Unsettled, settle};
use clap::Args;
use std::path::PathBuf;

#[derive(Debug, Args)]
pub(super) struct Settle {
    /// Bench folder
    folder: PathBuf,
    /// The doubt as `check` names it: its name, or NAME:ABOUT where several have that name
    doubt: String,
    /// Your answer: why it is no mistake
    words: String,
}

impl Settle {
    pub fn run(&self) -> Result<(), Failure> {
        let settled = settle(&self.folder, &self.doubt, &self.words);
        let doubt = settled.map_err(|unsettled| match unsettled {
            Unsettled::Problems(problems) => load::in_folder(&self.folder, &problems),
            Unsettled::Unknown(why) => Failure::Misuse(why),
            Unsettled::Unwritten(why) => Failure::Misuse(why),
        })?;
        let file = self.folder.join("doubts.csv");
        print(&text::wrapped(&format!(
            "Settled {} in {}. It stays quiet until what it is about changes.",
            doubt.key(),
            file.display()
        )))
    }
}
