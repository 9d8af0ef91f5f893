//! The command line: one file a command; the only place that opens files by name.
//!
//! Results are written to the output that [`run`] is given, so that tests can read them; what went wrong comes back
//! as a [`Problem`], which knows its exit code.

mod batch;
mod board;
mod board_options;
mod book;
mod book_options;
mod bounded;
mod buy;
mod clock;
mod compare;
mod cut;
mod cut_input;
mod dimension;
mod files;
mod flatten;
mod form;
mod leave_out;
mod measure;
mod mill;
mod moved;
mod predict;
mod problem;
mod prompt;
mod reading_watch;
mod record;
mod scan;
mod survey_options;
mod teller;
#[cfg(feature = "view")]
mod view;
mod watching;

pub use problem::Problem;

use std::io::Write;

use clap::{Parser, Subcommand};

/// How thick a warped board comes out when it is milled flat, before the first cut.
#[derive(Debug, Parser)]
#[command(name = "outwind", version, about, max_term_width = 80)]
pub struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// How thick a board comes out, what is wrong with it, and how to lay it
    // Left to itself, an error's usage would list every option in one line.
    #[command(override_usage = "outwind flatten [OPTIONS] <BOARD>...")]
    Flatten(flatten::FlattenArguments),
    /// Whether and where to cut boards before they are flattened
    #[command(override_usage = "outwind cut [OPTIONS] <BOARD>...")]
    Cut(cut::CutArguments),
    /// The board in three dimensions: in a window, or as a picture
    #[cfg(feature = "view")]
    #[command(override_usage = "outwind view [OPTIONS] <BOARD>")]
    View(view::ViewArguments),
    /// How to mill a board, on both days, and a page for the machine
    #[command(override_usage = "outwind mill [OPTIONS] --need <T> <BOARD>")]
    Mill(mill::MillArguments),
    /// A form to measure by: the board to scale, where to read, boxes to fill in
    #[command(override_usage = "outwind form [OPTIONS] --length <L> --width <W>")]
    Form(form::FormArguments),
    /// Asks for a board's readings one by one, each safe on the disk at once
    #[command(override_usage = "outwind measure [OPTIONS] <BOARD.toml>")]
    Measure(measure::MeasureArguments),
    /// How a board changed between two of its surveys, and whether it really did
    #[command(override_usage = "outwind moved [OPTIONS] <BOARD.toml>")]
    Moved(moved::MovedArguments),
    /// Which rough thickness to buy, how much of it, and for how much
    #[command(override_usage = "outwind buy [OPTIONS] --need <T> --length <L> --width <W>")]
    Buy(buy::BuyArguments),
    /// Writes readings in CSV files and their options as a board file
    #[command(override_usage = "outwind board [OPTIONS] <BOARD> > FILE.toml")]
    Board(board::BoardArguments),
    /// Notes in the shop's book how thick a board or piece will come out
    #[command(override_usage = "outwind predict [OPTIONS] --book <FILE> <BOARD>")]
    Predict(predict::PredictArguments),
    /// Notes in the shop's book how thick it came out
    Record(record::RecordArguments),
    /// Predicted against actual, and what the shop loses
    Compare(compare::CompareArguments),
    /// The entries of the shop's book: shown, undone, out and in as a table
    Book(book::BookArguments),
}

/// Runs the command and writes its result to `out`.
///
/// # Errors
///
/// A [`Problem`] with all that is wrong, for the error stream, and its exit code.
pub fn run(arguments: &Arguments, out: &mut dyn Write) -> Result<(), Problem> {
    match &arguments.command {
        Command::Flatten(arguments) => flatten::run(arguments, out),
        Command::Cut(arguments) => cut::run(arguments, out),
        #[cfg(feature = "view")]
        Command::View(arguments) => view::run(arguments),
        Command::Mill(arguments) => mill::run(arguments, out),
        Command::Form(arguments) => form::run(arguments, out),
        Command::Measure(arguments) => measure::run(arguments, out),
        Command::Moved(arguments) => moved::run(arguments, out),
        Command::Buy(arguments) => buy::run(arguments, out),
        Command::Board(arguments) => board::run(arguments, out),
        Command::Predict(arguments) => predict::run(arguments, out),
        Command::Record(arguments) => record::run(arguments, out),
        Command::Compare(arguments) => compare::run(arguments, out),
        Command::Book(arguments) => book::run(arguments, out),
    }
}
