//! Sentences of the shop's book.

use super::pen::Pen;
use crate::book::{Comparison, Doubt, Kind, LEARNT_FROM};
use crate::length::{Notation, Unit};

/// A kind of group in words.
pub(super) fn kind_name(kind: Kind) -> &'static str {
    match kind {
        Kind::Machine => "machine",
        Kind::Species => "species",
        Kind::Way => "laid",
    }
}

/// What there is to know beside a comparison.
pub(super) fn notes(comparison: &Comparison, pen: &Pen) -> Vec<String> {
    let mut notes = Vec::new();
    let boards = comparison.boards;
    if boards == 0 {
        notes.push(
            "No actual is recorded yet, so the loss is what any shop's may be; outwind record notes one.".to_owned(),
        );
    } else if !comparison.knows_the_shop() {
        notes.push(format!(
            "The loss is drawn towards none while few boards are recorded ({boards} so far); from board {LEARNT_FROM} on \
             predictions reckon with it."
        ));
    }
    let [before, since] = comparison.off_before_and_since();
    let off = |mm: f64| {
        let side = if mm < 0.0 { "thin" } else { "thick" };
        format!("{} too {side}", pen.near(mm.abs()))
    };
    if let (Some(before), Some(since)) = (before, since) {
        notes.push(format!(
            "Before the loss was reckoned with, predictions were {} on average; since then {}.",
            off(before),
            off(since)
        ));
    }
    let open: Vec<String> = comparison.open().map(|p| p.prediction.name()).collect();
    if !open.is_empty() {
        notes.push(format!("Waiting for their actual: {}.", open.join("; ")));
    }
    notes
}

/// Why an actual is questioned.
#[must_use]
pub fn questioned(doubt: Doubt, notation: Notation) -> String {
    let pen = Pen(notation);
    match doubt {
        Doubt::ThickerThanRough { actual, rough } => format!(
            "{} is thicker than the rough board was ({}).",
            pen.near(actual),
            pen.near(rough)
        ),
        Doubt::FarOff { actual, predicted } => format!(
            "{} is far from the {} predicted.",
            pen.near(actual),
            pen.thickness(predicted)
        ),
        Doubt::OtherUnit(unit) => {
            let name = match unit {
                Unit::Inch | Unit::Foot => "inches",
                Unit::Millimetre | Unit::Centimetre | Unit::Metre => "millimetres",
            };
            format!(
                "In {name} it would fit: if it was measured so, say --unit {}.",
                unit.symbol()
            )
        }
        Doubt::Uneven { thinnest, thickest } => format!(
            "One piece off the planer is not {} at one place and {} at another.",
            pen.near(thinnest),
            pen.near(thickest)
        ),
    }
}
