//! A face cut into cells of a size fixed by the board, and the points that each of them keeps.

use rayon::prelude::*;

use super::Unread;
use super::plane::{LEAST, LocalPlane};
use crate::board::Outline;
use crate::readings::Point;

/// A cell's size where nothing asks for larger ones, mm: waves of some 100 mm are followed, saw marks are not.
const SIZE: [f64; 2] = [50.0, 30.0];

/// Points a cell holds on average, at least.
const FEWEST: usize = 30;

/// Points of a cell that are looked at.
const SAMPLE: usize = 400;

/// Points of a cell's window, about and at most.
const WINDOW: usize = 200;
const MOST_IN_WINDOW: usize = 300;

/// Points that are looked at in one go.
const BLOCK: usize = 1 << 18;

/// Cells along and across from which sizes are learnt.
const GUIDES: [usize; 2] = [9, 5];

/// A grid of cells over a board.
pub(super) struct Cells {
    outline: Outline,
    along: usize,
    across: usize,
}

/// The points that are kept of a cell.
#[derive(Debug, Clone, Default)]
pub(super) struct Patch {
    /// Chosen by chance from all over it.
    pub(super) sample: Vec<Point>,
    /// All those in a small window somewhere in it.
    pub(super) near: Vec<Point>,
}

impl Cells {
    /// At most `most` cells for so many points.
    pub(super) fn new(outline: &Outline, points: usize, most: usize) -> Self {
        let wanted = |extent: f64, size: f64| (extent / size).ceil().clamp(1.0, 1e6);
        let (along, across) = (
            wanted(outline.length, SIZE[0]),
            wanted(outline.width, SIZE[1]),
        );
        let most = most.min(points / FEWEST).max(1) as f64;
        let larger = (along * across / most).max(1.0).sqrt();
        let count = |wanted: f64| ((wanted / larger) as usize).max(1);
        Self {
            outline: *outline,
            along: count(along),
            across: count(across),
        }
    }

    /// Counts the points in each cell, then keeps some.
    pub(super) fn gather(&self, points: &[Point]) -> Vec<Patch> {
        // Of each cell: the share of points kept, in 2³² parts, and its window.
        let plans: Vec<(u64, [f64; 2], f64)> = self
            .counts(points)
            .into_iter()
            .enumerate()
            .map(|(cell, count)| {
                let count = count.max(1) as f64;
                let kept = (SAMPLE as f64 / count).min(1.0);
                let side = (WINDOW as f64 / count).sqrt().min(1.0);
                let chance = mixed(cell as u64);
                let part = |bits: u64| (bits & 0xFFFF_FFFF) as f64 / 4_294_967_296.0;
                let from = [chance, chance >> 32].map(|bits| part(bits) * (1.0 - side));
                ((kept * 4_294_967_296.0) as u64, from, side)
            })
            .collect();
        let kept = |(number, block): (usize, &[Point])| -> Vec<Patch> {
            let mut patches = vec![Patch::default(); plans.len()];
            for (i, point) in block.iter().enumerate() {
                let (cell, u, v) = self.spot(point);
                let (kept, from, side) = plans[cell];
                if mixed((number * BLOCK + i) as u64) >> 32 < kept {
                    patches[cell].sample.push(*point);
                }
                let inside = |at: f64, from: f64| at >= from && at <= from + side;
                let near = &mut patches[cell].near;
                // Where all points stand in one place, a block must not keep them all.
                if inside(u, from[0]) && inside(v, from[1]) && near.len() < MOST_IN_WINDOW {
                    near.push(*point);
                }
            }
            patches
        };
        let blocks = points.par_chunks(BLOCK).enumerate();
        let blocks: Vec<Vec<Patch>> = blocks.map(kept).collect();
        let mut patches = vec![Patch::default(); plans.len()];
        for block in blocks {
            for (patch, kept) in patches.iter_mut().zip(block) {
                patch.sample.extend(kept.sample);
                let room = MOST_IN_WINDOW - patch.near.len();
                patch.near.extend(kept.near.into_iter().take(room));
            }
        }
        patches
    }

    /// How many of the points lie in each cell.
    fn counts(&self, points: &[Point]) -> Vec<usize> {
        let cells = self.along * self.across;
        let of_block = |block: &[Point]| {
            let mut counts = vec![0; cells];
            for point in block {
                counts[self.spot(point).0] += 1;
            }
            counts
        };
        let both = |mut a: Vec<usize>, b: Vec<usize>| {
            a.iter_mut().zip(b).for_each(|(a, b)| *a += b);
            a
        };
        let blocks = points.par_chunks(BLOCK).map(of_block);
        blocks.reduce(|| vec![0; cells], both)
    }

    /// The cell of a point, and where in it, 0 to 1 each way.
    fn spot(&self, point: &Point) -> (usize, f64, f64) {
        let place = |at: f64, start: f64, extent: f64, count: usize| {
            let share = if extent > 0.0 {
                (at - start) / extent
            } else {
                0.0
            };
            let cells = (share * count as f64).clamp(0.0, count as f64);
            let cell = (cells as usize).min(count - 1);
            (cell, cells - cell as f64)
        };
        let o = &self.outline;
        let (i, u) = place(point[0], o.x0, o.length, self.along);
        let (j, v) = place(point[1], o.y0, o.width, self.across);
        (i * self.across + j, u, v)
    }

    /// The middle of a cell.
    pub(super) fn middle(&self, cell: usize) -> [f64; 2] {
        let (i, j) = (cell / self.across, cell % self.across);
        let at = |k: usize, count: usize, start: f64, extent: f64| {
            start + extent * (k as f64 + 0.5) / count as f64
        };
        [
            at(i, self.along, self.outline.x0, self.outline.length),
            at(j, self.across, self.outline.y0, self.outline.width),
        ]
    }

    /// Whether a cell is one of those spread evenly over the board.
    pub(super) fn is_guide(&self, cell: usize) -> bool {
        let spread = |k: usize, count: usize, guides: usize| {
            count <= guides
                || (0..guides).any(|g| (g * (count - 1) + (guides - 1) / 2) / (guides - 1) == k)
        };
        spread(cell / self.across, self.along, GUIDES[0])
            && spread(cell % self.across, self.across, GUIDES[1])
    }

    /// The cells that have no plane, and the largest patch of them.
    pub(super) fn unread(&self, planes: &[Option<LocalPlane>]) -> Option<Unread> {
        let empty: Vec<bool> = planes.iter().map(Option::is_none).collect();
        let mut seen = vec![false; empty.len()];
        let mut largest: Vec<usize> = Vec::new();
        for start in 0..empty.len() {
            let mut patch = Vec::new();
            let mut open = vec![start];
            while let Some(cell) = open.pop() {
                if !empty[cell] || std::mem::replace(&mut seen[cell], true) {
                    continue;
                }
                patch.push(cell);
                let (i, j) = (cell / self.across, cell % self.across);
                open.extend((i > 0).then(|| cell - self.across));
                open.extend((i + 1 < self.along).then_some(cell + self.across));
                open.extend((j > 0).then(|| cell - 1));
                open.extend((j + 1 < self.across).then_some(cell + 1));
            }
            if patch.len() > largest.len() {
                largest = patch;
            }
        }
        let count = largest.len() as f64;
        (!largest.is_empty()).then(|| Unread {
            share: empty.iter().filter(|e| **e).count() as f64 / empty.len() as f64,
            place: [0, 1].map(|k| largest.iter().map(|c| self.middle(*c)[k] / count).sum()),
        })
    }
}

/// Whether so many points make a plane is `plane`'s to say; here only that the constants agree.
const _: () = assert!(FEWEST > LEAST);

/// The mixing of SplitMix64 (Steele, Lea and Flood, "Fast splittable pseudorandom number generators", 2014).
fn mixed(index: u64) -> u64 {
    let mut z = index.wrapping_add(1).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}
