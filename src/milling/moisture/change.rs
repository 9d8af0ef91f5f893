//! What a change of moisture does to a size.

use super::FIBRE_SATURATION;
use super::species::{Species, matching, table};

/// How a board lies in the tree.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sawn {
    /// Its width runs along the rings: it moves tangentially, the thickness radially.
    Flat,
    /// Its width runs across the rings: it moves radially, the thickness tangentially.
    Quarter,
}

/// From where to where a size may change, mm; negative where it shrinks. Both are one number where the wood and the way of
/// sawing are known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Change {
    /// The lower end.
    pub low: f64,
    /// The upper end.
    pub high: f64,
}

/// The coefficients of table 13-5 hold between these, percent.
const COEFFICIENTS_HOLD: [f64; 2] = [6.0, 14.0];

const RADIAL: usize = 0;
const TANGENTIAL: usize = 1;

impl Species {
    /// By which share a size grows when its moisture goes `from` one percent `to` another, radially (0) or tangentially (1).
    fn growth(&self, direction: usize, [from, to]: [f64; 2]) -> f64 {
        let within = |m: f64| (COEFFICIENTS_HOLD[0]..=COEFFICIENTS_HOLD[1]).contains(&m);
        match self.change {
            // ΔD = D · C · (M₂ − M₁), chapter 13.
            Some(coefficients) if within(from) && within(to) => {
                coefficients[direction] * (to - from)
            }
            // ΔD = D (M₂ − M₁) / (3000/S − 30 + M₁): shrinkage in proportion from fibre saturation to dry (chapter 13, from
            // memory; it follows from that proportion).
            _ => {
                let [from, to] = [from, to].map(|m| m.min(FIBRE_SATURATION));
                (to - from)
                    / (100.0 * FIBRE_SATURATION / self.shrinkage[direction] - FIBRE_SATURATION
                        + from)
            }
        }
    }

    /// Radial and tangential shrinkage of wood that dries `from` one percent `to` another, as shares of the size before.
    #[must_use]
    pub fn shrinks(&self, from: f64, to: f64) -> [f64; 2] {
        [RADIAL, TANGENTIAL].map(|direction| -self.growth(direction, [from, to]))
    }
}

/// How width and thickness (mm) of a board change when its moisture goes `from` one percent `to` another: `[width, thickness]`.
/// A wood that is not in the table, or a way of sawing that is not said, widens the range to all that it may be.
///
/// # Example
///
/// A worked example of the handbook, chapter 13 (11 % and the result read; 8 % and the coefficient 0.00245 from memory): a
/// white fir board 232 mm wide grows 1.7 mm. Shrinkage, which the program has of white fir, tells nearly the same.
///
/// ```
/// use outwind::milling::moisture::{Sawn, change_of};
///
/// let [width, _] = change_of(Some("white fir"), Some(Sawn::Flat), [232.0, 25.0], [8.0, 11.0]);
/// assert!((width.low - 1.7).abs() < 0.05 && width.low == width.high);
/// ```
#[must_use]
pub fn change_of(
    species: Option<&str>,
    sawn: Option<Sawn>,
    size: [f64; 2],
    moisture: [f64; 2],
) -> [Change; 2] {
    let known = species.map(matching).unwrap_or_default();
    let woods: Vec<&Species> = if known.is_empty() {
        table().iter().collect()
    } else {
        known
    };
    let directions = |of_width: bool| match sawn {
        None => vec![RADIAL, TANGENTIAL],
        Some(sawn) if (sawn == Sawn::Flat) == of_width => vec![TANGENTIAL],
        Some(_) => vec![RADIAL],
    };
    [0, 1].map(|side| {
        let growths = woods.iter().flat_map(|wood| {
            let directions = directions(side == 0).into_iter();
            directions.map(|direction| wood.growth(direction, moisture))
        });
        let [low, high] = growths.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], g| {
            [low.min(g), high.max(g)]
        });
        Change {
            low: size[side] * low,
            high: size[side] * high,
        }
    })
}
