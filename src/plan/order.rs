//! An order in which packs rest.

/// How many runs a pack rests where that can be had.
const REST: usize = 2;

/// Puts runs into an order in which no pack is used twice in a row, if there is one, and in which a
/// pack rests for two runs as far as that leaves such an order; among equals the pack with most
/// runs left, on another tool than the last where there is a choice, the first in the order given.
/// `of` gives tool and pack.
pub fn rested<T>(mut runs: Vec<T>, of: impl Fn(&T) -> (String, String)) -> Vec<T> {
    let mut ordered: Vec<T> = Vec::with_capacity(runs.len());
    while !runs.is_empty() {
        let named: Vec<(String, String)> = runs.iter().map(&of).collect();
        let before: Vec<(String, String)> = ordered.iter().rev().take(REST).map(&of).collect();
        let key = |(tool, pack): &(String, String)| {
            let rest = before.iter().position(|(_, other)| other == pack);
            let rest = rest.unwrap_or(REST);
            let left = named.iter().filter(|(_, other)| other == pack).count();
            // A pack with half of the runs left has to take every other one from here on.
            let urgent = 2 * left >= named.len();
            let other_tool = before.first().is_none_or(|(other, _)| other != tool);
            (rest > 0, urgent, rest, left, other_tool)
        };
        let keys: Vec<_> = named.iter().map(key).collect();
        let best = keys.iter().max().copied();
        let index = keys.iter().position(|key| Some(*key) == best).unwrap_or(0);
        ordered.push(runs.remove(index));
    }
    ordered
}

#[cfg(test)]
mod tests {
    use super::rested;
    use crate::plan::shuffle::Generator;

    fn ordered(packs: &[&str]) -> String {
        let packs = packs.iter().map(|pack| (*pack).to_owned()).collect();
        rested(packs, |pack: &String| (pack.clone(), pack.clone())).concat()
    }

    #[test]
    fn a_pack_rests_where_others_are_left() {
        assert_eq!(ordered(&["a", "a", "b", "b", "c", "c"]), "abcabc");
        assert_eq!(ordered(&["a", "a", "a", "b", "b", "c"]), "abacba");
        assert_eq!(ordered(&["a", "a", "a", "b"]), "abaa");
        assert_eq!(ordered(&[]), "");
    }

    #[test]
    fn no_pack_is_used_twice_in_a_row_if_there_is_such_an_order() {
        let mut generator = Generator::new(3);
        for _ in 0..500 {
            let packs = ["a", "a", "a", "b", "b", "c", "d"];
            let count = 1 + generator.below(24);
            let drawn = (0..count).filter_map(|_| {
                let at = usize::try_from(generator.below(7)).ok()?;
                packs.get(at).copied()
            });
            let drawn: Vec<&str> = drawn.collect();
            let most = packs.map(|pack| drawn.iter().filter(|other| **other == pack).count());
            let found = ordered(&drawn);
            if most.into_iter().max() <= Some(drawn.len().div_ceil(2)) {
                let signs: Vec<char> = found.chars().collect();
                assert!(signs.windows(2).all(|two| two[0] != two[1]), "{found}");
            }
        }
    }
}
