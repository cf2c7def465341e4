//! Texts in messages.

/// A text in which every sign can be seen: control signs, unusual and invisible spaces, quotation
/// marks and backslashes are written as in Rust's source.
pub fn visible(text: &str) -> String {
    let mut visible = String::new();
    for sign in text.chars() {
        let is_hidden = sign.is_control()
            || sign.is_whitespace() && sign != ' '
            || matches!(
                sign,
                '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{180b}'..='\u{180e}'
            )
            || matches!(sign, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}')
            || matches!(sign, '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}')
            || matches!(sign, '\u{e0000}'..='\u{e0fff}');
        if is_hidden || matches!(sign, '"' | '\\') {
            visible.extend(sign.escape_default());
        } else {
            visible.push(sign);
        }
    }
    visible
}

#[cfg(test)]
mod tests {
    use super::visible;

    #[test]
    fn every_sign_of_a_quoted_text_can_be_seen() {
        assert_eq!(visible("Größe ½ «x» it's 零"), "Größe ½ «x» it's 零");
        assert_eq!(visible("a\n\t\"\\"), "a\\n\\t\\\"\\\\");
        assert_eq!(
            visible("\0\u{a0}\u{200b}\u{feff}\u{61c}\u{fe0f}\u{e0041}"),
            "\\u{0}\\u{a0}\\u{200b}\\u{feff}\\u{61c}\\u{fe0f}\\u{e0041}"
        );
    }
}
