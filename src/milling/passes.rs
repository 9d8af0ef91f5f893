//! The cuts that a machine takes over a face.

use crate::shop::{Machine, Shop};

/// Rounding of a total adds no pass, in passes.
const HAIR: f64 = 1e-6;

/// Hand planes: a fore plane takes 0.010 to 0.020 in (common practice).
const FORE_PLANE: f64 = 0.015 * 25.4;

/// The cut of one pass of a piece this wide, mm.
#[must_use]
pub fn pass(shop: &Shop, machine: Machine, width: f64) -> f64 {
    let planer = || shop.planer.map(|p| p.pass(width));
    let own = match machine {
        Machine::Jointer => shop.jointer.map(|j| j.pass),
        Machine::Planer | Machine::PlanerSled => planer(),
        Machine::RouterSled => shop.sled.map(|s| s.pass),
        Machine::HandPlanes => None,
    };
    own.unwrap_or(FORE_PLANE)
}

/// Passes of a machine over one face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Passes {
    /// What comes off where most does, mm.
    pub total: f64,
    /// How many passes.
    pub count: u32,
    /// The cut of every pass but the last, mm.
    pub each: f64,
    /// The cut of the last, mm: at most `each`.
    pub last: f64,
}

impl Passes {
    /// Of a total that is taken by so much a pass.
    #[must_use]
    pub fn new(total: f64, each: f64) -> Self {
        let total = total.max(0.0);
        // Passes of a silly depth must not count to millions.
        let each = each.max(total / 1000.0).max(1e-3);
        let count = (total / each - HAIR).ceil().max(0.0);
        Self {
            total,
            count: count as u32,
            each,
            last: total - (count - 1.0).max(0.0) * each,
        }
    }
}
