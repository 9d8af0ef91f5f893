//! A plan as it is drawn.

use super::pen::Pen;
use crate::board::Board;
use crate::cutting::{CutKind, Plan};
use crate::length::Notation;

/// What a plan looks like; all lengths in millimetres, x from end A, y from the near edge.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PlanDrawing {
    /// In the order in which they are drawn.
    pub boards: Vec<BoardDrawing>,
}

/// One board with its cuts and pieces.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BoardDrawing {
    /// What it is called.
    pub name: String,
    /// Its length, as it is written.
    pub length: String,
    /// Its corners, in order.
    pub outline: Vec<[f64; 2]>,
    /// Places that no part takes in.
    pub avoid: Vec<AvoidBox>,
    /// The cuts.
    pub cuts: Vec<CutLine>,
    /// The finished parts' own wood.
    pub pieces: Vec<PieceBox>,
    /// Where the saw is set, and the running distance from end A as it is written.
    pub distances: Vec<(f64, String)>,
}

/// A place that no part takes in.
#[derive(Debug, Clone, PartialEq)]
pub struct AvoidBox {
    /// Its station and position nearest end A and the near edge.
    pub from: [f64; 2],
    /// The corner across.
    pub to: [f64; 2],
    /// What is there.
    pub what: String,
}

/// A cut: its side nearer end A, or nearer the near edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CutLine {
    /// Where it begins.
    pub from: [f64; 2],
    /// Where it ends.
    pub to: [f64; 2],
    /// How wide it is, towards end B or the far edge.
    pub kerf: f64,
}

/// A piece and what is written in it.
#[derive(Debug, Clone, PartialEq)]
pub struct PieceBox {
    /// The station nearer end A.
    pub from: f64,
    /// The station nearer end B.
    pub to: f64,
    /// The position nearer the near edge.
    pub near: f64,
    /// The position nearer the far edge.
    pub far: f64,
    /// The part's name and what it is expected to come out at.
    pub lines: Vec<String>,
}

/// What is drawn of a plan: the boards that parts are cut from. `boards` are those of the plan.
#[must_use]
pub fn plan_drawing(boards: &[Board], plan: &Plan, notation: Notation) -> PlanDrawing {
    let pen = Pen(notation);
    let drawn = boards
        .iter()
        .enumerate()
        .filter(|(k, _)| plan.pieces.iter().any(|p| p.board == *k))
        .map(|(k, board)| board_drawing(k, board, plan, pen));
    PlanDrawing {
        boards: drawn.collect(),
    }
}

fn board_drawing(number: usize, board: &Board, plan: &Plan, pen: Pen) -> BoardDrawing {
    // Drawings count from end A and the near edge.
    let [x0, y0] = [board.outline.x0, board.outline.y0];
    let allowances = &plan.question.allowances;
    let cuts = plan.cuts.iter().filter(|c| c.0 == number).map(|c| c.1);
    let line = |kind: CutKind, at: f64, from: f64, to: f64| match kind {
        CutKind::Crosscut => CutLine {
            from: [at - x0, from - y0],
            to: [at - x0, to - y0],
            kerf: allowances.kerf_crosscut,
        },
        CutKind::Rip => CutLine {
            from: [from - x0, at - y0],
            to: [to - x0, at - y0],
            kerf: allowances.kerf_rip,
        },
    };
    let pieces = plan
        .pieces
        .iter()
        .filter(|p| p.board == number)
        .map(|p| PieceBox {
            from: p.finished.from - x0,
            to: p.finished.to - x0,
            near: p.finished.near - y0,
            far: p.finished.far - y0,
            lines: vec![
                plan.question.wanted[p.part].name.clone(),
                pen.thickness(p.interval.expected),
            ],
        });
    let crosscuts = cuts.clone().filter(|c| c.kind == CutKind::Crosscut);
    BoardDrawing {
        name: board.name.clone(),
        length: pen.place(board.outline.length),
        outline: corners(board)
            .into_iter()
            .map(|[x, y]| [x - x0, y - y0])
            .collect(),
        avoid: board
            .avoid
            .iter()
            .map(|a| AvoidBox {
                from: [a.from - x0, a.near - y0],
                to: [a.to - x0, a.far - y0],
                what: a.what.clone(),
            })
            .collect(),
        cuts: cuts.map(|c| line(c.kind, c.at, c.from, c.to)).collect(),
        pieces: pieces.collect(),
        distances: crosscuts
            .map(|c| (c.at - x0, pen.bare_place(c.at - x0)))
            .collect(),
    }
}

/// The corners of a board: of its rectangle, or along both edges where they were read, carried on to the ends.
fn corners(board: &Board) -> Vec<[f64; 2]> {
    let outline = board.outline;
    let (a, b) = (outline.x0, outline.x0 + outline.length);
    let (Some(first), Some(last)) = (board.edges.first(), board.edges.last()) else {
        let (near, far) = (outline.y0, outline.y0 + outline.width);
        return vec![[a, near], [b, near], [b, far], [a, far]];
    };
    let between = || {
        board
            .edges
            .iter()
            .filter(move |e| e.station > a && e.station < b)
    };
    let near = between().map(|e| [e.station, e.near]);
    let far = between().rev().map(|e| [e.station, e.far]);
    let mut corners = vec![[a, first.near]];
    corners.extend(near);
    corners.extend([[b, last.near], [b, last.far]]);
    corners.extend(far);
    corners.push([a, first.far]);
    corners
}
