//! Every template in its form; how blanks, counts and dates are filled in.

use super::*;

/// What each placeholder may hold, at its longest, for counting words. A name that is not here is a slip.
const SAMPLES: &[(&str, &str)] = &[
    ("area", "1,234"),
    ("wrench", "impact wrench"),
    ("state", "two winters old, dry"),
    ("assumed", "3.5 %"),
    ("amount", "1,299"),
    ("between", "a loss of 10 %"),
    ("names", "sedge small, the little one"),
    ("shape", "square"),
    ("source", "a public manual: 450 to 500 lbf·ft"),
    ("chance", "more than 99"),
    ("class", "grade 8"),
    ("classes", "8.8, 10.9, 12.9"),
    ("coefficient", "0.04 to 0.4"),
    ("condition", "fresh and dry"),
    ("conditions", "only those that reach it, at most 170 mm"),
    ("percent", "3.5 %"),
    ("currency", "EUR"),
    ("date", "2 March 2026"),
    ("day", "2"),
    ("decimal", "1.234"),
    ("direction", "loosen"),
    ("days", "11 May 2026"),
    ("file", "log-12.csv"),
    ("mark", "A"),
    ("newest", "13"),
    ("now", "12"),
    ("operator", "first team"),
    ("pairs", "38 pairs"),
    ("peak", "840 N·m"),
    ("reason", "socket slipped"),
    ("rig", "bench"),
    ("to", "6 July 2026"),
    ("what", "2 March 2026, M20"),
    ("edition", "12"),
    ("before", "650 N·m (90 % interval 640 to 660)"),
    ("since", "Edition 11, 2 March 2026"),
    ("end", "1,540 N·m"),
    ("example", "1/2-13 UNC grade 8"),
    ("factor", "1.5"),
    ("first", "only those that reach it"),
    ("next", "at most 170 mm"),
    ("friction", "finish unknown"),
    ("from", "a member of the workshop"),
    ("first", "twin-row 8.0"),
    ("give", "3.2 %"),
    ("groups", "5"),
    ("least", "10"),
    ("least_groups", "3"),
    ("least_loose", "4"),
    ("loose", "12"),
    ("margin", "3 %"),
    ("packs", "twin-row 8.0, slim 4.0"),
    ("price", "1,299 EUR"),
    ("second", "slim 4.0"),
    ("high", "20,000 N·m"),
    ("job", "truck wheel nut"),
    ("jobs", "60"),
    ("length", "158 mm"),
    ("license", "CC0-1.0"),
    ("largest", "M30"),
    ("limit", "2.5 s"),
    ("loss", "10 %"),
    ("low", "1"),
    ("mass", "2.1 kg"),
    ("mode", "setting 2"),
    ("mount", "hedge-rail-18"),
    ("month", "March"),
    ("n", "38"),
    ("needed", "975 N·m"),
    (
        "names",
        "\"Heavy-truck wheel nut, hub-piloted\", \"Medium-truck wheel nut\", \"Wheel nut\"",
    ),
    ("number", "1,540"),
    ("of", "38"),
    ("currencies", "EUR, USD"),
    ("id", "sorrel-18-medium"),
    ("pack", "twin-row 8.0"),
    ("pair", "Sorrel 18 mid with twin-row 8.0"),
    ("window", "5 s"),
    ("piece", "rusty"),
    ("place", "4"),
    ("power", "410 W"),
    ("preload", "152 kN"),
    ("rate", "80"),
    ("reach", "14"),
    ("runs", "5 runs"),
    ("setup", "cold pack"),
    ("rig", "bench"),
    ("smallest", "M6"),
    ("shortfall", "110 N·m"),
    ("stress", "1,234"),
    ("temperature", "20"),
    ("text", "sorrel"),
    ("known", "typical and best-of-three"),
    ("name", "score"),
    ("thread", "1/2-13 UNC"),
    ("threads", "M20×2.5, M20×2, M20×1.5"),
    ("time", "under 0.1 s"),
    ("title", "Test bench of the lending shed"),
    ("tool", "Sorrel 18 mid"),
    ("tools", "2 tools"),
    ("torque", "650 N·m"),
    ("unit", "lbf·ft"),
    ("whole", "1234"),
    ("year", "2026"),
];

const FORBIDDEN: [&str; 8] = [
    "safe",
    "will",
    "guaranteed",
    "easily",
    "beast",
    "winner",
    "destroys",
    "oops",
];

fn english() -> Catalogue {
    serde_json::from_str(include_str!("../../../www/texts/en.json")).unwrap()
}

fn samples() -> Vec<(&'static str, &'static str)> {
    SAMPLES.to_vec()
}

#[test]
fn every_template_is_well_formed_and_names_known_placeholders() {
    let english = english();
    for (key, template) in &english.texts {
        let text = english.fill(key, &samples());
        assert_ne!(text, format!("[{key}]"));
        assert!(!text.contains(['{', '}', '[', ']']), "{key}: {text}");
        assert_eq!(template.trim(), template, "{key}");
        assert!(!template.is_empty() && !template.contains("  "), "{key}");
    }
}

#[test]
fn every_sentence_is_short() {
    let english = english();
    for key in english.texts.keys() {
        let text = english.fill(key, &samples());
        for sentence in text
            .split_inclusive(". ")
            .flat_map(|part| part.split_inclusive("? "))
        {
            let words = sentence.split_whitespace().count();
            assert!(words <= 19, "{key}, {words} words: {sentence}");
        }
    }
}

#[test]
fn no_text_promises_or_shouts() {
    for (key, template) in &english().texts {
        assert!(!template.contains('!'), "{key}");
        for word in template.split(|c: char| !c.is_alphabetic()) {
            assert!(
                !FORBIDDEN.contains(&word.to_lowercase().as_str()),
                "{key}: {word}"
            );
        }
    }
}

#[test]
fn plural_templates_come_in_pairs() {
    let english = english();
    for key in english.texts.keys() {
        for (ending, other) in [(".one", ".other"), (".other", ".one")] {
            if let Some(stem) = key.strip_suffix(ending) {
                assert!(
                    english.texts.contains_key(&format!("{stem}{other}")),
                    "{key}"
                );
            }
        }
    }
}

#[test]
fn a_text_for_invented_data_says_so() {
    let english = english();
    let mut seen = 0;
    for (key, template) in english
        .texts
        .iter()
        .filter(|(key, _)| key.contains(".invented"))
    {
        assert!(template.starts_with("Made-up data"), "{key}");
        assert!(
            english.texts.contains_key(&key.replace(".invented", "")),
            "{key}"
        );
        seen += 1;
    }
    assert!(seen >= 7);
}

#[test]
fn what_is_missing_shows_as_its_key() {
    let mut catalogue = english();
    for (key, template) in [
        ("broken", "{torque"),
        ("odd", "a } b"),
        ("nested", "{a{torque}}"),
        ("unmatched", "a *b"),
    ] {
        catalogue.texts.insert(key.to_owned(), template.to_owned());
    }
    let fill = |key: &str| catalogue.fill(key, &[("torque", "650 N·m")]);
    assert_eq!(fill("no.such.key"), "[no.such.key]");
    assert_eq!(fill("answer.reaches"), "[answer.reaches]");
    assert_eq!(fill("broken"), "[broken]");
    assert_eq!(fill("odd"), "a } b");
    assert_eq!(fill("nested"), "[nested]");
    assert_eq!(fill("unmatched"), "[unmatched]");
    assert_eq!(catalogue.fill_plural("no.such", 2, &[]), "[no.such.other]");
}

#[test]
fn what_is_filled_in_is_never_a_template() {
    let text = english().fill(
        "list.lightest",
        &[("pair", "{mass} with }{"), ("mass", "{")],
    );
    assert_eq!(text, "Lightest: {mass} with }{, {.");
}

#[test]
fn a_figure_is_told_where_it_stands() {
    let mut catalogue = english();
    let template = "𝄞 *{torque}* within *{limit} s*.";
    catalogue.texts.insert("probe".into(), template.to_owned());
    let sentence = catalogue.sentence("probe", &[("torque", "6*0 N·m"), ("limit", "5")]);
    assert_eq!(sentence.text, "𝄞 6*0 N·m within 5 s.");
    assert_eq!(sentence.stressed, [[3, 10], [18, 21]]);
}

#[test]
fn counts_pick_their_form() {
    let english = english();
    let torque = english.quantity("650", english.units.torque(EntryUnit::NewtonMetre));
    let reaches = |reach, count| {
        english.fill_plural(
            "list.reaches",
            count,
            &[("reach", reach), ("torque", &torque)],
        )
    };
    assert_eq!(
        reaches("14", 38),
        "On 14 of 38 pairs the typical run reaches 650 N·m."
    );
    assert_eq!(
        reaches("1", 1),
        "On the one pair we have run, the typical run reaches 650 N·m."
    );
    assert_eq!(english.fill_plural("count.runs", 0, &[]), "0 runs");
    assert_eq!(english.fill_plural("count.runs", 1, &[]), "1 run");
    assert_eq!(english.fill_plural("count.runs", 1_200, &[]), "1,200 runs");
    for (count, english, french) in [
        (0, "other", "one"),
        (1, "one", "one"),
        (2, "other", "other"),
    ] {
        assert_eq!(PluralRule::OneOther.ending(count), english);
        assert_eq!(PluralRule::ZeroOneOther.ending(count), french);
    }
    let rule: PluralRule = serde_json::from_str("\"zero-one-other\"").unwrap();
    assert_eq!(rule, PluralRule::ZeroOneOther);
}

#[test]
fn dates_are_written_out() {
    for (iso, text) in [
        ("2026-03-02", "2 March 2026"),
        ("2026-12-31", "31 December 2026"),
        ("2026-03", "March 2026"),
        ("2026", "2026"),
        ("2026-13-01", "2026-13-01"),
        ("2026-03-02-01", "2026-03-02-01"),
        ("", ""),
        ("spring", "spring"),
    ] {
        assert_eq!(english().date(iso), text);
    }
}

#[test]
fn every_key_named_in_the_source_exists() {
    let english = english();
    let mut folders = vec![std::path::PathBuf::from(concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/src"
    ))];
    let mut seen = 0;
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.to_string_lossy().ends_with(".rs") && !path.ends_with("tests.rs") {
                let source = std::fs::read_to_string(&path).unwrap();
                let source = source.split("mod tests {").next().unwrap();
                for (call, endings) in [
                    (".fill(\"", &[""][..]),
                    (".fill_plural(\"", &[".one", ".other"]),
                ] {
                    for after in source.split(call).skip(1) {
                        let stem = after.split('"').next().unwrap();
                        for ending in endings {
                            let key = format!("{stem}{ending}");
                            assert!(
                                english.texts.contains_key(&key),
                                "{key} in {}",
                                path.display()
                            );
                            seen += 1;
                        }
                    }
                }
            }
        }
    }
    assert!(seen >= 3);
}
