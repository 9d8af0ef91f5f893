//! Lines of equal value over a grid.

use std::collections::BTreeMap;

/// The side of a cell: between two neighbouring grid points, by index, the lower first.
type Side = (usize, usize);

/// Lines along which a value over a grid (station by station) equals `level`, in units of cells along and across. A line
/// that meets itself ends where it begins.
///
/// Marching squares (W. E. Lorensen and H. E. Cline's cubes, SIGGRAPH 1987, in the plane); in a saddle the middle of the
/// cell decides.
#[must_use]
pub fn contours(values: &[f64], positions: usize, level: f64) -> Vec<Vec<[f64; 2]>> {
    let stations = values.len() / positions;
    let mut links: BTreeMap<Side, Vec<Side>> = BTreeMap::new();
    for i in 0..stations - 1 {
        for j in 0..positions - 1 {
            // Round the cell.
            let corners =
                [(i, j), (i + 1, j), (i + 1, j + 1), (i, j + 1)].map(|(i, j)| i * positions + j);
            let above = corners.map(|k| values[k] >= level);
            let crossed: Vec<Side> = (0..4)
                .filter(|&k| above[k] != above[(k + 1) % 4])
                .map(|k| side(corners[k], corners[(k + 1) % 4]))
                .collect();
            let pairs = match crossed[..] {
                [a, b] => vec![(a, b)],
                [a, b, c, d] => {
                    let middle = corners.iter().map(|&k| values[k]).sum::<f64>() / 4.0 >= level;
                    // The lines keep the corners apart that differ from the middle.
                    if middle == above[0] {
                        vec![(a, b), (c, d)]
                    } else {
                        vec![(d, a), (b, c)]
                    }
                }
                _ => Vec::new(),
            };
            for (a, b) in pairs {
                links.entry(a).or_default().push(b);
                links.entry(b).or_default().push(a);
            }
        }
    }
    let place = |(a, b): Side| {
        let share = (level - values[a]) / (values[b] - values[a]);
        let at = |k: usize| [(k / positions) as f64, (k % positions) as f64];
        let (from, to) = (at(a), at(b));
        [0, 1].map(|axis| from[axis] + share * (to[axis] - from[axis]))
    };
    chains(links)
        .into_iter()
        .map(|chain| chain.into_iter().map(place).collect())
        .collect()
}

fn side(a: usize, b: usize) -> Side {
    (a.min(b), a.max(b))
}

/// Follows the links: lines that end at the rim first, then rings.
fn chains(mut links: BTreeMap<Side, Vec<Side>>) -> Vec<Vec<Side>> {
    let mut chains = Vec::new();
    for ends in [1, 2] {
        let starts: Vec<Side> = links
            .iter()
            .filter(|l| l.1.len() == ends)
            .map(|l| *l.0)
            .collect();
        for start in starts {
            let mut chain = vec![start];
            let mut at = start;
            while let Some(next) = links.get_mut(&at).and_then(Vec::pop) {
                if let Some(back) = links.get_mut(&next)
                    && let Some(k) = back.iter().position(|s| *s == at)
                {
                    back.swap_remove(k);
                }
                chain.push(next);
                at = next;
            }
            if chain.len() > 1 {
                chains.push(chain);
            }
        }
    }
    chains
}

#[cfg(test)]
mod tests {
    use super::contours;

    #[test]
    fn a_slope_has_one_straight_line_from_rim_to_rim() {
        let values: Vec<f64> = (0..5).flat_map(|i| [0; 4].map(|_| f64::from(i))).collect();
        let lines = contours(&values, 4, 1.5);
        assert_eq!(lines.len(), 1);
        assert_eq!(lines[0].len(), 4);
        assert!(lines[0].iter().all(|p| p[0] == 1.5));
    }

    #[test]
    fn round_a_hill_the_line_is_a_circle_of_its_height() {
        // A cone of slope 1 over 41 × 41 places: at level 12 a circle of radius 8 round the middle.
        let values: Vec<f64> = (0..41 * 41)
            .map(|k| 20.0 - f64::from(k / 41 - 20).hypot(f64::from(k % 41 - 20)))
            .collect();
        let lines = contours(&values, 41, 12.0);
        assert_eq!(lines.len(), 1);
        assert_eq!(lines[0].first(), lines[0].last());
        for p in &lines[0] {
            let radius = (p[0] - 20.0).hypot(p[1] - 20.0);
            assert!((radius - 8.0).abs() < 0.02, "{radius}");
        }
    }

    #[test]
    fn a_saddle_joins_the_corners_that_its_middle_is_like() {
        let lines = contours(&[1.0, 0.0, 0.0, 1.0], 2, 0.4);
        assert_eq!(
            lines.len(),
            2,
            "the high corners are joined, each low one is cut off"
        );
    }
}
