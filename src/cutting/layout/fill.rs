//! A layout of one sheet from what is still wanted: good, not proven best.

use std::collections::{BTreeMap, HashMap};
use std::rc::Rc;

use super::price::{Best, Priced, worthwhile};
use super::task::{Item, Placed, Task};

/// Layouts begun that are followed at a time, at each step along.
const BEAM: usize = 8;

/// A layout begun.
#[derive(Clone)]
struct Begun {
    worth: f64,
    /// With the most that the rest of the sheet could add.
    hope: f64,
    left: Vec<u32>,
    last: Option<Rc<Section>>,
}

/// A section, behind those before it: many layouts begin alike.
struct Section {
    at: u32,
    length: u32,
    strips: Rc<Vec<Strip>>,
    before: Option<Rc<Section>>,
}

/// An item and its start.
type Strip = (usize, usize);

/// Strips of a section and what they are worth, in as many layouts as have them.
type Strips = (f64, Rc<Vec<Strip>>);

/// Layouts begun that end at a step along, the most hopeful first, no more than are followed.
#[derive(Default)]
struct Front(Vec<Begun>);

impl Front {
    /// Whether one of so much hope would be followed.
    fn follows(&self, hope: f64) -> bool {
        self.0.get(BEAM - 1).is_none_or(|last| last.hope < hope)
    }

    fn add(&mut self, begun: Begun) {
        if self.follows(begun.hope) {
            let place = self.0.partition_point(|b| b.hope >= begun.hope);
            self.0.insert(place, begun);
            self.0.truncate(BEAM);
        }
    }
}

/// A sheet laid out.
pub(super) struct Filled {
    pub(super) placed: Vec<Placed>,
    /// Sections that were ripped on the way.
    pub(super) ripped: usize,
}

/// Lays out a sheet with items worth so much, of `left` units at most; `free` is the best that it makes of them, their number
/// free. Sections begin behind others, or where an item comes out as wanted that did not a step before: any other layout
/// can be moved towards end A.
pub(super) fn fill(
    task: &Task,
    number: usize,
    sheet: &Priced,
    worth: &[f64],
    free: &Best,
    left: &[u32],
) -> Filled {
    let length = task.sheets[number].length;
    let mut fronts: BTreeMap<u32, Front> = BTreeMap::new();
    fronts.entry(0).or_default().add(Begun {
        worth: 0.0,
        hope: free.beyond[0],
        left: left.to_vec(),
        last: None,
    });
    let mut best: Option<Begun> = None;
    // Sections of one length and pattern are ripped alike, of the same units left.
    let mut known: HashMap<(u32, Vec<u32>), Option<Strips>> = HashMap::new();
    while let Some((at, Front(front))) = fronts.pop_first() {
        for begun in front {
            let least = best.as_ref().map_or(f64::NEG_INFINITY, |b| b.worth + 1e-9);
            if begun.hope <= least {
                continue;
            }
            if begun.worth > least {
                best = Some(begun.clone());
            }
            if let Some(next) = (at + 1..length).find(|x| sheet.fits.begins(*x)) {
                let hope = begun.worth + free.beyond[next as usize];
                fronts.entry(next).or_default().add(Begun {
                    hope,
                    ..begun.clone()
                });
            }
            for (k, &l) in sheet.lengths.iter().enumerate() {
                let end = at + l;
                if end > length {
                    break;
                }
                let pattern = sheet.pattern(k, at);
                let beyond = free.beyond[end as usize];
                let hope = begun.worth + free.strips[pattern as usize] + beyond;
                if hope <= least || fronts.get(&end).is_some_and(|f| !f.follows(hope)) {
                    continue;
                }
                let strips = known
                    .entry((pattern, begun.left.clone()))
                    .or_insert_with(|| strips(task, number, sheet, worth, &begun.left, (at, l)));
                let Some((gain, strips)) = strips.clone() else {
                    continue;
                };
                let mut next = begun.clone();
                next.worth += gain;
                next.hope = next.worth + beyond;
                for (k, _) in strips.iter() {
                    next.left[task.items[*k].demand] -= task.items[*k].yields;
                }
                next.last = Some(Rc::new(Section {
                    at,
                    length: l,
                    strips,
                    before: next.last.take(),
                }));
                fronts.entry(end).or_default().add(next);
            }
        }
    }
    let last = best.and_then(|begun| begun.last);
    let sections = std::iter::successors(last.as_deref(), |section| section.before.as_deref());
    let mut placed = Vec::new();
    for section in sections {
        let (at, length) = (section.at, section.length);
        for &(item, start) in section.strips.iter() {
            let from = sheet.fits.within(item, start, at, length).unwrap_or(at);
            placed.push(Placed {
                sheet: number,
                section: (at, length),
                near: task.sheets[number].starts[start],
                from,
                item,
            });
        }
    }
    Filled {
        placed,
        ripped: known.len(),
    }
}

/// Where the strips of a section begun end: at a start, and whether an item as long as the section is among them.
type Place = (usize, bool);

/// The best way to a place: what it is worth, and by which item from which place.
type Way = (f64, Option<(usize, Place)>);

/// Good strips of a section whose longest item is as long as itself, of the units left.
fn strips(
    task: &Task,
    number: usize,
    sheet: &Priced,
    worth: &[f64],
    left: &[u32],
    section: (u32, u32),
) -> Option<Strips> {
    let items: Vec<(usize, Item)> = worthwhile(task, worth)
        .into_iter()
        .filter(|(_, i)| i.yields <= left[i.demand])
        .collect();
    let length = section.1;
    if items.iter().all(|(_, i)| i.length != length) {
        return None;
    }
    let starts = task.sheets[number].starts.len();
    let mut ways: Vec<[Option<Way>; 2]> = vec![[None, None]; starts + 1];
    ways[0][0] = Some((0.0, None));
    // The items of the best way to a place, from the last.
    let back = |ways: &[[Option<Way>; 2]], mut place: Place| {
        let mut way = Vec::new();
        while let Some((_, Some((k, before)))) = ways[place.0][usize::from(place.1)] {
            way.push((k, before.0));
            place = before;
        }
        way
    };
    for start in 0..starts {
        for long in [false, true] {
            let Some((so_far, last)) = ways[start][usize::from(long)] else {
                continue;
            };
            // Wood left over is no strip: what is skipped keeps the last strip's place.
            let before = back(&ways, (start, long));
            let used = |demand: usize| -> u32 {
                let own = before.iter().map(|(k, _)| &task.items[*k]);
                own.filter(|i| i.demand == demand).map(|i| i.yields).sum()
            };
            for (k, item, next) in sheet.fitting(&items, start, section) {
                let place = &mut ways[next][usize::from(long || item.length == length)];
                let total = so_far + worth[k];
                if place.is_none_or(|(best, _)| total > best + 1e-9)
                    && used(item.demand) + item.yields <= left[item.demand]
                {
                    *place = Some((total, Some((k, (start, long)))));
                }
            }
            let skipped = &mut ways[start + 1][usize::from(long)];
            if skipped.is_none_or(|(best, _)| so_far > best + 1e-9) {
                *skipped = Some((so_far, last));
            }
        }
    }
    let (gain, _) = ways[starts][1]?;
    Some((gain, Rc::new(back(&ways, (starts, true)))))
}
