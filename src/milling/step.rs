//! The steps of both days.

use super::passes::Passes;
use super::rest::Rest;
use crate::readings::Face;
use crate::shop::Machine;

/// One step at one machine.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// The first day or the second.
    pub day: u8,
    /// What is done.
    pub task: Task,
    /// What to mind there.
    pub cautions: Vec<Caution>,
}

/// What is done in a step; lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub enum Task {
    /// Saw the piece out of the board, so long and wide.
    RoughCut {
        /// Along the grain.
        length: f64,
        /// Across it.
        width: f64,
    },
    /// The piece is the board.
    LeaveWhole,
    /// Make the first face flat.
    FirstFace {
        /// Which.
        face: Face,
        /// How.
        machine: Machine,
        /// Passes to where the whole face is clean, and what is to come off more.
        passes: Passes,
        /// Of that, beyond what makes it flat.
        beyond: f64,
    },
    /// One edge straight and square to the flat face.
    FirstEdge {
        /// How: the jointer, or by hand.
        machine: Machine,
    },
    /// The second face parallel.
    SecondFace {
        /// Which.
        face: Face,
        /// How.
        machine: Machine,
        /// Passes.
        passes: Passes,
        /// The thickness setting of the first pass.
        from: f64,
        /// That of the last.
        stop: f64,
    },
    /// The other edge parallel, so wide; as wide as it comes where nothing is said.
    RipRough {
        /// Across the grain.
        width: Option<f64>,
        /// Whether it may be ripped: else it is planed by hand.
        saw: bool,
    },
    /// Let it stand.
    Rest(Rest),
    /// Read it again at these stations and positions.
    ReadAgain {
        /// From end A of the piece.
        stations: Vec<f64>,
        /// From its near edge.
        positions: Vec<f64>,
    },
    /// The first face flat again.
    FinalFirst {
        /// Which.
        face: Face,
        /// How.
        machine: Machine,
        /// Passes, at most.
        passes: Passes,
    },
    /// The second face to the thickness.
    FinalSecond {
        /// Which.
        face: Face,
        /// How.
        machine: Machine,
        /// Passes, at most.
        passes: Passes,
        /// The setting of the last pass.
        stop: f64,
    },
    /// The edge straight again, then to width and, last, to length; what is not said is as it comes.
    Size {
        /// Along and across the grain.
        finished: Option<[f64; 2]>,
        /// Whether the piece may be ripped.
        saw: bool,
    },
    /// Smooth what is left over the thickness, and write down what came out.
    Smooth {
        /// What is left for it.
        by: f64,
        /// The thickness wanted.
        to: f64,
    },
}

/// What to mind at a step: common practice.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Caution {
    /// Metal and grit out first.
    Metal,
    /// Crosscut so that the kerf opens.
    KerfOpens,
    /// Nothing under the least length.
    Short,
    /// Push blocks, guard on, no gloves.
    PushBlocks,
    /// Sled stock fixed and stopped.
    Fixed,
    /// One piece at a time, stand aside.
    StandAside,
    /// Nothing that rocks on a planer alone: it copies the warp.
    NotAlone,
    /// Only straight-edged, flat stock on a table saw.
    EdgedOnly,
    /// Dust is a carcinogen and burns.
    Dust,
    /// Slabs are heavy.
    Heavy,
    /// Equal wood off both faces.
    BothFaces,
}

impl Machine {
    /// What to mind at this machine.
    pub(super) fn cautions(self) -> Vec<Caution> {
        match self {
            Self::Jointer => vec![Caution::Short, Caution::PushBlocks],
            Self::RouterSled => vec![Caution::Fixed, Caution::Dust],
            Self::PlanerSled => vec![Caution::Short, Caution::Fixed, Caution::NotAlone],
            Self::Planer => vec![Caution::StandAside, Caution::BothFaces],
            Self::HandPlanes => vec![Caution::Fixed],
        }
    }
}
