//! Bytes as text that a page holds and every host compresses: the module and the packed results.
//!
//! Each byte is one character. The text begins with the hash of the bytes in hexadecimal
//! (32-bit FNV-1a), then come the characters of the 256 bytes in their order, then the bytes.
//! `www/engine.js` reads it.
//!
//! The characters are such that no parser or serialiser of HTML, no Unicode normalisation to
//! composed form and no editor changes them, and that the page stays valid: no controls, no ends
//! of lines, no `<`. The most frequent bytes have those that are one byte in UTF-8.

use crate::dataset::packed::checksum;
use std::cmp::Reverse;
use std::collections::BTreeSet;

/// How many characters are one byte in UTF-8: printable ASCII without `<`.
const SHORT: usize = 94;
/// What the others begin at, two bytes each in UTF-8: letters that are all assigned.
const FIRST_LONG: char = '\u{100}';
const LAST_LONG: char = '\u{1ff}';

/// Bytes as text.
pub fn byte_text(bytes: &[u8]) -> String {
    let letters = letters(bytes);
    let mut text = format!("{:08x}", checksum(bytes));
    text.extend(&letters);
    text.extend(
        bytes
            .iter()
            .filter_map(|byte| letters.get(usize::from(*byte))),
    );
    text
}

/// The character of each byte. Of the most frequent bytes, those that are printable stand for
/// themselves, so that texts in them are like those of the page.
fn letters(bytes: &[u8]) -> Vec<char> {
    let frequent = most_frequent(bytes);
    let is_short = |sign: &char| *sign != '<' && (*sign == ' ' || sign.is_ascii_graphic());
    let mut free = ('\0'..='\u{7f}').filter(|sign| {
        is_short(sign) && !u8::try_from(*sign).is_ok_and(|byte| frequent.contains(&byte))
    });
    let mut long = FIRST_LONG..=LAST_LONG;
    (0..=u8::MAX)
        .filter_map(|byte| match char::from(byte) {
            _ if !frequent.contains(&byte) => long.next(),
            sign if is_short(&sign) => Some(sign),
            _ => free.next(),
        })
        .collect()
}

/// As many bytes as there are short characters, the most frequent.
fn most_frequent(bytes: &[u8]) -> BTreeSet<u8> {
    let mut counts: Vec<(usize, u8)> = (0..=u8::MAX).map(|byte| (0, byte)).collect();
    for byte in bytes {
        if let Some((count, _)) = counts.get_mut(usize::from(*byte)) {
            *count += 1;
        }
    }
    counts.sort_by_key(|(count, _)| Reverse(*count));
    counts.iter().take(SHORT).map(|(_, byte)| *byte).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Bytes of every value, some of them frequent: zeros, high bytes, the letters of a text.
    fn module() -> Vec<u8> {
        let mut bytes: Vec<u8> = (0..=u8::MAX).rev().collect();
        bytes.extend(b"<script>\r\n</script> & <!-- torque --> torque".repeat(3));
        bytes.extend([0, 0xff, 0x80, b'\r'].repeat(50));
        bytes
    }

    fn read(text: &str) -> (u32, Vec<char>, Vec<u8>) {
        let (hash, rest) = text.split_at(8);
        let letters: Vec<char> = rest.chars().take(256).collect();
        let byte_of = |sign| letters.iter().position(|letter| *letter == sign).unwrap();
        let bytes = rest
            .chars()
            .skip(256)
            .map(|sign| u8::try_from(byte_of(sign)).unwrap());
        let bytes = bytes.collect();
        (u32::from_str_radix(hash, 16).unwrap(), letters, bytes)
    }

    #[test]
    fn a_module_is_read_back_from_its_text() {
        for wasm in [module(), b"\0asm".to_vec(), Vec::new()] {
            let (hash, letters, bytes) = read(&byte_text(&wasm));
            assert_eq!(BTreeSet::from_iter(letters).len(), 256);
            assert_eq!(bytes, wasm);
            assert_eq!(hash, checksum(&wasm));
        }
    }

    #[test]
    fn no_character_is_one_that_html_or_an_editor_changes() {
        let text = byte_text(&module());
        for sign in text.chars() {
            let printable = (' '..='~').contains(&sign) && sign != '<';
            assert!(
                printable || ('\u{100}'..='\u{1ff}').contains(&sign),
                "{sign:?}"
            );
        }
    }

    #[test]
    fn frequent_bytes_are_one_byte_long_and_letters_stand_for_themselves() {
        let wasm = module();
        let letters = letters(&wasm);
        let long = |byte: u8| letters[usize::from(byte)].len_utf8() == 2;
        for byte in b"\0\r<-torque\xff\x80" {
            assert!(!long(*byte), "{byte}");
        }
        assert_eq!(
            (0..=u8::MAX).filter(|byte| long(*byte)).count(),
            256 - SHORT
        );
        for sign in "torquescript >&".chars() {
            assert_eq!(letters[sign as usize], sign);
        }
    }
}
