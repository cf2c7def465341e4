//! A text of people to its numbers, words and signs.

/// A part of a text.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in super::super) enum Piece<'a> {
    /// A number in thousandths, and as written.
    Number(u32, &'a str),
    Word(&'a str),
    Sign(char),
}

/// Numbers, words and signs of a text. A decimal comma counts as a point.
pub(in super::super) fn pieces(text: &str) -> Vec<Piece<'_>> {
    let mut found = Vec::new();
    let mut rest = text.trim_start();
    while let Some(first) = rest.chars().next() {
        let end_of = |kind: fn(char) -> bool| rest.find(|c| !kind(c)).unwrap_or(rest.len());
        let (piece, behind) = if first.is_ascii_digit() {
            let whole = end_of(|c| c.is_ascii_digit());
            let behind = rest.get(whole..).unwrap_or_default();
            let decimals = behind.strip_prefix(['.', ',']).map_or(0, |decimals| {
                let digits = decimals.find(|c: char| !c.is_ascii_digit());
                match digits.unwrap_or(decimals.len()) {
                    0 => 0,
                    digits => digits + 1,
                }
            });
            let (written, behind) = rest
                .split_at_checked(whole + decimals)
                .unwrap_or((rest, ""));
            (number(written), behind)
        } else if is_letter(first) {
            let (word, behind) = rest
                .split_at_checked(end_of(is_letter))
                .unwrap_or((rest, ""));
            (Piece::Word(word), behind)
        } else {
            let mut signs = rest.chars();
            signs.next();
            (Piece::Sign(first), signs.as_str())
        };
        found.push(piece);
        rest = behind.trim_start();
    }
    found
}

/// Whether a sign belongs to a word.
fn is_letter(c: char) -> bool {
    !(c.is_whitespace()
        || c.is_ascii_digit()
        || c.is_ascii_punctuation()
        || matches!(c, '×' | '″' | '”' | '–' | '‐' | '‑'))
}

/// A number in thousandths; one with more digits than any here is a word that says nothing.
fn number(written: &str) -> Piece<'_> {
    let (whole, decimals) = written.split_once(['.', ',']).unwrap_or((written, ""));
    if whole.len() > 5 || decimals.len() > 3 {
        return Piece::Word(written);
    }
    let read = |before: u32, digit: u8| before * 10 + u32::from(digit.saturating_sub(b'0'));
    let padded = decimals.bytes().chain(*b"000").take(3);
    Piece::Number(whole.bytes().chain(padded).fold(0, read), written)
}
