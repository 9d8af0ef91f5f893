//! The thickness that survives, drawn against the length of the piece.

use super::sheet::{Anchor, Look, Sheet, fitted, width};

/// The page and the field between the axes, mm.
const PAGE: [f64; 2] = [297.0, 200.0];
const LEFT: f64 = 40.0;
const RIGHT: f64 = 285.0;
const TOP: f64 = 36.0;
const BOTTOM: f64 = 170.0;

/// Sizes of type, mm.
const NAME: f64 = 7.0;
const LABEL: f64 = 4.5;

/// What the curve shows; lengths in millimetres, beside them as they are written.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CurveDrawing {
    /// The board, or what stands over the drawing.
    pub title: String,
    /// By length, ascending.
    pub points: Vec<CurvePoint>,
    /// Lengths that are marked along the axis.
    pub lengths: Vec<(f64, String)>,
    /// Thicknesses that are marked along the axis.
    pub thicknesses: Vec<(f64, String)>,
    /// The thickness that is wanted.
    pub need: Option<(f64, String)>,
}

/// What survives of pieces of one length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurvePoint {
    /// Of the piece.
    pub length: f64,
    /// The median.
    pub expected: f64,
    /// What it comes out at or above in 95 of 100.
    pub low: f64,
}

/// The curve as an SVG file to print: expected with dots in a whole line, low in a broken one.
#[must_use]
pub fn curve_svg(curve: &CurveDrawing) -> String {
    let mut page = Sheet::new(PAGE[0]);
    let title = fitted(&curve.title, NAME, PAGE[0] - 24.0);
    page.text([12.0, 16.0], NAME, Anchor::Start, &title);
    let longest = curve.points.iter().map(|point| point.length);
    let longest = longest
        .chain(curve.lengths.iter().map(|l| l.0))
        .fold(1.0, f64::max);
    let thickest = curve.points.iter().map(|point| point.expected);
    let thickest = thickest
        .chain(curve.thicknesses.iter().map(|t| t.0))
        .chain(curve.need.iter().map(|need| need.0))
        .fold(1.0, f64::max);
    let at = |length: f64, thickness: f64| {
        [
            LEFT + (RIGHT - LEFT) * (length / longest).clamp(0.0, 1.0),
            BOTTOM - (BOTTOM - TOP) * (thickness / thickest).clamp(0.0, 1.0),
        ]
    };
    page.path(
        &[[LEFT, TOP], [LEFT, BOTTOM], [RIGHT, BOTTOM]],
        false,
        0.5,
        Look::Plain,
    );
    let mut free = 0.0;
    for (length, text) in &curve.lengths {
        let [x, _] = at(*length, 0.0);
        page.line([x, BOTTOM], [x, BOTTOM + 2.0], 0.4);
        let half = width(text, LABEL) / 2.0;
        if x - half >= free && x + half <= PAGE[0] {
            page.text([x, BOTTOM + 8.0], LABEL, Anchor::Middle, text);
            free = x + half + LABEL;
        }
    }
    page.text(
        [RIGHT, BOTTOM + 16.0],
        LABEL,
        Anchor::End,
        "length of the piece",
    );
    let mut free = PAGE[1];
    for (thickness, text) in &curve.thicknesses {
        let [_, y] = at(0.0, *thickness);
        page.line([LEFT - 2.0, y], [LEFT, y], 0.4);
        if y + 0.35 * LABEL <= free {
            let text = fitted(text, LABEL, LEFT - 4.0);
            page.text([LEFT - 4.0, y + 0.35 * LABEL], LABEL, Anchor::End, &text);
            free = y - LABEL;
        }
    }
    let legend = "dots: expected thickness; broken line: at least this in 95 of 100";
    page.text([12.0, 25.0], LABEL, Anchor::Start, legend);
    if let Some((need, text)) = &curve.need {
        let [_, y] = at(0.0, *need);
        page.path(
            &[[LEFT, y], [RIGHT, y]],
            false,
            0.3,
            Look::Broken([0.5, 2.0]),
        );
        let text = fitted(&format!("dotted: wanted, {text}"), LABEL, RIGHT - LEFT);
        page.text([LEFT, BOTTOM + 16.0], LABEL, Anchor::Start, &text);
    }
    let line = |of: fn(&CurvePoint) -> f64| -> Vec<[f64; 2]> {
        let points = curve.points.iter();
        points.map(|point| at(point.length, of(point))).collect()
    };
    let expected = line(|point| point.expected);
    page.path(&expected, false, 0.7, Look::Plain);
    expected.iter().for_each(|point| page.dot(*point, 1.1));
    page.path(
        &line(|point| point.low),
        false,
        0.5,
        Look::Broken([4.0, 2.0]),
    );
    page.high(PAGE[1]).svg()
}
