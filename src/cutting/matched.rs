//! Parts that must come from one board.

use super::layout::{Chances, Layout, Score, Task, plan};
use super::watch::Progress;

/// So many ways of giving groups to boards are all tried; beyond, each group goes to the board that makes most of it.
const MOST_WAYS: usize = 32;

/// The best layout found in which the items of each group of demands lie on one sheet.
pub(super) fn plan_matched(
    task: &Task,
    groups: &[Vec<usize>],
    chances: &mut dyn Chances,
) -> Layout {
    if groups.is_empty() {
        return plan(task, chances);
    }
    let sheets = task.sheets.len();
    let wanted = task.demands.iter().map(|d| d.made(d.units)).sum();
    let ways = u32::try_from(groups.len())
        .ok()
        .and_then(|g| sheets.checked_pow(g));
    let mut kept = |given: &[usize]| {
        let mut kept = Kept {
            task,
            groups,
            given,
            chances,
        };
        plan(task, &mut kept)
    };
    match ways {
        Some(ways) if ways <= MOST_WAYS => {
            let given = |way: usize| -> Vec<usize> {
                (0..groups.len() as u32)
                    .map(|g| way / sheets.pow(g) % sheets)
                    .collect()
            };
            let mut best = kept(&given(0));
            let mut most = best.most;
            for way in 1..ways {
                if best.stopped {
                    // Of the other ways all that is known is what is wanted.
                    most = wanted;
                    break;
                }
                let other = kept(&given(way));
                most = most.max(other.most);
                best.stopped |= other.stopped;
                if other.score.compare(&best.score, task.prefer).is_gt() {
                    best = other;
                }
            }
            Layout { most, ..best }
        }
        _ => {
            let given: Vec<usize> = groups
                .iter()
                .map(|group| most_of(task, group, chances))
                .collect();
            let mut kept = Kept {
                task,
                groups,
                given: &given,
                chances,
            };
            let layout = plan(task, &mut kept);
            // Other boards might have done better: all that is known is what is wanted.
            Layout {
                most: wanted,
                ..layout
            }
        }
    }
}

/// The sheet that makes most of a group; of equals the smallest.
fn most_of(task: &Task, group: &[usize], chances: &mut dyn Chances) -> usize {
    let size = |s: usize| task.sheets[s].length * task.sheets[s].width;
    let mut best: Option<(Score, usize)> = None;
    for s in 0..task.sheets.len() {
        let mut alone = task.clone();
        for (d, demand) in alone.demands.iter_mut().enumerate() {
            demand.units *= u32::from(group.contains(&d));
        }
        for (k, sheet) in alone.sheets.iter_mut().enumerate() {
            // Too short for anything.
            sheet.length *= u32::from(k == s);
        }
        let score = plan(&alone, chances).score;
        let better = best.as_ref().is_none_or(|(b, k)| {
            score.area > b.area * (1.0 + 1e-9)
                || score.area >= b.area * (1.0 - 1e-9) && size(s) < size(*k)
        });
        if better {
            best = Some((score, s));
        }
    }
    best.map_or(0, |b| b.1)
}

/// Chances of which none is left to a group on a sheet that is not its own.
struct Kept<'a> {
    task: &'a Task,
    groups: &'a [Vec<usize>],
    given: &'a [usize],
    chances: &'a mut dyn Chances,
}

impl Chances for Kept<'_> {
    fn go_on(&mut self, progress: Progress) -> bool {
        self.chances.go_on(progress)
    }

    fn rungs(&self) -> u8 {
        self.chances.rungs()
    }

    fn reach(&mut self, sheet: usize, item: usize, rung: u8) -> Vec<bool> {
        let reach = self.chances.reach(sheet, item, rung);
        let demand = self.task.items[item].demand;
        let elsewhere = self
            .groups
            .iter()
            .zip(self.given)
            .any(|(g, s)| g.contains(&demand) && *s != sheet);
        if elsewhere {
            vec![false; reach.len()]
        } else {
            reach
        }
    }
}
