//! The part of the style sheet that a finished answer needs, small enough to stand in an article.
//!
//! Rules whose selectors name a class, an element or an attribute that the answer has not are left
//! out, and comments and spaces with them. Lengths hang on the reader's own size of text and not on
//! that of the page around, as in the live element (`www/stylesheet.js`).

/// What an answer consists of: what a selector may name.
#[derive(Clone, Copy, Debug)]
pub struct Used<'a> {
    /// Names of classes.
    pub classes: &'a [&'a str],
    /// Names of elements.
    pub elements: &'a [&'a str],
    /// Names of attributes.
    pub attributes: &'a [&'a str],
}

/// What stands for the root's size of text: see `www/stylesheet.js`.
const ROOT_SIZE: &str = "var(--job-torque-root-size)";

/// A piece of a style sheet.
enum Piece<'a> {
    Declaration(&'a str),
    Block(&'a str, Vec<Piece<'a>>),
}

/// The rules of `sheet` that are for what is used, without needless spaces.
pub fn needed_style(sheet: &str, used: Used) -> String {
    let text = without_comments(sheet);
    let mut style = String::new();
    for piece in pieces(&text) {
        write(&mut style, &piece, used);
    }
    style
}

fn without_comments(sheet: &str) -> String {
    let mut text = String::with_capacity(sheet.len());
    let mut rest = sheet;
    while let Some((before, after)) = rest.split_once("/*") {
        text.push_str(before);
        rest = after.split_once("*/").map_or("", |(_, behind)| behind);
    }
    text.push_str(rest);
    text
}

/// The declarations and blocks of a text. No string of the style sheet holds a brace or a semicolon.
fn pieces(text: &str) -> Vec<Piece<'_>> {
    let mut pieces = Vec::new();
    let mut rest = text;
    while let Some(at) = rest.find([';', '{']) {
        let (before, after) = rest.split_at(at);
        if let Some(after) = after.strip_prefix(';') {
            pieces.push(Piece::Declaration(before.trim()));
            rest = after;
            continue;
        }
        let inside = after.get(1..).unwrap_or_default();
        let end = end_of_block(inside);
        let body = inside.get(..end).unwrap_or_default();
        pieces.push(Piece::Block(before.trim(), self::pieces(body)));
        rest = inside.get(end + 1..).unwrap_or_default();
    }
    if !rest.trim().is_empty() {
        pieces.push(Piece::Declaration(rest.trim()));
    }
    pieces
}

/// Where the brace is that ends a block, whose first brace stands before the text.
fn end_of_block(text: &str) -> usize {
    let mut depth = 1_u32;
    for (at, sign) in text.char_indices() {
        match sign {
            '{' => depth += 1,
            '}' => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            return at;
        }
    }
    text.len()
}

/// Writes a piece as far as it is needed.
fn write(style: &mut String, piece: &Piece, used: Used) {
    match piece {
        Piece::Declaration(text) => {
            let (name, value) = text.split_once(':').unwrap_or((text, ""));
            let value = without_root(&squeezed(value));
            style.push_str(&[end_of_last(style), name.trim(), ":", &value].concat());
        }
        Piece::Block(prelude, inside) => {
            let prelude = squeezed(prelude);
            let prelude = match prelude.starts_with('@') {
                true => prelude.replace("rem", "em"),
                false => {
                    let selectors = parts(&prelude).into_iter();
                    let kept: Vec<&str> = selectors.filter(|one| is_used(one, used)).collect();
                    kept.join(",")
                }
            };
            if prelude.is_empty() {
                return;
            }
            let mut body = String::new();
            for piece in inside {
                write(&mut body, piece, used);
            }
            if !body.is_empty() {
                let block = [end_of_last(style), &prelude, "{", &body, "}"];
                style.push_str(&block.concat());
            }
        }
    }
}

/// What ends the declaration that stands last, if one does.
fn end_of_last(style: &str) -> &'static str {
    match style.chars().next_back() {
        None | Some('{' | '}') => "",
        _ => ";",
    }
}

/// A text with one space for several, and none behind a comma.
fn squeezed(text: &str) -> String {
    let words: Vec<&str> = text.split_whitespace().collect();
    words
        .join(" ")
        .replace(", ", ",")
        .replace("( ", "(")
        .replace(" )", ")")
}

/// A value with no size that hangs on the root of the page.
fn without_root(value: &str) -> String {
    let mut written = String::with_capacity(value.len());
    let mut rest = value;
    while let Some(at) = rest.find("rem") {
        let (before, after) = rest.split_at(at);
        let digits = |sign: char| sign.is_ascii_digit() || sign == '.';
        let number = before.trim_end_matches(digits).len();
        let (text, number) = before.split_at(number);
        written.push_str(text);
        if number.is_empty() {
            written.push_str("rem");
        } else {
            written.push_str(&format!("calc({number}*{ROOT_SIZE})"));
        }
        rest = after.get(3..).unwrap_or_default();
    }
    written.push_str(rest);
    written
}

/// The selectors of a list.
fn parts(list: &str) -> Vec<&str> {
    let (mut depth, mut from) = (0_u32, 0);
    let mut parts = Vec::new();
    for (at, sign) in list.char_indices() {
        match sign {
            '(' => depth += 1,
            ')' => depth = depth.saturating_sub(1),
            ',' if depth == 0 => {
                parts.extend(list.get(from..at));
                from = at + 1;
            }
            _ => {}
        }
    }
    parts.extend(list.get(from..));
    parts
}

/// Whether all that a selector names is there. What stands in `:is()` and `:where()` counts if one of
/// its selectors does; what stands in other brackets of pseudo-classes need not be there.
fn is_used(selector: &str, used: Used) -> bool {
    let of_name = |sign: char| sign.is_ascii_alphanumeric() || sign == '-' || sign == '_';
    let mut rest = selector.trim();
    while let Some(sign) = rest.chars().next() {
        let after = rest.get(sign.len_utf8()..).unwrap_or_default();
        let length = |text: &str| text.find(|sign| !of_name(sign)).unwrap_or(text.len());
        let (there, behind) = match sign {
            '.' => {
                let (name, behind) = after.split_at(length(after));
                (used.classes.contains(&name), behind)
            }
            '[' => {
                let (inside, behind) = after.split_once(']').unwrap_or((after, ""));
                let name = inside.split_at(length(inside)).0;
                (used.attributes.contains(&name), behind)
            }
            ':' => {
                let after = after.trim_start_matches(':');
                let (name, behind) = after.split_at(length(after));
                let (inside, behind) = bracket(behind);
                let is_list = matches!(name, "is" | "where");
                let there = !is_list || parts(inside).iter().any(|one| is_used(one, used));
                (there && name != "root", behind)
            }
            sign if of_name(sign) => {
                let (name, behind) = rest.split_at(length(rest));
                (used.elements.contains(&name), behind)
            }
            _ => (true, after),
        };
        if !there {
            return false;
        }
        rest = behind;
    }
    true
}

/// What stands in the bracket that a text begins with, and what follows it.
fn bracket(text: &str) -> (&str, &str) {
    let Some(inside) = text.strip_prefix('(') else {
        return ("", text);
    };
    let mut depth = 1_u32;
    for (at, sign) in inside.char_indices() {
        match sign {
            '(' => depth += 1,
            ')' => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            let (inside, behind) = inside.split_at(at);
            return (inside, behind.get(1..).unwrap_or_default());
        }
    }
    (inside, "")
}

#[cfg(test)]
mod tests {
    use super::*;

    const USED: Used = Used {
        classes: &["a", "b"],
        elements: &["p"],
        attributes: &["hidden"],
    };

    fn of(sheet: &str) -> String {
        needed_style(sheet, USED)
    }

    #[test]
    fn what_names_something_else_is_left_out() {
        assert_eq!(
            of("/* c { } */ .a, .c { top: 1px; left: 2px; }\n.c .a { top: 0 }"),
            ".a{top:1px;left:2px}"
        );
        assert_eq!(of(":root, :host { x: y; }"), ":host{x:y}");
        assert_eq!(
            of(":is(.c, .b) p { x: y; } :is(.c, div) p { x: y }"),
            ":is(.c,.b) p{x:y}"
        );
        assert_eq!(
            of(".a:not(.c:empty) > p[hidden] { x: y } p[role='x'] { x: y }"),
            ".a:not(.c:empty) > p[hidden]{x:y}"
        );
        assert_eq!(of("table { x: y } p::before { x: y }"), "p::before{x:y}");
    }

    #[test]
    fn blocks_in_blocks_stay_where_something_is_left_in_them() {
        assert_eq!(
            of(
                "@container (max-width: 30rem) { .c { x: y } .a { x: y; .b { z: w } .c { z: w } } } @media print { .c { x: y } }"
            ),
            "@container (max-width: 30em){.a{x:y;.b{z:w}}}"
        );
    }

    #[test]
    fn lengths_hang_on_the_readers_size_of_text() {
        assert_eq!(
            of("p { margin: 0.5rem 1rem; width: calc(100% - 2rem); }"),
            "p{margin:calc(0.5*var(--job-torque-root-size)) calc(1*var(--job-torque-root-size));\
             width:calc(100% - calc(2*var(--job-torque-root-size)))}"
        );
    }
}
