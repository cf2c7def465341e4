//! Texts as people type them: without case and accents.

/// Base letters of U+00C0 to U+017F, the accented Latin letters of European languages. A dot stands
/// for a sign that is no letter. Source: canonical decompositions of the Unicode Character Database;
/// letters without one (ø, đ, ł, ß ...) by the plain letter that people type for them.
const BASES: &[u8; 192] = b"aaaaaaaceeeeiiiidnooooo.ouuuuytsaaaaaaaceeeeiiiidnooooo.ouuuuyty\
aaaaaaccccccccddddeeeeeeeeeegggggggghhhhiiiiiiiiiiiijjkkklllllll\
lllnnnnnnnnnoooooooorrrrrrssssssssttttttuuuuuuuuuuuuwwyyyzzzzzzs";

/// A text without case and accents, for comparing. Latin, Greek and Cyrillic letters lose their case,
/// Latin ones their accents too.
#[must_use]
pub fn folded(text: &str) -> String {
    text.chars().filter_map(fold).collect()
}

fn fold(letter: char) -> Option<char> {
    let code = u32::from(letter);
    match code {
        // Accents that stand behind their letter.
        0x300..=0x36F => None,
        0xC0..=0x17F => {
            let base = BASES.get(code as usize - 0xC0).copied().map(char::from);
            base.filter(|base| *base != '.').or(Some(letter))
        }
        _ => Some(lower(letter)),
    }
}

/// A Latin, Greek or Cyrillic letter without its case, any other sign as it is.
#[must_use]
pub fn lower(letter: char) -> char {
    let code = u32::from(letter);
    let small = match code {
        0xD7 => code,
        0xC0..=0xDE | 0x391..=0x3A9 | 0x410..=0x42F => code + 0x20,
        0x400..=0x40F => code + 0x50,
        0x178 => 0xFF,
        // Pairs that begin with an odd number, then those that begin with an even one.
        0x139..=0x148 | 0x179..=0x17E => code + code % 2,
        0x100..=0x177 if code != 0x130 && code != 0x138 => code | 1,
        _ => return letter.to_ascii_lowercase(),
    };
    char::from_u32(small).unwrap_or(letter)
}

/// Whether a sign is a letter, as far as its block tells: beyond Latin, the blocks of punctuation and
/// symbols, and the digits of Arabic and of wide type, every sign counts as one.
#[must_use]
pub fn is_letter(sign: char) -> bool {
    match sign {
        '×' | '÷' | '\u{2000}'..='\u{2BFF}' | '\u{3000}'..='\u{303F}' | '\u{FEFF}' => false,
        '\u{660}'..='\u{669}' | '\u{6F0}'..='\u{6F9}' | '\u{FF01}'..='\u{FF20}' => false,
        _ => sign.is_ascii_alphabetic() || sign >= 'À',
    }
}

/// Whether every word of `wanted` stands somewhere in one of `texts`, without case and accents.
pub fn holds_words(wanted: &str, texts: &[&str]) -> bool {
    let texts: Vec<String> = texts.iter().map(|text| folded(text)).collect();
    let wanted = folded(wanted);
    wanted
        .split_whitespace()
        .all(|word| texts.iter().any(|text| text.contains(word)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn european_letters_lose_their_case_as_in_unicode() {
        let greek = ('Α'..='Ρ').chain('Σ'..='Ω');
        for letter in ('A'..='z').chain('À'..='ž').chain(greek).chain('Ѐ'..='я') {
            let unicode: Vec<char> = letter.to_lowercase().collect();
            // The capital of the dotted i is two signs in small.
            let small = if letter == 'İ' { vec!['İ'] } else { unicode };
            assert_eq!(vec![lower(letter)], small, "{letter}");
            assert_eq!(is_letter(letter), letter.is_alphabetic(), "{letter}");
        }
        for sign in "0 ½·-–—…“„€−•→☺、«»°".chars() {
            assert!(!is_letter(sign), "{sign}");
        }
    }

    #[test]
    fn case_and_accents_do_not_count() {
        for (written, plain) in [
            ("Sorrel 18", "sorrel 18"),
            ("ÀÉÎÕÜ àéîõü ÿ", "aeiou aeiou y"),
            ("Çelik Łódź Žďár Øre ß", "celik lodz zdar ore s"),
            ("e\u{301}te\u{301}", "ete"),
            ("ŠŤĚŘÍ Ő ű Ğ ı Ŝ Ŵ ŷ", "steri o u g i s w y"),
            ("ДЁШЕВО Ω", "дёшево ω"),
            ("5 × 3 ÷ 2", "5 × 3 ÷ 2"),
        ] {
            assert_eq!(folded(written), plain);
        }
    }

    /// Each base letter against the decompositions of another source: the letters by hand, in
    /// groups that share one.
    #[test]
    fn the_table_of_base_letters_is_right() {
        for (base, letters) in [
            ('a', "ÀÁÂÃÄÅàáâãäåĀāĂăĄą"),
            ('c', "ÇçĆćĈĉĊċČč"),
            ('d', "ĎďĐđ"),
            ('e', "ÈÉÊËèéêëĒēĔĕĖėĘęĚě"),
            ('g', "ĜĝĞğĠġĢģ"),
            ('h', "ĤĥĦħ"),
            ('i', "ÌÍÎÏìíîïĨĩĪīĬĭĮįİı"),
            ('j', "Ĵĵ"),
            ('k', "Ķķ"),
            ('l', "ĹĺĻļĽľĿŀŁł"),
            ('n', "ÑñŃńŅņŇň"),
            ('o', "ÒÓÔÕÖØòóôõöøŌōŎŏŐő"),
            ('r', "ŔŕŖŗŘř"),
            ('s', "ŚśŜŝŞşŠš"),
            ('t', "ŢţŤťŦŧ"),
            ('u', "ÙÚÛÜùúûüŨũŪūŬŭŮůŰűŲų"),
            ('w', "Ŵŵ"),
            ('y', "ÝýÿŶŷŸ"),
            ('z', "ŹźŻżŽž"),
        ] {
            for letter in letters.chars() {
                assert_eq!(fold(letter), Some(base), "{letter}");
            }
        }
    }

    #[test]
    fn every_word_has_to_be_found_somewhere() {
        let texts = ["Sorrel 18 medium", "the middle one", "slim 4.0"];
        assert!(holds_words("SORREL slim", &texts));
        assert!(holds_words("  middle ", &texts));
        assert!(holds_words("", &texts));
        assert!(!holds_words("sorrel twin", &texts));
    }
}
