//! `outwind record`: what came off the planer, noted in the shop's book.

use std::io::Write;
use std::path::PathBuf;

use clap::Args;

use super::book_options::{made, problem};
use super::dimension;
use super::problem::Problem;
use crate::board::with_rounding;
use crate::book::{Actual, Book, Compared, Comparison, Content, Prediction, doubts};
use crate::length::{DecimalMark, Length, Notation, Rounding, Unit, Written, read_positive};
use crate::report;

#[derive(Debug, Args)]
pub(super) struct RecordArguments {
    /// The piece as it was predicted: the board's name, or "BOARD, PIECE"
    #[arg(value_name = "NAME")]
    name: String,

    /// Its thickness at one place or more, such as "15/16, 29/32"; the thinnest counts
    #[arg(long, value_name = "T, T, …", allow_hyphen_values = true)]
    actual: String,

    /// The shop's book
    #[arg(long, value_name = "FILE")]
    book: PathBuf,

    /// The unit of numbers without one [default: the prediction's]
    #[arg(long, value_name = "U", value_parser = dimension::unit)]
    unit: Option<Unit>,

    /// It was measured again: note it although it is questioned
    #[arg(long)]
    sure: bool,

    /// How to write lengths: 64ths, 32nds, 16ths or 8ths of an inch, decimal (inches) or mm
    #[arg(long, value_name = "HOW", value_parser = dimension::notation)]
    write: Option<Notation>,
}

pub(super) fn run(arguments: &RecordArguments, out: &mut dyn Write) -> Result<(), Problem> {
    let mut book = Book::open(&arguments.book).map_err(|e| problem(&arguments.book, &e))?;
    let mut noted: Option<(Prediction, Actual)> = None;
    let outcome = book.note(&made(), |entries| {
        let comparison = Comparison::new(entries);
        let piece = awaited(&comparison, &arguments.name, arguments.write)?;
        let actual = measured(arguments, piece)?;
        noted = Some((piece.prediction.clone(), actual.clone()));
        Ok::<_, Problem>(vec![Content::Actual(actual)])
    });
    outcome.map_err(|e| problem(&arguments.book, &e))??;
    if let Some((prediction, actual)) = noted {
        let notation = notation(arguments.write, &prediction);
        write!(out, "{}", report::recorded(&prediction, &actual, notation))?;
    }
    Ok(())
}

fn notation(asked: Option<Notation>, prediction: &Prediction) -> Notation {
    asked.unwrap_or(dimension::usual_notation(Some(prediction.unit)))
}

/// The last prediction of this name, which has no actual yet.
fn awaited<'c>(
    comparison: &'c Comparison,
    name: &str,
    asked: Option<Notation>,
) -> Result<&'c Compared, Problem> {
    let refused = |why: String| Err(Problem::Input(vec![format!("\"{}\": {why}", name.trim())]));
    let Some(piece) = comparison.latest(name) else {
        let open: Vec<String> = comparison.open().map(|p| p.prediction.name()).collect();
        let waiting = if open.is_empty() {
            "none waits for its actual".to_owned()
        } else {
            format!("these wait for their actual: {}", open.join("; "))
        };
        return refused(format!(
            "the book has no prediction of this name; {waiting}"
        ));
    };
    match piece.actual {
        None => Ok(piece),
        Some(actual) => {
            let notation = notation(asked, &piece.prediction);
            refused(format!(
                "its actual is in the book already, {}; predict it anew for another survey, or take the last entry back with \
                 outwind book --undo",
                notation.write(Length::from_mm(actual), Rounding::Nearest)
            ))
        }
    }
}

/// Nobody reads a finished thickness more coarsely than this, mm: 1-1/4 in stands for 1-8/32.
const COARSEST: f64 = 25.4 / 32.0;

/// What was measured, unless it is to be questioned.
fn measured(arguments: &RecordArguments, piece: &Compared) -> Result<Actual, Problem> {
    let prediction = &piece.prediction;
    let unit = arguments.unit.or(Some(prediction.unit));
    let (mut read, mut faults) = (Vec::<Written>::new(), Vec::new());
    for text in arguments.actual.split([',', ';']) {
        match read_positive(text, unit, DecimalMark::Point) {
            Ok(written) => read.push(written),
            Err(error) => faults.push(format!("--actual: {error}")),
        }
    }
    if !faults.is_empty() {
        return Err(Problem::Input(faults));
    }
    let thicknesses: Vec<f64> = read.iter().map(|w| w.length.mm()).collect();
    let notation = notation(arguments.write, prediction);
    let doubts = doubts(prediction, &thicknesses);
    if !doubts.is_empty() && !arguments.sure {
        let name = prediction.name();
        let each = doubts.into_iter().map(|d| report::questioned(d, notation));
        return Err(Problem::Input(vec![format!(
            "{name}: not noted, for it is in question. {} Measure again; if it is right, say --sure.",
            each.collect::<Vec<_>>().join(" ")
        )]));
    }
    let finest = read.iter().map(|w| w.step.mm()).fold(COARSEST, f64::min);
    Ok(Actual {
        prediction: piece.entry,
        thicknesses,
        rounding: with_rounding(0.0, Some(finest)),
        sure: arguments.sure,
    })
}
