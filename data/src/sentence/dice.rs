//! Random numbers of a seed, the same on every machine.

use crate::chain::mix;

/// Throws the same numbers for the same seed (SplitMix64).
#[derive(Debug)]
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Dice {
        Dice(mix(seed))
    }

    /// A number from 0 to `bound` less one; 0 for a bound of 0.
    pub fn below(&mut self, bound: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        ((u128::from(mix(self.0)) * bound as u128) >> 64) as usize
    }

    /// Puts `items` in a random order.
    pub fn shuffle<T>(&mut self, items: &mut [T]) {
        for last in (1..items.len()).rev() {
            items.swap(last, self.below(last + 1));
        }
    }
}
