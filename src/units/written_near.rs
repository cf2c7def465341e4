//! What may be meant by a text that is no torque, and two torques in one text.

use super::written::{FEET, INCHES, KILOGRAMS, NEWTONS, POUNDS, read_unit, split_off_number};
use super::{EntryUnit, ParseTorqueError, WrittenTorque, written_number};

/// Parts of units that are a hundredth, a thousandth or a thousand times those that are known.
const OTHER_SIZES: [&str; 6] = ["cm", "mm", "kn", "mn", "dan", "oz"];

/// The torque units that may be meant by a text that is none: of a force or a length alone those with it,
/// of anything else the two that are shown, of other multiples none.
fn units_near(text: &str) -> &'static [EntryUnit] {
    use EntryUnit::{KilogramForceMetre, NewtonMetre, PoundForceFoot, PoundForceInch};
    let small: String = text.chars().map(|c| c.to_ascii_lowercase()).collect();
    let mut words = small.split(|c: char| !c.is_ascii_alphabetic());
    let word = words.find(|word| !word.is_empty()).unwrap_or_default();
    if word == "nm" || NEWTONS.contains(&word) && !small.contains("cm") {
        &[NewtonMetre]
    } else if OTHER_SIZES.iter().any(|other| small.contains(other)) {
        &[]
    } else if POUNDS.contains(&word) {
        &[PoundForceFoot, PoundForceInch]
    } else if FEET.contains(&word) || word.starts_with("ft") {
        &[PoundForceFoot]
    } else if INCHES.contains(&word) {
        &[PoundForceInch]
    } else if KILOGRAMS.contains(&word) {
        &[KilogramForceMetre]
    } else {
        &[NewtonMetre, PoundForceFoot]
    }
}

/// The torques that may be meant by a text that begins with a number and is none: `480 lbs`, `1.234 N·m`,
/// `-650 N·m`; none for an energy. Where more numbers follow, as in a range, they are kept, and the text need
/// not be one.
#[must_use]
pub fn torques_near(text: &str) -> Vec<String> {
    let text = text.trim();
    let (number, unit) = split_off_number(text);
    if number.is_empty() {
        return Vec::new();
    }
    let (numbers, unit) = match (
        unit.rfind(|c: char| c.is_ascii_digit()),
        written_number::plain(number),
    ) {
        (Some(last), _) => {
            // More numbers follow, as in a range: all up to the last is kept.
            let (head, unit) = text
                .split_at_checked(text.len() - unit.len() + last + 1)
                .unwrap_or((text, ""));
            ([Some(head.to_owned()), None], unit)
        }
        (None, Ok(number)) => ([Some(number), None], unit),
        // A last zero tells that it is no thousand.
        (None, Err(ParseTorqueError::Ambiguous { whole, decimal })) => {
            ([Some(whole), Some(decimal + "0")], unit)
        }
        (None, Err(_)) => return Vec::new(),
    };
    let own;
    let units = match read_unit(unit) {
        Ok(unit) => {
            own = [unit];
            own.as_slice()
        }
        Err(ParseTorqueError::IsEnergy | ParseTorqueError::NotANumber) => return Vec::new(),
        Err(_) => units_near(unit),
    };
    let texts = numbers.iter().flatten().flat_map(|number| {
        let number = number.trim_start_matches('-');
        let unit = units.iter().map(|unit| unit.symbol());
        unit.map(move |unit| format!("{number} {unit}"))
    });
    texts.collect()
}

/// Two torques as people write a range: joined by a dash or by the word `joint`, the unit behind the
/// second or behind both, else `unit`, if that is given. The smaller one comes first.
/// `text` and `joint` are in small letters.
#[must_use]
pub fn torque_range(
    text: &str,
    joint: &str,
    unit: Option<EntryUnit>,
) -> Option<[WrittenTorque; 2]> {
    let read = |at: usize, length: usize| {
        let (low, high) = (text.get(..at)?, text.get(at + length..)?);
        let high = WrittenTorque::parse_in(high, unit).ok()?;
        let low = WrittenTorque::parse_in(low, Some(high.unit())).ok()?;
        let figures = [&low, &high].map(|one| one.torque().newton_metres());
        let is_range = low.unit() == high.unit() && figures.iter().all(|nm| *nm > 0.0);
        is_range.then(|| {
            if figures.is_sorted() {
                [low, high]
            } else {
                [high, low]
            }
        })
    };
    text.char_indices().find_map(|(at, sign)| {
        if matches!(sign, '-' | '–' | '—' | '−' | '‐' | '‑') {
            return read(at, sign.len_utf8());
        }
        let rest = text.get(at..).unwrap_or_default();
        let is_word = !joint.is_empty() && rest.starts_with(joint);
        if is_word { read(at, joint.len()) } else { None }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_force_or_a_length_alone_may_be_a_torque() {
        for (text, near) in [
            ("480 lbs", &["480 lbf·ft", "480 lbf·in"][..]),
            ("480 pounds", &["480 lbf·ft", "480 lbf·in"]),
            ("480lb", &["480 lbf·ft", "480 lbf·in"]),
            ("480 #", &["480 N·m", "480 lbf·ft"]),
            ("480 ft", &["480 lbf·ft"]),
            ("480 ft/lbs", &["480 lbf·ft"]),
            ("480 ftlbs torque", &["480 lbf·ft"]),
            ("480 inches", &["480 lbf·in"]),
            ("650 newton", &["650 N·m"]),
            ("650 Nm torque", &["650 N·m"]),
            ("65 kg", &["65 kgf·m"]),
            ("650", &["650 N·m", "650 lbf·ft"]),
            ("-650 Nm", &["650 N·m"]),
            ("1.234 Nm", &["1234 N·m", "1.2340 N·m"]),
            (
                "1,234 lbs",
                &[
                    "1234 lbf·ft",
                    "1234 lbf·in",
                    "1.2340 lbf·ft",
                    "1.2340 lbf·in",
                ],
            ),
            ("650 kNm", &[]),
            ("650 N·cm", &[]),
            ("650 kg cm", &[]),
            ("650 in oz", &[]),
            ("650 J", &[]),
            ("M20", &[]),
        ] {
            assert_eq!(torques_near(text), near, "{text}");
            for near in torques_near(text) {
                assert!(WrittenTorque::parse(&near).is_ok(), "{near}");
            }
        }
    }

    #[test]
    fn a_range_is_two_torques_of_one_unit() {
        let read = |text: &str, unit| {
            let range = torque_range(text, "to", unit);
            range.map(|both| both.map(|one| one.to_string()).join(" | "))
        };
        for text in [
            "90-110 nm",
            "90 - 110nm",
            "90–110 n·m",
            "90 to 110 nm",
            "90 nm - 110 nm",
            "90to110nm",
            "110-90 nm",
            "90 n-m - 110 n-m",
        ] {
            assert_eq!(
                read(text, None).as_deref(),
                Some("90 N·m | 110 N·m"),
                "{text}"
            );
        }
        assert_eq!(
            read("90-110 ft-lb", None).as_deref(),
            Some("90 lbf·ft | 110 lbf·ft")
        );
        let bare = |text| read(text, Some(EntryUnit::NewtonMetre));
        assert_eq!(bare("97,5-110").as_deref(), Some("97.5 N·m | 110 N·m"));
        for text in [
            "90-110",
            "-90 nm",
            "90-",
            "-90-110 nm",
            "90 lbf·ft - 110 nm",
            "0-110 nm",
            "480 ft-lb",
        ] {
            assert_eq!(read(text, None), None, "{text}");
        }
    }
}
