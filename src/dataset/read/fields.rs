//! The fields of every object of the format, and the words that some of them hold.

use super::Node;
use super::value::{Listed, Value, list, number, objects, words};
use crate::dataset::packed::value::{Packed, Reader, packed_objects, packed_words};
use crate::dataset::pointer::Pointer;
use crate::dataset::types::*;
use crate::problem::Problems;

/// One list of the fields, for both forms.
macro_rules! objects_of_the_format {
    ($($listed:tt)+) => {
        objects! { $($listed)+ }
        packed_objects! { $($listed)+ }
    };
}

/// The same for words.
macro_rules! words_of_the_format {
    ($($listed:tt)+) => {
        words! { $($listed)+ }
        packed_words! { $($listed)+ }
    };
}

objects_of_the_format! {
    Edition { edition, date, draft, note, corrections }
    Correction { text, tools, days, torque_factor, from_checks }
    Rig {
        id, name, torque_from, window_s, onset_nm, smooth_s, keep_zero, unit_to_unit_percent,
        pack_to_pack_percent, day_to_day_percent, calibrations, joints
    }
    Calibration { date, expanded_uncertainty_percent, coverage_factor, nm_per_kn, note }
    Joint { id, name, lubricant, angle_deg, torque_nm }
    Setup {
        id, name, rotation, tool_mode, joint, extension_mm, adapters, start_charge_percent,
        pack_start_c
    }
    Tool {
        id, name, maker, aka, size, drive_shape, drive_mm, pack_mount, mass_kg, length_mm,
        centre_to_side_mm, stated_tightening_nm, stated_loosening_nm, last_sold, reference, prices
    }
    Price { amount, currency, date, tax_included, place = "where" }
    Pack { id, name, pack_mount, nominal_v, capacity_ah, cells, mass_kg, prices }
    Cells { format, series, parallel }
    Specimen { tool, pack, specimen, got, got_from, condition, made, serial_ends }
    Day { id, date, rig, ambient_c, operator, note }
    Run {
        tool, pack, setup, specimen, pack_specimen, day, edition, control, excluded, at_s,
        bolt_use, log, start_s, interval_s, time_us, torque_dnm, voltage_mv, current_ma,
        angle_ddeg, buildup
    }
    Exclusion { reason, edition }
    LogFile { file, sha256 }
    BuildUp {
        onset_dnm, tick_us, first_us, step, rise_dnm, largest_dnm, samples, zero_dnm, gap_us,
        flags, turn_ddeg, open_mv, resistance_uohm, lowest_mv, energy_mj
    }
    Job { id, label, fastener, direction, torque_nm, caution, source }
    FieldCheck { date, tool, pack, fastener, state, installed_nm, came_loose, tried_s }
    FieldScatter {
        rig, setup, edition, specimen_ppm, specimen_cnu, pack_ppm, pack_cnu, day_ppm, day_cnu
    }
}

words_of_the_format! {
    TorqueFrom { "bolt tension" = BoltTension, "torque sensor" = TorqueSensor }
    Rotation { "forward" = Forward, "reverse" = Reverse }
    Size { "small" = Small, "medium" = Medium, "large" = Large }
    Got { "bought" = Bought, "lent" = Lent, "given" = Given }
    Condition { "new" = New, "used" = Used }
    Direction { "loosen" = Loosen, "tighten" = Tighten }
    Caution { "wheel" = Wheel }
    Flag { "short" = Short, "no_quiet" = NoQuiet }
}

impl Listed for Flag {}

impl Value for TorqueRange {
    fn read<N: Node>(value: &N, pointer: &Pointer, problems: &mut Problems) -> Option<Self> {
        let figures = if value.kind() == super::Kind::Array {
            list(value, pointer, problems, f64::read)
        } else {
            let wanted = "a torque in N·m or a list of two";
            number(value, pointer, wanted, problems).map(|figure| vec![figure])
        };
        figures.map(Self)
    }
}

impl Packed for TorqueRange {
    fn unpack(reader: &mut Reader) -> Self {
        Self(Packed::unpack(reader))
    }

    #[cfg(not(target_arch = "wasm32"))]
    fn pack(&self, writer: &mut crate::dataset::packed::value::Writer) {
        self.0.pack(writer);
    }
}

#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests {
    use super::*;
    use crate::dataset::json::Slice;
    use schemars::{JsonSchema, schema_for};
    use serde_json::Value as Json;

    /// Every text that a part of a schema allows.
    fn texts(schema: &Json, found: &mut Vec<String>) {
        match schema {
            Json::Object(parts) => {
                let named = |keyword: &str| parts.get(keyword).into_iter();
                let listed = named("enum").flat_map(Json::as_array).flatten();
                let words = named("const").chain(listed).filter_map(Json::as_str);
                found.extend(words.map(String::from));
                parts.values().for_each(|part| texts(part, found));
            }
            Json::Array(parts) => parts.iter().for_each(|part| texts(part, found)),
            _ => {}
        }
    }

    /// The words of the schema are those that are read, each as another.
    fn words_are_read<T: Value + JsonSchema + PartialEq>(count: usize) {
        let mut words = Vec::new();
        texts(schema_for!(T).as_value(), &mut words);
        assert_eq!(words.len(), count, "{words:?}");
        let mut read: Vec<T> = Vec::new();
        for word in words {
            let text = format!("\"{word}\"");
            let value = serde_json::from_str(&text).unwrap();
            let mut problems = Problems::default();
            let one = T::read(&Slice::new(value), &Pointer::Top, &mut problems);
            let one = one.unwrap_or_else(|| panic!("{problems:?}"));
            assert!(!read.contains(&one), "{word}");
            read.push(one);
        }
    }

    #[test]
    fn the_words_are_those_of_the_schema() {
        words_are_read::<TorqueFrom>(2);
        words_are_read::<Rotation>(2);
        words_are_read::<Size>(3);
        words_are_read::<Got>(3);
        words_are_read::<Condition>(2);
        words_are_read::<Direction>(2);
        words_are_read::<Caution>(1);
        words_are_read::<Flag>(2);
    }
}
