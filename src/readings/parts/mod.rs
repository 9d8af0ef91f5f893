//! The parts list: what is to be made, with finished sizes, under a header that names part, count, length, width and
//! thickness.

mod cells;
mod header;

use cells::Cells;
use header::{Header, Name};

use crate::length::Unit;
use crate::readings::fault::{Collector, Problem, Site, visible};
use crate::readings::number::Numbers;
use crate::readings::rows::{Row, Rows};
use crate::readings::table::{DELIMITERS, separator_line, unclosed_quote};

/// A kind of part, lengths in millimetres.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// What it is called; no two of a list have one name.
    pub name: String,
    /// How many are to be made; at least one.
    pub count: usize,
    /// Finished length, along the grain.
    pub length: f64,
    /// Finished width, across the grain.
    pub width: f64,
    /// Finished thickness; never more than the width.
    pub thickness: f64,
    /// The group whose parts must all come from one board, to match; one spelling a group.
    pub from_one_board: Option<String>,
    /// It may be glued up from this many strips at most; at least one.
    pub strips: Option<usize>,
    /// It may be resawn from a thicker piece.
    pub resaw: bool,
    /// How likely it must be to reach its thickness, above 0 and below 1, where the list says so.
    pub certainty: Option<f64>,
    /// The line of the file on which it stands.
    pub row: u64,
}

/// The parts of a file.
#[derive(Debug, Clone, PartialEq)]
pub struct PartList {
    /// In the order of the file; at least one.
    pub parts: Vec<Part>,
    /// The unit of thicknesses that name none, else the first one that a cell names.
    pub unit: Option<Unit>,
}

/// Reads the rows under the header of `text`.
pub(super) fn read(text: &str, unit: Option<Unit>, faults: &mut Collector) -> Option<PartList> {
    let (header, delimiter, mut rows) = open(text, faults)?;
    header.check(faults);
    let mut cells = Cells {
        numbers: Numbers::new(delimiter),
        header: &header,
        unit,
    };
    let mut list = Found::default();
    while let Some(row) = rows.next_after(faults) {
        if let Some(column) = row.unclosed() {
            let site = row.site(column);
            faults.line(site, unclosed_quote(site));
            break;
        }
        if row.filled() > header.width {
            too_many_cells(row, &header, &cells.numbers, faults);
        } else if header.holds_any(row) {
            list.take(row, &mut cells, faults);
        }
    }
    let own_unit = header
        .column(Name::Thickness)
        .and_then(|column| column.unit);
    let unit = own_unit.or(unit).or(cells.numbers.named());
    cells
        .numbers
        .report(Some("in the header, as length_mm"), faults);
    if list.rows == 0 && faults.is_empty() {
        faults.file(Problem::new(
            "the list holds no part",
            "write a row for each part; rows that begin with # are comments",
        ));
    }
    Some(PartList {
        parts: list.parts,
        unit,
    })
}

/// The header, the delimiter that shows most of its names, and the rows after it.
fn open<'t>(text: &'t str, faults: &mut Collector) -> Option<(Header, u8, Rows<'t>)> {
    let (given, text, start) = separator_line(text, faults)?;
    let candidates = given.as_ref().map_or(&DELIMITERS[..], std::slice::from_ref);
    let mut best: Option<(Header, u8, Rows<'t>)> = None;
    let mut first = None;
    for &delimiter in candidates {
        let mut rows = Rows::new(text, delimiter, start);
        let Some(row) = rows.next() else {
            let fix = "save the sheet again; a row that begins with # is a comment";
            faults.file(Problem::new(
                "the file is empty: no row holds anything",
                fix,
            ));
            return None;
        };
        first = Some((row.site(0), row.unclosed().map(|column| row.site(column))));
        let header = Header::of(row);
        if best
            .as_ref()
            .is_none_or(|(other, ..)| header.known() > other.known())
        {
            best = Some((header, delimiter, rows));
        }
    }
    // One name may be a chance word of a title; two are a header.
    let found = best.filter(|(header, ..)| header.known() >= 2);
    if let (None, Some((site, unclosed))) = (&found, first) {
        match unclosed {
            Some(quote) => faults.line(quote, unclosed_quote(quote)),
            None => faults.line(
                site,
                Problem::new(
                    "no parts list: the first row does not name its columns",
                    "write the header part, count, length, width, thickness; put # before a title",
                ),
            ),
        }
    }
    found
}

fn too_many_cells(row: Row<'_>, header: &Header, numbers: &Numbers, faults: &mut Collector) {
    let column = row.first_filled(header.width);
    let wrong = format!(
        "the row has {} cells, the header {}",
        row.filled(),
        header.width
    );
    let fix = numbers.or_points("write a name for every column");
    let place = || header.part_of(row);
    faults.cell(
        row.site(column),
        place,
        row.cell(column),
        Problem::new(wrong, fix),
    );
}

/// What the rows read so far hold.
#[derive(Default)]
struct Found {
    parts: Vec<Part>,
    /// How many rows there were, those at fault too.
    rows: usize,
    /// Names in lower case, with the cell in which each stands.
    names: Vec<(String, Site)>,
    /// Groups as they were first written.
    groups: Vec<String>,
}

impl Found {
    fn take(&mut self, row: Row<'_>, cells: &mut Cells<'_>, faults: &mut Collector) {
        self.rows += 1;
        let name = cells.name(row, faults);
        if let Some(name) = &name {
            self.check_name(name, row, cells.header, faults);
        }
        let count = cells.count(row, faults);
        let [length, width, thickness] =
            [Name::Length, Name::Width, Name::Thickness].map(|name| cells.size(row, name, faults));
        let from_one_board = cells
            .text(row, Name::Match)
            .map(|group| self.group(group).to_owned());
        let strips = cells.strips(row, faults);
        let resaw = cells.resaw(row, faults);
        let certainty = cells.certainty(row, faults);
        if let (Some(width), Some(thickness)) = (width, thickness)
            && thickness > width
        {
            let wrong = "the part is thicker than it is wide";
            let fix = "swap them: the width lies on the faces";
            cells.tell(row, Name::Thickness, Problem::new(wrong, fix), faults);
        }
        let part = || {
            Some(Part {
                name: name?,
                count: count?,
                length: length?,
                width: width?,
                thickness: thickness?,
                from_one_board,
                strips,
                resaw,
                certainty,
                row: row.site(0).line,
            })
        };
        self.parts.extend(part());
    }

    /// Reports a name that another row has.
    fn check_name(&mut self, name: &str, row: Row<'_>, header: &Header, faults: &mut Collector) {
        let site = header.site(row, Name::Part);
        let folded = name.to_lowercase();
        match self.names.iter().find(|(other, _)| *other == folded) {
            Some((_, first)) => {
                let wrong = format!("a part of this name stands in {} already", first.cell());
                let fix = "raise its count, or name this one otherwise";
                faults.cell(site, String::new, name, Problem::new(wrong, fix));
            }
            None => self.names.push((folded, site)),
        }
    }

    /// The group as it was written first: upper and lower case are one.
    fn group<'g>(&'g mut self, group: &str) -> &'g str {
        let same = |other: &String| other.to_lowercase() == group.to_lowercase();
        let at = self.groups.iter().position(same).unwrap_or_else(|| {
            self.groups.push(visible(group));
            self.groups.len() - 1
        });
        &self.groups[at]
    }
}
