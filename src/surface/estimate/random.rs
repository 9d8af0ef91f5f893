//! Deterministic random and quasi-random normal numbers.

/// SplitMix64 (Steele, Lea and Flood, "Fast splittable pseudorandom number generators", 2014).
pub(super) struct Random {
    state: u64,
    spare: Option<f64>,
}

impl Random {
    pub(super) fn new(seed: u64) -> Self {
        Self {
            state: seed,
            spare: None,
        }
    }

    /// One of many series of the same seed.
    pub(super) fn stream(seed: u64, index: u64) -> Self {
        let start = Self::new(seed).bits();
        Self::new(start.wrapping_add(Self::new(index).bits()))
    }

    fn bits(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Uniform in [−1, 1).
    fn symmetric(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1u64 << 52) as f64 - 1.0
    }

    /// A standard normal number, by Marsaglia's polar method.
    pub(super) fn normal(&mut self) -> f64 {
        if let Some(spare) = self.spare.take() {
            return spare;
        }
        loop {
            let (a, b) = (self.symmetric(), self.symmetric());
            let square = a * a + b * b;
            if square > 0.0 && square < 1.0 {
                let scale = (-2.0 * square.ln() / square).sqrt();
                self.spare = Some(b * scale);
                return a * scale;
            }
        }
    }
}

/// Standard normal points that fill the space evenly: Halton's sequence through the normal quantile.
#[must_use]
pub fn halton_normal(index: usize, dimension: usize) -> f64 {
    const PRIMES: [usize; 10] = [2, 3, 5, 7, 11, 13, 17, 19, 23, 29];
    let base = PRIMES[dimension % PRIMES.len()];
    let (mut rest, mut digit, mut fraction) = (index + 1, 1.0, 0.0);
    while rest > 0 {
        digit /= base as f64;
        fraction += digit * (rest % base) as f64;
        rest /= base;
    }
    normal_quantile(fraction)
}

/// Quantile of the standard normal distribution, to 4.5e-4 (Abramowitz and Stegun 26.2.23).
pub(super) fn normal_quantile(p: f64) -> f64 {
    let tail = p.min(1.0 - p).max(1e-300);
    let t = (-2.0 * tail.ln()).sqrt();
    let z = t
        - (2.515_517 + t * (0.802_853 + t * 0.010_328))
            / (1.0 + t * (1.432_788 + t * (0.189_269 + t * 0.001_308)));
    if p < 0.5 { -z } else { z }
}
