//! Numbers and texts as a board file holds them, exact: what is written reads back the same.

use crate::length::{Length, Notation, Rounding, Unit};
use crate::readings::toml::reader::read_length;

/// The finest fraction of an inch that is written as one.
const FINEST: Notation = Notation::Fraction { denominator: 128 };

/// A length as a cell of a table, in `unit` where that can be exact, else with its own.
pub(super) fn cell(mm: f64, unit: Option<Unit>) -> String {
    let Some(unit) = unit else {
        return format!("{mm} mm");
    };
    let reads = |text: &str| {
        let read = read_length(text, Some(unit));
        read.is_ok_and(|written| written.length.mm().to_bits() == (mm + 0.0).to_bits())
    };
    let fraction = match unit {
        Unit::Inch => FINEST.number(Length::from_mm(mm), Rounding::Nearest),
        _ => String::new(),
    };
    let near = mm / unit.mm();
    let decimals = [near, near.next_up(), near.next_down()].map(|number| number.to_string());
    // Feet in whole numbers are not always as many inches to the last bit.
    let feet = format!("{}'", (mm / Unit::Foot.mm()).round());
    std::iter::once(fraction)
        .chain(
            decimals
                .iter()
                .take(1)
                .filter(|text| text.len() < 12)
                .cloned(),
        )
        .chain([feet])
        .chain(decimals.iter().cloned())
        .find(|text| reads(text))
        .unwrap_or_else(|| format!("{mm} mm"))
}

/// A length as a value: bare where it is a plain number, else in quotes.
pub(super) fn value(mm: f64, unit: Option<Unit>) -> String {
    bare_or_quoted(cell(mm, unit))
}

/// A number alone as it is, anything else in quotes.
fn bare_or_quoted(text: String) -> String {
    if text
        .bytes()
        .all(|byte| byte.is_ascii_digit() || b".-".contains(&byte))
        && text.parse::<f64>().is_ok()
    {
        text
    } else {
        format!("\"{text}\"")
    }
}

/// The finest last place that lengths written so show, mm.
pub(super) fn step(mm: f64, unit: Option<Unit>) -> f64 {
    read_length(&cell(mm, unit), unit).map_or(f64::INFINITY, |written| written.step.mm())
}

/// A text in quotes, on one line.
pub(super) fn words(text: &str) -> String {
    toml_edit::Value::from(text.replace('\n', " "))
        .to_string()
        .trim()
        .to_owned()
}
