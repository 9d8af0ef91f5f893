//! The piece as it lies for its first cut, drawn: ends, edges, and what goes under it or comes off it.

use super::pen::Pen;
use super::sheet::{Anchor, Look, SMALLEST, Sheet, fitted, width};
use super::words::face_name;
use crate::milling::{Lay, MillPlan, Piece, Shimming};
use crate::readings::Face;

/// The drawing's width, and how high the piece is drawn, mm.
const WIDE: f64 = 186.0;
const HIGH: [f64; 2] = [24.0, 42.0];
const LABEL: f64 = 4.4;
/// Room at both sides for half of a label, and over and under the piece for two rows of them.
const SIDE: f64 = 12.0;
const ROWS: f64 = 2.6 * LABEL;
const TITLE: f64 = 1.5 * LABEL;

/// How places of the piece become the drawing's.
struct Frame {
    scale: f64,
    top: f64,
    high: f64,
    /// Seen with the down face up, turned over along its length, the near edge lies on top.
    turned: bool,
    /// Width of the piece, mm.
    across: f64,
}

impl Frame {
    fn x(&self, along: f64) -> f64 {
        SIDE + along * self.scale
    }

    fn y(&self, across: f64) -> f64 {
        let from_top = if self.turned {
            across
        } else {
            self.across - across
        };
        self.top + from_top / self.across * self.high
    }
}

/// The piece with the face that is cut first towards you.
pub(super) fn laying(pen: Pen, piece: &Piece, plan: &MillPlan) -> String {
    let outline = piece.outline;
    let scale = (WIDE - 2.0 * SIDE) / outline.length;
    let frame = Frame {
        scale,
        top: TITLE + ROWS,
        high: (outline.width * scale).clamp(HIGH[0], HIGH[1]),
        turned: plan.first == Face::Down,
        across: outline.width,
    };
    let mut page = Sheet::new(WIDE);
    let bottom = frame.top + frame.high;
    let title = match &plan.lay {
        Lay::Shims(shims) => format!(
            "{} face up. Shims under the {} face; black: it rests there.",
            capital(face_name(plan.first)),
            face_name(shims.lies_on)
        ),
        Lay::HighPlaces(_) => format!(
            "The {} face, seen from its side: what comes off, highest first.",
            face_name(plan.first)
        ),
    };
    page.text(
        [0.0, LABEL],
        LABEL,
        Anchor::Start,
        &fitted(&title, LABEL, WIDE),
    );
    let [a, b] = [frame.x(0.0), frame.x(outline.length)];
    page.path(
        &[[a, frame.top], [b, frame.top], [b, bottom], [a, bottom]],
        true,
        0.6,
        Look::Plain,
    );
    let middle = (frame.top + bottom) / 2.0 + 0.35 * LABEL;
    page.text([a - 3.0, middle], 1.4 * LABEL, Anchor::End, "A");
    page.text([b + 3.0, middle], 1.4 * LABEL, Anchor::Start, "B");
    let edges = if frame.turned {
        ["near edge", "far edge"]
    } else {
        ["far edge", "near edge"]
    };
    // Clear of the middle, where a figure may stand.
    let centre = a + (b - a) / 4.0;
    page.text(
        [centre, frame.top + LABEL * 1.2],
        LABEL,
        Anchor::Middle,
        edges[0],
    );
    page.text(
        [centre, bottom - LABEL * 0.6],
        LABEL,
        Anchor::Middle,
        edges[1],
    );
    match &plan.lay {
        Lay::Shims(shims) => draw_shims(&mut page, pen, piece, &frame, shims),
        Lay::HighPlaces(places) => {
            let mut drawn: Vec<(f64, f64, String)> = Vec::new();
            for (at, (spot, off)) in places.iter().enumerate() {
                let [x, y] = spot.on(&outline);
                let text = format!("{}: {}", at + 1, pen.off(*off));
                drawn.push((frame.x(x - outline.x0), frame.y(y - outline.y0), text));
            }
            for (x, y, text) in drawn {
                let half = (frame.top + bottom) / 2.0;
                page.dot([x, y], 1.2);
                let beside = [x, y + 0.35 * LABEL];
                let (at, anchor) = match y - half {
                    up if up < -1.0 => ([x, y - 2.2], Anchor::Middle),
                    down if down > 1.0 => ([x, y + 2.2 + 0.7 * LABEL], Anchor::Middle),
                    _ if x < a + 1.0 => ([beside[0] + 2.5, beside[1]], Anchor::Start),
                    _ if x > b - 1.0 => ([beside[0] - 2.5, beside[1]], Anchor::End),
                    _ => ([x, y + 2.2 + 0.7 * LABEL], Anchor::Middle),
                };
                page.text(at, LABEL, anchor, &text);
            }
        }
    }
    page.high((bottom + ROWS).ceil()).svg()
}

/// Shim heights over and under the supports, in two rows where they are close.
fn draw_shims(page: &mut Sheet, pen: Pen, piece: &Piece, frame: &Frame, shims: &Shimming) {
    let outline = piece.outline;
    let bare = |mm: f64| pen.bare_place(mm);
    let widest = shims
        .supports
        .iter()
        .map(|s| width(&bare(s.shim), LABEL))
        .fold(0.0, f64::max);
    let per_edge = shims.supports.len() / 2;
    let apart = (WIDE - 2.0 * SIDE) / (per_edge.max(2) - 1) as f64;
    let rows = if widest + 1.5 <= apart { 1 } else { 2 };
    // In two rows every other label is a neighbour.
    let size = (LABEL * (rows as f64 * apart / (widest + 1.5)).min(1.0)).max(0.6 * SMALLEST);
    for (at, support) in shims.supports.iter().enumerate() {
        let x = frame.x(support.station - outline.x0);
        let across = if support.far { outline.width } else { 0.0 };
        let y = frame.y(across);
        if support.bears {
            page.dot([x, y], 2.0);
        } else {
            page.path(
                &[
                    [x - 1.4, y - 1.4],
                    [x + 1.4, y - 1.4],
                    [x + 1.4, y + 1.4],
                    [x - 1.4, y + 1.4],
                ],
                true,
                0.3,
                Look::White,
            );
        }
        let row = (at / 2 % rows) as f64;
        let over = y <= frame.top + 1e-6;
        let label = if over {
            y - 2.6 - row * 1.1 * size
        } else {
            y + 2.6 + 0.75 * size + row * 1.1 * size
        };
        page.text([x, label], size, Anchor::Middle, &bare(support.shim));
    }
}

fn capital(text: &str) -> String {
    let mut signs = text.chars();
    signs.next().map_or(String::new(), |first| {
        first.to_uppercase().chain(signs).collect()
    })
}
