//! How places of an answer are written.

use std::ops::Deref;

use super::pen::Pen;
use crate::cutting::CutOnce;
use crate::flatten::Answer;
use crate::length::{Notation, Unit};

/// An answer, the crosscut that would pay first, and how its reader writes lengths.
#[derive(Clone, Copy)]
pub(super) struct Page<'a> {
    pub(super) answer: &'a Answer,
    pub(super) cut: Option<&'a CutOnce>,
    pub(super) notation: Notation,
    pen: Pen,
}

impl Deref for Page<'_> {
    type Target = Pen;

    fn deref(&self) -> &Pen {
        &self.pen
    }
}

impl<'a> Page<'a> {
    pub(super) fn new(answer: &'a Answer, cut: Option<&'a CutOnce>, notation: Notation) -> Self {
        Self {
            answer,
            cut,
            notation,
            pen: Pen(notation),
        }
    }
}

impl Page<'_> {
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
