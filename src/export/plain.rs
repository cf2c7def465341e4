//! The plain part of a page: the answer and the whole table as HTML, there before any script runs
//! and still there if none ever does. The builder of the page writes it, and so does a page that is
//! saved with another choice.

use super::html::{attribute_in_page, element, line};
use crate::answer::data::Answer;
use crate::contents::data::Contents;
use crate::dataset::types::Edition;
use crate::table::data::{WordedRow, WordedTable};
use crate::text;
use crate::text::catalogue::Catalogue;
use crate::text::number;

/// So many rows of the table, those that divide it among them, stand open: a choice, at which a page of 832
/// pairs is painted nearly as soon as one of 43.
const MOST_ROWS_OPEN: usize = 120;

/// What a row begins with that divides the others.
const DIVIDER: &str = "<tr class=\"divider\">";

/// What the plain part is made of.
#[derive(Clone, Copy, Debug)]
pub struct Plain<'a> {
    /// The language.
    pub catalogue: &'a Catalogue,
    /// The licence.
    pub contents: &'a Contents,
    /// The answer.
    pub answer: &'a Answer,
    /// The whole field.
    pub table: &'a WordedTable,
    /// The edition that answers.
    pub edition: Option<&'a Edition>,
    /// The day on which the page was saved, such as `2026-03-02`; none for the page as published.
    pub saved: Option<&'a str>,
}

impl Plain<'_> {
    /// The plain part as HTML.
    pub fn html(&self) -> String {
        let mut html = String::new();
        self.answer(&mut html);
        let answer = self.answer;
        let warnings = answer.warnings.join(" ");
        line(&mut html, "p", " class=\"warnings\"", &warnings);
        for (key, sentences) in [
            ("section.rests_on", &answer.rests_on),
            ("section.cautions", &answer.reminders),
        ] {
            list(&mut html, &self.catalogue.fill(key, &[]), sentences);
        }
        if self.table.stands {
            self.table(&mut html);
        }
        self.foot(&mut html);
        html
    }

    /// The answer alone with its edition and licence, for where the element is embedded.
    #[cfg(not(target_arch = "wasm32"))]
    pub fn brief(&self) -> String {
        let mut html = String::new();
        self.answer(&mut html);
        self.foot(&mut html);
        html
    }

    fn answer(&self, html: &mut String) {
        let answer = self.answer;
        let caution = " class=\"caution\"";
        let notice = answer.notice.as_deref().unwrap_or_default();
        line(html, "p", " class=\"notice\"", notice);
        line(html, "p", " class=\"asked\"", &answer.asked);
        for sentence in &answer.before {
            line(html, "p", caution, sentence);
        }
        line(html, "h2", " class=\"headline\"", &answer.headline);
        for sentence in &answer.checks {
            line(html, "p", " class=\"check\"", sentence);
        }
        for sentence in answer.lines.iter().chain(&answer.further) {
            line(html, "p", "", sentence);
        }
        for sentence in &answer.cautions {
            line(html, "p", caution, sentence);
        }
    }

    /// The table; what comes after its first rows opens, so that thousands do not hold up what stands
    /// above them.
    fn table(&self, html: &mut String) {
        let rows = self.rows();
        let (first, rest) = rows.split_at(rows.len().min(MOST_ROWS_OPEN));
        self.table_of(html, &[first]);
        let Some(next) = rest.first() else {
            return;
        };
        let all = self.table.rows.len() + self.table.estimates.len();
        let all = number::count(all as u64, &self.catalogue.number);
        html.push_str("<details>");
        let words = self.catalogue.fill("table.open_all", &[("n", &all)]);
        line(html, "summary", "", &words);
        // What divides the rows above goes on to do so.
        let is_divider = |row: &&String| row.starts_with(DIVIDER);
        let divider = first.iter().rfind(is_divider);
        let divider = divider.filter(|_| !is_divider(&next));
        self.table_of(html, &[divider.map_or(&[], std::slice::from_ref), rest]);
        html.push_str("</details>\n");
    }

    /// A table of rows that are written.
    fn table_of(&self, html: &mut String, rows: &[&[String]]) {
        html.push_str("<table>\n");
        line(html, "caption", "", &self.table.caption);
        html.push_str("<thead><tr>");
        for heading in &self.table.headings {
            element(html, "th", " scope=\"col\"", &heading.text);
        }
        html.push_str("</tr></thead>\n<tbody>\n");
        for row in rows.iter().copied().flatten() {
            html.push_str(row);
        }
        html.push_str("</tbody></table>\n");
    }

    /// All rows of the table, written.
    fn rows(&self) -> Vec<String> {
        let table = self.table;
        let mut rows = Vec::with_capacity(table.rows.len() + table.estimates.len() + 2);
        let mut all_reach = true;
        for row in &table.rows {
            if let Some(falls_short) = &table.falls_short
                && row.reaches == Some(false)
                && all_reach
            {
                all_reach = false;
                rows.push(self.divider(falls_short));
            }
            rows.push(self.row(row));
        }
        if !table.estimates.is_empty() {
            rows.push(self.divider(&table.estimated));
        }
        rows.extend(table.estimates.iter().map(|row| self.row(row)));
        rows
    }

    /// A row with words across all columns.
    fn divider(&self, text: &str) -> String {
        let mut html = String::from(DIVIDER);
        let columns = self.table.headings.len().to_string();
        let span = [" colspan=\"", &columns, "\""].concat();
        element(&mut html, "td", &span, text);
        html.push_str("</tr>\n");
        html
    }

    fn row(&self, row: &WordedRow) -> String {
        let mut html = String::from("<tr>");
        for (heading, cell) in self.table.headings.iter().zip(&row.cells) {
            if heading.key == "pair" {
                element(&mut html, "th", " scope=\"row\"", cell);
            } else {
                element(&mut html, "td", "", cell);
            }
        }
        html.push_str("</tr>\n");
        html
    }

    /// Edition and licence; what is to be said where newer results do not load; the day of a copy.
    fn foot(&self, html: &mut String) {
        let unloaded = text::unloaded(self.catalogue, self.edition);
        let attributes = [
            " class=\"edition\" data-unloaded=\"",
            &attribute_in_page(&unloaded),
            "\"",
        ];
        let edition = text::edition(self.catalogue, self.edition);
        let data = [&edition, " ", &self.contents.license, "."];
        line(html, "p", &attributes.concat(), &data.concat());
        if let Some(day) = self.saved {
            let date = self.catalogue.date(day);
            let copy = self.catalogue.fill("taken.copy", &[("date", &date)]);
            line(html, "p", " class=\"copy\" slot=\"copy\"", &copy);
        }
    }
}

/// A list under a heading, if there is something in it.
fn list(html: &mut String, heading: &str, sentences: &[String]) {
    if sentences.is_empty() {
        return;
    }
    line(html, "h2", "", heading);
    html.push_str("<ul>\n");
    for sentence in sentences {
        line(html, "li", "", sentence);
    }
    html.push_str("</ul>\n");
}
