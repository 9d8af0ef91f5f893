//! `outwind measure`: asks for a board's readings one by one; each is on the disk before the next question.

mod answer;
mod session;
mod sheet;

use std::io::Write;
use std::path::{Path, PathBuf};

use clap::Args;

use self::answer::{Bench, length};
use self::session::Session;
use self::sheet::Sheet;
use crate::board::Outline;
use crate::cli::book_options::BookOptions;
use crate::cli::clock::today;
use crate::cli::dimension;
use crate::cli::files::{is_board_file, replace, stem};
use crate::cli::problem::Problem;
use crate::cli::prompt::Prompt;
use crate::cli::survey_options::SurveyOptions;
use crate::length::{Length, Notation, Unit};
use crate::readings::{EdgesAt, Record, write_board};
use crate::report;

#[derive(Debug, Args)]
pub(super) struct MeasureArguments {
    /// The board file to fill in; a new one is begun where there is none
    #[arg(value_name = "BOARD.toml")]
    board: PathBuf,

    #[command(flatten)]
    survey: SurveyOptions,

    /// Begin a new survey with today's date, beside those that the file holds
    #[arg(long)]
    new: bool,

    /// Length of one winding stick [default: asked for with --sticks]
    #[arg(long, value_name = "L", allow_hyphen_values = true)]
    stick: Option<String>,

    /// The thickness that you need: its chance is shown after each reading
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    need: Option<String>,

    /// Only note what is read, without the estimate after each reading
    #[arg(long)]
    no_estimate: bool,

    #[command(flatten)]
    book: BookOptions,

    /// Length of a new board; asked for otherwise
    #[arg(long, value_name = "L", allow_hyphen_values = true)]
    length: Option<String>,

    /// Width of a new board; asked for otherwise
    #[arg(long, value_name = "W", allow_hyphen_values = true)]
    width: Option<String>,

    /// The unit of numbers without one: in, ft, mm, cm or m
    #[arg(long, value_name = "U", value_parser = dimension::unit)]
    unit: Option<Unit>,

    /// How to write lengths: 64ths, 32nds, 16ths or 8ths of an inch, decimal (inches) or mm
    #[arg(long, value_name = "HOW", value_parser = dimension::notation)]
    write: Option<Notation>,
}

pub(super) fn run(arguments: &MeasureArguments, out: &mut dyn Write) -> Result<(), Problem> {
    let path = &arguments.board;
    let fault = |told: String| Problem::Input(vec![told]);
    if !is_board_file(path) {
        let told = "is no name of a board file; give one that ends in .toml";
        return Err(fault(format!("{}: {told}", path.display())));
    }
    let losses = arguments.book.losses()?;
    let mut prompt = Prompt::new()?;
    if !path.exists() && !begun(arguments, path, &mut prompt, out)? {
        writeln!(out, "Nothing was noted.")?;
        return Ok(());
    }
    let mut sheet = Sheet::open(path, arguments.unit)?;
    if arguments.new || sheet.record.surveys.is_empty() {
        sheet.begin(&today());
    }
    let reach = EdgesAt::reach(&sheet.record.edges);
    let reach = reach.or(sheet.record.width.map(|width| [0.0, width]));
    let (Some(length), Some([near, far])) = (sheet.record.length, reach) else {
        let told = "says no length or no width; write both at the top, as length = \"6'\" and width = \"7-1/2\"";
        return Err(fault(format!("{}: {told}", path.display())));
    };
    let outline = Outline {
        x0: 0.0,
        y0: near,
        length,
        width: far - near,
    };
    let unit = sheet.record.unit.or(arguments.unit);
    let notation = arguments.write.unwrap_or(dimension::usual_notation(unit));
    let mut faults = Vec::new();
    let need = dimension::positive("--need", arguments.need.as_ref(), unit, &mut faults);
    let stick = dimension::positive("--stick", arguments.stick.as_ref(), unit, &mut faults);
    if !faults.is_empty() {
        return Err(Problem::Input(faults));
    }
    let stick = match (stick, arguments.survey.sticks()) {
        (None, true) => size(&mut prompt, out, "Length of one winding stick", unit)?,
        (stick, _) => Some(stick.unwrap_or_default()),
    };
    let Some(stick) = stick else {
        writeln!(out, "Nothing was noted.")?;
        return Ok(());
    };
    let plan = arguments
        .survey
        .plan(outline, &sheet.record.edges, notation.unit())?;
    let session = Session {
        sheet,
        plan,
        bench: Bench {
            unit,
            stick: stick.mm(),
        },
        need,
        notation,
        losses: (!arguments.no_estimate).then_some(losses),
        name: path.display().to_string(),
        title: stem(path),
    };
    session.run(&mut prompt, out)
}

/// Begins a board file with the size of the board; not where the input ends before it is known.
fn begun(
    arguments: &MeasureArguments,
    path: &Path,
    prompt: &mut Prompt,
    out: &mut dyn Write,
) -> Result<bool, Problem> {
    let mut faults = Vec::new();
    let said: Vec<&String> = arguments.length.iter().chain(&arguments.width).collect();
    let unit = arguments.unit.or(dimension::named_unit(&said));
    let mut given =
        |name, text: &Option<String>| dimension::positive(name, text.as_ref(), unit, &mut faults);
    let sizes = [
        given("--length", &arguments.length),
        given("--width", &arguments.width),
    ];
    if !faults.is_empty() {
        return Err(Problem::Input(faults));
    }
    writeln!(out, "{} is new.", path.display())?;
    let Some(length) = or_asked(sizes[0], prompt, out, "Length, end A to end B", unit)? else {
        return Ok(false);
    };
    let Some(width) = or_asked(sizes[1], prompt, out, "Width, near to far edge", unit)? else {
        return Ok(false);
    };
    let text = write_board(&Record {
        name: Some(stem(path)),
        unit: Some(unit.unwrap_or(Unit::Inch)),
        length: Some(length.mm()),
        width: Some(width.mm()),
        ..Record::default()
    });
    replace(path, &text).map_err(|told| Problem::Input(vec![told]))?;
    Ok(true)
}

fn or_asked(
    given: Option<Length>,
    prompt: &mut Prompt,
    out: &mut dyn Write,
    what: &str,
    unit: Option<Unit>,
) -> Result<Option<Length>, Problem> {
    match given {
        Some(length) => Ok(Some(length)),
        None => size(prompt, out, what, unit),
    }
}

/// Asks for a size until it is one; nothing where the input ends or stop is typed.
fn size(
    prompt: &mut Prompt,
    out: &mut dyn Write,
    what: &str,
    unit: Option<Unit>,
) -> Result<Option<Length>, Problem> {
    loop {
        let Some(typed) = prompt.ask(out, &format!("{what}: "))? else {
            return Ok(None);
        };
        if ["stop", "q", "quit"].contains(&typed.to_lowercase().as_str()) {
            return Ok(None);
        }
        match length(&typed, unit.or(Some(Unit::Inch))) {
            Ok(length) if length.is_positive() => return Ok(Some(length)),
            Ok(_) => writeln!(out, "  give a length above zero, such as 7-1/2")?,
            Err(error) => writeln!(out, "{}", report::message(&format!("  {error}")))?,
        }
    }
}
