//! What survives shimmed of any piece of a board.

use std::collections::HashMap;

use super::draws::{Draws, Lines};
use super::window::Window;
use crate::flatten::{Interval, gap_along, widest_gap};
use crate::readings::Point;

/// The draws of a board, asked for piece after piece, with what earlier pieces taught.
///
/// A question of one thickness is answered draw by draw until it is decided. A draw is decided without flattening it where
/// a *block* around the window comes out thick enough or a block within it too thin, or where an attitude found before
/// leaves enough. Blocks are windows of a half, a quarter … of the board's length and width, each overlapping half of the
/// next, flattened once when first needed. All of this saves time and changes no answer.
#[derive(Debug)]
pub struct Pieces<'a> {
    draws: &'a Draws,
    /// Draws, that of the thinnest board first: what is not to be comes to light early.
    order: Vec<usize>,
    /// The attitude found last, by draw.
    normals: Vec<[f64; 3]>,
    blocks: HashMap<[Block; 2], Vec<f64>>,
    points: [Vec<Point>; 2],
    flattened: usize,
}

/// A stretch of a side: the k-th of half the length of `level` − 1, begun half its length after the one before.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
struct Block {
    level: u32,
    index: u32,
}

/// No blocks finer than an eighth along, a quarter across: they would be asked too rarely to repay.
const FINEST: [u32; 2] = [4, 2];

impl<'a> Pieces<'a> {
    /// Of these draws, nothing known yet.
    #[must_use]
    pub fn new(draws: &'a Draws) -> Self {
        let mut pieces = Self {
            draws,
            order: (0..draws.count()).collect(),
            normals: vec![[0.0, 0.0, 1.0]; draws.count()],
            blocks: HashMap::new(),
            points: Default::default(),
            flattened: 0,
        };
        let whole = [Block { level: 0, index: 0 }; 2];
        pieces.flatten_block(whole);
        let thickness = &pieces.blocks[&whole];
        let mut order = std::mem::take(&mut pieces.order);
        order.sort_by(|&a, &b| thickness[a].total_cmp(&thickness[b]));
        pieces.order = order;
        pieces
    }

    /// The draws.
    #[must_use]
    pub fn draws(&self) -> &'a Draws {
        self.draws
    }

    /// How many times a window's draw was flattened so far.
    #[must_use]
    pub fn flattened(&self) -> usize {
        self.flattened
    }

    /// What survives of a window in each draw, mm.
    pub fn thicknesses(&mut self, window: &Window) -> Vec<f64> {
        let lines = self.draws.lines(window);
        (0..self.draws.count())
            .map(|draw| self.flatten(draw, &lines, None))
            .collect()
    }

    /// What is expected to survive of a window.
    pub fn interval(&mut self, window: &Window) -> Interval {
        let mut thicknesses = self.thicknesses(window);
        thicknesses.sort_by(f64::total_cmp);
        Interval::of(&thicknesses)
    }

    /// The share of draws in which a window comes out at least so thick.
    pub fn chance(&mut self, window: &Window, thickness: f64) -> f64 {
        let thicknesses = self.thicknesses(window);
        let reached = thicknesses
            .iter()
            .filter(|t| **t >= thickness - NEAR)
            .count();
        reached as f64 / thicknesses.len() as f64
    }

    /// Whether the share of draws in which a window comes out at least so thick is `certainty` or more.
    pub fn likely(&mut self, window: &Window, thickness: f64, certainty: f64) -> bool {
        let count = self.draws.count();
        let wanted = (certainty * count as f64 - 1e-9).ceil().max(0.0) as usize;
        let (mut reached, mut seen) = (0, 0);
        self.count(window, thickness, |reaches| {
            reached += usize::from(reaches);
            seen += 1;
            reached < wanted && reached + count - seen >= wanted
        });
        reached >= wanted
    }

    /// Asks the draws that are not settled yet whether a window reaches a thickness, until it is enough: those that do
    /// where `reaching` settles a draw, those that do not where `failing` does.
    pub(super) fn settle(
        &mut self,
        window: &Window,
        thickness: f64,
        settled: &mut Settled,
        [reaching, failing]: [bool; 2],
        enough: impl Fn(&Settled) -> bool,
    ) {
        let need = thickness - NEAR;
        let lines = self.draws.lines(window);
        for k in 0..self.order.len() {
            let draw = self.order[k];
            if settled.draws[draw].is_some() {
                continue;
            }
            if enough(settled) {
                return;
            }
            let reaches = self.flatten(draw, &lines, Some(need)) >= need;
            if reaches && reaching || !reaches && failing {
                settled.draws[draw] = Some(reaches);
                settled.reached += usize::from(reaches);
                settled.failed += usize::from(!reaches);
            }
        }
    }

    /// The largest index of `ends`, ascending, that a window may end at and still be likely so thick; searched from
    /// `start`, which is taken to be likely. `None` of an empty list or where `ends[start]` is not likely.
    pub fn furthest(
        &mut self,
        window: impl Fn(f64) -> Window,
        ends: &[f64],
        start: usize,
        thickness: f64,
        certainty: f64,
    ) -> Option<usize> {
        let mut likely = |end: usize| self.likely(&window(ends[end]), thickness, certainty);
        if start >= ends.len() || !likely(start) {
            return None;
        }
        // By doubling steps out, by halves back: the furthest end moves little from one start to the next.
        let (mut good, mut step) = (start, 1);
        let mut bad = loop {
            let next = good + step;
            if next >= ends.len() {
                break ends.len();
            }
            if !likely(next) {
                break next;
            }
            good = next;
            step *= 2;
        };
        while bad - good > 1 {
            let middle = good.midpoint(bad);
            if likely(middle) {
                good = middle;
            } else {
                bad = middle;
            }
        }
        Some(good)
    }

    /// Tells `next` of each draw whether the window reaches the thickness, until it has heard enough.
    fn count(&mut self, window: &Window, thickness: f64, mut next: impl FnMut(bool) -> bool) {
        let need = thickness - NEAR;
        let (around, within) = self.bounds(window);
        for key in around.iter().chain(&within) {
            if !self.blocks.contains_key(key) {
                self.flatten_block(*key);
            }
        }
        let lines = self.draws.lines(window);
        for k in 0..self.order.len() {
            let draw = self.order[k];
            let known = |key: &Option<[Block; 2]>| key.as_ref().map(|key| self.blocks[key][draw]);
            let reaches = if known(&around).is_some_and(|t| t >= need) {
                true
            } else if known(&within).is_some_and(|t| t < need) {
                false
            } else {
                self.flatten(draw, &lines, Some(need)) >= need
            };
            if !next(reaches) {
                return;
            }
        }
    }

    /// What survives of a window's draw; with a `need`, only so far as to tell whether it reaches that.
    fn flatten(&mut self, draw: usize, lines: &Lines, need: Option<f64>) -> f64 {
        let loss = self.draws.loss(draw);
        let need = need.map(|need| need + loss);
        let [up, down] = &mut self.points;
        self.draws.points(draw, lines, up, down);
        let normal = &mut self.normals[draw];
        if let Some(need) = need
            && need > 0.0
        {
            let left = gap_along(up, down, *normal);
            if left >= need {
                return left - loss;
            }
        }
        self.flattened += 1;
        let gap = widest_gap(up, down, *normal, need);
        *normal = gap.normal;
        (gap.width - loss).max(0.0)
    }

    fn flatten_block(&mut self, key: [Block; 2]) {
        let whole = self.draws.whole();
        let [along, across] = key;
        let (from, to) = along.stretch(whole.from, whole.to);
        let (near, far) = across.stretch(whole.near, whole.far);
        let thicknesses = self.thicknesses(&Window {
            from,
            to,
            near,
            far,
        });
        self.blocks.insert(key, thicknesses);
    }

    /// The smallest block around a window and the largest within it.
    fn bounds(&self, window: &Window) -> (Option<[Block; 2]>, Option<[Block; 2]>) {
        let whole = self.draws.whole();
        let along = (whole.from, whole.to, window.from, window.to, FINEST[0]);
        let across = (whole.near, whole.far, window.near, window.far, FINEST[1]);
        let both = |find: fn(f64, f64, f64, f64, u32) -> Option<Block>| {
            let side = |(a, b, from, to, finest)| find(a, b, from, to, finest);
            Some([side(along)?, side(across)?])
        };
        (both(Block::around), both(Block::within))
    }
}

/// Of which draws it is known whether all of some windows reach a thickness, or none.
#[derive(Debug, Clone)]
pub(super) struct Settled {
    draws: Vec<Option<bool>>,
    /// Draws in which all do.
    pub(super) reached: usize,
    /// Draws in which none does.
    pub(super) failed: usize,
}

impl Settled {
    /// Nothing known of so many draws.
    pub(super) fn new(draws: usize) -> Self {
        Self {
            draws: vec![None; draws],
            reached: 0,
            failed: 0,
        }
    }
}

/// A thickness short of the wanted by no more than rounding reaches it, mm.
const NEAR: f64 = 1e-9;

impl Block {
    fn stretch(self, start: f64, end: f64) -> (f64, f64) {
        let length = (end - start) / f64::from(1 << self.level);
        let from = start + length / 2.0 * f64::from(self.index);
        (from, (from + length).min(end))
    }

    /// How many there are at a level: each begins half its length after the one before.
    fn count(level: u32) -> u32 {
        (1 << (level + 1)) - 1
    }

    /// The smallest block around [from, to] of a side [start, end].
    fn around(start: f64, end: f64, from: f64, to: f64, finest: u32) -> Option<Self> {
        (0..=finest).rev().find_map(|level| {
            let half = (end - start) / f64::from(1 << level) / 2.0;
            let index = (((from - start) / half + 1e-9).floor().max(0.0) as u32)
                .min(Self::count(level) - 1);
            let block = Self { level, index };
            let (a, b) = block.stretch(start, end);
            (a <= from + 1e-9 && b >= to - 1e-9).then_some(block)
        })
    }

    /// The largest block within it.
    fn within(start: f64, end: f64, from: f64, to: f64, finest: u32) -> Option<Self> {
        (0..=finest).find_map(|level| {
            let half = (end - start) / f64::from(1 << level) / 2.0;
            let index = ((from - start) / half - 1e-9).ceil().max(0.0) as u32;
            let block = Self { level, index };
            let (a, b) = block.stretch(start, end);
            (index < Self::count(level) && a >= from - 1e-9 && b <= to + 1e-9).then_some(block)
        })
    }
}
