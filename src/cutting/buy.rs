//! What board to buy for parts that are short.

use super::Allowances;
use super::wanted::Wanted;

const INCH: f64 = 25.4;

/// Rough thicknesses that boards are sold at, quarters of an inch (common practice).
const QUARTERS: [u32; 7] = [4, 5, 6, 8, 10, 12, 16];

/// The least that flattening usually takes (common practice: 3/16 to 1/4 in of a board in all): what one's own boards lose
/// less than that the next one may.
pub const USUAL_LOSS: f64 = 3.0 / 16.0 * INCH;

/// A board that would make what is short, rough sizes in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Buy {
    /// Its thickness in quarters of an inch; `None` where no board is sold so thick.
    pub quarters: Option<u32>,
    /// How wide it is at least.
    pub width: f64,
    /// How long for one part, its ends trimmed; of a part that may be glued up, for its strips one after the other.
    pub length: f64,
    /// How long for all, one after the other.
    pub length_for_all: f64,
    /// What flattening is reckoned to take off the thickness.
    pub loss: f64,
    /// Whether that is what these boards lose over a piece of its size; else [`USUAL_LOSS`].
    pub shown: bool,
}

impl Buy {
    /// For so many of a part; `lost` is what boards lose over a piece of its size, ascending.
    pub(super) fn new(wanted: &Wanted, count: u32, allowances: &Allowances, lost: &[f64]) -> Self {
        // The board in the middle, or the worse of two: the next one is as likely like this one as better.
        let own = lost.get(lost.len() / 2).copied().unwrap_or(0.0);
        let loss = own.max(USUAL_LOSS);
        let strips = wanted.strips.max(1);
        let glued = allowances.jointing * f64::from(strips - 1);
        let width = (wanted.width + glued) / f64::from(strips) + allowances.over_width;
        let piece = (wanted.length + allowances.over_length).max(allowances.min_length);
        let along = |pieces: u32| {
            let kerfs = allowances.kerf_crosscut * f64::from(pieces.saturating_sub(1));
            2.0 * allowances.end_trim + piece * f64::from(pieces) + kerfs
        };
        let enough = |q: &u32| f64::from(*q) * INCH / 4.0 >= wanted.thickness + loss - 1e-9;
        Self {
            quarters: QUARTERS.into_iter().find(enough),
            width,
            length: along(strips),
            length_for_all: along(strips.saturating_mul(count)),
            loss,
            shown: own > USUAL_LOSS,
        }
    }
}
