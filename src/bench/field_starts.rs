//! Where the fields of a delimited text begin, by the same rules as the reader's of tables.

/// The fields of a text from some position on.
pub(super) struct FieldStarts<'a> {
    bytes: &'a [u8],
    delimiter: u8,
    at: usize,
}

impl<'a> FieldStarts<'a> {
    /// From a position in a text whose fields this character parts.
    pub fn of(text: &'a str, delimiter: u8, at: usize) -> Self {
        Self {
            bytes: text.as_bytes(),
            delimiter,
            at,
        }
    }

    /// Passes over a field; where its quotation mark stands if it is never closed.
    fn pass(&mut self) -> Option<usize> {
        let start = self.at;
        let byte = |at: usize| self.bytes.get(at).copied();
        if byte(start) == Some(b'"') {
            self.at += 1;
            loop {
                match (byte(self.at), byte(self.at + 1)) {
                    (None, _) => return Some(start),
                    (Some(b'"'), Some(b'"')) => self.at += 2,
                    (Some(b'"'), _) => {
                        self.at += 1;
                        break;
                    }
                    _ => self.at += 1,
                }
            }
        }
        while byte(self.at)
            .is_some_and(|byte| byte != self.delimiter && byte != b'\n' && byte != b'\r')
        {
            self.at += 1;
        }
        None
    }

    /// Where the `n`-th field of the row begins, spaces before it left out; `None` beyond its end.
    pub fn nth(mut self, n: usize) -> Option<usize> {
        for _ in 0..n {
            self.pass();
            if self.bytes.get(self.at) != Some(&self.delimiter) {
                return None;
            }
            self.at += 1;
        }
        while self.bytes.get(self.at) == Some(&b' ') {
            self.at += 1;
        }
        Some(self.at)
    }

    /// Where the quotation mark stands that the rest of the text never closes.
    pub fn open_at_the_end(mut self) -> Option<usize> {
        while self.at < self.bytes.len() {
            if let Some(open) = self.pass() {
                return Some(open);
            }
            self.at += 1;
        }
        None
    }
}
