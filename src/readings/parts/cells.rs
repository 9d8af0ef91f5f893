//! The cells of a part's row: each is read, or told with what would be right.

use super::header::{Header, Name};
use crate::length::Unit;
use crate::readings::fault::{Collector, Problem};
use crate::readings::number::{Numbers, Role};
use crate::readings::rows::{Row, is_error_value};

/// More of one part than anyone makes of a few boards: beyond it a column has slipped.
const MOST: f64 = 10_000.0;

/// No part is larger than these, mm: beyond them a unit has slipped.
const LARGEST_MM: [(Name, f64, &str); 3] = [
    (Name::Length, 20_000.0, "65 ft"),
    (Name::Width, 3_000.0, "10 ft"),
    (Name::Thickness, 304.8, "12 in"),
];

/// Reads the cells of a row, column by column.
pub(super) struct Cells<'h> {
    pub(super) numbers: Numbers,
    pub(super) header: &'h Header,
    /// The unit of sizes for which neither they nor the header name one.
    pub(super) unit: Option<Unit>,
}

impl Cells<'_> {
    /// What a cell holds; nothing where it is blank or there is no such column.
    pub(super) fn text<'r>(&self, row: Row<'r>, name: Name) -> Option<&'r str> {
        let column = self.header.column(name)?;
        Some(row.cell(column.index)).filter(|text| !text.is_empty())
    }

    /// Reports what is wrong with a cell.
    pub(super) fn tell(&self, row: Row<'_>, name: Name, problem: Problem, faults: &mut Collector) {
        let part = self.header.part_of(row);
        let place = || match (name, part.as_str()) {
            (Name::Part, _) | (_, "") => name.text().to_owned(),
            _ => format!("{} of {part}", name.text()),
        };
        let found = self.text(row, name).unwrap_or_default();
        faults.cell(self.header.site(row, name), place, found, problem);
    }

    /// The text of a cell that must hold one; reports a blank one. Nothing where the column is missing, which is told.
    fn needed<'r>(
        &self,
        row: Row<'r>,
        name: Name,
        fix: &str,
        faults: &mut Collector,
    ) -> Option<&'r str> {
        self.header.column(name)?;
        let text = self.text(row, name);
        if text.is_none() {
            self.tell(row, name, Problem::new("the cell is blank", fix), faults);
        }
        text
    }

    pub(super) fn name(&self, row: Row<'_>, faults: &mut Collector) -> Option<String> {
        let text = self.needed(
            row,
            Name::Part,
            "give the part a name, or clear the row",
            faults,
        )?;
        if is_error_value(text) {
            let problem = Problem::new("a formula that failed", "repair it in the spreadsheet");
            self.tell(row, Name::Part, problem, faults);
            return None;
        }
        Some(text.split_whitespace().collect::<Vec<_>>().join(" "))
    }

    pub(super) fn count(&self, row: Row<'_>, faults: &mut Collector) -> Option<usize> {
        let fix = "write how many are to be made";
        let text = self.needed(row, Name::Count, fix, faults)?;
        let told = "write 1 or more, or # before the row of a part not made";
        self.whole_number(row, Name::Count, text, told, faults)
    }

    /// A whole number above zero.
    fn whole_number(
        &self,
        row: Row<'_>,
        name: Name,
        text: &str,
        fix: &str,
        faults: &mut Collector,
    ) -> Option<usize> {
        let wrong = match number(text) {
            None => "not a number",
            Some(number) if number < 0.0 => "less than none",
            Some(0.0) => "none at all",
            Some(number) if number.fract() != 0.0 => "not a whole number",
            Some(number) if number > MOST => "more than 10000",
            // Whole, and from 1 to `MOST`.
            Some(number) => return Some(number as usize),
        };
        self.tell(row, name, Problem::new(wrong, fix), faults);
        None
    }

    /// A finished size, mm.
    pub(super) fn size(&mut self, row: Row<'_>, name: Name, faults: &mut Collector) -> Option<f64> {
        let text = self.needed(row, name, "write the finished size", faults)?;
        let column = self.header.column(name)?;
        let site = row.site(column.index);
        let unit = column.unit.or(self.unit);
        let problem = match self.numbers.read(text, Role::Size, unit, site) {
            Err(problem) => problem,
            Ok(written) => {
                let size = written.length.mm();
                let largest = LARGEST_MM
                    .iter()
                    .find(|(of, most, _)| *of == name && size > *most);
                match largest {
                    _ if !written.length.is_positive() => Problem::new(
                        format!("a {} must be more than zero", name.text()),
                        "write the finished size",
                    ),
                    Some((.., told)) => Problem::new(
                        format!("a {} of more than {told}", name.text()),
                        "check the number and its unit",
                    ),
                    None => return Some(size),
                }
            }
        };
        self.tell(row, name, problem, faults);
        None
    }

    /// The most strips from which the part may be glued up.
    pub(super) fn strips(&self, row: Row<'_>, faults: &mut Collector) -> Option<usize> {
        let text = self.text(row, Name::GlueUp)?;
        if is_no(text) && text != "0" {
            return None;
        }
        let fix = "write the most strips allowed, as 3, or leave it blank";
        self.whole_number(row, Name::GlueUp, text, fix, faults)
    }

    /// Whether the part may be resawn.
    pub(super) fn resaw(&self, row: Row<'_>, faults: &mut Collector) -> bool {
        let Some(text) = self.text(row, Name::Resaw) else {
            return false;
        };
        let yes =
            ["yes", "y", "true", "x", "1", "wahr", "ja"].contains(&text.to_lowercase().as_str());
        if !yes && !is_no(text) {
            let problem = Problem::new("neither yes nor no", "write yes, or leave it blank");
            self.tell(row, Name::Resaw, problem, faults);
        }
        yes
    }

    /// How likely the part must be to reach its thickness: `0.9`, `90 %` or `90 in 100`.
    pub(super) fn certainty(&self, row: Row<'_>, faults: &mut Collector) -> Option<f64> {
        let text = self.text(row, Name::Certainty)?;
        let of_hundred = text.strip_suffix('%').or_else(|| {
            let count = text.strip_suffix("100")?.trim_end();
            count
                .strip_suffix("in")
                .or_else(|| count.strip_suffix("of"))
        });
        let certainty = match of_hundred {
            Some(count) => number(count).map(|count| count / 100.0),
            None => number(text),
        };
        let fix = "write it as 0.9, 90 % or 90 in 100";
        let problem = match certainty {
            None => Problem::new("not a certainty", fix),
            Some(certainty) if certainty > 0.0 && certainty < 1.0 => return Some(certainty),
            Some(1.0) => Problem::new("no board is that certain", "write less, such as 95 %"),
            Some(certainty) if of_hundred.is_none() && certainty > 10.0 && certainty < 100.0 => {
                let meant = format!("write {text} % or {}", certainty / 100.0);
                Problem::new("more than certain", meant)
            }
            Some(certainty) if certainty > 1.0 => Problem::new("more than certain", fix),
            Some(_) => Problem::new("not above zero", fix),
        };
        self.tell(row, Name::Certainty, problem, faults);
        None
    }
}

/// A plain number with a decimal point or comma.
fn number(text: &str) -> Option<f64> {
    let text = text.trim().replace(',', ".");
    let plain = text
        .bytes()
        .all(|byte| byte.is_ascii_digit() || b"+-.".contains(&byte));
    text.parse().ok().filter(|_| plain)
}

fn is_no(text: &str) -> bool {
    ["no", "n", "false", "0", "-", "–", "falsch", "nein"].contains(&text.to_lowercase().as_str())
}
