//! Parts that boards do not make, and why.

use super::buy::Buy;
use super::layout::Task;
use super::plan::PlanQuestion;
use super::stock::Stock;
use super::wanted::Rough;

/// Parts that boards do not make.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Short {
    /// The part, by index.
    pub part: usize,
    /// How many are missing.
    pub count: u32,
    /// Why.
    pub why: WhyShort,
    /// What board would make them.
    pub buy: Buy,
}

/// Why a part is short.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WhyShort {
    /// Its rough piece is this long, mm: longer than every board between its trimmed ends.
    TooLong(f64),
    /// Its rough piece is this wide, mm: wider than every board.
    TooWide(f64),
    /// It reaches its thickness often enough nowhere clear of edges and places to avoid.
    Nowhere,
    /// It has places, but other parts take them, or it is as many as there is room for.
    NoRoom,
    /// The search was stopped before that was known.
    Stopped,
}

/// The parts that are not made, each with the first reason that holds for every rough piece which could make it.
pub(super) fn short(
    stock: &mut Stock<'_>,
    task: &Task,
    PlanQuestion {
        wanted, allowances, ..
    }: &PlanQuestion,
    made: &[u32],
    stopped: bool,
) -> Vec<Short> {
    let mut short = Vec::new();
    for (part, (want, made)) in wanted.iter().zip(made).enumerate() {
        if *made >= want.count {
            continue;
        }
        let own: Vec<usize> = (0..task.items.len())
            .filter(|k| task.items[*k].demand == part)
            .collect();
        let long = |k: &usize| task.sheets.iter().all(|s| s.length < task.items[*k].length);
        let wide = |k: &usize| task.sheets.iter().all(|s| s.width < task.items[*k].width);
        let least = |size: fn(&Rough) -> f64| {
            own.iter()
                .map(|k| size(&stock.roughs[*k]))
                .fold(f64::INFINITY, f64::min)
        };
        let why = if own.iter().all(long) {
            WhyShort::TooLong(least(|r| r.length))
        } else if own.iter().all(wide) {
            WhyShort::TooWide(least(|r| r.width))
        } else if stopped {
            WhyShort::Stopped
        } else if own.iter().all(|k| !stock.anywhere(*k)) {
            WhyShort::Nowhere
        } else {
            WhyShort::NoRoom
        };
        let count = want.count - made;
        let lost = if stopped {
            Vec::new()
        } else {
            stock.lost(own[0])
        };
        short.push(Short {
            part,
            count,
            why,
            buy: Buy::new(want, count, allowances, &lost),
        });
    }
    short
}
