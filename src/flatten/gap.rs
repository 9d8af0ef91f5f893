//! The widest gap between two faces of few points, for thousands of pieces in a row: no advice, no checks of the readings.

use parry3d_f64::math::Vector;

use super::cloud::{Cloud, Moved};
use super::separation::{Separation, separate_until};
use crate::readings::Point;

/// Two parallel planes that cut nothing but wood.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// Their distance, mm; 0 where nothing survives.
    pub width: f64,
    /// Their unit normal, out of the up face.
    pub normal: [f64; 3],
}

/// The gap that a unit normal leaves, mm; negative where the planes would cross. Infinite without points.
#[must_use]
pub fn gap_along(up: &[Point], down: &[Point], normal: [f64; 3]) -> f64 {
    let level = |p: &Point| p[0] * normal[0] + p[1] * normal[1] + p[2] * normal[2];
    let lowest = up.iter().map(level).fold(f64::INFINITY, f64::min);
    let highest = down.iter().map(level).fold(f64::NEG_INFINITY, f64::max);
    lowest - highest
}

/// The widest gap of any attitude, as [`survives_shimmed`](super::survives_shimmed), of two faces over the same places
/// whose own normal is near z. `start` is a likely normal. With a `need` the search ends as soon as the gap is known to
/// be at least that, or less: the width then found lies on the right side of it, and may fall short of the widest.
///
/// A gap that cannot be told from `need` by a billionth of a millimetre counts as reaching it.
#[must_use]
pub fn widest_gap(up: &[Point], down: &[Point], start: [f64; 3], need: Option<f64>) -> Gap {
    let nothing = Gap {
        width: 0.0,
        normal: start,
    };
    if up.is_empty() || down.is_empty() {
        return nothing;
    }
    let (up, down) = (Cloud::new(up), Cloud::new(down));
    let [above, below] = [&up, &down].map(|cloud| Moved {
        cloud,
        by: Vector::ZERO,
    });
    let known = |least: f64, most: f64| {
        need.is_some_and(|need| least >= need - NEAR || most < need - 2.0 * NEAR)
    };
    match separate_until(&above, &below, Vector::from(start), known) {
        Separation::Apart(gap) if gap.normal.z > 0.0 => Gap {
            width: gap.width,
            normal: gap.normal.to_array(),
        },
        _ => nothing,
    }
}

/// What rounding leaves, mm.
const NEAR: f64 = 1e-9;

#[cfg(test)]
mod tests {
    use super::{gap_along, widest_gap};
    use crate::flatten::{Faces, survives_shimmed};

    /// Two wavy faces over 13 × 5 places, other ones for every seed.
    fn faces(seed: f64) -> [Vec<[f64; 3]>; 2] {
        [0.0, 25.0].map(|below| {
            (0..13 * 5)
                .map(|k| {
                    let (x, y) = (f64::from(k / 5) * 50.0, f64::from(k % 5) * 30.0);
                    let bow = 1e-5 * (seed.sin() * 3.0) * (x - 300.0).powi(2);
                    let twist = 2e-5 * (seed * 1.7).cos() * (x - 300.0) * (y - 60.0);
                    let wave = (0.07 * x + seed + below).sin() + (0.11 * y + 0.013 * x).cos();
                    [x, y, bow + twist + 0.4 * wave - below]
                })
                .collect()
        })
    }

    #[test]
    fn it_is_what_survives_shimmed_whatever_the_start() {
        for seed in 0..200 {
            let [up, down] = faces(f64::from(seed));
            let full = survives_shimmed(&Faces {
                up: &up,
                down: &down,
                normal: [0.0, 0.0, 1.0],
                centre: [300.0, 60.0, -12.0],
            })
            .unwrap();
            for start in [[0.0, 0.0, 1.0], [0.02, -0.03, 0.999_35]] {
                let gap = widest_gap(&up, &down, start, None);
                assert!((gap.width - full).abs() < 1e-9, "{} and {full}", gap.width);
                assert!((gap_along(&up, &down, gap.normal) - full).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn a_need_is_told_right_on_either_side() {
        for seed in 0..200 {
            let [up, down] = faces(f64::from(seed));
            let full = widest_gap(&up, &down, [0.0, 0.0, 1.0], None).width;
            for (by, reaches) in [(-3.0, true), (-1e-6, true), (1e-6, false), (3.0, false)] {
                let need = full + by;
                let found = widest_gap(&up, &down, [0.0, 0.0, 1.0], Some(need)).width;
                assert_eq!(
                    found >= need - 1e-9,
                    reaches,
                    "{found} of {full}, need {need}"
                );
            }
        }
    }
}
