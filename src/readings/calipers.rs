//! Caliper readings: the thickness at places, under a header that names x, y and thickness.

use super::columns::Columns;
use super::fault::{Collector, Problem};
use super::header::Name;
use super::number::Numbers;
use super::table::Table;
use super::{Caliper, Calipers};
use crate::length::Unit;

/// No board is thicker, mm: beyond it a unit has slipped.
pub(super) const THICKEST_MM: f64 = 305.0;

/// Reads the rows of a table that must have a header.
pub(super) fn read(
    mut table: Table<'_>,
    unit: Option<Unit>,
    faults: &mut Collector,
) -> Option<Calipers> {
    let Some(header) = table.header.take() else {
        let site = table.rows.next().map(|row| row.site(0))?;
        let wrong = "no caliper readings: the first row does not name x, y, thickness";
        faults.line(
            site,
            Problem::new(
                wrong,
                "write the header x, y, thickness; a grid of heights is given as the board",
            ),
        );
        return None;
    };
    if !header.has(Name::Thickness) && header.has(Name::Z) {
        let wrong = "this is a file of heights: x, y, z";
        faults.line(
            header.start(),
            Problem::new(
                wrong,
                "give it as the board; caliper readings are x, y, thickness",
            ),
        );
        return None;
    }
    let columns = Columns::find(&header, Name::Thickness, unit, faults)?;
    let mut numbers = Numbers::new(table.delimiter);
    let mut readings = Vec::new();
    let mut step = f64::INFINITY;
    columns.each(
        &mut table.rows,
        &mut numbers,
        faults,
        |row, [x, y], thickness, faults| {
            step = step.min(thickness.step.mm());
            let mm = thickness.length.mm();
            let problem = if !thickness.length.is_positive() {
                Problem::new(
                    "a thickness must be more than zero",
                    "measure again or leave the cell blank",
                )
            } else if mm > THICKEST_MM {
                Problem::new(
                    "more than 12 in is no board's thickness",
                    "check the number and its unit",
                )
            } else {
                let thickness = mm;
                readings.push(Caliper { x, y, thickness });
                return;
            };
            let (site, text) = columns.value_cell(row);
            faults.cell(site, || columns.place(row, Name::Thickness), text, problem);
        },
    );
    let unit = columns.unit().or(numbers.named());
    numbers.report(Some("in the header, as in x_mm or thickness_in"), faults);
    if readings.is_empty() && faults.is_empty() {
        faults.file(Problem::new(
            "the file holds no thickness",
            "write one or more; rows that begin with # are comments",
        ));
    }
    Some(Calipers {
        readings,
        unit,
        step_mm: step.is_finite().then_some(step),
    })
}
