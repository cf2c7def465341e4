//! Torque and the units it is written in.

use serde::{Deserialize, Serialize};

use super::constants::{KILOGRAM_FORCE_METRE_NM, POUND_FORCE_FOOT_NM, POUND_FORCE_INCH_NM};

/// A torque, held in newton metres.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Torque(f64);

impl Torque {
    /// The torque of this many newton metres.
    #[must_use]
    pub fn from_newton_metres(torque_nm: f64) -> Self {
        Self(torque_nm)
    }

    /// The torque of this many pound-force feet.
    #[must_use]
    pub fn from_pound_force_feet(torque_lbf_ft: f64) -> Self {
        Self(torque_lbf_ft * POUND_FORCE_FOOT_NM)
    }

    /// The torque in newton metres.
    #[must_use]
    pub fn newton_metres(self) -> f64 {
        self.0
    }

    /// The torque in pound-force feet.
    #[must_use]
    pub fn pound_force_feet(self) -> f64 {
        self.0 / POUND_FORCE_FOOT_NM
    }

    /// The torque as a number of this unit.
    #[must_use]
    pub fn in_unit(self, unit: EntryUnit) -> f64 {
        self.0 / unit.newton_metres()
    }
}

/// A unit that torques are shown in.
#[derive(Clone, Copy, Debug, Default, Deserialize, Eq, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub enum TorqueUnit {
    /// Newton metre, N·m.
    #[default]
    #[serde(rename = "n-m")]
    NewtonMetre,
    /// Pound-force foot, lbf·ft.
    #[serde(rename = "lbf-ft")]
    PoundForceFoot,
}

/// A unit that torques may be written in: those they are shown in, and two more.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum EntryUnit {
    /// Newton metre, N·m.
    NewtonMetre,
    /// Pound-force foot, lbf·ft.
    PoundForceFoot,
    /// Pound-force inch, lbf·in: a twelfth of a pound-force foot.
    PoundForceInch,
    /// Kilogram-force metre, kgf·m.
    KilogramForceMetre,
}

impl EntryUnit {
    /// The size of one of this unit, in newton metres. Sources stand with [`super::constants`].
    #[must_use]
    pub fn newton_metres(self) -> f64 {
        match self {
            Self::NewtonMetre => 1.0,
            Self::PoundForceFoot => POUND_FORCE_FOOT_NM,
            Self::PoundForceInch => POUND_FORCE_INCH_NM,
            Self::KilogramForceMetre => KILOGRAM_FORCE_METRE_NM,
        }
    }

    /// The torque of this many of this unit.
    #[must_use]
    pub fn torque(self, number: f64) -> Torque {
        Torque(number * self.newton_metres())
    }

    /// The unit in which answers are shown to someone who writes this one.
    #[must_use]
    pub fn shown_as(self) -> TorqueUnit {
        match self {
            Self::NewtonMetre | Self::KilogramForceMetre => TorqueUnit::NewtonMetre,
            Self::PoundForceFoot | Self::PoundForceInch => TorqueUnit::PoundForceFoot,
        }
    }

    /// The symbol, the same in every language: `N·m`, `lbf·ft`, `lbf·in`, `kgf·m`.
    #[must_use]
    pub fn symbol(self) -> &'static str {
        match self {
            Self::NewtonMetre => "N·m",
            Self::PoundForceFoot => "lbf·ft",
            Self::PoundForceInch => "lbf·in",
            Self::KilogramForceMetre => "kgf·m",
        }
    }
}

impl From<TorqueUnit> for EntryUnit {
    fn from(unit: TorqueUnit) -> Self {
        match unit {
            TorqueUnit::NewtonMetre => Self::NewtonMetre,
            TorqueUnit::PoundForceFoot => Self::PoundForceFoot,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const UNITS: [EntryUnit; 4] = [
        EntryUnit::NewtonMetre,
        EntryUnit::PoundForceFoot,
        EntryUnit::PoundForceInch,
        EntryUnit::KilogramForceMetre,
    ];

    #[test]
    fn every_conversion_round_trips() {
        for unit in UNITS {
            let mut number = 1e-6;
            while number < 1e9 {
                let back = unit.torque(number).in_unit(unit);
                assert!((back / number - 1.0).abs() <= 1e-12, "{number} {unit:?}");
                number *= 1.37;
            }
        }
        let torque = Torque::from_pound_force_feet(480.0);
        assert!((torque.pound_force_feet() / 480.0 - 1.0).abs() <= 1e-12);
        assert_eq!(torque, EntryUnit::PoundForceFoot.torque(480.0));
    }

    #[test]
    fn published_torques_convert() {
        // U-18: a public owner's manual, wheel nut table: 100 lbf·ft.
        let car_nm = Torque::from_pound_force_feet(100.0).newton_metres();
        assert!((car_nm - 135.58).abs() <= 0.01);
        // U-19: a public heavy-truck maintenance manual, disc wheel fastener torques, 450 to 500 lbf·ft.
        let truck_nm = |torque_lbf_ft| Torque::from_pound_force_feet(torque_lbf_ft).newton_metres();
        assert!((truck_nm(450.0) - 610.0).abs() <= 0.5);
        assert!((truck_nm(500.0) - 678.0).abs() <= 0.5);
        // U-07, U-09: 1 kgf·m, and 1 N·m in pound-force inches.
        assert_eq!(
            EntryUnit::KilogramForceMetre.torque(1.0).newton_metres(),
            9.806_65
        );
        let inches = Torque::from_newton_metres(1.0).in_unit(EntryUnit::PoundForceInch);
        assert!((inches / 8.850_745_791_33 - 1.0).abs() <= 1e-11);
    }

    #[test]
    fn a_unit_is_shown_as_its_own_family() {
        for unit in UNITS {
            let shown = EntryUnit::from(unit.shown_as());
            let metric = [EntryUnit::NewtonMetre, EntryUnit::KilogramForceMetre];
            assert_eq!(metric.contains(&unit), shown == EntryUnit::NewtonMetre);
        }
    }
}
