//! Lengths given as options.

use crate::length::{DecimalMark, Length, Notation, Unit, read};

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

/// The unit that the first of these texts names, inches for feet; nothing where none names one.
pub(super) fn named_unit(texts: &[&String]) -> Option<Unit> {
    let named = |text: &&String| {
        read(text, Some(Unit::Millimetre), DecimalMark::Point)
            .ok()?
            .unit
    };
    texts.iter().find_map(named).map(|unit| match unit {
        Unit::Foot => Unit::Inch,
        other => other,
    })
}

/// Cuts are marked to the quarter inch, or to 5 mm.
pub(super) fn cut_step(unit: Unit) -> f64 {
    match unit {
        Unit::Inch | Unit::Foot => Length::from_inches(0.25).mm(),
        Unit::Millimetre | Unit::Centimetre | Unit::Metre => 5.0,
    }
}

/// A unit by its name.
pub(super) fn unit(text: &str) -> Result<Unit, String> {
    Unit::named(text).ok_or_else(|| "give in, ft, mm, cm or m".to_owned())
}

/// A way of writing lengths by its name.
pub(super) fn notation(text: &str) -> Result<Notation, String> {
    match text {
        "64ths" => Ok(Notation::Fraction { denominator: 64 }),
        "32nds" => Ok(Notation::Fraction { denominator: 32 }),
        "16ths" => Ok(Notation::Fraction { denominator: 16 }),
        "8ths" => Ok(Notation::Fraction { denominator: 8 }),
        "decimal" => Ok(Notation::DecimalInches { places: 3 }),
        "mm" => Ok(Notation::Millimetres { places: 1 }),
        _ => Err("give 64ths, 32nds, 16ths, 8ths, decimal or mm".to_owned()),
    }
}

/// How lengths of this unit are usually written.
pub(super) fn usual_notation(unit: Option<Unit>) -> Notation {
    match unit {
        Some(Unit::Inch | Unit::Foot) => Notation::Fraction { denominator: 64 },
        _ => Notation::Millimetres { places: 1 },
    }
}
