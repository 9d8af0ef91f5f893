//! The shop's book for a person at a bench.

use super::book_words::{kind_name, notes};
use super::lines::{item, paragraph, table};
use super::pen::Pen;
use crate::book::{Actual, Compared, Comparison, Content, Entry, LEARNT_FROM, Loss, Prediction};
use crate::flatten::Interval;
use crate::length::{Notation, Rounding};

/// What a prediction says, and what it was reckoned with; `boards` were milled and recorded so far.
#[must_use]
pub fn predicted(prediction: &Prediction, boards: usize, notation: Notation) -> String {
    let pen = Pen(notation);
    let stated = &prediction.stated;
    let says = format!(
        "{}: comes out at {} ({} nine times in ten).",
        prediction.name(),
        pen.thickness(stated.expected),
        range(&pen, stated)
    );
    let (mean, sd) = (prediction.shortfall.mean, prediction.shortfall.sd);
    let plain = &prediction.plain;
    let why = if prediction.learnt_from > 0 {
        format!(
            "This shop's own loss of {} is reckoned with, learnt from {} boards; without it, {} ({}).",
            pen.near(mean),
            prediction.learnt_from,
            pen.thickness(plain.expected),
            range(&pen, plain)
        )
    } else if sd > 0.0 {
        format!(
            "What this shop loses on top is not known yet ({boards} of {} boards milled and recorded), so the interval allows \
             for what any shop may lose; the readings alone say {}.",
            LEARNT_FROM - 1,
            range(&pen, plain)
        )
    } else {
        "The shop's own loss is left out, as asked.".to_owned()
    };
    format!("{}\n{}\n", paragraph(&says), paragraph(&why))
}

/// What an actual says of its prediction.
#[must_use]
pub fn recorded(prediction: &Prediction, actual: &Actual, notation: Notation) -> String {
    let pen = Pen(notation);
    let stated = &prediction.stated;
    let off = actual.thinnest() - stated.expected;
    let shown = pen.near(off.abs());
    let against = if shown == pen.near(0.0) {
        "as predicted".to_owned()
    } else {
        let side = if off > 0.0 { "more" } else { "less" };
        format!(
            "{shown} {side} than the {} predicted",
            pen.thickness(stated.expected)
        )
    };
    let (low, high) = (stated.low - 1e-6, stated.high + 1e-6);
    let place = if (low..=high).contains(&actual.thinnest()) {
        "inside"
    } else {
        "outside"
    };
    paragraph(&format!(
        "Noted: {} came out at {}, {against} and {place} {}.",
        prediction.name(),
        pen.near(actual.thinnest()),
        range(&pen, stated)
    )) + "\n"
}

/// Predicted against actual, how often the interval held, what the shop loses.
#[must_use]
pub fn compared(comparison: &Comparison, notation: Notation) -> String {
    let pen = Pen(notation);
    let mut parts = vec![paragraph(&headline(comparison, &pen))];
    if !comparison.pieces.is_empty() {
        parts.push(pieces(comparison, &pen));
    }
    if comparison.boards > 0 {
        parts.push(losses(comparison, &pen));
    }
    let notes: Vec<String> = notes(comparison, &pen).iter().map(|n| item(n)).collect();
    if !notes.is_empty() {
        parts.push(format!("Notes\n{}", notes.join("\n")));
    }
    parts.join("\n\n") + "\n"
}

fn headline(comparison: &Comparison, pen: &Pen) -> String {
    let held = comparison.pieces.iter().filter_map(Compared::inside);
    let (inside, of) = held.fold((0, 0), |(inside, of), held| {
        (inside + u32::from(held), of + 1)
    });
    if of == 0 {
        return "Nothing is recorded yet of what came off the planer.".to_owned();
    }
    let shop = comparison.learnt.shop();
    let loses = if shop.mean < 0.0 { "gains" } else { "loses" };
    let side = if shop.mean < 0.0 {
        "Its gain"
    } else {
        "Its loss"
    };
    let reckoned = if comparison.knows_the_shop() {
        "is reckoned with".to_owned()
    } else {
        format!("will be reckoned with from board {LEARNT_FROM} on")
    };
    format!(
        "{inside} of {of} pieces came out inside their interval (nine in ten should). This shop {loses} {}, {}; {} \
         board{} so. {side} {reckoned}.",
        pen.near(shop.mean.abs()),
        between(pen, &shop),
        comparison.boards,
        if comparison.boards == 1 {
            " tells"
        } else {
            "s tell"
        },
    )
}

fn pieces(comparison: &Comparison, pen: &Pen) -> String {
    let mut rows = vec![
        ["piece", "predicted", "9 in 10", "actual", "off", ""]
            .map(str::to_owned)
            .to_vec(),
    ];
    for piece in &comparison.pieces {
        let stated = &piece.prediction.stated;
        let mut row = vec![
            piece.prediction.name(),
            pen.number(stated.expected, Rounding::Down),
            range(pen, stated),
        ];
        match piece.actual {
            Some(actual) => row.extend([
                pen.number(actual, Rounding::Nearest),
                signed(pen, actual - stated.expected),
                (if piece.inside() == Some(false) {
                    "outside"
                } else {
                    ""
                })
                .to_owned(),
            ]),
            None => row.extend([
                String::new(),
                String::new(),
                (if piece.replaced { "read again" } else { "open" }).to_owned(),
            ]),
        }
        rows.push(row);
    }
    format!(
        "Predicted against actual ({}, the thinnest place)\n{}",
        pen.0.unit().symbol(),
        table(&rows)
    )
}

fn losses(comparison: &Comparison, pen: &Pen) -> String {
    let row = |name: String, loss: &Loss, pieces: usize| {
        let number = |mm| pen.number(mm, Rounding::Nearest);
        let range = format!("{} to {}", number(loss.low), number(loss.high));
        vec![name, number(loss.mean), range, pieces.to_string()]
    };
    let recorded = comparison
        .pieces
        .iter()
        .filter(|p| p.actual.is_some())
        .count();
    let mut rows = vec![
        ["", "loss", "9 in 10", "pieces"]
            .map(str::to_owned)
            .to_vec(),
        row("the shop".to_owned(), &comparison.learnt.shop(), recorded),
    ];
    for group in comparison.by_group() {
        let name = format!("{} {}", kind_name(group.kind), group.label);
        rows.push(row(name, &group.loss, group.pieces));
    }
    format!(
        "What the shop loses on top of what readings say ({})\n{}",
        pen.0.unit().symbol(),
        table(&rows)
    )
}

/// A book's entries, one after the other.
#[must_use]
pub fn book_entries(entries: &[Entry], notation: Notation) -> String {
    let pen = Pen(notation);
    let mut lines = Vec::new();
    for entry in entries {
        let what = match &entry.content {
            Content::Prediction(p) => format!(
                "{} predicted at {}",
                p.name(),
                pen.thickness(p.stated.expected)
            ),
            Content::Actual(a) => {
                let each: Vec<String> = a.thicknesses.iter().map(|mm| pen.near(*mm)).collect();
                format!("actual of entry {}: {}", a.prediction, each.join(", "))
            }
        };
        let undone = entry
            .undone
            .as_ref()
            .map_or(String::new(), |at| format!(" (undone {at})"));
        lines.push(format!(
            "{} {}: {what}{undone}",
            entry.number, entry.made.at
        ));
        lines.push(format!(
            "  outwind {}: {}",
            entry.made.version, entry.made.settings
        ));
    }
    if lines.is_empty() {
        lines.push("The book is empty.".to_owned());
    }
    lines.join("\n") + "\n"
}

fn range(pen: &Pen, interval: &Interval) -> String {
    format!(
        "{} to {}",
        pen.number(interval.low, Rounding::Down),
        pen.number(interval.high, Rounding::Up)
    )
}

fn between(pen: &Pen, loss: &Loss) -> String {
    // Of a gain, the figures are of the gain.
    let sign = if loss.mean < 0.0 { -1.0 } else { 1.0 };
    let (low, high) = if sign > 0.0 {
        (loss.low, loss.high)
    } else {
        (-loss.high, -loss.low)
    };
    format!(
        "{} to {} nine times in ten",
        pen.number(low, Rounding::Nearest),
        pen.number(high, Rounding::Nearest)
    )
}

fn signed(pen: &Pen, mm: f64) -> String {
    let number = pen.number(mm, Rounding::Nearest);
    if mm > 0.0 && number != pen.number(0.0, Rounding::Nearest) {
        format!("+{number}")
    } else {
        number
    }
}
