//! How strong a bolt is: property classes of metric bolts, grades of inch bolts.

use super::System;
use super::thread::{INCH_MM, Size};
use crate::units::constants::POUND_FORCE_N;

/// A property class or grade, for sizes up to a limit.
#[derive(Debug, PartialEq)]
pub struct Class {
    system: System,
    /// What is marked on the head, or stands for it: `10.9`, `A2-70`, `8`.
    pub name: &'static str,
    /// The same in thousandths; of stainless steel as [`stainless`] gives it.
    number: u32,
    /// For diameters up to this one, in the unit of [`Size`].
    up_to: u8,
    /// Proof stress in N/mm², or in 1,000 lbf/in².
    proof: u16,
    /// Yield strength in the same unit: R_p0.2, or R_eL, or R_pf of 4.8, 5.8 and 6.8.
    yielding: u16,
}

/// Numbers of stainless classes begin here, above every number that can be written.
const STAINLESS: u32 = 100_000_000;

/// The number that stands for a class of stainless steel, from its steel (2 of A2) and its strength
/// class (70), both in thousandths.
pub(super) const fn stainless(steel: u32, strength: u32) -> u32 {
    STAINLESS + 1_000 * steel + strength
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
/// 2 to 3/4 in, and above), read in public reprints. ISO 3506-1: class 70 and 80 read in a public reprint,
/// class 50 and the limit of 24 mm from memory. That standard has no proof load, so its R_p0.2 stands in
/// for the proof stress.
static CLASSES: [Class; 19] = [
    class(System::Metric, "4.6", 4_600, ANY, 225, 240),
    class(System::Metric, "4.8", 4_800, ANY, 310, 340),
    class(System::Metric, "5.6", 5_600, ANY, 280, 300),
    class(System::Metric, "5.8", 5_800, ANY, 380, 420),
    class(System::Metric, "6.8", 6_800, ANY, 440, 480),
    class(System::Metric, "8.8", 8_800, 16, 580, 640),
    class(System::Metric, "8.8", 8_800, ANY, 600, 660),
    class(System::Metric, "10.9", 10_900, ANY, 830, 940),
    class(System::Metric, "12.9", 12_900, ANY, 970, 1_100),
    class(
        System::Metric,
        "A2-50",
        stainless(2_000, 50_000),
        ANY,
        210,
        210,
    ),
    class(
        System::Metric,
        "A2-70",
        stainless(2_000, 70_000),
        24,
        450,
        450,
    ),
    class(
        System::Metric,
        "A2-80",
        stainless(2_000, 80_000),
        24,
        600,
        600,
    ),
    class(
        System::Metric,
        "A4-50",
        stainless(4_000, 50_000),
        ANY,
        210,
        210,
    ),
    class(
        System::Metric,
        "A4-70",
        stainless(4_000, 70_000),
        24,
        450,
        450,
    ),
    class(
        System::Metric,
        "A4-80",
        stainless(4_000, 80_000),
        24,
        600,
        600,
    ),
    class(System::Inch, "2", 2_000, 12, 55, 57),
    class(System::Inch, "2", 2_000, ANY, 33, 36),
    class(System::Inch, "5", 5_000, ANY, 85, 92),
    class(System::Inch, "8", 8_000, ANY, 120, 130),
];

/// The classes there are for a size: by number, those of stainless steel last.
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

    /// Whether it is of stainless steel.
    pub fn is_stainless(&self) -> bool {
        self.number >= STAINLESS
    }

    /// Proof stress in N/mm²: what the bolt bears without staying longer.
    pub fn proof_stress_mpa(&self) -> f64 {
        self.mpa(self.proof)
    }

    /// Yield strength in N/mm².
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
    fn every_size_has_its_classes_once_each() {
        for size in &SIZES {
            let classes: Vec<&Class> = classes(size).collect();
            let count = match (size.system, size.diameter) {
                (System::Inch, _) => 3,
                (System::Metric, ..=24) => 14,
                (System::Metric, _) => 10,
            };
            assert_eq!(classes.len(), count, "{}", size.name);
            for class in &classes {
                let (proof, yielding) = (class.proof_stress_mpa(), class.yield_stress_mpa());
                if class.is_stainless() {
                    assert_eq!(proof, yielding, "{}", class.name);
                } else {
                    assert!(proof < yielding, "{}", class.name);
                }
                assert_eq!(Class::of(size, class.number), Some(*class));
            }
            assert_eq!(Class::of(size, 9_800), None);
        }
    }

    #[test]
    fn the_digits_of_a_class_tell_its_strength() {
        // ISO 898-1: the first number is a hundredth of the nominal strength, the second the nominal
        // yield strength as tenths of it; proof loads are 0.88 to 0.94 of the least yield strength.
        for class in CLASSES
            .iter()
            .filter(|class| class.system == System::Metric)
        {
            let (proof, yielding) = (f64::from(class.proof), f64::from(class.yielding));
            let nominal = if class.is_stainless() {
                continue;
            } else {
                let (first, tenths) = (class.number / 1_000, class.number % 1_000);
                f64::from(first * tenths) / 10.0
            };
            assert!(
                (1.0..1.07).contains(&(yielding / nominal)),
                "{}",
                class.name
            );
            assert!(
                (0.88..0.945).contains(&(proof / yielding)),
                "{}",
                class.name
            );
        }
    }
}
