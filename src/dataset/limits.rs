//! The limits of a dataset, each with its unit: what `check` accepts, `page` publishes, the schema
//! says and messages name.
//!
//! A number has the same limits wherever a field of its name stands, but for torques of jobs and
//! joints, which share the name `torque_nm`. Limits of single values lie well beyond any tool, pack
//! or rig and well within what sums, squares and quotients of them can hold; they have no source.

/// The most bytes of a dataset that are read: 256 MB.
pub const MOST_BYTES: usize = 256_000_000;

/// The most combinations (tool, pack, setup, rig) in one dataset.
pub const MOST_COMBINATIONS: usize = 5_000;

/// The most specimens of tools beyond the first of each, specimens of packs likewise, and days, together,
/// that runs name: what they differ by is found from a square matrix of them.
pub const MOST_DIFFERING: usize = 2_000;

/// The most samples in one run: 200 s at 10,000 samples a second.
pub const MOST_SAMPLES: usize = 2_000_000;

/// The most knots in one published run. Thinning leaves far fewer, however many samples there were.
pub const MOST_KNOTS: usize = 60_000;

/// The most elements in any one list of the file other than samples.
pub const MOST_ELEMENTS: usize = 500_000;

/// The most editions.
pub const MOST_EDITIONS: usize = 1_000;

/// The longest run, in microseconds: an hour.
pub const MOST_RUN_US: i64 = 3_600_000_000;

/// The largest time stamp of a sample in microseconds, either way: more than thirty years.
pub const LATEST_US: i64 = 1_000_000_000_000_000;

/// The largest torque of a sample, a peak or a job, in N·m, also once corrections have multiplied it.
pub const MOST_TORQUE_NM: f64 = 20_000.0;

/// The same in tenths of a N·m.
pub const MOST_TORQUE_DNM: i32 = 200_000;

/// The smallest and the largest job torque, in N·m.
pub const JOB_TORQUE_NM: (f64, f64) = (1.0, MOST_TORQUE_NM);

/// The smallest and the largest torque on a joint's line, in N·m.
pub const JOINT_TORQUE_NM: (f64, f64) = (0.0, MOST_TORQUE_NM);

/// The least rise of torque from one point of a joint's line to the next, in N·m: the line's last
/// slope is carried on beyond its end.
pub const LEAST_JOINT_RISE_NM: f64 = 0.01;

/// The least rise of angle from one point of a joint's line to the next, in degrees.
pub const LEAST_JOINT_RISE_DEG: f64 = 0.001;

/// The smallest and the largest factor that all corrections of one day's torque make together.
pub const TORQUE_FACTORS: (f64, f64) = (0.25, 4.0);

/// Most characters of names, identifiers and other texts of one line.
pub const MOST_NAME_CHARS: usize = 200;

/// Most characters of notes and other free texts.
pub const MOST_NOTE_CHARS: usize = 10_000;

/// The fields that hold free texts.
pub const NOTES: [&str; 8] = [
    "summary",
    "contact",
    "license",
    "disclosure",
    "note",
    "text",
    "reason",
    "source",
];

/// Most characters of the text in a field.
pub fn most_chars(field: &str) -> usize {
    if NOTES.contains(&field) {
        MOST_NOTE_CHARS
    } else {
        MOST_NAME_CHARS
    }
}

/// The smallest and the largest number of a field, in the unit that its name ends with; of a list,
/// of each of its elements.
pub fn of(field: &str) -> Option<(f64, f64)> {
    let limits = NUMBERS.iter().find(|(name, ..)| *name == field);
    limits.map(|&(_, least, most)| (least, most))
}

/// The unit of a number in a field, in words for messages, by the ending of the field's name.
pub fn unit(field: &str) -> Option<&'static str> {
    let (_, ending) = field.rsplit_once('_')?;
    let unit = UNITS.iter().find(|(other, _)| *other == ending);
    unit.map(|(_, words)| *words)
}

/// What [`unit`] finds.
const UNITS: [(&str, &str); 19] = [
    ("ah", "A·h"),
    ("c", "°C"),
    ("cnu", "hundredths of a degree of freedom"),
    ("ddeg", "tenths of a degree"),
    ("deg", "degrees"),
    ("dnm", "tenths of a N·m"),
    ("kg", "kg"),
    ("kn", "N·m per kN"),
    ("ma", "milliamperes"),
    ("mj", "millijoules"),
    ("mm", "mm"),
    ("mv", "millivolts"),
    ("nm", "N·m"),
    ("percent", "%"),
    ("ppm", "millionths"),
    ("s", "s"),
    ("uohm", "micro-ohms"),
    ("us", "microseconds"),
    ("v", "V"),
];

/// Largest torque written in a file, in tenths of a N·m.
const TORQUE_DNM: f64 = MOST_TORQUE_DNM as f64;

/// An hour in microseconds.
const RUN_US: f64 = MOST_RUN_US as f64;

/// Latest time stamp of a sample in microseconds.
const LATEST: f64 = LATEST_US as f64;

/// What [`of`] finds.
pub const NUMBERS: [(&str, f64, f64); 59] = [
    // Results.
    ("match_margin_percent", 0.01, 100.0),
    ("least_trigger_s", 0.1, 60.0),
    // Bench.
    ("torque_factor", 0.5, 2.0),
    ("window_s", 0.1, 60.0),
    ("smooth_s", 0.0, 1.0),
    ("onset_nm", 0.01, MOST_TORQUE_NM),
    ("unit_to_unit_percent", 0.0, 100.0),
    ("pack_to_pack_percent", 0.0, 100.0),
    ("day_to_day_percent", 0.0, 100.0),
    ("expanded_uncertainty_percent", 0.0, 100.0),
    ("coverage_factor", 0.1, 10.0),
    ("nm_per_kn", 0.001, 1_000.0),
    // A hundred turns.
    ("angle_deg", 0.0, 36_000.0),
    ("extension_mm", 0.0, 10_000.0),
    ("start_charge_percent", 0.0, 100.0),
    ("pack_start_c", -100.0, 150.0),
    ("ambient_c", -100.0, 100.0),
    // Tools and packs.
    ("drive_mm", 1.0, 500.0),
    ("mass_kg", 0.01, 1_000.0),
    ("length_mm", 1.0, 10_000.0),
    ("centre_to_side_mm", 0.1, 10_000.0),
    ("stated_tightening_nm", 0.01, MOST_TORQUE_NM),
    ("stated_loosening_nm", 0.01, MOST_TORQUE_NM),
    ("amount", 0.01, 1e9),
    ("nominal_v", 0.1, 1_000.0),
    ("capacity_ah", 0.01, 1_000.0),
    ("series", 1.0, 1_000.0),
    ("parallel", 1.0, 1_000.0),
    // Real fasteners.
    ("installed_nm", 0.01, MOST_TORQUE_NM),
    ("tried_s", 0.001, 3_600.0),
    // Scatter of a field.
    ("specimen_ppm", 0.0, 1e6),
    ("specimen_cnu", 1.0, 4e9),
    ("pack_ppm", 0.0, 1e6),
    ("pack_cnu", 1.0, 4e9),
    ("day_ppm", 0.0, 1e6),
    ("day_cnu", 1.0, 4e9),
    // Runs.
    ("at_s", 0.0, 1e6),
    ("bolt_use", 0.0, 1e6),
    ("start_s", -1e6, 1e6),
    ("interval_s", 1e-6, 60.0),
    ("time_us", -LATEST, LATEST),
    ("torque_dnm", -TORQUE_DNM, TORQUE_DNM),
    // Noise about zero volts is no fault; a pack connected the other way is.
    ("voltage_mv", -1e3, 1e6),
    ("current_ma", -1e6, 1e6),
    // Ten thousand turns.
    ("angle_ddeg", -3.6e7, 3.6e7),
    // Build-up curves.
    ("tick_us", 1.0, RUN_US),
    ("first_us", 0.0, RUN_US),
    ("step", 0.0, RUN_US),
    ("samples", 1.0, MOST_SAMPLES as f64),
    ("gap_us", 0.0, RUN_US),
    ("onset_dnm", -TORQUE_DNM, TORQUE_DNM),
    ("rise_dnm", -TORQUE_DNM, TORQUE_DNM),
    ("largest_dnm", 1.0, 2.0 * TORQUE_DNM),
    ("zero_dnm", -TORQUE_DNM, TORQUE_DNM),
    ("turn_ddeg", 0.0, 7.2e7),
    ("open_mv", 0.0, 1e7),
    ("resistance_uohm", 0.0, 1e9),
    ("lowest_mv", -1e3, 1e6),
    ("energy_mj", 0.0, 3.6e12),
];
