//! Boards and parts as a layout's task, and the chances of every place.

use std::collections::HashMap;

use super::Allowances;
use super::evidence::Evidence;
use super::ground::Ground;
use super::layout::{Chances, Item, Placed, Prefer, Sheet, Task};
use super::pieces::Pieces;
use super::starts::starts;
use super::wanted::{Rough, Wanted};
use super::watch::Watch;
use super::window::Window;
use crate::board::Board;
use crate::flatten::{NoExpectation, Shortfall, known};
use crate::shop::Movement;

/// A board to cut parts from.
#[derive(Debug, Clone)]
pub struct Stocked {
    /// What its owner calls it.
    pub name: String,
    /// Where parts may lie.
    pub ground: Ground,
    /// Its faces.
    pub evidence: Evidence,
}

impl Stocked {
    /// A board whose pieces move so much when they are cut.
    ///
    /// # Errors
    ///
    /// Why nothing can be expected of it.
    pub fn new(board: &Board, movement: Movement) -> Result<Self, NoExpectation> {
        Ok(Self {
            name: board.name.clone(),
            ground: Ground::new(board),
            evidence: Evidence::new(&known(board)?.estimate, movement),
        })
    }

    /// The same board in a shop that falls short, where it does.
    #[must_use]
    pub fn short_by(mut self, shortfall: Option<Shortfall>) -> Self {
        self.evidence = self.evidence.short_by(shortfall);
        self
    }
}

/// Steps across, mm: fine, so that widths which fit side by side are not rounded out of it.
const ACROSS: f64 = 0.5;

/// Boards and parts, and what is known of them so far.
pub(super) struct Stock<'a> {
    pub(super) roughs: Vec<Rough>,
    pub(super) grounds: Vec<&'a Ground>,
    pub(super) pieces: Vec<Pieces<'a>>,
    pub(super) sheets: Vec<Sheet>,
    pub(super) items: Vec<Item>,
    allowances: Allowances,
    step: f64,
    /// Rungs of every place, by sheet, item and whether all rungs are told apart.
    pub(super) known: HashMap<(usize, usize, bool), Vec<u8>>,
    pub(super) watch: &'a mut dyn Watch,
}

impl<'a> Stock<'a> {
    /// Cuts lie at multiples of `step` from the trimmed end A, mm.
    pub(super) fn new(
        boards: &'a [Stocked],
        wanted: &[Wanted],
        allowances: &Allowances,
        step: f64,
        certainty: f64,
        watch: &'a mut dyn Watch,
    ) -> Self {
        let roughs: Vec<Rough> = wanted
            .iter()
            .enumerate()
            .flat_map(|(part, w)| w.roughs(part, allowances, certainty))
            .collect();
        let steps = |mm: f64, step: f64| (mm / step - 1e-9).ceil() as u32;
        let items: Vec<Item> = roughs
            .iter()
            .map(|r| Item {
                demand: r.part,
                yields: r.yields,
                length: steps(r.length + allowances.kerf_crosscut, step),
                width: steps(r.width + allowances.kerf_rip, ACROSS),
            })
            .collect();
        let sheets = boards.iter().map(|b| {
            let outline = b.ground.outline();
            let whole = |mm: f64, step: f64| (mm / step + 1e-9).floor().max(0.0) as u32;
            let long = outline.length - 2.0 * allowances.end_trim + allowances.kerf_crosscut;
            let width = whole(outline.width + allowances.kerf_rip, ACROSS);
            Sheet {
                length: whole(long, step),
                width,
                starts: starts(width, &items),
            }
        });
        Self {
            sheets: sheets.collect(),
            grounds: boards.iter().map(|b| &b.ground).collect(),
            pieces: boards
                .iter()
                .map(|b| Pieces::new(&b.evidence.choosing))
                .collect(),
            roughs,
            items,
            allowances: *allowances,
            step,
            known: HashMap::new(),
            watch,
        }
    }

    /// What is asked of a layout.
    pub(super) fn task(&self, wanted: &[Wanted], prefer: Prefer) -> Task {
        Task {
            demands: wanted.iter().map(Wanted::demand).collect(),
            items: self.items.clone(),
            sheets: self.sheets.clone(),
            useful: (self.allowances.useful_offcut / self.step).ceil() as u32,
            prefer,
        }
    }

    /// Whether an item comes out as wanted anywhere.
    pub(super) fn anywhere(&mut self, item: usize) -> bool {
        (0..self.sheets.len()).any(|s| {
            self.sheets[s].length >= self.items[item].length
                && self.reach(s, item, 0).contains(&true)
        })
    }

    /// What each board loses over a piece as large as the finished wood of an item, in the board's middle, before that is as
    /// likely as asked to be left, ascending.
    pub(super) fn lost(&mut self, item: usize) -> Vec<f64> {
        let Rough {
            flat: [length, width],
            certainty,
            ..
        } = self.roughs[item];
        let lost = self.pieces.iter_mut().map(|pieces| {
            let whole = pieces.draws().whole();
            let middle = |from: f64, to: f64, size: f64| {
                let half = size.min(to - from) / 2.0;
                let middle = f64::midpoint(from, to);
                (middle - half, middle + half)
            };
            let (from, to) = middle(whole.from, whole.to, length);
            let (near, far) = middle(whole.near, whole.far, width);
            let mut left = pieces.thicknesses(&Window {
                from,
                to,
                near,
                far,
            });
            left.sort_by(f64::total_cmp);
            let least = ((1.0 - certainty) * left.len() as f64) as usize;
            pieces.draws().mean_thickness() - left[least.min(left.len() - 1)]
        });
        let mut lost: Vec<f64> = lost.collect();
        lost.sort_by(f64::total_cmp);
        lost
    }

    /// What the saw takes, across and along.
    pub(super) fn kerfs(&self) -> [f64; 2] {
        [self.allowances.kerf_crosscut, self.allowances.kerf_rip]
    }

    /// How many places of items were looked into so far.
    pub(super) fn places(&self) -> usize {
        let lowest = self.known.iter().filter(|((_, _, fine), _)| !fine);
        lowest.map(|(_, table)| table.len()).sum()
    }

    /// How often a window's draw was flattened so far.
    pub(super) fn flattened(&self) -> usize {
        self.pieces.iter().map(Pieces::flattened).sum()
    }

    /// The rough piece of an item that lies somewhere, and the wood in it that has to come flat.
    pub(super) fn windows(
        &self,
        sheet: usize,
        item: usize,
        from: u32,
        near: u32,
    ) -> (Window, Window) {
        let outline = self.grounds[sheet].outline();
        let rough = &self.roughs[item];
        let (x, y) = self.place(sheet, from, near);
        let piece = Window {
            from: x,
            to: (x + rough.length).min(outline.x0 + outline.length),
            near: y,
            far: (y + rough.width).min(outline.y0 + outline.width),
        };
        let [length, width] = rough.flat;
        let finished = Window {
            from: x + (rough.length - length) / 2.0,
            to: x + (rough.length + length) / 2.0,
            near: y + (rough.width - width) / 2.0,
            far: y + (rough.width + width) / 2.0,
        };
        (piece, finished)
    }

    /// A step along and one across as a place of the board.
    pub(super) fn place(&self, sheet: usize, from: u32, near: u32) -> (f64, f64) {
        let outline = self.grounds[sheet].outline();
        (
            outline.x0 + self.allowances.end_trim + self.step * f64::from(from),
            outline.y0 + ACROSS * f64::from(near),
        )
    }

    /// Where the section of a placed item begins and ends, between the kerfs.
    pub(super) fn section(&self, placed: &Placed) -> (f64, f64) {
        let (at, length) = placed.section;
        let from = self.place(placed.sheet, at, 0).0;
        (
            from,
            from + self.step * f64::from(length) - self.allowances.kerf_crosscut,
        )
    }
}
