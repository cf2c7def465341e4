//! The tables of a bench folder and their columns.
//!
//! A column has the name of the field of the dataset that it holds; a field of an object inside has
//! a dotted name, such as `cells.series`.

use super::cell::Kind;

/// A column.
#[derive(Clone, Copy, Debug)]
pub struct Column {
    /// Its header.
    pub name: &'static str,
    /// What it holds.
    pub kind: Kind,
    /// The field of the dataset's element that it fills; empty where the folder's reader uses it.
    pub path: &'static [&'static str],
}

/// A table: its file, and the list of the dataset that its rows make.
#[derive(Debug)]
pub struct Layout {
    /// Name of the file.
    pub file: &'static str,
    /// Key of the list.
    pub list: &'static str,
    /// What one row is.
    pub thing: &'static str,
    /// Whether the file must be there.
    pub required: bool,
    /// Columns that must be there.
    pub needed: &'static [&'static str],
    /// Columns.
    pub columns: &'static [Column],
    /// Objects inside an element, whose fields have dotted names.
    pub nested: &'static [&'static str],
    /// Fields of the dataset that stand elsewhere in a folder, and where.
    pub elsewhere: &'static [(&'static str, &'static str)],
}

impl Layout {
    /// The column with a header.
    pub fn column(&self, name: &str) -> Option<&'static Column> {
        self.columns.iter().find(|column| column.name == name)
    }

    /// The path of the field that a column which is not known fills.
    pub fn extra_path<'a>(&self, name: &'a str) -> Vec<&'a str> {
        match name.split_once('.') {
            Some((outer, inner)) if self.nested.contains(&outer) => vec![outer, inner],
            _ => vec![name],
        }
    }
}

macro_rules! columns {
    ($($name:literal $kind:ident $(= $($part:tt).+)?),+ $(,)?) => {
        &[$(Column {
            name: $name,
            kind: Kind::$kind,
            path: columns!(@path $name $(= $($part).+)?),
        }),+]
    };
    (@path $name:literal) => { &[$name] };
    (@path $name:literal = ()) => { &[] };
    (@path $name:literal = $($part:literal).+) => { &[$($part),+] };
}

/// `tools.csv`.
pub const TOOLS: Layout = Layout {
    file: "tools.csv",
    list: "tools",
    thing: "tool",
    required: true,
    needed: &["id", "name", "pack_mount"],
    columns: columns![
        "id" Text, "name" Text, "maker" Text, "aka" List, "size" Text, "drive_shape" Text,
        "drive_mm" Number, "pack_mount" Text, "mass_kg" Number, "length_mm" Number,
        "centre_to_side_mm" Number, "stated_tightening_nm" Number, "stated_loosening_nm" Number,
        "last_sold" Text, "reference" YesNo,
    ],
    nested: &[],
    elsewhere: &[("prices", "prices.csv")],
};

/// `packs.csv`.
pub const PACKS: Layout = Layout {
    file: "packs.csv",
    list: "packs",
    thing: "pack",
    required: true,
    needed: &["id", "name", "pack_mount"],
    columns: columns![
        "id" Text, "name" Text, "pack_mount" Text, "nominal_v" Number, "capacity_ah" Number,
        "cells.format" Text = "cells"."format", "cells.series" Whole = "cells"."series",
        "cells.parallel" Whole = "cells"."parallel", "mass_kg" Number,
    ],
    nested: &["cells"],
    elsewhere: &[
        ("prices", "prices.csv"),
        (
            "cells",
            "the columns cells.format, cells.series and cells.parallel",
        ),
    ],
};

/// `specimens.csv`.
pub const SPECIMENS: Layout = Layout {
    file: "specimens.csv",
    list: "specimens",
    thing: "specimen",
    required: false,
    needed: &["specimen"],
    columns: columns![
        "tool" Text, "pack" Text, "specimen" Text, "got" Text, "got_from" Text, "condition" Text,
        "made" Text, "serial_ends" Text,
    ],
    nested: &[],
    elsewhere: &[],
};

/// `days.csv`.
pub const DAYS: Layout = Layout {
    file: "days.csv",
    list: "days",
    thing: "day",
    required: true,
    needed: &["id", "date"],
    columns: columns![
        "id" Text, "date" Text, "rig" Text, "ambient_c" Number, "operator" Text, "note" Text,
    ],
    nested: &[],
    elsewhere: &[],
};

/// `prices.csv`: prices of tools and packs. `tool` and `pack` say whose.
pub const PRICES: Layout = Layout {
    file: "prices.csv",
    list: "prices",
    thing: "price",
    required: false,
    needed: &["amount", "currency", "date"],
    columns: columns![
        "tool" Text = (), "pack" Text = (), "amount" Number, "currency" Text, "date" Text,
        "tax_included" YesNo, "where" Text,
    ],
    nested: &[],
    elsewhere: &[],
};

/// `field_checks.csv`.
pub const FIELD_CHECKS: Layout = Layout {
    file: "field_checks.csv",
    list: "field_checks",
    thing: "check on a real fastener",
    required: false,
    needed: &[],
    columns: columns![
        "date" Text, "tool" Text, "pack" Text, "fastener" Text, "state" Text,
        "installed_nm" Number, "came_loose" YesNo, "tried_s" Number,
    ],
    nested: &[],
    elsewhere: &[],
};

/// `runs.csv`: the notebook.
///
/// `log`, `part`, `clock` and `logger` say where a run's samples come from. `log.file`, `log.sha256`,
/// `log.part` and `log.logger` name the first log where the one below `logs/` is a copy that
/// `unbundle` wrote; `start_s`, `interval_s` and `time_us` keep how its times were given.
pub const RUNS: Layout = Layout {
    file: "runs.csv",
    list: "runs",
    thing: "run",
    required: true,
    needed: &["tool", "pack", "day"],
    columns: columns![
        "log" Text = (), "part" Whole = (), "tool" Text, "pack" Text, "specimen" Text,
        "pack_specimen" Text, "setup" Text, "day" Text, "clock" Text = (), "at_s" Number,
        "control" YesNo, "edition" Whole, "excluded" Text = "excluded"."reason",
        "excluded_edition" Whole = "excluded"."edition", "bolt_use" Whole,
        "start_charge_percent" Number, "pack_start_c" Number, "logger" Text = (), "remark" Text,
        "log.file" Text = "log"."file", "log.sha256" Text = "log"."sha256",
        "log.part" Whole = "log"."part", "log.logger" Text = "log"."logger",
        "start_s" Number = (), "interval_s" Number = (), "time_us" YesNo = (),
        "buildup" Any,
    ],
    nested: &["excluded", "log"],
    elsewhere: &[
        ("torque_dnm", "a log below logs/"),
        ("voltage_mv", "a log below logs/"),
        ("current_ma", "a log below logs/"),
        ("angle_ddeg", "a log below logs/"),
    ],
};

/// `doubts.csv`: the tester's answers to doubts, no part of the dataset.
pub const DOUBTS: Layout = Layout {
    file: "doubts.csv",
    list: "doubts",
    thing: "answered doubt",
    required: false,
    needed: &["doubt", "words"],
    columns: columns!["doubt" Text, "about" Text, "words" Text, "fingerprint" Text],
    nested: &[],
    elsewhere: &[],
};

/// All tables whose rows are the elements of a list of the dataset, in the dataset's order.
pub const LISTS: [&Layout; 6] = [&TOOLS, &PACKS, &SPECIMENS, &DAYS, &RUNS, &FIELD_CHECKS];

/// The columns of `runs.csv` that `start` writes: those of a notebook kept by hand.
pub const NOTEBOOK: [&str; 19] = [
    "log",
    "part",
    "tool",
    "pack",
    "specimen",
    "pack_specimen",
    "setup",
    "day",
    "clock",
    "control",
    "edition",
    "excluded",
    "excluded_edition",
    "bolt_use",
    "start_charge_percent",
    "pack_start_c",
    "logger",
    "remark",
    "at_s",
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dataset::types::{Day, FieldCheck, Pack, Price, Run, Specimen, Tool};
    use schemars::{JsonSchema, schema_for};
    use std::collections::BTreeSet;

    /// The fields of a type of the format.
    fn fields<T: JsonSchema>() -> BTreeSet<String> {
        let schema = schema_for!(T);
        let properties = schema.as_value()["properties"].as_object().unwrap();
        properties.keys().cloned().collect()
    }

    /// The fields that a table holds, itself or elsewhere in the folder.
    fn held(layout: &Layout) -> BTreeSet<String> {
        let paths = layout
            .columns
            .iter()
            .filter_map(|column| column.path.first());
        let elsewhere = layout.elsewhere.iter().map(|(field, _)| field);
        paths.chain(elsewhere).map(ToString::to_string).collect()
    }

    #[test]
    fn every_field_of_the_format_has_a_column() {
        assert_eq!(held(&TOOLS), fields::<Tool>());
        assert_eq!(held(&PACKS), fields::<Pack>());
        assert_eq!(held(&SPECIMENS), fields::<Specimen>());
        assert_eq!(held(&DAYS), fields::<Day>());
        assert_eq!(held(&PRICES), fields::<Price>());
        assert_eq!(held(&FIELD_CHECKS), fields::<FieldCheck>());
        let mut runs = held(&RUNS);
        runs.extend(["start_s", "interval_s", "time_us"].map(String::from));
        for own in ["remark", "start_charge_percent", "pack_start_c"] {
            assert!(runs.remove(own), "{own}");
        }
        assert_eq!(runs, fields::<Run>());
        for layout in LISTS.into_iter().chain([&PRICES]) {
            let mut names: Vec<&str> = layout.columns.iter().map(|column| column.name).collect();
            names.sort_unstable();
            assert!(names.windows(2).all(|pair| pair[0] != pair[1]), "{names:?}");
        }
        assert!(NOTEBOOK.iter().all(|name| RUNS.column(name).is_some()));
    }
}
