//! Single tools and packs in words: never "specimen".

use super::catalogue::Catalogue;
use crate::dataset::types::{Condition, Got, Specimen};

/// Whether something is a tool or a pack.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A tool.
    Tool,
    /// A battery pack.
    Pack,
}

/// The mark of a single tool or pack, and how it was got if the file says so: "tool A, bought new".
/// Nothing for a pack without a mark.
pub fn marked(
    catalogue: &Catalogue,
    specimens: &[Specimen],
    kind: Kind,
    id: &str,
    mark: Option<&str>,
) -> Option<String> {
    let Some(mark) = mark else {
        return (kind == Kind::Tool).then(|| catalogue.fill("specimen.tool_unmarked", &[]));
    };
    let listed = specimens.iter().find(|specimen| {
        let owner = match kind {
            Kind::Tool => &specimen.tool,
            Kind::Pack => &specimen.pack,
        };
        owner.as_deref() == Some(id) && specimen.specimen == mark
    });
    let mut parts = vec![name(catalogue, kind, mark)];
    parts.extend(listed.and_then(|specimen| got(catalogue, specimen)));
    Some(parts.join(", "))
}

/// The mark of a single tool or pack.
pub fn name(catalogue: &Catalogue, kind: Kind, mark: &str) -> String {
    match kind {
        Kind::Tool => catalogue.fill("specimen.tool", &[("mark", mark)]),
        Kind::Pack => catalogue.fill("specimen.pack", &[("mark", mark)]),
    }
}

/// How a single tool or pack was got, and in which state.
pub fn got(catalogue: &Catalogue, specimen: &Specimen) -> Option<String> {
    let key = match (specimen.got, specimen.condition) {
        (Some(Got::Bought), Some(Condition::New)) => "specimen.bought_new",
        (Some(Got::Bought), Some(Condition::Used)) => "specimen.bought_used",
        (Some(Got::Bought), None) => "specimen.bought",
        (Some(Got::Lent), Some(Condition::New)) => "specimen.lent_new",
        (Some(Got::Lent), Some(Condition::Used)) => "specimen.lent_used",
        (Some(Got::Lent), None) => "specimen.lent",
        (Some(Got::Given), Some(Condition::New)) => "specimen.given_new",
        (Some(Got::Given), Some(Condition::Used)) => "specimen.given_used",
        (Some(Got::Given), None) => "specimen.given",
        (None, Some(Condition::New)) => "specimen.new",
        (None, Some(Condition::Used)) => "specimen.used",
        (None, None) => return None,
    };
    Some(catalogue.fill(key, &[]))
}
