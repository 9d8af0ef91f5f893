//! How a board lay in a scanner's own frame, in words.

use super::pen::Pen;
use crate::board::Lay;
use crate::flatten::{Evidence, Laid};

/// What was found, how sure it is, and what speaks against it.
pub(super) fn laid(laid: &Laid, pen: Pen) -> String {
    let lay = &laid.lay;
    let scan = scan(lay);
    let [x, y] = lay.seen([0.0, 0.0]);
    let mut told = format!(
        "{scan} was laid on the board by its edges: in its own frame end A's near corner lies at x {x:.1}, y {y:.1} mm, and the \
         length runs {}. That is sure to {} along, {} across and {:.3} degrees",
        runs(direction(lay)),
        pen.fine(lay.middle_error[0]),
        pen.fine(lay.middle_error[1]),
        lay.direction_error.to_degrees(),
    );
    if let Some(sure) = laid.sure {
        let moves = pen.fine(sure.moves);
        told += &if moves == pen.fine(0.0) {
            ", and hardly moves the expected thickness".to_owned()
        } else {
            format!(", and moves the expected thickness by {moves}")
        };
    }
    told += " (standard errors).";
    if let Some([height, along, across]) = laid.sure.and_then(|sure| sure.datum) {
        let [height, along, across] = [height, along, across].map(|mm| pen.fine(mm));
        told += &format!(
            " Its height over the first datum is sure to {height}, its lean to {along} from the middle to an end and {across} \
             to an edge."
        );
    }
    if let Some(fit) = laid.calipers {
        told += &format!(
            " {} calipers fit it to {}.",
            fit.count,
            pen.fine(fit.as_laid)
        );
    }
    if let Some(evidence) = laid.other_way {
        told += &format!(
            " But {} better if it is turned round by half a turn: check at which end it has end A (end-a-at in a board file).",
            match evidence {
                Evidence::Outline => "its outline fits that of the first scan",
                Evidence::Calipers => "the calipers fit",
            }
        );
    }
    told
}

/// From end A to end B, anticlockwise from the scanner's x, degrees from −180 to 180.
pub(super) fn direction(lay: &Lay) -> f64 {
    let degrees = lay.direction.to_degrees();
    degrees - 360.0 * (degrees / 360.0).round()
}

fn scan(lay: &Lay) -> &'static str {
    match (lay.up && lay.down, lay.down, lay.turned) {
        (true, ..) => "The scan of both faces",
        (_, true, true) => "The scan of the down face, turned over,",
        (_, true, false) => "The scan of the down face",
        (_, false, true) => "The scan of the up face, turned over,",
        (_, false, false) => "The scan of the up face",
    }
}

/// By the nearest axis.
fn runs(degrees: f64) -> String {
    let quarters = (degrees / 90.0).round();
    let off = degrees - 90.0 * quarters;
    let axis = match quarters.rem_euclid(4.0) as i32 {
        0 => "x",
        1 => "y",
        2 => "x backwards",
        _ => "y backwards",
    };
    match off {
        off if off.abs() < 0.0005 => format!("along {axis}"),
        off => format!(
            "along {axis}, turned by {:.3} degrees {}",
            off.abs(),
            if off > 0.0 {
                "anticlockwise"
            } else {
                "clockwise"
            }
        ),
    }
}
