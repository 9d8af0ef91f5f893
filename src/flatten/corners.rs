//! The points of a grid that can hold a plane.

use crate::readings::Point;

/// The points that stand at a corner of the section through their row and of that through their station, `positions` to a
/// station: all others lie within the hull of these, so every way of laying is the same without them.
pub(super) fn corners(points: &[Point], positions: usize) -> Vec<Point> {
    let mut kept = vec![true; points.len()];
    for position in 0..positions {
        let row: Vec<usize> = (position..points.len()).step_by(positions).collect();
        thin(points, &row, 0, &mut kept);
    }
    for station in 0..points.len() / positions {
        let start = station * positions;
        let across: Vec<usize> = (start..start + positions).filter(|k| kept[*k]).collect();
        thin(points, &across, 1, &mut kept);
    }
    points
        .iter()
        .zip(kept)
        .filter_map(|(p, kept)| kept.then_some(*p))
        .collect()
}

/// Drops the points of a section that are no corners of it, above or below; `axis` runs along it, ascending
/// (A. M. Andrew, Information Processing Letters 9(5), 1979).
fn thin(points: &[Point], line: &[usize], axis: usize, kept: &mut [bool]) {
    if line.len() < 3 {
        return;
    }
    for &k in line {
        kept[k] = false;
    }
    for side in [1.0, -1.0] {
        let mut chain: Vec<usize> = Vec::with_capacity(line.len());
        for &k in line {
            while let [.., a, b] = chain[..] {
                let [a, b, c] = [a, b, k].map(|k| (points[k][axis], side * points[k][2]));
                if (b.1 - a.1) * (c.0 - a.0) > (c.1 - a.1) * (b.0 - a.0) {
                    break;
                }
                chain.pop();
            }
            chain.push(k);
        }
        for k in chain {
            kept[k] = true;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::corners;
    use crate::flatten::{Faces, survives_shimmed};

    #[test]
    fn what_survives_is_the_same_without_the_others() {
        let face = |below: f64, turn: f64| -> Vec<[f64; 3]> {
            (0..9 * 5)
                .map(|k| {
                    let (x, y) = (f64::from(k / 5) * 50.0, f64::from(k % 5) * 20.0);
                    let wave = (0.07 * x + turn).sin() + (0.11 * y + 0.013 * x).cos();
                    [x, y, 1e-5 * (x - 200.0).powi(2) + wave - below]
                })
                .collect()
        };
        let (up, down) = (face(0.0, 0.0), face(25.0, 1.0));
        let left = |up: &[[f64; 3]], down: &[[f64; 3]]| {
            survives_shimmed(&Faces {
                up,
                down,
                normal: [0.0, 0.0, 1.0],
                centre: [200.0, 40.0, -12.0],
            })
            .unwrap()
        };
        let (few_up, few_down) = (corners(&up, 5), corners(&down, 5));
        assert!(few_up.len() < up.len() && few_down.len() < down.len());
        assert!((left(&up, &down) - left(&few_up, &few_down)).abs() < 1e-9);
    }
}
