//! What is held of a shop's loss before anything was milled.

use crate::surface::normal;

/// A standard deviation that is not known: values as likely as each other, mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Spread(Vec<f64>);

impl Spread {
    /// Known to be this.
    #[must_use]
    pub fn exactly(sd: f64) -> Self {
        Self(vec![sd.abs()])
    }

    /// Half-normal: as a normal number of this scale without its sign; `count` quantiles stand for it.
    #[must_use]
    pub fn half_normal(scale: f64, count: usize) -> Self {
        let middle = |i: usize| 0.5 + (i as f64 + 0.5) / (2.0 * count as f64);
        Self(
            (0..count)
                .map(|i| scale * normal::quantile(middle(i)))
                .collect(),
        )
    }

    /// Evenly from nothing to `most`, at the middles of `count` steps.
    #[must_use]
    pub fn even(most: f64, count: usize) -> Self {
        let step = most / count as f64;
        Self((0..count).map(|i| step * (i as f64 + 0.5)).collect())
    }

    pub(super) fn values(&self) -> &[f64] {
        &self.0
    }
}

/// What is held of a shop's loss before anything was milled, mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Prior {
    /// Standard deviation of the loss from shop to shop, around none.
    pub shop: f64,
    /// From one machine, species, way of laying to another of the shop, in this order.
    pub groups: [Spread; 3],
    /// From one board to the next, beside what the prediction's own interval tells.
    pub scatter: Spread,
}

/// How far the errors of two pieces of one board go together: half. Our own assumption; the estimate of a board is shared
/// by its pieces, their milling is not.
pub(super) const SHARED: f64 = 0.5;

impl Default for Prior {
    /// Our own assumption: shops lose nothing on average, few more than 2 mm (snipe, tear-out, one more pass for a clean
    /// face, the second day's movement); machines, woods and ways of one shop differ by less than that.
    fn default() -> Self {
        Self {
            shop: 1.2,
            groups: [(0.3, 4), (0.15, 3), (0.15, 3)]
                .map(|(scale, count)| Spread::half_normal(scale, count)),
            scatter: Spread::half_normal(0.3, 5),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Spread;

    /// Quartiles and octiles of the normal distribution (NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.1).
    #[test]
    fn values_stand_for_equal_shares() {
        let near = |spread: Spread, values: &[f64]| {
            assert_eq!(spread.values().len(), values.len());
            let mut pairs = spread.values().iter().zip(values);
            assert!(pairs.all(|(a, b)| (a - b).abs() < 1e-4), "{spread:?}");
        };
        near(Spread::exactly(-0.3), &[0.3]);
        near(Spread::half_normal(1.0, 1), &[0.674_49]);
        near(
            Spread::half_normal(2.0, 2),
            &[2.0 * 0.318_64, 2.0 * 1.150_35],
        );
        near(Spread::even(1.0, 4), &[0.125, 0.375, 0.625, 0.875]);
        near(Spread::even(3.0, 1), &[1.5]);
    }
}
