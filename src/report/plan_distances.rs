//! The running distances under a board of the cut plan.

use super::plan_svg::{Frame, LABEL, LEADING, MARGIN, PAGE, REMARK, ROOM};
use super::sheet::{Anchor, SMALLEST, Sheet, fitted, width};

/// Draws the running distances under a board, moved apart where they are close, and gives where they end.
pub(super) fn draw_distances(page: &mut Sheet, frame: &Frame, distances: &[(f64, String)]) -> f64 {
    let mut placed: Vec<(f64, &str)> = distances
        .iter()
        .map(|(x, text)| (frame.at([*x, 0.0])[0], text.as_str()))
        .collect();
    placed.sort_by(|a, b| a.0.total_cmp(&b.0));
    let Some(size) = [LABEL, REMARK, SMALLEST].into_iter().find(|size| {
        let whole: f64 = placed
            .iter()
            .map(|(_, text)| width(text, *size) + size)
            .sum();
        whole <= ROOM
    }) else {
        return list_distances(page, frame, &placed);
    };
    if placed.is_empty() {
        return frame.bottom;
    }
    let widths: Vec<f64> = placed
        .iter()
        .map(|(_, text)| width(text, size) + size)
        .collect();
    let mut at: Vec<f64> = placed.iter().map(|(x, _)| *x).collect();
    let mut free = MARGIN;
    for (x, width) in at.iter_mut().zip(&widths) {
        *x = x.max(free + width / 2.0);
        free = *x + width / 2.0;
    }
    let mut free = PAGE - MARGIN;
    for (x, width) in at.iter_mut().zip(&widths).rev() {
        *x = x.min(free - width / 2.0);
        free = *x - width / 2.0;
    }
    let y = frame.bottom + 6.0 + size;
    for ((x, text), at) in placed.iter().zip(at) {
        page.line([*x, frame.bottom], [*x, frame.bottom + 2.0], 0.25);
        page.line([*x, frame.bottom + 2.0], [at, frame.bottom + 5.0], 0.25);
        page.text([at, y], size, Anchor::Middle, text);
    }
    y
}

/// So many distances that they stand in no row: one after the other.
fn list_distances(page: &mut Sheet, frame: &Frame, placed: &[(f64, &str)]) -> f64 {
    for (x, _) in placed {
        page.line([*x, frame.bottom], [*x, frame.bottom + 2.0], 0.25);
    }
    let mut y = frame.bottom + 4.0;
    let mut line = String::from("from end A:");
    for (_, text) in placed {
        let longer = format!("{line} {text};");
        if width(&longer, REMARK) > ROOM {
            y += REMARK * LEADING;
            page.text(
                [MARGIN, y],
                REMARK,
                Anchor::Start,
                &fitted(&line, REMARK, ROOM),
            );
            line = format!("{text};");
        } else {
            line = longer;
        }
    }
    y += REMARK * LEADING;
    page.text(
        [MARGIN, y],
        REMARK,
        Anchor::Start,
        &fitted(line.trim_end_matches(';'), REMARK, ROOM),
    );
    y
}
