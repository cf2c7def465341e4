//! Shuffling with a seed.
//!
//! The generator is SplitMix64 (Steele, Lea and Flood 2014, "Fast splittable pseudorandom number
//! generators"), the shuffle that of Fisher and Yates with numbers drawn again where they would
//! favour some places. The same seed gives the same order on every machine.

/// SplitMix64.
#[derive(Clone, Debug)]
pub struct Generator {
    state: u64,
}

impl Generator {
    /// A generator with this seed.
    pub fn new(seed: u64) -> Self {
        Self { state: seed }
    }

    /// The next number.
    pub fn draw(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.state;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A number below `end`, each as likely as any other; 0 if `end` is 0.
    pub fn below(&mut self, end: u64) -> u64 {
        if end == 0 {
            return 0;
        }
        // Numbers from here on would make the first ones likelier.
        let whole = u64::MAX - u64::MAX % end;
        loop {
            let drawn = self.draw();
            if drawn < whole {
                return drawn % end;
            }
        }
    }

    /// Shuffles a list.
    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for last in (1..list.len()).rev() {
            let other = self.below(last as u64 + 1);
            list.swap(last, usize::try_from(other).unwrap_or(last));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Generator;

    #[test]
    fn the_generator_gives_its_published_numbers() {
        let mut generator = Generator::new(1_234_567);
        let drawn: Vec<u64> = (0..5).map(|_| generator.draw()).collect();
        assert_eq!(
            drawn,
            [
                6_457_827_717_110_365_317,
                3_203_168_211_198_807_973,
                9_817_491_932_198_370_423,
                4_593_380_528_125_082_431,
                16_408_922_859_458_223_821
            ]
        );
    }

    #[test]
    fn every_order_of_three_is_about_as_likely() {
        let mut generator = Generator::new(7);
        let mut counts = std::collections::BTreeMap::new();
        for _ in 0..6000 {
            let mut list = [0, 1, 2];
            generator.shuffle(&mut list);
            *counts.entry(list).or_insert(0) += 1;
        }
        assert_eq!(counts.len(), 6);
        // Five standard deviations of a binomial count.
        assert!(
            counts
                .values()
                .all(|&count: &i32| (count - 1000).abs() < 145),
            "{counts:?}"
        );
    }
}
