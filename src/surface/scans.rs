//! The scans among a board's heights, gathered into local heights, and how they stand to other readings of the faces.

use super::estimate::{Observation, Term};
use super::scan::{LocalHeight, Roughness, Scan};
use crate::board::Board;
use crate::readings::{Face, Point};

/// More readings of a board than this are a scan: its heights are gathered into local heights first.
pub const MOST_READINGS: usize = 400;

/// Fewer heights of one set are counted one by one even beside a scan.
const FEWEST: usize = 100;

/// Local heights of all scans together, at most: the estimate's time grows with the cube.
const MOST_HEIGHTS: usize = 480;

/// A face that was not read itself is taken to be as rough as the other, its depth off by this share of the whole height of
/// that roughness.
const UNLIKE: f64 = 0.5;

/// The sets of a board's heights: its up face, its down face, its set-ups.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Set {
    Up,
    Down,
    Other(usize),
}

/// A set of heights: its face, its points, whether they grow out of the wood (1) or into it (−1), the error stated of them.
type Heights<'a> = (Set, Face, &'a [Point], f64, Option<f64>);

/// The scans of a board.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Scans {
    found: Vec<(Set, Scan)>,
}

impl Scans {
    /// Gathers the heights of a board that are too many to be counted one by one.
    #[must_use]
    pub fn new(board: &Board) -> Self {
        if board.readings() <= MOST_READINGS {
            return Self::default();
        }
        let stated = |stated: bool, sd: f64| stated.then_some(sd);
        let errors = &board.errors;
        let mut sets: Vec<Heights<'_>> = vec![
            (
                Set::Up,
                Face::Up,
                &board.up,
                1.0,
                stated(errors.stated, errors.up),
            ),
            (
                Set::Down,
                Face::Down,
                &board.down.heights,
                -1.0,
                stated(errors.stated, errors.down),
            ),
        ];
        for (k, set) in board.set_ups.iter().enumerate() {
            let out = if (set.face == Face::Up) == set.turned {
                -1.0
            } else {
                1.0
            };
            let sd = stated(set.stated, set.sd);
            sets.push((Set::Other(k), set.face, &set.points, out, sd));
        }
        sets.retain(|set| set.2.len() >= FEWEST);
        let most = MOST_HEIGHTS / sets.len().max(1);
        let found = sets
            .into_iter()
            .filter_map(|(set, face, points, out, stated)| {
                let scan = Scan::new(&board.outline, face, points, out, stated, most)?;
                Some((set, scan))
            })
            .collect();
        Self { found }
    }

    /// Each scan.
    pub fn iter(&self) -> impl Iterator<Item = &Scan> {
        self.found.iter().map(|found| &found.1)
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.found.is_empty()
    }

    /// Readings that are not of a scan.
    #[must_use]
    pub fn others(&self, board: &Board) -> usize {
        board.readings() - self.iter().map(|scan| scan.points).sum::<usize>()
    }

    /// The scan of a set, with its number.
    pub(super) fn of(&self, set: Set) -> Option<(usize, &Scan)> {
        let numbered = self.found.iter().enumerate();
        numbered
            .filter(|(_, found)| found.0 == set)
            .map(|(k, found)| (k, &found.1))
            .next()
    }

    /// How many unknowns the depths of roughness are: one a scan, one of a face that was not read at all.
    pub(super) fn unknowns(&self, board: &Board) -> usize {
        self.found.len() + usize::from(self.taken_alike(board).is_some())
    }

    /// The face that was not read itself, with the roughness that it is taken to have.
    pub(super) fn taken_alike(&self, board: &Board) -> Option<Roughness> {
        let read = |face: Face| {
            let first = match face {
                Face::Up => &board.up,
                Face::Down => &board.down.heights,
            };
            !first.is_empty() || board.set_ups.iter().any(|s| s.face == face)
        };
        if read(Face::Up) && read(Face::Down) {
            return None;
        }
        let like = self.iter().next()?.roughness;
        Some(Roughness {
            depth_sd: like.depth_sd.hypot(UNLIKE * like.height()),
            ..like
        })
    }

    /// A thickness between calipers, which rest on the crests of both faces, as one between the cleaned-up faces: what to take
    /// from it, and the unknowns in that.
    pub(super) fn under_calipers(&self, board: &Board, first: usize) -> (f64, Vec<(usize, f64)>) {
        let mut off = 0.0;
        let mut unknowns = Vec::new();
        for face in [Face::Up, Face::Down] {
            if let Some(k) = self.found.iter().position(|found| found.1.face == face) {
                let roughness = self.found[k].1.roughness;
                off += roughness.height();
                // Both are multiples of one standard deviation: where the depth is off, the crests are off in proportion.
                let share = roughness.height() / roughness.depth;
                unknowns.push((first + k, if share.is_finite() { share } else { 1.0 }));
            }
        }
        if let Some(alike) = self.taken_alike(board) {
            off += alike.height();
            unknowns.push((first + self.found.len(), 1.0));
        }
        (off, unknowns)
    }

    /// The unknowns themselves, each as if it had been read to be nought: the depth's error.
    pub(super) fn depths(&self, board: &Board, first: usize) -> Vec<Observation> {
        let scans = self.iter().map(|scan| scan.roughness);
        scans
            .chain(self.taken_alike(board))
            .enumerate()
            .map(|(k, roughness)| Observation {
                terms: Vec::new(),
                setup: vec![(first + k, 1.0)],
                value: 0.0,
                sd: roughness.depth_sd.max(1e-3),
            })
            .collect()
    }
}

/// A local height as a reading of the cleaned-up face, `out` of the wood in its frame, counted from `level`, with other unknowns
/// of its `set_up`.
pub(super) fn cleaned_up(
    scan: &Scan,
    height: &LocalHeight,
    turned: bool,
    level: f64,
    unknown: usize,
    mut set_up: Vec<(usize, f64)>,
) -> Observation {
    let z = if turned { -1.0 } else { 1.0 };
    // Into the wood, along the board's z.
    let into = if scan.face == Face::Up { -1.0 } else { 1.0 };
    // What is read is the face less the depth taken: the depth's error stays in it.
    set_up.push((unknown, -z * into));
    Observation {
        terms: vec![Term::new(scan.face, height.at, z)],
        setup: set_up,
        value: height.height - level + z * into * scan.roughness.depth,
        sd: height.sd,
    }
}
