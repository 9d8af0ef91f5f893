//! A layout of one sheet from what is still wanted: good, not proven best.

use std::collections::{BTreeMap, HashMap};
use std::rc::Rc;

use super::price::Priced;
use super::task::{Placed, Task};

/// Layouts begun that are followed at a time, at each step along.
pub(super) const BEAM: usize = 8;

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

/// Strips of a section begun, and what they are worth.
type Strips = (f64, Vec<Strip>);

/// The same, in as many layouts as begin with them.
type Shared = (f64, Rc<Vec<Strip>>);

/// Lays out a sheet with items worth so much, of `left` units at most. Sections begin behind others, or where an item comes
/// out as wanted that did not a step before: any other layout can be moved towards end A.
pub(super) fn fill(
    task: &Task,
    number: usize,
    sheet: &Priced,
    worth: &[f64],
    left: &[u32],
) -> Vec<Placed> {
    let length = task.sheets[number].length;
    let beyond = sheet.best(task, worth).beyond;
    let mut fronts: BTreeMap<u32, Vec<Begun>> = BTreeMap::new();
    let begun = Begun {
        worth: 0.0,
        hope: beyond[0],
        left: left.to_vec(),
        last: None,
    };
    fronts.insert(0, vec![begun]);
    let mut best: Option<Begun> = None;
    // Sections of one length and pattern are ripped alike, of the same units left.
    let mut known: HashMap<(u32, Vec<u32>), Option<Shared>> = HashMap::new();
    while let Some((at, mut front)) = fronts.pop_first() {
        front.sort_by(|a, b| b.hope.total_cmp(&a.hope));
        front.truncate(BEAM);
        for begun in front {
            if best.as_ref().is_some_and(|b| begun.hope <= b.worth + 1e-9) {
                continue;
            }
            if best.as_ref().is_none_or(|b| begun.worth > b.worth + 1e-9) {
                best = Some(begun.clone());
            }
            if let Some(next) = (at + 1..length).find(|x| sheet.fits.begins(*x)) {
                let hope = begun.worth + beyond[next as usize];
                fronts.entry(next).or_default().push(Begun {
                    hope,
                    ..begun.clone()
                });
            }
            for (k, &l) in sheet
                .lengths
                .iter()
                .enumerate()
                .filter(|(_, l)| at + **l <= length)
            {
                let known = known.entry((sheet.pattern(k, at), begun.left.clone()));
                let strips = known.or_insert_with(|| {
                    let found = strips(task, number, sheet, worth, &begun.left, (at, l));
                    found.map(|(gain, strips)| (gain, Rc::new(strips)))
                });
                let Some((gain, strips)) = strips.clone() else {
                    continue;
                };
                let mut next = begun.clone();
                next.worth += gain;
                next.hope = next.worth + beyond[(at + l) as usize];
                for (k, _) in strips.iter() {
                    next.left[task.items[*k].demand] -= task.items[*k].yields;
                }
                next.last = Some(Rc::new(Section {
                    at,
                    length: l,
                    strips,
                    before: next.last.take(),
                }));
                fronts.entry(at + l).or_default().push(next);
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
    placed
}

/// Good strips of a section whose longest item is as long as itself, of the units left.
fn strips(
    task: &Task,
    number: usize,
    sheet: &Priced,
    worth: &[f64],
    left: &[u32],
    (at, length): (u32, u32),
) -> Option<Strips> {
    let size = &task.sheets[number];
    let starts = &size.starts;
    let used = |way: &[(usize, usize)], demand: usize| -> u32 {
        let own = way
            .iter()
            .map(|(k, _)| &task.items[*k])
            .filter(|i| i.demand == demand);
        own.map(|i| i.yields).sum()
    };
    // By start: without and with an item as long as the section.
    let mut ways: Vec<[Option<Strips>; 2]> = vec![[None, None]; starts.len() + 1];
    ways[0][0] = Some((0.0, Vec::new()));
    for start in 0..starts.len() {
        for long in 0..2 {
            let Some((so_far, way)) = ways[start][long].take() else {
                continue;
            };
            for (k, item) in task.items.iter().enumerate() {
                let end = starts[start] + item.width;
                if worth[k] <= 0.0
                    || end > size.width
                    || sheet.fits.within(k, start, at, length).is_none()
                    || used(&way, item.demand) + item.yields > left[item.demand]
                {
                    continue;
                }
                let next = starts.partition_point(|s| *s < end);
                let place = &mut ways[next][usize::from(long == 1 || item.length == length)];
                if place
                    .as_ref()
                    .is_none_or(|p| so_far + worth[k] > p.0 + 1e-9)
                {
                    let mut way = way.clone();
                    way.push((k, start));
                    *place = Some((so_far + worth[k], way));
                }
            }
            let skipped = &mut ways[start + 1][long];
            if skipped.as_ref().is_none_or(|p| so_far > p.0 + 1e-9) {
                *skipped = Some((so_far, way));
            }
        }
    }
    ways.pop()?[1].take()
}
