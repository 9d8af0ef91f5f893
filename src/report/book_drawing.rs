//! Predicted against actual, and the error over time, as a drawing.

use super::pen::Pen;
use super::sheet::{Anchor, Look, Sheet, fitted};
use crate::book::{Compared, Comparison};
use crate::length::{Notation, Unit};

/// The page, the square on the left and the field on the right, mm: left, right, top, bottom.
const PAGE: [f64; 2] = [297.0, 189.0];
const SQUARE: [f64; 4] = [34.0, 144.0, 44.0, 154.0];
const FIELD: [f64; 4] = [186.0, 286.0, 44.0, 154.0];

/// Sizes of type, mm.
const NAME: f64 = 7.0;
const LABEL: f64 = 4.0;

const DASHED: Look = Look::Broken([3.0, 2.0]);

/// The most steps between marks along an axis: fractions of an inch are long.
const MARKS: f64 = 5.0;

/// A stretch of values along a side of the page.
struct Axis {
    from: f64,
    to: f64,
    start: f64,
    end: f64,
}

impl Axis {
    /// Over all values, with a little room at both ends.
    fn over(values: &[f64], least: f64, start: f64, end: f64) -> Self {
        let low = values.iter().copied().fold(f64::INFINITY, f64::min);
        let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let room = (0.06 * (high - low)).max(least);
        Self {
            from: low - room,
            to: high + room,
            start,
            end,
        }
    }

    fn at(&self, value: f64) -> f64 {
        let share = ((value - self.from) / (self.to - self.from)).clamp(0.0, 1.0);
        self.start + share * (self.end - self.start)
    }

    /// Round values within, as its reader's rule is divided.
    fn marks(&self, unit: Unit) -> Vec<f64> {
        let steps: Vec<f64> = match unit {
            Unit::Inch | Unit::Foot => (0..12).map(|k| 25.4 / 64.0 * f64::from(1 << k)).collect(),
            Unit::Millimetre | Unit::Centimetre | Unit::Metre => (0..6)
                .flat_map(|k| [0.1, 0.2, 0.5].map(|s| s * 10_f64.powi(k)))
                .collect(),
        };
        let fits = |step: &&f64| (self.to - self.from) / **step <= MARKS;
        let step = steps
            .iter()
            .find(fits)
            .copied()
            .unwrap_or(self.to - self.from);
        let (first, last) = (
            (self.from / step).ceil() as i64,
            (self.to / step).floor() as i64,
        );
        (first..=last).map(|k| k as f64 * step).collect()
    }
}

/// Predicted against actual with the line of equality and the intervals as stated; beside it the error of each piece in the
/// order in which they were predicted.
#[must_use]
pub fn compared_drawing(comparison: &Comparison, notation: Notation) -> Sheet {
    let pen = Pen(notation);
    let mut page = Sheet::new(PAGE[0]);
    page.text(
        [12.0, 16.0],
        NAME,
        Anchor::Start,
        "Predicted against actual",
    );
    let pieces: Vec<(&Compared, f64)> = comparison
        .pieces
        .iter()
        .filter_map(|p| Some((p, p.actual?)))
        .collect();
    if pieces.is_empty() {
        page.text(
            [12.0, 30.0],
            LABEL,
            Anchor::Start,
            "Nothing is recorded yet.",
        );
        return page.high(PAGE[1]);
    }
    let inside = pieces
        .iter()
        .filter(|(p, _)| p.inside() == Some(true))
        .count();
    let unit = notation.unit();
    let shop = comparison.learnt.shop();
    let legend = format!(
        "{inside} of {} inside their interval (thin line, 9 in 10); a cross stands outside",
        pieces.len()
    );
    let loss = format!(
        "The shop's own loss: {} ({} to {} nine times in ten)",
        pen.near(shop.mean),
        pen.near(shop.low),
        pen.near(shop.high)
    );
    for (text, y) in [(legend, 23.0), (loss, 28.5)] {
        let text = fitted(&text, LABEL, PAGE[0] - 24.0);
        page.text([12.0, y], LABEL, Anchor::Start, &text);
    }
    square(&mut page, &pieces, &pen, unit);
    field(&mut page, &pieces, &pen, unit);
    page.high(PAGE[1])
}

fn square(page: &mut Sheet, pieces: &[(&Compared, f64)], pen: &Pen, unit: Unit) {
    let [left, right, top, bottom] = SQUARE;
    let values: Vec<f64> = pieces
        .iter()
        .flat_map(|(p, actual)| [p.prediction.stated.low, p.prediction.stated.high, *actual])
        .collect();
    let across = Axis::over(&values, 0.5, left, right);
    let up = Axis {
        start: bottom,
        end: top,
        ..Axis::over(&values, 0.5, left, right)
    };
    page.path(
        &[[left, top], [left, bottom], [right, bottom]],
        false,
        0.5,
        Look::Plain,
    );
    page.path(&[[left, bottom], [right, top]], false, 0.4, DASHED);
    for value in across.marks(unit) {
        let (x, y) = (across.at(value), up.at(value));
        page.line([x, bottom], [x, bottom + 2.0], 0.4);
        page.text(
            [x, bottom + 7.0],
            LABEL,
            Anchor::Middle,
            &pen.bare_place(value),
        );
        page.line([left - 2.0, y], [left, y], 0.4);
        page.text(
            [left - 3.5, y + 0.35 * LABEL],
            LABEL,
            Anchor::End,
            &pen.bare_place(value),
        );
    }
    let symbol = unit.symbol();
    page.text(
        [right, bottom + 15.0],
        LABEL,
        Anchor::End,
        &format!("predicted, {symbol}"),
    );
    page.text(
        [left - 20.0, top - 6.0],
        LABEL,
        Anchor::Start,
        &format!("actual, {symbol}"),
    );
    page.text(
        [left, bottom + 15.0],
        LABEL,
        Anchor::Start,
        "broken: as predicted",
    );
    for (piece, actual) in pieces {
        let stated = &piece.prediction.stated;
        let y = up.at(*actual);
        page.line([across.at(stated.low), y], [across.at(stated.high), y], 0.2);
        mark(
            page,
            [across.at(stated.expected), y],
            piece.inside() == Some(true),
        );
    }
}

fn field(page: &mut Sheet, pieces: &[(&Compared, f64)], pen: &Pen, unit: Unit) {
    let [left, right, top, bottom] = FIELD;
    let values: Vec<f64> = pieces
        .iter()
        .flat_map(|(p, actual)| {
            let stated = &p.prediction.stated;
            [stated.low, stated.high, *actual, stated.expected].map(|v| v - stated.expected)
        })
        .collect();
    let up = Axis::over(&values, 0.2, bottom, top);
    let step = (right - left) / pieces.len() as f64;
    page.path(
        &[[left, top], [left, bottom], [right, bottom]],
        false,
        0.5,
        Look::Plain,
    );
    page.path(
        &[[left, up.at(0.0)], [right, up.at(0.0)]],
        false,
        0.4,
        DASHED,
    );
    for value in up.marks(unit) {
        let y = up.at(value);
        page.line([left - 2.0, y], [left, y], 0.4);
        page.text(
            [left - 3.5, y + 0.35 * LABEL],
            LABEL,
            Anchor::End,
            &pen.bare_place(value),
        );
    }
    // As many numbers as stand apart.
    let every = (pieces.len() as f64 * 10.0 / (right - left))
        .ceil()
        .max(1.0) as usize;
    for (k, (piece, actual)) in pieces.iter().enumerate() {
        let x = left + step * (k as f64 + 0.5);
        let stated = &piece.prediction.stated;
        let [low, high, off] =
            [stated.low, stated.high, *actual].map(|v| up.at(v - stated.expected));
        page.line([x, low], [x, high], 0.2);
        mark(page, [x, off], piece.inside() == Some(true));
        if (k + 1) % every == 0 {
            page.text(
                [x, bottom + 7.0],
                LABEL,
                Anchor::Middle,
                &(k + 1).to_string(),
            );
        }
    }
    let learnt = pieces
        .iter()
        .position(|(p, _)| p.prediction.learnt_from > 0);
    if let Some(k) = learnt {
        let x = left + step * k as f64;
        page.path(
            &[[x, top], [x, bottom]],
            false,
            0.3,
            Look::Broken([0.5, 2.0]),
        );
        page.text(
            [left, bottom + 23.0],
            LABEL,
            Anchor::Start,
            "dotted: from here on the loss is reckoned with",
        );
    }
    page.text(
        [right, bottom + 15.0],
        LABEL,
        Anchor::End,
        "pieces, as they were predicted",
    );
    let title = format!("actual less predicted, {}", unit.symbol());
    page.text([left - 20.0, top - 6.0], LABEL, Anchor::Start, &title);
}

/// A dot, or a cross where the actual lies outside.
fn mark(page: &mut Sheet, [x, y]: [f64; 2], inside: bool) {
    if inside {
        page.dot([x, y], 1.0);
    } else {
        page.line([x - 1.5, y - 1.5], [x + 1.5, y + 1.5], 0.5);
        page.line([x - 1.5, y + 1.5], [x + 1.5, y - 1.5], 0.5);
    }
}
