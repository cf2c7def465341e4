//! The words of a picture: paragraphs in lines, and the words of the chart with their colours.

use super::{CURVES, NEEDED, QUIET};
use crate::chart::draw::Colour;
use crate::chart::label::Label;
use crate::chart::view::{DrawnCurve, Kind, View};

/// Height of a line of text over the size of the text.
const LINE: f64 = 1.4;
/// Distance of paragraphs over the size of their text.
const APART: f64 = 1.0 / 3.0;

/// Writing systems from here on have letters as wide as high.
const FIRST_SQUARE: char = '\u{2e80}';
/// How much wider bold letters are.
const BOLD: f64 = 1.12;

/// What stands at the end of a text that was shortened.
const SHORTENED: char = '…';

/// Text in lines as wide as the picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Paragraph {
    /// The text.
    pub text: String,
    /// Size of the text in CSS pixels.
    pub size_px: f64,
    /// Whether it is bold.
    pub bold: bool,
    /// Its colour.
    pub colour: Colour,
}

/// A line of a paragraph.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Its paragraph, with this line for its text.
    pub paragraph: Paragraph,
    /// Its middle in CSS pixels from the top of the block.
    pub middle_px: f64,
}

/// Paragraphs one below the other.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// Their lines.
    pub lines: Vec<Line>,
    /// The height of all.
    pub height_px: f64,
}

impl Block {
    /// These paragraphs in lines of at most `width_px`; of each the first `most_lines`.
    pub fn new(paragraphs: &[Paragraph], width_px: f64, most_lines: usize) -> Self {
        let mut block = Self {
            lines: Vec::new(),
            height_px: 0.0,
        };
        for paragraph in paragraphs.iter().filter(|given| !given.text.is_empty()) {
            let line_px = paragraph.size_px * LINE;
            let mut lines = wrapped(paragraph, width_px);
            if lines.len() > most_lines {
                lines.truncate(most_lines);
                if let Some(last) = lines.last_mut() {
                    last.pop();
                    *last = format!("{}{SHORTENED}", last.trim_end());
                }
            }
            for text in lines {
                block.lines.push(Line {
                    paragraph: Paragraph {
                        text,
                        ..paragraph.clone()
                    },
                    middle_px: block.height_px + line_px / 2.0,
                });
                block.height_px += line_px;
            }
            block.height_px += paragraph.size_px * APART;
        }
        block
    }
}

/// Width of a letter over the size of the text, on the generous side: as wide as the widest of its kind
/// in DejaVu Sans, which is wider than most fonts.
fn letter(sign: char) -> f64 {
    match sign {
        ' ' | 'i' | 'I' | 'l' | 'j' | '.' | ',' | ':' | ';' | '\'' | '|' | '·' => 0.35,
        'f' | 't' | 'r' | '(' | ')' | '[' | ']' | '-' | '/' | '!' => 0.42,
        'm' | 'w' | 'M' | 'W' | '@' | '%' | '…' | '—' => 1.0,
        'a'..='z' | '0'..='9' => 0.64,
        'A'..='Z' => 0.79,
        _ if sign < FIRST_SQUARE => 0.84,
        _ => 1.0,
    }
}

/// A paragraph in lines: broken at spaces, but not behind a digit, so that a number and its unit stay
/// together; and within a word that is wider than a line.
fn wrapped(paragraph: &Paragraph, width_px: f64) -> Vec<String> {
    let bold = if paragraph.bold { BOLD } else { 1.0 };
    let width = |sign: char| letter(sign) * bold * paragraph.size_px;
    let mut words: Vec<String> = Vec::new();
    for word in paragraph.text.split_whitespace() {
        match words.last_mut() {
            Some(last) if last.ends_with(|sign: char| sign.is_ascii_digit()) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    let mut lines = Vec::new();
    let (mut line, mut line_px) = (String::new(), 0.0);
    for word in words {
        let word_px: f64 = word.chars().map(width).sum();
        if !line.is_empty() {
            if line_px + width(' ') + word_px <= width_px {
                line.push(' ');
                line_px += width(' ');
            } else {
                lines.push(std::mem::take(&mut line));
                line_px = 0.0;
            }
        }
        for sign in word.chars() {
            if line_px + width(sign) > width_px && !line.is_empty() {
                lines.push(std::mem::take(&mut line));
                line_px = 0.0;
            }
            line.push(sign);
            line_px += width(sign);
        }
    }
    lines.push(line);
    lines
}

/// Width of a line of text in CSS pixels, on the generous side.
pub fn width_px(text: &str, size_px: f64) -> f64 {
    text.chars().map(letter).sum::<f64>() * size_px
}

/// A text in lines of at most `width_px`.
pub fn lines(text: &str, size_px: f64, width_px: f64) -> Vec<String> {
    let paragraph = Paragraph {
        text: text.to_owned(),
        size_px,
        bold: false,
        colour: super::INK,
    };
    wrapped(&paragraph, width_px)
}

/// A word of the chart.
#[derive(Clone, Debug, PartialEq)]
pub struct Word {
    /// Where it stands and what it says.
    pub label: Label,
    /// Its colour.
    pub colour: Colour,
}

/// The words in the chart.
pub fn words(view: &View) -> Vec<Word> {
    let ticks = view.time_ticks.iter().chain(&view.torque_ticks);
    let ticks = ticks.map(|tick| &tick.label);
    let plain = |label: &Label, colour| Word {
        label: label.clone(),
        colour,
    };
    let mut words: Vec<Word> = [&view.time_unit, &view.torque_unit]
        .into_iter()
        .chain(ticks)
        .map(|label| plain(label, QUIET))
        .collect();
    words.push(plain(&view.needed, NEEDED));
    for curve in &view.curves {
        let colour = colour(curve.kind);
        if let Some(label) = &curve.label {
            let text = named(curve);
            let label = Label {
                text,
                ..label.clone()
            };
            words.push(Word { label, colour });
        }
        let crossing = curve.crossing.as_ref();
        let time = crossing.and_then(|crossing| crossing.label.as_ref());
        words.extend(time.map(|label| plain(label, colour)));
    }
    let band = view.band.as_ref().and_then(|band| band.label.as_ref());
    words.extend(band.map(|label| plain(label, colour(Kind::Full))));
    words.retain(|word| !word.label.text.is_empty());
    words
}

/// The words of the chart for which there is no room in it, as paragraphs below it.
pub fn key(view: &View, text_px: f64) -> Vec<Paragraph> {
    let paragraph = |text, colour| Paragraph {
        text,
        size_px: text_px,
        bold: false,
        colour,
    };
    let unnamed = view.curves.iter().filter(|curve| curve.label.is_none());
    let mut key: Vec<Paragraph> = unnamed
        .map(|curve| paragraph(named(curve), colour(curve.kind)))
        .collect();
    let band = view.band.iter().filter(|band| band.label.is_none());
    key.extend(band.map(|band| paragraph(band.text.clone(), colour(Kind::Full))));
    let without = view.without_runs.iter();
    key.extend(without.map(|pair| paragraph(pair.text.clone(), QUIET)));
    key
}

/// The name of a curve behind its mark as a letter: hollow if it is an estimate.
pub(super) fn named(curve: &DrawnCurve) -> String {
    let (full, hollow) = match curve.kind {
        Kind::Full => ('●', '○'),
        Kind::Dashed => ('■', '□'),
        Kind::Dotted => ('▲', '△'),
        Kind::Dashdot => ('◆', '◇'),
        Kind::Dashdots => ('▼', '▽'),
    };
    let mark = if curve.estimate { hollow } else { full };
    format!("{mark} {}", curve.pair.name)
}

/// The colour of the curve that is drawn like this.
fn colour(kind: Kind) -> Colour {
    let [first, second, third, fourth, fifth] = CURVES;
    match kind {
        Kind::Full => first,
        Kind::Dashed => second,
        Kind::Dotted => third,
        Kind::Dashdot => fourth,
        Kind::Dashdots => fifth,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(text: &str, width_px: f64) -> Vec<String> {
        let paragraph = Paragraph {
            text: text.into(),
            size_px: 10.0,
            bold: false,
            colour: QUIET,
        };
        wrapped(&paragraph, width_px)
    }

    #[test]
    fn lines_break_at_spaces_and_never_between_a_number_and_its_unit() {
        assert_eq!(lines("eeee eeee eeee", 60.0), ["eeee eeee", "eeee"]);
        assert_eq!(lines("eeee 650 N·m", 60.0), ["eeee", "650 N·m"]);
        assert_eq!(lines("  eeee \n ee  ", 60.0), ["eeee ee"]);
    }

    #[test]
    fn a_word_wider_than_a_line_is_broken_and_nothing_of_it_is_lost() {
        let broken = lines(&"e".repeat(20), 60.0);
        assert_eq!(broken.concat(), "e".repeat(20));
        assert!(broken.iter().all(|line| line.len() <= 9), "{broken:?}");
        assert_eq!(lines("", 60.0), [""]);
    }

    #[test]
    fn a_paragraph_of_too_many_lines_says_that_it_goes_on() {
        let paragraph = Paragraph {
            text: "eeee ".repeat(9),
            size_px: 10.0,
            bold: false,
            colour: QUIET,
        };
        let block = Block::new(&[paragraph], 60.0, 2);
        let lines: Vec<&str> = block
            .lines
            .iter()
            .map(|line| line.paragraph.text.as_str())
            .collect();
        assert_eq!(lines, ["eeee eeee", "eeee eee…"]);
    }
}
