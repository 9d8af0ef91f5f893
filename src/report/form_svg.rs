//! The board on the measuring form, to scale, and how a straightedge is held.

use super::pen::Pen;
use super::sheet::{Anchor, Look, SMALLEST, Sheet};
use crate::flatten::{Ask, SurveyPlan};

/// The highest the board may be drawn, mm: a wide one is drawn smaller, never out of scale.
const HIGHEST: f64 = 42.0;

/// The lowest that a row of numbers asks for, mm; a board narrower than that on paper keeps its numbers outside.
const SIDE: f64 = 16.0;

/// The board to scale, end A at the left and the near edge below, with its stations and where it is read; and how high the
/// drawing is, mm.
pub(super) fn board_drawing(plan: &SurveyPlan, pen: Pen, wide: f64) -> (String, f64) {
    let outline = plan.outline;
    let scale = ((wide - 2.0 * SIDE) / outline.length).min(HIGHEST / outline.width);
    let (long, across) = (scale * outline.length, scale * outline.width);
    let left = (wide - long) / 2.0;
    let top = 10.0;
    let bottom = top + across;
    let at = |[x, y]: [f64; 2]| [left + scale * x, bottom - scale * y];
    let mut page = Sheet::new(wide);
    let corners = [
        [left, top],
        [left + long, top],
        [left + long, bottom],
        [left, bottom],
    ];
    page.path(&corners, true, 0.6, Look::Plain);
    let middle = (top + bottom) / 2.0;
    page.text([left - 2.0, middle + 1.5], 5.0, Anchor::End, "End A");
    page.text(
        [left + long + 2.0, middle + 1.5],
        5.0,
        Anchor::Start,
        "End B",
    );
    page.text([wide / 2.0, top - 5.5], 4.0, Anchor::Middle, "far edge");
    for x in &plan.stations {
        let [x0, _] = at([*x, 0.0]);
        page.line([x0, top - 2.0], [x0, top], 0.4);
        page.line([x0, bottom], [x0, bottom + 2.5], 0.4);
        let name = pen.bare_place(*x);
        page.text([x0, bottom + 6.6], 3.8, Anchor::Middle, &name);
    }
    for ask in &plan.asks {
        match *ask {
            Ask::Height(place) | Ask::Thickness(place) => page.dot(at(place), 0.9),
            Ask::Gap { from, to, .. } => page.line(at(from), at(to), 0.3),
            Ask::Sliver {
                stations: [_, x], ..
            } => {
                let [x, _] = at([x, 0.0]);
                page.line([x - 0.8, top - 1.5], [x - 0.8, bottom + 1.5], 0.8);
            }
        }
    }
    let unit = pen.0.unit().symbol();
    let told = format!("near edge; running distances from end A ({unit})");
    page.text([wide / 2.0, bottom + 11.8], 4.0, Anchor::Middle, &told);
    let high = (bottom + 14.0).ceil();
    (page.high(high).svg(), high)
}

/// A straightedge over a hollow, or on two blocks over a crown.
pub(super) fn hold_drawing(crown: bool) -> String {
    let (wide, level) = (88.0, 10.0);
    let mut page = Sheet::new(wide);
    let bend = if crown { -3.0 } else { 3.0 };
    let wood: Vec<[f64; 2]> = (0..=20)
        .map(|i| {
            let u = f64::from(i) / 10.0 - 1.0;
            [44.0 + 40.0 * u, level + bend * (1.0 - u * u)]
        })
        .collect();
    let block = if crown { 5.0 } else { 0.0 };
    page.path(&wood, false, 0.6, Look::Plain);
    page.path(
        &[
            [4.0, level - block - 3.0],
            [84.0, level - block - 3.0],
            [84.0, level - block],
            [4.0, level - block],
        ],
        true,
        0.4,
        Look::Plain,
    );
    if crown {
        for x in [4.0, 79.0] {
            let corners = [
                [x, level - block],
                [x + 5.0, level - block],
                [x + 5.0, level],
                [x, level],
            ];
            page.path(&corners, true, 0.4, Look::Hatched);
        }
    }
    page.line([44.0, level - block], [44.0, level + bend], 0.5);
    page.text(
        [46.0, level + 4.2 + bend.max(0.0)],
        SMALLEST,
        Anchor::Start,
        "gap",
    );
    page.high(level + 8.0).svg()
}
