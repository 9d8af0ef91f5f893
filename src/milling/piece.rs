//! What is milled: a board, or a piece of one.

use crate::board::{Board, Outline};
use crate::cutting::Planned;
use crate::flatten::{
    Answer, Faces, Flattening, Interval, NoExpectation, Unanswerable, flatten, known,
};
use crate::readings::{Face, Point};
use crate::surface::ReadFaces;

/// A board or a piece of one, its faces, and how it lies in each way.
#[derive(Debug, Clone)]
pub struct Piece {
    /// What it is called.
    pub name: String,
    /// What is sawn, in the coordinates of the board's readings.
    pub outline: Outline,
    /// The finished thickness.
    pub need: f64,
    /// The finished length and width, where it is to have any.
    pub finished: Option<[f64; 2]>,
    /// What flattening leaves at the readings.
    pub flattening: Flattening,
    /// What is expected to survive balanced and shimmed, where anything can be.
    pub survives: Option<Survives>,
    pub(super) up: Vec<Point>,
    pub(super) down: Vec<Point>,
    pub(super) faces: ReadFaces<'static>,
    pub(super) centre: Point,
}

/// What is expected to survive, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Survives {
    /// In the attitude that takes least off the first face.
    pub balanced: Interval,
    /// In the attitude that leaves most.
    pub shimmed: Interval,
    /// The probability that the shimmed thickness is reached, 0 to 1.
    pub chance: f64,
}

/// The faces of a board: as read, or as expected where no height of the up face was read.
///
/// # Errors
///
/// Why there are none.
pub fn board_faces(board: &Board) -> Result<ReadFaces<'_>, NoExpectation> {
    match ReadFaces::new(board) {
        Some(read) => Ok(read),
        None => known(board).map(|known| ReadFaces::expected(board.outline, &known)),
    }
}

/// Why a piece cannot be milled on paper.
#[derive(Debug, Clone, PartialEq)]
pub enum NoPiece {
    /// Its readings have no answer.
    Unanswerable(Unanswerable),
    /// Its faces are not known.
    Faceless(NoExpectation),
}

impl Piece {
    /// A whole board, as its readings answer.
    ///
    /// # Errors
    ///
    /// Why its readings have no answer.
    pub fn whole(board: &Board, answer: &Answer, need: f64) -> Result<Self, NoPiece> {
        let faces = board_faces(board).map_err(NoPiece::Faceless)?;
        let flattening = answer.flattening.clone().map_err(NoPiece::Unanswerable)?;
        let survives = answer.expectation.as_ref().ok().map(|e| Survives {
            balanced: e.balanced,
            shimmed: e.shimmed,
            chance: e.chance(need),
        });
        Ok(Self {
            name: board.name.clone(),
            outline: board.outline,
            need,
            finished: None,
            flattening,
            survives,
            up: faces.outermost(Face::Up).to_vec(),
            down: faces.outermost(Face::Down).to_vec(),
            centre: faces.centre_of_mass(),
            faces: faces.into_owned(),
        })
    }

    /// A piece that is sawn out of a board, `name` and numbers as the cut plan has them: the readings within it, and what lies
    /// between them at its rim.
    ///
    /// # Errors
    ///
    /// Why its faces have no answer.
    pub fn cut(
        board: &Board,
        name: String,
        planned: &Planned,
        finished: [f64; 2],
    ) -> Result<Self, NoPiece> {
        let rough = planned.rough;
        let outline = Outline {
            x0: rough.from,
            y0: rough.near,
            length: rough.length(),
            width: rough.width(),
        };
        let faces = board_faces(board).map_err(NoPiece::Faceless)?;
        let points = |face: Face| -> Vec<Point> {
            let within = |p: &Point| {
                let (u, v) = outline.unit_place(p[0], p[1]);
                u.abs() <= 1.0 && v.abs() <= 1.0
            };
            let mut points: Vec<Point> = faces.readings(face).filter(within).collect();
            for i in 0..ALONG {
                for j in 0..ACROSS {
                    let unit = |k: usize, n: usize| 2.0 * k as f64 / (n - 1) as f64 - 1.0;
                    let (x, y) = outline.place(unit(i, ALONG), unit(j, ACROSS));
                    points.push([x, y, faces.height(face, x, y)]);
                }
            }
            points
        };
        let (up, down) = (points(Face::Up), points(Face::Down));
        let (x, y) = outline.place(0.0, 0.0);
        let middle = (faces.height(Face::Up, x, y) + faces.height(Face::Down, x, y)) / 2.0;
        let centre = [x, y, middle];
        let normal = faces.normal();
        let flattening = flatten(&Faces {
            up: &up,
            down: &down,
            normal,
            centre,
        })
        .map_err(NoPiece::Unanswerable)?;
        // What is expected balanced is as much less than shimmed as at the readings.
        let less = flattening.shimmed.gap() - flattening.balanced.gap();
        let shimmed = planned.interval;
        let balanced = Interval {
            expected: shimmed.expected - less,
            low: shimmed.low - less,
            high: shimmed.high - less,
        };
        let survives = Survives {
            balanced,
            shimmed,
            chance: planned.chance,
        };
        Ok(Self {
            name,
            outline,
            need: planned.thickness,
            finished: Some(finished),
            flattening,
            survives: Some(survives),
            up,
            down,
            faces: faces.into_owned(),
            centre,
        })
    }

    /// The readings of a face that flattening counts.
    pub(super) fn points(&self, face: Face) -> &[Point] {
        match face {
            Face::Up => &self.up,
            Face::Down => &self.down,
        }
    }

    /// The height of a face over a place.
    pub(super) fn height(&self, face: Face, x: f64, y: f64) -> f64 {
        self.faces.height(face, x, y)
    }

    /// The thickness along z where it is thickest, mm.
    #[must_use]
    pub fn thickest(&self) -> f64 {
        self.thicknesses().map(|(_, t)| t).fold(0.0, f64::max)
    }

    /// Where it is thinnest along z at its readings, in the coordinates of the board's readings, and how thick there, mm.
    #[must_use]
    pub fn thinnest(&self) -> ([f64; 2], f64) {
        let found = self.thicknesses().min_by(|a, b| a.1.total_cmp(&b.1));
        found.unwrap_or(([self.centre[0], self.centre[1]], 0.0))
    }

    /// The thickness along z at every reading.
    fn thicknesses(&self) -> impl Iterator<Item = ([f64; 2], f64)> {
        [(Face::Up, 1.0), (Face::Down, -1.0)]
            .into_iter()
            .flat_map(move |(face, sign)| {
                self.points(face).iter().map(move |p| {
                    let across = self.height(super::attitude::other(face), p[0], p[1]);
                    ([p[0], p[1]], sign * (p[2] - across))
                })
            })
    }
}

/// Places of a sawn piece beside its readings.
const ALONG: usize = 13;
const ACROSS: usize = 5;
