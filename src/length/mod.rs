//! One dimension: `f64` millimetres inside, reads and writes what a shop writes (`1-3/16`, `6' 2"`, `38 mm`).
//!
//! [`read`] turns text into a [`Length`], [`Notation`] turns a [`Length`] into text. Reading back what was written
//! gives the same text again. A thickness that survives is written with [`Rounding::Down`], what comes off with
//! [`Rounding::Up`]: nobody may be promised a 64th that is not there.
//!
//! ```
//! use outwind::length::{DecimalMark, Length, Notation, Rounding, Unit, read};
//!
//! let board = read("1-3/16", Some(Unit::Inch), DecimalMark::Point)?;
//! assert_eq!(board.length, Length::from_inches(1.1875));
//! assert_eq!(board.step, Length::from_inches(1.0 / 16.0));
//! assert_eq!(Notation::default().write(board.length, Rounding::Down), "1-3/16 in");
//! assert_eq!(Notation::Millimetres { places: 1 }.write(board.length, Rounding::Down), "30.1 mm");
//! # Ok::<(), outwind::length::LengthError>(())
//! ```

mod error;
mod parse;
mod read;
mod token;
mod unit;
mod write;

use std::ops::{Add, Div, Mul, Neg, Sub};

pub use error::LengthError;
pub use read::{DecimalMark, Written, read, read_positive};
pub(crate) use read::{LONGEST_MM, last_place};
pub use unit::Unit;
pub use write::{Notation, Rounding};

/// A length, positive or negative, in `f64` millimetres.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Length {
    mm: f64,
}

impl Length {
    /// The length of so many millimetres.
    #[must_use]
    pub const fn from_mm(mm: f64) -> Self {
        Self { mm }
    }

    /// The length of so many inches of 25.4 mm.
    #[must_use]
    pub const fn from_inches(inches: f64) -> Self {
        Self::in_unit(Unit::Inch, inches)
    }

    /// The length of `value` times `unit`.
    #[must_use]
    pub const fn in_unit(unit: Unit, value: f64) -> Self {
        Self {
            mm: value * unit.mm(),
        }
    }

    /// In millimetres.
    #[must_use]
    pub const fn mm(self) -> f64 {
        self.mm
    }

    /// In inches of 25.4 mm.
    #[must_use]
    pub const fn inches(self) -> f64 {
        self.mm / Unit::Inch.mm()
    }

    /// Whether it is more than nothing; false for zero and for NaN.
    #[must_use]
    pub fn is_positive(self) -> bool {
        self.mm > 0.0
    }

    /// Whether it is a number, and not infinite.
    #[must_use]
    pub const fn is_finite(self) -> bool {
        self.mm.is_finite()
    }

    /// Without its sign.
    #[must_use]
    pub const fn abs(self) -> Self {
        Self { mm: self.mm.abs() }
    }
}

impl Add for Length {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            mm: self.mm + other.mm,
        }
    }
}

impl Sub for Length {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        Self {
            mm: self.mm - other.mm,
        }
    }
}

impl Neg for Length {
    type Output = Self;

    fn neg(self) -> Self {
        Self { mm: -self.mm }
    }
}

impl Mul<f64> for Length {
    type Output = Self;

    fn mul(self, factor: f64) -> Self {
        Self {
            mm: self.mm * factor,
        }
    }
}

impl Div<f64> for Length {
    type Output = Self;

    fn div(self, divisor: f64) -> Self {
        Self {
            mm: self.mm / divisor,
        }
    }
}
