//! What is said of a log on the command line, in the words of its block: `decimal = ","`.

use super::super::settings_fields::LOGGER_FIELDS;
use crate::logs::survey;
use crate::problem::quoted;
use toml_edit::{DocumentMut, Item, Value};

/// Keys of a block and their values.
#[derive(Clone, Debug, Default)]
pub struct Said(Vec<(String, Value)>);

impl Said {
    /// Reads lines such as `rate_hz = 250`.
    ///
    /// # Errors
    ///
    /// Says what is no line of a block.
    pub fn read(lines: &[String]) -> Result<Self, String> {
        let mut said: Vec<(String, Value)> = Vec::new();
        for line in lines {
            let document: DocumentMut = line.parse().map_err(|_| {
                format!("{} is no line of TOML such as rate_hz = 250", quoted(line))
            })?;
            for (key, item) in document.iter() {
                let Item::Value(value) = item else {
                    return Err(format!("{} is no key and its value", quoted(line)));
                };
                if !LOGGER_FIELDS.contains(&key) {
                    let fields = LOGGER_FIELDS.join(", ");
                    return Err(format!("{} is no key of a logger: {fields}", quoted(key)));
                }
                let mut value = value.clone();
                value.decor_mut().clear();
                said.retain(|(other, _)| other != key);
                said.push((key.to_owned(), value));
            }
        }
        Ok(Self(said))
    }

    /// Whether a key is said.
    pub fn has(&self, key: &str) -> bool {
        self.get(key).is_some()
    }

    /// The value of a key.
    pub fn get(&self, key: &str) -> Option<&Value> {
        let found = self.0.iter().find(|(other, _)| other == key);
        found.map(|(_, value)| value)
    }

    /// The text that is the value of a key.
    pub fn text(&self, key: &str) -> Option<&str> {
        self.get(key).and_then(Value::as_str)
    }

    /// All keys and their values as TOML.
    pub fn all(&self) -> impl Iterator<Item = (&str, String)> {
        self.0
            .iter()
            .map(|(key, value)| (key.as_str(), value.to_string().trim().to_owned()))
    }

    /// What is said of the text.
    pub(super) fn of_text(&self) -> survey::Said<'_> {
        survey::Said {
            encoding: self.text("encoding").map(|label| match label {
                "latin-1" => "latin1",
                label => label,
            }),
            delimiter: self.text("delimiter"),
            decimal: self.text("decimal"),
            thousands: self.text("thousands"),
        }
    }
}
