//! From text to a length.

use super::error::{LengthError, excerpt};
use super::parse::parse;
use super::token::power_of_ten;
use super::{Length, Unit};

/// No board is longer, and no reading of one: 1 km.
pub(crate) const LONGEST_MM: f64 = 1e6;

/// Which sign stands before the decimals.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum DecimalMark {
    /// `3.5`; a comma in a number is an error.
    #[default]
    Point,
    /// `3,5`. A point is read as a decimal mark too (`3.5`, `0.125`), unless it could part thousands (`1.234`).
    Comma,
}

/// A length as it was written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Written {
    /// The length, to the nearest `f64` or the next.
    pub length: Length,
    /// One unit of the last place shown: 1/64 in for `3/64` in inches, 1/16 in for `1-3/16`, 0.1 mm for `3.2 mm`,
    /// one unit for a whole number. What was written may have been rounded by half of it.
    pub step: Length,
    /// The unit that the text itself names; inches for feet and inches.
    pub unit: Option<Unit>,
}

/// Reads a length: `37`, `0.75`, `-4.4e-16`, `3/4`, `1-3/16`, `1 3/16`, `1½`, `6' 2-1/2"`, `38 mm`, `-1/32`.
///
/// A length without a unit takes `default`. Dashes, minus signs, quotes and spaces are taken in any of their
/// typographic forms. Read as what they plainly mean: an improper fraction alone (`6/4` is 1-1/2), thirds and other
/// odd parts (`1/3`), `.75`, `5.`, `+3`, inches without their mark after feet (`6'2`, `6'-2"`), `-0` (zero). Zero and
/// lengths below zero are read; see [`read_positive`] for sizes.
///
/// A plain decimal in the default unit is read without allocating.
///
/// # Errors
///
/// A [`LengthError`] for anything that is no length, has no unit, could be read in two ways or is over 1 km.
///
/// # Example: feet and inches
///
/// ```
/// use outwind::length::{DecimalMark, read};
///
/// let written = read("6' 2-1/2\"", None, DecimalMark::Point)?;
/// assert_eq!(written.length.inches(), 74.5);
///
/// let error = read("6'13\"", None, DecimalMark::Point).unwrap_err();
/// assert!(error.to_string().ends_with("it would be 7' 1\", if that is what is meant"));
/// # Ok::<(), outwind::length::LengthError>(())
/// ```
pub fn read(text: &str, default: Option<Unit>, mark: DecimalMark) -> Result<Written, LengthError> {
    let text = text.trim();
    if let (Some(unit), Some((value, step))) = (default, plain_decimal(text, mark)) {
        return written(text, value, step, unit, None);
    }
    let (number, named) = parse(text, mark)?;
    let Some(unit) = named.or(default) else {
        return Err(LengthError::NoUnit {
            found: excerpt(text),
        });
    };
    written(text, number.value, number.step, unit, named)
}

/// Reads a size: a length as by [`read`] that must be more than zero.
///
/// # Errors
///
/// As [`read`]; and [`LengthError::Negative`] or [`LengthError::Zero`].
pub fn read_positive(
    text: &str,
    default: Option<Unit>,
    mark: DecimalMark,
) -> Result<Written, LengthError> {
    let written = read(text, default, mark)?;
    match written.length.mm() {
        mm if mm < 0.0 => Err(LengthError::Negative {
            found: excerpt(text),
        }),
        0.0 => Err(LengthError::Zero {
            found: excerpt(text),
        }),
        _ => Ok(written),
    }
}

/// The value and last place of a number written in ASCII digits, sign, the decimal mark and exponent alone; nothing
/// for any other text. This is the way of the millions of cells of a scan: no allocation.
fn plain_decimal(text: &str, mark: DecimalMark) -> Option<(f64, f64)> {
    const LONGEST: usize = 40;
    let bytes = text.as_bytes();
    if bytes.len() > LONGEST {
        return None;
    }
    let own = match mark {
        DecimalMark::Point => b'.',
        DecimalMark::Comma => b',',
    };
    let mut point = None;
    let mut exponent = None;
    for (at, byte) in bytes.iter().enumerate() {
        match byte {
            b'0'..=b'9' => {}
            b'+' | b'-' if at == 0 || exponent == Some(at - 1) => {}
            b'e' | b'E' if exponent.is_none() && at > 0 => exponent = Some(at),
            byte if *byte == own && point.is_none() && exponent.is_none() => point = Some(at),
            _ => return None,
        }
    }
    let end = exponent.unwrap_or(bytes.len());
    let places = point.map_or(0, |point| end - point - 1);
    let shift = exponent.map_or(Some(0), |at| text[at + 1..].parse::<i32>().ok())?;
    let value: f64 = match point {
        Some(point) if own != b'.' => {
            let mut with_point = [0; LONGEST];
            let with_point = &mut with_point[..bytes.len()];
            with_point.copy_from_slice(bytes);
            with_point[point] = b'.';
            std::str::from_utf8(with_point).ok()?.parse().ok()?
        }
        _ => text.parse().ok()?,
    };
    Some((
        value,
        power_of_ten(shift.saturating_sub(i32::try_from(places).ok()?)),
    ))
}

/// One unit of the last of so many decimal places.
pub(crate) fn last_place(places: usize, unit: Unit) -> Length {
    let places = i32::try_from(places).unwrap_or(i32::MAX);
    Length::in_unit(unit, power_of_ten(-places))
}

/// The result, once value, last place and unit are known.
fn written(
    text: &str,
    value: f64,
    step: f64,
    unit: Unit,
    named: Option<Unit>,
) -> Result<Written, LengthError> {
    // Adding zero turns minus zero into zero.
    let length = Length::in_unit(unit, value + 0.0);
    let step = Length::in_unit(unit, step);
    if length.abs().mm() > LONGEST_MM || step.mm() > LONGEST_MM {
        return Err(LengthError::TooLong {
            found: excerpt(text),
        });
    }
    Ok(Written {
        length,
        step,
        unit: named,
    })
}
