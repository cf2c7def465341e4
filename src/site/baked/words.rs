//! Sentences of an answer as HTML, broken into lines where the live element breaks them
//! (`www/dom.js`, `www/answer.js`).

use crate::answer::data::Answer;
use crate::export::html::escaped;

/// A paragraph; nothing where there is no text. `attributes` are HTML and begin with a space.
pub fn paragraph(attributes: &str, text: &str) -> String {
    match text {
        "" => String::new(),
        text => format!("<p{attributes}>{}</p>", escaped(text)),
    }
}

/// A text whose numbers stay in one line with what they count.
pub fn joined(text: &str) -> String {
    let mut last = None;
    text.chars()
        .map(|sign| {
            let after_digit = last.is_some_and(|last: char| last.is_ascii_digit());
            last = Some(sign);
            if sign == ' ' && after_digit {
                '\u{a0}'
            } else {
                sign
            }
        })
        .collect()
}

/// A text as HTML in which a number stays in one line with the word behind it.
pub fn unbroken(text: &str) -> String {
    let mut html = String::new();
    let mut rest = text;
    while let Some(at) = rest.find(|sign: char| sign.is_ascii_digit()) {
        let (before, from) = rest.split_at(at);
        html.push_str(&escaped(before));
        let word = |text: &str| text.find(char::is_whitespace).unwrap_or(text.len());
        let (number, behind) = from.split_at(word(from));
        let next = behind.strip_prefix(' ').map_or(0, word);
        if next > 0 {
            let (whole, behind) = from.split_at(number.len() + 1 + next);
            html.push_str(&format!("<span class=\"blank\">{}</span>", escaped(whole)));
            rest = behind;
        } else {
            html.push_str(&escaped(number));
            rest = behind;
        }
    }
    html.push_str(&escaped(rest));
    html
}

/// The lines of an answer, with the figures that matter set apart.
pub fn lines(answer: &Answer) -> String {
    let lines = answer.lines.iter().enumerate();
    lines
        .map(|(index, text)| {
            let stressed = answer.stressed.iter();
            let here = stressed.filter(|[line, ..]| *line as usize == index);
            let here: Vec<_> = here
                .map(|&[_, begin, end]| (begin as usize, end as usize))
                .collect();
            format!("<p>{}</p>", line(&joined(text), &here))
        })
        .collect()
}

/// A line; figures begin and end where they do in UTF-16 code units.
fn line(text: &str, stressed: &[(usize, usize)]) -> String {
    let units: Vec<u16> = text.encode_utf16().collect();
    let piece = |from: usize, to: usize| {
        let units = units.get(from..to).unwrap_or_default();
        escaped(&String::from_utf16_lossy(units))
    };
    let mut html = String::new();
    let mut at = 0;
    for &(begin, end) in stressed {
        html.push_str(&format!("{}<b>{}</b>", piece(at, begin), piece(begin, end)));
        at = end;
    }
    html + &piece(at, units.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_stays_with_the_word_behind_it() {
        assert_eq!(joined("5 s or 12 N·m a b"), "5\u{a0}s or 12\u{a0}N·m a b");
        assert_eq!(
            unbroken("A18 has 650 N·m, in 5"),
            "A<span class=\"blank\">18 has</span> <span class=\"blank\">650 N·m,</span> in 5"
        );
        assert_eq!(unbroken("<5"), "&lt;5");
    }

    #[test]
    fn figures_stand_where_script_counts() {
        assert_eq!(line("a𝒙 12 b", &[(4, 6)]), "a𝒙 <b>12</b> b");
        assert_eq!(line("12", &[]), "12");
    }
}
