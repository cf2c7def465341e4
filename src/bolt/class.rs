//! How strong a bolt is: property classes of metric bolts, grades of inch bolts.

use super::System;
use super::thread::{INCH_MM, Size};
use crate::units::constants::POUND_FORCE_N;

/// A property class or grade, for sizes up to a limit.
#[derive(Debug, PartialEq)]
pub struct Class {
    system: System,
    /// What is marked on the head, or stands for it: `10.9`, `8`.
    pub name: &'static str,
    /// The same in thousandths.
    number: u32,
    /// For diameters up to this one, in the unit of [`Size`].
    up_to: u8,
    /// Proof stress in N/mm², or in 1,000 lbf/in².
    proof: u16,
    /// Yield strength R_p0.2 in the same unit.
    yielding: u16,
}

const fn class(
    system: System,
    name: &'static str,
    number: u32,
    up_to: u8,
    proof: u16,
    yielding: u16,
) -> Class {
    Class {
        system,
        name,
        number,
        up_to,
        proof,
        yielding,
    }
}

const ANY: u8 = u8::MAX;

/// Sources: ISO 898-1, Tables 3 to 5 (8.8 to 16 mm, and above), read in public reprints; SAE J429 (grade
/// 2 to 3/4 in, and above), read in public reprints.
static CLASSES: [Class; 8] = [
    class(System::Metric, "8.8", 8_800, 16, 580, 640),
    class(System::Metric, "8.8", 8_800, ANY, 600, 660),
    class(System::Metric, "10.9", 10_900, ANY, 830, 940),
    class(System::Metric, "12.9", 12_900, ANY, 970, 1_100),
    class(System::Inch, "2", 2_000, 12, 55, 57),
    class(System::Inch, "2", 2_000, ANY, 33, 36),
    class(System::Inch, "5", 5_000, ANY, 85, 92),
    class(System::Inch, "8", 8_000, ANY, 120, 130),
];

/// The classes there are for a size, the weakest first.
pub fn classes(size: &Size) -> impl Iterator<Item = &'static Class> {
    let mut last = 0;
    let (system, diameter) = (size.system, size.diameter);
    CLASSES
        .iter()
        .filter(move |class| class.system == system && diameter <= class.up_to)
        .filter(move |class| core::mem::replace(&mut last, class.number) != class.number)
}

impl Class {
    /// The class of this number, in thousandths, for a size.
    pub(super) fn of(size: &Size, number: u32) -> Option<&'static Self> {
        classes(size).find(|class| class.number == number)
    }

    /// Proof stress in N/mm²: what the bolt bears without staying longer.
    pub fn proof_stress_mpa(&self) -> f64 {
        self.mpa(self.proof)
    }

    /// Yield strength R_p0.2 in N/mm².
    pub fn yield_stress_mpa(&self) -> f64 {
        self.mpa(self.yielding)
    }

    fn mpa(&self, stress: u16) -> f64 {
        let stress = f64::from(stress);
        match self.system {
            System::Metric => stress,
            // 1,000 lbf/in² in N/mm².
            System::Inch => stress * 1000.0 * POUND_FORCE_N / (INCH_MM * INCH_MM),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::thread::SIZES;
    use super::*;

    #[test]
    fn every_size_has_three_classes_of_rising_strength() {
        for size in &SIZES {
            let classes: Vec<&Class> = classes(size).collect();
            assert_eq!(classes.len(), 3, "{}", size.name);
            for pair in classes.windows(2) {
                assert!(pair[0].proof_stress_mpa() < pair[1].proof_stress_mpa());
            }
            for class in classes {
                assert!(class.proof_stress_mpa() < class.yield_stress_mpa());
                assert_eq!(Class::of(size, class.number), Some(class));
            }
            assert_eq!(Class::of(size, 9_800), None);
        }
    }
}
