//! `outwind cut`: whether and where to cut boards before they are flattened.

use std::io::Write;
use std::path::PathBuf;

use clap::Args;

use super::board_options::{BoardOptions, Loaded, ReadingOptions};
use super::dimension;
use super::problem::Problem;
use crate::board::Board;
use crate::cutting::{Allowances, CutFirst, CutQuestion, Movement};
use crate::length::{Length, Notation, Unit};
use crate::report;
use crate::shop::usual_thicknesses;

#[derive(Debug, Args)]
pub(super) struct CutArguments {
    /// Board files (.toml), or readings as CSV: grids of heights, or columns x, y, z
    #[arg(value_name = "BOARD", required = true)]
    boards: Vec<PathBuf>,

    #[command(flatten)]
    options: ReadingOptions,

    /// What the saw takes [default: 1/8 in]
    #[arg(long, value_name = "K", allow_hyphen_values = true)]
    kerf: Option<String>,

    /// What is cut off each end of a board first [default: 1/8 in]
    #[arg(long, value_name = "E", allow_hyphen_values = true)]
    end_trim: Option<String>,

    /// The chance that a piece must have to reach its thickness
    #[arg(long, value_name = "C", default_value = "0.90", value_parser = certainty)]
    certainty: f64,

    /// Print the answer as JSON, millimetres throughout
    #[arg(long)]
    json: bool,
}

pub(super) fn run(arguments: &CutArguments, out: &mut dyn Write) -> Result<(), Problem> {
    let (boards, allowances, notation) = load(arguments)?;
    let question = CutQuestion {
        allowances,
        movement: Movement::default(),
        step: step(notation.unit()),
        certainty: arguments.certainty,
        sizes: usual_thicknesses(notation.unit())
            .iter()
            .map(|s| s.mm())
            .collect(),
    };
    let answer = |board: &Board| {
        CutFirst::new(board, question.clone())
            .map_err(|why| format!("{}: {}", board.name, report::no_cut(&why)))
    };
    let answers =
        gathered(boards.iter().map(answer)).map_err(|f| Problem::NoAnswer(f.join("\n")))?;
    if arguments.json {
        writeln!(out, "{}", report::cut_first_json(&answers, notation))?;
    } else {
        let texts: Vec<String> = answers
            .iter()
            .map(|a| report::cut_first(a, notation))
            .collect();
        write!(out, "{}", texts.join("\n"))?;
    }
    Ok(())
}

/// Reads all boards and options, telling all faults at once; lengths are written as for the first board.
fn load(arguments: &CutArguments) -> Result<(Vec<Board>, Allowances, Notation), Problem> {
    let mut allowances = Allowances::default();
    let (mut loaded, mut faults) = (Vec::new(), Vec::new());
    for (k, path) in arguments.boards.iter().enumerate() {
        let board = BoardOptions::new(path.clone(), arguments.options.clone());
        let made = board.load(|unit, faults| {
            // One kerf and trim for all boards: read in the first one's unit.
            if k == 0 {
                read_allowances(arguments, unit, &mut allowances, faults);
            }
        });
        match made {
            Ok((board, ())) => loaded.push(board),
            Err(Problem::Input(told)) => faults.extend(told),
            Err(other) => return Err(other),
        }
    }
    let notation = match loaded.first() {
        Some(Loaded { notation, .. }) if faults.is_empty() => *notation,
        _ => return Err(Problem::Input(faults)),
    };
    let boards = loaded.into_iter().map(|l| l.board).collect();
    Ok((boards, allowances, notation))
}

fn read_allowances(
    arguments: &CutArguments,
    unit: Option<Unit>,
    allowances: &mut Allowances,
    faults: &mut Vec<String>,
) {
    let mut option = |name, text: &Option<String>| {
        let length = dimension::option(name, text.as_ref(), unit, faults)?;
        if length.mm() < 0.0 {
            faults.push(format!("{name}: is less than nothing; give 0 or more"));
        }
        Some(length.mm())
    };
    if let Some(kerf) = option("--kerf", &arguments.kerf) {
        allowances.kerf_crosscut = kerf;
        allowances.kerf_rip = kerf;
    }
    if let Some(trim) = option("--end-trim", &arguments.end_trim) {
        allowances.end_trim = trim;
    }
}

/// All values, or all faults.
fn gathered<T, E>(results: impl Iterator<Item = Result<T, E>>) -> Result<Vec<T>, Vec<E>> {
    let (mut values, mut faults) = (Vec::new(), Vec::new());
    for result in results {
        match result {
            Ok(value) => values.push(value),
            Err(fault) => faults.push(fault),
        }
    }
    if faults.is_empty() {
        Ok(values)
    } else {
        Err(faults)
    }
}

/// Cuts are marked to the quarter inch, or to 5 mm.
fn step(unit: Unit) -> f64 {
    match unit {
        Unit::Inch | Unit::Foot => Length::from_inches(0.25).mm(),
        Unit::Millimetre | Unit::Centimetre | Unit::Metre => 5.0,
    }
}

fn certainty(text: &str) -> Result<f64, String> {
    let wrong = || "give a chance between 0.5 and 0.99, such as 0.90".to_owned();
    let chance: f64 = text.trim().parse().map_err(|_| wrong())?;
    if (0.5..=0.99).contains(&chance) {
        Ok(chance)
    } else {
        Err(wrong())
    }
}
