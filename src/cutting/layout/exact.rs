//! The best layout of all, for tasks of few parts: every count of units that can be made, at every step along.

use super::along::{Along, Cost, End};
use super::task::{Chances, Counts, Layout, Score, Sheet, Task};

/// More steps of the search than this are not tried: some seconds.
const MOST_WORK: u64 = 20_000_000;

/// The best layout: most finished face, then the highest rung that all reach, then the fewest cuts, then the longest
/// useful offcut. `None` where that would take too long.
#[must_use]
pub fn exact(task: &Task, chances: &mut dyn Chances) -> Option<Layout> {
    let number = Counts::number(&task.demands)?;
    let steps = |s: &Sheet| u64::from(s.length) * (u64::from(s.length) / 8 + 64);
    let work = task.sheets.iter().map(steps).sum::<u64>();
    if number > 1 << 16 || work.saturating_mul(number) > MOST_WORK {
        return None;
    }
    let counts = Counts::new(&task.demands);
    let lowest = at_rung(task, &counts, chances, 0);
    // What reaches a rung reaches those below: the highest that loses no face is found by halves.
    let (mut best, mut low, mut high) = (lowest, 0, chances.rungs());
    let most = best.score.area;
    while high - low > 1 {
        let middle = u8::midpoint(low, high);
        let tried = at_rung(task, &counts, chances, middle);
        if tried.score.area >= most * (1.0 - 1e-9) {
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

/// The best layout of items that reach a rung.
fn at_rung(task: &Task, counts: &Counts, chances: &mut dyn Chances, rung: u8) -> Layout {
    let longest = task.sheets.iter().map(|s| s.length).max().unwrap_or(0);
    let mut ends = vec![(End::default(), Cost::new(longest))];
    let mut searched = Vec::new();
    for sheet in 0..task.sheets.len() {
        let mut along = Along::new(task, counts, chances, sheet, rung);
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
        if score(b).compare(&score(a)).is_gt() {
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
    Layout {
        placed,
        score,
        most: score.area,
    }
}
