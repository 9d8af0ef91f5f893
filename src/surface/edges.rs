//! Both edges of a board, as strings along them and widths tell.

use super::estimate::{Estimate, EstimateError, Observation, Term, stated_thickness};
use super::held::{Course, edge_observations};
use super::known::rested;
use super::least_squares::LeastSquares;
use crate::board::{Board, Outline};
use crate::readings::{Face, Gauge};

/// Error of a width or of an edge's position, one standard deviation, mm (common practice: a tape).
const TAPE_ERROR: f64 = 1.0;

/// A board stood on its near edge is estimated as one this wide: edges have no cup to speak of.
const THICK: f64 = 25.0;

/// Both edges of a board: the board stood on its near edge, so that its far edge is the up face.
#[derive(Debug, Clone)]
pub struct Edges {
    /// The edges; heights are positions across the board.
    pub estimate: Estimate,
    /// Crook: how far the middle of the edges lies over the line through their ends towards the far edge, mm, by least
    /// squares; `None` where the readings do not tell.
    pub crook: Option<f64>,
    /// Its standard error, mm; `None` where nothing is left over to judge it by.
    pub crook_error: Option<f64>,
}

impl Edges {
    /// The edges of a board; `None` where nothing was read of them.
    ///
    /// # Errors
    ///
    /// As [`Estimate::new`].
    #[must_use]
    pub fn new(board: &Board) -> Option<Result<Self, EstimateError>> {
        let strings = board
            .gauged
            .iter()
            .any(|g| matches!(g.gauge, Gauge::Edge(_)));
        (strings || !board.edges.is_empty()).then(|| {
            let outline = Outline {
                y0: 0.0,
                width: THICK,
                ..board.outline
            };
            let observe = |course: Option<Course<'_>>| observations(board, &outline, course);
            let fit = |observations: &Vec<Observation>| Estimate::new(outline, observations, 0);
            let (estimate, observations) = rested(observe, fit)?;
            let (crook, crook_error) = crook(&outline, &observations);
            Ok(Self {
                estimate,
                crook,
                crook_error,
            })
        })
    }
}

fn observations(board: &Board, outline: &Outline, course: Option<Course<'_>>) -> Vec<Observation> {
    let mut observations = edge_observations(outline, &board.gauged, course);
    if board.edges.is_empty() {
        observations.push(stated_thickness(outline, board.outline.width, TAPE_ERROR));
    }
    let y = outline.place(0.0, 0.0).1;
    for at in &board.edges {
        for (face, value) in [(Face::Up, at.far), (Face::Down, at.near)] {
            let terms = vec![Term {
                face,
                x: at.station,
                y,
                weight: 1.0,
            }];
            observations.push(Observation {
                terms,
                setup: Vec::new(),
                value,
                sd: TAPE_ERROR,
            });
        }
    }
    observations
}

/// Crook and its standard error by plain least squares: each edge straight along a line of its own, and one bow for
/// both.
fn crook(outline: &Outline, observations: &[Observation]) -> (Option<f64>, Option<f64>) {
    let mut rows = LeastSquares::new(5);
    for o in observations {
        let mut row = [0.0; 5];
        for t in &o.terms {
            let (u, _) = outline.unit_place(t.x, t.y);
            let first = if t.face == Face::Up { 0 } else { 2 };
            row[first] += t.weight;
            row[first + 1] += t.weight * u;
            row[4] += t.weight * (1.0 - u * u);
        }
        rows.push(&row, o.value);
    }
    let fit = rows.solve();
    (fit.coefficients[4], fit.standard_errors[4])
}
