//! How lengths are written.

use crate::length::{Length, Notation, Rounding, Unit};

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

    /// What is finer than a bench can read: hundredths of a millimetre, thousandths of an inch.
    pub(super) fn fine(&self, mm: f64) -> String {
        let finer = match self.0.unit() {
            Unit::Inch => Notation::DecimalInches { places: 3 },
            _ => Notation::Millimetres { places: 2 },
        };
        Self(finer).near(mm)
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_fine_keeps_its_unit() {
        let mm = Pen(Notation::Millimetres { places: 1 });
        assert_eq!(mm.fine(0.184), "0.18 mm");
        assert_eq!(Pen(Notation::default()).fine(0.184), "0.007 in");
    }
}
