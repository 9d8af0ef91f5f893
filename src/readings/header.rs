//! What the first row names: columns and their units, or the unit in a grid's corner.

use super::fault::{Collector, Problem, Site, visible};
use crate::length::Unit;

/// A column that a reader uses.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Name {
    X,
    Y,
    Z,
    Face,
    Thickness,
}

const NAMES: [(&str, Name); 5] = [
    ("x", Name::X),
    ("y", Name::Y),
    ("z", Name::Z),
    ("face", Name::Face),
    ("thickness", Name::Thickness),
];

/// The named columns of a file.
#[derive(Debug, Clone)]
pub(super) struct Header {
    start: Site,
    /// The number of columns, nameless ones included.
    pub(super) width: usize,
    columns: Vec<(Column, String)>,
    /// Names that begin like a column's: `z_mn`, `x coordinate`.
    near: Vec<(Name, usize, String)>,
}

/// A column of the file: its place in a row, from 0, and the unit that its name carries.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Column {
    pub(super) name: Name,
    pub(super) index: usize,
    pub(super) unit: Option<Unit>,
}

impl Name {
    pub(super) fn text(self) -> &'static str {
        match self {
            Self::X => "x",
            Self::Y => "y",
            Self::Z => "z",
            Self::Face => "face",
            Self::Thickness => "thickness",
        }
    }
}

impl Header {
    /// The header in a row's cells, if it names at least two columns that hold lengths.
    pub(super) fn of<'c>(start: Site, cells: impl Iterator<Item = &'c str>) -> Option<Self> {
        let mut header = Self {
            start,
            width: 0,
            columns: Vec::new(),
            near: Vec::new(),
        };
        for (index, cell) in cells.enumerate() {
            header.width = index + 1;
            match named(cell) {
                Some((name, Ok(unit))) => header
                    .columns
                    .push((Column { name, index, unit }, visible(cell))),
                Some((name, Err(()))) => header.near.push((name, index, visible(cell))),
                None => {}
            }
        }
        let lengths = [Name::X, Name::Y, Name::Z, Name::Thickness];
        (lengths.iter().filter(|&&name| header.has(name)).count() >= 2).then_some(header)
    }

    /// The first cell of the header.
    pub(super) fn start(&self) -> Site {
        self.start
    }

    /// Whether a column has this name.
    pub(super) fn has(&self, name: Name) -> bool {
        self.columns.iter().any(|(column, _)| column.name == name)
    }

    /// The only column of this name; reports a second one.
    pub(super) fn optional(&self, name: Name, faults: &mut Collector) -> Option<Column> {
        let mut columns = self
            .columns
            .iter()
            .filter(|(column, _)| column.name == name);
        let first = columns.next()?.0;
        for (second, text) in columns {
            let site = Site {
                column: second.index,
                ..self.start
            };
            let first = Site {
                column: first.index,
                ..self.start
            }
            .cell();
            let problem = Problem::new(
                format!("a second column {}; the first is {first}", name.text()),
                "give one of them another name",
            );
            faults.cell(site, String::new, text, problem);
        }
        Some(first)
    }

    /// The only column of this name; reports a missing or a second one.
    pub(super) fn required(&self, name: Name, faults: &mut Collector) -> Option<Column> {
        let column = self.optional(name, faults);
        if column.is_some() {
            return column;
        }
        let text = name.text();
        match self.near.iter().find(|(near, ..)| *near == name) {
            Some((_, index, found)) => faults.cell(
                Site { column: *index, ..self.start },
                String::new,
                found,
                Problem::new(
                    format!("not read as the column {text}"),
                    format!("name the column {text}, or with its unit: {text}_mm, {text}_in, {text} (mm)"),
                ),
            ),
            None => faults.line(
                self.start,
                Problem::new(
                    format!("the header has no column {text}"),
                    format!("name the column {text}, or with its unit: {text}_mm, {text}_in"),
                ),
            ),
        }
        None
    }
}

/// The column that a header cell names and its unit; `Err` where something follows the name that is no unit.
fn named(cell: &str) -> Option<(Name, Result<Option<Unit>, ()>)> {
    let cell = cell.trim().to_lowercase();
    let end = cell
        .find(|sign: char| !sign.is_ascii_alphanumeric())
        .unwrap_or(cell.len());
    let (word, rest) = cell.split_at(end);
    let (_, name) = NAMES.iter().find(|(name, _)| *name == word)?;
    let unit = rest.trim_matches(|sign: char| sign.is_whitespace() || "_-/,:()[]".contains(sign));
    let unit = unit
        .strip_prefix("in ")
        .filter(|unit| Unit::named(unit).is_some())
        .unwrap_or(unit);
    match (unit, Unit::named(unit)) {
        ("", _) => Some((*name, Ok(None))),
        (_, Some(unit)) if *name != Name::Face => Some((*name, Ok(Some(unit)))),
        _ => Some((*name, Err(()))),
    }
}

/// The unit in the top-left cell of a grid: alone, or in free text as `z (mm)`, `height_mm`, `depth in mm`.
pub(super) fn corner_unit(corner: &str) -> Result<Option<Unit>, Problem> {
    if let Some(unit) = Unit::named(corner) {
        return Ok(Some(unit));
    }
    let words: Vec<&str> = corner
        .split(|sign: char| !(sign.is_alphanumeric() || "'\"′″".contains(sign)))
        .filter(|word| !word.is_empty())
        .collect();
    let names_unit = |&(at, word): &(usize, &str)| match word.to_lowercase().as_str() {
        // Ordinary too: a preposition unless nothing follows it, and a name such as "slab M".
        "in" => at + 1 == words.len(),
        "m" => {
            at > 0 && words[at - 1].eq_ignore_ascii_case("in")
                || !corner.contains(&format!(" {word}"))
        }
        _ => true,
    };
    let mut units = words
        .iter()
        .copied()
        .enumerate()
        .filter(names_unit)
        .filter_map(|(_, word)| Unit::named(word));
    let unit = units.next();
    if let Some(other) = units.find(|other| Some(*other) != unit) {
        let first = unit.map_or("", Unit::symbol);
        return Err(Problem::new(
            format!("two units, {first} and {}", other.symbol()),
            "write the unit of the whole grid alone: mm, cm, m, in or ft",
        ));
    }
    if unit.is_none() && words.len() == 1 && is_mistyped_unit(words[0]) {
        return Err(Problem::new(
            "not a unit of a grid",
            "write mm, cm, m, in or ft, or leave the cell empty",
        ));
    }
    Ok(unit)
}

/// Whether a word is one slip of the hand from a unit, or a unit that is not read.
fn is_mistyped_unit(word: &str) -> bool {
    const SHORT: [&str; 24] = [
        "nm", "mn", "mmm", "nn", "µm", "μm", "um", "km", "dm", "cn", "cmm", "xm", "vm", "im", "ni",
        "inn", "iin", "ins", "mil", "mils", "thou", "yd", "zoll", "pouce",
    ];
    const LONG: [&str; 8] = [
        "inch",
        "inches",
        "foot",
        "feet",
        "metre",
        "meter",
        "millimetre",
        "millimeter",
    ];
    let word = word.to_lowercase();
    SHORT.contains(&word.as_str())
        || LONG
            .iter()
            .any(|unit| one_slip(&word, unit) || one_slip(&word, &format!("{unit}s")))
}

/// Whether one letter added, left out, changed or swapped with its neighbour makes `word` of `right`.
fn one_slip(word: &str, right: &str) -> bool {
    let (word, right): (Vec<char>, Vec<char>) = (word.chars().collect(), right.chars().collect());
    let ahead = word.iter().zip(&right).take_while(|(a, b)| a == b).count();
    let (word, right) = (&word[ahead..], &right[ahead..]);
    match (word, right) {
        ([a, b, word @ ..], [c, d, right @ ..]) if a == d && b == c && word == right => true,
        ([_, word @ ..], [_, right @ ..]) if word == right => true,
        ([_, word @ ..], right) if word == right => true,
        (word, [_, right @ ..]) => word == right,
        _ => false,
    }
}
