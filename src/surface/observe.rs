//! Every reading of a board as a weighted sum of heights of its two faces.

use super::estimate::{Observation, Term, stated_thickness};
use super::held::{Course, held};
use super::lays;
use super::scan::{LocalHeight, Scan};
use super::scans::{Scans, Set, cleaned_up};
use crate::board::{Board, gauge_face, gauge_place};
use crate::readings::{Edge, Face, Gauge, Point, Run};

/// One standard deviation of a single thickness stated for a whole board, mm: nobody says where it was taken.
const STATED_THICKNESS_ERROR: f64 = 0.5;

/// What was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// The height of a face over a datum.
    Height(Face),
    /// The thickness.
    Thickness,
    /// The gap under a straightedge on a face.
    Straightedge(Face, Run),
    /// A sliver over winding sticks on a face.
    Sticks(Face),
    /// The gap under a corner.
    Corner,
    /// The gap between an edge and a string.
    Edge(Edge),
}

/// A reading as it was taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Taken {
    /// What was read.
    pub what: What,
    /// The place by which it is known.
    pub place: [f64; 2],
    /// To be added to a height's value: observations count heights from the level of the first datum's.
    pub level: f64,
}

/// The readings of a board's faces.
#[derive(Debug, Clone, PartialEq)]
pub struct Observed {
    /// Each reading, linear in the heights.
    pub observations: Vec<Observation>,
    /// How each was taken, in the same order.
    pub taken: Vec<Taken>,
    /// The level of the first datum's heights.
    pub level: f64,
    /// Number of set-up unknowns: planes of further datums, depths of roughness, places of scans.
    pub set_ups: usize,
    /// The first of those that say how far scans lie beside their places.
    pub lays: usize,
    /// Readings whose straightedge or sticks rest elsewhere than they were held, by index.
    pub moved: Vec<usize>,
    /// Readings that tell how uneven the board is, by index: all but most of a scan's local heights.
    pub guides: Vec<usize>,
}

impl Observed {
    /// The readings of the board's faces, those of `scans` as local heights of the cleaned-up faces. `course` is what is known of the faces; without it, everything rests where
    /// it was held.
    #[must_use]
    pub(super) fn new(board: &Board, scans: &Scans, course: Option<Course<'_>>) -> Self {
        let planes = 3 * board.set_ups.iter().map(|s| s.datum).max().unwrap_or(0);
        let first_lay = planes + scans.unknowns(board);
        let mut observed = Self {
            observations: Vec::new(),
            taken: Vec::new(),
            level: 0.0,
            set_ups: first_lay + lays::UNKNOWNS * board.lays.len(),
            lays: first_lay,
            moved: Vec::new(),
            guides: Vec::new(),
        };
        observed.heights(board, scans, planes);
        let (under, unknowns) = scans.under_calipers(board, planes);
        for c in &board.down.calipers {
            let terms = vec![
                Term::new(Face::Up, [c.x, c.y], 1.0),
                Term::new(Face::Down, [c.x, c.y], -1.0),
            ];
            let taken = Taken {
                what: What::Thickness,
                place: [c.x, c.y],
                level: 0.0,
            };
            let thickness = c.thickness - under;
            let sd = board.errors.caliper;
            observed.add(terms, unknowns.clone(), thickness, sd, taken);
        }
        if let Some(thickness) = board.down.thickness {
            let (x, y) = board.outline.place(0.0, 0.0);
            let stated =
                stated_thickness(&board.outline, thickness - under, STATED_THICKNESS_ERROR);
            let taken = Taken {
                what: What::Thickness,
                place: [x, y],
                level: 0.0,
            };
            observed.add(stated.terms, unknowns, stated.value, stated.sd, taken);
        }
        for gauged in board
            .gauged
            .iter()
            .filter(|g| gauge_face(&g.gauge).is_some())
        {
            let held = held(&board.outline, gauged, course);
            if held.moved {
                observed.moved.push(observed.observations.len());
            }
            let taken = Taken {
                what: what(&gauged.gauge),
                place: gauge_place(&board.outline, &gauged.gauge),
                level: 0.0,
            };
            observed.add(held.terms, Vec::new(), held.value, held.sd, taken);
        }
        let unread = lays::errors(board, first_lay);
        for depth in scans.depths(board, planes).into_iter().chain(unread) {
            let taken = Taken {
                what: What::Thickness,
                place: board.outline.place(0.0, 0.0).into(),
                level: 0.0,
            };
            observed.add(depth.terms, depth.setup, depth.value, depth.sd, taken);
        }
        observed
    }

    fn heights(&mut self, board: &Board, scans: &Scans, unknown: usize) {
        // Heights over their own mean: where the datum lies says nothing of the board.
        let first = if board.up.is_empty() {
            &board.down.heights
        } else {
            &board.up
        };
        let level = mean_height(first);
        self.level = level;
        let first_lay = self.lays;
        let beside =
            |datum: usize, height: &LocalHeight| lays::beside(board, datum, first_lay, height);
        let sets = [
            (Set::Up, Face::Up, &board.up, board.errors.up),
            (
                Set::Down,
                Face::Down,
                &board.down.heights,
                board.errors.down,
            ),
        ];
        for (set, face, points, sd) in sets {
            if let Some((k, scan)) = scans.of(set) {
                self.gathered(scan, false, level, unknown + k, &|height| beside(0, height));
                continue;
            }
            for &[x, y, z] in points {
                let taken = Taken {
                    what: What::Height(face),
                    place: [x, y],
                    level,
                };
                self.add(
                    vec![Term::new(face, [x, y], 1.0)],
                    Vec::new(),
                    z - level,
                    sd,
                    taken,
                );
            }
        }
        for (number, set) in board.set_ups.iter().enumerate() {
            let level = mean_height(&set.points);
            let out = if set.turned { -1.0 } else { 1.0 };
            let first = 3 * (set.datum - 1);
            let plane = |[x, y]: [f64; 2]| {
                let (u, v) = board.outline.unit_place(x, y);
                vec![(first, 1.0), (first + 1, u), (first + 2, v)]
            };
            if let Some((k, scan)) = scans.of(Set::Other(number)) {
                self.gathered(scan, set.turned, level, unknown + k, &|height| {
                    let beside = beside(set.datum, height);
                    plane(height.at).into_iter().chain(beside).collect()
                });
                continue;
            }
            for &[x, y, z] in &set.points {
                let taken = Taken {
                    what: What::Height(set.face),
                    place: [x, y],
                    level,
                };
                self.add(
                    vec![Term::new(set.face, [x, y], out)],
                    plane([x, y]),
                    z - level,
                    set.sd,
                    taken,
                );
            }
        }
    }

    /// The local heights of a scan, counted from `level`.
    fn gathered(
        &mut self,
        scan: &Scan,
        turned: bool,
        level: f64,
        unknown: usize,
        set_up: &dyn Fn(&LocalHeight) -> Vec<(usize, f64)>,
    ) {
        for height in &scan.heights {
            let taken = Taken {
                what: What::Height(scan.face),
                place: height.at,
                level,
            };
            let read = cleaned_up(scan, height, turned, level, unknown, set_up(height));
            self.add(read.terms, read.setup, read.value, read.sd, taken);
            if !height.guide {
                self.guides.pop();
            }
        }
    }

    fn add(
        &mut self,
        terms: Vec<Term>,
        setup: Vec<(usize, f64)>,
        value: f64,
        sd: f64,
        taken: Taken,
    ) {
        self.guides.push(self.observations.len());
        self.observations.push(Observation {
            terms,
            setup,
            value,
            sd,
        });
        self.taken.push(taken);
    }
}

fn mean_height(points: &[Point]) -> f64 {
    points.iter().map(|p| p[2]).sum::<f64>() / points.len().max(1) as f64
}

fn what(gauge: &Gauge) -> What {
    match gauge {
        Gauge::Straightedge(s) => What::Straightedge(s.face, Run::between(s.from, s.to)),
        Gauge::Sticks(s) => What::Sticks(s.face),
        Gauge::Corner(_) => What::Corner,
        Gauge::Edge(e) => What::Edge(e.edge),
    }
}
