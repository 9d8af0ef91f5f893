//! Rows of a place and a value under a header: probe readings and caliper readings alike.

use super::fault::{Collector, Problem, Site, with_unit};
use super::header::{Column, Header, Name};
use super::number::{Numbers, Role};
use super::rows::{Row, Rows};
use super::table::unclosed_quote;
use crate::length::{Unit, Written};

/// Where a row holds its place and its value.
#[derive(Debug, Clone, Copy)]
pub(super) struct Columns {
    pub(super) x: Column,
    pub(super) y: Column,
    pub(super) value: Column,
    pub(super) width: usize,
}

impl Columns {
    /// The columns x, y and `value` of a header; reports what is missing.
    pub(super) fn find(
        header: &Header,
        value_name: Name,
        unit: Option<Unit>,
        faults: &mut Collector,
    ) -> Option<Self> {
        let mut column = |name| {
            let column = header.required(name, faults)?;
            Some(Column {
                unit: column.unit.or(unit),
                ..column
            })
        };
        // All three are looked up before one that is missing ends it.
        let (x, y, value) = (column(Name::X), column(Name::Y), column(value_name));
        Some(Self {
            x: x?,
            y: y?,
            value: value?,
            width: header.width,
        })
    }

    /// The unit of values that name none.
    pub(super) fn unit(&self) -> Option<Unit> {
        self.value.unit
    }

    /// The cell of a row's value: where it stands and its text.
    pub(super) fn value_cell<'r>(&self, row: Row<'r>) -> (Site, &'r str) {
        (row.site(self.value.index), row.cell(self.value.index))
    }

    /// Hands every row that holds a value to `take`: x and y in millimetres, and the value. Rows whose value is blank
    /// are passed over, rows at fault are reported.
    pub(super) fn each(
        &self,
        rows: &mut Rows<'_>,
        numbers: &mut Numbers,
        faults: &mut Collector,
        mut take: impl FnMut(Row<'_>, [f64; 2], Written, &mut Collector),
    ) {
        while let Some(row) = rows.next_after(faults) {
            if let Some(column) = row.unclosed() {
                let site = row.site(column);
                faults.line(site, unclosed_quote(site));
                return;
            }
            if row.len() > self.width && row.filled() > self.width {
                let column = row.first_filled(self.width);
                let wrong = format!(
                    "the row has {} cells, the header {}",
                    row.filled(),
                    self.width
                );
                let fix = numbers.or_points("write a name for every column");
                faults.cell(
                    row.site(column),
                    String::new,
                    row.cell(column),
                    Problem::new(wrong, fix),
                );
                continue;
            }
            let value = row.cell(self.value.index);
            if value.is_empty() {
                if let Some(problem) = parted_otherwise(row) {
                    faults.line(row.site(0), problem);
                }
                continue;
            }
            let mut number = |column: Column, role: Role| {
                let (text, site) = (row.cell(column.index), row.site(column.index));
                let read = if text.is_empty() {
                    let (missing, given) = (column.name.text(), self.value.name.text());
                    let fix = "write where the reading was taken, or clear the row";
                    Err(Problem::new(
                        format!("{missing} is blank where {given} is given"),
                        fix,
                    ))
                } else {
                    numbers.read(text, role, column.unit, site)
                };
                match read {
                    Ok(written) => Some(written),
                    Err(problem) => {
                        faults.cell(site, || self.place(row, column.name), text, problem);
                        None
                    }
                }
            };
            let (x, y, value) = (
                number(self.x, Role::Place),
                number(self.y, Role::Place),
                number(self.value, Role::Reading),
            );
            if let (Some(x), Some(y), Some(value)) = (x, y, value) {
                take(row, [x.length.mm(), y.length.mm()], value, faults);
            }
        }
    }

    /// What a cell is on the board: the value's with its place.
    pub(super) fn place(&self, row: Row<'_>, name: Name) -> String {
        let at = |column: Column, name: &str| {
            let unit = column.unit.map_or("", Unit::symbol);
            format!("{name} {}", with_unit(row.cell(column.index), unit))
        };
        match name {
            Name::X | Name::Y => name.text().to_owned(),
            _ => format!(
                "{} at {}, {}",
                name.text(),
                at(self.x, "x"),
                at(self.y, "y")
            ),
        }
    }
}

/// What is wrong with a row without a value that is one cell, since another delimiter than the header's parts it.
fn parted_otherwise(row: Row<'_>) -> Option<Problem> {
    let only = row.first_filled(0);
    if row.filled() != only + 1 {
        return None;
    }
    let cell = row.cell(only);
    let (_, name) = [(';', "semicolons"), ('\t', "tabs"), (',', "commas")]
        .into_iter()
        .find(|(sign, _)| cell.matches(*sign).count() >= 2)?;
    Some(Problem::new(
        format!("the row is parted by {name}, the header is not"),
        "part all rows alike: save the sheet again as CSV",
    ))
}
