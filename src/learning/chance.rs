//! Chance from a seed, so that a case can be met again: a counter turned into numbers between 0 and 1.
//!
//! Takes a seed and a purpose; gives the same numbers in the same order on every machine. Different
//! purposes of one seed do not touch each other. Good enough for golfers; no use for secrets.

/// A stream of numbers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chance {
    state: u64,
}

/// The odd number nearest to 2^64 over the golden ratio: steps of it visit every state.
const STEP: u64 = 0x9E37_79B9_7F4A_7C15;

const fn stirred(mut x: u64) -> u64 {
    x = (x ^ (x >> 32)).wrapping_mul(0xD6E8_FEB8_6659_FD93);
    x = (x ^ (x >> 32)).wrapping_mul(0xD6E8_FEB8_6659_FD93);
    x ^ (x >> 32)
}

impl Chance {
    /// The stream of a seed for one purpose.
    pub const fn new(seed: u64, purpose: u64) -> Self {
        Self {
            state: stirred(stirred(seed.wrapping_add(STEP)) ^ purpose.wrapping_mul(STEP)),
        }
    }

    /// The next whole number.
    pub const fn whole(&mut self) -> u64 {
        self.state = self.state.wrapping_add(STEP);
        stirred(self.state)
    }

    /// The next number, from 0 up to but not 1.
    pub fn unit(&mut self) -> f64 {
        (self.whole() >> 11) as f64 * 0.5f64.powi(53)
    }

    /// A place below `count`; 0 if there is none.
    pub fn below(&mut self, count: usize) -> usize {
        ((self.unit() * count as f64) as usize).min(count.saturating_sub(1))
    }

    /// True with this probability.
    pub fn happens(&mut self, probability: f64) -> bool {
        self.unit() < probability
    }

    /// One of several.
    pub fn pick<'a, T>(&mut self, of: &'a [T]) -> Option<&'a T> {
        let at = self.below(of.len());
        of.get(at)
    }

    /// Puts them in another order, every order equally likely.
    pub fn shuffle<T>(&mut self, items: &mut [T]) {
        for last in (1..items.len()).rev() {
            let other = self.below(last + 1);
            items.swap(last, other);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_seed_gives_the_same_numbers_and_purposes_differ() {
        let numbers = |seed, purpose| {
            let mut chance = Chance::new(seed, purpose);
            (0..8).map(|_| chance.whole()).collect::<Vec<_>>()
        };
        assert_eq!(numbers(4821, 1), numbers(4821, 1));
        assert_ne!(numbers(4821, 1), numbers(4821, 2));
        assert_ne!(numbers(4821, 1), numbers(4822, 1));
    }

    #[test]
    fn units_are_even() {
        let mut chance = Chance::new(7, 0);
        let mut bins = [0u32; 10];
        for _ in 0..20_000 {
            bins[(chance.unit() * 10.0) as usize] += 1;
        }
        assert!(bins.iter().all(|n| (1_800..2_200).contains(n)), "{bins:?}");
    }
}
