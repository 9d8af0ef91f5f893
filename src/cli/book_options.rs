//! The shop's book among a command's options.

use std::path::{Path, PathBuf};

use clap::Args;

use super::clock;
use super::problem::Problem;
use crate::board::Board;
use crate::book::{Book, BookError, Comparison, LEARNT_FROM, Labels, Made};
use crate::flatten::{Answer, Note, Shortfall};

/// The shop's book, where a command may reckon with what it has learnt.
#[derive(Debug, Clone, Args)]
pub(super) struct BookOptions {
    /// The shop's book: from the fifth board on its own loss is reckoned with
    #[arg(long, value_name = "FILE")]
    book: Option<PathBuf>,

    /// The machine that will take the board to thickness, as the book knows it
    #[arg(long, value_name = "M", requires = "book")]
    machine: Option<String>,

    /// Leave the shop's own loss out, whatever the book has learnt
    #[arg(long, requires = "book")]
    without_loss: bool,
}

impl BookOptions {
    /// Predicted against actual, as the book holds it; nothing without a book.
    pub(super) fn comparison(&self) -> Option<Result<Comparison, Problem>> {
        self.book.as_ref().map(|path| {
            let entries = Book::open_to_read(path).and_then(|book| book.entries());
            let entries = entries.map_err(|error| problem(path, &error))?;
            Ok(Comparison::new(&entries))
        })
    }

    /// What the book says of boards' losses.
    pub(super) fn losses(&self) -> Result<Losses<'_>, Problem> {
        let comparison = self.comparison().filter(|_| !self.without_loss);
        Ok(Losses {
            comparison: comparison.transpose()?,
            machine: self.machine.as_ref(),
        })
    }

    /// What the book says of this board.
    pub(super) fn loss(&self, board: &Board) -> Result<Loss, Problem> {
        Ok(self.losses()?.of(board))
    }

    /// What boards lost from their thickest rough place to what came out, mm, one a recorded piece: of this species, where
    /// enough of it are recorded, else of all. Nothing without a book.
    pub(super) fn record(&self, species: Option<&String>) -> Result<Option<Vec<f64>>, Problem> {
        let Some(comparison) = self.comparison().filter(|_| !self.without_loss) else {
            return Ok(None);
        };
        Ok(Some(comparison?.record(&labels(
            self.machine.as_ref(),
            species,
            None,
        ))))
    }
}

/// What the shop's book says of boards' losses.
pub(super) struct Losses<'a> {
    /// None without a book.
    comparison: Option<Comparison>,
    machine: Option<&'a String>,
}

impl Losses<'_> {
    /// Of this board, by its species.
    pub(super) fn of(&self, board: &Board) -> Loss {
        self.of_species(board.about.species.as_ref())
    }

    /// Of boards of this species; of all where it is not known.
    pub(super) fn of_species(&self, species: Option<&String>) -> Loss {
        let Some(comparison) = &self.comparison else {
            return Loss::default();
        };
        let boards = comparison.boards;
        if !comparison.knows_the_shop() {
            let of = LEARNT_FROM - 1;
            return Loss {
                shortfall: None,
                note: Some(Note::ShopUnknown { boards, of }),
            };
        }
        let shortfall = comparison.shortfall(&labels(self.machine, species, Some("shimmed")));
        let mean = shortfall.mean;
        Loss {
            shortfall: Some(shortfall),
            note: Some(Note::ShopLoss { mean, boards }),
        }
    }
}

/// What the shop's book says of a board's loss.
#[derive(Debug, Default)]
pub(super) struct Loss {
    /// By how much it will fall short, where enough is recorded.
    pub(super) shortfall: Option<Shortfall>,
    /// What is to be said of it.
    pub(super) note: Option<Note>,
}

impl Loss {
    /// Lets an answer count it, and say so.
    pub(super) fn reckon_with(&self, answer: &mut Answer) {
        let Ok(expectation) = &mut answer.expectation else {
            // Of what is not expected, nothing is said of the loss either.
            return;
        };
        if let Some(shortfall) = self.shortfall {
            *expectation = expectation.clone().short_by(shortfall);
        }
        answer.notes.extend(self.note);
    }
}

/// Labels as a book knows them: without space around them, in lower case.
pub(super) fn labels(
    machine: Option<&String>,
    species: Option<&String>,
    way: Option<&str>,
) -> Labels {
    [
        machine.map(String::as_str),
        species.map(String::as_str),
        way,
    ]
    .map(|label| {
        label
            .map(|label| label.trim().to_lowercase())
            .filter(|label| !label.is_empty())
    })
}

/// What is wrong with a book, as the program's problem.
pub(super) fn problem(path: &Path, error: &BookError) -> Problem {
    let told = format!("{}: {error}", path.display());
    match error {
        BookError::Full | BookError::Disk(_) | BookError::Busy | BookError::Other(_) => {
            Problem::NoAnswer(told)
        }
        _ => Problem::Input(vec![told]),
    }
}

/// How an entry is made now.
pub(super) fn made() -> Made {
    let arguments = std::env::args_os().skip(1);
    let arguments: Vec<String> = arguments.map(|a| quoted(&a.to_string_lossy())).collect();
    Made {
        at: clock::now(),
        version: env!("CARGO_PKG_VERSION").to_owned(),
        settings: arguments.join(" "),
    }
}

/// An argument as it would be typed.
fn quoted(argument: &str) -> String {
    let argument = argument.replace(char::is_control, " ");
    if argument.is_empty() || argument.contains([' ', '"', '\'', '$']) {
        format!("'{}'", argument.replace('\'', "'\\''"))
    } else {
        argument
    }
}
