//! The polygon that points of a plane span.

use parry3d_f64::math::Vector;

/// The corners of the convex hull of points as seen against the normal, counter-clockwise; points closer together than
/// `near` are one (A. M. Andrew, Information Processing Letters 9(5), 1979).
pub(crate) fn convex_polygon(points: Vec<Vector>, normal: Vector, near: f64) -> Vec<Vector> {
    let (right, ahead) = normal.any_orthonormal_pair();
    let mut flat: Vec<(f64, f64, Vector)> = points
        .into_iter()
        .map(|p| (p.dot(right), p.dot(ahead), p))
        .collect();
    flat.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    flat.dedup_by(|a, b| (a.0 - b.0).hypot(a.1 - b.1) <= near);
    if flat.len() < 3 {
        return flat.into_iter().map(|p| p.2).collect();
    }
    let half = |points: &mut dyn Iterator<Item = &(f64, f64, Vector)>| {
        let mut chain: Vec<(f64, f64, Vector)> = Vec::new();
        for &p in points {
            while let [.., a, b] = chain[..] {
                let turn = (b.0 - a.0) * (p.1 - a.1) - (b.1 - a.1) * (p.0 - a.0);
                if turn > near * (p.0 - a.0).hypot(p.1 - a.1) {
                    break;
                }
                chain.pop();
            }
            chain.push(p);
        }
        chain.pop();
        chain
    };
    let mut corners = half(&mut flat.iter());
    corners.extend(half(&mut flat.iter().rev()));
    corners.into_iter().map(|p| p.2).collect()
}
