//! All that a board file holds.

use super::{Calipers, Edge, Face, Gauged, Heights};
use crate::length::Unit;

/// All that a board file holds, lengths in millimetres.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Record {
    /// What its owner calls the board.
    pub name: Option<String>,
    /// The unit of numbers that name none.
    pub unit: Option<Unit>,
    /// From end A to end B.
    pub length: Option<f64>,
    /// From the near to the far edge; of a board that is not a rectangle, at its widest.
    pub width: Option<f64>,
    /// What is known of the wood and how it lay.
    pub about: About,
    /// Where the edges lie at stations, ascending: two for a taper, more for a live edge; empty for a rectangle.
    pub edges: Vec<EdgesAt>,
    /// Places that no part may take in.
    pub avoid: Vec<Avoid>,
    /// The surveys, in the order of their dates; those without one in the order of the file, before the others.
    pub surveys: Vec<Survey>,
}

/// What is known of a board beside its size.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct About {
    /// The wood.
    pub species: Option<String>,
    /// Moisture content, percent of the dry mass.
    pub moisture: Option<f64>,
    /// How end A is known.
    pub end_a: Option<String>,
    /// How the face is known that was up.
    pub up: Option<String>,
    /// The face that will be seen.
    pub show: Option<Face>,
    /// How the grain runs.
    pub grain: Option<String>,
}

/// Where both edges lie at a station.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EdgesAt {
    /// From end A.
    pub station: f64,
    /// The position of the near edge.
    pub near: f64,
    /// The position of the far edge.
    pub far: f64,
}

/// A place that no part may take in.
#[derive(Debug, Clone, PartialEq)]
pub struct Avoid {
    /// A knot, a check, wane.
    pub what: String,
    /// The station where it begins.
    pub from: f64,
    /// The station where it ends.
    pub to: f64,
    /// The position where it begins.
    pub near: f64,
    /// The position where it ends.
    pub far: f64,
}

/// One survey of a board.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Survey {
    /// Its date, as 2026-11-20.
    pub date: Option<String>,
    /// One thickness for the whole board.
    pub thickness: Option<f64>,
    /// Heights, a set for each table of them.
    pub heights: Vec<HeightSet>,
    /// Thicknesses by caliper.
    pub calipers: Option<Calipers>,
    /// Stated error of a caliper reading, without its rounding: one standard deviation.
    pub caliper_error: Option<f64>,
    /// Straightedge gaps, then sticks, then corners, then strings; each kind in the order of the file.
    pub gauged: Vec<Gauged>,
}

/// Heights of one face over one datum.
#[derive(Debug, Clone, PartialEq)]
pub struct HeightSet {
    /// The face that was read.
    pub face: Face,
    /// The board was turned over for it: the heights stand out of `face`, over a datum of its own.
    pub turned: bool,
    /// The set-up of the datum: sets of one number share it. The first set of the survey has 0.
    pub datum: usize,
    /// The scanner's own frame in which the places are given; `None` where they count from end A and the near edge.
    pub frame: Option<Frame>,
    /// The readings, as points of `Heights::up`; `Heights::down` is empty.
    pub heights: Heights,
    /// Stated error of a height, without its rounding: one standard deviation.
    pub error: Option<f64>,
}

/// A scanner's own frame: x and y anywhere over the board, z out of the face that lay towards the scanner.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Frame {
    /// Sets of one number were read without the board being moved between them. The first of the survey has 0.
    pub number: usize,
    /// Where end A lay, where that was said.
    pub end_a: Option<EndA>,
}

/// Where in a scanner's frame end A lay: the board's length runs within 45 degrees of that axis.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EndA {
    /// Where x is lowest.
    LowX,
    /// Where x is highest.
    HighX,
    /// Where y is lowest.
    LowY,
    /// Where y is highest.
    HighY,
}

impl EndA {
    /// All of them, with the words for them.
    pub const NAMED: [(&'static str, Self); 4] = [
        ("low x", Self::LowX),
        ("high x", Self::HighX),
        ("low y", Self::LowY),
        ("high y", Self::HighY),
    ];
}

impl EdgesAt {
    /// Where the edges lie at any station, by those at some, ascending: straight between them, beyond them as at the outermost; `None`
    /// where there are none.
    #[must_use]
    pub fn along(edges: &[Self], station: f64) -> Option<Self> {
        let next = edges.partition_point(|at| at.station < station);
        let before = edges[..next].last();
        Some(match (before, edges.get(next)) {
            (Some(a), Some(b)) => {
                let share = (station - a.station) / (b.station - a.station);
                Self {
                    station,
                    near: a.near + share * (b.near - a.near),
                    far: a.far + share * (b.far - a.far),
                }
            }
            (Some(outermost), None) | (None, Some(outermost)) => Self {
                station,
                ..*outermost
            },
            (None, None) => return None,
        })
    }

    /// The positions between which a board with these edges lies anywhere; `None` where there are none.
    #[must_use]
    pub fn reach(edges: &[Self]) -> Option<[f64; 2]> {
        let near = edges.iter().map(|at| at.near).reduce(f64::min)?;
        let far = edges.iter().map(|at| at.far).reduce(f64::max)?;
        Some([near, far])
    }

    /// The position of an edge.
    #[must_use]
    pub fn position(&self, edge: Edge) -> f64 {
        match edge {
            Edge::Near => self.near,
            Edge::Far => self.far,
        }
    }
}
