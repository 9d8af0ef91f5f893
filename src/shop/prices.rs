//! What boards cost.

use super::INCH;
use crate::readings::PriceRecord;

/// Rough boards are sold by quarters of an inch: a board this near to a thickness, mm, is of it.
const SAME_THICKNESS: f64 = INCH / 8.0;

/// The price of a wood.
#[derive(Debug, Clone, PartialEq)]
pub struct Price {
    /// The wood; any where it is not named.
    pub species: Option<String>,
    /// Rough thickness, mm; any where it is not given.
    pub thickness: Option<f64>,
    /// Of a board foot.
    pub per_board_foot: f64,
}

impl Price {
    pub(super) fn new(told: &PriceRecord) -> Self {
        Self {
            species: told.species.clone(),
            thickness: told.thickness,
            per_board_foot: told.per_board_foot,
        }
    }

    /// How much of a board it names, or none where it is another's: first the species, then how near the thickness is.
    fn fit(&self, species: Option<&str>, thickness: f64) -> Option<(bool, f64)> {
        let of_species = match (&self.species, species) {
            (None, _) => false,
            (Some(own), Some(other)) if own.to_lowercase() == other.trim().to_lowercase() => true,
            _ => return None,
        };
        let near = match self.thickness {
            None => 0.0,
            Some(own) => {
                let off = (own - thickness).abs() / SAME_THICKNESS;
                (off <= 1.0).then_some(2.0 - off)?
            }
        };
        Some((of_species, near))
    }
}

/// The price that fits best, the earlier one of two that fit as well.
pub(super) fn of(prices: &[Price], species: Option<&str>, thickness: f64) -> Option<f64> {
    let mut best: Option<((bool, f64), f64)> = None;
    for price in prices {
        if let Some(fit) = price.fit(species, thickness)
            && best.is_none_or(|(other, _)| fit > other)
        {
            best = Some((fit, price.per_board_foot));
        }
    }
    best.map(|(_, price)| price)
}

/// Cubic millimetres as board feet, of 144 cubic inches.
#[must_use]
pub fn cubic_board_feet(volume: f64) -> f64 {
    volume / (144.0 * INCH * INCH * INCH)
}

/// Board feet of a rough board, sizes in mm: under an inch thick it counts as an inch, as it is sold (common practice).
///
/// ```
/// use outwind::shop::board_feet;
///
/// // 8 ft of 6 in four-quarter are 4 board feet; thinner, they are still.
/// assert!((board_feet(96.0 * 25.4, 6.0 * 25.4, 25.4) - 4.0).abs() < 1e-12);
/// assert!((board_feet(96.0 * 25.4, 6.0 * 25.4, 20.0) - 4.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn board_feet(length: f64, width: f64, thickness: f64) -> f64 {
    cubic_board_feet(length * width * thickness.max(INCH))
}
