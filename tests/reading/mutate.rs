//! Random changes of bytes.

use rand_pcg::{Pcg32, rand_core::Rng};

/// A number from 0 to below `end`.
pub fn below(rng: &mut Pcg32, end: usize) -> usize {
    rng.next_u32() as usize % end
}

pub fn one<'a, T: ?Sized>(rng: &mut Pcg32, of: &[&'a T]) -> &'a T {
    of[below(rng, of.len())]
}

/// The longest input, in bytes.
const LONGEST: usize = 60_000;

/// What delimited text stumbles over.
pub const TABLE_WORDS: &[&str] = &[
    ",",
    ";",
    "\t",
    "|",
    "\"",
    "\"\"",
    "\n",
    "\r",
    "\r\n",
    "\n\n",
    " ",
    "",
    "\0",
    "\u{feff}",
    "\u{a0}",
    "\u{2028}",
    "\u{85}",
    "−",
    "·",
    "²",
    "٣",
    "½",
    "İ",
    "ß",
    "0",
    "-0",
    "-1",
    "1e999",
    "1e308",
    "-1e-320",
    "NaN",
    "inf",
    "1,234",
    "1.234",
    "1'234",
    "1,234.5",
    "0x10",
    "9223372036854775808",
    "1e9",
    "999999999",
    "e",
    "+",
    "-",
    ".",
    "00:00:00",
    "24:00:00",
    "2026-02-30",
    "[s]",
    "[ms]",
    "(kN)",
    "[Nm]",
    "_Nm",
    "/s",
    "lbf ft",
    "[",
    "]",
    "[deg]",
    "°",
    "Max",
    "sep=;",
    "#",
    "=1+1",
    "true",
    "null",
    "{\"a\": 1}",
    "[[1]]",
];

/// What TOML stumbles over.
pub const TOML_WORDS: &[&str] = &[
    "\n",
    "=",
    "\"",
    "'",
    "'''",
    "\"\"\"",
    "{",
    "}",
    "[",
    "]",
    "[[loggers]]\n",
    "[[rigs]]\n",
    ",",
    "#",
    ".",
    "\\u0000",
    "\\",
    "\0",
    "\u{feff}",
    "\r",
    "true",
    "1e400",
    "nan",
    "-inf",
    "0x7fffffffffffffff",
    "9223372036854775808",
    "-1",
    "0",
    "1e-320",
    "2026-13-01",
    "2026-05-04T10:00:00Z",
    "10:00",
    "[[1]]",
    "id = \"x\"\n",
    "time = 1\n",
    "torque = { column = 0, unit = \"furlong\" }\n",
    "split = \"no\"\n",
    "units_row = true\n",
    "skip_lines = 4294967296\n",
    "rate_hz = 1e-300\n",
    "decimal = \",\"\n",
    "delimiter = \"\\u00e9\"\n",
    "encoding = \"utf-7\"\n",
    "files = \"[\"\n",
    "thousands = \".\"\n",
    "end_before = \"\"\n",
    "header_starts_with = \"\"\n",
    "time = { column = 1, format = \"%\" }\n",
    "time = { column = 1, format = \"%s%.f\" }\n",
    "name_pattern = \"{a}{b}\"\n",
    "a.b.c = 1\n",
];

/// Changes some bytes in one to four ways, in one way more often than not.
pub fn bytes(rng: &mut Pcg32, bytes: &mut Vec<u8>, words: &[&str]) {
    for _ in 0..=below(rng, 8).saturating_sub(4) {
        change(rng, bytes, words);
        bytes.truncate(LONGEST);
    }
}

fn change(rng: &mut Pcg32, bytes: &mut Vec<u8>, words: &[&str]) {
    let at = below(rng, bytes.len() + 1);
    let to = bytes.len().min(at + 1 + below(rng, 30));
    match below(rng, 10) {
        0 => bytes.truncate(at),
        1 => drop(bytes.drain(at..to)),
        2 => {
            let copied = bytes[at..to].to_vec();
            let into = below(rng, bytes.len() + 1);
            bytes.splice(into..into, copied);
        }
        3 if at < bytes.len() => bytes[at] ^= 1 << below(rng, 8),
        4 => bytes.insert(at, rng.next_u32() as u8),
        5 => lines(rng, bytes),
        6 => {
            // The same word many times: deep nesting, many columns.
            let word = one(rng, words).repeat(1 << below(rng, 12));
            bytes.splice(at..at, word.bytes());
        }
        7 => {
            let word = one(rng, words);
            bytes.splice(at..to, word.bytes());
        }
        _ => {
            let word = one(rng, words);
            bytes.splice(at..at, word.bytes());
        }
    }
}

/// Leaves a line out, says one twice or puts two into each other's place.
fn lines(rng: &mut Pcg32, bytes: &mut Vec<u8>) {
    let mut lines: Vec<Vec<u8>> = bytes
        .split_inclusive(|byte| *byte == b'\n')
        .map(<[u8]>::to_vec)
        .collect();
    if lines.is_empty() {
        return;
    }
    let (a, b) = (below(rng, lines.len()), below(rng, lines.len()));
    match below(rng, 3) {
        0 => drop(lines.remove(a)),
        1 => lines.insert(b, lines[a].clone()),
        _ => lines.swap(a, b),
    }
    *bytes = lines.concat();
}
