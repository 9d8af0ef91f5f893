//! The best layout of all, for tasks of few parts: every count of units that can be made, at every step along.

use super::along::{Along, Cost, End};
use super::task::{Chances, Counts, Layout, Score, Sheet, Task};
use crate::cutting::{Progress, Stage};

/// More steps of the search than this are not tried: some seconds.
const MOST_WORK: u64 = 20_000_000;

/// The best layout: most finished face, then as the task prefers. `None` where that would take too long, or was stopped before there was one.
#[must_use]
pub fn exact(task: &Task, chances: &mut dyn Chances) -> Option<Layout> {
    let number = Counts::number(&task.demands)?;
    let steps = |s: &Sheet| u64::from(s.length) * (u64::from(s.length) / 8 + 64);
    let work = task.sheets.iter().map(steps).sum::<u64>();
    if number > 1 << 16 || work.saturating_mul(number) > MOST_WORK {
        return None;
    }
    let counts = Counts::new(&task.demands);
    let lowest = at_rung(task, &counts, chances, 0)?;
    // What reaches a rung reaches those below: the highest that loses nothing that counts before it is found by halves.
    let (mut best, mut low, mut high) = (lowest, 0, chances.rungs());
    let (most, before) = (best.score.area, best.score);
    while high - low > 1 {
        let middle = u8::midpoint(low, high);
        let Some(tried) = at_rung(task, &counts, chances, middle) else {
            best.stopped = true;
            break;
        };
        if tried.score.keeps(&before, task.prefer) {
            (best, low) = (tried, middle);
        } else {
            high = middle;
        }
    }
    if best.placed.is_empty() {
        best.score.rung = chances.rungs() - 1;
    }
    Some(Layout { most, ..best })
}

/// The best layout of items that reach a rung; `None` where it was stopped.
fn at_rung(task: &Task, counts: &Counts, chances: &mut dyn Chances, rung: u8) -> Option<Layout> {
    let longest = task.sheets.iter().map(|s| s.length).max().unwrap_or(0);
    let mut ends = vec![(End::default(), Cost::new(longest))];
    let mut searched = Vec::new();
    for sheet in 0..task.sheets.len() {
        let progress = Progress {
            stage: Stage::Layout,
            done: sheet,
            all: task.sheets.len(),
        };
        let mut along = Along::new(task, counts, chances, sheet, rung);
        // Stopped while its places were looked into, it may seem to make less than it does.
        if !chances.go_on(progress) {
            return None;
        }
        ends = along.search(&ends, longest);
        searched.push(along);
    }
    let score = |(end, cost): &(End, Cost)| Score {
        area: counts.area(&task.demands, end.count),
        rung,
        cuts: cost.cuts,
        offcut: longest - cost.short,
    };
    let better = |a, b| {
        if score(b).compare(&score(a), task.prefer).is_gt() {
            b
        } else {
            a
        }
    };
    let mut placed = Vec::new();
    let Some(best) = ends.iter().reduce(better) else {
        unreachable!("nothing made is a layout too")
    };
    let mut end = best.0;
    for along in searched.iter().rev() {
        end = along.trace(end, &mut placed);
    }
    placed.sort();
    let score = score(best);
    Some(Layout {
        placed,
        score,
        most: score.area,
        stopped: false,
    })
}
