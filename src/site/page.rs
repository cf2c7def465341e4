//! A page filled in: the script, the module, the data, and the plain answer and table that stand
//! there before any script runs and still stand there if none ever does.

use super::SiteError;
use super::baked::baked;
use super::bundle::{by_name, import_map};
use super::byte_text::byte_text;
use super::citation::Citation;
use super::code::Code;
use crate::changes;
use crate::changes::words::ChangesTold;
use crate::export::{brief, html, take};
use crate::picture::{SHARED_HEIGHT_PX, SHARED_WIDTH_PX};
use crate::problem::Problem;
use crate::query::question::Question;
use crate::results::Results;
use minijinja::value::Serde;
use minijinja::{Environment, context};
use std::borrow::Cow;

/// The name of the picture that the page's head names, which stands beside it.
pub const PICTURE: &str = "chart.png";

/// What a page is made of.
#[derive(Debug)]
pub struct Parts<'a> {
    /// The published dataset as a page reads it: packed, as text.
    pub data: &'a str,
    /// The text catalogue.
    pub texts: &'a str,
    /// Script, module and style.
    pub code: &'a Code,
    /// The results of the published dataset.
    pub results: &'a Results,
}

impl Parts<'_> {
    /// Fills in a template.
    ///
    /// # Errors
    ///
    /// If the template has a fault, or the default question has no answer.
    pub fn render(&self, template: &str) -> Result<String, SiteError> {
        let failed =
            |error: minijinja::Error| SiteError(format!("cannot fill in the page: {error:#}"));
        let mut environment = Environment::new();
        environment.set_undefined_behavior(minijinja::UndefinedBehavior::Strict);
        environment.set_formatter(|out, _, value| {
            let safe = value.is_safe();
            let text = value
                .as_str()
                .map_or_else(|| value.to_string(), String::from);
            let text = if safe { text } else { html::escaped(&text) };
            out.write_str(&text).map_err(minijinja::Error::from)
        });
        environment
            .add_template_owned("page", template.to_owned())
            .map_err(failed)?;
        let contents = self.results.contents();
        let question = Question {
            job: Some(contents.default_job.clone()),
            ..Question::default()
        };
        let told =
            |error: Problem| SiteError(format!("the default question has no answer: {error}"));
        let taken = take(self.results, &question, None).map_err(told)?;
        let headline = self.results.ask(&question).map_err(told)?.headline;
        let page = environment.get_template("page").map_err(failed)?;
        page.render(context! {
            lang => self.results.catalogue().lang.clone(),
            mark => self.code.version.mark(),
            contents => Serde(contents),
            citation_json => json_text(&Citation::of_results(self.results.dataset()).json_ld()?),
            changes => Serde(newest_changes(self.results).map_err(told)?),
            plain => taken.plain,
            baked => baked(self.results, &question, "index.html")?,
            brief => brief(self.results, &question).map_err(told)?,
            picture => PICTURE,
            picture_width => SHARED_WIDTH_PX,
            picture_height => SHARED_HEIGHT_PX,
            picture_alt => html::attribute_in_page(&headline),
            labels => self.results.catalogue().texts.clone(),
            style => self.code.style.trim_end(),
            import_map => import_map(&self.code.modules)?,
            script => script_text(&self.script()),
            data_text => self.data,
            catalogue_json => json_text(self.texts),
            module_text => byte_text(&self.code.wasm),
        })
        .map_err(failed)
    }

    /// The script as it stands in a page.
    fn script(&self) -> Cow<'_, str> {
        if self.code.modules.is_empty() {
            Cow::Borrowed(&self.code.script)
        } else {
            by_name(&self.code.script).into()
        }
    }
}

/// What the newest edition changed against the one before; `None` where there is one alone.
fn newest_changes(results: &Results) -> Result<Option<ChangesTold>, Problem> {
    let dataset = results.dataset();
    let [.., since, newest] = dataset.editions.as_slice() else {
        return Ok(None);
    };
    let changes = results.changes(since.edition, newest.edition)?;
    let editions = [since, newest];
    Ok(Some(changes::words::told(
        results.catalogue(),
        dataset,
        editions,
        &changes,
    )))
}

/// JSON for a data block: a `<` stands only in texts, where it may be written by its number.
fn json_text(json: &str) -> String {
    json.replace('<', "\\u003c")
}

/// Script for an inline block, which must not hold what ends it.
fn script_text(script: &str) -> String {
    script
        .replace("</script", "<\\/script")
        .replace("<!--", "<\\!--")
}
