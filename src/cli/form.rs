//! `outwind form`: a sheet to fill in at the bench.

use std::fs;
use std::io::Write;
use std::path::PathBuf;

use clap::Args;

use super::dimension;
use super::mill::paper;
use super::problem::Problem;
use super::survey_options::SurveyOptions;
use crate::board::Outline;
use crate::length::{Notation, Unit};
use crate::report::{self, Paper};

#[derive(Debug, Args)]
pub(super) struct FormArguments {
    /// The board's length
    #[arg(long, value_name = "L", allow_hyphen_values = true)]
    length: String,

    /// The board's width
    #[arg(long, value_name = "W", allow_hyphen_values = true)]
    width: String,

    #[command(flatten)]
    survey: SurveyOptions,

    /// Write the page to this file, and print where it reads; else the page itself is printed
    #[arg(long, value_name = "FILE.html")]
    page: Option<PathBuf>,

    /// The paper of the page: a4 or letter [default: letter for inches, else a4]
    #[arg(long, value_name = "PAPER", value_parser = paper)]
    paper: Option<Paper>,

    /// The unit of numbers without one: in, ft, mm, cm or m [default: that of the size]
    #[arg(long, value_name = "U", value_parser = dimension::unit)]
    unit: Option<Unit>,

    /// How to write lengths: 64ths, 32nds, 16ths or 8ths of an inch, decimal (inches) or mm
    #[arg(long, value_name = "HOW", value_parser = dimension::notation)]
    write: Option<Notation>,
}

pub(super) fn run(arguments: &FormArguments, out: &mut dyn Write) -> Result<(), Problem> {
    let sizes = [&arguments.length, &arguments.width];
    let unit = arguments.unit.or(dimension::named_unit(&sizes));
    let mut faults = Vec::new();
    let mut size = |name, text| dimension::positive(name, Some(text), unit, &mut faults);
    let sizes = (
        size("--length", &arguments.length),
        size("--width", &arguments.width),
    );
    let (Some(length), Some(width)) = sizes else {
        return Err(Problem::Input(faults));
    };
    let notation = arguments.write.unwrap_or(dimension::usual_notation(unit));
    let outline = Outline {
        x0: 0.0,
        y0: 0.0,
        length: length.mm(),
        width: width.mm(),
    };
    let plan = arguments.survey.plan(outline, &[], notation.unit())?;
    let half_width = plan.half_width().map_err(|why| {
        Problem::NoAnswer(format!(
            "there is no telling what these readings say: {why}"
        ))
    })?;
    let paper = arguments.paper.unwrap_or(Paper::usual(notation.unit()));
    let page = report::form_page(&plan, half_width, notation, paper);
    match &arguments.page {
        None => write!(out, "{page}")?,
        Some(path) => {
            fs::write(path, page).map_err(|error| {
                Problem::NoAnswer(format!("{}: cannot be written: {error}", path.display()))
            })?;
            writeln!(out, "{}", report::form_line(&plan, half_width, notation))?;
        }
    }
    Ok(())
}
