//! Numbers by chance, the same at every run.

/// A generator of numbers that look random: SplitMix64 (Steele, Lea and Flood, *Fast splittable
/// pseudorandom number generators*, 2014).
pub(super) struct Chance(u64);

impl Chance {
    pub(super) fn new() -> Chance {
        Chance(0)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// Returns a number from 0 to below `end`, which must not be 0.
    pub(super) fn below(&mut self, end: usize) -> usize {
        (self.next() % end as u64) as usize
    }

    /// Returns a number from -1 to 1.
    pub(super) fn even(&mut self) -> f32 {
        (self.next() >> 40) as f32 / (1_u64 << 23) as f32 - 1.0
    }

    /// Puts the things into another order (Fisher and Yates).
    pub(super) fn shuffle<T>(&mut self, things: &mut [T]) {
        for last in (1..things.len()).rev() {
            things.swap(last, self.below(last + 1));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The first outputs of SplitMix64 with seed 0, as in the tests of the crate rand_xoshiro's
    /// SplitMix64 for seed 0 (from memory).
    #[test]
    fn numbers_are_those_of_splitmix64() {
        let mut chance = Chance::new();
        assert_eq!(chance.next(), 0xe220_a839_7b1d_cdaf);
        assert_eq!(chance.next(), 0x6e78_9e6a_a1b9_65f4);
    }
}
