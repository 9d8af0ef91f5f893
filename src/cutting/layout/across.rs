//! How a section may be ripped: for every count of what it yields, the fewest rips.

use std::collections::BTreeMap;

use super::task::{Counts, Item, Sheet};

/// A way to rip a section.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Ripped {
    /// Rips of the saw.
    pub(super) rips: u32,
    /// Items with the number of their start, from the near edge.
    pub(super) items: Vec<(usize, usize)>,
}

/// Where strips are being laid: at a start, right behind the strip before, and whether an item as long as the section is
/// among them.
type Place = (usize, bool, bool);

/// For every count that a section of this length yields, the way with the fewest rips. `fits` tells whether an item comes
/// out as wanted at a start, somewhere along the section.
pub(super) fn ripped(
    sheet: &Sheet,
    items: &[Item],
    length: u32,
    counts: &Counts,
    fits: impl Fn(usize, usize) -> bool,
) -> BTreeMap<u32, Ripped> {
    let starts = &sheet.starts;
    let mut places: BTreeMap<Place, BTreeMap<u32, Ripped>> = BTreeMap::new();
    let nothing = Ripped {
        rips: 0,
        items: Vec::new(),
    };
    places.insert((0, false, false), BTreeMap::from([(0, nothing)]));
    let mut done = BTreeMap::new();
    while let Some(((start, flush, long), ways)) = places.pop_first() {
        if start == starts.len() {
            if long {
                for (count, way) in ways {
                    offer(&mut done, count, way);
                }
            }
            continue;
        }
        for (k, item) in items.iter().enumerate() {
            let end = starts[start] + item.width;
            if item.length > length || end > sheet.width || !fits(k, start) {
                continue;
            }
            let own = counts.strides[item.demand] * item.yields;
            if item.yields > counts.most(item.demand) {
                continue;
            }
            let rips = u32::from(!flush && starts[start] > 0) + u32::from(end < sheet.width);
            let next = starts.partition_point(|s| *s < end);
            let place = (
                next,
                next < starts.len() && starts[next] == end,
                long || item.length == length,
            );
            for (count, way) in &ways {
                if let Some(count) = counts.add(*count, own) {
                    let mut way = way.clone();
                    way.rips += rips;
                    way.items.push((k, start));
                    offer(places.entry(place).or_default(), count, way);
                }
            }
        }
        let skipped = places.entry((start + 1, false, long)).or_default();
        for (count, way) in ways {
            offer(skipped, count, way);
        }
    }
    done
}

/// Keeps the way with fewer rips; the former, of equals.
fn offer(ways: &mut BTreeMap<u32, Ripped>, count: u32, way: Ripped) {
    match ways.get(&count) {
        Some(kept) if kept.rips <= way.rips => {}
        _ => {
            ways.insert(count, way);
        }
    }
}
