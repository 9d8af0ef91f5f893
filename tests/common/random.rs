//! Seeded numbers, the same on every machine.

/// SplitMix64 (G. Steele, D. Lea, C. Flood, *Fast splittable pseudorandom number generators*, OOPSLA 2014).
pub(crate) struct Random(u64);

impl Random {
    pub(crate) fn new(seed: u64) -> Self {
        let mut random = Self(seed.wrapping_mul(0xd134_2543_de82_ef95));
        random.next();
        random
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// Evenly from `low` to `high`.
    pub(crate) fn within(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Evenly in the logarithm.
    pub(crate) fn log_within(&mut self, low: f64, high: f64) -> f64 {
        self.within(low.ln(), high.ln()).exp()
    }

    /// One of `low..=high`.
    pub(crate) fn count(&mut self, low: usize, high: usize) -> usize {
        low + (self.next() % (high - low + 1) as u64) as usize
    }

    /// Roughly normal, standard deviation one: twelve even numbers.
    pub(crate) fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.within(-0.5, 0.5)).sum()
    }
}
