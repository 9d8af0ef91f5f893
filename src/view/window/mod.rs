//! The window: the board, and beside it what a person at the bench asks, in order.

mod chord;
mod clerks;
mod cuts;
mod dress;
mod history;
mod panels;
mod readings;
mod run;
mod sheet;
mod table;
mod work;
mod worker;

use std::sync::Arc;

pub use readings::{Cell, Changes, changed};
pub use run::window;
pub use work::Work;

use crate::length::Notation;
use crate::readings::Record;
use crate::report::sheet::Sheet;
use crate::view::scene::Scene;

/// What is asked of the board as it stands in the window.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Asked {
    /// Readings typed over.
    pub changes: Changes,
    /// The thickness that is needed, mm.
    pub need: Option<f64>,
    /// Crosscuts to try, as shares of the board's length from end A, ascending.
    pub cuts: Vec<f64>,
}

/// Everything that the window shows of an answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Shown {
    /// The board.
    pub scene: Scene,
    /// Will it do: the lines that answer.
    pub answer: Vec<String>,
    /// Where the trouble is.
    pub trouble: Vec<String>,
    /// What the pieces between the cuts come to.
    pub pieces: Vec<String>,
    /// How to lay it: a heading, then the shims, a row a station.
    pub laying: Vec<Vec<String>>,
}

/// Where a board might be cut first.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// What it comes to.
    pub lines: Vec<String>,
    /// Its crosscuts, as shares of the board's length from end A; none where it is best left whole or ripped.
    pub cuts: Vec<f64>,
}

/// Answers what is asked; runs off the drawing thread.
pub type Reckon<T> = Box<dyn FnMut(&Asked) -> Result<T, String> + Send>;

/// Writes something into a file: what was written, or why it was not.
pub type Write<T> = Box<dyn FnMut(&T) -> Result<String, String>>;

/// What the window needs of the world outside.
pub struct Hands {
    /// Answers, at every keystroke.
    pub reckon: Reckon<Shown>,
    /// Looks for the best crosscuts, when asked to.
    pub propose: Reckon<Proposal>,
    /// Draws the shop's book, predicted against actual; where there is one.
    pub book: Option<Reckon<Sheet>>,
    /// Saves the readings, with those typed over, as a board file: what was written.
    pub save: Reckon<String>,
    /// Keeps readings typed over that are not saved yet, in case the window is lost; with none, nothing is to be kept.
    pub keep: Reckon<()>,
    /// Writes a picture, as the bytes of a PNG file.
    pub export: Write<Vec<u8>>,
}

/// What the window opens with.
pub struct Opening {
    /// Its title.
    pub title: String,
    /// What its user should know first, if anything.
    pub news: String,
    /// The readings.
    pub record: Arc<Record>,
    /// The thickness that is needed, mm.
    pub need: Option<f64>,
    /// The answer.
    pub shown: Shown,
    /// How the user writes lengths.
    pub notation: Notation,
}
