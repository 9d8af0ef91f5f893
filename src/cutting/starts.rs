//! Where across a board pieces may begin.

use std::collections::{BTreeSet, HashMap};

use super::layout::Item;

/// Stretches across of which one place at most is tried from either edge, and evenly spaced places between.
const STRETCHES: u32 = 12;
const EVEN: u32 = 8;

/// Places across at which a piece may begin: behind up to three others from the near edge, as far before the far edge as up
/// to three take, and evenly between. Where there are many, of each stretch the one that leaves the most room.
pub(super) fn starts(width: u32, items: &[Item]) -> Vec<u32> {
    let widths: BTreeSet<u32> = items
        .iter()
        .map(|i| i.width)
        .filter(|w| *w <= width)
        .collect();
    let mut sums = BTreeSet::from([0]);
    for _ in 0..3 {
        let longer = sums.iter().flat_map(|s| widths.iter().map(move |w| s + w));
        let longer: Vec<u32> = longer.filter(|s| *s <= width).collect();
        sums.extend(longer);
    }
    let stretch = (width / STRETCHES).max(1);
    let thinned = |places: Vec<u32>| -> Vec<u32> {
        let mut last = HashMap::new();
        for place in places {
            last.insert(place / stretch, place);
        }
        last.into_values().collect()
    };
    let near = thinned(sums.iter().copied().collect());
    let far = thinned(sums.iter().map(|s| width - s).collect());
    let even = (0..EVEN).map(|k| k * width / EVEN);
    let mut all: BTreeSet<u32> = near.into_iter().chain(far).chain(even).collect();
    let least = widths.first().copied().unwrap_or(width);
    all.retain(|s| s + least <= width);
    all.into_iter().collect()
}
