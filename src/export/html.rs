//! HTML in the form in which browsers write it: a page that says of itself what it is made of says
//! the bytes of its file.
//!
//! Source: the HTML standard, "Serializing HTML fragments", for what is escaped in text and in
//! attributes. `<` and `>` are escaped in attributes too, as the newer browsers do; older ones do
//! not, so that attributes of a page that says its own bytes hold neither.

/// A text as HTML. Signs that no document can hold become spaces.
pub fn escaped(text: &str) -> String {
    let mut html = String::with_capacity(text.len());
    for sign in text.chars() {
        match sign {
            '&' => html.push_str("&amp;"),
            '<' => html.push_str("&lt;"),
            '>' => html.push_str("&gt;"),
            '\u{a0}' => html.push_str("&nbsp;"),
            '\n' | '\t' => html.push(sign),
            sign if sign.is_control() => html.push(' '),
            sign => html.push(sign),
        }
    }
    html
}

/// A text as the value of an attribute, between quotes. Read back, it is the same text, but for the
/// signs that no document can hold.
pub fn attribute(text: &str) -> String {
    escaped(text).replace('"', "&quot;")
}

/// Words as the value of an attribute of a page that says its own bytes, between quotes. What
/// browsers write in different ways is left out, so this is not for identifiers.
pub fn attribute_in_page(words: &str) -> String {
    attribute(&words.replace(['<', '>'], ""))
}

/// An element with text alone, on a line of its own; nothing where there is no text.
pub(super) fn line(html: &mut String, name: &str, attributes: &str, text: &str) {
    if text.is_empty() {
        return;
    }
    element(html, name, attributes, text);
    html.push('\n');
}

/// An element with text alone. `attributes` are HTML and begin with a space, if there are any.
pub(super) fn element(html: &mut String, name: &str, attributes: &str, text: &str) {
    for part in ["<", name, attributes, ">", &escaped(text), "</", name, ">"] {
        html.push_str(part);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_never_markup() {
        assert_eq!(
            escaped("<b title=\"x\"> & 5\u{a0}N·m's / \0\r|\n"),
            "&lt;b title=\"x\"&gt; &amp; 5&nbsp;N·m's /   |\n"
        );
        assert_eq!(
            attribute("a \"<b>\" & c"),
            "a &quot;&lt;b&gt;&quot; &amp; c"
        );
        assert_eq!(
            attribute_in_page("a \"<b>\" & c"),
            "a &quot;b&quot; &amp; c"
        );
    }

    #[test]
    fn a_line_stands_only_where_there_is_text() {
        let mut html = String::new();
        line(&mut html, "p", " class=\"headline\"", "1 < 2");
        line(&mut html, "p", "", "");
        assert_eq!(html, "<p class=\"headline\">1 &lt; 2</p>\n");
    }
}
