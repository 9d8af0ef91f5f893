//! What the first lines of a large file tell of the rest, so that what is no file of readings need not be read to its end.

use super::fault::ENOUGH;
use super::{Settings, decode, heights_of, ply, probe};
use crate::length::Unit;

/// Whether a file of heights of which these are the first whole lines, as many as a scan has thousands, is refused whatever
/// follows them: reading the lines alone tells why.
#[must_use]
pub fn is_hopeless(lines: &[u8]) -> bool {
    if ply::is_ply(lines) {
        return !ply::has_header(lines);
    }
    let settings = Settings {
        unit: Some(Unit::Millimetre),
        depth: false,
    };
    match heights_of(lines, "", settings, 1) {
        Ok(heights) => heights.count() >= probe::FEWEST && heights.are_at_one_place(),
        Err(faults) => faults.faults.len() + faults.more >= ENOUGH || decode::is_no_text(lines),
    }
}
