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

    /// What the shop falls short by for a board of this species, and what is to be said of it; nothing without a book.
    pub(super) fn shortfall(
        &self,
        species: Option<&String>,
    ) -> Result<(Option<Shortfall>, Option<Note>), Problem> {
        let Some(comparison) = self.comparison().filter(|_| !self.without_loss) else {
            return Ok((None, None));
        };
        let comparison = comparison?;
        let boards = comparison.boards;
        if !comparison.knows_the_shop() {
            let of = LEARNT_FROM - 1;
            return Ok((None, Some(Note::ShopUnknown { boards, of })));
        }
        let shortfall =
            comparison.shortfall(&labels(self.machine.as_ref(), species, Some("shimmed")));
        let mean = shortfall.mean;
        Ok((Some(shortfall), Some(Note::ShopLoss { mean, boards })))
    }

    /// What the book says of this board.
    pub(super) fn loss(&self, board: &Board) -> Result<Loss, Problem> {
        let (shortfall, note) = self.shortfall(board.about.species.as_ref())?;
        Ok(Loss { shortfall, note })
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

/// What the shop's book says of a board's loss.
#[derive(Debug)]
pub(super) struct Loss {
    /// By how much it will fall short, where enough is recorded.
    pub(super) shortfall: Option<Shortfall>,
    note: Option<Note>,
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
