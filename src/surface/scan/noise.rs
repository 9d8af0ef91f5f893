//! The sensor's noise told apart from roughness.
//!
//! Noise differs from point to point however near they lie; roughness is shared by near neighbours, saw marks along the mark if
//! not across it. Half the mean squared difference of pairs at a distance (G. Matheron's variogram, *Principles of
//! geostatistics*, 1963, from memory) falls towards the noise's variance as the distance does, in one direction
//! at least: the least of all directions, carried on to distance nought, is what near neighbours do not share.

use super::plane::median;

/// What a point stands out of the wood over its cell's plane.
#[derive(Debug, Clone, Copy)]
pub(super) struct Residual {
    pub(super) x: f64,
    pub(super) y: f64,
    pub(super) off: f64,
}

/// How the noise was told from the roughness.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Told {
    /// By neighbouring points.
    Neighbours,
    /// By the error that the user stated: the points lie too far apart.
    Stated,
    /// Not at all: the points lie too far apart, and nothing was stated.
    Open,
}

/// The variances of noise and residuals, mm².
#[derive(Debug, Clone, Copy)]
pub(super) struct Noise {
    pub(super) variance: f64,
    /// One standard deviation of that.
    pub(super) unsure: f64,
    /// Of noise and roughness together.
    pub(super) total: f64,
    pub(super) told: Told,
}

/// Points this near, mm, show the marks of any saw (common practice: pitches of 3 mm and more).
const NEAR: f64 = 1.0;

/// Pairs of a class, at least.
const PAIRS: f64 = 300.0;

/// A variogram this share below or above the total shows that neighbours share something.
const SHOWS: f64 = 0.15;

/// Directions, and one class of all.
const DIRECTIONS: usize = 4;

/// Ends of the classes of distance, in usual distances of neighbours.
const CLASSES: [f64; 8] = [0.4, 0.7, 1.2, 1.7, 2.4, 3.2, 4.4, 6.4];

/// How far a stated error may itself be off, as a share of its square.
const STATED_UNSURE: f64 = 0.3;

/// Pairs at one distance in one direction.
#[derive(Clone, Copy, Default)]
struct Class {
    pairs: f64,
    distance: f64,
    half_square: f64,
}

impl Noise {
    /// From residuals within `far`; those of a cell are nearer to its plane than to the true one, by three unknowns.
    pub(super) fn new(
        sampled: &[Vec<Residual>],
        near: &[Vec<Residual>],
        far: f64,
        stated: Option<f64>,
    ) -> Self {
        let (mut sum, mut count) = (0.0, 0.0);
        for cell in sampled.iter().filter(|cell| !cell.is_empty()) {
            let inside = cell.iter().filter(|r| r.off.abs() <= far);
            let (square, n) = inside.fold((0.0, 0.0), |s, r| (s.0 + r.off * r.off, s.1 + 1.0));
            if n > 3.0 {
                sum += square / (n - 3.0);
                count += 1.0;
            }
        }
        let total: f64 = if count > 0.0 { sum / count } else { 0.0 };
        let found = variogram(near, far).and_then(|classes| told(&classes, total));
        let stated = stated.map(|sd| sd * sd);
        match (found, stated) {
            (Some((nugget, unsure)), stated) => {
                // What is stated is the most that is noise; what is finer than the points is then roughness.
                let most = stated.unwrap_or(f64::INFINITY).min(total);
                Self {
                    variance: nugget.min(most),
                    unsure,
                    total,
                    told: Told::Neighbours,
                }
            }
            (None, Some(stated)) => Self {
                variance: stated.min(total),
                unsure: STATED_UNSURE * stated.min(total),
                total,
                told: Told::Stated,
            },
            (None, None) => Self {
                variance: 0.5 * total,
                // Anything from none to all of it: an even distribution's standard deviation.
                unsure: total / 12.0_f64.sqrt(),
                total,
                told: Told::Open,
            },
        }
    }
}

/// The noise's variance with its standard deviation, where pairs near enough tell it.
fn told(classes: &[[Class; CLASSES.len()]], total: f64) -> Option<(f64, f64)> {
    let mut best: Option<(f64, f64)> = None;
    for direction in classes {
        let usable: Vec<(f64, f64, f64)> = direction
            .iter()
            .filter(|c| c.pairs >= PAIRS)
            .map(|c| (c.distance / c.pairs, c.half_square / c.pairs, c.pairs))
            .collect();
        let Some(&(h1, g1, pairs)) = usable.first() else {
            continue;
        };
        // Five standard errors of a variance, or the share.
        let off = |&(_, g, n): &(f64, f64, f64)| {
            (g - total).abs() > (SHOWS * total).max(5.0 * total * (2.0 / n).sqrt())
        };
        if !(usable.iter().any(off) || h1 <= NEAR) {
            continue;
        }
        // Smooth marks differ by the square of a small distance.
        let nought = match usable.get(1) {
            Some(&(h2, g2, _)) if g2 > g1 => {
                (g1 - (g2 - g1) * h1 * h1 / (h2 * h2 - h1 * h1)).max(0.5 * g1)
            }
            _ => g1,
        };
        let unsure = (nought * (2.0 / pairs).sqrt()).hypot(0.3 * (g1 - nought));
        // Of many directions the least is a little too small by chance.
        if best.is_none_or(|b| nought + unsure < b.0 + b.1) {
            best = Some((nought, unsure));
        }
    }
    best
}

/// The pairs of each cell's window by direction and distance; the last direction is all of them.
fn variogram(near: &[Vec<Residual>], far: f64) -> Option<[[Class; CLASSES.len()]; DIRECTIONS + 1]> {
    let inside = |cell: &[Residual]| -> Vec<Residual> {
        cell.iter().filter(|r| r.off.abs() <= far).copied().collect()
    };
    let windows: Vec<Vec<Residual>> = near.iter().map(|cell| inside(cell)).collect();
    let mut nearest: Vec<f64> = windows
        .iter()
        .flat_map(|cell| (0..cell.len()).filter_map(|i| neighbour(cell, i).map(|n| n.1)))
        .collect();
    let usual = median(&mut nearest);
    if usual <= 0.0 {
        return None;
    }
    let mut classes = [[Class::default(); CLASSES.len()]; DIRECTIONS + 1];
    for cell in &windows {
        for (i, a) in cell.iter().enumerate() {
            for b in &cell[..i] {
                let (dx, dy) = (a.x - b.x, a.y - b.y);
                let distance = dx.hypot(dy);
                let Some(class) = CLASSES.iter().position(|c| distance <= c * usual) else {
                    continue;
                };
                let half_turns = dy.atan2(dx) / std::f64::consts::PI * DIRECTIONS as f64;
                let direction = (half_turns + 0.5 + DIRECTIONS as f64).floor() as usize % DIRECTIONS;
                for d in [direction, DIRECTIONS] {
                    let to = &mut classes[d][class];
                    to.pairs += 1.0;
                    to.distance += distance;
                    to.half_square += 0.5 * (a.off - b.off).powi(2);
                }
            }
        }
    }
    Some(classes)
}

/// The nearest other point of a window, and how far it is.
pub(super) fn neighbour(cell: &[Residual], i: usize) -> Option<(usize, f64)> {
    let away = |j: usize| (cell[i].x - cell[j].x).hypot(cell[i].y - cell[j].y);
    (0..cell.len())
        .filter(|&j| j != i)
        .map(|j| (j, away(j)))
        .min_by(|a, b| a.1.total_cmp(&b.1))
}
