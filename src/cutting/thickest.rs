//! The other way round: how thick all parts of a list can be.

use super::plan::{Plan, PlanQuestion};
use super::stock::Stocked;
use super::watch::Watch;

/// The largest of some thicknesses, ascending, at which boards make every part of the list, and the plan for it; `None`
/// where they do at none, or where it was stopped before one was found.
#[must_use]
pub fn thickest(
    boards: &[Stocked],
    question: &PlanQuestion,
    sizes: &[f64],
    watch: &mut dyn Watch,
) -> Option<(f64, Plan)> {
    let (mut best, mut low, mut high) = (None, 0, sizes.len());
    while low < high {
        let middle = low.midpoint(high);
        let mut question = question.clone();
        for part in &mut question.wanted {
            part.thickness = sizes[middle];
        }
        let plan = Plan::watched(boards, question, watch);
        let stopped = plan.stopped;
        if plan.short.is_empty() {
            (best, low) = (Some((sizes[middle], plan)), middle + 1);
        } else {
            high = middle;
        }
        if stopped {
            // A larger one may do.
            if let Some((_, plan)) = &mut best {
                plan.stopped = true;
            }
            break;
        }
    }
    best
}
