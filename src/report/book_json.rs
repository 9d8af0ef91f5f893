//! The shop's book for other programs. Its keys are a promise: they may be added to, never changed.

use serde::Serialize;

use super::book_words::{kind_name, notes};
use super::pen::Pen;
use crate::book::{Comparison, Prediction};
use crate::length::Notation;

#[derive(Serialize)]
struct Document<'a> {
    pieces: Vec<PiecePart<'a>>,
    shop_loss_mm: f64,
    shop_loss_low_mm: f64,
    shop_loss_high_mm: f64,
    inside: Option<f64>,
    boards: usize,
    reckoned_with: bool,
    groups: Vec<GroupPart>,
    notes: Vec<String>,
}

#[derive(Serialize)]
struct PiecePart<'a> {
    name: String,
    board: &'a str,
    survey: Option<&'a str>,
    predicted_mm: f64,
    low_mm: f64,
    high_mm: f64,
    plain_mm: f64,
    plain_low_mm: f64,
    plain_high_mm: f64,
    loss_mm: f64,
    learnt_from: usize,
    actual_mm: Option<f64>,
    inside: Option<bool>,
    replaced: bool,
}

#[derive(Serialize)]
struct GroupPart {
    kind: &'static str,
    label: String,
    loss_mm: f64,
    loss_low_mm: f64,
    loss_high_mm: f64,
    pieces: usize,
}

fn piece(prediction: &Prediction) -> PiecePart<'_> {
    PiecePart {
        name: prediction.name(),
        board: &prediction.board,
        survey: prediction.survey.as_deref(),
        predicted_mm: prediction.stated.expected,
        low_mm: prediction.stated.low,
        high_mm: prediction.stated.high,
        plain_mm: prediction.plain.expected,
        plain_low_mm: prediction.plain.low,
        plain_high_mm: prediction.plain.high,
        loss_mm: prediction.shortfall.mean,
        learnt_from: prediction.learnt_from,
        actual_mm: None,
        inside: None,
        replaced: false,
    }
}

/// One prediction as a JSON document.
#[must_use]
pub fn predicted_json(prediction: &Prediction) -> String {
    written(&piece(prediction))
}

/// Predicted against actual as a JSON document, all lengths in millimetres at full precision. Notes use `notation`.
#[must_use]
pub fn compared_json(comparison: &Comparison, notation: Notation) -> String {
    let shop = comparison.learnt.shop();
    let pieces = comparison.pieces.iter().map(|p| PiecePart {
        actual_mm: p.actual,
        inside: p.inside(),
        replaced: p.replaced,
        ..piece(&p.prediction)
    });
    let groups = comparison.by_group().into_iter().map(|group| GroupPart {
        kind: kind_name(group.kind),
        label: group.label,
        loss_mm: group.loss.mean,
        loss_low_mm: group.loss.low,
        loss_high_mm: group.loss.high,
        pieces: group.pieces,
    });
    written(&Document {
        pieces: pieces.collect(),
        shop_loss_mm: shop.mean,
        shop_loss_low_mm: shop.low,
        shop_loss_high_mm: shop.high,
        inside: comparison.inside(),
        boards: comparison.boards,
        reckoned_with: comparison.knows_the_shop(),
        groups: groups.collect(),
        notes: notes(comparison, &Pen(notation)),
    })
}

fn written(document: &impl Serialize) -> String {
    serde_json::to_string_pretty(document)
        .unwrap_or_else(|error| unreachable!("a record of numbers and text is JSON: {error}"))
}
