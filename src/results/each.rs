//! Every run of an edition with its figures.

use super::Results;
use super::reduced::counted;
use crate::dataset::types::{Day, Run};
use crate::history::editions::{Part, controls, part_of, torque_factor};
use crate::typical::Counted;

/// What a run is to an edition.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// It counts in the results.
    Counts,
    /// It is set aside.
    SetAside,
    /// It is a check run, which serves the control chart alone.
    CheckRun,
}

/// A run as an edition has it.
#[derive(Debug)]
pub struct RunFigures<'a> {
    /// Its index in the dataset, from 0.
    pub index: usize,
    /// The run.
    pub run: &'a Run,
    /// Identifier of its setup.
    pub setup: &'a str,
    /// Identifier of its rig.
    pub rig: &'a str,
    /// Its day.
    pub day: &'a Day,
    /// What it is to the edition.
    pub role: Role,
    /// What the corrections up to the edition multiply its torque by; 1 without any.
    pub torque_factor: f64,
    /// Its curve and measures, corrections applied.
    pub counted: Counted,
}

impl Results {
    /// The runs that `edition` or an earlier one published, in the order of the dataset.
    pub fn each_run(&self, edition: u32) -> impl Iterator<Item = RunFigures<'_>> {
        let dataset = &self.dataset;
        let runs = dataset.runs.iter().zip(&self.runs).enumerate();
        runs.filter_map(move |(index, (run, reduced))| {
            run.edition.filter(|own| *own <= edition)?;
            let role = match part_of(run, edition) {
                Part::Counts => Role::Counts,
                Part::SetAside => Role::SetAside,
                Part::None if controls(run, edition) => Role::CheckRun,
                Part::None => Role::SetAside,
            };
            let rig = dataset.rigs.get(reduced.rig)?;
            let factor = torque_factor(&dataset.editions, &run.day, edition);
            Some(RunFigures {
                index,
                run,
                setup: &dataset.setups.get(reduced.setup)?.id,
                rig: &rig.id,
                day: dataset.days.get(reduced.day)?,
                role,
                torque_factor: factor,
                counted: counted(reduced, factor),
            })
        })
    }
}
