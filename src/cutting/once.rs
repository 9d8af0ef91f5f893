//! Whether one crosscut before flattening pays: asked of every board that is flattened, so it must be quick.

use super::evidence::Evidence;
use super::first::CutQuestion;
use super::pieces::Pieces;
use super::uneven::Lengths;
use super::ways::{Way, WayKind, equal_lengths, long_enough, trimmed};
use crate::flatten::Expectation;
use crate::surface::Known;

/// The few draws to choose by may refuse what the many to state by grant: they are asked with so much less certainty
/// (they tell a chance of 90 in 100 to two hundredths).
const BENEFIT: f64 = 0.05;

/// A crosscut after which both pieces come out thicker than the whole board, by the rule of [`CutFirst`](super::CutFirst).
#[derive(Debug, Clone, PartialEq)]
pub struct CutOnce {
    /// The side of the kerf nearer end A, from end A, mm.
    pub at: f64,
    /// The thickness that both pieces reach: the one that is needed, else the largest usual one, mm.
    pub size: f64,
    /// The probability that both do, 0 to 1.
    pub chance: f64,
    /// The largest usual thickness that the whole board reaches as surely, mm, and its probability.
    pub whole: Option<(f64, f64)>,
}

impl CutOnce {
    /// Looks for one where the whole board does not make `need`, or the next usual thickness where nothing is needed. `None`
    /// where no single crosscut makes it, and where a reading is doubted: then that is to be read again first.
    #[must_use]
    pub fn new(
        known: &Known,
        whole: &Expectation,
        need: Option<f64>,
        question: &CutQuestion,
    ) -> Option<Self> {
        let CutQuestion {
            allowances,
            movement,
            shortfall,
            step,
            certainty,
            sizes,
        } = question;
        let makes = sizes.partition_point(|size| whole.chance(*size) >= *certainty);
        let wanted = match need {
            Some(need) if whole.chance(need) >= *certainty => return None,
            Some(need) => need,
            None => *sizes.get(makes)?,
        };
        if !whole.doubted.is_empty() {
            return None;
        }
        let choosing = Evidence::to_choose_by(&known.estimate, *movement).short_by(*shortfall);
        let board = trimmed(&choosing.whole(), allowances);
        if !long_enough(&board, 2, allowances) {
            return None;
        }
        let mut choosing = Pieces::new(&choosing);
        let two = Lengths {
            board,
            n: 2,
            allowances,
            step: *step,
            certainty: *certainty,
        };
        let lenient = Lengths {
            certainty: certainty - BENEFIT,
            ..two
        };
        lenient.cover(&mut choosing, wanted)?;
        let uneven = two.thickest(&mut choosing)?;
        let stating = Evidence::to_state_by(&known.estimate, *movement).short_by(*shortfall);
        let stated = &mut Pieces::new(&stating);
        let size = |way: &Way| match need {
            Some(need) => (way.chance(need) >= *certainty).then_some(need),
            None => way.size(sizes, *certainty).filter(|s| *s >= wanted),
        };
        let halves = equal_lengths(&board, 2, allowances);
        let (size, way) = [(WayKind::Lengths(2), halves), (WayKind::Uneven(2), uneven)]
            .into_iter()
            .map(|(kind, windows)| Way::crosscut(kind, windows, stated))
            .filter_map(|way| Some((size(&way)?, way)))
            // Of equals halves.
            .reduce(|a, b| {
                let thicker = b.0.total_cmp(&a.0);
                let surer = b.1.chance(b.0).total_cmp(&a.1.chance(a.0));
                if thicker.then(surer).is_gt() { b } else { a }
            })?;
        Some(Self {
            at: way.cuts[0].at - stating.whole().from,
            size,
            chance: way.chance(size),
            whole: makes
                .checked_sub(1)
                .map(|k| (sizes[k], whole.chance(sizes[k]))),
        })
    }
}
