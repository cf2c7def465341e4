//! The fields that `bench.toml` may hold, and where else the fields of the dataset stand.

/// Fields of an object of `bench.toml` by its path, list elements left out.
pub(super) const FIELDS: [(&str, &[&str]); 9] = [
    (
        "",
        &[
            "format",
            "title",
            "summary",
            "publisher",
            "contact",
            "license",
            "invented",
            "disclosure",
            "match_margin_percent",
            "least_trigger_s",
            "editions",
            "rigs",
            "setups",
            "jobs",
            "loggers",
            "tables_encoding",
            "extra_fields",
        ],
    ),
    (
        "/editions",
        &["edition", "date", "draft", "note", "corrections"],
    ),
    (
        "/editions/corrections",
        &["text", "tools", "days", "torque_factor", "from_checks"],
    ),
    (
        "/rigs",
        &[
            "id",
            "name",
            "torque_from",
            "window_s",
            "onset_nm",
            "smooth_s",
            "keep_zero",
            "unit_to_unit_percent",
            "pack_to_pack_percent",
            "day_to_day_percent",
            "calibrations",
            "joints",
        ],
    ),
    (
        "/rigs/calibrations",
        &[
            "date",
            "expanded_uncertainty_percent",
            "coverage_factor",
            "nm_per_kn",
            "note",
        ],
    ),
    (
        "/rigs/joints",
        &["id", "name", "lubricant", "angle_deg", "torque_nm"],
    ),
    (
        "/setups",
        &[
            "id",
            "name",
            "rotation",
            "tool_mode",
            "joint",
            "extension_mm",
            "adapters",
            "start_charge_percent",
            "pack_start_c",
        ],
    ),
    (
        "/jobs",
        &[
            "id",
            "label",
            "fastener",
            "direction",
            "torque_nm",
            "caution",
            "source",
        ],
    ),
    ("/loggers", LOGGER_FIELDS),
];

/// Fields of `bench.toml` that the dataset's format does not have.
pub(super) const OWN: [&str; 3] = ["loggers", "tables_encoding", "extra_fields"];

/// Fields of the dataset that stand in tables. Besides, scatters are worked out of the runs.
pub(super) const IN_TABLES: [(&str, &str); 6] = [
    ("tools", "tools.csv"),
    ("packs", "packs.csv"),
    ("specimens", "specimens.csv"),
    ("days", "days.csv"),
    ("runs", "runs.csv"),
    ("field_checks", "field_checks.csv"),
];

/// The fields of a logger's block.
pub const LOGGER_FIELDS: &[&str] = &[
    "id",
    "files",
    "encoding",
    "delimiter",
    "decimal",
    "thousands",
    "skip_lines",
    "header_starts_with",
    "units_row",
    "end_before",
    "time",
    "rate_hz",
    "torque",
    "tension",
    "angle",
    "voltage",
    "current",
    "split",
    "clips_at_nm",
    "name_pattern",
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dataset::types::{
        Calibration, Correction, Dataset, Edition, Job, Joint, Rig, Setup,
    };
    use schemars::{JsonSchema, schema_for};
    use std::collections::BTreeSet;

    fn fields<T: JsonSchema>() -> BTreeSet<String> {
        let schema = schema_for!(T);
        let properties = schema.as_value()["properties"].as_object().unwrap();
        properties.keys().cloned().collect()
    }

    fn known(path: &str) -> BTreeSet<String> {
        let (_, fields) = FIELDS.iter().find(|(of, _)| *of == path).unwrap();
        fields.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn every_field_of_the_format_is_known() {
        let mut top = known("");
        for own in ["loggers", "tables_encoding", "extra_fields"] {
            assert!(top.remove(own));
        }
        top.extend(IN_TABLES.map(|(list, _)| list.to_owned()));
        top.insert("scatter".to_owned());
        assert_eq!(top, fields::<Dataset>());
        assert_eq!(known("/editions"), fields::<Edition>());
        assert_eq!(known("/editions/corrections"), fields::<Correction>());
        assert_eq!(known("/rigs"), fields::<Rig>());
        assert_eq!(known("/rigs/calibrations"), fields::<Calibration>());
        assert_eq!(known("/rigs/joints"), fields::<Joint>());
        assert_eq!(known("/setups"), fields::<Setup>());
        assert_eq!(known("/jobs"), fields::<Job>());
    }
}
