//! Where the items of a sheet come out as wanted.

use super::task::{Chances, Task};

/// For every item and start across, the next step along from which it comes out as wanted.
pub(super) struct Fits {
    lengths: Vec<u32>,
    starts: usize,
    /// By item and start: for every step along, the next one that fits; past all, `u32::MAX`.
    next: Vec<Vec<u32>>,
    /// By step along, whether something fits there that does not a step before.
    begins: Vec<bool>,
}

impl Fits {
    /// Of the items that reach a rung.
    pub(super) fn new(task: &Task, chances: &mut dyn Chances, sheet: usize, rung: u8) -> Self {
        let starts = task.sheets[sheet].starts.len();
        let mut next = Vec::new();
        for (k, item) in task.items.iter().enumerate() {
            let length = task.sheets[sheet].length;
            let reach = if item.length > length {
                Vec::new()
            } else {
                chances.reach(sheet, k, rung)
            };
            for start in 0..starts {
                let mut row = vec![u32::MAX; length as usize + 1];
                for at in (0..reach.len() / starts).rev() {
                    row[at] = if reach[at * starts + start] {
                        at as u32
                    } else {
                        row[at + 1]
                    };
                }
                next.push(row);
            }
        }
        let begins = |at: u32| {
            let fits = |row: &Vec<u32>, at: u32| row[at as usize] == at;
            next.iter()
                .any(|row| fits(row, at) && (at == 0 || !fits(row, at - 1)))
        };
        Self {
            begins: (0..task.sheets[sheet].length).map(begins).collect(),
            lengths: task.items.iter().map(|i| i.length).collect(),
            starts,
            next,
        }
    }

    /// Where along a section an item may lie at a start across, the place nearest end A.
    pub(super) fn within(&self, item: usize, start: usize, at: u32, length: u32) -> Option<u32> {
        let own = self.lengths[item];
        let next = self.next[item * self.starts + start][at as usize];
        (own <= length && next <= at + (length - own)).then_some(next)
    }

    /// Whether an item comes out as wanted anywhere on the sheet.
    pub(super) fn anywhere(&self, item: usize) -> bool {
        let rows = &self.next[item * self.starts..(item + 1) * self.starts];
        rows.iter().any(|row| row[0] != u32::MAX)
    }

    /// Whether something comes out as wanted at a step along that does not a step before.
    pub(super) fn begins(&self, at: u32) -> bool {
        self.begins[at as usize]
    }

    /// At how many steps along that is so.
    pub(super) fn begun(&self) -> usize {
        self.begins.iter().filter(|b| **b).count()
    }

    /// What fits a section, as bits: sections of one length and pattern may be ripped alike.
    pub(super) fn pattern(&self, at: u32, length: u32) -> Vec<u64> {
        let mut bits = vec![0_u64; (self.lengths.len() * self.starts).div_ceil(64)];
        for item in 0..self.lengths.len() {
            for start in 0..self.starts {
                if self.within(item, start, at, length).is_some() {
                    let k = item * self.starts + start;
                    bits[k / 64] |= 1 << (k % 64);
                }
            }
        }
        bits
    }
}
