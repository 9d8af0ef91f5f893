//! How lengths are written.

use crate::length::{Length, Notation, Rounding};

/// Writes lengths as their reader does.
#[derive(Clone, Copy)]
pub(super) struct Pen(pub(super) Notation);

impl Pen {
    pub(super) fn thickness(&self, mm: f64) -> String {
        self.0.write(Length::from_mm(mm), Rounding::Down)
    }

    pub(super) fn off(&self, mm: f64) -> String {
        self.0.write(Length::from_mm(mm), Rounding::Up)
    }

    pub(super) fn near(&self, mm: f64) -> String {
        self.0.write(Length::from_mm(mm), Rounding::Nearest)
    }

    pub(super) fn number(&self, mm: f64, rounding: Rounding) -> String {
        self.0.number(Length::from_mm(mm), rounding)
    }

    /// A place, or a size by its name: closing zeros would claim a fineness that it has no need of.
    pub(super) fn bare_place(&self, mm: f64) -> String {
        let number = self.number(mm, Rounding::Nearest);
        match number.split_once('.') {
            Some(_) => number
                .trim_end_matches('0')
                .trim_end_matches('.')
                .to_owned(),
            None => number,
        }
    }

    pub(super) fn place(&self, mm: f64) -> String {
        format!("{} {}", self.bare_place(mm), self.0.unit().symbol())
    }
}
