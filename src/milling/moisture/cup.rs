//! The cup that drying gives a flat-sawn board.

/// The cup (mm) of a face `width` wide whose middle lies `pith` from the pith, when its wood shrinks by these shares radially
/// and tangentially: how far its middle stands from the line through its edges. Positive is hollow on the bark side; negative
/// where wood swells.
///
/// Seen along the grain, wood at radius r and angle θ from the face's middle goes to radius (1 − s_R) r and angle kθ with
/// k = (1 − s_T)/(1 − s_R): the rings open where they shrink more than the radius. The edge at θ = atan(w / 2R) and the
/// middle then stand (1 − s_R) R [cos kθ / cos θ − 1] apart. To first order it is (s_T − s_R) w² / 4R.
#[must_use]
pub fn ring_cup(width: f64, pith: f64, [radial, tangential]: [f64; 2]) -> f64 {
    if pith <= 0.0 || width <= 0.0 {
        return 0.0;
    }
    let opening = (1.0 - tangential) / (1.0 - radial);
    let edge = (width / (2.0 * pith)).atan();
    (1.0 - radial) * pith * ((opening * edge).cos() / edge.cos() - 1.0)
}
