//! Both edges of a board, as strings along them and widths tell.

use super::estimate::{Estimate, EstimateError, Faces, Observation, Term, stated_thickness};
use super::held::{Course, edge_observations, face_of};
use super::known::rested;
use super::least_squares::LeastSquares;
use crate::board::{Board, Outline};
use crate::readings::{Edge, EdgesAt, Face, Gauge, Point};

/// Error of a width or of an edge's position, one standard deviation, mm (common practice: a tape).
const TAPE_ERROR: f64 = 1.0;

/// A board stood on its near edge is estimated as one this wide: edges have no cup to speak of.
const THICK: f64 = 25.0;

/// Draws of the edges are made at this many places across the board that stands on its near edge.
const ACROSS: usize = 2;

/// Both edges of a board: the board stood on its near edge, so that its far edge is the up face.
///
/// Where rows say how the edges lie, these are estimated as they depart from the straight lines between the rows: the priors are
/// of sawn stock, whose edges neither taper nor wander as those of a live edge do.
#[derive(Debug, Clone)]
pub struct Edges {
    /// What is added to the lines between the rows, or to nought without any.
    departure: Estimate,
    rows: Vec<EdgesAt>,
    /// A place across the stood board.
    middle: f64,
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
            let rows = &board.edges;
            let observe = |departure: Option<Course<'_>>| match departure {
                None => observations(board, &outline, None),
                Some(departure) => {
                    let whole = |face, x, y| departure(face, x, y) + by_rows(rows, face, x);
                    observations(board, &outline, Some(&whole))
                }
            };
            let fit = |observations: &Vec<Observation>| {
                let departing = observations.iter().map(|o| {
                    let by_rows = o
                        .terms
                        .iter()
                        .map(|t| t.weight * by_rows(rows, t.face, t.x));
                    Observation {
                        value: o.value - by_rows.sum::<f64>(),
                        ..o.clone()
                    }
                });
                Estimate::new(outline, &departing.collect::<Vec<_>>(), 0)
            };
            let (departure, observations) = rested(observe, fit)?;
            let (crook, crook_error) = crook(&outline, &observations);
            Ok(Self {
                departure,
                rows: rows.clone(),
                middle: outline.place(0.0, 0.0).1,
                crook,
                crook_error,
            })
        })
    }

    /// The expected position of an edge at a station, mm; without rows, over the near edge on average.
    pub fn course(&self) -> impl Fn(Edge, f64) -> f64 + '_ {
        let departure = self.departure.course();
        move |edge, x| {
            let face = face_of(edge);
            departure.height(face, x, self.middle) + by_rows(&self.rows, face, x)
        }
    }

    /// What `ask` says of each of so many draws of both edges, the far one as the up face: heights are positions across the
    /// board, at so many stations and at those of the rows. The same count and seed give the same draws.
    pub fn of_draws<T: Send>(
        &self,
        count: usize,
        seed: u64,
        stations: usize,
        ask: impl Fn(Faces) -> T + Sync,
    ) -> Vec<T> {
        let drawn = self.departure.draws(count, seed);
        drawn.each([stations, ACROSS], |Faces { up, down }| {
            ask(Faces {
                up: self.over_rows(&up, Face::Up),
                down: self.over_rows(&down, Face::Down),
            })
        })
    }

    /// Points of an edge, station by station, over what the rows say; where a row lies between two stations, it bends there.
    fn over_rows(&self, departure: &[Point], face: Face) -> Vec<Point> {
        let placed = |&[x, y, z]: &Point| [x, y, z + by_rows(&self.rows, face, x)];
        let mut points: Vec<Point> = departure.iter().map(placed).collect();
        let stations: Vec<&[Point]> = departure.chunks(ACROSS).collect();
        for two in stations.windows(2) {
            let (from, to) = (two[0][0][0], two[1][0][0]);
            let between = self.rows.iter().map(|row| row.station);
            for x in between.filter(|x| from < *x && *x < to) {
                let share = (x - from) / (to - from);
                let ends = two[0].iter().zip(two[1]);
                points.extend(ends.map(|(a, b)| placed(&[x, a[1], a[2] + share * (b[2] - a[2])])));
            }
        }
        points
    }
}

/// Where rows say that an edge lies at a station; nought without any.
fn by_rows(rows: &[EdgesAt], face: Face, station: f64) -> f64 {
    EdgesAt::along(rows, station).map_or(0.0, |at| match face {
        Face::Up => at.far,
        Face::Down => at.near,
    })
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
