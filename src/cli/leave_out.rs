//! Readings that are left out, by their place.

use crate::board::Board;
use crate::length::{DecimalMark, Length, Notation, Rounding, Unit, read};

/// A reading this near to a place stands there, mm: less than any two stations are apart.
const SAME_PLACE: f64 = 0.5;

/// Leaves out what was read at a place, or says what stands near it.
pub(super) fn leave_out(
    board: &mut Board,
    place: &str,
    unit: Option<Unit>,
    notation: Notation,
) -> Result<(), String> {
    let [x, y] = place.split([',', ';']).collect::<Vec<_>>()[..] else {
        return Err(format!(
            "--without: \"{place}\" is not a place; give a station and a position with a comma between, such as \
             \"36, 7-1/2\""
        ));
    };
    let read = |text: &str| {
        read(text.trim(), unit, DecimalMark::Point)
            .map(|w| w.length.mm())
            .map_err(|error| format!("--without: {error}"))
    };
    let (x, y) = (read(x)?, read(y)?);
    let nearest = board
        .up
        .iter()
        .min_by(|a, b| {
            let away = |p: &[f64; 3]| (p[0] - x).hypot(p[1] - y);
            away(a).total_cmp(&away(b))
        })
        .copied();
    if board.leave_out(x, y, SAME_PLACE) > 0 {
        return Ok(());
    }
    let write = |mm: f64| notation.write(Length::from_mm(mm), Rounding::Nearest);
    let hint = nearest.map_or(String::new(), |p| {
        format!(
            "; the nearest reading is at station {}, position {}",
            write(p[0]),
            write(p[1])
        )
    });
    Err(format!(
        "--without: nothing was read at station {}, position {}{hint}",
        write(x),
        write(y)
    ))
}
