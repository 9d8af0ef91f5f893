//! Whether to cut a board before it is flattened, where no parts are asked for.

use super::Allowances;
use super::evidence::Evidence;
use super::ways::{ByLength, PieceLeft, Way, WayKind, by_length, ways};
use crate::board::{Board, Outline};
use crate::flatten::{NoExpectation, Shortfall, known};
use crate::shop::{Movement, Refusal, Shop, Size};

/// What is asked of a board without a list of parts.
#[derive(Debug, Clone, PartialEq)]
pub struct CutQuestion {
    /// What cutting takes.
    pub allowances: Allowances,
    /// How wood moves when it is cut.
    pub movement: Movement,
    /// What the shop falls short by, where that is reckoned with.
    pub shortfall: Option<Shortfall>,
    /// Uneven cuts lie at multiples of this from end A, mm.
    pub step: f64,
    /// A thickness counts as reached from this chance on, 0 to 1.
    pub certainty: f64,
    /// The usual finished thicknesses, ascending, mm.
    pub sizes: Vec<f64>,
}

/// What cutting a board first would leave.
#[derive(Debug, Clone, PartialEq)]
pub struct CutFirst {
    /// What its owner calls the board.
    pub name: String,
    /// What it covers.
    pub outline: Outline,
    /// How far its faces are expected to be apart on average, mm.
    pub thickness: f64,
    /// What was asked.
    pub question: CutQuestion,
    /// Every way tried, the whole board first.
    pub ways: Vec<Way>,
    /// The way that gains, by its index: `None` where none makes a larger usual thickness than the whole board.
    pub best: Option<usize>,
    /// What survives against the length of a piece.
    pub by_length: Vec<ByLength>,
}

impl CutFirst {
    /// Reckons what each way of cutting leaves of a board.
    ///
    /// # Errors
    ///
    /// Why nothing can be expected of the board.
    pub fn new(board: &Board, question: CutQuestion) -> Result<Self, NoExpectation> {
        let known = known(board)?;
        let evidence =
            Evidence::new(&known.estimate, question.movement).short_by(question.shortfall);
        let ways = ways(
            &evidence,
            &question.allowances,
            question.step,
            question.certainty,
        );
        let best = best(&ways, &question);
        Ok(Self {
            name: board.name.clone(),
            outline: board.outline,
            thickness: evidence.whole.mean_thickness(),
            by_length: by_length(&evidence),
            question,
            ways,
            best,
        })
    }

    /// The usual thickness that a way makes of every piece.
    #[must_use]
    pub fn size(&self, way: &Way) -> Option<f64> {
        way.size(&self.question.sizes, self.question.certainty)
    }

    /// Why no machines of a shop make a piece flat; nothing where some do.
    #[must_use]
    pub fn beyond_machines(&self, piece: &PieceLeft, shop: &Shop) -> Vec<Refusal> {
        shop.beyond_machines(Size {
            length: piece.window.length(),
            width: piece.window.width(),
            before: self.thickness,
            after: piece.interval.expected,
        })
    }
}

/// The way that makes the largest usual thickness of every piece, of those that make more than the whole board: of equals,
/// crosscuts before rips, then the fewest cuts, then the surest.
fn best(ways: &[Way], question: &CutQuestion) -> Option<usize> {
    let size = |k: usize| {
        ways[k]
            .size(&question.sizes, question.certainty)
            .unwrap_or(0.0)
    };
    let glued = |k: usize| matches!(ways[k].kind, WayKind::Widths(_));
    let better = |a: usize, b: usize| {
        size(a)
            .total_cmp(&size(b))
            .then(glued(b).cmp(&glued(a)))
            .then(ways[b].cuts.len().cmp(&ways[a].cuts.len()))
            .then(ways[a].chance(size(a)).total_cmp(&ways[b].chance(size(b))))
    };
    (1..ways.len())
        .filter(|k| size(*k) > size(0))
        .max_by(|&a, &b| better(a, b).then(b.cmp(&a)))
}
