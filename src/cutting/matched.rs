//! Parts that must come from one board.

use super::layout::{Chances, Layout, Task, plan};
use super::watch::Progress;

/// So many ways of giving groups to boards are all tried; beyond, each group goes to the board that makes most of it beside
/// the groups that it has already.
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
            let given = given(task, groups, chances);
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

/// The sheet of each group: the one that makes most more for it; of equals the smallest. Groups that few sheets can make come
/// first, and of those the ones that make most.
fn given(task: &Task, groups: &[Vec<usize>], chances: &mut dyn Chances) -> Vec<usize> {
    let sheets = task.sheets.len();
    let alone: Vec<Vec<f64>> = groups
        .iter()
        .map(|group| (0..sheets).map(|s| made(task, group, s, chances)).collect())
        .collect();
    let most = |g: usize| alone[g].iter().copied().fold(0.0, f64::max);
    let able = |g: usize| {
        alone[g]
            .iter()
            .filter(|area| alike(**area, most(g)))
            .count()
    };
    let mut order: Vec<usize> = (0..groups.len()).collect();
    order.sort_by(|&a, &b| able(a).cmp(&able(b)).then(most(b).total_cmp(&most(a))));
    let size = |s: usize| task.sheets[s].length * task.sheets[s].width;
    let mut given = vec![0; groups.len()];
    let mut has: Vec<(Vec<usize>, f64)> = vec![(Vec::new(), 0.0); sheets];
    for g in order {
        let mut best: Option<(f64, usize, f64)> = None;
        for s in 0..sheets {
            let (others, before) = &has[s];
            let area = if others.is_empty() {
                alone[g][s]
            } else {
                made(task, &[&others[..], &groups[g]].concat(), s, chances)
            };
            let more = area - before;
            let better = best.is_none_or(|(most, k, _)| {
                if alike(more, most) {
                    size(s) < size(k)
                } else {
                    more > most
                }
            });
            if better {
                best = Some((more, s, area));
            }
        }
        if let Some((_, s, area)) = best {
            given[g] = s;
            has[s].0.extend(&groups[g]);
            has[s].1 = area;
        }
    }
    given
}

/// Equal but for rounding.
fn alike(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * a.abs().max(b.abs())
}

/// The finished face that one sheet makes of some demands alone.
fn made(task: &Task, demands: &[usize], sheet: usize, chances: &mut dyn Chances) -> f64 {
    let mut alone = task.clone();
    for (d, demand) in alone.demands.iter_mut().enumerate() {
        demand.units *= u32::from(demands.contains(&d));
    }
    for (k, other) in alone.sheets.iter_mut().enumerate() {
        // Too short for anything.
        other.length *= u32::from(k == sheet);
    }
    plan(&alone, chances).score.area
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
