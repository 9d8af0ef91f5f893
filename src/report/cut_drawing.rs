//! A plan as it is drawn.

use super::pen::Pen;
use super::{AvoidBox, BoardDrawing, CutLine, PieceBox, PlanDrawing};
use crate::board::Board;
use crate::cutting::{CutKind, Plan};
use crate::length::Notation;

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
