//! The thinnest place of a board that a taper does not explain.

use crate::board::Outline;
use crate::readings::Face;
use crate::surface::Known;
use crate::surface::estimate::Term;
use crate::surface::least_squares::LeastSquares;

/// A place where the board is thinner than round about.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThinSpot {
    /// Where, in the coordinates of the readings.
    pub place: [f64; 2],
    /// By how much it is thinner than the board with its taper would be there, mm.
    pub by: f64,
}

/// A dip of less is no more than roughness, mm.
const LEAST: f64 = 0.5;

/// It stands out of its own uncertainty by this factor: one place of many is named.
const SURE: f64 = 2.0;

/// Places looked at, along and across.
const PLACES: [usize; 2] = [25, 5];

impl ThinSpot {
    /// The thin spot of a board, if it has one.
    #[must_use]
    pub fn find(outline: &Outline, known: &Known) -> Option<Self> {
        let course = known.estimate.course();
        let unit = |i: usize, n: usize| 2.0 * i as f64 / (n - 1) as f64 - 1.0;
        let [along, across] = PLACES;
        let places: Vec<[f64; 2]> = (0..along)
            .flat_map(|i| (0..across).map(move |j| [unit(i, along), unit(j, across)]))
            .collect();
        let over = |[u, v]: [f64; 2]| {
            let (x, y) = outline.place(u, v);
            course.height(Face::Up, x, y) - course.height(Face::Down, x, y)
        };
        let mut rows = LeastSquares::new(3);
        for &[u, v] in &places {
            rows.push(&[1.0, u, v], over([u, v]));
        }
        let taper = rows.solve().shortest;
        let under = |p: &[f64; 2]| taper[0] + taper[1] * p[0] + taper[2] * p[1] - over(*p);
        let thinnest = *places.iter().max_by(|a, b| under(a).total_cmp(&under(b)))?;
        let by = under(&thinnest);
        let place: [f64; 2] = outline.place(thinnest[0], thinnest[1]).into();
        let sure = by > LEAST && by > SURE * uncertainty(outline, known, place);
        sure.then_some(Self { place, by })
    }
}

/// One standard deviation of the thickness at a place less the mean of nine places over the board.
fn uncertainty(outline: &Outline, known: &Known, place: [f64; 2]) -> f64 {
    let mut terms = vec![
        Term::new(Face::Up, place, 1.0),
        Term::new(Face::Down, place, -1.0),
    ];
    for u in [-0.8, 0.0, 0.8] {
        for v in [-0.8, 0.0, 0.8] {
            let at = outline.place(u, v).into();
            terms.push(Term::new(Face::Up, at, -1.0 / 9.0));
            terms.push(Term::new(Face::Down, at, 1.0 / 9.0));
        }
    }
    known.estimate.moments(&terms).1
}
