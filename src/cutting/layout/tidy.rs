//! Each sheet of a layout laid out again for what counts behind the finished face.

use super::exact;
use super::measure::left;
use super::task::{Chances, Demand, Item, Placed, Task};
use crate::cutting::{Progress, Stage};

/// Lays each sheet's items out again for the highest rung, the fewest cuts and the longest offcut, as is preferred, where
/// that can be done exactly; units that make no whole part are left out.
pub(super) fn tidied(task: &Task, chances: &mut dyn Chances, placed: &[Placed]) -> Vec<Placed> {
    let mut surplus: Vec<u32> = task
        .demands
        .iter()
        .zip(left(task, placed))
        .map(|(d, l)| (d.units - l) % d.units_per_part)
        .collect();
    let mut tidy = Vec::new();
    for s in 0..task.sheets.len() {
        let mut own: Vec<Placed> = placed.iter().filter(|p| p.sheet == s).copied().collect();
        own.retain(|p| {
            let item = &task.items[p.item];
            let useless = surplus[item.demand] >= item.yields;
            surplus[item.demand] -= if useless { item.yields } else { 0 };
            !useless
        });
        let progress = Progress {
            stage: Stage::Order,
            done: s,
            all: task.sheets.len(),
        };
        if !chances.go_on(progress) {
            tidy.extend(own);
            continue;
        }
        tidy.extend(sheet_tidied(task, chances, s, own));
    }
    tidy.sort();
    tidy
}

fn sheet_tidied(
    task: &Task,
    chances: &mut dyn Chances,
    sheet: usize,
    own: Vec<Placed>,
) -> Vec<Placed> {
    let mut items: Vec<usize> = own.iter().map(|p| p.item).collect();
    items.sort_unstable();
    items.dedup();
    let demands = items.iter().map(|k| Demand {
        units: own.iter().filter(|p| p.item == *k).count() as u32,
        units_per_part: 1,
        area: 1.0,
    });
    let one = Task {
        demands: demands.collect(),
        items: items
            .iter()
            .enumerate()
            .map(|(demand, k)| Item {
                demand,
                yields: 1,
                ..task.items[*k]
            })
            .collect(),
        sheets: vec![task.sheets[sheet].clone()],
        useful: task.useful,
        prefer: task.prefer,
    };
    let mut narrowed = Narrowed {
        chances,
        sheet,
        items: &items,
    };
    match exact(&one, &mut narrowed) {
        Some(layout) if layout.placed.len() == own.len() => layout
            .placed
            .into_iter()
            .map(|p| Placed {
                sheet,
                item: items[p.item],
                ..p
            })
            .collect(),
        _ => own,
    }
}

/// The chances of some items of one sheet.
struct Narrowed<'a> {
    chances: &'a mut dyn Chances,
    sheet: usize,
    items: &'a [usize],
}

impl Chances for Narrowed<'_> {
    // Progress is that of the whole layout.
    fn rungs(&self) -> u8 {
        self.chances.rungs()
    }

    fn reach(&mut self, _: usize, item: usize, rung: u8) -> Vec<bool> {
        self.chances.reach(self.sheet, self.items[item], rung)
    }
}
