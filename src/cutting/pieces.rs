//! What survives shimmed of any piece of a board.

use std::collections::HashMap;

use rayon::prelude::*;

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
        let (draws, lines) = (self.draws, self.draws.lines(window));
        self.flattened += draws.count();
        let each = self.normals.par_iter_mut().enumerate();
        each.map_init(
            Default::default,
            |points: &mut [Vec<Point>; 2], (draw, normal)| {
                let [up, down] = points;
                draws.points(draw, &lines, up, down);
                let gap = widest_gap(up, down, *normal, None);
                *normal = gap.normal;
                (gap.width - draws.loss(draw)).max(0.0)
            },
        )
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
        let open = self
            .order
            .iter()
            .filter(|draw| settled.draws[**draw].is_none());
        let open: Vec<usize> = open.copied().collect();
        for draws in open.chunks(AT_A_TIME) {
            if enough(settled) {
                return;
            }
            let reach = self.reach(draws, &lines, need);
            for (&draw, reaches) in draws.iter().zip(reach) {
                if reaches && reaching || !reaches && failing {
                    settled.draws[draw] = Some(reaches);
                    settled.reached += usize::from(reaches);
                    settled.failed += usize::from(!reaches);
                }
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
        let known =
            |key: &Option<[Block; 2]>, draw: usize| key.as_ref().map(|key| self.blocks[key][draw]);
        let told = |draw: usize| {
            if known(&around, draw).is_some_and(|t| t >= need) {
                Some(true)
            } else if known(&within, draw).is_some_and(|t| t < need) {
                Some(false)
            } else {
                None
            }
        };
        let told: Vec<(usize, Option<bool>)> =
            self.order.iter().map(|&draw| (draw, told(draw))).collect();
        for some in told.chunks(AT_A_TIME) {
            let open: Vec<usize> = some
                .iter()
                .filter_map(|(draw, told)| told.is_none().then_some(*draw))
                .collect();
            let mut reach = self.reach(&open, &lines, need).into_iter();
            for (_, told) in some {
                let Some(reaches) = told.or_else(|| reach.next()) else {
                    return;
                };
                if !next(reaches) {
                    return;
                }
            }
        }
    }

    /// Whether the draws of a window come out at least so thick.
    fn reach(&mut self, of: &[usize], lines: &Lines, need: f64) -> Vec<bool> {
        let (draws, normals) = (self.draws, &self.normals);
        let each = of.par_iter().with_min_len(4);
        let asked: Vec<(bool, Option<[f64; 3]>)> = each
            .map_init(Default::default, |points: &mut [Vec<Point>; 2], &draw| {
                let [up, down] = points;
                draws.points(draw, lines, up, down);
                let loss = draws.loss(draw);
                let gross = need + loss;
                if gap_along(up, down, normals[draw]) >= gross && gross > 0.0 {
                    return (true, None);
                }
                let gap = widest_gap(up, down, normals[draw], Some(gross));
                ((gap.width - loss).max(0.0) >= need, Some(gap.normal))
            })
            .collect();
        for (&draw, (_, normal)) in of.iter().zip(&asked) {
            if let Some(normal) = *normal {
                self.normals[draw] = normal;
                self.flattened += 1;
            }
        }
        asked.into_iter().map(|(reaches, _)| reaches).collect()
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

/// So many draws are asked side by side before it is seen whether that was enough.
const AT_A_TIME: usize = 32;

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
