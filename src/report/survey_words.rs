//! A survey in words: what to read next, and what is known so far.

use super::lines::paragraph;
use super::page::Page;
use super::pen::Pen;
use super::words::no_estimate_yet;
use crate::board::Outline;
use crate::flatten::{Answer, Ask};
use crate::length::Notation;

/// A reading to be taken, in one line.
#[must_use]
pub fn asked(ask: &Ask, outline: &Outline, notation: Notation) -> String {
    let pen = Pen(notation);
    let station = |x: f64| {
        let end = if x <= 0.0 {
            " (end A)"
        } else if x >= outline.length {
            " (end B)"
        } else {
            ""
        };
        format!("station {}{end}", pen.place(x))
    };
    let spot = |[x, y]: [f64; 2]| format!("{}, {}", station(x), across(pen, outline, y));
    match *ask {
        Ask::Height(at) => format!("{}: height", spot(at)),
        Ask::Thickness(at) => format!("{}: thickness by caliper", spot(at)),
        Ask::Gap { from, to, at } if from[0] == to[0] => {
            format!(
                "{}: gap under the straightedge across, in the middle",
                station(at[0])
            )
        }
        Ask::Gap { at, .. } => format!(
            "{}, middle: gap under the straightedge from end to end",
            station(at[0])
        ),
        Ask::Sliver([from, to]) => format!(
            "stations {} and {}: sliver over the sticks, at the second",
            pen.bare_place(from),
            pen.place(to)
        ),
    }
}

/// Where across the board.
pub(super) fn across(pen: Pen, outline: &Outline, y: f64) -> String {
    let hair = 1e-6 * outline.width;
    if y <= hair {
        "near edge".to_owned()
    } else if (y - outline.width).abs() <= hair {
        "far edge".to_owned()
    } else if (y - outline.width / 2.0).abs() <= hair {
        "middle".to_owned()
    } else {
        format!("position {}", pen.place(y))
    }
}

/// What is expected of a board so far, in one paragraph.
#[must_use]
pub fn running(answer: &Answer, notation: Notation) -> String {
    let page = Page::new(answer, None, notation);
    match &answer.expectation {
        Ok(expectation) => page.expected(expectation),
        Err(reason) => paragraph(&no_estimate_yet(reason)),
    }
}
