//! Lengths given as options.

use crate::length::{DecimalMark, Length, Unit, read};

/// Reads an option's length; without a unit it takes `default`. What is wrong goes to `faults`.
pub(super) fn option(
    name: &str,
    text: Option<&String>,
    default: Option<Unit>,
    faults: &mut Vec<String>,
) -> Option<Length> {
    match read(text?, default, DecimalMark::Point) {
        Ok(written) => Some(written.length),
        Err(error) => {
            faults.push(format!("{name}: {error}"));
            None
        }
    }
}

/// As [`option`], of a length that must be more than nothing.
pub(super) fn positive(
    name: &str,
    text: Option<&String>,
    default: Option<Unit>,
    faults: &mut Vec<String>,
) -> Option<Length> {
    let length = option(name, text, default, faults)?;
    if length.mm() > 0.0 {
        return Some(length);
    }
    let found = text.map_or("", |t| t.as_str());
    faults.push(format!(
        "{name}: \"{found}\" is not more than nothing; give a length above zero"
    ));
    None
}
