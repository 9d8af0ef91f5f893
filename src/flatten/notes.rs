//! What the user should know beside the answer.

use super::{Answer, Basis, Laid};
use crate::board::{Assumption, Board, Side, reach};
use crate::readings::{Face, Layout, Point};
use crate::surface::scan::{Pits, Roughness, Spikes, Unread};
use crate::surface::{Known, ReadFaces, Taken};
use crate::warp::{Kink, ThinSpot, sag};

/// Something that the user should know; what it says is put into words elsewhere.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Note {
    /// How the readings were taken to lie.
    Assumed(Assumption),
    /// Cup is not determined by the readings.
    NoCup,
    /// Bow is not determined.
    NoBow,
    /// Twist is not determined.
    NoTwist,
    /// A sharp bend.
    Kinked(Kink),
    /// A place thinner than round about.
    Thin(ThinSpot),
    /// No height of the up face was read: nothing can be said of the readings alone.
    NoHeights,
    /// Nothing but this many caliper readings tells of the down face.
    FewThicknesses(usize),
    /// Of a grid's crossings some were not read.
    Unread {
        /// How many.
        count: usize,
        /// Of how many.
        of: usize,
        /// The station and position of the first of them.
        first: [f64; 2],
    },
    /// There are only this many readings.
    FewReadings(usize),
    /// All readings of the faces stand on one line along this side.
    OneLine(Side),
    /// The readings reach over this share of this side only; beyond, the wood is guessed.
    Beyond(Side, f64),
    /// One of the faces was read over less of this side than the other: this share of it.
    ReadInPart(Face, Side, f64),
    /// A straightedge or stick rests elsewhere than it was held.
    RestsElsewhere(Taken),
    /// This many heights over other datums were brought to the first.
    Levelled(usize),
    /// How the board lay in a scanner's own frame.
    Laid(Laid),
    /// How rough a face is, and how that was told from the sensor's noise.
    Rough(Face, Roughness),
    /// Points far off those round about were left out.
    Spikes(Face, Spikes),
    /// Holes and gouges stay in the finished face.
    Pits(Face, Pits),
    /// A face was not read everywhere.
    Unscanned(Face, Unread),
    /// The board rocks between two ways of lying; the other leaves this much.
    Rocks(f64),
    /// Balancing leaves this much less than letting the board settle.
    BalancingLeavesLess(f64),
    /// Nothing survives in the best attitude found: the planes cross by this much.
    NothingSurvives(f64),
    /// The thickness is one number for the whole board; how it changes over the board is guessed.
    OneThickness,
    /// Lying on its ends alone the board sags by this much, mm.
    Sags(f64),
    /// The shop's own loss is reckoned with.
    ShopLoss {
        /// What it is, mm.
        mean: f64,
        /// From how many boards it was learnt.
        boards: usize,
    },
    /// The shop's own loss is not known yet: so many boards were milled and recorded of the many that it takes.
    ShopUnknown {
        /// Recorded.
        boards: usize,
        /// Needed.
        of: usize,
    },
}

/// A difference in thickness that a shop can see, mm.
const WORTH_A_WORD: f64 = 0.1;

/// A share of spikes that dust or glare makes, not chance; of pits that are worth a word.
const WORTH_A_SPIKE: f64 = 1e-3;

/// A side read over less than this share is worth a word.
const WHOLE: f64 = 0.9;

/// Fewer readings than the quick survey of the trade has, 3 × 3.
const FEW: usize = 9;

/// Fewer thicknesses than this leave the taper open.
const FEW_THICKNESSES: usize = 4;

/// A sag beyond the usual error of a reading, mm.
const SAG: f64 = 0.5;

pub(super) fn notes(
    board: &Board,
    answer: &Answer,
    read: Option<&ReadFaces<'_>>,
    known: Option<&Known>,
) -> Vec<Note> {
    let mut notes: Vec<Note> = board
        .assumptions
        .iter()
        .copied()
        .map(Note::Assumed)
        .collect();
    let warp = &answer.warp;
    for (value, note) in [
        (warp.cup, Note::NoCup),
        (warp.bow, Note::NoBow),
        (warp.twist, Note::NoTwist),
    ] {
        if value.is_none() {
            notes.push(note);
        }
    }
    notes.extend(answer.kink.map(Note::Kinked));
    notes.extend(answer.thin_spot.map(Note::Thin));
    let as_read = read.filter(|_| answer.basis == Basis::Readings);
    if answer.basis == Basis::Expected {
        notes.push(Note::NoHeights);
    }
    notes.extend(unread(board));
    notes.extend(coverage(board, answer, as_read));
    if board.down.heights.is_empty() {
        match board.down.calipers.len() {
            0 => notes.push(Note::OneThickness),
            few if few < FEW_THICKNESSES => notes.push(Note::FewThicknesses(few)),
            _ => {}
        }
    }
    if let Some(known) = known {
        let moved = known.observed.moved.iter();
        notes.extend(moved.map(|&i| Note::RestsElsewhere(known.observed.taken[i])));
    }
    notes.extend(answer.laid.iter().copied().map(Note::Laid));
    for scan in known.iter().flat_map(|known| known.scans.iter()) {
        notes.push(Note::Rough(scan.face, scan.roughness));
        let spikes = scan.spikes.filter(|s| s.share >= WORTH_A_SPIKE);
        notes.extend(spikes.map(|spikes| Note::Spikes(scan.face, spikes)));
        let pits = scan.pits.filter(|p| p.share >= WORTH_A_SPIKE);
        notes.extend(pits.map(|pits| Note::Pits(scan.face, pits)));
        notes.extend(scan.unread.map(|unread| Note::Unscanned(scan.face, unread)));
    }
    let levelled = board.set_ups.iter().map(|s| s.points.len()).sum();
    if levelled > 0 {
        notes.push(Note::Levelled(levelled));
    }
    if let Ok(found) = &answer.flattening {
        if let Some(read) = as_read {
            notes.extend(read_in_part(
                read.outermost(Face::Up),
                read.outermost(Face::Down),
            ));
        }
        if let Some(other) = found
            .rocks_to
            .as_ref()
            .filter(|_| found.as_laid.gap() > 0.0)
        {
            notes.push(Note::Rocks(other.thickness()));
        }
        let less = found.as_laid.thickness() - found.balanced.thickness();
        if less >= WORTH_A_WORD {
            notes.push(Note::BalancingLeavesLess(less));
        }
        if found.shimmed.gap() <= 0.0 {
            notes.push(Note::NothingSurvives(-found.shimmed.gap()));
        }
    }
    if let Some(read) = read {
        let sags = sag(board.outline.length, read.thickness());
        if sags > SAG {
            notes.push(Note::Sags(sags));
        }
    }
    notes
}

/// The crossings of the grid without a reading: a cell left out of a row shows here, though all else is in order.
fn unread(board: &Board) -> Option<Note> {
    let Layout::Grid {
        stations,
        positions,
    } = &board.layout
    else {
        return None;
    };
    let of = stations.len() * positions.len();
    let count = of.checked_sub(board.up.len()).filter(|count| *count > 0)?;
    let mut read = board.up.iter().peekable();
    let first = positions
        .iter()
        .flat_map(|y| stations.iter().map(move |x| [*x, *y]))
        .find(|place| read.next_if(|p| p[..2] == place[..]).is_none())?;
    Some(Note::Unread { count, of, first })
}

/// How much of the board the readings of its faces reach over, and how many they are.
fn coverage(board: &Board, answer: &Answer, read: Option<&ReadFaces<'_>>) -> Vec<Note> {
    let mut notes = Vec::new();
    if answer.readings < FEW {
        notes.push(Note::FewReadings(answer.readings));
    }
    let Some(reach) = read.and_then(|r| reach(r.outermost(Face::Up))) else {
        return notes;
    };
    let outline = &board.outline;
    for (axis, side, size) in [
        (0, Side::Length, outline.length),
        (1, Side::Width, outline.width),
    ] {
        let [low, high] = reach[axis];
        let span = high - low;
        if size > 0.0 && span <= 1e-6 * size {
            notes.push(Note::OneLine(side));
        } else if span < WHOLE * size && board.gauged.is_empty() {
            notes.push(Note::Beyond(side, span / size));
        }
    }
    notes
}

/// The sides along which one face was read over clearly less than the other.
fn read_in_part(up: &[Point], down: &[Point]) -> Vec<Note> {
    let (Some(up), Some(down)) = (reach(up), reach(down)) else {
        return Vec::new();
    };
    [(0, Side::Length), (1, Side::Width)]
        .into_iter()
        .filter_map(|(axis, side)| {
            let (up, down) = (up[axis][1] - up[axis][0], down[axis][1] - down[axis][0]);
            if down < WHOLE * up {
                Some(Note::ReadInPart(Face::Down, side, down / up))
            } else if up < WHOLE * down {
                Some(Note::ReadInPart(Face::Up, side, up / down))
            } else {
                None
            }
        })
        .collect()
}
