//! Units as this test spells them, with their sizes.

/// A unit: spelling, symbol in messages, size in s, N·m, kN, degrees, V or A.
pub type Unit = (&'static str, &'static str, f64);

const LBF_FT: f64 = 1.355_817_948_331_400_4;

pub const TIME: &[Unit] = &[
    ("s", "s", 1.0),
    ("ms", "ms", 1e-3),
    ("µs", "µs", 1e-6),
    ("sec", "s", 1.0),
    ("us", "µs", 1e-6),
    ("min", "min", 60.0),
];
pub const TORQUE: &[Unit] = &[
    ("N·m", "N·m", 1.0),
    ("Nm", "N·m", 1.0),
    ("lbf-ft", "lbf·ft", LBF_FT),
    ("kN·m", "kN·m", 1e3),
    ("ft-lb", "lbf·ft", LBF_FT),
    ("in-lb", "lbf·in", LBF_FT / 12.0),
    ("cNm", "cN·m", 1e-2),
    ("daN·m", "daN·m", 10.0),
    ("kgf·m", "kgf·m", 9.806_65),
    ("kgf·cm", "kgf·cm", 0.098_066_5),
    ("ozf·in", "ozf·in", LBF_FT / 192.0),
    ("mN·m", "mN·m", 1e-3),
];
pub const TENSION: &[Unit] = &[
    ("kN", "kN", 1.0),
    ("N", "N", 1e-3),
    ("lbf", "lbf", 4.448_221_615_260_5e-3),
];
pub const ANGLE: &[Unit] = &[
    ("deg", "deg", 1.0),
    ("°", "deg", 1.0),
    ("rad", "rad", 180.0 / std::f64::consts::PI),
    ("rev", "rev", 360.0),
];
pub const VOLTAGE: &[Unit] = &[("V", "V", 1.0), ("mV", "mV", 1e-3)];
pub const CURRENT: &[Unit] = &[("A", "A", 1.0), ("mA", "mA", 1e-3)];

/// Spellings that are a unit behind an underscore too.
pub const ANYWHERE: &[&str] = &["ms", "Nm", "kN", "deg", "mV", "mA", "cNm"];
