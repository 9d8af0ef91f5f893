//! What a shop falls short of on top of what its boards' readings say.

use super::{Expectation, Interval};
use crate::surface::normal;

/// What comes out thinner than the readings say, mm: normal, as learnt from boards that were milled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shortfall {
    /// On average; negative where boards come out thicker.
    pub mean: f64,
    /// From one board to the next, with what is not yet known: one standard deviation.
    pub sd: f64,
}

impl Shortfall {
    /// The probability that a thickness of `surviving` mm falls short by so little that `wanted` is reached.
    #[must_use]
    pub fn reaches(&self, surviving: f64, wanted: f64) -> f64 {
        let spare = surviving - self.mean - wanted;
        if self.sd > 0.0 {
            normal::below(spare / self.sd)
        } else {
            f64::from(u8::from(spare >= -1e-9))
        }
    }
}

impl Interval {
    /// The interval of what is left when the shop has taken its share: both sides widen as independent normal errors do, by
    /// the root of the sum of squares.
    #[must_use]
    pub fn short_by(self, shortfall: &Shortfall) -> Self {
        let more = normal::NINE_IN_TEN * shortfall.sd;
        let expected = self.expected - shortfall.mean;
        Self {
            expected: expected.max(0.0),
            low: (expected - (self.expected - self.low).hypot(more)).max(0.0),
            high: (expected + (self.high - self.expected).hypot(more)).max(0.0),
        }
    }
}

impl Expectation {
    /// The same board in a shop that falls short.
    #[must_use]
    pub fn short_by(mut self, shortfall: Shortfall) -> Self {
        for interval in [&mut self.as_laid, &mut self.balanced, &mut self.shimmed] {
            *interval = interval.short_by(&shortfall);
        }
        if let Some(wanted) = &mut self.read_next {
            let more = normal::NINE_IN_TEN * shortfall.sd;
            wanted.now = wanted.now.hypot(more);
            wanted.then = wanted.then.hypot(more);
        }
        self.shortfall = Some(shortfall);
        self
    }
}
