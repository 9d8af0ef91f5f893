//! What a machine can take.

use crate::shop::Shop;

/// A way to make a face flat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Machine {
    /// The jointer, by hand in the balanced attitude.
    Jointer,
    /// A router on rails over the shimmed piece.
    RouterSled,
    /// The planer, the shimmed piece riding on a sled.
    PlanerSled,
    /// The planer alone: it makes the second face parallel, never the first flat.
    Planer,
    /// Hand planes.
    HandPlanes,
}

/// A limit of a machine.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limit {
    /// The shop has no such machine.
    Absent,
    /// The piece is too wide.
    Width,
    /// It is too short.
    MinLength,
    /// It is too long.
    MaxLength,
    /// It would come out too thin.
    MinThickness,
    /// It is too thick.
    MaxThickness,
}

/// Why a machine cannot take a piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Refusal {
    /// The machine.
    pub machine: Machine,
    /// Its limit.
    pub limit: Limit,
    /// What the piece is, mm; 0 of a machine that is not there.
    pub is: f64,
    /// What the machine takes.
    pub allowed: f64,
}

/// The size of a piece at a machine, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Size {
    /// Along the grain.
    pub length: f64,
    /// Across it.
    pub width: f64,
    /// As it comes, shims included.
    pub before: f64,
    /// As it leaves.
    pub after: f64,
}

/// Everything that keeps a machine of the shop from taking a piece; nothing where it can.
#[must_use]
pub fn refusals(shop: &Shop, machine: Machine, size: Size) -> Vec<Refusal> {
    // Most and least of each: width, longest, shortest, thickest, thinnest.
    let limits: Option<[Option<f64>; 5]> = match machine {
        Machine::Jointer => shop.jointer.map(|j| {
            [
                Some(j.width),
                None,
                Some(j.min_length),
                None,
                Some(j.min_thickness),
            ]
        }),
        Machine::Planer | Machine::PlanerSled => shop.planer.map(|p| {
            let sled = if machine == Machine::PlanerSled {
                p.sled_height
            } else {
                0.0
            };
            let most = p.max_thickness - sled;
            [
                Some(p.width),
                None,
                Some(p.min_length),
                Some(most),
                Some((p.min_thickness - sled).max(0.0)),
            ]
        }),
        Machine::RouterSled => shop.sled.map(|s| {
            [
                s.width,
                s.max_length,
                None,
                s.max_thickness,
                s.min_thickness,
            ]
        }),
        Machine::HandPlanes => Some([None; 5]),
    };
    let Some([width, longest, shortest, thickest, thinnest]) = limits else {
        return vec![Refusal {
            machine,
            limit: Limit::Absent,
            is: 0.0,
            allowed: 0.0,
        }];
    };
    let checks = [
        (Limit::Width, size.width, width, true),
        (Limit::MaxLength, size.length, longest, true),
        (Limit::MinLength, size.length, shortest, false),
        (Limit::MaxThickness, size.before, thickest, true),
        (Limit::MinThickness, size.after, thinnest, false),
    ];
    let broken = |&(limit, is, allowed, most): &(Limit, f64, Option<f64>, bool)| {
        let allowed = allowed?;
        let over = if most { is - allowed } else { allowed - is };
        (over > HAIR).then_some(Refusal {
            machine,
            limit,
            is,
            allowed,
        })
    };
    checks.iter().filter_map(broken).collect()
}

/// Rounding of a size does not refuse a piece, mm.
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
