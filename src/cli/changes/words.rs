//! Changes as text for a terminal, and as Markdown for an edition's note.

use super::LogChange;
use crate::changes::words::ChangesTold;
use crate::cli::text::wrapped;
use crate::text::passage::Passage;

/// What is printed.
pub(super) struct Printed<'a> {
    /// What stands first of all, such as that data are invented.
    pub notice: Option<String>,
    /// The changes in words.
    pub told: ChangesTold,
    /// Logs that are not as they were published; `None` where nothing published was named.
    pub logs: Option<&'a [LogChange]>,
}

impl Printed<'_> {
    pub fn text(&self) -> String {
        let mut parts: Vec<String> = self.notice.iter().map(|notice| wrapped(notice)).collect();
        parts.push(wrapped(&self.told.title));
        for passage in self.passages() {
            let lines = passage.lines.iter().map(|line| {
                let line = wrapped(&format!("- {line}"));
                line.replace('\n', "\n  ")
            });
            let lines: Vec<String> = lines.collect();
            parts.push(format!("{}\n{}", passage.heading, lines.join("\n")));
        }
        if self.logs.is_none() {
            parts.push(wrapped(
                "Logs were not compared with what was published: name that dataset with --published.",
            ));
        }
        parts.join("\n\n")
    }

    /// The same without what is for the tester alone.
    pub fn markdown(&self) -> String {
        let mut parts = vec![format!("## {}", escaped(&self.told.title))];
        parts.extend(self.notice.iter().map(|notice| escaped(notice)));
        for passage in self.passages() {
            let lines = passage.lines.iter();
            let lines: Vec<String> = lines.map(|line| format!("- {}", escaped(line))).collect();
            parts.push(format!("### {}\n\n{}", passage.heading, lines.join("\n")));
        }
        parts.join("\n\n")
    }

    fn passages(&self) -> Vec<Passage> {
        let passages = self.told.passages.iter().chain(&self.told.corrections);
        let mut passages: Vec<Passage> = passages.cloned().collect();
        let logs = self.logs.unwrap_or_default().iter();
        let lines: Vec<String> = logs
            .map(|log| match log.sha256 {
                Some(_) => format!("{}: its bytes are not those published", log.log_file),
                None => format!("{}: no run names it any more", log.log_file),
            })
            .collect();
        if !lines.is_empty() {
            passages.push(Passage {
                heading: "Logs changed since they were published".into(),
                lines,
            });
        }
        if passages.is_empty() {
            passages.push(Passage {
                heading: "Changes".into(),
                lines: vec!["none".into()],
            });
        }
        passages
    }
}

/// A text without what Markdown would take for marks.
fn escaped(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for sign in text.chars() {
        match sign {
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '#' | '|' => {
                escaped.push('\\');
                escaped.push(sign);
            }
            '\n' | '\r' => escaped.push(' '),
            _ => escaped.push(sign),
        }
    }
    escaped
}

#[cfg(test)]
mod tests {
    use super::escaped;

    #[test]
    fn a_text_is_no_markdown() {
        assert_eq!(escaped("a*b\n# <i>"), "a\\*b \\# \\<i\\>");
    }
}
