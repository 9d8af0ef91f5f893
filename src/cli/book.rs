//! `outwind book`: the entries of the shop's book, out and in as a table, and the last one undone.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use clap::Args;

use super::book_options::problem;
use super::clock;
use super::dimension;
use super::files::read_file;
use super::problem::Problem;
use crate::book::{Book, Content, Entry, read_table, write_table};
use crate::length::Notation;
use crate::readings::read_sheet;
use crate::report;

#[derive(Debug, Args)]
pub(super) struct BookArguments {
    /// The shop's book
    #[arg(long, value_name = "FILE")]
    book: PathBuf,

    /// Write the whole book as a table for spreadsheets
    #[arg(long, value_name = "CSV", conflicts_with_all = ["table_in", "undo"])]
    out: Option<PathBuf>,

    /// Take in a table that was written by --out: all of it or nothing
    #[arg(long = "in", value_name = "CSV", conflicts_with = "undo")]
    table_in: Option<PathBuf>,

    /// Undo the last entry; it stays in the book, marked
    #[arg(long)]
    undo: bool,

    /// How to write lengths: 64ths, 32nds, 16ths or 8ths of an inch, decimal (inches) or mm
    #[arg(long, value_name = "HOW", value_parser = dimension::notation)]
    write: Option<Notation>,
}

pub(super) fn run(arguments: &BookArguments, out: &mut dyn Write) -> Result<(), Problem> {
    let wrong = |error| problem(&arguments.book, &error);
    let count = |n: usize| {
        if n == 1 {
            "1 entry".to_owned()
        } else {
            format!("{n} entries")
        }
    };
    if let Some(path) = &arguments.table_in {
        let entries = read_file(path, |bytes, name| {
            read_sheet(bytes, name).and_then(|sheet| read_table(&sheet, name))
        });
        let entries = entries.map_err(|told| Problem::Input(vec![told]))?;
        let mut book = Book::open_or_begin(&arguments.book).map_err(wrong)?;
        let taken = book.take_in(&entries).map_err(wrong)?;
        let known = entries.len() - taken;
        writeln!(
            out,
            "Took in {}; {known} were in the book already.",
            count(taken)
        )?;
    } else if arguments.undo {
        let mut book = Book::open(&arguments.book).map_err(wrong)?;
        let undone = book.undo(&clock::now()).map_err(wrong)?;
        if undone.is_empty() {
            writeln!(out, "There is nothing left to undo.")?;
        } else {
            let all = book.entries().map_err(wrong)?;
            let text = report::book_entries(&undone, notation(arguments.write, &all));
            write!(out, "Undone, and kept in the book as such:\n{text}")?;
        }
    } else {
        let entries = Book::open_to_read(&arguments.book).and_then(|book| book.entries());
        let entries = entries.map_err(wrong)?;
        match &arguments.out {
            Some(path) => {
                write_out(path, &write_table(&entries))?;
                writeln!(out, "Wrote {} to {}.", count(entries.len()), path.display())?;
            }
            None => {
                let text = report::book_entries(&entries, notation(arguments.write, &entries));
                write!(out, "{text}")?;
            }
        }
    }
    Ok(())
}

fn write_out(path: &Path, table: &str) -> Result<(), Problem> {
    fs::write(path, table).map_err(|error| {
        Problem::NoAnswer(format!("{}: cannot be written: {error}", path.display()))
    })
}

/// As asked, else as for the first board.
fn notation(asked: Option<Notation>, entries: &[Entry]) -> Notation {
    let unit = entries.iter().find_map(|entry| match &entry.content {
        Content::Prediction(prediction) => Some(prediction.unit),
        Content::Actual(_) => None,
    });
    asked.unwrap_or(dimension::usual_notation(unit))
}
