//! The finished answer of an embedded element: what stands in an article before the element goes
//! live, and stays if it never does.
//!
//! It is the compact form of the live element as HTML in a shadow root of its own, so that rules of
//! the page around do not reach it: the same elements with the same classes (`www/form.js`,
//! `www/answer.js`, `www/chart.js`, `www/edition.js`), the part of the same style sheet that they
//! need, and the chart as SVG. What stands beside it in the element is for feeds and readers, which
//! know no shadow roots.

mod form;
mod words;

use super::SiteError;
use super::code::{all_styles, www};
use super::needed_style::{Used, needed_style};
use crate::answer::data::Answer;
use crate::contents::data::Contents;
use crate::dataset::types::Direction;
use crate::export::brief;
use crate::export::html::{attribute, escaped};
use crate::picture::elastic::Elastic;
use crate::problem::{Problem, quoted};
use crate::query::condition::Condition;
use crate::query::question::{Question, Score};
use crate::results::Results;
use crate::text::catalogue::Catalogue;
use crate::units::TorqueUnit;
use form::form;
use words::{joined, lines, paragraph, unbroken};

/// All that the finished answer consists of.
const USED: Used = Used {
    classes: &[
        "sheet",
        "compact",
        "open",
        "plate",
        "top",
        "notice",
        "ask",
        "sentence",
        "blank",
        "typed",
        "number",
        "torque",
        "quiet",
        "fault",
        "answer",
        "before",
        "caution",
        "headline",
        "checks",
        "lines",
        "chart",
        "plot",
        "time",
        "pull",
        "drawn",
        "grid",
        "needed",
        "letters",
        "hole",
        "full",
        "dashed",
        "dotted",
        "dashdot",
        "dashdots",
        "key",
        "edition",
        "pair",
        "onwards",
        "in-narrow",
        "in-middle",
        "in-wide",
    ],
    elements: &[
        "p", "h2", "b", "a", "span", "select", "option", "optgroup", "input", "button", "path",
        "text",
    ],
    attributes: &["hidden", "aria-expanded"],
};

/// What the finished answer is made of.
struct Told<'a> {
    catalogue: &'a Catalogue,
    contents: &'a Contents,
    question: &'a Question,
    answer: &'a Answer,
}

/// The finished answer to a question as a declarative shadow root. `full` is the address of the
/// results page with this answer.
///
/// # Errors
///
/// A problem of the question; or if a style sheet is not there.
pub fn baked(results: &Results, question: &Question, full: &str) -> Result<String, SiteError> {
    let told = |error: Problem| SiteError(error.message);
    let answer = results.ask(question).map_err(told)?;
    let curves = results.curves(question).map_err(told)?;
    let chart = Elastic::of(&curves, results.catalogue());
    let told = Told {
        catalogue: results.catalogue(),
        contents: &results.contents(),
        question,
        answer: &answer,
    };
    let own = www("baked.css")?;
    let style = needed_style(&format!("{}\n{own}", all_styles()?), USED);
    let position = chart.as_ref().map(position).unwrap_or_default();
    let open = if answer.of.is_some() { " open" } else { "" };
    let lang = attribute(&told.catalogue.lang);
    Ok([
        "<template shadowrootmode=\"open\"><style>",
        &style,
        &position,
        "</style><div class=\"sheet compact",
        open,
        "\" part=\"sheet\" lang=\"",
        &lang,
        "\" data-baked=\"\"><div class=\"plate\">",
        &top(&told),
        &verdict(&answer),
        &chart
            .as_ref()
            .map(|chart| figure(chart, &told))
            .unwrap_or_default(),
        "</div>",
        &edition(&told, full),
        "</div></template>",
    ]
    .concat())
}

/// The rule that puts the drawing between the axes' margins.
fn position(chart: &Elastic) -> String {
    let [above, right, below, left] = chart.margins_em;
    format!(
        ".drawn{{left:{left:.3}em;top:{above:.3}em;width:calc(100% - {:.3}em);height:calc(100% - {:.3}em)}}",
        left + right,
        above + below
    )
}

fn top(told: &Told) -> String {
    let notice = told.contents.notice.as_deref().unwrap_or_default();
    let notice = paragraph(" class=\"notice\" part=\"notice\"", notice);
    format!("<div class=\"top\">{notice}{}</div>", form(told))
}

/// The answer in words, and the caution that stays beside it.
fn verdict(answer: &Answer) -> String {
    let cautions = answer
        .before
        .iter()
        .map(|text| paragraph(" class=\"caution\"", text));
    let checks = answer
        .checks
        .iter()
        .map(|text| paragraph(" class=\"check\"", &joined(text)));
    let stays = joined(&answer.cautions.join(" "));
    format!(
        "<section class=\"answer\" part=\"answer\"><div class=\"before\">{}</div>\
         <h2 class=\"headline\" part=\"headline\">{}</h2><div class=\"checks\" part=\"checks\">{}</div>\
         <div class=\"lines\">{}</div></section>{}",
        cautions.collect::<String>(),
        unbroken(&answer.headline),
        checks.collect::<String>(),
        lines(answer),
        paragraph(" class=\"caution\" part=\"cautions\"", &stays)
    )
}

/// The chart, the controls that read it and move its needed line by keyboard, and the names below it.
fn figure(chart: &Elastic, told: &Told) -> String {
    let (catalogue, answer) = (told.catalogue, told.answer);
    // The sentence above names the only pair.
    let is_named = answer.of.is_none() && told.question.beside.is_empty();
    let key = chart.key.iter();
    let key = key.filter(|name| !(is_named && name.text.contains(&answer.label)));
    let key = key.map(|name| {
        let room = match name.room {
            "" => String::new(),
            room => format!(" class=\"{room}\""),
        };
        let text = escaped(&name.text);
        format!(
            "<span{room}><span class=\"{}\" aria-hidden=\"true\">{text}</span></span>",
            name.class
        )
    });
    format!(
        "<figure class=\"chart\" part=\"chart\"><div class=\"plot\">{}<input type=\"range\" class=\"time\" min=\"0\" \
         aria-label=\"{}\"><input type=\"range\" class=\"pull\" min=\"1\" max=\"20000\" aria-label=\"{}\"></div><figcaption class=\"key\">{}</figcaption></figure>",
        chart.svg,
        attribute(&catalogue.fill("chart.read", &[])),
        attribute(&catalogue.fill("chart.pull", &[])),
        key.collect::<String>()
    )
}

fn edition(told: &Told, full: &str) -> String {
    let editions = &told.contents.editions;
    let shown = editions
        .iter()
        .find(|one| one.edition == told.answer.edition);
    let name = shown.map_or("", |one| one.name.as_str());
    let outdated = shown.and_then(|one| one.outdated.as_deref());
    let outdated = outdated.map_or_else(String::new, |outdated| {
        let newest = told.catalogue.fill("edition.newest", &[]);
        format!(
            " <span>{}</span> <button type=\"button\" class=\"pair\">{}</button>",
            escaped(outdated),
            escaped(&newest)
        )
    });
    format!(
        "<p class=\"edition\"><span>{}</span>{outdated} <a class=\"onwards\" part=\"full\" href=\"{}\">{}</a></p>",
        escaped(name),
        attribute(full),
        escaped(&told.catalogue.fill("section.full", &[]))
    )
}

/// What the page of an article needs once: the element's height, kept free from the start, the size of
/// text that its sizes hang on, and the loader.
pub const HEAD: &str = "<style>\n\
@property --job-torque-root-size { syntax: '<length>'; inherits: true; initial-value: 16px; }\n\
job-torque { display: block; min-block-size: 48rem; }\n\
@media (max-width: 36rem) { job-torque { min-block-size: 62rem; } }\n\
</style>\n\
<script type=\"module\" src=\"embed.js\"></script>\n";

/// The element with its finished answer, for an article beside the files of the site. It holds the
/// edition that answers, so that its figures stay what they are.
///
/// # Errors
///
/// As [`baked`]; or if an identifier holds a sign that no attribute can.
pub fn element(results: &Results, question: &Question) -> Result<String, SiteError> {
    let told = |error: Problem| SiteError(error.message);
    let answer = results.ask(question).map_err(told)?;
    let question = Question {
        edition: Some(answer.edition),
        ..question.clone()
    };
    let given = attributes(&question);
    if let Some((name, value)) = given.iter().find(|(_, value)| !can_be_written(value)) {
        return Err(SiteError(format!(
            "the {name} {} holds a sign that no HTML can hold: give it an identifier without",
            quoted(value)
        )));
    }
    let written = given
        .iter()
        .map(|(name, value)| format!(" {name}=\"{}\"", attribute(value)));
    let fragment: Vec<String> = given
        .iter()
        .map(|(name, value)| format!("{name}={}", encoded(value)))
        .collect();
    let full = format!("index.html#{}", fragment.join("&"));
    Ok(format!(
        "<job-torque src=\"results.json\"{} compact>\n{}\n{}<p><a href=\"{}\">{}</a></p>\n</job-torque>\n",
        written.collect::<String>(),
        baked(results, &question, &full)?,
        brief(results, &question).map_err(told)?,
        attribute(&full),
        escaped(&results.catalogue().fill("section.full", &[]))
    ))
}

/// Whether an attribute can hold exactly this text.
fn can_be_written(text: &str) -> bool {
    !text
        .chars()
        .any(|sign| sign.is_control() && sign != '\n' && sign != '\t')
}

/// The attributes that ask a question, in the order of `www/attributes.js`.
fn attributes(question: &Question) -> Vec<(&'static str, String)> {
    let number = |value: Option<f64>| value.map(|value| value.to_string());
    let all = [
        ("tool", question.tool.clone()),
        ("pack", question.pack.clone()),
        ("job", question.job.clone()),
        ("direction", question.direction.map(direction)),
        ("condition", question.condition.map(condition)),
        ("loss", number(question.loss_percent)),
        ("within", number(question.within_s)),
        (
            "score",
            question.score.map(|score| match score {
                Score::Typical => "typical".into(),
                Score::BestOfThree => "best-of-three".into(),
            }),
        ),
        ("setup", question.setup.clone()),
        ("rig", question.rig.clone()),
        (
            "edition",
            question.edition.map(|edition| edition.to_string()),
        ),
        ("units", question.units.map(units)),
    ];
    all.into_iter()
        .filter_map(|(name, value)| Some((name, value?)))
        .collect()
}

fn condition(condition: Condition) -> String {
    match condition {
        Condition::Factor(factor) => factor.to_string(),
        Condition::Checked(checked) => checked.code().into(),
    }
}

fn direction(direction: Direction) -> String {
    match direction {
        Direction::Loosen => "loosen".into(),
        Direction::Tighten => "tighten".into(),
    }
}

fn units(unit: TorqueUnit) -> String {
    match unit {
        TorqueUnit::NewtonMetre => "n-m".into(),
        TorqueUnit::PoundForceFoot => "lbf-ft".into(),
    }
}

/// A text in the fragment of an address, as `URLSearchParams` writes it (URL Standard, the
/// `application/x-www-form-urlencoded` serializer).
fn encoded(text: &str) -> String {
    text.bytes()
        .map(|byte| match byte {
            b' ' => "+".into(),
            b'-' | b'.' | b'_' | b'*' => char::from(byte).to_string(),
            byte if byte.is_ascii_alphanumeric() => char::from(byte).to_string(),
            byte => format!("%{byte:02X}"),
        })
        .collect()
}

#[cfg(test)]
mod tests;
