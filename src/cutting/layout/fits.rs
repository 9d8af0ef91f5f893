//! Where the items of a sheet come out as wanted.

use super::task::{Chances, Task};

/// For every item and start across, the next step along from which it comes out as wanted.
pub(super) struct Fits {
    lengths: Vec<u32>,
    starts: usize,
    /// By step along, start and item: the next step that fits; past all, `u32::MAX`. A section's lie side by side.
    next: Vec<u32>,
    /// By step along, whether something fits there that does not a step before.
    begins: Vec<bool>,
}

impl Fits {
    /// Of the items that reach a rung.
    pub(super) fn new(task: &Task, chances: &mut dyn Chances, sheet: usize, rung: u8) -> Self {
        let (starts, items) = (task.sheets[sheet].starts.len(), task.items.len());
        let length = task.sheets[sheet].length;
        let mut next = vec![u32::MAX; (length as usize + 1) * starts * items];
        let place = |at: usize, start: usize, k: usize| (at * starts + start) * items + k;
        for (k, item) in task.items.iter().enumerate() {
            if item.length > length {
                continue;
            }
            let reach = chances.reach(sheet, k, rung);
            for at in (0..reach.len() / starts).rev() {
                for start in 0..starts {
                    next[place(at, start, k)] = if reach[at * starts + start] {
                        at as u32
                    } else {
                        next[place(at + 1, start, k)]
                    };
                }
            }
        }
        let fits = |at: u32, k: usize| next[at as usize * starts * items + k] == at;
        let begins =
            |at: u32| (0..starts * items).any(|k| fits(at, k) && (at == 0 || !fits(at - 1, k)));
        Self {
            begins: (0..length).map(begins).collect(),
            lengths: task.items.iter().map(|i| i.length).collect(),
            starts,
            next,
        }
    }

    /// By item, the next step along from which it comes out as wanted at a start.
    pub(super) fn next(&self, at: u32, start: usize) -> &[u32] {
        let items = self.lengths.len();
        &self.next[(at as usize * self.starts + start) * items..][..items]
    }

    /// Where along a section an item may lie at a start across, the place nearest end A.
    pub(super) fn within(&self, item: usize, start: usize, at: u32, length: u32) -> Option<u32> {
        let own = self.lengths[item];
        let next = self.next(at, start)[item];
        (own <= length && next <= at + (length - own)).then_some(next)
    }

    /// Whether an item comes out as wanted anywhere on the sheet.
    pub(super) fn anywhere(&self, item: usize) -> bool {
        (0..self.starts).any(|start| self.next(0, start)[item] != u32::MAX)
    }

    /// Whether something comes out as wanted at a step along that does not a step before.
    pub(super) fn begins(&self, at: u32) -> bool {
        self.begins[at as usize]
    }

    /// What fits a section, as bits: sections of one length and pattern may be ripped alike.
    pub(super) fn pattern(&self, at: u32, length: u32) -> Vec<u64> {
        let mut bits = vec![0_u64; (self.lengths.len() * self.starts).div_ceil(64)];
        let rows =
            (0..self.starts).flat_map(|start| self.next(at, start).iter().zip(&self.lengths));
        for (k, (next, own)) in rows.enumerate() {
            if *own <= length && *next <= at + (length - own) {
                bits[k / 64] |= 1 << (k % 64);
            }
        }
        bits
    }
}
