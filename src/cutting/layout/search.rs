//! Layouts of real sizes: filled sheet by sheet, bettered by laying a few sheets anew, with a bound beside.

use super::exact;
use super::fill::{BEAM, fill};
use super::fits::Fits;
use super::measure::measure;
use super::price::{self, Priced, ROUNDS, bound, worth};
use super::task::{Chances, Demand, Item, Layout, Placed, Task};
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
    let mut best = filled(task, &sheets, &everything, &order(task));
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
        for (half, worth) in [&priced, &everything].into_iter().enumerate() {
            let mut go_on = |round, rounds| {
                chances.go_on(Progress {
                    stage: Stage::Layout,
                    done: half * rounds + round,
                    all: 2 * rounds,
                })
            };
            if !go_on(0, 1) {
                break;
            }
            let start = filled(task, &sheets, worth, &order(task));
            let tried = bettered(task, &sheets, start, worth, most, &mut go_on);
            if made(task, &tried) > made(task, &best) + 1e-9 {
                best = tried;
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

/// Lays sheet after sheet with what is left.
fn filled(task: &Task, sheets: &[Priced], worth: &[f64], order: &[usize]) -> Vec<Placed> {
    let mut placed = Vec::new();
    for &s in order {
        let left = left(task, &placed);
        placed.extend(fill(task, s, &sheets[s], worth, &left));
    }
    placed
}

/// Lays a few sheets at a time anew, and goes on from what is hardly worse, until nothing more can be made or the rounds are
/// over; the best on the way. One of the sheets may take something that is short, which counts for more there: what it
/// takes the place of finds room on the others.
fn bettered(
    task: &Task,
    sheets: &[Priced],
    start: Vec<Placed>,
    worth: &[f64],
    most: f64,
    go_on: &mut dyn FnMut(usize, usize) -> bool,
) -> Vec<Placed> {
    let mut dice = Dice(1);
    let everything = price::worth(task, &vec![0.0; task.demands.len()]);
    let rounds = (WORK / work(task, sheets)).clamp(10, MOST_ROUNDS);
    let (mut here, mut best) = (start.clone(), start);
    for round in 0..rounds {
        let so_far = made(task, &best);
        if so_far >= most * (1.0 - 1e-9) || !go_on(round, rounds) {
            break;
        }
        let missing = left(task, &here);
        let short: Vec<usize> = (0..task.items.len())
            .filter(|k| missing[task.items[*k].demand] >= task.items[*k].yields)
            .collect();
        let mut anew = Vec::new();
        let mut shaken: Vec<f64> = if dice.below(2) == 0 {
            worth
        } else {
            &everything
        }
        .to_vec();
        for w in &mut shaken {
            *w *= 0.7 + 0.06 * dice.below(11) as f64;
        }
        if !short.is_empty() {
            let item = short[dice.below(short.len())];
            shaken[item] = everything[item] * (1.0 + 0.5 * dice.below(5) as f64);
            let takes: Vec<usize> = (0..sheets.len())
                .filter(|s| sheets[*s].fits.anywhere(item))
                .collect();
            anew.extend(takes.get(dice.below(takes.len().max(1))));
        }
        for _ in 0..1 + dice.below(3) {
            anew.push(dice.below(sheets.len()));
        }
        let mut tried: Vec<Placed> = here
            .iter()
            .filter(|p| !anew.contains(&p.sheet))
            .copied()
            .collect();
        for (k, &s) in anew.iter().enumerate() {
            if anew[..k].contains(&s) {
                continue;
            }
            let left = left(task, &tried);
            // Only the first is shaken: the others take all that they can.
            let worth = if k == 0 { &shaken } else { &everything };
            tried.extend(fill(task, s, &sheets[s], worth, &left));
        }
        let slack = SLACK * (1.0 - round as f64 / rounds as f64);
        if made(task, &tried) >= so_far * (1.0 - slack) {
            here = tried;
        }
        if made(task, &here) > so_far * (1.0 + 1e-9) {
            best.clone_from(&here);
        }
    }
    best
}

/// By how much a layout may fall short of the best so far to go on from, at first.
const SLACK: f64 = 0.01;

/// Rounds of laying anew at most, and the work of them all: a second or two where all parts can be made, but ten seconds
/// to most of a minute where they cannot, as every round then runs to its end (docs/cutting.md, Speed).
const MOST_ROUNDS: usize = 1500;
const WORK: usize = 120_000_000;

/// The work of laying a sheet anew, about: each pattern of it priced, and sections begun wherever they may.
fn work(task: &Task, sheets: &[Priced]) -> usize {
    let all: usize = task
        .sheets
        .iter()
        .zip(sheets)
        .map(|(size, sheet)| {
            let begun = BEAM * sheet.lengths.len() * (20 + sheet.fits.begun());
            size.starts.len() * task.items.len() * (sheet.patterns() + begun)
        })
        .sum();
    (all / sheets.len().max(1)).max(1)
}

/// The units still wanted.
fn left(task: &Task, placed: &[Placed]) -> Vec<u32> {
    let mut left: Vec<u32> = task.demands.iter().map(|d| d.units).collect();
    for p in placed {
        let item = &task.items[p.item];
        left[item.demand] -= item.yields;
    }
    left
}

fn made(task: &Task, placed: &[Placed]) -> f64 {
    let left = left(task, placed);
    task.demands
        .iter()
        .zip(left)
        .map(|(d, l)| d.made(d.units - l))
        .sum()
}

/// Lays each sheet's items out again for the highest rung, the fewest cuts and the longest offcut, as is preferred, where
/// that can be done exactly; units that make no whole part are left out.
fn tidied(task: &Task, chances: &mut dyn Chances, placed: &[Placed]) -> Vec<Placed> {
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

/// Numbers by chance, the same at every run (SplitMix64).
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) % n as u64) as usize
    }
}
