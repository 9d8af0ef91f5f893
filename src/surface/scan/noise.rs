//! The sensor's noise told apart from roughness.
//!
//! Noise differs from point to point however near they lie; roughness is shared by near neighbours, saw marks along the mark if
//! not across it. Half the mean squared difference of pairs at a distance (G. Matheron's variogram, *Principles of
//! geostatistics*, 1963, from memory) falls towards the noise's variance as the distance does, in one direction
//! at least: the least of all directions, carried on to distance nought, is what near neighbours do not share.

use rayon::prelude::*;

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

/// The variances of noise and roughness together, and what is known of the noise's, mm².
#[derive(Debug, Clone, Copy)]
pub(super) struct Noise {
    /// Of noise and roughness together.
    pub(super) total: f64,
    /// Of the residuals, which hold what planes leave of the face's shape as well.
    pub(super) spread: f64,
    /// The noise's, with its standard deviation, where neighbouring points tell it.
    neighbours: Option<(f64, f64)>,
    /// The noise's as the user stated it.
    stated: Option<f64>,
}

/// Points this near, mm, show the marks of any saw (common practice: pitches of 3 mm and more).
const NEAR: f64 = 1.0;

/// Up to this distance, mm, or twice that of the nearest pairs, marks may differ as smooth ones do.
const SMOOTH: f64 = 1.7;

/// Pairs between these distances, mm, lie on other saw marks and on the same board.
const APART: [f64; 2] = [6.0, 18.0];

/// Points of a cell that are paired so.
const PAIRED: usize = 100;

/// Unknowns of a plane: they bring the residuals nearer to it.
const PLANE: f64 = 3.0;

/// Pairs of a class, at least.
const PAIRS: f64 = 300.0;

/// A variogram this share below or above the total shows that neighbours share something.
const SHOWS: f64 = 0.08;

/// Pairs share points, so that so many of them tell as much as one that does not; about.
const TOGETHER: f64 = 3.0;

/// Directions, and one class of all.
const DIRECTIONS: usize = 4;

/// Ends of the classes of distance, in usual distances of neighbours.
const CLASSES: [f64; 8] = [0.4, 0.7, 1.2, 1.7, 2.4, 3.2, 4.4, 6.4];

/// What neighbours tell of the noise's variance is off by this share of the total, besides chance.
const UNSURE: f64 = 0.03;

/// A standard deviation of less than this share of the total is worth saying that neighbours tell it.
const SURE: f64 = 0.1;

/// How far a stated error may itself be off, as a share of its square.
const STATED_UNSURE: f64 = 0.1;

/// Pairs at one distance in one direction.
#[derive(Clone, Copy, Default)]
struct Class {
    pairs: f64,
    distance: f64,
    half_square: f64,
}

/// The classes of each direction; the last direction is all of them.
type Classes = [[Class; CLASSES.len()]; DIRECTIONS + 1];

impl Noise {
    /// From residuals within `far`.
    pub(super) fn new(
        sampled: &[Vec<Residual>],
        near: &[Vec<Residual>],
        far: f64,
        stated: Option<f64>,
    ) -> Self {
        let spread = variance(sampled, far);
        let total = apart(sampled, far).unwrap_or(spread).min(spread);
        let neighbours = variogram(near, far).and_then(|classes| told(&classes, total));
        Self {
            total,
            spread,
            neighbours,
            stated: stated.map(|sd| sd * sd),
        }
    }

    /// How likely it is that the noise has this variance, but for a factor.
    pub(super) fn likelihood(&self, variance: f64) -> f64 {
        let normal = |off: f64, sd: f64| (-0.5 * (off / sd.max(1e-12)).powi(2)).exp();
        let seen = self.neighbours.map_or(1.0, |(noise, unsure)| {
            normal(variance - noise, unsure.hypot(UNSURE * self.total))
        });
        let said = self.stated.map_or(1.0, |stated| {
            let more = variance - stated.min(self.total);
            // What neighbours surely do not share is noise at most: what is stated can only make it less.
            if self.told() == Told::Neighbours && more < 0.0 {
                1.0
            } else {
                normal(more, STATED_UNSURE * stated.min(self.total))
            }
        });
        seen * said
    }

    /// How it is told.
    pub(super) fn told(&self) -> Told {
        match (self.neighbours, self.stated) {
            (Some((_, unsure)), _) if unsure < SURE * self.total => Told::Neighbours,
            (_, Some(_)) => Told::Stated,
            _ => Told::Open,
        }
    }
}

/// The variance of residuals within `far` about their planes, the mean of the cells'.
fn variance(sampled: &[Vec<Residual>], far: f64) -> f64 {
    let (mut sum, mut count) = (0.0, 0.0);
    for cell in sampled {
        let inside = cell.iter().filter(|r| r.off.abs() <= far);
        let (square, n) = inside.fold((0.0, 0.0), |s, r| (s.0 + r.off * r.off, s.1 + 1.0));
        if n > PLANE {
            sum += square / (n - PLANE);
            count += 1.0;
        }
    }
    if count > 0.0 { sum / count } else { 0.0 }
}

/// Half the mean squared difference of pairs far enough apart to share no roughness and near enough to share the face's shape:
/// noise and roughness together.
fn apart(sampled: &[Vec<Residual>], far: f64) -> Option<f64> {
    let (mut sum, mut count) = (0.0, 0.0);
    let (low, high) = (APART[0] * APART[0], APART[1] * APART[1]);
    for cell in sampled {
        let some = &cell[..cell.len().min(PAIRED)];
        for (i, a) in some.iter().enumerate().filter(|(_, r)| r.off.abs() <= far) {
            for b in some[..i].iter().filter(|r| r.off.abs() <= far) {
                let square = (a.x - b.x).powi(2) + (a.y - b.y).powi(2);
                if square >= low && square <= high {
                    sum += 0.5 * (a.off - b.off).powi(2);
                    count += 1.0;
                }
            }
        }
    }
    (count >= PAIRS).then(|| sum / count)
}

/// The noise's variance with its standard deviation, where pairs near enough tell it.
fn told(classes: &[[Class; CLASSES.len()]], total: f64) -> Option<(f64, f64)> {
    let directions: Vec<Vec<Seen>> = classes
        .iter()
        .map(|direction| direction.iter().filter_map(Seen::new).collect())
        .collect();
    // Whether neighbours share something, in whatever direction.
    let off = |seen: &Seen| (seen.variance - total).abs() > (SHOWS * total).max(5.0 * seen.unsure);
    let shows = directions.iter().flatten().any(off);
    let near = |seen: &Seen| seen.distance <= NEAR;
    // The least of many would be too small by chance: a sure one counts for more.
    let (nought, unsure, is_near) = directions
        .iter()
        .filter_map(|seen| {
            let first = seen.first()?;
            (shows || near(first)).then(|| {
                let (nought, unsure) = at_nought(seen);
                (nought, unsure, near(first))
            })
        })
        .min_by(|a, b| (a.0 + 2.0 * a.1).total_cmp(&(b.0 + 2.0 * b.1)))?;
    (is_near || nought < (1.0 - SHOWS) * total).then_some((nought, unsure))
}

/// A class with pairs enough.
#[derive(Clone, Copy)]
struct Seen {
    distance: f64,
    /// Half the mean squared difference, and its standard deviation.
    variance: f64,
    unsure: f64,
}

impl Seen {
    fn new(class: &Class) -> Option<Self> {
        let variance = class.half_square / class.pairs;
        (class.pairs >= PAIRS).then(|| Self {
            distance: class.distance / class.pairs,
            variance,
            unsure: variance * (2.0 * TOGETHER / class.pairs).sqrt(),
        })
    }
}

/// The variogram of one direction carried on to distance nought, with its standard deviation: smooth marks differ by the square of
/// a small distance, so by a line over that square through as many classes as one line fits.
fn at_nought(seen: &[Seen]) -> (f64, f64) {
    let first = seen[0];
    let mut found = (first.variance, first.unsure);
    let reach = SMOOTH.max(2.2 * first.distance);
    let near = seen.iter().take_while(|s| s.distance <= reach).count();
    for count in 2..=near {
        let some = &seen[..count];
        let sum = |of: &dyn Fn(&Seen) -> f64| -> f64 {
            some.iter().map(|s| of(s) / (s.unsure * s.unsure)).sum()
        };
        let weight = sum(&|_| 1.0);
        let middle = sum(&|s| s.distance.powi(2)) / weight;
        let mean = sum(&|s| s.variance) / weight;
        let spread = sum(&|s| (s.distance.powi(2) - middle).powi(2));
        let rise = sum(&|s| (s.distance.powi(2) - middle) * (s.variance - mean)) / spread;
        // Nothing is shared less by nearer ones.
        let rise = rise.max(0.0);
        let line = |s: &Seen| mean + rise * (s.distance.powi(2) - middle);
        if some
            .iter()
            .any(|s| (s.variance - line(s)).abs() > 2.5 * s.unsure)
        {
            break;
        }
        let nought = mean - rise * middle;
        let chance = (1.0 / weight + middle * middle / spread).sqrt();
        // Marks that are not smooth fall further on the way that no pair shows.
        let beyond = 0.5 * (line(&first) - nought);
        found = (nought.max(0.3 * first.variance), chance.hypot(beyond));
    }
    found
}

/// The pairs of all cells' windows by direction and distance.
fn variogram(near: &[Vec<Residual>], far: f64) -> Option<Classes> {
    let inside = |cell: &[Residual]| -> Vec<Residual> {
        cell.iter()
            .filter(|r| r.off.abs() <= far)
            .copied()
            .collect()
    };
    let windows: Vec<Vec<Residual>> = near.iter().map(|cell| inside(cell)).collect();
    let mut nearest: Vec<f64> = windows
        .par_iter()
        .flat_map_iter(|cell| (0..cell.len()).filter_map(|i| neighbour(cell, i).map(|n| n.1)))
        .collect();
    let usual = median(&mut nearest);
    if usual <= 0.0 {
        return None;
    }
    let ends = CLASSES.map(|c| (c * usual).powi(2));
    let of_windows: Vec<Classes> = windows.par_iter().map(|w| pairs(w, &ends)).collect();
    let mut classes = Classes::default();
    for window in &of_windows {
        for (to, from) in classes.iter_mut().flatten().zip(window.iter().flatten()) {
            to.pairs += from.pairs;
            to.distance += from.distance;
            to.half_square += from.half_square;
        }
    }
    Some(classes)
}

/// The pairs of one window; `ends` are the squares of the distances at which classes end.
fn pairs(window: &[Residual], ends: &[f64; CLASSES.len()]) -> Classes {
    let mut classes = Classes::default();
    for (i, a) in window.iter().enumerate() {
        for b in &window[..i] {
            let (dx, dy) = (a.x - b.x, a.y - b.y);
            let square = dx * dx + dy * dy;
            let Some(class) = ends.iter().position(|end| square <= *end) else {
                continue;
            };
            let distance = square.sqrt();
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
    classes
}

/// The nearest other point of a window, and how far it is.
pub(super) fn neighbour(cell: &[Residual], i: usize) -> Option<(usize, f64)> {
    let square = |j: usize| (cell[i].x - cell[j].x).powi(2) + (cell[i].y - cell[j].y).powi(2);
    (0..cell.len())
        .filter(|&j| j != i)
        .map(|j| (j, square(j)))
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(j, square)| (j, square.sqrt()))
}
