//! Many boards in one command: each is answered in one line, in the order given, several at a time.

use std::io::{self, Write};
use std::num::NonZero;
use std::path::Path;
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::thread;

use super::board_options::BoardOptions;
use super::files::is_board_file;
use super::flatten::FlattenArguments;
use super::problem::Problem;
use crate::report;

/// Lines that a worker may be ahead: what is held in memory is a few lines, and a board a worker.
const AHEAD: usize = 4;

/// What is printed of one board.
struct Line {
    text: String,
    problem: Option<Problem>,
}

pub(super) fn run(arguments: &FlattenArguments, out: &mut dyn Write) -> Result<(), Problem> {
    let misplaced = arguments.options.of_one_board();
    if !misplaced.is_empty() {
        let told = |option| format!("{option} goes with one board; flatten that board by itself");
        return Err(Problem::Input(misplaced.into_iter().map(told).collect()));
    }
    let boards = &arguments.boards;
    let cores = thread::available_parallelism().map_or(1, NonZero::get);
    let workers = cores.min(boards.len());
    let (senders, receivers): (Vec<_>, Vec<_>) =
        (0..workers).map(|_| sync_channel::<Line>(AHEAD)).unzip();
    thread::scope(|scope| {
        for (first, sender) in senders.into_iter().enumerate() {
            // Every so many-th board, so that the lines come in the order given.
            scope.spawn(move || work(arguments, first, workers, &sender));
        }
        let printed = print(&receivers, boards.len(), out);
        // Where the output is gone, nobody receives, and the workers stop.
        drop(receivers);
        printed
    })
}

/// Answers board number `first` and every so many-th after it, until nobody hears.
fn work(arguments: &FlattenArguments, first: usize, workers: usize, sender: &SyncSender<Line>) {
    for path in arguments.boards.iter().skip(first).step_by(workers) {
        if sender.send(line(arguments, path)).is_err() {
            return;
        }
    }
}

/// Prints the lines in order as they come; tells how many boards have no answer.
fn print(receivers: &[Receiver<Line>], of: usize, out: &mut dyn Write) -> Result<(), Problem> {
    let (mut unanswered, mut at_fault) = (0, 0);
    for k in 0..of {
        // A worker that has gone has panicked; the scope passes that on.
        let Ok(line) = receivers[k % receivers.len()].recv() else {
            break;
        };
        writeln!(out, "{}", line.text)?;
        // Who reads the lines need not wait for the last.
        out.flush()?;
        if let Some(problem) = line.problem {
            match problem.exit_code() {
                2 => at_fault += 1,
                _ => unanswered += 1,
            }
            writeln!(io::stderr(), "{problem}")?;
        }
    }
    if (unanswered, at_fault) == (0, 0) {
        return Ok(());
    }
    Err(Problem::Some {
        of,
        unanswered,
        at_fault,
    })
}

fn line(arguments: &FlattenArguments, path: &Path) -> Line {
    let options = if is_board_file(path) {
        arguments.options.beside_a_board_file()
    } else {
        arguments.options.clone()
    };
    match arguments.answer(&BoardOptions::new(path.to_owned(), options)) {
        Ok(answered) => Line {
            text: answered.line(arguments.json),
            problem: answered.no_answer(),
        },
        Err(problem) => {
            let faults = match &problem {
                Problem::Input(faults) => faults.clone(),
                other => vec![other.to_string()],
            };
            let name = path.display().to_string();
            let text = if arguments.json {
                report::refused_line(&name, &faults)
            } else {
                format!("{name}: no answer; the error stream says why.")
            };
            let problem = Some(named(&name, problem));
            Line { text, problem }
        }
    }
}

/// The faults with the name of the board's file before those that do not name one.
fn named(name: &str, problem: Problem) -> Problem {
    let with_name = |told: String| {
        if told.contains(name) {
            told
        } else {
            format!("{name}: {told}")
        }
    };
    match problem {
        Problem::Input(faults) => Problem::Input(faults.into_iter().map(with_name).collect()),
        Problem::NoAnswer(reason) => Problem::NoAnswer(with_name(reason)),
        other => other,
    }
}
