//! `outwind flatten`: how thick a board comes out, what is wrong with it, and how to lay it.

use std::io::Write;

use clap::Args;

use super::board_options::{BoardOptions, Loaded};
use super::book_options::BookOptions;
use super::dimension;
use super::problem::Problem;
use super::teller::Busy;
use crate::cutting::{Allowances, CutOnce, CutQuestion, Movement};
use crate::flatten::{Answer, Question, Shortfall};
use crate::length::{Length, Unit};
use crate::report;
use crate::shop::usual_thicknesses;

#[derive(Debug, Args)]
pub(super) struct FlattenArguments {
    #[command(flatten)]
    board: BoardOptions,

    /// The thickness that you need
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    need: Option<String>,

    /// Distance between shims along each edge [default: 10 in or 250 mm]
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    shim_every: Option<String>,

    /// Count the readings alone, as if nothing lay between them
    #[arg(long)]
    at_readings: bool,

    #[command(flatten)]
    book: BookOptions,

    /// Print the answer as JSON, millimetres throughout
    #[arg(long)]
    json: bool,
}

pub(super) fn run(arguments: &FlattenArguments, out: &mut dyn Write) -> Result<(), Problem> {
    let (
        Loaded {
            board, notation, ..
        },
        (need, spacing),
    ) = arguments.board.load(|unit, faults| {
        let mut option =
            |name, text: &Option<String>| dimension::positive(name, text.as_ref(), unit, faults);
        (
            option("--need", &arguments.need),
            option("--shim-every", &arguments.shim_every),
        )
    })?;
    let question = Question {
        need,
        support_spacing: spacing.unwrap_or(usual_spacing(notation.unit())).mm(),
        sizes: usual_thicknesses(notation.unit()),
        expectation: !arguments.at_readings,
    };
    let loss = arguments.book.loss(&board)?;
    let busy = Busy::with("Working out what survives");
    let (mut answer, known) = Answer::with_known(&board, &question);
    loss.reckon_with(&mut answer);
    let cut = match (&known, &answer.expectation) {
        (Some(known), Ok(whole)) => {
            let asked = usual_cuts(&question.sizes, loss.shortfall, notation.unit());
            CutOnce::new(known, whole, need.map(Length::mm), &asked)
        }
        _ => None,
    };
    drop(busy);
    if arguments.json {
        writeln!(out, "{}", report::json(&answer, cut.as_ref(), notation))?;
    } else if answer.flattening.is_ok() {
        write!(out, "{}", report::text(&answer, cut.as_ref(), notation))?;
    }
    match answer.flattening {
        Ok(_) => Ok(()),
        Err(reason) => Err(Problem::NoAnswer(format!(
            "{}: {}",
            answer.name,
            report::unanswerable(reason, notation)
        ))),
    }
}

/// What `cut` would ask without options.
pub(super) fn usual_cuts(
    sizes: &[Length],
    shortfall: Option<Shortfall>,
    unit: Unit,
) -> CutQuestion {
    CutQuestion {
        allowances: Allowances::default(),
        movement: Movement::default(),
        shortfall,
        step: dimension::cut_step(unit),
        certainty: 0.9,
        sizes: sizes.iter().map(|s| s.mm()).collect(),
    }
}

/// Common practice: a shim every 10 in or so.
pub(super) fn usual_spacing(unit: Unit) -> Length {
    match unit {
        Unit::Inch | Unit::Foot => Length::from_inches(10.0),
        Unit::Millimetre | Unit::Centimetre | Unit::Metre => Length::from_mm(250.0),
    }
}
