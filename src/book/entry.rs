//! What a book holds: predictions and actual thicknesses, in the order in which they were entered. Millimetres.

use super::model::Labels;
use crate::flatten::{Interval, Shortfall};
use crate::length::Unit;

/// One entry.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Counts up from 1; never given twice.
    pub number: i64,
    /// How and when it was made.
    pub made: Made,
    /// When it was undone: it counts no more, but stays.
    pub undone: Option<String>,
    /// What it says.
    pub content: Content,
}

/// How and when an entry was made.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Made {
    /// As 2026-11-25T14:30:00Z.
    pub at: String,
    /// The program's version.
    pub version: String,
    /// The command line.
    pub settings: String,
}

/// What an entry says.
#[derive(Debug, Clone, PartialEq)]
pub enum Content {
    /// How thick a piece was predicted to come out.
    Prediction(Prediction),
    /// How thick it came out.
    Actual(Actual),
}

/// How thick a piece was predicted to come out.
#[derive(Debug, Clone, PartialEq)]
pub struct Prediction {
    /// The board.
    pub board: String,
    /// The piece of the board; none where it is the whole.
    pub piece: Option<String>,
    /// The date of the survey.
    pub survey: Option<String>,
    /// The unit in which its actual thickness is given where none is said.
    pub unit: Unit,
    /// What the readings say, without any loss.
    pub plain: Interval,
    /// What was stated, the loss reckoned with.
    pub stated: Interval,
    /// The loss that was reckoned with.
    pub shortfall: Shortfall,
    /// From how many boards it was learnt; none where the prior stood for it.
    pub learnt_from: usize,
    /// The board at its thickest before milling, where that was read.
    pub rough: Option<f64>,
    /// Machine, species and way of laying.
    pub labels: Labels,
}

/// How thick a piece came out.
#[derive(Debug, Clone, PartialEq)]
pub struct Actual {
    /// The entry of its prediction.
    pub prediction: i64,
    /// As measured; at least one. The thinnest counts.
    pub thicknesses: Vec<f64>,
    /// Of reading them: one standard deviation.
    pub rounding: f64,
    /// It was questioned, and confirmed.
    pub sure: bool,
}

impl Prediction {
    /// The name by which its actual is recorded: the board's, with the piece's behind a comma.
    #[must_use]
    pub fn name(&self) -> String {
        match &self.piece {
            None => self.board.clone(),
            Some(piece) => format!("{}, {piece}", self.board),
        }
    }
}

impl Actual {
    /// The thickness that counts.
    #[must_use]
    pub fn thinnest(&self) -> f64 {
        self.thicknesses
            .iter()
            .copied()
            .fold(f64::INFINITY, f64::min)
    }
}

impl Entry {
    /// Its prediction, unless it is an actual or was undone.
    #[must_use]
    pub fn prediction(&self) -> Option<&Prediction> {
        match &self.content {
            Content::Prediction(prediction) if self.undone.is_none() => Some(prediction),
            _ => None,
        }
    }

    /// Its actual, unless it is a prediction or was undone.
    #[must_use]
    pub fn actual(&self) -> Option<&Actual> {
        match &self.content {
            Content::Actual(actual) if self.undone.is_none() => Some(actual),
            _ => None,
        }
    }
}
