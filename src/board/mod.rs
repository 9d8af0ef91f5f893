//! One board: its outline, its readings, and how far they reach.

mod error;
mod outline;

pub use error::BoardError;
pub use outline::Outline;

use crate::readings::{Caliper, Layout, Point};

/// What is known of the down face.
#[derive(Debug, Clone, PartialEq)]
pub enum Down {
    /// The board is this thick everywhere: down = up − thickness.
    Thickness(f64),
    /// The down face was read itself, over the same datum as the up face.
    Heights(Vec<Point>),
    /// The board was measured with a caliper at these places.
    Calipers(Vec<Caliper>),
}

/// How far readings are off, one standard deviation in millimetres, rounding included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadingErrors {
    /// Of a height.
    pub height: f64,
    /// Of a caliper reading.
    pub caliper: f64,
}

impl ReadingErrors {
    /// The instruments' own errors (0.3 mm and 0.15 mm where nothing is said) with the rounding that shows in the
    /// readings: rounding to multiples of a step adds a uniform error of step / √12.
    #[must_use]
    pub fn new(height: Option<f64>, height_step: Option<f64>, caliper_step: Option<f64>) -> Self {
        let with = |own: f64, step: Option<f64>| own.hypot(step.unwrap_or(0.0) / 12.0_f64.sqrt());
        Self {
            height: with(height.unwrap_or(0.3), height_step),
            caliper: with(0.15, caliper_step),
        }
    }
}

/// One board and its readings, in millimetres.
#[derive(Debug, Clone, PartialEq)]
pub struct Board {
    /// What its owner calls it.
    pub name: String,
    /// What it covers.
    pub outline: Outline,
    /// The readings of the up face; at least one.
    pub up: Vec<Point>,
    /// What is known of the down face.
    pub down: Down,
    /// How the readings of the up face lie.
    pub layout: Layout,
    /// How far the readings are off.
    pub errors: ReadingErrors,
    /// How the readings were taken to lie on the board, where that was not said outright.
    pub assumptions: Vec<Assumption>,
}

/// What was taken for granted of how the readings lie on the board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Assumption {
    /// The board ends at its outermost readings, which do not start at zero.
    EndsAtReadings(Side),
    /// The readings' coordinates do not fit between zero and the stated size, so they were put in its middle.
    Centred(Side),
}

/// Along a board or across it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// From end A to end B.
    Length,
    /// From the near to the far edge.
    Width,
}

/// What is said of a board beside the heights of its up face, in millimetres.
#[derive(Debug, Clone, PartialEq)]
pub struct Particulars {
    /// What to call it.
    pub name: String,
    /// Its length, where longer than the readings reach.
    pub length: Option<f64>,
    /// Its width, where wider than the readings reach.
    pub width: Option<f64>,
    /// One thickness for the whole board.
    pub thickness: Option<f64>,
    /// Caliper readings.
    pub calipers: Option<Vec<Caliper>>,
    /// Readings of the down face, over the same datum as the up face.
    pub down: Option<Vec<Point>>,
    /// How far the readings are off.
    pub errors: ReadingErrors,
}

impl Board {
    /// A board from the readings of its up face and what else is known.
    ///
    /// # Errors
    ///
    /// All that keeps them from being one board: see [`BoardError`].
    pub fn new(
        up: Vec<Point>,
        layout: Layout,
        particulars: Particulars,
    ) -> Result<Self, Vec<BoardError>> {
        let mut faults = Vec::new();
        let mut assumptions = Vec::new();
        if up.is_empty() {
            faults.push(BoardError::NoHeights);
        }
        let Particulars {
            name,
            length,
            width,
            thickness,
            calipers,
            down,
            errors,
        } = particulars;
        let downs: Vec<Down> = thickness
            .map(Down::Thickness)
            .into_iter()
            .chain(down.map(Down::Heights))
            .chain(calipers.map(Down::Calipers))
            .collect();
        if let Some(t) = thickness.filter(|t| *t <= 0.0) {
            faults.push(BoardError::ThicknessNotPositive(t));
        }
        if downs.len() != 1 {
            faults.push(match downs.len() {
                0 => BoardError::NoThickness,
                _ => BoardError::SeveralThicknesses,
            });
        }
        let everywhere: Vec<[f64; 2]> = up
            .iter()
            .map(|p| [p[0], p[1]])
            .chain(downs.iter().flat_map(places))
            .collect();
        let mut extent = |side: Side, stated: Option<f64>| {
            let axis = if side == Side::Length { 0 } else { 1 };
            let low = everywhere
                .iter()
                .map(|p| p[axis])
                .fold(f64::INFINITY, f64::min);
            let high = everywhere
                .iter()
                .map(|p| p[axis])
                .fold(f64::NEG_INFINITY, f64::max);
            let span = high - low;
            let Some(stated) = stated else {
                if low > 0.0 {
                    assumptions.push(Assumption::EndsAtReadings(side));
                }
                return (low, span);
            };
            // A station read off the tape at the very end may lie a hair beyond the length.
            let hair = 1e-9 * stated.abs();
            if low >= -hair && high <= stated + hair {
                (0.0, stated)
            } else if span <= stated + hair {
                assumptions.push(Assumption::Centred(side));
                ((low + high - stated) / 2.0, stated)
            } else {
                faults.push(BoardError::TooSmall { side, span, stated });
                (low, span)
            }
        };
        let (x0, length) = extent(Side::Length, length);
        let (y0, width) = extent(Side::Width, width);
        match (faults.is_empty(), downs.into_iter().next()) {
            (true, Some(down)) => {
                let outline = Outline {
                    x0,
                    y0,
                    length,
                    width,
                };
                Ok(Self {
                    name,
                    outline,
                    up,
                    down,
                    layout,
                    errors,
                    assumptions,
                })
            }
            _ => Err(faults),
        }
    }

    /// The number of readings: heights of both faces and calipers.
    #[must_use]
    pub fn readings(&self) -> usize {
        self.up.len()
            + match &self.down {
                Down::Thickness(_) => 0,
                Down::Heights(heights) => heights.len(),
                Down::Calipers(calipers) => calipers.len(),
            }
    }

    /// The board without the readings at one place: how many there were, 0 where none stands within `near`.
    pub fn leave_out(&mut self, x: f64, y: f64, near: f64) -> usize {
        let before = self.readings();
        let far = |px: f64, py: f64| (px - x).hypot(py - y) > near;
        self.up.retain(|p| far(p[0], p[1]));
        match &mut self.down {
            Down::Thickness(_) => {}
            Down::Heights(heights) => heights.retain(|p| far(p[0], p[1])),
            Down::Calipers(calipers) => calipers.retain(|c| far(c.x, c.y)),
        }
        before - self.readings()
    }
}

/// Where the down face was read.
fn places(down: &Down) -> Vec<[f64; 2]> {
    match down {
        Down::Thickness(_) => Vec::new(),
        Down::Heights(heights) => heights.iter().map(|p| [p[0], p[1]]).collect(),
        Down::Calipers(calipers) => calipers.iter().map(|c| [c.x, c.y]).collect(),
    }
}
