//! Script and style without comments and blank lines: they are for those who carry on the work, not
//! for the wire. What is not understood is refused, never guessed.

use super::SiteError;

/// `text` without blank lines and without comments that have their lines for themselves. Comments
/// behind code stay.
///
/// # Errors
///
/// If code follows a comment in its line, a comment does not end, or a template literal goes over
/// several lines, in which a line may look like a comment and be none.
pub fn without(text: &str) -> Result<String, SiteError> {
    let mut kept = String::with_capacity(text.len());
    let mut open = false;
    for (number, line) in text.lines().enumerate() {
        let refused = |why| Err(SiteError(format!("line {}: {why}: {line}", number + 1)));
        let trimmed = line.trim();
        open |= trimmed.starts_with("/*");
        if open {
            match trimmed.split_once("*/") {
                Some((_, "")) => open = false,
                Some(_) => return refused("code after a comment"),
                None => {}
            }
            continue;
        }
        if trimmed.is_empty() || trimmed.starts_with("//") {
            continue;
        }
        if line.matches('`').count() % 2 == 1 {
            return refused("a template literal over several lines");
        }
        kept.push_str(line);
        kept.push('\n');
    }
    if open {
        return Err(SiteError("a comment without an end".into()));
    }
    Ok(kept)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_and_blank_lines_go_and_code_stays() {
        let text = "/**\n * What it does.\n * @type {string}\n */\nconst a = `/* ${b} */`; // why\n\n  // note\n  /* one line */\nb();\n";
        assert_eq!(
            without(text).unwrap(),
            "const a = `/* ${b} */`; // why\nb();\n"
        );
    }

    #[test]
    fn what_is_not_understood_is_refused() {
        for (text, why) in [
            ("/* a */ b();", "code after a comment"),
            ("/** a\n", "without an end"),
            ("const a = `\n// text\n`;", "several lines"),
        ] {
            assert!(without(text).unwrap_err().0.contains(why), "{text}");
        }
    }
}
