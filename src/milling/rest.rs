//! The night between the two days: how long wood rests, how, and how far it is expected to move.

use crate::shop::Movement;
use crate::surface::normal::below;

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

/// What water adds to the movement of a piece, mm, were it to come to rest before the second day: what is still to go by then
/// goes later.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Drying {
    /// The cup that its rings give it, whichever way.
    pub cup: f64,
    /// How much thinner it shrinks; 0 where it swells.
    pub thinner: f64,
}

/// What a piece is expected to lose until the second day, mm: the thickness that flattening it again costs, and shrinkage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expected {
    /// On average.
    pub mean: f64,
    /// Not exceeded nine times in ten.
    pub nine_in_ten: f64,
}

/// The movement of a piece this long and wide, mm. Bow and cup are normal with the shop's standard deviations, which grow with
/// the square of length and width, the cup about that of the rings; flattening costs the sum of their sizes.
#[must_use]
pub fn second_day(movement: Movement, drying: Drying, length: f64, width: f64) -> Expected {
    let bow = movement.bow * (length / 1000.0).powi(2);
    let cup = movement.cup * (width / 200.0).powi(2);
    Expected {
        mean: drying.thinner + mean_size(0.0, bow) + mean_size(drying.cup, cup),
        nine_in_ten: drying.thinner + quantile(bow, [drying.cup, cup], 0.9),
    }
}

/// The mean of |X| for a normal X (the folded normal distribution).
fn mean_size(mean: f64, sd: f64) -> f64 {
    if sd <= 0.0 {
        return mean.abs();
    }
    let z = mean / sd;
    let folded = (2.0 / std::f64::consts::PI).sqrt() * (-z * z / 2.0).exp();
    sd * folded + mean * (1.0 - 2.0 * below(-z))
}

/// Steps of the integral, over eight standard deviations to either side.
const STEPS: u32 = 800;

/// The quantile of |X| + |Y| for normal X about 0 and Y about a mean.
fn quantile(bow: f64, [mean, cup]: [f64; 2], share: f64) -> f64 {
    let step = 16.0 / f64::from(STEPS);
    let density = |z: f64| (-z * z / 2.0).exp() / std::f64::consts::TAU.sqrt();
    // Where only one of both varies, the integral would run over a jump.
    let reached = |sum: f64| -> f64 {
        if bow <= 1e-9 * cup {
            return below((sum - mean) / cup) - below((-sum - mean) / cup);
        }
        let within = |size: f64| (2.0 * below(size / bow) - 1.0).max(0.0);
        let shares = (0..STEPS).map(|k| {
            let z = (f64::from(k) + 0.5) * step - 8.0;
            step * density(z) * within(sum - (mean + cup * z).abs())
        });
        shares.sum()
    };
    if bow.max(cup) <= 0.0 {
        return mean.abs();
    }
    let (mut low, mut high) = (0.0, 8.0 * (bow + cup) + mean.abs());
    for _ in 0..50 {
        let middle = f64::midpoint(low, high);
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
    /// two sizes the share is found by counting pairs of quantiles, and so is the mean.
    #[test]
    fn nine_in_ten_is_nine_in_ten() {
        for [bow, cup] in [[2.0, 0.0], [0.0, 2.0]] {
            assert!((quantile(bow, [0.0, cup], 0.9) - 2.0 * 1.644_854).abs() < 1e-3);
        }
        let normal: Vec<f64> = (0..2000)
            .map(|k| crate::surface::estimate::halton_normal(k, 0))
            .collect();
        for [bow, mean, cup] in [[1.0, 0.0, 0.6], [0.5, 0.8, 0.4], [0.0, 1.0, 0.3]] {
            let found = quantile(bow, [mean, cup], 0.9);
            let size = |x: f64, y: f64| (bow * x).abs() + (mean + cup * y).abs();
            let pairs = || {
                normal
                    .iter()
                    .flat_map(|x| normal.iter().map(move |y| (*x, *y)))
            };
            let share = pairs().filter(|(x, y)| size(*x, *y) <= found).count() as f64 / 4e6;
            assert!((share - 0.9).abs() < 0.003, "{share}");
            let counted = pairs().map(|(x, y)| size(x, y)).sum::<f64>() / 4e6;
            let told = mean_size(0.0, bow) + mean_size(mean, cup);
            assert!((counted - told).abs() < 0.005, "{counted} {told}");
        }
    }

    /// A flat-sawn board whose shrinkage differs by 2 in 100, 200 mm wide and 100 mm from the pith, cups by
    /// 0.02 · 200² / (4 · 100) = 2 mm (to first order), which nothing can take back.
    #[test]
    fn water_costs_its_cup_and_its_shrinkage() {
        let still = Movement::NONE;
        let drying = Drying {
            cup: 2.0,
            thinner: 0.3,
        };
        let moves = second_day(still, drying, 1500.0, 200.0);
        assert_eq!([moves.mean, moves.nine_in_ten], [2.3, 2.3]);
        let dry = second_day(Movement::default(), Drying::default(), 1500.0, 200.0);
        let both = second_day(Movement::default(), drying, 1500.0, 200.0);
        assert!(both.mean > dry.mean + 2.0 && both.nine_in_ten > dry.nine_in_ten + 2.0);
    }

    /// Of a constant curvature the sagitta grows with the square of the length; the mean size of a normal number is √(2/π)
    /// standard deviations (any table of distributions).
    #[test]
    fn movement_grows_with_the_square_of_the_size() {
        let movement = Movement {
            bow: 0.3,
            cup: 0.15,
        };
        let mean =
            |length: f64, width: f64| second_day(movement, Drying::default(), length, width).mean;
        let size = (2.0 / std::f64::consts::PI).sqrt();
        assert!((mean(1000.0, 200.0) - size * 0.45).abs() < 1e-12);
        assert!((mean(2000.0, 500.0) - size * (0.3 * 4.0 + 0.15 * 6.25)).abs() < 1e-12);
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
