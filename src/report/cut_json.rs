//! Cuts for other programs. Its keys are a promise: they may be added to, never changed.

use std::collections::BTreeMap;

use serde::Serialize;

use super::cut_first::Sheet;
use super::pen::Pen;
use crate::cutting::{CutFirst, CutKind, PieceLeft, Way, WayKind};
use crate::length::Notation;

#[derive(Serialize)]
struct Document<'a> {
    pieces: Vec<PiecePart<'a>>,
    made: BTreeMap<&'a str, usize>,
    short: BTreeMap<&'a str, usize>,
    cuts: Vec<CutPart<'a>>,
    thickness_by_length: Vec<LengthPart<'a>>,
    ways: Vec<WayPart<'a>>,
    notes: Vec<String>,
}

#[derive(Serialize)]
struct PiecePart<'a> {
    board: &'a str,
    part: Option<&'a str>,
    from_mm: f64,
    to_mm: f64,
    near_mm: f64,
    far_mm: f64,
    expected_mm: f64,
    low_mm: f64,
    chance: Option<f64>,
}

#[derive(Serialize)]
struct CutPart<'a> {
    board: &'a str,
    kind: &'static str,
    at_mm: f64,
    from_mm: f64,
    to_mm: f64,
}

#[derive(Serialize)]
struct LengthPart<'a> {
    board: &'a str,
    length_mm: f64,
    from_mm: f64,
    expected_mm: f64,
    low_mm: f64,
}

/// What a way leaves of its thinnest piece.
#[derive(Serialize)]
struct WayPart<'a> {
    board: &'a str,
    way: &'static str,
    pieces: Vec<PiecePart<'a>>,
    expected_mm: f64,
    low_mm: f64,
    high_mm: f64,
    makes_mm: Option<f64>,
    chance: Option<f64>,
    lost: f64,
}

/// What cutting boards first would leave, as a JSON document, all lengths in millimetres at full precision. Pieces and cuts
/// are those of the way advised, the whole board where none gains.
#[must_use]
pub fn cut_first_json(answers: &[CutFirst], notation: Notation) -> String {
    let advised = |answer: &CutFirst| answer.best.unwrap_or(0);
    let each = || answers.iter().map(|a| (a, &a.ways[advised(a)]));
    let document = Document {
        pieces: each().flat_map(|(a, way)| pieces(a, way)).collect(),
        made: BTreeMap::new(),
        short: BTreeMap::new(),
        cuts: each()
            .flat_map(|(answer, way)| {
                way.cuts.iter().map(|cut| CutPart {
                    board: &answer.name,
                    kind: kind(cut.kind),
                    at_mm: cut.at,
                    from_mm: cut.from,
                    to_mm: cut.to,
                })
            })
            .collect(),
        thickness_by_length: answers
            .iter()
            .flat_map(|answer| {
                answer.by_length.iter().map(|piece| LengthPart {
                    board: &answer.name,
                    length_mm: piece.window.length(),
                    from_mm: piece.window.from,
                    expected_mm: piece.interval.expected,
                    low_mm: piece.interval.low,
                })
            })
            .collect(),
        ways: answers
            .iter()
            .flat_map(|answer| answer.ways.iter().map(|way| way_part(answer, way)))
            .collect(),
        notes: answers
            .iter()
            .flat_map(|answer| {
                let sheet = Sheet {
                    answer,
                    pen: Pen(notation),
                };
                std::iter::once(sheet.headline().replace('\n', " ")).chain(sheet.notes())
            })
            .collect(),
    };
    serde_json::to_string_pretty(&document)
        .unwrap_or_else(|error| unreachable!("a record of numbers and text is JSON: {error}"))
}

fn way_part<'a>(answer: &'a CutFirst, way: &'a Way) -> WayPart<'a> {
    let makes = answer.size(way);
    WayPart {
        board: &answer.name,
        way: match way.kind {
            WayKind::Whole => "whole",
            WayKind::Lengths(_) => "equal lengths",
            WayKind::Uneven(_) => "best lengths",
            WayKind::Widths(_) => "equal widths",
        },
        pieces: pieces(answer, way),
        expected_mm: way.thinnest.expected,
        low_mm: way.thinnest.low,
        high_mm: way.thinnest.high,
        makes_mm: makes,
        chance: makes.map(|size| way.chance(size)),
        lost: way.lost,
    }
}

/// The pieces of a way, each with the chance that it reaches what the way makes of every piece.
fn pieces<'a>(answer: &'a CutFirst, way: &'a Way) -> Vec<PiecePart<'a>> {
    let size = answer.size(way);
    let part = |piece: &'a PieceLeft| PiecePart {
        board: &answer.name,
        part: None,
        from_mm: piece.window.from,
        to_mm: piece.window.to,
        near_mm: piece.window.near,
        far_mm: piece.window.far,
        expected_mm: piece.interval.expected,
        low_mm: piece.interval.low,
        chance: size.map(|size| piece.chance(size)),
    };
    way.pieces.iter().map(part).collect()
}

/// A kind of cut, by its name in documents.
pub(super) fn kind(kind: CutKind) -> &'static str {
    match kind {
        CutKind::Crosscut => "crosscut",
        CutKind::Rip => "rip",
    }
}
