//! How much wood is bought.

const INCH: f64 = 25.4;

/// Board feet of a size in mm: thickness × width × length in inches / 144; a board under an inch thick counts as one of an
/// inch (common practice of the hardwood trade).
///
/// ```
/// use outwind::milling::board_feet;
///
/// let inch = 25.4;
/// assert!((board_feet(2.0 * inch, 7.0 * inch, 108.0 * inch) - 10.5).abs() < 1e-12);
/// ```
#[must_use]
pub fn board_feet(thickness: f64, width: f64, length: f64) -> f64 {
    (thickness / INCH).max(1.0) * (width / INCH) * (length / INCH) / 144.0
}

/// How much to buy for so much in the finished parts when this share of what is bought is wasted, 0 to less than 1: the part
/// that is not wasted has to hold them, so 30 % waste is divided by 0.70.
#[must_use]
pub fn with_waste(net: f64, waste: f64) -> f64 {
    net / (1.0 - waste.clamp(0.0, 0.99))
}
