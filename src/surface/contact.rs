//! What a straight edge, or a flat table, touches of a course of wood: its upper hull.

/// The two points of a profile (distance along, height; ascending distances, at least two) on which a straight edge
/// rests that lies on it from above and whose weight stands at `under`: the side of the upper hull over that distance.
#[must_use]
pub(super) fn rests_on(profile: &[[f64; 2]], under: f64) -> [usize; 2] {
    let mut hull: Vec<usize> = Vec::new();
    for (i, c) in profile.iter().enumerate() {
        while let [.., a, b] = hull[..] {
            let (a, b) = (profile[a], profile[b]);
            let below = (b[1] - a[1]) * (c[0] - a[0]) <= (c[1] - a[1]) * (b[0] - a[0]);
            if !below {
                break;
            }
            hull.pop();
        }
        hull.push(i);
    }
    let right = hull
        .iter()
        .position(|&i| profile[i][0] >= under)
        .unwrap_or(hull.len() - 1)
        .max(1);
    [hull[right - 1], hull[right]]
}

/// The three points, of a plane's worth of them, that carry a flat table laid on them from above and pressed down at
/// `under`, and the weights with which they make up its height there: the side of the upper hull over that place.
/// `from` are three points whose triangle holds it; of points that lie equally high the first ones found stay.
///
/// It is the simplex method: while a point stands above the plane, it takes the place of the one that keeps `under`
/// inside the triangle.
#[must_use]
pub(super) fn carries(points: &[[f64; 3]], under: [f64; 2], from: [usize; 3]) -> [usize; 3] {
    let mut held = from;
    // Each exchange raises the plane at `under`; rounding must not keep it going for ever.
    for _ in 0..points.len() {
        let shares_of = |p: [f64; 2]| shares(held.map(|i| points[i]), p);
        let plane = |p: [f64; 2]| -> f64 {
            let heights = held.map(|i| points[i][2]);
            shares_of(p).iter().zip(heights).map(|(s, z)| s * z).sum()
        };
        let above = |p: &[f64; 3]| p[2] - plane([p[0], p[1]]);
        let Some(highest) = (0..points.len())
            .max_by(|&a, &b| above(&points[a]).total_cmp(&above(&points[b])))
            .filter(|&i| above(&points[i]) > 1e-9)
        else {
            break;
        };
        let at = shares_of(under);
        let new = shares_of([points[highest][0], points[highest][1]]);
        let leaves = (0..3)
            .filter(|&k| new[k] > 1e-12)
            .min_by(|&a, &b| (at[a] / new[a]).total_cmp(&(at[b] / new[b])));
        let Some(leaves) = leaves else { break };
        held[leaves] = highest;
    }
    held
}

/// The weights with which the corners of a triangle make up a place, of sum 1.
#[must_use]
pub(super) fn shares(corners: [[f64; 3]; 3], [x, y]: [f64; 2]) -> [f64; 3] {
    let [a, b, c] = corners;
    let area = |p: [f64; 2], q: [f64; 2], r: [f64; 2]| {
        (q[0] - p[0]) * (r[1] - p[1]) - (r[0] - p[0]) * (q[1] - p[1])
    };
    let (a, b, c) = ([a[0], a[1]], [b[0], b[1]], [c[0], c[1]]);
    let whole = area(a, b, c);
    let p = [x, y];
    [area(p, b, c), area(a, p, c), area(a, b, p)].map(|part| part / whole)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A hollow is bridged from end to end; a crown is touched at its top; a bump carries one end.
    #[test]
    fn an_edge_rests_where_the_wood_stands_highest() {
        let profile = |f: fn(f64) -> f64| -> Vec<[f64; 2]> {
            (0..=10)
                .map(|i| [f64::from(i), f(f64::from(i) / 5.0 - 1.0)])
                .collect()
        };
        assert_eq!(rests_on(&profile(|u| u * u), 5.0), [0, 10]);
        assert_eq!(rests_on(&profile(|u| -u * u), 5.5), [5, 6]);
        let mut bump = profile(|u| u * u);
        bump[2][1] = 2.0;
        assert_eq!(rests_on(&bump, 5.0), [2, 10]);
    }

    /// Four corners of a wound board: the table lies on the two high ones and on that of the others which is pressed.
    #[test]
    fn a_table_rocks_to_the_corner_that_is_pressed() {
        let corners = [
            [0.0, 0.0, 0.0],
            [10.0, 0.0, 3.0],
            [0.0, 4.0, 3.0],
            [10.0, 4.0, 0.0],
        ];
        let mut near_a = carries(&corners, [3.0, 1.0], [0, 1, 2]);
        near_a.sort_unstable();
        assert_eq!(near_a, [0, 1, 2]);
        let mut far_b = carries(&corners, [7.0, 3.0], [0, 1, 3]);
        far_b.sort_unstable();
        assert_eq!(far_b, [1, 2, 3]);
    }
}
