//! `outwind moved`: how a board changed between two of its surveys.

use std::io::Write;
use std::path::PathBuf;

use clap::Args;

use super::board_options::{BoardOptions, ReadingOptions};
use super::book_options::{BookOptions, Loss};
use super::dimension;
use super::files::{is_board_file, stem};
use super::problem::Problem;
use crate::board::Board;
use crate::flatten::{Moved, Question};
use crate::length::{Notation, Unit};
use crate::readings::{Record, Survey};
use crate::report;

#[derive(Debug, Args)]
pub(super) struct MovedArguments {
    /// A board file with two surveys or more
    #[arg(value_name = "BOARD.toml")]
    board: PathBuf,

    /// The earlier survey: its date, or its number from the earliest on [default: the last but one]
    #[arg(long, value_name = "DATE")]
    from: Option<String>,

    /// The later survey: its date or number [default: the last]
    #[arg(long, value_name = "DATE")]
    to: Option<String>,

    #[command(flatten)]
    book: BookOptions,

    /// The unit of numbers without one: in, ft, mm, cm or m
    #[arg(long, value_name = "U", value_parser = dimension::unit)]
    unit: Option<Unit>,

    /// How to write lengths: 64ths, 32nds, 16ths or 8ths of an inch, decimal (inches) or mm
    #[arg(long, value_name = "HOW", value_parser = dimension::notation)]
    write: Option<Notation>,
}

pub(super) fn run(arguments: &MovedArguments, out: &mut dyn Write) -> Result<(), Problem> {
    let path = &arguments.board;
    if !is_board_file(path) {
        let told = format!(
            "{}: is no board file (.toml), which alone holds several surveys; outwind board makes one of CSV readings",
            path.display()
        );
        return Err(Problem::Input(vec![told]));
    }
    let options = BoardOptions::new(path.clone(), ReadingOptions::of_unit(arguments.unit));
    let mut faults = Vec::new();
    let Ok(record) = options.record(&mut faults) else {
        return Err(Problem::Input(faults));
    };
    let [from, to] = chosen(arguments, &record.surveys)
        .map_err(|told| vec![format!("{}: {told}", path.display())])
        .map_err(Problem::Input)?;
    let unit = record.unit.or(arguments.unit);
    let notation = arguments.write.unwrap_or(dimension::usual_notation(unit));
    let names = [from, to].map(|at| named(&record.surveys, at));
    let mut surveyed = |at: usize| {
        let alone = Record {
            surveys: vec![record.surveys[at].clone()],
            ..record.clone()
        };
        let made = Board::from_record(alone, &stem(path));
        made.map_err(|errors| {
            let survey = named(&record.surveys, at);
            let told = errors.iter().map(|error| {
                let why = error.explain(notation, true);
                format!("{}: survey {survey}: {why}", path.display())
            });
            faults.extend(told);
        })
        .ok()
    };
    let boards = (surveyed(from), surveyed(to));
    let (Some(before), Some(after)) = boards else {
        return Err(Problem::Input(faults));
    };
    let question = Question {
        need: None,
        support_spacing: 250.0,
        sizes: Vec::new(),
        expectation: true,
    };
    let Loss { shortfall, note } = arguments.book.loss(&after)?;
    let mut moved = Moved::new(&before, &after, &question);
    if let Some(shortfall) = shortfall {
        moved = moved.short_by(shortfall);
    }
    // Of a thickness that is not told, nothing is said of the loss either.
    let note = note.filter(|_| moved.survives.is_some());
    moved.after.notes.extend(note);
    let names = [names[0].as_str(), names[1].as_str()];
    write!(out, "{}", report::moved(&moved, names, notation))?;
    Ok(())
}

/// The two surveys to compare, earlier first.
fn chosen(arguments: &MovedArguments, surveys: &[Survey]) -> Result<[usize; 2], String> {
    let count = surveys.len();
    if count < 2 {
        let found = if count == 1 {
            "one survey"
        } else {
            "no survey"
        };
        return Err(format!(
            "holds {found}, and it takes two; read the board again and write that under a new [[survey]] with its date"
        ));
    }
    let to = match &arguments.to {
        Some(wanted) => find("--to", wanted, surveys)?,
        None => count - 1,
    };
    let from = match &arguments.from {
        Some(wanted) => find("--from", wanted, surveys)?,
        None => to.saturating_sub(1),
    };
    if from >= to {
        return Err(format!(
            "the survey of --from ({}) is not before that of --to ({}); it holds {}",
            named(surveys, from),
            named(surveys, to),
            all(surveys)
        ));
    }
    Ok([from, to])
}

/// A survey by its date or its number.
fn find(option: &str, wanted: &str, surveys: &[Survey]) -> Result<usize, String> {
    let dated = |survey: &Survey| survey.date.as_deref() == Some(wanted.trim());
    let mut of_date = surveys.iter().enumerate().filter(|(_, s)| dated(s));
    match (of_date.next(), of_date.next()) {
        (Some((at, _)), None) => return Ok(at),
        (Some(_), Some(_)) => {
            let told =
                format!("{option}: several surveys have the date {wanted}; give the number: ");
            return Err(told + &all(surveys));
        }
        _ => {}
    }
    let numbered = wanted.trim().parse::<usize>().ok();
    numbered
        .filter(|number| (1..=surveys.len()).contains(number))
        .map(|number| number - 1)
        .ok_or_else(|| {
            format!(
                "{option}: there is no survey \"{wanted}\"; it holds {}",
                all(surveys)
            )
        })
}

/// What a survey is called: its date, else its number.
fn named(surveys: &[Survey], at: usize) -> String {
    let dated = |date: &String| {
        surveys
            .iter()
            .filter(|s| s.date.as_ref() == Some(date))
            .count()
            == 1
    };
    match &surveys[at].date {
        Some(date) if dated(date) => date.clone(),
        _ => format!("survey {}", at + 1),
    }
}

/// All surveys by number and date.
fn all(surveys: &[Survey]) -> String {
    let each = surveys.iter().enumerate().map(|(at, survey)| {
        let date = survey.date.as_deref().unwrap_or("without date");
        format!("{} ({date})", at + 1)
    });
    each.collect::<Vec<_>>().join(", ")
}
