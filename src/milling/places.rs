//! Places of a face in words of the shop: corners, edges, ends, the middle.

use crate::board::Outline;

/// Nine places that are found without a rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Spot {
    /// At end A, in the middle of the length, at end B: −1, 0, 1.
    pub along: i8,
    /// At the near edge, in the middle of the width, at the far edge: −1, 0, 1.
    pub across: i8,
}

impl Spot {
    /// All nine, from end A, the near edge first.
    pub fn all() -> impl Iterator<Item = Self> {
        [-1, 0, 1]
            .into_iter()
            .flat_map(|along| [-1, 0, 1].map(|across| Self { along, across }))
    }

    /// Where it lies on a piece.
    #[must_use]
    pub fn on(self, outline: &Outline) -> [f64; 2] {
        let (x, y) = outline.place(f64::from(self.along), f64::from(self.across));
        [x, y]
    }

    /// Whether it is a corner.
    #[must_use]
    pub fn is_corner(self) -> bool {
        self.along != 0 && self.across != 0
    }
}
