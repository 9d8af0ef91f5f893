//! `outwind board`: readings in CSV files as one board file, to go on with by hand.

use std::io::Write;

use clap::Args;

use super::board_options::{BoardOptions, Loaded};
use super::problem::Problem;
use crate::readings::write_board;

#[derive(Debug, Args)]
pub(super) struct BoardArguments {
    #[command(flatten)]
    board: BoardOptions,
}

pub(super) fn run(arguments: &BoardArguments, out: &mut dyn Write) -> Result<(), Problem> {
    if arguments.board.is_board_file() {
        let what = "this is a board file already; give readings as CSV";
        return Err(Problem::Input(vec![what.to_owned()]));
    }
    // What keeps the readings from being a board is told before they are written.
    let (Loaded { board, .. }, ()) = arguments.board.load(|_, _| ())?;
    let mut faults = Vec::new();
    let mut record = arguments.board.record(&mut faults).unwrap_or_default();
    let outline = board.outline;
    record.name = Some(board.name);
    record.length = record
        .length
        .or((outline.x0 == 0.0).then_some(outline.length));
    record.width = record
        .width
        .or((outline.y0 == 0.0).then_some(outline.width));
    write!(out, "{}", write_board(&record))?;
    Ok(())
}
