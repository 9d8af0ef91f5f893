//! A robust plane through the points of a cell.

use crate::readings::Point;

/// Fewer points make no plane.
pub(super) const LEAST: usize = 8;

/// The median of absolute deviations times this estimates a normal standard deviation (F. Hampel, *The influence curve and its
/// role in robust estimation*, 1974; the number from memory).
pub(super) const CONSISTENT: f64 = 1.4826;

/// Residuals beyond so many medians of their sizes weigh nothing (F. Mosteller and J. Tukey, *Data Analysis and Regression*,
/// 1977: the biweight, from memory).
const REACH: f64 = 6.0;

/// Rounds of reweighting.
const ROUNDS: usize = 6;

/// The biweight's efficiency on normal errors at that reach, about.
const EFFICIENCY: f64 = 0.95;

/// The plane through the heights of a cell.
#[derive(Debug, Clone, Copy)]
pub(super) struct LocalPlane {
    /// The middle of its points.
    pub(super) at: [f64; 2],
    /// The height there.
    pub(super) height: f64,
    pub(super) slopes: [f64; 2],
    count: f64,
}

impl LocalPlane {
    /// The biweight plane; `None` of too few points.
    pub(super) fn new(points: &[Point]) -> Option<Self> {
        if points.len() < LEAST {
            return None;
        }
        let mut heights: Vec<f64> = points.iter().map(|p| p[2]).collect();
        let mut plane = Self {
            at: [0, 1].map(|k| points.iter().map(|p| p[k]).sum::<f64>() / points.len() as f64),
            height: median(&mut heights),
            slopes: [0.0; 2],
            count: points.len() as f64,
        };
        let mut sizes = Vec::with_capacity(points.len());
        for _ in 0..ROUNDS {
            sizes.clear();
            sizes.extend(points.iter().map(|p| plane.off(p).abs()));
            let reach = REACH * median(&mut sizes);
            if reach <= 0.0 {
                break;
            }
            let weight = |p: &Point| {
                let far = plane.off(p) / reach;
                (1.0 - far * far).max(0.0).powi(2)
            };
            plane = Self::weighted(points, weight);
        }
        Some(plane)
    }

    /// The weighted least-squares plane; level across where the points lie on a line.
    fn weighted(points: &[Point], weight: impl Fn(&Point) -> f64) -> Self {
        let (mut sum, mut mean) = (0.0, [0.0; 3]);
        for p in points {
            let w = weight(p);
            sum += w;
            for (m, c) in mean.iter_mut().zip(p) {
                *m += w * c;
            }
        }
        let mean = mean.map(|m| m / sum);
        let [mut xx, mut xy, mut yy, mut xz, mut yz] = [0.0; 5];
        for p in points {
            let w = weight(p);
            let [x, y, z] = [0, 1, 2].map(|k| p[k] - mean[k]);
            xx += w * x * x;
            xy += w * x * y;
            yy += w * y * y;
            xz += w * x * z;
            yz += w * y * z;
        }
        // A hair keeps points on a line from standing steep across it.
        let hair = 1e-6 * (xx + yy) + f64::MIN_POSITIVE;
        let (a, b) = (xx + hair, yy + hair);
        let determinant = a * b - xy * xy;
        Self {
            at: [mean[0], mean[1]],
            height: mean[2],
            slopes: [
                (b * xz - xy * yz) / determinant,
                (a * yz - xy * xz) / determinant,
            ],
            count: points.len() as f64,
        }
    }

    /// How far a point stands over the plane.
    pub(super) fn off(&self, p: &Point) -> f64 {
        p[2] - self.height
            - self.slopes[0] * (p[0] - self.at[0])
            - self.slopes[1] * (p[1] - self.at[1])
    }

    /// The standard deviation of the height in the middle, from that of a point.
    pub(super) fn sd(&self, of_point: f64) -> f64 {
        of_point / (EFFICIENCY * self.count).sqrt()
    }
}

/// The median; of an even number of values the upper of the two in the middle; 0 of none.
pub(super) fn median(values: &mut [f64]) -> f64 {
    if values.is_empty() {
        return 0.0;
    }
    let middle = values.len() / 2;
    *values.select_nth_unstable_by(middle, f64::total_cmp).1
}
