//! Drafts: runs that belong to no edition, looked at before they are published.

use super::types::{Dataset, Edition, Run};
use super::write::{Members, edited};
use indexmap::IndexMap;
use serde_json::value::{RawValue, to_raw_value};

/// Counts the drafts of a dataset as runs of a draft edition after the newest, and returns it;
/// nothing changes where there are no drafts. A draft that is set aside is set aside in it.
///
/// Its date is the latest of the newest edition's and the days of the drafts.
pub fn count(dataset: &mut Dataset) -> Option<Edition> {
    let newest = dataset.editions.last()?;
    let (number, published) = (newest.edition, newest.date.clone());
    let day_of = |run: &Run| dataset.days.iter().find(|day| day.id == run.day);
    let drafts = dataset.runs.iter().filter(|run| run.edition.is_none());
    drafts.clone().next()?;
    let days = drafts.filter_map(day_of).map(|day| day.date.clone());
    let draft = Edition {
        edition: number.saturating_add(1),
        date: days.chain([published]).max()?,
        draft: Some(true),
        ..Edition::default()
    };
    for run in dataset.runs.iter_mut().filter(|run| run.edition.is_none()) {
        run.edition = Some(draft.edition);
        if let Some(excluded) = &mut run.excluded {
            excluded.edition.get_or_insert(draft.edition);
        }
    }
    dataset.editions.push(draft.clone());
    Some(draft)
}

/// The text of the dataset with its drafts counted as runs of `draft`, as [`count`] counts them.
///
/// # Errors
///
/// Fails on a text that is no dataset.
pub fn count_in_text(text: &str, draft: &Edition) -> serde_json::Result<String> {
    let document: Members = serde_json::from_str(text)?;
    let number = to_raw_value(&draft.edition)?;
    let mut members = Vec::with_capacity(document.len());
    for (key, value) in &document {
        let value = match key.as_str() {
            "runs" => edited(value, |run| counted(&run, &number))?,
            "editions" => {
                let mut editions: Vec<&RawValue> = serde_json::from_str(value.get())?;
                let told = serde_json::json!({"edition": draft.edition, "date": draft.date, "draft": true});
                let told = to_raw_value(&told)?;
                editions.push(&told);
                serde_json::to_string(&editions)?
            }
            _ => value.get().to_owned(),
        };
        members.push(format!("{}: {value}", serde_json::to_string(key)?));
    }
    Ok(format!("{{\n{}\n}}\n", members.join(",\n")))
}

/// A run as it stands, or as one of edition `number` if it belongs to none.
fn counted(run: &Members, number: &RawValue) -> serde_json::Result<Option<String>> {
    if !without(run, "edition") {
        return serde_json::to_string(run).map(Some);
    }
    let excluded = match run.get("excluded").filter(|value| value.get() != "null") {
        Some(excluded) => {
            let members: Members = serde_json::from_str(excluded.get())?;
            let mut told = borrowed(&members);
            if without(&members, "edition") {
                told.insert("edition", number);
            }
            Some(to_raw_value(&told)?)
        }
        None => None,
    };
    let mut told = borrowed(run);
    told.insert("edition", number);
    if let Some(excluded) = &excluded {
        told.insert("excluded", excluded);
    }
    serde_json::to_string(&told).map(Some)
}

fn borrowed<'a>(members: &'a Members) -> IndexMap<&'a str, &'a RawValue> {
    let members = members.iter();
    members.map(|(key, value)| (key.as_str(), *value)).collect()
}

fn without(members: &Members, key: &str) -> bool {
    members.get(key).is_none_or(|value| value.get() == "null")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dataset::json;

    const TEXT: &str = r#"{"format": "jobtorque/1", "title": "t", "license": "l", "disclosure": "nobody",
        "editions": [{"edition": 3, "date": "2026-03-02"}], "rigs": [{"id": "r", "torque_from": "torque sensor"}],
        "tools": [{"id": "a", "name": "A", "pack_mount": "m"}], "packs": [{"id": "p", "name": "P", "pack_mount": "m"}],
        "days": [{"id": "d", "date": "2026-04-02"}, {"id": "e", "date": "2026-05-02"}],
        "runs": [{"tool": "a", "pack": "p", "day": "e", "edition": 3, "interval_s": 0.1, "torque_dnm": [0, 9, 9]},
            {"tool": "a", "pack": "p", "day": "d", "interval_s": 0.1, "torque_dnm": [0, 9, 9], "x": 1.10},
            {"tool": "a", "pack": "p", "day": "d", "edition": null, "excluded": {"reason": "slipped"},
                "interval_s": 0.1, "torque_dnm": [0, 9, 9]}]}"#;

    #[test]
    fn drafts_count_in_an_edition_after_the_newest() {
        let mut dataset = json::parse(TEXT).unwrap().dataset;
        let draft = count(&mut dataset).unwrap();
        assert_eq!(
            (draft.edition, draft.date.as_str(), draft.draft),
            (4, "2026-04-02", Some(true))
        );
        let editions: Vec<_> = dataset.runs.iter().map(|run| run.edition).collect();
        assert_eq!(editions, [Some(3), Some(4), Some(4)]);
        assert_eq!(dataset.runs[2].excluded.as_ref().unwrap().edition, Some(4));
        assert!(count(&mut dataset).is_none());
    }

    #[test]
    fn the_text_tells_the_same_as_the_dataset() {
        let mut dataset = json::parse(TEXT).unwrap().dataset;
        let draft = count(&mut dataset).unwrap();
        let text = count_in_text(TEXT, &draft).unwrap();
        let read = json::parse(&text).unwrap();
        assert!(read.problems.is_empty(), "{:?}", read.problems);
        assert_eq!(format!("{:?}", read.dataset), format!("{dataset:?}"));
        assert!(text.contains("\"x\":1.10"), "{text}");
    }
}
