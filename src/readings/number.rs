//! One cell's number, and what all numbers of a file must share: a decimal mark and a unit.

use super::fault::{Collector, Problem, Site, visible};
use super::suspect;
use crate::length::{self, DecimalMark, Unit, Written};

/// What a number is: that of a reading may be left out, that of its place and the size of a part may not.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Role {
    Place,
    Reading,
    Size,
}

/// Reads the numbers of a file and remembers what they show.
#[derive(Debug)]
pub(super) struct Numbers {
    delimiter: u8,
    point: Option<(Site, String)>,
    comma: Option<(Site, String)>,
    unitless: Option<(Site, String)>,
    more_unitless: u64,
    named: Option<Unit>,
}

impl Numbers {
    pub(super) fn new(delimiter: u8) -> Self {
        Self {
            delimiter,
            point: None,
            comma: None,
            unitless: None,
            more_unitless: 0,
            named: None,
        }
    }

    /// The number in a cell, which says where a reading was taken or what it was; `unit` is that of a number that
    /// names none.
    pub(super) fn read(
        &mut self,
        text: &str,
        role: Role,
        unit: Option<Unit>,
        site: Site,
    ) -> Result<Written, Problem> {
        let comma = self.delimiter != b',' && text.contains(',');
        let mark = if comma {
            DecimalMark::Comma
        } else {
            DecimalMark::Point
        };
        // Without any unit the number is still looked at, so that its other faults are told as well.
        let written = length::read(text, Some(unit.unwrap_or(Unit::Millimetre)), mark)
            .map_err(|error| suspect::problem(text, role, self.delimiter, &error))?;
        if comma && self.comma.is_none() {
            self.comma = Some((site, text.to_owned()));
        }
        if !comma && self.point.is_none() && has_point(text) {
            self.point = Some((site, text.to_owned()));
        }
        if written.unit.is_none() && unit.is_none() {
            match self.unitless {
                None => self.unitless = Some((site, text.to_owned())),
                Some(_) => self.more_unitless += 1,
            }
        }
        self.named = self.named.or(written.unit);
        Ok(written)
    }

    /// How to mend a row with too many cells: by `remedy`, or perhaps it was cut at its decimal commas.
    pub(super) fn or_points(&self, remedy: &str) -> String {
        match self.delimiter {
            b',' => format!("{remedy}, or points for decimal commas"),
            _ => remedy.to_owned(),
        }
    }

    /// The unit of the first cell that named one.
    pub(super) fn named(&self) -> Option<Unit> {
        self.named
    }

    /// Reports numbers without a unit, and decimal commas beside decimal points. `header` says where the file may
    /// name its unit; none where that place is at fault already.
    pub(super) fn report(self, header: Option<&str>, faults: &mut Collector) {
        if let (Some((site, text)), Some(header)) = (self.unitless, header) {
            let wrong = match self.more_unitless {
                0 => "no unit".to_owned(),
                more => format!("no unit in {} cells", more + 1),
            };
            let fix = format!("name it {header}, or give --unit in or mm");
            faults.cell(site, String::new, &text, Problem::new(wrong, fix));
        }
        if let (Some(point), Some(comma)) = (self.point, self.comma) {
            let (first, second) = if point.0 < comma.0 {
                (point, comma)
            } else {
                (comma, point)
            };
            let wrong = format!(
                "a decimal {} here, a decimal {} in {}",
                mark(&second.1),
                mark(&first.1),
                first.0.cell()
            );
            let fix = format!("write all of them as {} is", visible(&first.1));
            faults.cell(second.0, String::new, &second.1, Problem::new(wrong, fix));
        }
    }
}

/// Whether a cell can be a number, by whatever decimal mark and unit.
pub(super) fn is_number(text: &str) -> bool {
    let mark = if text.contains(',') {
        DecimalMark::Comma
    } else {
        DecimalMark::Point
    };
    length::read(text, Some(Unit::Millimetre), mark).is_ok()
}

/// Whether a point stands beside a digit, not after an abbreviation.
pub(super) fn has_point(text: &str) -> bool {
    let bytes = text.as_bytes();
    let digit = |at: Option<usize>| {
        at.and_then(|at| bytes.get(at))
            .is_some_and(u8::is_ascii_digit)
    };
    (0..bytes.len())
        .any(|at| bytes[at] == b'.' && (digit(at.checked_sub(1)) || digit(Some(at + 1))))
}

fn mark(number: &str) -> &'static str {
    if number.contains(',') {
        "comma"
    } else {
        "point"
    }
}
