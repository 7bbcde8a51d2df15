//! What several test files share.

/// Random numbers of a fixed seed (xorshift); the seed must not be 0.
pub struct Random(pub u64);

impl Random {
    /// A number under `bound`.
    pub fn below(&mut self, bound: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % bound as u64) as usize
    }
}
