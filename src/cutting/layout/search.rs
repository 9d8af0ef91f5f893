//! Layouts of real sizes: filled sheet by sheet, bettered by laying a few sheets anew, with a bound beside.

use rayon::prelude::*;

use super::anew::Bettered;
use super::exact;
use super::fill::fill;
use super::fits::Fits;
use super::measure::{left, made, measure};
use super::price::{Priced, ROUNDS, Worth, bound, worth};
use super::task::{Chances, Layout, Placed, Task};
use super::tidy::tidied;
use crate::cutting::{Progress, Stage};

/// A good layout, the best of all where the task is small enough, and a bound on the face that any layout makes.
#[must_use]
pub fn plan(task: &Task, chances: &mut dyn Chances) -> Layout {
    exact(task, chances).unwrap_or_else(|| search(task, chances))
}

/// A good layout by search, whatever the task's size.
#[must_use]
pub fn search(task: &Task, chances: &mut dyn Chances) -> Layout {
    let sheets: Vec<Priced> = (0..task.sheets.len())
        .map(|s| Priced::new(task, s, Fits::new(task, chances, s, 0)))
        .collect();
    let wanted: f64 = task.demands.iter().map(|d| d.made(d.units)).sum();
    let everything = worth(task, &vec![0.0; task.demands.len()]);
    let full = Worth::new(task, &sheets, everything.clone());
    let mut best = filled(task, &sheets, &full);
    let mut most = wanted;
    let at = |stage, done| Progress {
        stage,
        done,
        all: ROUNDS,
    };
    // What was not looked into when it was stopped bounds nothing.
    if made(task, &best) < wanted * (1.0 - 1e-9) && chances.go_on(at(Stage::Bound, 0)) {
        let so_far = made(task, &best);
        let mut go_on = |done| chances.go_on(at(Stage::Bound, done));
        let (least, prices) = bound(task, &sheets, so_far, &mut go_on);
        most = least;
        let priced = worth(task, &prices);
        // A unit at its full price is worth a little all the same: it fills what is left.
        let priced: Vec<f64> = priced
            .iter()
            .zip(&everything)
            .map(|(p, w)| p.max(1e-3 * w))
            .collect();
        let priced = Worth::new(task, &sheets, priced);
        let mut searches = [&priced, &full].map(|worth| {
            let start = filled(task, &sheets, worth);
            Bettered::new(task, &sheets, [worth, &full], most, start)
        });
        for done in 0..SHARES {
            let progress = Progress {
                stage: Stage::Layout,
                done,
                all: SHARES,
            };
            if searches.iter().any(Bettered::done) || !chances.go_on(progress) {
                break;
            }
            let share = (done + 1) as f64 / SHARES as f64;
            searches.par_iter_mut().for_each(|s| s.go_on(share));
        }
        for search in searches {
            if made(task, &search.best) > made(task, &best) + 1e-9 {
                best = search.best;
            }
        }
    }
    let placed = tidied(task, chances, &best);
    let score = measure(task, chances, &placed);
    let most = most.max(score.area);
    let all = task.sheets.len();
    let done = Progress {
        stage: Stage::Order,
        done: all,
        all,
    };
    Layout {
        placed,
        score,
        most,
        stopped: !chances.go_on(done),
    }
}

/// Sheets from the shortest up: what a short one can make is made there first.
fn order(task: &Task) -> Vec<usize> {
    let mut order: Vec<usize> = (0..task.sheets.len()).collect();
    order.sort_by_key(|s| task.sheets[*s].length * task.sheets[*s].width);
    order
}

/// The search is told to go on so many times.
const SHARES: usize = 20;

/// Lays sheet after sheet with what is left.
fn filled(task: &Task, sheets: &[Priced], worth: &Worth) -> Vec<Placed> {
    let mut placed = Vec::new();
    for s in order(task) {
        let left = left(task, &placed);
        let filled = fill(task, s, &sheets[s], &worth.items, &worth.best[s], &left);
        placed.extend(filled.placed);
    }
    placed
}
