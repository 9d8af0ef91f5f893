//! A survey in words: what to read next, and what is known so far.

use super::lines::paragraph;
use super::page::Page;
use super::pen::Pen;
use super::words::no_estimate_yet;
use crate::flatten::{Answer, Ask, SurveyPlan};
use crate::length::Notation;

/// A reading to be taken, in one line.
#[must_use]
pub fn asked(ask: &Ask, plan: &SurveyPlan, notation: Notation) -> String {
    let pen = Pen(notation);
    let station = |x: f64| {
        let end = if x <= 0.0 {
            " (end A)"
        } else if x >= plan.outline.length {
            " (end B)"
        } else {
            ""
        };
        format!("station {}{end}", pen.place(x))
    };
    let spot = |at: [f64; 2]| format!("{}, {}", station(at[0]), across(pen, plan, at));
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
        Ask::Sliver {
            stations: [from, to],
            ..
        } => format!(
            "stations {} and {}: sliver over the sticks, at the second",
            pen.bare_place(from),
            pen.place(to)
        ),
    }
}

/// Where across the board.
pub(super) fn across(pen: Pen, plan: &SurveyPlan, [x, y]: [f64; 2]) -> String {
    let [near, far] = plan.edges_at(x);
    let hair = 1e-6 * (far - near);
    if y <= near + hair {
        "near edge".to_owned()
    } else if y >= far - hair {
        "far edge".to_owned()
    } else if (y - (near + far) / 2.0).abs() <= hair {
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
