//! What a dataset offers.

use super::data::{Choice, JobChoice};
use crate::dataset::types::{Job, Tool};
use crate::text;
use crate::text::catalogue::Catalogue;
use crate::units::TorqueUnit;

/// A tool to choose.
pub(crate) fn tool_choice(tool: &Tool) -> Choice {
    Choice {
        aka: tool.aka.clone(),
        maker: tool.maker.clone(),
        mount: Some(tool.pack_mount.clone()),
        size: tool.size,
        ..plain(&tool.id, &tool.name)
    }
}

pub(crate) fn plain(id: &str, name: &str) -> Choice {
    Choice {
        id: id.into(),
        name: name.into(),
        aka: Vec::new(),
        maker: None,
        mount: None,
        size: None,
    }
}

/// A job of the file to choose.
pub(crate) fn job_choice(catalogue: &Catalogue, job: &Job, unit: TorqueUnit) -> JobChoice {
    JobChoice {
        id: job.id.clone(),
        name: job.label.clone(),
        torque: text::job_torque(catalogue, job.torque_nm.figures(), unit),
        direction: job.direction,
    }
}
