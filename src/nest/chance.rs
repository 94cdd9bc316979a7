//! Chance from a seed, so that the same seed gives the same lay on any machine.

/// SplitMix64 (Steele, Lea, Flood, *Fast splittable pseudorandom number generators*, OOPSLA 2014).
#[derive(Clone, Debug)]
pub struct Chance(u64);

impl Chance {
    /// The stream of a seed.
    pub fn of(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Evenly from 0 to 1, without 1.
    pub fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Evenly between two values.
    pub fn within(&mut self, [low, high]: [f64; 2]) -> f64 {
        low + (high - low) * self.share()
    }

    /// One of `0..count`; nought when there is none.
    pub fn below(&mut self, count: usize) -> usize {
        (self.share() * count as f64) as usize
    }

    /// Puts a list into any order (Fisher and Yates).
    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for last in (1..list.len()).rev() {
            let other = self.below(last + 1);
            list.swap(last, other);
        }
    }
}
