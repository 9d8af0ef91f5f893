//! The columns of a parts list, by the names in its first row.

use crate::length::Unit;
use crate::readings::fault::{Collector, Problem, Site, visible};
use crate::readings::nearest::nearest;
use crate::readings::rows::Row;

/// A column of the list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Name {
    Part,
    Count,
    Length,
    Width,
    Thickness,
    Match,
    GlueUp,
    Resaw,
    Certainty,
}

/// How each column is written.
const NAMES: [(&str, Name); 9] = [
    ("part", Name::Part),
    ("count", Name::Count),
    ("length", Name::Length),
    ("width", Name::Width),
    ("thickness", Name::Thickness),
    ("match", Name::Match),
    ("glue-up", Name::GlueUp),
    ("resaw", Name::Resaw),
    ("certainty", Name::Certainty),
];

/// How many of [`NAMES`] every list must have.
const REQUIRED: usize = 5;

impl Name {
    pub(super) fn text(self) -> &'static str {
        NAMES
            .iter()
            .find(|(_, name)| *name == self)
            .map_or("", |(text, _)| text)
    }

    fn is_size(self) -> bool {
        matches!(self, Self::Length | Self::Width | Self::Thickness)
    }
}

/// A column of the file: its place in a row, from 0, and the unit that its name carries.
#[derive(Debug, Clone, Copy)]
pub(super) struct Column {
    name: Name,
    pub(super) index: usize,
    pub(super) unit: Option<Unit>,
}

/// The named columns of a list.
#[derive(Debug)]
pub(super) struct Header {
    start: Site,
    /// The number of columns, nameless ones included.
    pub(super) width: usize,
    columns: Vec<Column>,
    /// Cells that name no column: where, as written, and folded.
    others: Vec<(usize, String, String)>,
}

impl Header {
    pub(super) fn of(row: Row<'_>) -> Self {
        let mut header = Self {
            start: row.site(0),
            width: row.len(),
            columns: Vec::new(),
            others: Vec::new(),
        };
        for (index, cell) in row.cells().enumerate() {
            let (word, unit) = folded(cell);
            match NAMES.iter().find(|(name, _)| *name == word) {
                Some(&(_, name)) if unit.is_none() || name.is_size() => {
                    header.columns.push(Column { name, index, unit });
                }
                _ => header.others.push((index, visible(cell), word)),
            }
        }
        header
    }

    /// How many of its cells name a column.
    pub(super) fn known(&self) -> usize {
        self.columns.len()
    }

    /// The first column of this name.
    pub(super) fn column(&self, name: Name) -> Option<Column> {
        self.columns
            .iter()
            .find(|column| column.name == name)
            .copied()
    }

    /// Where a row's cell of a column stands; its first cell where there is no such column.
    pub(super) fn site(&self, row: Row<'_>, name: Name) -> Site {
        row.site(self.column(name).map_or(0, |column| column.index))
    }

    /// Whether a row holds anything in a column that is read.
    pub(super) fn holds_any(&self, row: Row<'_>) -> bool {
        self.columns
            .iter()
            .any(|column| !row.cell(column.index).is_empty())
    }

    /// The name of a row's part, as messages give it.
    pub(super) fn part_of(&self, row: Row<'_>) -> String {
        let name = self
            .column(Name::Part)
            .map_or("", |column| row.cell(column.index));
        visible(name)
    }

    /// Reports columns that are missing, misspelt or there twice.
    pub(super) fn check(&self, faults: &mut Collector) {
        for (at, column) in self.columns.iter().enumerate() {
            let first = self.columns[..at]
                .iter()
                .find(|other| other.name == column.name);
            if let Some(first) = first {
                let (name, cell) = (column.name.text(), self.at(first.index).cell());
                let wrong = format!("a second column {name}; the first is {cell}");
                let problem = Problem::new(wrong, "give one of them another name");
                faults.cell(self.at(column.index), String::new, name, problem);
            }
        }
        for (at, (text, name)) in NAMES.iter().enumerate() {
            if self.column(*name).is_some() {
                continue;
            }
            let missing = NAMES
                .iter()
                .filter(|(_, name)| self.column(*name).is_none());
            let missing: Vec<&str> = missing.map(|(text, _)| *text).collect();
            let misspelt = self
                .others
                .iter()
                .find(|(_, _, word)| nearest(word, missing.iter().copied()) == Some(text));
            let required = at < REQUIRED;
            match misspelt {
                Some((index, found, _)) => {
                    let wrong = format!("not read as the column {text}");
                    let fix = match (required, name.is_size()) {
                        (_, true) => format!("name it {text}, {text}_mm or {text}_in"),
                        (true, false) => format!("name it {text}"),
                        (false, _) => format!("name it {text} if that is meant, else otherwise"),
                    };
                    faults.cell(
                        self.at(*index),
                        String::new,
                        found,
                        Problem::new(wrong, fix),
                    );
                }
                None if required => faults.line(
                    self.start,
                    Problem::new(
                        format!("the header has no column {text}"),
                        "a list names part, count, length, width and thickness",
                    ),
                ),
                None => {}
            }
        }
    }

    fn at(&self, index: usize) -> Site {
        Site {
            column: index,
            ..self.start
        }
    }
}

/// A header cell's words in lower case, joined by dashes, and the unit after them: `Length (mm)`, `width_in`, `Glue up`.
fn folded(cell: &str) -> (String, Option<Unit>) {
    let lower = cell.to_lowercase();
    let mut words: Vec<&str> = lower
        .split(|sign: char| sign.is_whitespace() || "_-/,:()[]".contains(sign))
        .filter(|word| !word.is_empty())
        .collect();
    let unit = words
        .get(1..)
        .and_then(<[&str]>::last)
        .and_then(|word| Unit::named(word));
    if unit.is_some() {
        words.pop();
        if words.len() > 1 && words.last() == Some(&"in") {
            words.pop();
        }
    }
    (words.join("-"), unit)
}
