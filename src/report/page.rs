//! How lengths and places of an answer are written.

use crate::flatten::Answer;
use crate::length::{Length, Notation, Rounding, Unit};

/// An answer, and how its reader writes lengths.
#[derive(Clone, Copy)]
pub(super) struct Page<'a> {
    pub(super) answer: &'a Answer,
    pub(super) notation: Notation,
}

impl Page<'_> {
    pub(super) fn thickness(&self, mm: f64) -> String {
        self.notation.write(Length::from_mm(mm), Rounding::Down)
    }

    pub(super) fn off(&self, mm: f64) -> String {
        self.notation.write(Length::from_mm(mm), Rounding::Up)
    }

    pub(super) fn near(&self, mm: f64) -> String {
        self.notation.write(Length::from_mm(mm), Rounding::Nearest)
    }

    pub(super) fn number(&self, mm: f64, rounding: Rounding) -> String {
        self.notation.number(Length::from_mm(mm), rounding)
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
        format!("{} {}", self.bare_place(mm), self.notation.unit().symbol())
    }

    /// A place on the board: its station, and its edge or position.
    pub(super) fn spot(&self, [x, y]: [f64; 2]) -> String {
        format!("station {}, {}", self.place(x), self.position(y))
    }

    /// A station that a reading is wanted near: to the whole inch or centimetre, but both ends as they are.
    pub(super) fn about_station(&self, x: f64) -> String {
        let outline = &self.answer.outline;
        let step = match self.notation.unit() {
            Unit::Inch | Unit::Foot => Unit::Inch.mm(),
            Unit::Millimetre | Unit::Centimetre | Unit::Metre => Unit::Centimetre.mm(),
        };
        let end = [outline.x0, outline.x0 + outline.length]
            .into_iter()
            .find(|end| (x - end).abs() < step);
        format!(
            "station {}",
            self.place(end.unwrap_or((x / step).round() * step))
        )
    }

    /// Where across the board: an edge, or a position.
    pub(super) fn position(&self, y: f64) -> String {
        let outline = &self.answer.outline;
        let hair = 1e-6 * outline.width;
        if (y - outline.y0).abs() <= hair {
            "near edge".to_owned()
        } else if (y - outline.y0 - outline.width).abs() <= hair {
            "far edge".to_owned()
        } else {
            format!("position {}", self.place(y))
        }
    }
}
