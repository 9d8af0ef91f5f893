//! What a machine can take.

use super::Shop;

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

impl Shop {
    /// Why no machines of the shop make both faces of a piece of this size flat and parallel: the limits of each that it
    /// has. Nothing where some do, and in a shop of hand tools alone.
    #[must_use]
    pub fn beyond_machines(&self, size: Size) -> Vec<Refusal> {
        let ways = [
            vec![Machine::Jointer, Machine::Planer],
            vec![Machine::PlanerSled, Machine::Planer],
            vec![Machine::RouterSled],
        ];
        let why = |way: &Vec<Machine>| -> Vec<Refusal> {
            let each = way
                .iter()
                .flat_map(|machine| refusals(self, *machine, size));
            each.collect()
        };
        let mut told: Vec<Refusal> = Vec::new();
        for why in ways.iter().map(why) {
            if why.is_empty() {
                return Vec::new();
            }
            for refusal in why {
                // What a planer refuses alone it need not refuse on a sled once more.
                let on_sled = Refusal {
                    machine: Machine::Planer,
                    ..refusal
                };
                let said = told.contains(&refusal)
                    || refusal.machine == Machine::PlanerSled && told.contains(&on_sled);
                if refusal.limit != Limit::Absent && !said {
                    told.push(refusal);
                }
            }
        }
        told
    }
}
