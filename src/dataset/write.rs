//! The published form of a dataset: each run as knots, drafts left out, all else as it stands.
//!
//! A writer edits the document and never rebuilds it from the types, so fields that this program
//! does not know are kept, to the letter.

use super::MARK;
use super::types::{BuildUp, FieldScatter};
use indexmap::IndexMap;
use serde_json::value::{RawValue, to_raw_value};

/// What of the tester's file is published besides.
#[derive(Clone, Copy, Debug, Default)]
pub struct Publish {
    /// Who held the tools.
    pub operators: bool,
    /// Last digits of serial numbers.
    pub serials: bool,
}

pub(super) type Members<'a> = IndexMap<String, &'a RawValue>;

/// The fields of a run that its knots take the place of.
const SERIES: [&str; 7] = [
    "start_s",
    "interval_s",
    "time_us",
    "torque_dnm",
    "voltage_mv",
    "current_ma",
    "angle_ddeg",
];

/// Members that are not published as they stand: how a bench folder's logs are read, which nobody else
/// has, and scatters, which are worked out anew.
const LEFT_OUT: [&str; 2] = ["loggers", SCATTER];

/// The member that holds the scatters of the fields.
const SCATTER: &str = "scatter";

/// What the notebook says for the tester alone: remarks, and which log a run is from.
const NOTEBOOK: [&str; 2] = ["remark", "log"];

/// The published form of the text of a checked dataset. `buildups` holds the knots of its runs in
/// the file's order, `scatter` the scatters of its fields.
///
/// # Errors
///
/// Fails on a text that is not such a dataset.
pub fn published<'a>(
    text: &str,
    mut buildups: impl Iterator<Item = &'a BuildUp>,
    scatter: &[FieldScatter],
    publish: Publish,
) -> serde_json::Result<String> {
    let document: Members = serde_json::from_str(text)?;
    let mut members = Vec::with_capacity(document.len());
    // The mark of a file published before does not hold for this one.
    let left_out = |key: &str| key == MARK || LEFT_OUT.contains(&key);
    for (key, value) in document.iter().filter(|(key, _)| !left_out(key)) {
        let value = match key.as_str() {
            "runs" => edited(value, |run| run_as_knots(run, buildups.next()))?,
            "days" if !publish.operators => edited(value, |day| without(day, &["operator"]))?,
            "specimens" if !publish.serials => {
                edited(value, |specimen| without(specimen, &["serial_ends"]))?
            }
            _ => value.get().to_owned(),
        };
        members.push(format!("{}: {value}", serde_json::to_string(key)?));
    }
    if !scatter.is_empty() {
        members.push(format!(
            "\"{SCATTER}\": {}",
            serde_json::to_string(scatter)?
        ));
    }
    Ok(format!("{{\n{}\n}}\n", members.join(",\n")))
}

/// A list with each element edited, one element a line; those edited to nothing are left out.
pub(super) fn edited(
    list: &RawValue,
    mut edit: impl FnMut(Members) -> serde_json::Result<Option<String>>,
) -> serde_json::Result<String> {
    let Some(elements) = serde_json::from_str::<Option<Vec<Members>>>(list.get())? else {
        return Ok("null".into());
    };
    let mut kept = Vec::with_capacity(elements.len());
    for element in elements {
        kept.extend(edit(element)?);
    }
    Ok(if kept.is_empty() {
        "[]".into()
    } else {
        format!("[\n{}\n]", kept.join(",\n"))
    })
}

fn without(mut element: Members, keys: &[&str]) -> serde_json::Result<Option<String>> {
    element.retain(|key, _| !keys.contains(&key.as_str()));
    serde_json::to_string(&element).map(Some)
}

/// A run with its knots in place of its series; nothing for a draft.
fn run_as_knots(mut run: Members, buildup: Option<&BuildUp>) -> serde_json::Result<Option<String>> {
    let draft = run
        .get("edition")
        .is_none_or(|edition| edition.get() == "null");
    let Some(buildup) = buildup.filter(|_| !draft) else {
        return Ok(None);
    };
    let knots = to_raw_value(buildup)?;
    let left_out = |key: &str| SERIES.contains(&key) || NOTEBOOK.contains(&key) || key == "buildup";
    run.retain(|key, _| !left_out(key));
    let mut run: IndexMap<&str, &RawValue> = run
        .iter()
        .map(|(key, value)| (key.as_str(), *value))
        .collect();
    run.insert("buildup", &knots);
    serde_json::to_string(&run).map(Some)
}

#[cfg(test)]
mod tests {
    use super::*;

    const KNOTS: BuildUp = BuildUp {
        onset_dnm: 1,
        tick_us: 5000,
        first_us: 20,
        step: vec![],
        rise_dnm: vec![],
        largest_dnm: 9,
        samples: 3,
        zero_dnm: 0,
        gap_us: 5000,
        flags: vec![],
        turn_ddeg: None,
        open_mv: None,
        resistance_uohm: None,
        lowest_mv: None,
        energy_mj: None,
    };

    #[test]
    fn unknown_fields_are_kept_to_the_letter() {
        let text = r#"{"x": 1.10, "runs": [{"edition": 1, "y": {"z": 123456789012345678901234567890}, "torque_dnm": [1]}]}"#;
        let published = published(text, [KNOTS].iter(), &[], Publish::default()).unwrap();
        assert!(published.contains(r#""x": 1.10"#), "{published}");
        assert!(
            published.contains(r#""y":{"z": 123456789012345678901234567890}"#),
            "{published}"
        );
        assert!(!published.contains("torque_dnm"), "{published}");
    }

    #[test]
    fn the_mark_of_an_earlier_publication_is_left_out() {
        let text = r#"{"jobtorque": "Jobtorque 0.0.9", "x": 1, "runs": []}"#;
        let published = published(text, [].iter(), &[], Publish::default()).unwrap();
        assert_eq!(published, "{\n\"x\": 1,\n\"runs\": []\n}\n");
    }

    #[test]
    fn drafts_operators_and_serials_stay_at_home() {
        let text = r#"{"days": [{"id": "a", "operator": "Ann"}], "specimens": [{"serial_ends": "41"}],
            "runs": [{"edition": null, "n": 1}, {"n": 2}, {"edition": 1, "n": 3}]}"#;
        let home = published(text, [KNOTS, KNOTS, KNOTS].iter(), &[], Publish::default()).unwrap();
        assert!(!home.contains("Ann") && !home.contains("41"), "{home}");
        assert!(
            !home.contains("\"n\":1") && !home.contains("\"n\":2") && home.contains("\"n\":3"),
            "{home}"
        );
        let folder = r#"{"loggers": [{"id": "a"}], "runs": [{"edition": 1, "remark": "Ann was late", "log": {"file": "a.csv"}}]}"#;
        let home = published(folder, [KNOTS].iter(), &[], Publish::default()).unwrap();
        assert!(
            !home.contains("loggers") && !home.contains("late") && !home.contains("a.csv"),
            "{home}"
        );
        let asked = Publish {
            operators: true,
            serials: true,
        };
        let all = published(text, [KNOTS, KNOTS, KNOTS].iter(), &[], asked).unwrap();
        assert!(all.contains("Ann") && all.contains("41"), "{all}");
    }
    #[test]
    fn scatters_are_those_worked_out() {
        let text = r#"{"runs": [], "scatter": [{"rig": "by hand"}]}"#;
        let scatter = FieldScatter {
            rig: "bench".into(),
            setup: "standard".into(),
            edition: 2,
            pack_ppm: 20_258,
            ..FieldScatter::default()
        };
        let with = published(text, [].iter(), &[scatter], Publish::default()).unwrap();
        assert!(!with.contains("by hand"), "{with}");
        assert!(
            with.contains(r#""scatter": [{"rig":"bench","setup":"standard","edition":2,"#)
                && with.contains(r#""pack_ppm":20258"#),
            "{with}"
        );
        let without = published(text, [].iter(), &[], Publish::default()).unwrap();
        assert_eq!(without, "{\n\"runs\": []\n}\n");
    }
}
