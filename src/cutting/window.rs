//! A rectangle of a board.

/// A rectangle of a board along its sides, mm, in the coordinates of its readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// Where it begins along the length, from end A.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
    /// Where it begins across the width.
    pub near: f64,
    /// Where it ends.
    pub far: f64,
}

impl Window {
    /// Along the board.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.to - self.from
    }

    /// Across the board.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.far - self.near
    }

    /// Its face, mm².
    #[must_use]
    pub fn area(&self) -> f64 {
        self.length() * self.width()
    }

    /// Whether all of `other` lies in it, to a millionth of a millimetre.
    #[must_use]
    pub fn holds(&self, other: &Self) -> bool {
        let hair = 1e-6;
        self.from <= other.from + hair
            && self.to >= other.to - hair
            && self.near <= other.near + hair
            && self.far >= other.far - hair
    }

    /// Whether the two share more than a rim.
    #[must_use]
    pub fn meets(&self, other: &Self) -> bool {
        let hair = 1e-6;
        self.from < other.to - hair
            && other.from < self.to - hair
            && self.near < other.far - hair
            && other.near < self.far - hair
    }
}
