//! Readings that are not heights: gaps under a straightedge, slivers over winding sticks, corners that rock, strings.

use super::Face;

/// A reading with the size of its error.
#[derive(Debug, Clone, PartialEq)]
pub struct Gauged {
    /// What was held where, and what was read.
    pub gauge: Gauge,
    /// One standard deviation of the reading's error, rounding included, mm.
    pub sd: f64,
}

/// What was held to the board, and what was read. Millimetres in the board frame.
#[derive(Debug, Clone, PartialEq)]
pub enum Gauge {
    /// The gap between a straightedge and the wood.
    Straightedge(Straightedge),
    /// A sliver seen over winding sticks.
    Sticks(Sticks),
    /// The gap under a corner of a board that rocks on a flat table.
    Corner(CornerGap),
    /// The gap between an edge and a string or straightedge along it.
    Edge(EdgeGap),
}

/// A straightedge laid on a face lengthwise, across or askew.
#[derive(Debug, Clone, PartialEq)]
pub struct Straightedge {
    /// The face it lies on.
    pub face: Face,
    /// One end of it, or where its one block stands.
    pub from: [f64; 2],
    /// The other end, or where its other block stands.
    pub to: [f64; 2],
    /// How it rests.
    pub rest: Rest,
    /// Where the gap was read, on the line from `from` to `to`; with [`Rest::EqualGaps`] at both ends.
    pub at: [f64; 2],
    /// The gap between the straightedge and the wood; with blocks, theirs included.
    pub gap: f64,
}

impl Straightedge {
    /// The place of which its gap tells: with equal gaps at both ends, the middle between them.
    fn told_at(&self) -> [f64; 2] {
        match self.rest {
            Rest::EqualGaps => [0, 1].map(|k| (self.from[k] + self.to[k]) / 2.0),
            Rest::Wood | Rest::Blocks(_) => self.at,
        }
    }
}

/// How a straightedge runs over a board.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Run {
    /// Along the length.
    Along,
    /// Across the width.
    Across,
    /// From corner to corner, say.
    Aslant,
}

impl Run {
    /// Of a straightedge between two places: within 3 degrees of the board's length or width it runs along or across.
    #[must_use]
    pub fn between(from: [f64; 2], to: [f64; 2]) -> Self {
        const ASLANT: f64 = 0.05;
        let [dx, dy] = [0, 1].map(|k| (to[k] - from[k]).abs());
        if dx <= ASLANT * dy {
            Self::Across
        } else if dy <= ASLANT * dx {
            Self::Along
        } else {
            Self::Aslant
        }
    }
}

/// How a straightedge rests.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Rest {
    /// On the wood, as over a hollow: on both ends, or on whatever stands higher between them.
    Wood,
    /// On two blocks of this height at its ends.
    Blocks(f64),
    /// On a crown, held so that the gaps at both ends are equal; the gap is the one at either end.
    EqualGaps,
}

/// Winding sticks across a face at two stations.
#[derive(Debug, Clone, PartialEq)]
pub struct Sticks {
    /// The face they lie on.
    pub face: Face,
    /// The stations of the stick that was sighted over and of the stick that was read.
    pub stations: [f64; 2],
    /// The near and the far end of the wood under each.
    pub across: [[f64; 2]; 2],
    /// Length of a stick.
    pub length: f64,
    /// How they were sighted.
    pub aligned: Aligned,
    /// Whether they stood on two equal pads at the edges, clear of a crown.
    pub pads: bool,
    /// What showed at the second stick: positive where its far end stood high, negative where its near end did.
    pub sliver: f64,
}

/// What of the two sticks was brought into line before the sliver was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Aligned {
    /// The tips at one end: the sliver at the other shows the whole difference.
    Tips,
    /// The middles: the sliver at either end shows half of it.
    Middles,
}

/// The gap under one corner of a board that rocks on a flat table, pressed down at the other corners.
#[derive(Debug, Clone, PartialEq)]
pub struct CornerGap {
    /// The face that lies on the table.
    pub on: Face,
    /// The place of the corner.
    pub corner: [f64; 2],
    /// The gap under it.
    pub gap: f64,
}

/// The gap between an edge and a string or straightedge along it.
#[derive(Debug, Clone, PartialEq)]
pub struct EdgeGap {
    /// The edge.
    pub edge: Edge,
    /// The stations of both ends of the string.
    pub from: f64,
    /// See `from`.
    pub to: f64,
    /// How it rests: on the edge, on blocks, or with equal gaps at both ends.
    pub rest: Rest,
    /// The station where the gap was read; with [`Rest::EqualGaps`] at both ends.
    pub at: f64,
    /// The gap; with blocks, theirs included.
    pub gap: f64,
}

impl Gauge {
    /// Whether another reading was taken with the same gauge held to the same places, whatever it shows. Places within a
    /// hundredth of a millimetre are the same.
    #[must_use]
    pub fn held_as(&self, other: &Self) -> bool {
        self.held_within(other, 0.01)
    }

    /// As [`held_as`](Self::held_as), places within `near` mm being the same.
    #[must_use]
    pub fn held_within(&self, other: &Self, near: f64) -> bool {
        let same = |p: [f64; 2], q: [f64; 2]| (p[0] - q[0]).hypot(p[1] - q[1]) <= near;
        match (self, other) {
            (Self::Straightedge(a), Self::Straightedge(b)) => {
                let at = same(a.told_at(), b.told_at());
                a.face == b.face && same(a.from, b.from) && same(a.to, b.to) && at
            }
            (Self::Sticks(a), Self::Sticks(b)) => a.face == b.face && same(a.stations, b.stations),
            (Self::Corner(a), Self::Corner(b)) => a.on == b.on && same(a.corner, b.corner),
            (Self::Edge(a), Self::Edge(b)) => a.edge == b.edge && same([a.at; 2], [b.at; 2]),
            _ => false,
        }
    }
}

/// One of the two edges of a board.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Edge {
    /// The edge from which positions are measured.
    Near,
    /// The other edge.
    Far,
}
