//! The sentence to fill in, as the live form shows it (`www/form.js`): controls with all their
//! options, so that a browser gives them the same room.

use super::{Told, direction, units};
use crate::contents::data::Choice;
use crate::dataset::types::Direction;
use crate::export::html::{attribute, escaped};
use crate::query::condition::Condition;

/// Value, text, and what stands above those that belong together.
type Listed<'a> = (&'a str, &'a str, Option<&'a str>);

/// The form without what is hidden at first. It is no form of HTML: pressing the enter key sends
/// nothing.
pub fn form(told: &Told) -> String {
    let more = escaped(&told.catalogue.fill("form.more.open", &[]));
    let more =
        format!("<button type=\"button\" class=\"quiet\" aria-expanded=\"false\">{more}</button>");
    let fault = "<p class=\"fault\" part=\"fault\" role=\"status\" hidden></p>";
    let pair = blanks(&text(told, "form.pair"), |name| match name {
        "wrench" => wrench(told),
        "tool" => tool(told),
        _ => pack(told),
    });
    format!(
        "<div class=\"ask\" part=\"form\"><p class=\"sentence\">{}</p><p class=\"sentence\">{pair} {more}</p>{fault}</div>",
        job(told)
    )
}

/// A template of the catalogue as it is.
fn text(told: &Told, key: &str) -> String {
    told.catalogue.texts.get(key).cloned().unwrap_or_default()
}

fn label(told: &Told, name: &str) -> String {
    attribute(&text(told, &format!("form.label.{name}")))
}

/// The sentence of the job.
fn job(told: &Told) -> String {
    let (answer, contents) = (told.answer, told.contents);
    let named = contents
        .jobs
        .iter()
        .find(|job| Some(&job.id) == answer.job.as_ref());
    let kind = match (named, &answer.bolt) {
        (Some(_), _) => "named",
        (None, Some(_)) => "bolt",
        (None, None) => "torque",
    };
    let asked = told.question.job.as_deref().unwrap_or_default();
    let written = named.map_or(asked, |job| job.name.as_str());
    let way = direction(answer.direction);
    blanks(
        &text(told, &format!("form.{way}.{kind}")),
        |name| match name {
            "direction" => {
                let texts = ["loosen", "tighten"]
                    .map(|way| (way, text(told, &format!("form.direction.{way}"))));
                let options = texts
                    .each_ref()
                    .map(|(way, text)| (*way, text.as_str(), None));
                select(told, "direction", "direction", &options, &way)
            }
            "job" => typed(told, "job", written),
            "torque" => {
                let names = &told.catalogue.units;
                let options = [
                    ("n-m", names.newton_metre.as_str(), None),
                    ("lbf-ft", names.pound_force_foot.as_str(), None),
                ];
                let select = select(told, "units", "units", &options, &units(answer.units));
                let torque = escaped(&answer.job_torque);
                format!(
                    "<span class=\"blank\"><span class=\"torque\">{torque}&nbsp;</span>{select}</span>"
                )
            }
            _ => format!(
                "<span class=\"blank\">{}{}</span>",
                condition(told),
                factor(told).unwrap_or_default()
            ),
        },
    )
}

/// What stands before the name of a tool.
fn wrench(told: &Told) -> String {
    let named = told.answer.tool.as_ref();
    let words = named.map(|_| escaped(&text(told, "form.wrench")));
    words.map_or_else(String::new, |words| format!("<span>{words} </span>"))
}

/// What is asked for of a fastener that is to be loosened.
fn asked(told: &Told) -> Option<Condition> {
    let asked = told.question.condition;
    asked.filter(|_| told.answer.direction == Direction::Loosen)
}

/// The visitor's factor on the torque of an aged fastener, where one is asked for.
fn aged(told: &Told) -> Option<f64> {
    match asked(told)? {
        Condition::Factor(factor) => Some(factor),
        Condition::Checked(_) => None,
    }
}

fn condition(told: &Told) -> String {
    let factor = aged(told).unwrap_or(told.contents.first_factor).to_string();
    let (fresh, old) = (
        text(told, "form.condition.fresh"),
        text(told, "form.condition.aged"),
    );
    let mut options: Vec<Listed> = vec![
        ("", fresh.as_str(), None),
        (factor.as_str(), old.as_str(), None),
    ];
    options.extend(told.answer.nuts_tried.iter().filter_map(|nuts| {
        let take = nuts.take.as_deref()?;
        Some((nuts.condition.code(), take, None))
    }));
    let chosen = asked(told).map(super::condition).unwrap_or_default();
    select(told, "aged", "condition", &options, &chosen)
}

fn factor(told: &Told) -> Option<String> {
    let factor = aged(told)?;
    let words = blanks(&text(told, "form.factor"), |_| {
        format!(
            "<input class=\"number\" type=\"number\" step=\"any\" min=\"0\" name=\"condition\" aria-label=\"{}\" \
             autocomplete=\"off\" part=\"control\" value=\"{factor}\">",
            label(told, "factor")
        )
    });
    Some(format!("<span>{words}</span>"))
}

fn tool(told: &Told) -> String {
    let (contents, chosen) = (told.contents, told.answer.tool.as_deref());
    let any = text(told, "form.tool.any");
    if contents.is_large {
        let shown = contents
            .tools
            .iter()
            .find(|tool| Some(tool.id.as_str()) == chosen);
        return typed(
            told,
            "tool",
            shown.map_or(any.as_str(), |tool| tool.name.as_str()),
        );
    }
    let tools = contents.tools.iter();
    let tools = tools.map(|tool| (tool.id.as_str(), tool.name.as_str(), tool.maker.as_deref()));
    let options: Vec<Listed> = [("", any.as_str(), None)]
        .into_iter()
        .chain(tools)
        .collect();
    select(told, "tool", "tool", &options, chosen.unwrap_or_default())
}

fn pack(told: &Told) -> String {
    let (contents, answer) = (told.contents, told.answer);
    let tool = contents
        .tools
        .iter()
        .find(|tool| Some(&tool.id) == answer.tool.as_ref());
    let fits = |pack: &&Choice| {
        tool.is_none_or(|tool| tool.mount == pack.mount) || Some(&pack.id) == answer.pack.as_ref()
    };
    let any = text(told, "form.pack.any");
    let packs = contents.packs.iter().filter(fits);
    let packs = packs.map(|pack| (pack.id.as_str(), pack.name.as_str(), None));
    let options: Vec<Listed> = [("", any.as_str(), None)]
        .into_iter()
        .chain(packs)
        .collect();
    select(
        told,
        "pack",
        "pack",
        &options,
        answer.pack.as_deref().unwrap_or_default(),
    )
}

/// A blank to type in, as wide as its text.
fn typed(told: &Told, name: &str, written: &str) -> String {
    let written = attribute(written);
    format!(
        "<span class=\"typed\" data-text=\"{written}\"><input type=\"text\" name=\"{name}\" autocomplete=\"off\" \
         spellcheck=\"false\" aria-label=\"{}\" part=\"control\" value=\"{written}\"></span>",
        label(told, name)
    )
}

/// A list to pick from.
fn select(told: &Told, name: &str, label_of: &str, options: &[Listed], chosen: &str) -> String {
    let mut html = format!(
        "<select name=\"{name}\" aria-label=\"{}\" part=\"control\">",
        label(told, label_of)
    );
    let mut above = None;
    for &(value, text, group) in options {
        if above != group {
            html.push_str(if above.is_some() { "</optgroup>" } else { "" });
            if let Some(group) = group {
                html.push_str(&format!("<optgroup label=\"{}\">", attribute(group)));
            }
            above = group;
        }
        let selected = if value == chosen { " selected" } else { "" };
        html.push_str(&format!(
            "<option value=\"{}\"{selected}>{}</option>",
            attribute(value),
            escaped(text)
        ));
    }
    html.push_str(if above.is_some() {
        "</optgroup></select>"
    } else {
        "</select>"
    });
    html
}

/// A template's words as HTML and, at its blanks, what stands there. A control stays in one line with
/// what is written before and after it without a space.
fn blanks(template: &str, filling: impl Fn(&str) -> String) -> String {
    let mut html = String::new();
    let mut rest = template;
    while let Some((before, (name, behind))) = rest
        .split_once('{')
        .and_then(|(before, rest)| Some((before, rest.split_once('}')?)))
    {
        let touching = |sign: char| !sign.is_whitespace() && sign != '{' && sign != '}';
        let (words, prefix) = before.split_at(before.trim_end_matches(touching).len());
        let still = |sign: char| touching(sign) || sign == '\u{a0}' || sign == '\u{202f}';
        let end = behind.len() - behind.trim_start_matches(still).len();
        let (suffix, behind) = behind.split_at(end);
        html.push_str(&escaped(words));
        let filled = filling(name);
        if prefix.is_empty() && suffix.is_empty() {
            html.push_str(&filled);
        } else {
            let (prefix, suffix) = (escaped(prefix), escaped(suffix));
            html.push_str(&format!(
                "<span class=\"blank\">{prefix}{filled}{suffix}</span>"
            ));
        }
        rest = behind;
    }
    html + &escaped(rest)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_control_stays_with_the_punctuation_that_touches_it() {
        let filled = blanks("A {x} and ({y}), <{z}\u{a0}s b.", |name| {
            format!("<i>{name}</i>")
        });
        assert_eq!(
            filled,
            "A <i>x</i> and <span class=\"blank\">(<i>y</i>),</span> \
             <span class=\"blank\">&lt;<i>z</i>&nbsp;s</span> b."
        );
    }
}
