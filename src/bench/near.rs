//! Names that are nearly other names.

/// The name of `known` that `name` is nearly: one slip of the keyboard away, two where the name is
/// long. Capitals and spaces, which nobody means as another name, do not count.
pub fn nearly<'a>(name: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    const LONG: usize = 7;
    let plain = |name: &str| {
        let name = name.to_lowercase();
        name.replace([' ', '-'], "_")
    };
    let name = plain(name);
    let most = if name.chars().count() < LONG { 1 } else { 2 };
    let near = known.map(|other| (distance(&name, &plain(other)), other));
    let near = near.filter(|(distance, _)| *distance <= most);
    near.min_by_key(|(distance, _)| *distance)
        .map(|(_, other)| other)
}

/// Insertions, deletions, replacements and swaps of neighbours from one text to the other (the
/// restricted Damerau–Levenshtein distance).
fn distance(from: &str, to: &str) -> usize {
    let (from, to): (Vec<char>, Vec<char>) = (from.chars().collect(), to.chars().collect());
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=to.len()).collect();
    for (i, a) in from.iter().enumerate() {
        let mut row = vec![i + 1];
        for (j, b) in to.iter().enumerate() {
            let of = |row: &[usize], k: usize| row.get(k).copied().unwrap_or(usize::MAX - 1);
            let replaced = of(&last, j) + usize::from(a != b);
            let mut least = replaced.min(of(&last, j + 1) + 1).min(of(&row, j) + 1);
            let swapped = i > 0 && j > 0 && from.get(i - 1) == Some(b) && to.get(j - 1) == Some(a);
            if swapped {
                least = least.min(of(&before, j - 1) + 1);
            }
            row.push(least);
        }
        before = std::mem::replace(&mut last, row);
    }
    last.last().copied().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_are_counted() {
        assert_eq!(distance("excluded", "exclued"), 1);
        assert_eq!(distance("pakc", "pack"), 1);
        assert_eq!(distance("", "day"), 3);
        assert_eq!(distance("kitten", "sitting"), 3);
    }

    #[test]
    fn a_name_with_a_slip_is_nearly_the_known_one() {
        let known = ["excluded", "day", "mass_kg", "made", "name"];
        let near = |name| nearly(name, known.into_iter());
        assert_eq!(near("exclued"), Some("excluded"));
        assert_eq!(near("Mass kg"), Some("mass_kg"));
        assert_eq!(near("mass_g"), Some("mass_kg"));
        assert_eq!(near("days"), Some("day"));
        assert_eq!(near("note"), None);
        assert_eq!(near("colour"), None);
    }
}
