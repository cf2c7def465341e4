//! Texts of others in messages and on a terminal.

/// A text in which every sign can be seen: control signs, unusual and invisible spaces, signs that
/// change the direction of writing, combining marks beyond two on one letter, quotation marks and
/// backslashes are written as in Rust's source.
pub fn visible(text: &str) -> String {
    let mut visible = Escaped::default();
    for sign in text.chars() {
        visible.push(sign);
    }
    visible.text
}

/// How many characters of a text from outside are repeated to people.
const ECHOED: usize = 40;

/// A text that someone wrote, or put into a link, as it is repeated to people: as [`visible`], and at
/// most 40 characters of it, with an ellipsis where it is shortened.
pub fn echoed(text: &str) -> String {
    let mut echoed = Escaped::default();
    for sign in text.chars() {
        let end = echoed.text.len();
        echoed.push(sign);
        if echoed.length > ECHOED {
            echoed.text.truncate(end);
            echoed.text.push('…');
            break;
        }
    }
    echoed.text
}

/// A text that is being made visible.
#[derive(Default)]
struct Escaped {
    text: String,
    /// In characters.
    length: usize,
    /// How many combining marks stand at its end.
    marks: usize,
    /// Whether a mark would have a letter to stand on.
    has_base: bool,
}

/// How many combining marks a letter may carry: two are in use (Vietnamese), more hide what is around.
const MOST_MARKS: usize = 2;

impl Escaped {
    fn push(&mut self, sign: char) {
        let is_mark = is_combining(sign);
        self.marks = if is_mark { self.marks + 1 } else { 0 };
        let hides = is_mark && (self.marks > MOST_MARKS || !self.has_base);
        if hides || is_hidden(sign) || matches!(sign, '"' | '\\') {
            for sign in sign.escape_default() {
                self.text.push(sign);
                self.length += 1;
            }
        } else {
            self.text.push(sign);
            self.length += 1;
        }
        self.has_base = true;
    }
}

/// Control signs, unusual spaces, and signs without a shape of their own.
fn is_hidden(sign: char) -> bool {
    sign.is_control()
        || sign.is_whitespace() && sign != ' '
        || matches!(
            sign,
            '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}' | '\u{1160}' | '\u{3164}' | '\u{ffa0}'
        )
        || matches!(sign, '\u{180b}'..='\u{180f}' | '\u{2800}' | '\u{fff9}'..='\u{fffc}')
        || matches!(sign, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}')
        || matches!(sign, '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{e000}'..='\u{f8ff}')
        || sign >= '\u{e0000}'
}

/// Marks that stand on or below the letter before them. Source: Unicode, general category Mn, of the
/// scripts whose marks can be heaped up.
fn is_combining(sign: char) -> bool {
    matches!(sign, '\u{300}'..='\u{36f}' | '\u{483}'..='\u{489}' | '\u{591}'..='\u{5bd}')
        || matches!(sign, '\u{610}'..='\u{61a}' | '\u{64b}'..='\u{65f}' | '\u{e31}')
        || matches!(sign, '\u{e34}'..='\u{e3a}' | '\u{e47}'..='\u{e4e}')
        || matches!(sign, '\u{1ab0}'..='\u{1aff}' | '\u{1dc0}'..='\u{1dff}')
        || matches!(sign, '\u{20d0}'..='\u{20ff}' | '\u{fe20}'..='\u{fe2f}')
}

/// A text for a terminal: control signs, signs that change the direction of writing and signs that
/// take no room are written as in Rust's source, all else stands as it is. Line ends are control
/// signs too.
pub fn shown(text: &str) -> String {
    let mut shown = String::new();
    for sign in text.chars() {
        if steers(sign) {
            shown.extend(sign.escape_default());
        } else {
            shown.push(sign);
        }
    }
    shown
}

/// Whether a sign acts on what shows it: control signs (C0, DEL, C1), line and paragraph separators,
/// directional formatting (Unicode Bidi_Control), zero-width space, word joiner and invisible
/// operators, byte-order mark, annotations, tags. Joiners and variation selectors are left alone:
/// writing of several languages needs them.
pub fn steers(sign: char) -> bool {
    sign.is_control()
        || matches!(
            sign,
            '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}' | '\u{feff}'
        )
        || matches!(sign, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}')
        || matches!(sign, '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}')
}

/// Whether a sign orders the text around it anew, beyond the name it stands in: embeddings, overrides
/// and isolates of the Unicode Bidirectional Algorithm. Scripts from right to left need none of them;
/// their marks (U+200E, U+200F, U+061C) reach no further than their neighbours.
pub fn reorders(sign: char) -> bool {
    matches!(sign, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

#[cfg(test)]
mod tests {
    use super::{ECHOED, echoed, shown, visible};

    #[test]
    fn on_a_terminal_signs_that_act_are_escaped_and_all_else_stands() {
        let kept = "Größe \"½\" a\\b 20\u{202f}000\u{a0}N·m 👩\u{200d}🔧 ✔\u{fe0f}";
        assert_eq!(shown(kept), kept);
        for (sign, written) in [
            ('\u{1b}', "\\u{1b}"),
            ('\u{9b}', "\\u{9b}"),
            ('\u{7f}', "\\u{7f}"),
            ('\n', "\\n"),
            ('\r', "\\r"),
            ('\t', "\\t"),
            ('\u{202e}', "\\u{202e}"),
            ('\u{2066}', "\\u{2066}"),
            ('\u{200f}', "\\u{200f}"),
            ('\u{2028}', "\\u{2028}"),
            ('\u{e0041}', "\\u{e0041}"),
        ] {
            assert_eq!(shown(&format!("a{sign}b")), format!("a{written}b"));
        }
    }

    #[test]
    fn every_sign_of_a_quoted_text_can_be_seen() {
        assert_eq!(visible("Größe ½ «x» it's 零"), "Größe ½ «x» it's 零");
        assert_eq!(visible("a\n\t\"\\"), "a\\n\\t\\\"\\\\");
        assert_eq!(
            visible("\0\u{a0}\u{200b}\u{feff}\u{61c}\u{fe0f}\u{e0041}"),
            "\\u{0}\\u{a0}\\u{200b}\\u{feff}\\u{61c}\\u{fe0f}\\u{e0041}"
        );
    }
    #[test]
    fn heaped_marks_and_signs_without_a_shape_are_written_out() {
        assert_eq!(visible("Vie\u{323}\u{302}t"), "Vie\u{323}\u{302}t");
        assert_eq!(
            visible("a\u{301}\u{302}\u{303}\u{304}b\u{301}"),
            "a\u{301}\u{302}\\u{303}\\u{304}b\u{301}"
        );
        assert_eq!(visible("\u{301}a"), "\\u{301}a");
        assert_eq!(
            visible("\u{e000}\u{10fffd}\u{3164}"),
            "\\u{e000}\\u{10fffd}\\u{3164}"
        );
    }

    #[test]
    fn what_is_echoed_has_at_most_forty_characters_all_of_them_seen() {
        assert_eq!(echoed("Sorrel 18"), "Sorrel 18");
        let forty = "x".repeat(ECHOED);
        assert_eq!(echoed(&forty), forty);
        assert_eq!(echoed(&format!("{forty}y")), format!("{forty}…"));
        assert_eq!(
            echoed(&"ö".repeat(5000)),
            format!("{}…", "ö".repeat(ECHOED))
        );
        assert_eq!(
            echoed("<img src=x onerror=alert(1)>"),
            "<img src=x onerror=alert(1)>"
        );
        // What is written out counts as it is shown, and is never cut in two.
        assert_eq!(
            echoed(&"\u{202e}".repeat(9)),
            format!("{}…", "\\u{202e}".repeat(5))
        );
        assert_eq!(
            echoed(&format!("x{}", "\u{202e}".repeat(9))),
            format!("x{}…", "\\u{202e}".repeat(4))
        );
        assert_eq!(echoed("👩\u{200d}🔧\u{fe0f}"), "👩\\u{200d}🔧\\u{fe0f}");
    }
}
