//! Both faces of a board as its readings give them.

use super::between;
use super::form::{Form, plane};
use super::known::Known;
use super::level::levelled;
use super::scans::{Scans, Set};
use crate::board::{Board, Outline};
use crate::readings::{Face, Point};

/// Both faces over one datum, as points: the readings themselves or, where there are no heights of the up face, the
/// expected course of both.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadFaces {
    outline: Outline,
    up: Vec<Point>,
    down: Vec<Point>,
    /// What heights between the readings are told by, where not the readings themselves: the local heights of a scan.
    up_local: Option<Vec<Point>>,
    down_local: Option<Vec<Point>>,
    up_form: Form,
    down_form: Form,
    normal: [f64; 3],
}

/// Places of the expected course, along and across.
const EXPECTED: [usize; 2] = [13, 5];

impl ReadFaces {
    /// The faces of a board as its readings give them; `None` where no height of the up face was read. Heights over
    /// other datums are brought to the first. A caliper reading puts the down face under the up face by its
    /// thickness; where the up face was not read at that place, between its readings. One thickness for the whole
    /// board puts the down face under every reading of the up face where nothing else was read of it.
    #[must_use]
    pub fn new(board: &Board) -> Option<Self> {
        Self::with_scans(board, &Scans::new(board))
    }

    /// As [`new`](Self::new), with the scans among the readings gathered already: heights between the points of one are told
    /// by its local heights.
    #[must_use]
    pub fn with_scans(board: &Board, scans: &Scans) -> Option<Self> {
        let local = |set: Set| scans.of(set).map(|(_, scan)| scan.local_points());
        let (up_local, down_local) = (local(Set::Up), local(Set::Down));
        let mut up = board.up.clone();
        up.extend(levelled(board, Face::Up, &up, &[]));
        if up.is_empty() {
            return None;
        }
        let up_form = Form::new(board.outline, &up);
        let near = up_local.as_ref().unwrap_or(&up);
        let over = |x: f64, y: f64| between::height(&up_form, near, x, y);
        let calipers = board.down.calipers.iter();
        let known: Vec<Point> = board
            .down
            .heights
            .iter()
            .copied()
            .chain(calipers.map(|c| [c.x, c.y, over(c.x, c.y) - c.thickness]))
            .collect();
        let lowered = |points: &[Point]| -> Vec<Point> {
            let thickness = board.down.thickness.unwrap_or(0.0);
            points
                .iter()
                .map(|&[x, y, z]| [x, y, z - thickness])
                .collect()
        };
        let beside = if known.is_empty() {
            lowered(&up)
        } else {
            known.clone()
        };
        let others = levelled(board, Face::Down, &known, &beside);
        let mut down_local = down_local;
        let mut down = if known.is_empty() && others.is_empty() {
            down_local = up_local.as_deref().map(lowered);
            lowered(&up)
        } else {
            known
        };
        down.extend(others);
        let mut faces = Self::of(board.outline, up, down);
        (faces.up_local, faces.down_local) = (up_local, down_local);
        Some(faces)
    }

    /// The expected course of both faces, over the datum of the estimate.
    #[must_use]
    pub fn expected(outline: Outline, known: &Known) -> Self {
        let course = known.estimate.course();
        let over = |face: Face| -> Vec<Point> {
            let [along, across] = EXPECTED;
            let unit = |i: usize, n: usize| 2.0 * i as f64 / (n - 1) as f64 - 1.0;
            let places = (0..across).flat_map(|j| (0..along).map(move |i| (i, j)));
            places
                .map(|(i, j)| {
                    let (x, y) = outline.place(unit(i, along), unit(j, across));
                    [x, y, course.height(face, x, y)]
                })
                .collect()
        };
        Self::of(outline, over(Face::Up), over(Face::Down))
    }

    fn of(outline: Outline, up: Vec<Point>, down: Vec<Point>) -> Self {
        let (up_form, down_form) = (Form::new(outline, &up), Form::new(outline, &down));
        let [_, b, c] = plane(&up);
        Self {
            normal: [-b, -c, 1.0],
            outline,
            up,
            down,
            up_local: None,
            down_local: None,
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

    /// The height of a face over a place, mm: exact at its readings or a scan's local heights, between and beyond them a likely
    /// course.
    #[must_use]
    pub fn height(&self, face: Face, x: f64, y: f64) -> f64 {
        let local = match face {
            Face::Up => &self.up_local,
            Face::Down => &self.down_local,
        };
        let points = local.as_deref().unwrap_or(self.points(face));
        between::height(self.form(face), points, x, y)
    }

    /// The board's own normal, out of the up face: that of the up face's least-squares plane. Not of unit length.
    #[must_use]
    pub fn normal(&self) -> [f64; 3] {
        self.normal
    }

    /// The thickness along z in the middle of the board, between the forms of both faces, mm.
    #[must_use]
    pub fn thickness(&self) -> f64 {
        let (x, y) = self.outline.place(0.0, 0.0);
        self.up_form.height(x, y) - self.down_form.height(x, y)
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
