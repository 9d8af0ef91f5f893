//! How far a long computation is, and whether it shall go on.

/// What a plan is at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// Boards, one by one: their faces between the readings.
    Boards,
    /// Where each part comes out of each board.
    Places,
    /// The most that any plan makes.
    Bound,
    /// A few boards laid out anew, over and over.
    Layout,
    /// Each board's parts laid out once more for the order of preference.
    Order,
    /// How likely each piece is to come out.
    Chances,
    /// Thickness against length, board by board.
    Curves,
}

/// So many of all steps of a stage are done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// The stage; it may come back, as where several thicknesses are tried.
    pub stage: Stage,
    /// Steps done.
    pub done: usize,
    /// Steps in all, at most.
    pub all: usize,
}

/// Is told how far a computation is, and may stop it.
pub trait Watch {
    /// Hears how far it is.
    fn hear(&mut self, progress: Progress);

    /// Whether it shall stop with the best that it has. Once it shall, it shall for good.
    fn stopped(&mut self) -> bool;
}

/// Nobody watches.
#[derive(Debug, Clone, Copy)]
pub struct Unwatched;

impl Watch for Unwatched {
    fn hear(&mut self, _: Progress) {}

    fn stopped(&mut self) -> bool {
        false
    }
}
