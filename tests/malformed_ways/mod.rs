//! Ways in which a good file goes bad, each with what it may do then.

mod csv;
mod text;
mod toml;

pub(crate) use csv::CSV;
use csv::Table;
pub(crate) use text::TEXT;
use toml::Lines;
pub(crate) use toml::TOML;

use super::May;
use super::common::random::Random;

/// One way to make a good file bad.
pub(crate) struct Way {
    pub(crate) name: &'static str,
    pub(crate) may: May,
    make: Make,
}

enum Make {
    /// Of the whole text.
    Text(fn(&str, &mut Random) -> Option<Vec<u8>>),
    /// Of the table that the file is, or of the first one in a board file.
    Table(fn(&mut Table, &mut Random) -> Option<()>),
    /// Of the lines of a board file or shop file.
    Lines(fn(&mut Lines, &mut Random) -> Option<()>),
}

/// What a table in a board file stands between.
const QUOTES: &str = "\"\"\"";

impl Way {
    /// The bad file; nothing where there is nothing in the good one to be made so.
    pub(crate) fn make(&self, good: &str, random: &mut Random) -> Option<Vec<u8>> {
        let change = match self.make {
            Make::Text(make) => return make(good, random),
            Make::Lines(change) => {
                let mut lines = Lines(good.lines().map(str::to_owned).collect());
                change(&mut lines, random)?;
                return Some((lines.0.join("\n") + "\n").into_bytes());
            }
            Make::Table(change) => change,
        };
        let parts: Vec<&str> = good.splitn(3, QUOTES).collect();
        let (before, text, after) = match parts[..] {
            [before, text, after] => (before, text, Some(after)),
            _ if good.contains(" = ") => return None,
            _ => ("", good, None),
        };
        let mut table = Table::of(text, after.is_some());
        change(&mut table, random)?;
        let bad = match after {
            Some(after) => format!("{before}{QUOTES}{}{QUOTES}{after}", table.text()),
            None => table.text(),
        };
        Some(bad.into_bytes())
    }
}

/// What no unit is called.
pub(crate) const NO_UNITS: [&str; 4] = ["furlong", "mmm", "line", "px"];

/// No numbers, or none that a board has.
pub(crate) const NO_NUMBERS: [&str; 14] = [
    "NaN", "nan", "inf", "-inf", "Infinity", "1e308", "-1e308", "1e400", "1e7", "oak", "?", "1/0",
    "--3", "0x10",
];

/// One of them.
pub(crate) fn one_of<'a, T: ?Sized>(all: &[&'a T], random: &mut Random) -> &'a T {
    all[random.count(0, all.len() - 1)]
}
