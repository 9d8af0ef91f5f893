//! `outwind compare`: predicted against actual, and what the shop loses.

use std::fs;
use std::io::Write;
use std::path::PathBuf;

use clap::Args;

use super::book_options::problem;
use super::dimension;
use super::problem::Problem;
use crate::book::{Book, Comparison};
use crate::length::Notation;
use crate::report;

#[derive(Debug, Args)]
pub(super) struct CompareArguments {
    /// The shop's book
    #[arg(long, value_name = "FILE")]
    book: PathBuf,

    /// Draw predicted against actual, and the error over time, as an SVG file
    #[arg(long, value_name = "FILE.svg")]
    picture: Option<PathBuf>,

    /// How to write lengths: 64ths, 32nds, 16ths or 8ths of an inch, decimal (inches) or mm
    #[arg(long, value_name = "HOW", value_parser = dimension::notation)]
    write: Option<Notation>,

    /// Print the comparison as JSON, millimetres throughout
    #[arg(long)]
    json: bool,
}

pub(super) fn run(arguments: &CompareArguments, out: &mut dyn Write) -> Result<(), Problem> {
    let entries = Book::open_to_read(&arguments.book).and_then(|book| book.entries());
    let comparison = Comparison::new(&entries.map_err(|e| problem(&arguments.book, &e))?);
    // Lengths are written as for the first board.
    let unit = comparison.pieces.first().map(|p| p.prediction.unit);
    let notation = arguments.write.unwrap_or(dimension::usual_notation(unit));
    if let Some(path) = &arguments.picture {
        fs::write(path, report::compared_drawing(&comparison, notation).svg()).map_err(
            |error| Problem::NoAnswer(format!("{}: cannot be written: {error}", path.display())),
        )?;
    }
    if arguments.json {
        writeln!(out, "{}", report::compared_json(&comparison, notation))?;
    } else {
        write!(out, "{}", report::compared(&comparison, notation))?;
    }
    Ok(())
}
