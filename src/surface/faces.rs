//! Both faces of a board as its readings give them.

use std::borrow::Cow;

use super::form::Form;
use super::known::Known;
use super::level::levelled;
use super::read_face::ReadFace;
use crate::board::{Board, Outline};
use crate::readings::{Face, Point};

/// Both faces over one datum, as points: the readings themselves or, where there are no heights of the up face, the
/// expected course of both.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadFaces<'a> {
    outline: Outline,
    up: ReadFace<'a>,
    down: ReadFace<'a>,
}

/// Places of the expected course, along and across.
const EXPECTED: [usize; 2] = [13, 5];

impl<'a> ReadFaces<'a> {
    /// The faces of a board as its readings give them; `None` where no height of the up face was read. Heights over
    /// other datums are brought to the first. A caliper reading puts the down face under the up face by its
    /// thickness; where the up face was not read at that place, between its readings. One thickness for the whole
    /// board puts the down face under every reading of the up face where nothing else was read of it.
    #[must_use]
    pub fn new(board: &'a Board) -> Option<Self> {
        let mut points = Cow::Borrowed(&board.up[..]);
        let others = levelled(board, Face::Up, &points, &[]);
        if !others.is_empty() {
            points.to_mut().extend(others);
        }
        if points.is_empty() {
            return None;
        }
        let up = ReadFace::new(board.outline, points);
        let mut known = Cow::Borrowed(&board.down.heights[..]);
        if !board.down.calipers.is_empty() {
            let under = board.down.calipers.iter();
            let under = under.map(|c| [c.x, c.y, up.height(c.x, c.y) - c.thickness]);
            known.to_mut().extend(under);
        }
        let thickness = board.down.thickness.unwrap_or(0.0);
        let others = if board.set_ups.iter().any(|s| s.face == Face::Down) {
            let beside = if known.is_empty() {
                Cow::Owned(up.lowered(thickness).readings().collect())
            } else {
                Cow::Borrowed(&known[..])
            };
            levelled(board, Face::Down, &known, &beside)
        } else {
            Vec::new()
        };
        let down = if known.is_empty() && others.is_empty() {
            up.lowered(thickness)
        } else {
            if !others.is_empty() {
                known.to_mut().extend(others);
            }
            ReadFace::new(board.outline, known)
        };
        Some(Self {
            outline: board.outline,
            up,
            down,
        })
    }

    /// The same, whatever becomes of the board.
    #[must_use]
    pub fn into_owned(self) -> ReadFaces<'static> {
        ReadFaces {
            outline: self.outline,
            up: self.up.into_owned(),
            down: self.down.into_owned(),
        }
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
        let face = |face: Face| ReadFace::new(outline, Cow::Owned(over(face)));
        Self {
            outline,
            up: face(Face::Up),
            down: face(Face::Down),
        }
    }

    fn face(&self, face: Face) -> &ReadFace<'a> {
        match face {
            Face::Up => &self.up,
            Face::Down => &self.down,
        }
    }

    /// The readings of a face.
    pub fn readings(&self, face: Face) -> impl Iterator<Item = Point> + '_ {
        self.face(face).readings()
    }

    /// The readings of a face that a plane can touch: all of them or, of a scan, those that are not sure to lie inside the
    /// hull of others. The hull of these is the hull of all.
    #[must_use]
    pub fn outermost(&self, face: Face) -> &[Point] {
        self.face(face).outermost()
    }

    /// The points by which the height of a face goes: its readings or, of a scan, the means of small cells of it.
    #[must_use]
    pub fn course(&self, face: Face) -> &[Point] {
        self.face(face).course()
    }

    /// Whether a face has so many readings that they are a scan: they stand close together, and each tells little.
    #[must_use]
    pub fn is_scan(&self, face: Face) -> bool {
        self.face(face).is_scan()
    }

    /// The form of a face.
    #[must_use]
    pub fn form(&self, face: Face) -> &Form {
        self.face(face).form()
    }

    /// The height of a face over a place, mm: exact at its readings, between and beyond them a likely course; of a scan by
    /// its [`course`](Self::course).
    #[must_use]
    pub fn height(&self, face: Face, x: f64, y: f64) -> f64 {
        self.face(face).height(x, y)
    }

    /// The board's own normal, out of the up face: that of the up face's least-squares plane. Not of unit length.
    #[must_use]
    pub fn normal(&self) -> [f64; 3] {
        let [b, c] = self.up.slopes();
        [-b, -c, 1.0]
    }

    /// The mean height of the up face over the down face, square to the board, where one of them is a scan, mm.
    #[must_use]
    pub fn above_by(&self) -> Option<f64> {
        let mean = |face: Face| {
            let points = self.course(face);
            let sum = points
                .iter()
                .fold([0.0; 3], |sum, p| [0, 1, 2].map(|k| sum[k] + p[k]));
            sum.map(|sum| sum / points.len() as f64)
        };
        (self.is_scan(Face::Up) || self.is_scan(Face::Down)).then(|| {
            let (up, down, normal) = (mean(Face::Up), mean(Face::Down), self.normal());
            let along: f64 = (0..3).map(|k| (up[k] - down[k]) * normal[k]).sum();
            along / normal.iter().map(|n| n * n).sum::<f64>().sqrt()
        })
    }

    /// The thickness along z in the middle of the board, between the forms of both faces, mm.
    #[must_use]
    pub fn thickness(&self) -> f64 {
        let (x, y) = self.outline.place(0.0, 0.0);
        self.form(Face::Up).height(x, y) - self.form(Face::Down).height(x, y)
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
                let (up, down) = (
                    self.form(Face::Up).height(x, y),
                    self.form(Face::Down).height(x, y),
                );
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
                (self.form(Face::Up).height(x, y) + self.form(Face::Down).height(x, y)) / 2.0,
            ]
        }
    }
}
