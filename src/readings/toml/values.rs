//! What is wrong with a value that cannot be parsed: quotes left out, left open or ended by an inch mark.

use super::reader::read_length;
use crate::length::Unit;
use crate::readings::fault::visible;

/// What is wrong with a value that begins with a quote; `rest` is what follows it.
pub(in crate::readings) fn quoted(value: &str, rest: &str) -> Option<(&'static str, String)> {
    let quote = &value[..1];
    let inside = rest.trim_end_matches(['"', '\'']);
    if value.starts_with("\"\"\"") || value.starts_with("'''") {
        return None;
    }
    if value.contains('\\') && quote == "\"" {
        return Some((
            "a \\ between double quotes",
            format!("write '{}'", visible(inside)),
        ));
    }
    match rest.find(quote) {
        None => Some((
            "the quote is not closed",
            format!("write {quote}{}{quote}", visible(inside)),
        )),
        Some(end) if rest[end + 1..].trim().starts_with(quote) => Some((
            "an inch mark ends the quotes",
            format!("leave it out: \"{}\"", visible(inside)),
        )),
        Some(_) if quote == "'" && value.len() > 1 && value.ends_with('\'') => {
            let inside = inside.replace('"', "");
            Some((
                "a foot mark ends the quotes",
                format!("write \"{}\"", visible(&inside)),
            ))
        }
        Some(_) => None,
    }
}

/// What is wrong with a value without quotes.
pub(in crate::readings) fn bare(value: &str) -> Option<(&'static str, String)> {
    if value.starts_with(['[', '{']) {
        return None;
    }
    let lower = value.to_lowercase();
    if matches!(lower.as_str(), "true" | "false" | "yes" | "no") {
        let flag = matches!(lower.as_str(), "true" | "yes");
        return Some(("not written so", format!("write {flag}")));
    }
    if let Some(number) = value.strip_suffix('%') {
        return Some(("a percent sign", format!("write {}", number.trim())));
    }
    if is_like_a_date(value) {
        return Some((
            "not a date",
            "write year, month and day, as 2026-11-20".to_owned(),
        ));
    }
    let length = |text: &str| read_length(text, Some(Unit::Millimetre)).is_ok();
    let plain = |text: &str| {
        text.bytes()
            .all(|byte| byte.is_ascii_digit() || b".,+-".contains(&byte))
    };
    if plain(value) && length(value) {
        if value.parse::<f64>().is_ok() && !value.starts_with(['0', '.', '+']) {
            return None;
        }
        // A decimal comma, or a zero before the number.
        let point = value.replace(',', ".");
        let number = point.trim_start_matches(['0', '+']);
        let number = if number.starts_with(['.', '-']) || number.is_empty() {
            format!("0{number}")
        } else {
            number.to_owned()
        };
        if !number.contains('-') && number != value {
            return Some(("a number is not written so", format!("write {number}")));
        }
    }
    // An inch mark would end the quotes around it.
    let feet = value.contains('\'') && !value.contains("''");
    let unmarked = match value.strip_suffix('"') {
        Some(inches) if feet => inches.to_owned(),
        Some(inches) => format!("{inches} in"),
        None => value.replace("''", " in"),
    };
    if length(&unmarked) {
        return Some((
            "a length like this stands in quotes",
            format!("write \"{unmarked}\""),
        ));
    }
    if value.contains(['"', '=']) {
        return None;
    }
    Some((
        "text without quotes",
        format!("write \"{}\"", visible(value)),
    ))
}

/// Whether a value looks like a day: three numbers with the same sign between them.
fn is_like_a_date(value: &str) -> bool {
    ['.', '-', '/'].iter().any(|sign| {
        let parts: Vec<&str> = value.split(*sign).collect();
        let number =
            |part: &&str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
        parts.len() == 3 && parts.iter().all(number) && parts.iter().any(|part| part.len() == 4)
    })
}
