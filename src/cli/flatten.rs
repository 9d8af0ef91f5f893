//! `outwind flatten`: how thick a board comes out, what is wrong with it, and how to lay it.

use std::io::Write;
use std::path::PathBuf;

use clap::Args;

use super::batch;
use super::board_options::{BoardOptions, Loaded, ReadingOptions};
use super::book_options::BookOptions;
use super::dimension;
use super::problem::Problem;
use super::teller::Busy;
use crate::cutting::{Allowances, CutOnce, CutQuestion, Movement};
use crate::flatten::{Answer, Question, Shortfall};
use crate::length::{Length, Notation, Unit};
use crate::report;
use crate::shop::usual_thicknesses;

#[derive(Debug, Args)]
pub(super) struct FlattenArguments {
    /// A board file (.toml), or readings as CSV: a grid of heights, or columns x, y, z; of several boards each is
    /// answered in one line
    #[arg(value_name = "BOARD", required = true)]
    pub(super) boards: Vec<PathBuf>,

    #[command(flatten)]
    pub(super) options: ReadingOptions,

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
    pub(super) json: bool,
}

/// The answer for one board, and how to show it.
pub(super) struct Answered {
    answer: Answer,
    cut: Option<CutOnce>,
    notation: Notation,
}

pub(super) fn run(arguments: &FlattenArguments, out: &mut dyn Write) -> Result<(), Problem> {
    let [board] = &arguments.boards[..] else {
        return batch::run(arguments, out);
    };
    let answered =
        arguments.answer(&BoardOptions::new(board.clone(), arguments.options.clone()))?;
    let Answered {
        answer,
        cut,
        notation,
    } = &answered;
    if arguments.json {
        writeln!(out, "{}", report::json(answer, cut.as_ref(), *notation))?;
    } else if answer.flattening.is_ok() {
        write!(out, "{}", report::text(answer, cut.as_ref(), *notation))?;
    }
    answered.no_answer().map_or(Ok(()), Err)
}

impl FlattenArguments {
    /// Reads one board and answers what is asked of it.
    pub(super) fn answer(&self, board: &BoardOptions) -> Result<Answered, Problem> {
        let (
            Loaded {
                board, notation, ..
            },
            (need, spacing),
        ) = board.load(|unit, faults| {
            let mut option = |name, text: &Option<String>| {
                dimension::positive(name, text.as_ref(), unit, faults)
            };
            (
                option("--need", &self.need),
                option("--shim-every", &self.shim_every),
            )
        })?;
        let question = Question {
            need,
            support_spacing: spacing.unwrap_or(usual_spacing(notation.unit())).mm(),
            sizes: usual_thicknesses(notation.unit()),
            expectation: !self.at_readings,
        };
        let loss = self.book.loss(&board)?;
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
        Ok(Answered {
            answer,
            cut,
            notation,
        })
    }
}

impl Answered {
    /// The answer in one line: as JSON, or the first line for a person.
    pub(super) fn line(&self, json: bool) -> String {
        let line = if json {
            report::json_line
        } else {
            report::first_line
        };
        line(&self.answer, self.cut.as_ref(), self.notation)
    }

    /// Why the readings have no answer, where they have none.
    pub(super) fn no_answer(&self) -> Option<Problem> {
        let reason = self.answer.flattening.as_ref().err()?;
        Some(Problem::NoAnswer(format!(
            "{}: {}",
            self.answer.name,
            report::unanswerable(*reason, self.notation)
        )))
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
