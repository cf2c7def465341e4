//! Which threads a socket fits, by the width across flats.

use super::System;
use super::thread::{SIZES, Size};
use super::written::pieces::{Piece, pieces};

/// Widths across flats of the sizes in [`SIZES`], in their order: in mm, or in sixteenths of an inch.
/// First that of hexagon bolts and nuts; then another one that is met, 0 for none: of metric sizes the
/// older width (DIN 931 and DIN 934), of inch sizes that of nuts where it is not that of bolts.
///
/// Sources: ISO 272, ISO 4014 and ISO 4032, and ASME B18.2.1, with the older widths 17, 19 and 32 mm, all
/// read in public reprints, which differ for M22 (34 mm, or 32 mm). The older width of M14 and those of
/// inch nuts (ASME B18.2.2) from memory.
const WIDTHS: [[u8; 2]; SIZES.len()] = [
    [10, 0],
    [13, 0],
    [16, 17],
    [18, 19],
    [21, 22],
    [24, 0],
    [27, 0],
    [30, 0],
    [34, 32],
    [36, 0],
    [41, 0],
    [46, 0],
    [7, 0],
    [8, 0],
    [9, 0],
    [10, 11],
    [12, 0],
    [13, 14],
    [15, 0],
    [18, 0],
    [21, 0],
    [24, 0],
];

/// A width as people write it: `19 mm`, `3/4 in socket`, `size 30`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flats {
    system: System,
    /// In mm, or in sixteenths of an inch.
    width: u32,
    /// Whether a word says that it is one, such as `socket`. Else it may be a diameter as well.
    pub is_named: bool,
}

impl Flats {
    /// Reads a whole number of mm or a part of an inch, with or without a word of `names`. A number
    /// without a unit, and inches, need such a word.
    pub fn parse(text: &str, names: &str) -> Option<Self> {
        let mut is_named = false;
        let mut unit = None;
        let mut numbers = Vec::new();
        for piece in pieces(text) {
            match piece {
                Piece::Number(number, _) => numbers.push(number),
                Piece::Word(word) if word.eq_ignore_ascii_case("mm") => unit = Some(System::Metric),
                Piece::Word(word)
                    if ["in", "inch", "inches"]
                        .iter()
                        .any(|inch| inch.eq_ignore_ascii_case(word)) =>
                {
                    unit = Some(System::Inch);
                }
                Piece::Sign('"' | '″' | '”') => unit = Some(System::Inch),
                Piece::Word(word) => {
                    let mut names = names.split_whitespace();
                    is_named |= names.any(|name| name.eq_ignore_ascii_case(word));
                    if !is_named {
                        return None;
                    }
                }
                Piece::Sign('/' | '-' | '.' | ',') => {}
                Piece::Sign(_) => return None,
            }
        }
        if numbers.iter().any(|&number| number > LARGEST) {
            return None;
        }
        let (system, width) = match (numbers.as_slice(), unit) {
            (&[whole], Some(System::Metric)) => (System::Metric, whole),
            (&[whole], None) if whole >= LEAST_METRIC => (System::Metric, whole),
            (&[whole], _) => (System::Inch, 16 * whole),
            (&[part, of], None | Some(System::Inch)) => (System::Inch, 16_000 * part / of.max(1)),
            (&[whole, part, of], None | Some(System::Inch)) => {
                (System::Inch, 16 * whole + 16_000 * part / of.max(1))
            }
            _ => return None,
        };
        let is_width = width > 0 && width % 1_000 == 0;
        let is_read = is_width && (is_named || unit == Some(System::Metric));
        is_read.then_some(Self {
            system,
            width: width / 1_000,
            is_named,
        })
    }

    /// The sizes whose hexagon has this width, and whether it is by the older width of metric sizes.
    pub fn sizes(&self) -> (Vec<&'static Size>, bool) {
        let of_column = |column: usize| {
            let sizes = SIZES.iter().zip(&WIDTHS);
            let fits = sizes.filter(move |(size, widths)| {
                let width = widths.get(column).copied().map_or(0, u32::from);
                size.system == self.system && width == self.width
            });
            fits.map(|(size, _)| size)
        };
        let mut sizes: Vec<&Size> = of_column(0).collect();
        let is_older = sizes.is_empty() && self.system == System::Metric;
        sizes.extend(of_column(1));
        (sizes, is_older)
    }

    /// The metric size of this diameter, where nothing says that it is a width.
    pub fn diameter(&self) -> Option<&'static Size> {
        let is_diameter = !self.is_named && self.system == System::Metric;
        is_diameter.then(|| Size::of(System::Metric, self.width))?
    }
}

/// A number without a unit is one of mm from here on, in thousandths; no inch socket here is as large.
const LEAST_METRIC: u32 = 6_000;

/// No number of a width is larger, in thousandths.
const LARGEST: u32 = 200_000;

#[cfg(test)]
mod tests {
    use super::*;

    const NAMES: &str = "socket size sw af";

    fn names(text: &str) -> Vec<&'static str> {
        let flats = Flats::parse(text, NAMES).unwrap_or_else(|| panic!("{text}"));
        flats.sizes().0.iter().map(|size| size.name).collect()
    }

    #[test]
    fn no_width_is_nothing_or_beyond_all_sockets() {
        for text in [
            "size 0",
            "0 mm",
            "0/4 in socket",
            "300000 mm socket",
            "4000000 in socket",
            "300001/1 in socket",
            "1 4000000/1 in socket",
        ] {
            assert_eq!(Flats::parse(text, NAMES), None, "{text}");
        }
    }

    #[test]
    fn a_socket_fits_the_threads_of_its_width() {
        for (text, sizes) in [
            ("10 mm", &["M6"][..]),
            ("13mm", &["M8"]),
            ("16 mm socket", &["M10"]),
            ("17mm socket", &["M10"]),
            ("SW 18", &["M12"]),
            ("19 mm", &["M12"]),
            ("size 21", &["M14"]),
            ("size 22", &["M14"]),
            ("24 mm", &["M16"]),
            ("27 mm", &["M18"]),
            ("30 socket", &["M20"]),
            ("AF 32", &["M22"]),
            ("34mm", &["M22"]),
            ("36mm", &["M24"]),
            ("41mm", &["M27"]),
            ("46mm", &["M30"]),
            ("7/16 in socket", &["1/4"]),
            ("1/2\" socket", &["5/16"]),
            ("9/16 AF", &["3/8"]),
            ("5/8 af", &["7/16"]),
            ("11/16 socket", &["7/16"]),
            ("3/4 in socket", &["1/2"]),
            ("13/16 socket", &["9/16"]),
            ("7/8 socket", &["9/16"]),
            ("15/16 inch socket", &["5/8"]),
            ("1 1/8 socket", &["3/4"]),
            ("1-5/16 in socket", &["7/8"]),
            ("1 1/2 socket", &["1"]),
            ("26 mm socket", &[]),
        ] {
            assert_eq!(names(text), sizes, "{text}");
        }
        for (text, older) in [
            ("17 mm", true),
            ("19 mm", true),
            ("16 mm", false),
            ("11/16 af", false),
        ] {
            assert_eq!(
                Flats::parse(text, NAMES).unwrap().sizes().1,
                older,
                "{text}"
            );
        }
    }

    #[test]
    fn anything_else_is_no_width() {
        for text in [
            "19",
            "3/4",
            "3/4 in",
            "M20",
            "19 N·m",
            "19.5 mm",
            "socket",
            "3/7 socket",
            "",
        ] {
            assert_eq!(Flats::parse(text, NAMES), None, "{text}");
        }
    }

    #[test]
    fn millimetres_alone_may_be_a_diameter() {
        let diameter = |text| Flats::parse(text, NAMES).unwrap().diameter();
        assert_eq!(diameter("20 mm").map(|size| size.name), Some("M20"));
        assert_eq!(diameter("20 mm socket"), None);
        assert_eq!(diameter("19 mm"), None);
    }
}
