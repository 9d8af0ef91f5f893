//! Everything that one board's milling plan holds, as plain values.

use super::moisture::{Outlook, Water};
use super::piece::{NoPiece, Piece, board_faces};
use super::plan::{MillPlan, MillQuestion};
use super::standards::{StandardWarp, surfaced_size};
use crate::board::{Board, Outline};
use crate::flatten::Note;
use crate::readings::About;

/// The milling plan of a board.
#[derive(Debug, Clone)]
pub struct Milled {
    /// What its owner calls the board.
    pub name: String,
    /// What it covers.
    pub outline: Outline,
    /// What is known of the wood.
    pub about: About,
    /// Every piece with its plan; a board that is not cut is one.
    pub pieces: Vec<(Piece, MillPlan)>,
    /// Warp as the standard measures it, of the whole board.
    pub warp: StandardWarp,
    /// The rough size of hardwood that the board reaches in its middle: quarters of an inch, and the thickness (mm) to which both
    /// sides are to come clean.
    pub surfaced: Option<(u32, f64)>,
    /// What water will do.
    pub water: Outlook,
    /// What is to be said of the shop's own loss, where a book was asked for it.
    pub shop_loss: Option<Note>,
}

impl Milled {
    /// Plans every piece of a board.
    ///
    /// # Errors
    ///
    /// Why the board's faces are not known.
    pub fn new(
        board: &Board,
        pieces: Vec<Piece>,
        question: &MillQuestion,
        water: &Water,
    ) -> Result<Self, NoPiece> {
        let faces = board_faces(board).map_err(NoPiece::Faceless)?;
        let planned = pieces.into_iter().map(|piece| {
            let size = [piece.outline.width, piece.need];
            let drying = Outlook::new(&Water {
                size,
                ..water.clone()
            })
            .drying();
            let plan = MillPlan::new(&piece, question, drying);
            (piece, plan)
        });
        Ok(Self {
            name: board.name.clone(),
            outline: board.outline,
            about: board.about.clone(),
            pieces: planned.collect(),
            warp: StandardWarp::of(board, &faces),
            surfaced: surfaced_size(faces.thickness()),
            water: Outlook::new(water),
            shop_loss: None,
        })
    }

    /// Whether what is expected of any piece is known, beside what its readings say.
    #[must_use]
    pub fn expects(&self) -> bool {
        self.pieces
            .iter()
            .any(|(piece, _)| piece.survives.is_some())
    }
}
