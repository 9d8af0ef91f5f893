//! One attitude of a piece, and what it takes off each face.

use crate::readings::{Face, Point};

/// The other face.
pub(super) fn other(face: Face) -> Face {
    match face {
        Face::Up => Face::Down,
        Face::Down => Face::Up,
    }
}

/// Two planes along one normal, each as far into its face as it must go to clean it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Attitude {
    pub(super) normal: [f64; 3],
    /// Levels of the planes.
    up: f64,
    down: f64,
    /// The most and the mean that come off each face: up, down.
    most: [f64; 2],
    mean: [f64; 2],
}

impl Attitude {
    pub(super) fn new(up: &[Point], down: &[Point], normal: [f64; 3]) -> Self {
        let level = |p: &Point| p[0] * normal[0] + p[1] * normal[1] + p[2] * normal[2];
        let reach = |points: &[Point]| {
            let levels = points.iter().map(level);
            let low = levels.clone().fold(f64::INFINITY, f64::min);
            let high = levels.clone().fold(f64::NEG_INFINITY, f64::max);
            [low, high, levels.sum::<f64>() / points.len() as f64]
        };
        let ([up, up_high, up_mean], [down_low, down, down_mean]) = (reach(up), reach(down));
        Self {
            normal,
            up,
            down,
            most: [up_high - up, down - down_low],
            mean: [up_mean - up, down - down_mean],
        }
    }

    /// What is left between the planes, mm; negative where they cross.
    pub(super) fn left(&self) -> f64 {
        self.up - self.down
    }

    /// The most that comes off a face.
    pub(super) fn most(&self, face: Face) -> f64 {
        self.most[usize::from(face == Face::Down)]
    }

    /// What comes off a face on average.
    pub(super) fn mean(&self, face: Face) -> f64 {
        self.mean[usize::from(face == Face::Down)]
    }

    /// What comes off a face at a point of it.
    pub(super) fn off(&self, face: Face, p: Point) -> f64 {
        let level = p[0] * self.normal[0] + p[1] * self.normal[1] + p[2] * self.normal[2];
        match face {
            Face::Up => level - self.up,
            Face::Down => self.down - level,
        }
    }
}
