//! A bound that no layout passes: what the sheets could make if every unit beyond the list cost its price.
//!
//! Whatever prices are put on units, the wanted units' prices and, for each sheet, the most that any layout of it makes
//! beyond the prices of its units bound what can be made (Lagrangian relaxation: M. L. Fisher, *The Lagrangian relaxation
//! method for solving integer programming problems*, Management Science 27(1), 1981). The prices follow the units that are
//! made too often or too rarely, by steps after B. T. Polyak, *Minimization of unsmooth functionals*, 1969.

use std::collections::HashMap;

use rayon::prelude::*;

use super::fits::Fits;
use super::task::{Item, Sheet, Task};

/// One sheet made ready: sections of one length and pattern are ripped alike, and reckoned once.
pub(super) struct Priced {
    sheet: usize,
    pub(super) fits: Fits,
    /// Distinct lengths of items.
    pub(super) lengths: Vec<u32>,
    /// A place for every length and pattern: length by index, a step along where it is met.
    patterns: Vec<(usize, u32)>,
    /// The pattern at every step along, by length.
    at: Vec<Vec<u32>>,
    /// By start and item: the first start behind its far edge; `None` where it does not lie on the sheet.
    behind: Vec<Option<usize>>,
}

/// The best that a sheet makes at some prices.
pub(super) struct Best {
    /// From every step along to the end: the most beyond the prices.
    pub(super) beyond: Vec<f64>,
    /// Of every pattern: the most that its strips make.
    pub(super) strips: Vec<f64>,
    /// The units of each demand that it makes there.
    pub(super) units: Vec<u32>,
}

impl Priced {
    pub(super) fn new(task: &Task, sheet: usize, fits: Fits) -> Self {
        let mut lengths: Vec<u32> = task.items.iter().map(|i| i.length).collect();
        lengths.sort_unstable();
        lengths.dedup();
        let mut known: HashMap<(usize, Vec<u64>), u32> = HashMap::new();
        let mut patterns = Vec::new();
        let Sheet {
            length: whole,
            width,
            ref starts,
        } = task.sheets[sheet];
        let behind = starts.iter().flat_map(|start| {
            task.items.iter().map(move |item| {
                let end = start + item.width;
                (end <= width).then(|| starts.partition_point(|s| *s < end))
            })
        });
        let at = lengths
            .iter()
            .enumerate()
            .map(|(l, &length)| {
                let steps = (whole + 1).saturating_sub(length);
                let mut number = |at: u32| {
                    *known
                        .entry((l, fits.pattern(at, length)))
                        .or_insert_with(|| {
                            patterns.push((l, at));
                            patterns.len() as u32 - 1
                        })
                };
                (0..steps).map(&mut number).collect()
            })
            .collect();
        Self {
            sheet,
            behind: behind.collect(),
            fits,
            lengths,
            patterns,
            at,
        }
    }

    /// Of these items, those that come out of a section at a start: which, and the first start behind it.
    pub(super) fn fitting<'a>(
        &'a self,
        items: &'a [(usize, Item)],
        start: usize,
        (at, length): (u32, u32),
    ) -> impl Iterator<Item = (usize, &'a Item, usize)> {
        let next = self.fits.next(at, start);
        let behind = &self.behind[start * next.len()..][..next.len()];
        items.iter().filter_map(move |(k, item)| {
            (item.length <= length && next[*k] <= at + (length - item.length))
                .then_some(())
                .and(behind[*k])
                .map(|behind| (*k, item, behind))
        })
    }

    /// The number of the pattern of a section of the k-th length.
    pub(super) fn pattern(&self, k: usize, at: u32) -> u32 {
        self.at[k][at as usize]
    }

    /// The best layout of the sheet where an item is worth so much, the number of items free.
    pub(super) fn best(&self, task: &Task, worth: &[f64]) -> Best {
        let length = task.sheets[self.sheet].length as usize;
        let items = worthwhile(task, worth);
        let worths: Vec<(f64, Vec<usize>)> = self
            .patterns
            .par_iter()
            .with_min_len(256)
            .map(|&(l, at)| self.strips(task, worth, &items, (at, self.lengths[l])))
            .collect();
        let mut beyond = vec![0.0; length + 1];
        let mut chosen: Vec<Option<usize>> = vec![None; length + 1];
        for at in (0..length).rev() {
            beyond[at] = beyond[at + 1];
            for (l, numbers) in self.at.iter().enumerate() {
                let Some(&pattern) = numbers.get(at) else {
                    continue;
                };
                let total = worths[pattern as usize].0 + beyond[at + self.lengths[l] as usize];
                if total > beyond[at] + 1e-9 {
                    (beyond[at], chosen[at]) = (total, Some(pattern as usize));
                }
            }
        }
        let mut units = vec![0; task.demands.len()];
        let mut at = 0;
        while at < length {
            match chosen[at] {
                Some(pattern) => {
                    for &k in &worths[pattern].1 {
                        units[task.items[k].demand] += task.items[k].yields;
                    }
                    at += self.lengths[self.patterns[pattern].0] as usize;
                }
                None => at += 1,
            }
        }
        Best {
            beyond,
            strips: worths.iter().map(|w| w.0).collect(),
            units,
        }
    }

    /// The best strips of a section.
    fn strips(
        &self,
        task: &Task,
        worth: &[f64],
        items: &[(usize, Item)],
        section: (u32, u32),
    ) -> (f64, Vec<usize>) {
        let starts = &task.sheets[self.sheet].starts;
        let mut beyond = vec![0.0; starts.len() + 1];
        let mut chosen: Vec<Option<(usize, usize)>> = vec![None; starts.len() + 1];
        for start in (0..starts.len()).rev() {
            beyond[start] = beyond[start + 1];
            for (k, _, next) in self.fitting(items, start, section) {
                if worth[k] + beyond[next] > beyond[start] + 1e-9 {
                    (beyond[start], chosen[start]) = (worth[k] + beyond[next], Some((k, next)));
                }
            }
        }
        let mut items = Vec::new();
        let mut start = 0;
        while start < starts.len() {
            match chosen[start] {
                Some((k, next)) => {
                    items.push(k);
                    start = next;
                }
                None => start += 1,
            }
        }
        (beyond[0], items)
    }
}

/// What items are worth, and the best that each sheet makes of them, the number of items free.
pub(super) struct Worth {
    pub(super) items: Vec<f64>,
    pub(super) best: Vec<Best>,
}

impl Worth {
    pub(super) fn new(task: &Task, sheets: &[Priced], items: Vec<f64>) -> Self {
        let best = sheets.par_iter().map(|s| s.best(task, &items));
        Self {
            best: best.collect(),
            items,
        }
    }
}

/// The items that are worth anything, by number.
pub(super) fn worthwhile(task: &Task, worth: &[f64]) -> Vec<(usize, Item)> {
    let items = task.items.iter().copied().enumerate();
    items.filter(|(k, _)| worth[*k] > 0.0).collect()
}

/// What an item is worth beyond the prices of its units.
pub(super) fn worth(task: &Task, prices: &[f64]) -> Vec<f64> {
    let items = task.items.iter();
    items
        .map(|item| f64::from(item.yields) * (unit_area(task, item.demand) - prices[item.demand]))
        .collect()
}

/// The finished face of a unit.
pub(super) fn unit_area(task: &Task, demand: usize) -> f64 {
    let d = &task.demands[demand];
    d.area / f64::from(d.units_per_part)
}

/// Rounds of the search for prices.
pub(super) const ROUNDS: usize = 80;

/// The least bound found, and the prices that prove it; `made` is what a layout makes already. `go_on` hears the rounds done
/// and may end them.
pub(super) fn bound(
    task: &Task,
    sheets: &[Priced],
    made: f64,
    go_on: &mut dyn FnMut(usize) -> bool,
) -> (f64, Vec<f64>) {
    let wanted: f64 = task.demands.iter().map(|d| d.made(d.units)).sum();
    let mut prices = vec![0.0; task.demands.len()];
    let mut least = (wanted, prices.clone());
    let (mut stride, mut since) = (1.0, 0);
    for round in 0..ROUNDS {
        if !go_on(round) {
            break;
        }
        let worth = worth(task, &prices);
        let mut spare: Vec<f64> = task.demands.iter().map(|d| f64::from(d.units)).collect();
        let mut most: f64 = prices.iter().zip(&spare).map(|(p, u)| p * u).sum();
        let bests: Vec<Best> = sheets.par_iter().map(|s| s.best(task, &worth)).collect();
        for best in bests {
            most += best.beyond[0];
            for (spare, units) in spare.iter_mut().zip(best.units) {
                *spare -= f64::from(units);
            }
        }
        if most < least.0 * (1.0 - 1e-6) {
            least = (most, prices.clone());
            since = 0;
        } else {
            since += 1;
            if since == 6 {
                (stride, since) = (stride / 2.0, 0);
            }
        }
        // Prices that are nothing already cannot fall.
        let slope: f64 = prices
            .iter()
            .zip(&spare)
            .map(|(p, s)| if *p > 0.0 || *s < 0.0 { s * s } else { 0.0 })
            .sum();
        if slope == 0.0 || least.0 <= made * (1.0 + 1e-9) {
            break;
        }
        let step = stride * (most - made).max(1e-3 * most) / slope;
        for (d, (price, spare)) in prices.iter_mut().zip(&spare).enumerate() {
            *price = (*price - step * spare).clamp(0.0, unit_area(task, d));
        }
    }
    least
}
