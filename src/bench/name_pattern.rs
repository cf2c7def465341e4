//! What the name of a log says, by a pattern such as `{day}_{tool}_{pack}_{specimen}_{n}.csv`.

/// A pattern.
#[derive(Debug, PartialEq, Eq)]
pub struct NamePattern {
    /// What stands before each blank, and the blank's name.
    blanks: Vec<(String, String)>,
    /// What stands behind the last blank.
    end: String,
    /// Whether it is for the whole path below `logs/` and not for the last part alone.
    whole_path: bool,
}

/// What stands in the blanks, by their names.
pub type Filled = Vec<(String, String)>;

impl NamePattern {
    /// Reads a pattern; `None` if braces do not pair or a blank has no name.
    pub fn parse(pattern: &str) -> Option<Self> {
        let (mut blanks, mut rest) = (Vec::new(), pattern);
        while let Some((before, after)) = rest.split_once('{') {
            let (name, behind) = after.split_once('}')?;
            if name.is_empty() || name.contains('{') || before.contains('}') {
                return None;
            }
            blanks.push((before.to_owned(), name.to_owned()));
            rest = behind;
        }
        (!rest.contains('}')).then(|| Self {
            blanks,
            end: rest.to_owned(),
            whole_path: pattern.contains('/'),
        })
    }

    /// The names of its blanks.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.blanks.iter().map(|(_, name)| name.as_str())
    }

    /// Every way to read a path below `logs/`, up to a hundred.
    pub fn readings(&self, path: &str) -> Vec<Filled> {
        let name = if self.whole_path {
            path
        } else {
            path.rsplit('/').next().unwrap_or_default()
        };
        let mut search = Search {
            pattern: self,
            name,
            fits: self.fits(name),
            filled: Vec::new(),
            found: Vec::new(),
        };
        search.fill(0, 0);
        search.found
    }

    /// For each number of blanks filled, at which bytes of a name the rest of the pattern fits. Filled
    /// from the end, so that the time is that of the blanks times the bytes.
    fn fits(&self, name: &str) -> Vec<Vec<bool>> {
        let ends_here = |at: usize| name.get(at..) == Some(&self.end);
        let mut fits: Vec<Vec<bool>> = vec![(0..=name.len()).map(ends_here).collect()];
        for (before, _) in self.blanks.iter().rev() {
            let later = fits.last().map(Vec::as_slice).unwrap_or_default();
            // Whether a blank that begins at a byte can end at a later one without a `/` between.
            let mut can_begin = vec![false; name.len() + 1];
            let mut ends = false;
            for ((at, byte), later) in name.bytes().enumerate().zip(later.iter().skip(1)).rev() {
                ends = byte != b'/' && (ends || *later);
                if let Some(here) = can_begin.get_mut(at) {
                    *here = ends && name.is_char_boundary(at);
                }
            }
            let fits_at = |at: usize| {
                let begins = name
                    .get(at..)
                    .is_some_and(|rest| rest.starts_with(before.as_str()));
                begins && can_begin.get(at + before.len()) == Some(&true)
            };
            let here = (0..=name.len()).map(fits_at).collect();
            fits.push(here);
        }
        fits.reverse();
        fits
    }
}

/// The most readings of a name.
const MOST: usize = 100;

/// A search for all readings of a name.
struct Search<'a> {
    pattern: &'a NamePattern,
    name: &'a str,
    /// As [`NamePattern::fits`].
    fits: Vec<Vec<bool>>,
    filled: Filled,
    found: Vec<Filled>,
}

impl Search<'_> {
    fn fits(&self, blank: usize, at: usize) -> bool {
        self.fits.get(blank).and_then(|fits| fits.get(at)) == Some(&true)
    }

    /// Fills the blanks from one on, from a byte of the name on, in every way.
    fn fill(&mut self, blank: usize, at: usize) {
        if !self.fits(blank, at) || self.found.len() >= MOST {
            return;
        }
        let Some((before, name)) = self.pattern.blanks.get(blank) else {
            self.found.push(self.filled.clone());
            return;
        };
        let from = at + before.len();
        let rest = self.name.get(from..).unwrap_or_default();
        // A blank holds no `/`.
        let chars = rest.char_indices().take_while(|(_, one)| *one != '/');
        for to in chars.map(|(at, one)| from + at + one.len_utf8()) {
            if !self.fits(blank + 1, to) {
                continue;
            }
            let text = self.name.get(from..to).unwrap_or_default();
            self.filled.push((name.clone(), text.to_owned()));
            self.fill(blank + 1, to);
            self.filled.pop();
            if self.found.len() >= MOST {
                return;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn readings(pattern: &str, path: &str) -> Vec<String> {
        let readings = NamePattern::parse(pattern).unwrap().readings(path);
        let told = |filled: &Filled| {
            filled
                .iter()
                .map(|(name, text)| format!("{name}={text}"))
                .collect::<Vec<_>>()
                .join(" ")
        };
        readings.iter().map(told).collect()
    }

    #[test]
    fn blanks_are_filled_from_the_name() {
        assert_eq!(
            readings("{day}_{tool}_{n}.csv", "may/2026-05-04_rook-18_3.csv"),
            ["day=2026-05-04 tool=rook-18 n=3"]
        );
        assert_eq!(
            readings("{day}/{tool}.csv", "2026-05-04/rook.csv"),
            ["day=2026-05-04 tool=rook"]
        );
        assert_eq!(readings("run{n}", "run7"), ["n=7"]);
        assert!(readings("{tool}.csv", "rook.txt").is_empty());
        assert!(readings("{a}_{b}.csv", "_x.csv").is_empty());
    }

    #[test]
    fn a_name_that_can_be_read_in_several_ways_gives_them_all() {
        assert_eq!(
            readings("{tool}_{pack}", "a_b_c"),
            ["tool=a pack=b_c", "tool=a_b pack=c"]
        );
    }

    #[test]
    fn many_blanks_side_by_side_end_soon() {
        let pattern = &"{a}".repeat(40);
        let name = "x".repeat(4_000);
        assert!(readings(&format!("{pattern}.csv"), &name).is_empty());
        assert_eq!(readings(pattern, &name).len(), MOST);
        assert!(readings(&format!("{pattern}.csv"), &format!("{name}/.csv")).is_empty());
        assert_eq!(readings("{a}é{b}", "xéyéz"), ["a=x b=yéz", "a=xéy b=z"]);
    }

    #[test]
    fn patterns_with_faults_are_refused() {
        for faulty in ["{", "}", "{}", "{a{b}}", "a}b{c}"] {
            assert_eq!(NamePattern::parse(faulty), None, "{faulty}");
        }
    }
}
