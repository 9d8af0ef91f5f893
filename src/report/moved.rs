//! What changed of a board between two surveys, for a person at a bench.

use super::lines::{item, paragraph, table};
use super::page::Page;
use super::pen::Pen;
use crate::flatten::{Answer, Change, Moved};
use crate::length::{Notation, Rounding};

/// The comparison as text, 80 columns wide; `surveys` is what the two are called, such as their dates.
#[must_use]
pub fn moved(moved: &Moved, surveys: [&str; 2], notation: Notation) -> String {
    let pen = Pen(notation);
    let figures = figures(moved);
    let mut parts = vec![paragraph(&headline(&figures))];
    let mut rows = vec![
        ["", surveys[0], surveys[1], "change", "error", ""]
            .map(str::to_owned)
            .to_vec(),
    ];
    rows.extend(figures.iter().map(|(name, figure)| row(pen, name, *figure)));
    parts.push(table(&rows));
    parts.push(paragraph(LEGEND));
    let mut notes = Vec::new();
    if !moved.same_places {
        notes.push(
            "The two surveys did not read the same places, so what the board departs from cup, bow and twist counts as error \
             too. Read the same stations and positions again to see smaller movements."
                .to_owned(),
        );
    }
    let shop = moved.after.notes.iter();
    notes.extend(shop.filter_map(|note| pen.of_the_shop(*note)));
    for (answer, survey) in [(&moved.before, surveys[0]), (&moved.after, surveys[1])] {
        notes.extend(doubted(answer, survey, notation));
    }
    if figures.iter().any(|(_, figure)| figure.is_none()) {
        notes.push(
            "What is not told takes more readings in that survey: both edges and the middle at three stations, \
             and a thickness."
                .to_owned(),
        );
    }
    if !notes.is_empty() {
        let notes: Vec<String> = notes.iter().map(|note| item(note)).collect();
        parts.push(format!("Notes\n{}", notes.join("\n")));
    }
    parts.join("\n\n") + "\n"
}

const LEGEND: &str = "Cup and bow are positive where the up face is crowned, twist where the far corner of end B and the \
    near corner of end A stand high. Survives is the thickness expected of the whole board, shimmed. Of a \
    board that has not moved, the readings' error alone takes one of the four beyond the error shown in 5 comparisons of 100 at \
    most.";

type Named = (&'static str, Option<Change>);

fn figures(moved: &Moved) -> [Named; 4] {
    [
        ("cup", moved.cup),
        ("bow", moved.bow),
        ("twist", moved.twist),
        ("survives", moved.survives),
    ]
}

/// Whether it moved, and what of it.
fn headline(figures: &[Named; 4]) -> String {
    let of = |changed: bool| -> Vec<&str> {
        let told = figures.iter().filter_map(|(name, figure)| {
            let name = if *name == "survives" {
                "the thickness that survives"
            } else {
                name
            };
            figure.map(|f| (name, f.beyond_error()))
        });
        told.filter(|(_, beyond)| *beyond == changed)
            .map(|(name, _)| name)
            .collect()
    };
    let (moved, still) = (of(true), of(false));
    match (moved.is_empty(), still.is_empty()) {
        (true, true) => {
            "There is no telling: neither warp nor thickness is told by both surveys.".to_owned()
        }
        (true, false) => format!(
            "Not moved, as far as the readings tell: no change of {} is more than their error.",
            listed(&still, "or")
        ),
        (false, true) => format!(
            "Moved: {} changed by more than the reading error.",
            listed(&moved, "and")
        ),
        (false, false) => format!(
            "Moved: {} changed by more than the reading error; {} did not.",
            listed(&moved, "and"),
            listed(&still, "and")
        ),
    }
}

/// Names in one sentence.
fn listed(names: &[&str], joined: &str) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{} {joined} {last}", first.join(", ")),
    }
}

fn row(pen: Pen, name: &str, figure: Option<Change>) -> Vec<String> {
    let Some(change) = figure else {
        return vec![name.to_owned(), "not told".to_owned()];
    };
    let value = |mm: f64| {
        if name == "survives" {
            pen.thickness(mm)
        } else {
            signed(pen, mm)
        }
    };
    let verdict = if change.beyond_error() {
        "moved"
    } else {
        "no telling"
    };
    vec![
        name.to_owned(),
        value(change.before),
        value(change.after),
        signed(pen, change.by()),
        format!("± {}", pen.number(change.error, Rounding::Up)),
        verdict.to_owned(),
    ]
}

/// With its sign, unless it is nothing.
fn signed(pen: Pen, mm: f64) -> String {
    let shown = pen.near(mm);
    if mm > 0.0 && shown != pen.near(0.0) {
        format!("+{shown}")
    } else {
        shown
    }
}

/// Readings of a survey that do not fit its others.
fn doubted(answer: &Answer, survey: &str, notation: Notation) -> Vec<String> {
    let page = Page::new(answer, None, notation);
    let doubted = answer.expectation.iter().flat_map(|e| &e.doubted);
    doubted
        .map(|d| {
            format!(
                "{survey}: {} is {}, where the other readings expect {}. Cup, bow and twist count it in full: mend or \
                 remove it, if it is wrong.",
                page.reading(d.what, d.place),
                page.near(d.reading),
                page.near(d.expected)
            )
        })
        .collect()
}
