//! Threads: metric ones of 6 to 30 mm, and unified inch ones of 1/4 to 1 in.

use super::System;
use crate::units::constants::INCH_M;

/// A nominal size of threads.
#[derive(Debug, PartialEq)]
pub struct Size {
    /// Metric or inch.
    pub system: System,
    /// What it is called: `M20`, `1/2`.
    pub name: &'static str,
    /// Nominal diameter in mm, or in sixteenths of an inch.
    pub(super) diameter: u8,
    /// Coarse pitch first, in hundredths of a millimetre, or threads per inch. 0 stands for none.
    pitches: [u16; 3],
    /// Where a hexagon head bears, in hundredths of a millimetre: outer diameter, and diameter of the
    /// hole below. 0 for inch sizes, where both follow from the diameter.
    bearing: [u16; 2],
}

const fn metric(name: &'static str, diameter: u8, pitches: [u16; 3], head: u16, hole: u16) -> Size {
    Size {
        system: System::Metric,
        name,
        diameter,
        pitches,
        bearing: [head, hole],
    }
}

/// `special` is a thread of the UNS series; 0 stands for none.
const fn inch(name: &'static str, diameter: u8, coarse: u16, fine: u16, special: u16) -> Size {
    Size {
        system: System::Inch,
        name,
        diameter,
        pitches: [coarse, fine, special],
        bearing: [0, 0],
    }
}

/// Every size there is, each kind in rising order. Sources: pitches ISO 261 (coarse, and M24×1.5) and ISO
/// 262 (fine); heads ISO 4014, least bearing diameter; holes ISO 273, medium; threads per inch ASME B1.1.
pub static SIZES: [Size; 22] = [
    metric("M6", 6, [100, 0, 0], 888, 660),
    metric("M8", 8, [125, 100, 0], 1163, 900),
    metric("M10", 10, [150, 125, 100], 1463, 1100),
    metric("M12", 12, [175, 150, 125], 1663, 1350),
    metric("M14", 14, [200, 150, 0], 1964, 1550),
    metric("M16", 16, [200, 150, 0], 2249, 1750),
    metric("M18", 18, [250, 200, 150], 2534, 2000),
    metric("M20", 20, [250, 200, 150], 2819, 2200),
    metric("M22", 22, [250, 200, 150], 3171, 2400),
    metric("M24", 24, [300, 200, 150], 3361, 2600),
    metric("M27", 27, [300, 200, 0], 3800, 3000),
    metric("M30", 30, [350, 200, 0], 4275, 3300),
    inch("1/4", 4, 20, 28, 0),
    inch("5/16", 5, 18, 24, 0),
    inch("3/8", 6, 16, 24, 0),
    inch("7/16", 7, 14, 20, 0),
    inch("1/2", 8, 13, 20, 0),
    inch("9/16", 9, 12, 18, 0),
    inch("5/8", 10, 11, 18, 0),
    inch("3/4", 12, 10, 16, 0),
    inch("7/8", 14, 9, 14, 0),
    inch("1", 16, 8, 12, 14),
];

impl Size {
    /// The size of this diameter in mm, or in sixteenths of an inch.
    pub(super) fn of(system: System, diameter: u32) -> Option<&'static Self> {
        let mut sizes = SIZES.iter();
        sizes.find(|size| size.system == system && u32::from(size.diameter) == diameter)
    }

    /// Its threads, the coarse one first.
    pub fn threads(&'static self) -> impl Iterator<Item = Thread> {
        let pitches = self.pitches.into_iter().filter(|&pitch| pitch > 0);
        pitches.map(move |pitch| Thread { size: self, pitch })
    }

    /// The thread of this pitch: thousandths of a millimetre, or of a thread per inch.
    pub(super) fn thread(&'static self, thousandths: u32) -> Option<Thread> {
        let unit = match self.system {
            System::Metric => 10,
            System::Inch => 1000,
        };
        self.threads()
            .find(|thread| u32::from(thread.pitch) * unit == thousandths)
    }
}

/// A thread: a size and one of its pitches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thread {
    size: &'static Size,
    pitch: u16,
}

impl Thread {
    /// Its size.
    pub fn size(&self) -> &'static Size {
        self.size
    }

    /// What it is called: `M20×2.5`, `1/2-13 UNC`. Reads back as the same thread.
    pub fn name(&self) -> String {
        let (name, pitch) = (self.size.name, self.pitch);
        match self.size.system {
            System::Inch => format!("{name}-{pitch} {}", self.series().unwrap_or_default()),
            System::Metric => {
                let (whole, hundredths) = (pitch / 100, pitch % 100);
                match (hundredths, hundredths % 10) {
                    (0, _) => format!("{name}×{whole}"),
                    (_, 0) => format!("{name}×{whole}.{}", hundredths / 10),
                    _ => format!("{name}×{whole}.{hundredths}"),
                }
            }
        }
    }

    /// The series of an inch thread: UNC, UNF or UNS.
    pub(super) fn series(&self) -> Option<&'static str> {
        let inch = self.size.system == System::Inch;
        let mut named = self.size.pitches.iter().zip(INCH_SERIES);
        let found = named.find(|(pitch, _)| **pitch == self.pitch);
        found.map(|(_, series)| series).filter(|_| inch)
    }

    /// Nominal diameter d in mm.
    pub fn diameter_mm(&self) -> f64 {
        let diameter = f64::from(self.size.diameter);
        match self.size.system {
            System::Metric => diameter,
            System::Inch => diameter / 16.0 * INCH_MM,
        }
    }

    /// Pitch P in mm.
    pub fn pitch_mm(&self) -> f64 {
        let pitch = f64::from(self.pitch);
        match self.size.system {
            System::Metric => pitch / 100.0,
            System::Inch => INCH_MM / pitch,
        }
    }

    /// Pitch diameter d₂ in mm: d − 0.649519 P. Source: ISO 724; the same 60° profile in ASME B1.1.
    pub fn pitch_diameter_mm(&self) -> f64 {
        self.diameter_mm() - 0.649_519 * self.pitch_mm()
    }

    /// Diameter of the circle of the stress area, in mm: metric (d₂ + d₃)/2, d₃ = d − 1.226869 P (ISO
    /// 898-1, 9.1.6.1); inch d − 0.9743 P (ASME B1.1).
    pub fn stress_diameter_mm(&self) -> f64 {
        let (diameter_mm, pitch_mm) = (self.diameter_mm(), self.pitch_mm());
        match self.size.system {
            System::Metric => {
                let root_mm = diameter_mm - 1.226_869 * pitch_mm;
                (self.pitch_diameter_mm() + root_mm) / 2.0
            }
            System::Inch => diameter_mm - 0.974_3 * pitch_mm,
        }
    }

    /// Tensile stress area in mm²: the circle of [`Thread::stress_diameter_mm`].
    pub fn stress_area_mm2(&self) -> f64 {
        let diameter_mm = self.stress_diameter_mm();
        core::f64::consts::PI / 4.0 * diameter_mm * diameter_mm
    }

    /// Mean diameter below the head in mm: of hexagon head and hole; for inch sizes 1.25 d (Shigley's
    /// Mechanical Engineering Design, 9th ed., section 8-8).
    pub fn bearing_diameter_mm(&self) -> f64 {
        match (self.size.system, self.size.bearing) {
            (System::Metric, [head, hole]) => (f64::from(head) + f64::from(hole)) / 200.0,
            (System::Inch, _) => 1.25 * self.diameter_mm(),
        }
    }
}

/// The series of inch threads: coarse, fine, special (ASME B1.1).
pub(super) const INCH_SERIES: [&str; 3] = ["UNC", "UNF", "UNS"];

/// One inch in mm.
pub(super) const INCH_MM: f64 = 1000.0 * INCH_M;

#[cfg(test)]
mod tests {
    use super::*;

    fn names(size: &'static Size) -> Vec<String> {
        size.threads().map(|thread| thread.name()).collect()
    }

    #[test]
    fn threads_have_the_trade_s_names() {
        let size = |system, diameter| Size::of(system, diameter).unwrap();
        assert_eq!(
            names(size(System::Metric, 12)),
            ["M12×1.75", "M12×1.5", "M12×1.25"]
        );
        assert_eq!(
            names(size(System::Metric, 24)),
            ["M24×3", "M24×2", "M24×1.5"]
        );
        assert_eq!(names(size(System::Inch, 8)), ["1/2-13 UNC", "1/2-20 UNF"]);
        assert_eq!(
            names(size(System::Inch, 16)),
            ["1-8 UNC", "1-12 UNF", "1-14 UNS"]
        );
        assert!(Size::of(System::Metric, 7).is_none());
        assert!(Size::of(System::Inch, 18).is_none());
    }

    #[test]
    fn finer_pitches_leave_more_metal() {
        for size in &SIZES {
            let threads: Vec<Thread> = size.threads().collect();
            for pair in threads.windows(2) {
                assert!(pair[1].pitch_mm() < pair[0].pitch_mm(), "{}", size.name);
                assert!(pair[1].stress_area_mm2() > pair[0].stress_area_mm2());
            }
        }
    }

    #[test]
    fn a_head_is_wider_than_its_hole() {
        for size in &SIZES {
            let thread = size.threads().next().unwrap();
            let part = thread.bearing_diameter_mm() / thread.diameter_mm();
            assert!((1.2..1.4).contains(&part), "{}: {part}", size.name);
        }
    }
}
