//! What stands on and under the board: readings, holding points, shims, places to avoid.

use super::frame::Frame;
use super::mesh::{Mesh, Sheet, block};
use crate::board::{Board, Outline, gauge_face, gauge_place};
use crate::flatten::{Answer, Flattening, Laying};
use crate::length::{Length, Notation, Rounding};
use crate::readings::Face;

/// A place of a face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// The face.
    pub face: Face,
    /// Where.
    pub point: [f64; 3],
}

/// A reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Pin {
    /// Where it was taken: a height where it reads, of other readings on the face.
    pub spot: Spot,
    /// Of a doubtful one, what was read and what the others expect.
    pub doubt: Option<String>,
}

/// A point at which a finished plane touches rough wood.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Holding {
    /// Where.
    pub spot: Spot,
}

/// A shim under an edge, down face down.
#[derive(Debug, Clone, PartialEq)]
pub struct ShimBlock {
    /// Its body, as much enlarged as the board's warp.
    pub mesh: Mesh,
    /// Its thickness, as its user writes it.
    pub text: String,
    /// Where the text belongs.
    pub at: [f64; 3],
}

/// More pins than this would hide the board.
const MOST_PINS: usize = 300;

/// A doubted reading this near to a place stands there, mm.
const SAME_PLACE: f64 = 0.5;

/// The readings, evenly thinned, and how many were left out; doubtful ones are never left out.
pub(super) fn pins(
    board: &Board,
    answer: &Answer,
    frame: &Frame<'_>,
    faces: [&Sheet; 2],
    notation: Notation,
) -> (Vec<Pin>, usize) {
    let doubted = answer.expectation.as_ref().map_or(&[][..], |e| &e.doubted);
    let doubt = |[x, y]: [f64; 2]| {
        let there = |place: [f64; 2]| (place[0] - x).hypot(place[1] - y) < SAME_PLACE;
        doubted.iter().find(|d| there(d.place)).map(|d| {
            let write = |mm: f64| notation.number(Length::from_mm(mm), Rounding::Nearest);
            format!("read {}, expected {}", write(d.reading), write(d.expected))
        })
    };
    let on = |face: Face| move |&point: &[f64; 3]| (face, point, true);
    let heights = board
        .up
        .iter()
        .map(on(Face::Up))
        .chain(board.down.heights.iter().map(on(Face::Down)));
    let place = |face: Face, [x, y]: [f64; 2]| (face, [x, y, 0.0], false);
    let others = board
        .down
        .calipers
        .iter()
        .map(|c| place(Face::Up, [c.x, c.y]))
        .chain(board.gauged.iter().filter_map(|g| {
            gauge_face(&g.gauge).map(|face| place(face, gauge_place(&board.outline, &g.gauge)))
        }));
    let all: Vec<_> = heights.chain(others).collect();
    let every = all.len().div_ceil(MOST_PINS).max(1);
    let pins: Vec<Pin> = all
        .iter()
        .enumerate()
        .map(|(k, &(face, point, height))| (k, face, point, height, doubt([point[0], point[1]])))
        .filter(|(k, .., doubt)| k % every == 0 || doubt.is_some())
        .map(|(_, face, point, height, doubt)| Pin {
            spot: Spot {
                face,
                point: if height {
                    frame.point(face, point)
                } else {
                    let sheet = if face == Face::Up { faces[0] } else { faces[1] };
                    on_face(&board.outline, sheet, [point[0], point[1]])
                },
            },
            doubt,
        })
        .collect();
    let left_out = all.len() - pins.len();
    (pins, left_out)
}

/// What holds the answer.
pub(super) fn holding(found: &Flattening, frame: &Frame<'_>) -> Vec<Holding> {
    found
        .holding_points
        .iter()
        .map(|h| Holding {
            spot: Spot {
                face: h.face,
                point: frame.point(h.face, h.point),
            },
        })
        .collect()
}

/// A shim is drawn so long and wide, of the board's width.
const SHIM_SIZE: f64 = 0.12;

/// Shims from the table up to the board. The table touches the wood where most comes off the down face.
pub(super) fn shims(
    answer: &Answer,
    laying: &Laying,
    frame: &Frame<'_>,
    notation: Notation,
) -> Vec<ShimBlock> {
    let outline = &answer.outline;
    let half = SHIM_SIZE * outline.width / 2.0;
    let edges = [
        (outline.y0 + half, -half),
        (outline.y0 + outline.width - half, half),
    ];
    let mut blocks = Vec::new();
    for shim in &answer.shims {
        for ((y, outwards), thickness) in edges.into_iter().zip([shim.near, shim.far]) {
            let text = notation.number(Length::from_mm(thickness), Rounding::Nearest);
            let at = |off: f64| frame.out(Face::Down, [shim.station, y], off);
            let (table, wood) = (
                at(laying.most_off_down),
                at(laying.most_off_down - thickness),
            );
            blocks.push(ShimBlock {
                mesh: block(
                    [table[0] - half, table[1] - half, table[2]],
                    [wood[0] + half, wood[1] + half, wood[2]],
                ),
                text,
                at: [table[0], table[1] + outwards, table[2]],
            });
        }
    }
    blocks
}

/// Rings round the places to avoid, on the up face.
pub(super) fn avoid(board: &Board, up: &Sheet) -> Vec<(String, Vec<[f64; 3]>)> {
    board
        .avoid
        .iter()
        .map(|a| {
            let corners = [
                (a.from, a.near),
                (a.to, a.near),
                (a.to, a.far),
                (a.from, a.far),
            ];
            let mut ring: Vec<[f64; 3]> = corners
                .iter()
                .map(|&(x, y)| on_face(&board.outline, up, [x, y]))
                .collect();
            ring.push(ring[0]);
            (a.what.clone(), ring)
        })
        .collect()
}

/// The point of a drawn face over a place of the board's rectangle.
fn on_face(outline: &Outline, sheet: &Sheet, [x, y]: [f64; 2]) -> [f64; 3] {
    let (u, v) = outline.unit_place(x, y);
    let along = (u + 1.0) / 2.0 * (sheet.stations - 1) as f64;
    let across = (v + 1.0) / 2.0 * (sheet.positions - 1) as f64;
    sheet.between(along, across)
}
