//! How to cite something published, as structured data: results as JSON-LD in the page, this program
//! as `CITATION.cff`.

use super::SiteError;
use crate::dataset::types::Dataset;
use serde_json::{Map, Value, json};

/// What a citation names.
#[derive(Clone, Debug, PartialEq)]
pub struct Citation {
    /// Its title.
    pub title: String,
    /// What it is, in a sentence or two.
    pub about: String,
    /// Number of its edition, or its version.
    pub version: String,
    /// The day of that edition, `YYYY-MM-DD`.
    pub date: Option<String>,
    /// Its licences, each an SPDX expression; any of them may be chosen.
    pub licenses: Vec<String>,
    /// Who publishes it.
    pub publisher: Option<String>,
}

impl Citation {
    /// Of the newest published edition of results.
    pub fn of_results(dataset: &Dataset) -> Self {
        let mut editions = dataset.editions.iter().rev();
        let newest = editions.find(|edition| !edition.is_draft());
        let summary = dataset.summary.as_ref().unwrap_or(&dataset.title);
        let invented = dataset.invented.unwrap_or(false);
        let invented = if invented { "Invented data. " } else { "" };
        Self {
            title: dataset.title.clone(),
            about: format!("{invented}{summary}"),
            version: newest.map_or_else(String::new, |newest| newest.edition.to_string()),
            date: newest.map(|newest| newest.date.clone()),
            licenses: vec![dataset.license.clone()],
            publisher: dataset.publisher.clone(),
        }
    }

    /// Of this program, by what its package says.
    pub fn of_program() -> Self {
        let licenses = env!("CARGO_PKG_LICENSE").split(" OR ");
        Self {
            title: "Jobtorque".into(),
            about: env!("CARGO_PKG_DESCRIPTION").into(),
            version: env!("CARGO_PKG_VERSION").into(),
            date: None,
            licenses: licenses.map(String::from).collect(),
            publisher: Some("The Jobtorque authors".into()),
        }
    }

    /// As a `Dataset` of schema.org, in JSON-LD.
    ///
    /// # Errors
    ///
    /// None that is known.
    pub fn json_ld(&self) -> Result<String, SiteError> {
        let mut data = Map::new();
        data.insert("@context".into(), json!("https://schema.org"));
        data.insert("@type".into(), json!("Dataset"));
        data.insert("name".into(), json!(self.title));
        data.insert("description".into(), json!(self.about));
        data.insert("license".into(), json!(self.licenses.join(" OR ")));
        data.insert("version".into(), json!(self.version));
        if let Some(date) = &self.date {
            data.insert("datePublished".into(), json!(date));
        }
        if let Some(publisher) = &self.publisher {
            let publisher = json!({ "@type": "Organization", "name": publisher });
            data.insert("publisher".into(), publisher);
        }
        serde_json::to_string(&Value::Object(data))
            .map_err(|error| SiteError(format!("cannot write how to cite: {error}")))
    }

    /// As a file of the Citation File Format 1.2.0, for software.
    pub fn cff(&self) -> String {
        // A JSON text is a text in YAML.
        let text = |text: &str| Value::from(text).to_string();
        let mut lines = vec![
            "cff-version: 1.2.0".to_owned(),
            "type: software".to_owned(),
            "message: \"Please cite this program as below, and results by the page they stand on.\""
                .to_owned(),
            format!("title: {}", text(&self.title)),
            format!("abstract: {}", text(&self.about)),
            format!("version: {}", text(&self.version)),
        ];
        lines.extend(
            self.date
                .iter()
                .map(|date| format!("date-released: {date}")),
        );
        let licenses: Vec<String> = self.licenses.iter().map(|license| text(license)).collect();
        lines.push(format!("license: [{}]", licenses.join(", ")));
        lines.push("authors:".into());
        let publisher = self.publisher.iter();
        lines.extend(publisher.map(|name| format!("  - name: {}", text(name))));
        lines.join("\n") + "\n"
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dataset::json;

    #[test]
    fn the_file_beside_the_readme_is_that_of_the_package() {
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/CITATION.cff");
        let there = std::fs::read_to_string(path).unwrap_or_default();
        assert_eq!(there, Citation::of_program().cff());
    }

    #[test]
    fn results_are_cited_by_their_newest_published_edition() {
        let read = json::parse(include_str!("../../data/demo.json")).unwrap();
        let mut dataset = read.dataset;
        let citation = |dataset: &Dataset| -> Value {
            serde_json::from_str(&Citation::of_results(dataset).json_ld().unwrap()).unwrap()
        };
        let cited = citation(&dataset);
        assert_eq!(cited["@type"], "Dataset");
        assert_eq!(cited["name"], dataset.title.as_str());
        assert_eq!(cited["version"], "3");
        assert_eq!(cited["datePublished"], "2026-07-11");
        assert_eq!(cited["license"], "CC0-1.0");
        let about = cited["description"].as_str().unwrap();
        assert!(about.starts_with("Invented data. "), "{about}");
        dataset.invented = None;
        dataset.publisher = None;
        let cited = citation(&dataset);
        assert!(!cited["description"].as_str().unwrap().contains("Invented"));
        assert_eq!(cited.get("publisher"), None);
    }
}
