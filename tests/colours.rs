//! The colours of the style sheet: what is drawn and written can be told from its ground.

#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

type Colour = [u8; 3];

/// Relative luminance of WCAG 2.2: "sRGB to linear", then weighed.
fn luminance(colour: Colour) -> f64 {
    let linear = |part: u8| {
        let part = f64::from(part) / 255.0;
        if part <= 0.04045 {
            part / 12.92
        } else {
            libm::pow((part + 0.055) / 1.055, 2.4)
        }
    };
    let [red, green, blue] = colour.map(linear);
    0.2126 * red + 0.7152 * green + 0.0722 * blue
}

/// Contrast ratio of WCAG 2.2.
fn contrast(one: Colour, other: Colour) -> f64 {
    let (one, other) = (luminance(one), luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

fn colour(text: &str) -> Colour {
    let digits = text.trim().strip_prefix('#').unwrap();
    let part = |at: usize| match digits.len() {
        3 => u8::from_str_radix(&digits[at..=at].repeat(2), 16),
        _ => u8::from_str_radix(&digits[2 * at..2 * at + 2], 16),
    };
    [0, 1, 2].map(|at| part(at).unwrap())
}

/// The colours of `light-dark(…, …)` by the names of their properties.
fn sheet() -> BTreeMap<String, [Colour; 2]> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("www/style.css");
    let text = fs::read_to_string(path).unwrap();
    let colours = text.lines().filter_map(|line| {
        let (name, rest) = line.trim().strip_prefix("--")?.split_once(':')?;
        let (light, dark) = rest.split_once("light-dark(")?.1.split_once(',')?;
        let dark = dark.split(')').next()?;
        Some((name.to_owned(), [colour(light), colour(dark)]))
    });
    colours.collect()
}

#[test]
fn contrast_is_that_of_the_guidelines() {
    // From WCAG 2.2's definitions: #767676 and #949494 are the lightest greys that pass 4.5 and 3 on white.
    let white = [255; 3];
    for (other, ratio) in [
        ("#000000", 21.0),
        ("#767676", 4.5422),
        ("#777777", 4.4781),
        ("#595959", 7.0047),
        ("#949494", 3.0335),
        ("#959595", 2.9953),
        ("#0000ff", 8.5925),
        ("#ff0000", 3.9985),
        ("#00ff00", 1.3722),
        ("#808080", 3.9494),
    ] {
        assert!(
            (contrast(white, colour(other)) - ratio).abs() < 1e-4,
            "{other}"
        );
    }
    assert!((contrast([0; 3], colour("#808080")) - 5.3172).abs() < 1e-4);
    assert_eq!(contrast(white, [0; 3]), 21.0);
}

/// Least contrast of text (1.4.3). That of lines and marks (1.4.11) is 3.
const WRITTEN: f64 = 4.5;

#[test]
fn curves_and_their_words_can_be_told_from_the_paper() {
    let sheet = sheet();
    for (scheme, name) in [(0, "light"), (1, "dark")] {
        let curves = (1..=5).map(|place| format!("curve-{place}"));
        let written = curves.chain(["accent".into(), "ink".into(), "quiet".into()]);
        for property in written {
            // Rows that are marked and notices stand on a wash. Curves are named in their own colour, so
            // text's limit holds for them too.
            for ground in ["paper", "wash"] {
                let ratio = contrast(sheet[&property][scheme], sheet[ground][scheme]);
                assert!(
                    ratio >= WRITTEN,
                    "{name} {property} on {ground}: {ratio:.2}"
                );
            }
        }
        let curves: Vec<Colour> = (1..=5)
            .map(|place| sheet[&format!("curve-{place}")][scheme])
            .collect();
        for (place, one) in curves.iter().enumerate() {
            assert!(
                !curves[place + 1..].contains(one),
                "{name}: two curves alike"
            );
        }
    }
}
