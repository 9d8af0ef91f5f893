//! Where things stand in a scene: level on the finished planes, with what comes off enlarged.

use super::mesh::Sheet;
use crate::board::Outline;
use crate::flatten::{Laying, Place, Relief};
use crate::readings::{Face, Point};

/// From the board to the scene: x and y from the middle of the board, z over the finished down face, mm. Whatever stands
/// out of a finished face stands out `enlarged` times as far; what is left between them keeps its true thickness.
#[derive(Debug, Clone)]
pub(super) struct Frame<'a> {
    laying: &'a Laying,
    middle: [f64; 2],
    enlarged: f64,
}

impl<'a> Frame<'a> {
    pub(super) fn new(laying: &'a Laying, outline: &Outline, enlarged: f64) -> Self {
        let (x, y) = outline.place(0.0, 0.0);
        Self {
            laying,
            middle: [x, y],
            enlarged,
        }
    }

    /// A place that stands out of a finished face by so much.
    pub(super) fn out(&self, face: Face, [x, y]: [f64; 2], off: f64) -> [f64; 3] {
        let z = match face {
            Face::Up => self.laying.gap() + self.enlarged * off,
            Face::Down => -self.enlarged * off,
        };
        [x - self.middle[0], y - self.middle[1], z]
    }

    /// A point of a face.
    pub(super) fn point(&self, face: Face, point: Point) -> [f64; 3] {
        let off = self.laying.comes_off(face, point);
        self.out(face, [point[0], point[1]], off)
    }

    /// How far a face stands out, over the places of a relief.
    pub(super) fn sheet(&self, relief: &Relief, face: Face, off: impl Fn(&Place) -> f64) -> Sheet {
        Sheet {
            stations: relief.stations,
            positions: relief.positions,
            points: relief
                .places
                .iter()
                .map(|p| self.out(face, p.at, off(p)))
                .collect(),
        }
    }
}

/// What stands out of a finished face at a place.
pub(super) fn off(face: Face) -> impl Fn(&Place) -> f64 {
    move |place| match face {
        Face::Up => place.off_up,
        Face::Down => place.off_down,
    }
}
