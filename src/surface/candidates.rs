//! Readings that a person could take next.

use super::estimate::{Observation, Term};
use super::held::gauge_observation;
use super::known::Known;
use super::observe::{Taken, What};
use crate::board::Board;
use crate::readings::{Aligned, Face, Gauge, Gauged, Rest, Run, Sticks, Straightedge};

/// A reading that could be taken.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// What to read.
    pub what: What,
    /// The place by which it is known.
    pub place: [f64; 2],
    /// Both ends of a straightedge; the middles of two winding sticks; twice the place of other readings.
    pub ends: [[f64; 2]; 2],
}

/// Stations looked at: both ends and eleven between.
const STATIONS: u32 = 12;

/// Readings that a person can take, with what they would be like: heights of the up face at both edges and the middle
/// where heights were read, else gaps under a straightedge and winding sticks; thicknesses along both edges; not
/// where the same was read within a tenth of the board's length and a quarter of its width.
#[must_use]
pub fn candidates(board: &Board, known: &Known) -> Vec<(Candidate, Observation)> {
    let outline = &board.outline;
    let mut found = Vec::new();
    let heights = !board.up.is_empty();
    let stations = (0..=STATIONS).map(|i| 2.0 * f64::from(i) / f64::from(STATIONS) - 1.0);
    for u in stations.clone() {
        for v in [-1.0, 0.0, 1.0] {
            let (x, y) = outline.place(u, v);
            let height = |face: Face, weight: f64| Term { face, x, y, weight };
            let mut add = |what: What, terms: Vec<Term>, sd: f64| {
                let observation = Observation {
                    terms,
                    setup: Vec::new(),
                    value: 0.0,
                    sd,
                };
                found.push((
                    Candidate {
                        what,
                        place: [x, y],
                        ends: [[x, y]; 2],
                    },
                    observation,
                ));
            };
            if heights {
                add(
                    What::Height(Face::Up),
                    vec![height(Face::Up, 1.0)],
                    board.errors.up,
                );
            }
            if v != 0.0 {
                let terms = vec![height(Face::Up, 1.0), height(Face::Down, -1.0)];
                add(What::Thickness, terms, board.errors.caliper);
            }
        }
    }
    if !heights {
        gauges(board, known, &mut found);
    }
    let taken = |c: &Candidate| {
        let near = |t: &Taken| {
            t.what == c.what
                && (t.place[0] - c.place[0]).abs() < 0.1 * outline.length
                && (t.place[1] - c.place[1]).abs() < 0.25 * outline.width
        };
        known.observed.taken.iter().any(near)
    };
    found.retain(|(candidate, _)| !taken(candidate));
    found
}

/// Straightedges along both edges and the middle, read at five places, and across thirteen stations; sticks at end A
/// and another station.
fn gauges(board: &Board, known: &Known, found: &mut Vec<(Candidate, Observation)>) {
    let outline = &board.outline;
    let sd = board
        .gauged
        .iter()
        .map(|g| g.sd)
        .fold(f64::INFINITY, f64::min);
    let sd = if sd.is_finite() { sd } else { board.errors.up };
    let course = known.estimate.course();
    let over = |face: Face, x: f64, y: f64| course.height(face, x, y);
    let place = |u: f64, v: f64| <[f64; 2]>::from(outline.place(u, v));
    let mut add = |gauge: Gauge, what: What, at: [f64; 2], ends: [[f64; 2]; 2]| {
        let observation = gauge_observation(outline, &Gauged { gauge, sd }, Some(&over));
        found.push((
            Candidate {
                what,
                place: at,
                ends,
            },
            observation,
        ));
    };
    let mut straightedge = |from: [f64; 2], to: [f64; 2], at: [f64; 2]| {
        let middle = [0, 1].map(|k| (from[k] + to[k]) / 2.0);
        let up = |[x, y]: [f64; 2]| over(Face::Up, x, y);
        let crowned = up(middle) > (up(from) + up(to)) / 2.0;
        let rest = if crowned { Rest::EqualGaps } else { Rest::Wood };
        let edge = Straightedge {
            face: Face::Up,
            from,
            to,
            rest,
            at,
            gap: 0.0,
        };
        add(
            Gauge::Straightedge(edge),
            What::Straightedge(Face::Up, Run::between(from, to)),
            at,
            [from, to],
        );
    };
    for v in [-1.0, 0.0, 1.0] {
        for u in [0.0, -0.5, 0.5, -0.75, 0.75] {
            straightedge(place(-1.0, v), place(1.0, v), place(u, v));
        }
    }
    for i in 0..=STATIONS {
        let u = 2.0 * f64::from(i) / f64::from(STATIONS) - 1.0;
        straightedge(place(u, -1.0), place(u, 1.0), place(u, 0.0));
    }
    for i in 1..=STATIONS {
        let u = 2.0 * f64::from(i) / f64::from(STATIONS) - 1.0;
        let (a, b) = (place(-1.0, 0.0), place(u, 0.0));
        let edges = [outline.y0, outline.y0 + outline.width];
        let sticks = Sticks {
            face: Face::Up,
            stations: [a[0], b[0]],
            across: [edges; 2],
            // Common practice: sticks twice as long as the board is wide.
            length: 2.0 * outline.width,
            aligned: Aligned::Tips,
            pads: false,
            sliver: 0.0,
        };
        let middle = [0, 1].map(|k| (a[k] + b[k]) / 2.0);
        add(
            Gauge::Sticks(sticks),
            What::Sticks(Face::Up),
            middle,
            [a, b],
        );
    }
}
