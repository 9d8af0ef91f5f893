//! One dimension: `f64` millimetres inside, reads and writes what a shop writes (`1-3/16`, `6' 2"`, `38 mm`).

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

    /// In millimetres.
    #[must_use]
    pub const fn mm(self) -> f64 {
        self.mm
    }
}

/// A unit of length that a shop writes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// Millimetre.
    Millimetre,
    /// Centimetre.
    Centimetre,
    /// Metre.
    Metre,
    /// Inch, 25.4 mm.
    Inch,
    /// Foot, 12 in.
    Foot,
}
