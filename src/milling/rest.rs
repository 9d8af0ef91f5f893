//! The night between the two days: how long wood rests, how, and how far it is expected to move.

use crate::shop::Movement;

const INCH: f64 = 25.4;

/// How wood lies while it rests.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Storage {
    /// On stickers, air all round.
    Stickers,
    /// On stickers under weights or clamps: thin stock moves most.
    Weighted,
}

/// How long and how a piece rests.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rest {
    /// From so many days.
    pub least: u32,
    /// To so many.
    pub most: u32,
    /// How it lies.
    pub storage: Storage,
}

impl Rest {
    /// Of wood this thick, mm. Common practice is a night to a week; which thickness takes how much of it is our own division.
    #[must_use]
    pub fn of(thickness: f64) -> Self {
        let (least, most) = match thickness / INCH {
            t if t <= 0.75 => (1, 2),
            t if t <= 1.25 => (1, 3),
            t if t <= 2.0 => (3, 7),
            _ => (7, 14),
        };
        let storage = if thickness <= 0.625 * INCH {
            Storage::Weighted
        } else {
            Storage::Stickers
        };
        Self {
            least,
            most,
            storage,
        }
    }
}

/// What a piece is expected to lose in flatness until the second day, mm: the thickness that flattening it again costs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expected {
    /// On average.
    pub mean: f64,
    /// Not exceeded nine times in ten.
    pub nine_in_ten: f64,
}

/// The movement of a piece this long and wide, mm. Bow and cup are normal with the shop's standard deviations, which grow with
/// the square of length and width; flattening costs the sum of their sizes.
#[must_use]
pub fn second_day(movement: Movement, length: f64, width: f64) -> Expected {
    let bow = movement.bow * (length / 1000.0).powi(2);
    let cup = movement.cup * (width / 200.0).powi(2);
    Expected {
        mean: (2.0 / std::f64::consts::PI).sqrt() * (bow + cup),
        nine_in_ten: quantile(bow, cup, 0.9),
    }
}

/// Steps of the integral, over eight standard deviations.
const STEPS: u32 = 400;

/// The quantile of |X| + |Y| for normal X and Y of these standard deviations.
fn quantile(a: f64, b: f64, share: f64) -> f64 {
    let (wide, thin) = (a.max(b), a.min(b));
    if wide <= 0.0 {
        return 0.0;
    }
    let step = 8.0 / f64::from(STEPS);
    let density = |z: f64| (2.0 / std::f64::consts::PI).sqrt() * (-z * z / 2.0).exp();
    // The share of |Z| below each step.
    let mut below = vec![0.0];
    for k in 0..STEPS {
        let last = below[below.len() - 1];
        below.push(last + step * density((f64::from(k) + 0.5) * step));
    }
    let within = |z: f64| {
        let at = (z / step).clamp(0.0, f64::from(STEPS));
        let k = (at.floor() as usize).min(below.len() - 2);
        below[k] + (at - k as f64) * (below[k + 1] - below[k])
    };
    let reached = |sum: f64| -> f64 {
        if thin <= 1e-9 * wide {
            return within(sum / wide);
        }
        let z = |k: u32| (f64::from(k) + 0.5) * step;
        let shares = (0..STEPS)
            .map(|k| step * density(z(k)) * within(((sum - thin * z(k)) / wide).max(0.0)));
        shares.sum()
    };
    let (mut low, mut high) = (0.0, 8.0 * (wide + thin));
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if reached(middle) < share {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The 95 % quantile of the standard normal, 1.644854, is the 90 % quantile of its size (any table of it); of the sum of
    /// two sizes the share is found by counting pairs of quantiles.
    #[test]
    fn nine_in_ten_is_nine_in_ten() {
        assert!((quantile(2.0, 0.0, 0.9) - 2.0 * 1.644_854).abs() < 1e-3);
        let (a, b) = (1.0, 0.6);
        let found = quantile(a, b, 0.9);
        let normal: Vec<f64> = (0..2000)
            .map(|k| crate::surface::estimate::halton_normal(k, 0).abs())
            .collect();
        let below = normal
            .iter()
            .map(|x| normal.iter().filter(|y| a * x + b * *y <= found).count());
        let share = below.sum::<usize>() as f64 / 4e6;
        assert!((share - 0.9).abs() < 0.003, "{share}");
    }

    #[test]
    fn rest_grows_with_thickness() {
        let ranges: Vec<Rest> = [12.0, 25.0, 45.0, 60.0].map(Rest::of).to_vec();
        assert!(
            ranges
                .windows(2)
                .all(|w| w[0].most <= w[1].most && w[0].least <= w[1].least)
        );
        assert_eq!(ranges[0].storage, Storage::Weighted);
    }
}
