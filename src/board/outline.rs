//! The rectangle that a board covers.

/// The rectangle that a board covers, seen from above, in millimetres and the coordinates of its readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outline {
    /// Where end A lies.
    pub x0: f64,
    /// Where the near edge lies.
    pub y0: f64,
    /// From end A to end B.
    pub length: f64,
    /// From the near edge to the far edge.
    pub width: f64,
}

impl Outline {
    /// The place (x, y) in units that run from −1 to 1 over length and width; 0 along a side of no extent.
    #[must_use]
    pub fn unit_place(&self, x: f64, y: f64) -> (f64, f64) {
        let unit = |at: f64, start: f64, extent: f64| {
            if extent > 0.0 {
                2.0 * (at - start) / extent - 1.0
            } else {
                0.0
            }
        };
        (unit(x, self.x0, self.length), unit(y, self.y0, self.width))
    }

    /// The place (x, y) of the units u, v from −1 to 1.
    #[must_use]
    pub fn place(&self, u: f64, v: f64) -> (f64, f64) {
        (
            self.x0 + self.length * (u + 1.0) / 2.0,
            self.y0 + self.width * (v + 1.0) / 2.0,
        )
    }
}
