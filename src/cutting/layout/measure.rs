//! What a layout is worth as it lies.

use std::collections::{BTreeMap, BTreeSet};

use super::task::{Chances, Placed, Score, Task};

/// The score of items that lie like this.
pub(super) fn measure(task: &Task, chances: &mut dyn Chances, placed: &[Placed]) -> Score {
    let mut units = vec![0; task.demands.len()];
    for p in placed {
        units[task.items[p.item].demand] += task.items[p.item].yields;
    }
    let (mut cuts, mut offcut) = (0, 0);
    for (s, sheet) in task.sheets.iter().enumerate() {
        let mut sections: BTreeMap<(u32, u32), BTreeSet<u32>> = BTreeMap::new();
        for p in placed.iter().filter(|p| p.sheet == s) {
            let rips = sections.entry(p.section).or_default();
            rips.extend([p.near, p.near + task.items[p.item].width]);
        }
        let ends = sections.keys().flat_map(|(at, length)| [*at, at + length]);
        let ends: BTreeSet<u32> = ends.collect();
        let within = |places: &BTreeSet<u32>, most: u32| {
            places.iter().filter(|p| **p > 0 && **p < most).count() as u32
        };
        cuts += within(&ends, sheet.length);
        cuts += sections
            .values()
            .map(|r| within(r, sheet.width))
            .sum::<u32>();
        let mut end = 0;
        for (at, length) in sections.keys().copied().chain([(sheet.length, 0)]) {
            if at - end >= task.useful.max(1) {
                offcut = offcut.max(at - end);
            }
            end = at + length;
        }
    }
    Score {
        area: task.demands.iter().zip(units).map(|(d, u)| d.made(u)).sum(),
        rung: rung(task, chances, placed),
        cuts,
        offcut,
    }
}

/// The highest rung that all reach.
fn rung(task: &Task, chances: &mut dyn Chances, placed: &[Placed]) -> u8 {
    let rungs = chances.rungs();
    let mut tables = BTreeMap::new();
    let mut all_reach = |rung: u8| {
        placed.iter().all(|p| {
            let sheet = &task.sheets[p.sheet];
            let table = tables
                .entry((rung, p.sheet, p.item))
                .or_insert_with(|| chances.reach(p.sheet, p.item, rung));
            let start = sheet.starts.partition_point(|s| *s < p.near);
            table[p.from as usize * sheet.starts.len() + start]
        })
    };
    let mut rung = 0;
    while rung + 1 < rungs && all_reach(rung + 1) {
        rung += 1;
    }
    rung
}

/// The units still wanted.
pub(super) fn left(task: &Task, placed: &[Placed]) -> Vec<u32> {
    let mut left: Vec<u32> = task.demands.iter().map(|d| d.units).collect();
    for p in placed {
        let item = &task.items[p.item];
        left[item.demand] -= item.yields;
    }
    left
}

/// The finished face made.
pub(super) fn made(task: &Task, placed: &[Placed]) -> f64 {
    let left = left(task, placed);
    task.demands
        .iter()
        .zip(left)
        .map(|(d, l)| d.made(d.units - l))
        .sum()
}
