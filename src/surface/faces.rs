//! Both faces of a board as its readings give them.

use super::between;
use super::form::{Form, plane};
use crate::board::{Board, Down, Outline};
use crate::readings::{Face, Point};

/// Both faces over one datum: the readings themselves, and the form of each.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadFaces {
    outline: Outline,
    up: Vec<Point>,
    down: Vec<Point>,
    up_form: Form,
    down_form: Form,
}

impl ReadFaces {
    /// The faces of a board. A caliper reading puts the down face under the up face by its thickness; where the
    /// up face was not read at that place, between its readings.
    #[must_use]
    pub fn new(board: &Board) -> Self {
        let up_form = Form::new(board.outline, &board.up);
        let down: Vec<Point> = match &board.down {
            Down::Thickness(thickness) => board
                .up
                .iter()
                .map(|&[x, y, z]| [x, y, z - thickness])
                .collect(),
            Down::Heights(heights) => heights.clone(),
            Down::Calipers(calipers) => calipers
                .iter()
                .map(|c| {
                    let up = between::height(&up_form, &board.up, c.x, c.y);
                    [c.x, c.y, up - c.thickness]
                })
                .collect(),
        };
        let down_form = Form::new(board.outline, &down);
        Self {
            outline: board.outline,
            up: board.up.clone(),
            down,
            up_form,
            down_form,
        }
    }

    /// The readings of a face.
    #[must_use]
    pub fn points(&self, face: Face) -> &[Point] {
        match face {
            Face::Up => &self.up,
            Face::Down => &self.down,
        }
    }

    /// The form of a face.
    #[must_use]
    pub fn form(&self, face: Face) -> &Form {
        match face {
            Face::Up => &self.up_form,
            Face::Down => &self.down_form,
        }
    }

    /// The height of a face over a place, mm: exact at its readings, between and beyond them a likely course.
    #[must_use]
    pub fn height(&self, face: Face, x: f64, y: f64) -> f64 {
        between::height(self.form(face), self.points(face), x, y)
    }

    /// The board's own normal, out of the up face: that of the up face's least-squares plane. Not of unit length.
    #[must_use]
    pub fn normal(&self) -> [f64; 3] {
        let [_, b, c] = plane(&self.up);
        [-b, -c, 1.0]
    }

    /// The centre of mass of the wood between both forms over the whole outline, of even density.
    ///
    /// Gauss's rule with three places a side integrates the forms' products exactly (they are of fourth degree).
    #[must_use]
    pub fn centre_of_mass(&self) -> Point {
        let node = 0.6_f64.sqrt();
        let rule = [(-node, 5.0 / 9.0), (0.0, 8.0 / 9.0), (node, 5.0 / 9.0)];
        let mut mass = 0.0;
        let mut moment = [0.0; 3];
        for (u, along) in rule {
            for (v, across) in rule {
                let (x, y) = self.outline.place(u, v);
                let (up, down) = (self.up_form.height(x, y), self.down_form.height(x, y));
                let column = along * across * (up - down);
                mass += column;
                for (sum, part) in moment.iter_mut().zip([x, y, (up + down) / 2.0]) {
                    *sum += column * part;
                }
            }
        }
        if mass > 0.0 {
            moment.map(|m| m / mass)
        } else {
            let (x, y) = self.outline.place(0.0, 0.0);
            [
                x,
                y,
                (self.up_form.height(x, y) + self.down_form.height(x, y)) / 2.0,
            ]
        }
    }
}
