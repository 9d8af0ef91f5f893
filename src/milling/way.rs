//! The machine, face and attitude for the first cut, and how the piece lies for it.

use super::attitude::{Attitude, other};
use super::piece::Piece;
use super::places::Spot;
use super::plan::{Lay, MillQuestion};
use super::shimming::OnSled;
use crate::flatten::minimum_zone;
use crate::readings::Face;
use crate::shop::{Limit, Machine, Refusal, Size, refusals};

/// A way to cut the first face that the shop can go.
pub(super) struct Way {
    pub(super) machine: Machine,
    pub(super) first: Face,
    pub(super) attitude: Attitude,
    pub(super) expected: f64,
    pub(super) low: Option<f64>,
}

/// The machine, face and attitude for the first cut: the first machine in the order of ease that can take the piece and whose
/// attitude leaves what both days want; where none does, the one that leaves most.
pub(super) fn choose(
    piece: &Piece,
    question: &MillQuestion,
    wanted: f64,
    refused: &mut Vec<Refusal>,
) -> Way {
    let usual = [
        Machine::Jointer,
        Machine::RouterSled,
        Machine::PlanerSled,
        Machine::HandPlanes,
    ];
    let chosen = question.with.into_iter();
    let mut best: Option<Way> = None;
    for machine in chosen.chain(usual) {
        let way = way(piece, question, machine);
        // How high the warp lifts a piece on its shims: what comes off the face that lies on them, where most does.
        let shims = if shimmed(machine) {
            way.attitude.most(other(way.first))
        } else {
            0.0
        };
        let size = Size {
            length: piece.outline.length,
            width: piece.outline.width,
            before: piece.thickest() + shims,
            // Day two goes over the same machine.
            after: piece.need + question.shop.milling.smoothing,
        };
        let why = refusals(&question.shop, machine, size);
        if !why.is_empty() {
            // A sled that a shop does not speak of is not missed.
            let missed =
                question.with == Some(machine) || why.iter().all(|r| r.limit != Limit::Absent);
            if missed && !refused.iter().any(|r| r.machine == machine) {
                refused.extend(why);
            }
            continue;
        }
        if question.with == Some(machine) || way.expected >= wanted {
            return way;
        }
        if best
            .as_ref()
            .is_none_or(|b| way.expected > b.expected + 1e-6)
        {
            best = Some(way);
        }
    }
    // Hand planes take any piece, so one was found.
    best.unwrap_or_else(|| way(piece, question, Machine::HandPlanes))
}

fn shimmed(machine: Machine) -> bool {
    matches!(machine, Machine::RouterSled | Machine::PlanerSled)
}

/// The attitude that a machine takes.
fn way(piece: &Piece, question: &MillQuestion, machine: Machine) -> Way {
    let found = &piece.flattening;
    let survives = piece.survives;
    let attitude = |normal| Attitude::new(piece.points(Face::Up), piece.points(Face::Down), normal);
    if shimmed(machine) {
        let attitude = attitude(found.shimmed.normal);
        // Either face first leaves the same: the hollow one lies steadier, the other is cut.
        return Way {
            machine,
            first: question.first.unwrap_or(other(found.as_laid.first)),
            expected: survives.map_or(attitude.left(), |s| s.shimmed.expected),
            low: survives.map(|s| s.shimmed.low),
            attitude,
        };
    }
    let balanced = |own: Face| {
        let normal = if own == found.balanced.first {
            found.balanced.normal
        } else {
            let zone = minimum_zone(piece.points(own), found.balanced.normal);
            zone.map_or(found.balanced.normal, |zone| zone.normal)
        };
        let attitude = attitude(normal);
        // With the other face first what is expected changes as what the readings leave does.
        let change = attitude.left() - found.balanced.gap();
        Way {
            machine,
            first: own,
            expected: survives.map_or(attitude.left(), |s| s.balanced.expected + change),
            low: survives.map(|s| s.balanced.low + change),
            attitude,
        }
    };
    if let Some(face) = question.first {
        return balanced(face);
    }
    let (up, down) = (balanced(Face::Up), balanced(Face::Down));
    // Where either face may be the first, the hollow one lies steadier on a table than the crowned one.
    if (up.expected - down.expected).abs() < AS_GOOD {
        if hollow(piece, &down) > hollow(piece, &up) {
            down
        } else {
            up
        }
    } else if down.expected > up.expected {
        down
    } else {
        up
    }
}

/// Less makes no difference in a shop, mm.
const AS_GOOD: f64 = 0.1;

/// How much more comes off the corners of the first face than off its middle.
fn hollow(piece: &Piece, way: &Way) -> f64 {
    let off = |spot: Spot| {
        let [x, y] = spot.on(&piece.outline);
        way.attitude
            .off(way.first, [x, y, piece.height(way.first, x, y)])
    };
    let corners: f64 = Spot::all().filter(|spot| spot.is_corner()).map(off).sum();
    let middle = Spot {
        along: 0,
        across: 0,
    };
    corners / 4.0 - off(middle)
}

/// How the piece lies for the first cut.
pub(super) fn lay(piece: &Piece, question: &MillQuestion, way: &Way) -> Lay {
    if shimmed(way.machine) {
        let on_sled = OnSled {
            outline: &piece.outline,
            up: piece.points(Face::Up),
            down: piece.points(Face::Down),
            centre: piece.centre,
            first: way.first,
            height: &|face, x, y| piece.height(face, x, y),
        };
        return Lay::Shims(on_sled.shimming(
            &way.attitude,
            question.support_spacing,
            question.shim_steps,
        ));
    }
    let corners_alone = way.machine == Machine::Jointer;
    let mut places: Vec<(Spot, f64)> = Spot::all()
        .filter(|spot| !corners_alone || spot.is_corner())
        .map(|spot| {
            let [x, y] = spot.on(&piece.outline);
            let off = way
                .attitude
                .off(way.first, [x, y, piece.height(way.first, x, y)]);
            (spot, off.max(0.0))
        })
        .collect();
    places.sort_by(|a, b| b.1.total_cmp(&a.1));
    Lay::HighPlaces(places)
}
