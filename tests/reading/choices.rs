//! Draws from a list of numbers.

/// A list of numbers from which a case is drawn. A list that is used up gives zeros, and zero draws
/// the simplest, so a shorter list with smaller numbers is a simpler case.
pub struct Choices<'a> {
    values: &'a [u16],
    at: usize,
}

impl<'a> Choices<'a> {
    pub fn new(values: &'a [u16]) -> Self {
        Self { values, at: 0 }
    }

    fn next(&mut self) -> u16 {
        let value = self.values.get(self.at).copied().unwrap_or_default();
        self.at += 1;
        value
    }

    /// A number from 0 to below `end`.
    pub fn below(&mut self, end: usize) -> usize {
        usize::from(self.next()) % end
    }

    /// True in one of `of` cases.
    pub fn chance(&mut self, of: usize) -> bool {
        self.below(of) == of - 1
    }

    /// One of a list.
    pub fn one<T: Clone>(&mut self, of: &[T]) -> T {
        of[self.below(of.len())].clone()
    }

    /// A number from 0 to `most`, small ones more often than by their share.
    pub fn digits(&mut self, most: u64) -> u64 {
        let scale = [1, 10, 1_000, 1_000_000, 1_000_000_000_000, u64::MAX];
        let limit = self.one(&scale).min(most);
        let mut number = 0_u64;
        for _ in 0..4 {
            number = (number << 16) | u64::from(self.next());
        }
        if limit == 0 {
            0
        } else {
            number % limit.saturating_add(1).max(1)
        }
    }
}
