//! What comes off a face, as on a map: numbered lines over a tint.

use super::contour::contours;
use super::frame::{Frame, off};
use super::mesh::Sheet;
use super::tint::{Rgb, tint};
use crate::flatten::Relief;
use crate::length::{Length, Notation, Rounding, Unit};
use crate::readings::Face;

/// The levels of the lines of both faces: multiples of a step that a rule shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Levels {
    /// From nothing on, mm, ascending.
    pub mm: Vec<f64>,
    /// Each as its user writes it, without a unit.
    pub texts: Vec<String>,
    /// The unit.
    pub unit: &'static str,
    /// The tint of what lies between a level and the next; that of the last reaches to the most.
    pub tints: Vec<Rgb>,
}

/// More lines than this on a face would hide it.
const MOST_LINES: f64 = 8.0;

impl Levels {
    /// Levels up to `most`, mm.
    #[must_use]
    pub fn new(most: f64, notation: Notation) -> Self {
        let steps: Vec<f64> = match notation.unit() {
            Unit::Inch | Unit::Foot => [64.0, 32.0, 16.0, 8.0, 4.0, 2.0, 1.0]
                .map(|parts| Length::from_inches(1.0 / parts).mm())
                .to_vec(),
            _ => vec![0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0],
        };
        let last = steps[steps.len() - 1];
        let step = steps
            .into_iter()
            .find(|s| most / s <= MOST_LINES)
            .unwrap_or(last);
        let count = (most / step).floor().max(0.0) as usize;
        let mm: Vec<f64> = (0..=count).map(|k| k as f64 * step).collect();
        let write = |mm: &f64| notation.number(Length::from_mm(*mm), Rounding::Nearest);
        Self {
            texts: mm.iter().map(write).collect(),
            unit: notation.unit().symbol(),
            tints: (0..=count)
                .map(|k| tint(k as f64 / count.max(1) as f64))
                .collect(),
            mm,
        }
    }

    /// The tint of what comes off at a place; nothing comes off where the plane lies in the air.
    #[must_use]
    pub fn tint(&self, off: f64) -> Rgb {
        let k = self.mm.partition_point(|level| *level <= off);
        self.tints[k.saturating_sub(1)]
    }
}

/// One numbered line of a face.
#[derive(Debug, Clone, PartialEq)]
pub struct Contour {
    /// The face it lies on.
    pub face: Face,
    /// What comes off along it, as its user writes it.
    pub text: String,
    /// Its course.
    pub points: Vec<[f64; 3]>,
}

/// The numbered lines of a face.
pub(super) fn lines(
    relief: &Relief,
    frame: &Frame<'_>,
    face: Face,
    levels: &Levels,
) -> Vec<Contour> {
    let off = off(face);
    let sheet = frame.sheet(relief, face, &off);
    let values: Vec<f64> = relief.places.iter().map(off).collect();
    let numbered = levels.mm.iter().zip(&levels.texts).skip(1);
    numbered
        .flat_map(|(level, text)| {
            let lines = contours(&values, relief.positions, *level);
            lines.into_iter().map(move |line| (text.clone(), line))
        })
        .map(|(text, line)| Contour {
            face,
            text,
            points: line.iter().map(|p| sheet.between(p[0], p[1])).collect(),
        })
        .collect()
}

/// A face painted: rows from the near to the far edge, each from end A to end B.
#[derive(Debug, Clone, PartialEq)]
pub struct Painting {
    /// Pixels along.
    pub width: u32,
    /// Pixels across.
    pub height: u32,
    /// One a pixel.
    pub pixels: Vec<Rgb>,
}

/// Pixels a cell.
const FINE: usize = 8;

/// Paints the tints of a face.
pub(super) fn painting(relief: &Relief, face: Face, levels: &Levels) -> Painting {
    let off = off(face);
    let heights = Sheet {
        stations: relief.stations,
        positions: relief.positions,
        points: relief.places.iter().map(|p| [0.0, 0.0, off(p)]).collect(),
    };
    let (width, height) = ((relief.stations - 1) * FINE, (relief.positions - 1) * FINE);
    let at = |k: usize| (k as f64 + 0.5) / FINE as f64;
    let pixels = (0..height)
        .flat_map(|row| (0..width).map(move |column| (column, row)))
        .map(|(column, row)| levels.tint(heights.between(at(column), at(row))[2]))
        .collect();
    Painting {
        width: width as u32,
        height: height as u32,
        pixels,
    }
}
