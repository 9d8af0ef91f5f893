//! Whether a scan in a frame of its own lies on the board the right way round: half a turn does not show in a rectangle.

use super::expect::LaySure;
use crate::board::{Board, Lay, Shape};
use crate::readings::Face;
use crate::surface::Known;
use crate::surface::least_squares::LeastSquares;

/// How the board lay in a scanner's own frame, how sure that is, and what speaks against it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Laid {
    /// As the edges tell.
    pub lay: Lay,
    /// How sure it is, where anything is expected.
    pub sure: Option<LaySure>,
    /// How calipers fit this scan and the other face, where they tell.
    pub calipers: Option<CaliperFit>,
    /// What fits better with the scan turned round by half a turn.
    pub other_way: Option<Evidence>,
}

/// How calipers fit the heights of both faces, whatever the datums of these do; root mean squares, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CaliperFit {
    /// How many.
    pub count: usize,
    /// As the scan lies.
    pub as_laid: f64,
    /// Were it turned round by half a turn.
    pub other_way: f64,
}

/// What shows that a scan lies the wrong way round.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Evidence {
    /// Its ends are out of square, or it tapers, the other way than the first.
    Outline,
    /// The calipers.
    Calipers,
}

/// Calipers decide height and lean of a datum, three unknowns; fewer beyond them tell nothing.
const UNKNOWNS: usize = 3;
const FEWEST: usize = UNKNOWNS + 2;

/// Calipers that fit worse than this many times their error, and this many times worse than the other way, speak against a lay.
const WORSE: f64 = 2.0;

/// Edges may lean by this from one face to the other, as a slope.
const UNLIKE: f64 = 2e-3;

/// Chi-squares of the three slopes of an outline: one that fits, and by how much one must fit better. Chances of 1 in 100 and
/// of some 1 in 10⁶.
const FITS: f64 = 11.3;
const BETTER: f64 = 30.0;

/// Each lay of a board.
pub(super) fn laid(board: &Board, known: Option<&Known>, sure: &[LaySure]) -> Vec<Laid> {
    let first = board.lays.first().map(|(lay, _)| lay.shape);
    let numbered = board.lays.iter().enumerate();
    numbered
        .map(|(number, (lay, datums))| {
            let own = datums.iter().all(|datum| *datum > 0) && lay.up != lay.down;
            let calipers = known.filter(|_| own).and_then(|k| fit(board, lay, k));
            let by_calipers = calipers.is_some_and(|fit| {
                fit.as_laid > WORSE * board.errors.caliper && fit.as_laid > WORSE * fit.other_way
            });
            let by_outline = first.is_some_and(|first| fits_turned(&first, &lay.shape));
            let other_way = if by_outline {
                Some(Evidence::Outline)
            } else {
                by_calipers.then_some(Evidence::Calipers)
            };
            Laid {
                lay: *lay,
                sure: sure.get(number).copied(),
                calipers,
                other_way,
            }
        })
        .collect()
}

/// Whether an outline fits the first one turned by half a turn, and not as it is.
fn fits_turned(first: &Shape, shape: &Shape) -> bool {
    let [taper, errors] = shape.taper;
    let turned = Shape {
        taper: [-taper, errors],
        end_a: shape.end_b,
        end_b: shape.end_a,
    };
    let apart = |other: &Shape| {
        let square = |[a, a_error]: [f64; 2], [b, b_error]: [f64; 2]| {
            (a - b).powi(2) / (a_error.powi(2) + b_error.powi(2) + UNLIKE.powi(2))
        };
        square(first.taper, other.taper)
            + square(first.end_a, other.end_a)
            + square(first.end_b, other.end_b)
    };
    let (as_laid, other_way) = (apart(shape), apart(&turned));
    other_way < FITS && as_laid > other_way + BETTER
}

/// How calipers fit as the scan lies and turned round.
fn fit(board: &Board, lay: &Lay, known: &Known) -> Option<CaliperFit> {
    let calipers = &board.down.calipers;
    let count = calipers.len();
    if count < FEWEST {
        return None;
    }
    let course = known.estimate.course();
    let own = if lay.up { Face::Up } else { Face::Down };
    let outline = &board.outline;
    let misfit = |turned: bool| {
        let height = |face: Face, x: f64, y: f64| {
            let (u, v) = outline.unit_place(x, y);
            let (x, y) = if turned && face == own {
                outline.place(-u, -v)
            } else {
                (x, y)
            };
            course.height(face, x, y)
        };
        let mut rows = LeastSquares::new(UNKNOWNS);
        for c in calipers {
            let (u, v) = outline.unit_place(c.x, c.y);
            let between = height(Face::Up, c.x, c.y) - height(Face::Down, c.x, c.y);
            rows.push(&[1.0, u, v], c.thickness - between);
        }
        let plane = rows.solve().shortest;
        let squares = calipers.iter().map(|c| {
            let (u, v) = outline.unit_place(c.x, c.y);
            let between = height(Face::Up, c.x, c.y) - height(Face::Down, c.x, c.y);
            let over = plane[0] + plane[1] * u + plane[2] * v;
            (c.thickness - between - over).powi(2)
        });
        (squares.sum::<f64>() / (count - UNKNOWNS) as f64).sqrt()
    };
    Some(CaliperFit {
        count,
        as_laid: misfit(false),
        other_way: misfit(true),
    })
}
