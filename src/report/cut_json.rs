//! Cuts for other programs. Its keys are a promise: they may be added to, never changed.

use std::collections::BTreeMap;

use serde::Serialize;

use super::cut_first::{Sheet, shop_losses};
use super::cut_plan::PlanSheet;
use super::pen::Pen;
use super::refusals::RefusalPart;
use crate::cutting::{ByLength, Cut, CutFirst, CutKind, PieceLeft, Way, WayKind};
use crate::flatten::Note;
use crate::length::Notation;
use crate::shop::{Refusal, Shop};

#[derive(Serialize)]
struct Document<'a> {
    pieces: Vec<PiecePart<'a>>,
    made: BTreeMap<&'a str, usize>,
    short: BTreeMap<&'a str, usize>,
    cuts: Vec<CutPart<'a>>,
    thickness_by_length: Vec<LengthPart<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    ways: Vec<WayPart<'a>>,
    #[serde(flatten)]
    plan: Option<PlanPart>,
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
    /// Why no machine of the shop takes it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    refused: Vec<RefusalPart>,
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

/// What only a plan for a list of parts tells.
#[derive(Serialize)]
struct PlanPart {
    thickest_mm: Option<f64>,
    area_mm2: f64,
    may_fall_short: f64,
    stopped: bool,
    offcut_mm: f64,
    board_feet: FeetPart,
    buy: Vec<BuyPart>,
}

/// Board feet in and out.
#[derive(Serialize)]
struct FeetPart {
    rough: f64,
    finished: f64,
    share: f64,
    cost: Option<f64>,
    currency: Option<String>,
    boards: Vec<TakenPart>,
}

#[derive(Serialize)]
struct TakenPart {
    board: String,
    thickness_mm: f64,
    rough: f64,
    cost: Option<f64>,
}

/// A board to buy for what is short.
#[derive(Serialize)]
struct BuyPart {
    part: String,
    count: u32,
    quarters: Option<u32>,
    width_mm: f64,
    length_mm: f64,
    length_for_all_mm: f64,
    loss_mm: f64,
    loss_shown: bool,
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
pub fn cut_first_json(
    answers: &[CutFirst],
    shop: &Shop,
    losses: &[(Option<String>, Note)],
    notation: Notation,
) -> String {
    let advised = |answer: &CutFirst| answer.best.unwrap_or(0);
    let each = || answers.iter().map(|a| (a, &a.ways[advised(a)]));
    let document = Document {
        pieces: each().flat_map(|(a, way)| pieces(a, way, shop)).collect(),
        made: BTreeMap::new(),
        short: BTreeMap::new(),
        cuts: each()
            .flat_map(|(answer, way)| way.cuts.iter().map(|c| cut_part(&answer.name, c)))
            .collect(),
        thickness_by_length: answers
            .iter()
            .flat_map(|answer| {
                answer
                    .by_length
                    .iter()
                    .map(|p| length_part(&answer.name, p))
            })
            .collect(),
        plan: None,
        ways: answers
            .iter()
            .flat_map(|answer| answer.ways.iter().map(|way| way_part(answer, way, shop)))
            .collect(),
        notes: answers
            .iter()
            .flat_map(|answer| {
                let sheet = Sheet::new(answer, notation);
                std::iter::once(sheet.headline().replace('\n', " ")).chain(sheet.notes(shop))
            })
            .chain(shop_losses(losses, Pen(notation)))
            .collect(),
    };
    written(&document)
}

/// A plan for a list of parts as a JSON document, all lengths in millimetres at full precision; `curves` are what survives
/// against length, by board.
#[must_use]
pub fn cut_plan_json(sheet: &PlanSheet<'_>, curves: &[Vec<ByLength>]) -> String {
    let PlanSheet { plan, tally, .. } = sheet;
    let wanted = &plan.question.wanted;
    let board = |k: usize| plan.boards[k].0.as_str();
    let pieces = plan.pieces.iter().map(|piece| PiecePart {
        board: board(piece.board),
        part: Some(&wanted[piece.part].name),
        from_mm: piece.finished.from,
        to_mm: piece.finished.to,
        near_mm: piece.finished.near,
        far_mm: piece.finished.far,
        expected_mm: piece.interval.expected,
        low_mm: piece.interval.low,
        chance: Some(piece.chance),
        refused: refused(&tally.beyond_machines(piece, sheet.shop)),
    });
    let made = wanted.iter().zip(&plan.made).filter(|(_, m)| **m > 0);
    let short = plan.short.iter();
    let curves = curves.iter().enumerate();
    let headline = sheet.headline().replace('\n', " ");
    written(&Document {
        pieces: pieces.collect(),
        made: made.map(|(w, m)| (w.name.as_str(), *m as usize)).collect(),
        short: short
            .map(|s| (wanted[s.part].name.as_str(), s.count as usize))
            .collect(),
        cuts: plan
            .cuts
            .iter()
            .map(|(k, cut)| cut_part(board(*k), cut))
            .collect(),
        thickness_by_length: curves
            .flat_map(|(k, curve)| curve.iter().map(move |p| length_part(board(k), p)))
            .collect(),
        ways: Vec::new(),
        plan: Some(PlanPart {
            thickest_mm: sheet.thickest,
            area_mm2: plan.area,
            may_fall_short: plan.may_fall_short(),
            stopped: plan.stopped,
            offcut_mm: plan.offcut,
            board_feet: FeetPart {
                rough: tally.rough(),
                finished: tally.finished,
                share: tally.share(),
                cost: tally.cost(),
                currency: sheet.shop.currency.clone(),
                boards: tally
                    .taken
                    .iter()
                    .map(|t| TakenPart {
                        board: board(t.board).to_owned(),
                        thickness_mm: t.thickness,
                        rough: t.feet,
                        cost: t.cost,
                    })
                    .collect(),
            },
            buy: plan
                .short
                .iter()
                .map(|s| BuyPart {
                    part: wanted[s.part].name.clone(),
                    count: s.count,
                    quarters: s.buy.quarters,
                    width_mm: s.buy.width,
                    length_mm: s.buy.length,
                    length_for_all_mm: s.buy.length_for_all,
                    loss_mm: s.buy.loss,
                    loss_shown: s.buy.shown,
                })
                .collect(),
        }),
        notes: std::iter::once(headline).chain(sheet.notes()).collect(),
    })
}

fn refused(why: &[Refusal]) -> Vec<RefusalPart> {
    why.iter().map(RefusalPart::new).collect()
}

fn written(document: &Document<'_>) -> String {
    serde_json::to_string_pretty(document)
        .unwrap_or_else(|error| unreachable!("a record of numbers and text is JSON: {error}"))
}

fn cut_part<'a>(board: &'a str, cut: &Cut) -> CutPart<'a> {
    CutPart {
        board,
        kind: match cut.kind {
            CutKind::Crosscut => "crosscut",
            CutKind::Rip => "rip",
        },
        at_mm: cut.at,
        from_mm: cut.from,
        to_mm: cut.to,
    }
}

fn length_part<'a>(board: &'a str, piece: &ByLength) -> LengthPart<'a> {
    LengthPart {
        board,
        length_mm: piece.window.length(),
        from_mm: piece.window.from,
        expected_mm: piece.interval.expected,
        low_mm: piece.interval.low,
    }
}

fn way_part<'a>(answer: &'a CutFirst, way: &'a Way, shop: &Shop) -> WayPart<'a> {
    let makes = answer.size(way);
    WayPart {
        board: &answer.name,
        way: match way.kind {
            WayKind::Whole => "whole",
            WayKind::Lengths(_) => "equal lengths",
            WayKind::Uneven(_) => "best lengths",
            WayKind::Widths(_) => "equal widths",
        },
        pieces: pieces(answer, way, shop),
        expected_mm: way.thinnest.expected,
        low_mm: way.thinnest.low,
        high_mm: way.thinnest.high,
        makes_mm: makes,
        chance: makes.map(|size| way.chance(size)),
        lost: way.lost,
    }
}

/// The pieces of a way, each with the chance that it reaches what the way makes of every piece.
fn pieces<'a>(answer: &'a CutFirst, way: &'a Way, shop: &Shop) -> Vec<PiecePart<'a>> {
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
        refused: refused(&answer.beyond_machines(piece, shop)),
    };
    way.pieces.iter().map(part).collect()
}
