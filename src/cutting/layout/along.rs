//! One sheet, step by step along: for every count of units that can be made of it, the fewest cuts.

use std::collections::{BTreeMap, HashMap};
use std::rc::Rc;

use super::across::{Ripped, ripped};
use super::fits::Fits;
use super::task::{Chances, Counts, Placed, Prefer, Task};

/// What it takes to come so far; less is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Cost {
    /// Cuts of the saw.
    pub(super) cuts: u32,
    /// By how much the longest useful offcut falls short of the longest sheet.
    pub(super) short: u32,
}

impl Cost {
    /// Nothing cut, no offcut.
    pub(super) fn new(longest: u32) -> Self {
        Self {
            cuts: 0,
            short: longest,
        }
    }

    /// What decides, first and next.
    fn key(self, prefer: Prefer) -> [u32; 2] {
        match prefer {
            Prefer::Margin | Prefer::Cuts => [self.cuts, self.short],
            Prefer::Offcut => [self.short, self.cuts],
        }
    }
}

/// What is carried from a sheet to the next: the units made, and whether the offcut that is to be the longest is chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(super) struct End {
    pub(super) count: u32,
    pub(super) chosen: bool,
}

/// Where a search stands at a step along: after a section, or behind wood left over.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct State {
    end: End,
    gap: bool,
}

/// How a state was reached: from which, and by what cuts.
#[derive(Debug, Clone)]
struct Reached {
    cost: Cost,
    from: u32,
    before: State,
    section: Option<Rc<Ripped>>,
}

/// The search along one sheet.
pub(super) struct Along<'a> {
    task: &'a Task,
    counts: &'a Counts,
    sheet: usize,
    fits: Fits,
    lengths: Vec<u32>,
    columns: Vec<BTreeMap<State, Reached>>,
}

type Options = Rc<Vec<(u32, Rc<Ripped>)>>;

impl<'a> Along<'a> {
    pub(super) fn new(
        task: &'a Task,
        counts: &'a Counts,
        chances: &mut dyn Chances,
        sheet: usize,
        rung: u8,
    ) -> Self {
        let mut lengths: Vec<u32> = task.items.iter().map(|i| i.length).collect();
        lengths.sort_unstable();
        lengths.dedup();
        Self {
            task,
            counts,
            sheet,
            fits: Fits::new(task, chances, sheet, rung),
            lengths,
            columns: Vec::new(),
        }
    }

    /// Goes on from every end of the sheet before; the best of every end of this one.
    pub(super) fn search(&mut self, starts: &[(End, Cost)], longest: u32) -> Vec<(End, Cost)> {
        let length = self.task.sheets[self.sheet].length;
        let mut columns: Vec<BTreeMap<State, Reached>> = vec![BTreeMap::new(); length as usize + 1];
        for &(end, cost) in starts {
            let state = State { end, gap: false };
            let reached = Reached {
                cost,
                from: 0,
                before: state,
                section: None,
            };
            columns[0].insert(state, reached);
        }
        let prefer = self.task.prefer;
        let less = |a: Cost, b: Cost| a.key(prefer) < b.key(prefer);
        let mut known: HashMap<(u32, Vec<u64>), Options> = HashMap::new();
        for at in 0..length {
            let here = std::mem::take(&mut columns[at as usize]);
            let sections: Vec<(u32, Options)> = self
                .lengths
                .iter()
                .filter(|l| at + **l <= length)
                .map(|&l| {
                    let pattern = self.fits.pattern(at, l);
                    let options = known.entry((l, pattern));
                    (l, options.or_insert_with(|| self.options(at, l)).clone())
                })
                .collect();
            for (&state, reached) in &here {
                let mut go = |to: u32, next: State, cost: Cost, section: Option<Rc<Ripped>>| {
                    let column = &mut columns[to as usize];
                    if column.get(&next).is_none_or(|kept| less(cost, kept.cost)) {
                        let reached = Reached {
                            cost,
                            from: at,
                            before: state,
                            section,
                        };
                        column.insert(next, reached);
                    }
                };
                let cost = reached.cost;
                let left_over = |chosen: bool| State {
                    end: End {
                        chosen,
                        ..state.end
                    },
                    gap: true,
                };
                go(at + 1, left_over(state.end.chosen), cost, None);
                if !state.gap && !state.end.chosen {
                    for offcut in self.task.useful.max(1)..=length - at {
                        let short = longest - offcut;
                        go(at + offcut, left_over(true), Cost { short, ..cost }, None);
                    }
                }
                for (l, options) in &sections {
                    let crosscuts = u32::from(state.gap && at > 0) + u32::from(at + l < length);
                    for (yields, ripped) in options.iter() {
                        if let Some(count) = self.counts.add(state.end.count, *yields) {
                            let next = State {
                                end: End { count, ..state.end },
                                gap: false,
                            };
                            let cuts = cost.cuts + crosscuts + ripped.rips;
                            go(at + l, next, Cost { cuts, ..cost }, Some(ripped.clone()));
                        }
                    }
                }
            }
            columns[at as usize] = here;
        }
        let mut ends: BTreeMap<End, Cost> = BTreeMap::new();
        for (state, reached) in &columns[length as usize] {
            let kept = ends.entry(state.end).or_insert(reached.cost);
            if less(reached.cost, *kept) {
                *kept = reached.cost;
            }
        }
        self.columns = columns;
        ends.into_iter().collect()
    }

    /// What a section may be ripped into.
    fn options(&self, at: u32, length: u32) -> Options {
        let fits = |item: usize, start: usize| self.fits.within(item, start, at, length).is_some();
        let sheet = &self.task.sheets[self.sheet];
        let ways = ripped(sheet, &self.task.items, length, self.counts, fits);
        Rc::new(ways.into_iter().map(|(k, r)| (k, Rc::new(r))).collect())
    }

    /// Puts down what was cut on the way to an end, and tells the end of the sheet before.
    pub(super) fn trace(&self, end: End, placed: &mut Vec<Placed>) -> End {
        let sheet = &self.task.sheets[self.sheet];
        let mut at = sheet.length;
        let reached = |gap: bool| {
            let state = State { end, gap };
            let cost = self.columns[at as usize].get(&state)?.cost;
            Some((cost.key(self.task.prefer), state))
        };
        let best = [false, true].into_iter().filter_map(reached).min();
        let mut state = best.map_or(State { end, gap: false }, |b| b.1);
        while at > 0 {
            let Reached {
                from,
                before,
                section,
                ..
            } = &self.columns[at as usize][&state];
            for &(item, start) in section.iter().flat_map(|s| &s.items) {
                let section = (*from, at - from);
                // It fits somewhere along the section, else it had not been laid there.
                let place = self.fits.within(item, start, section.0, section.1);
                placed.push(Placed {
                    sheet: self.sheet,
                    section,
                    near: sheet.starts[start],
                    from: place.unwrap_or(section.0),
                    item,
                });
            }
            (at, state) = (*from, *before);
        }
        state.end
    }
}
