//! A length's text cut into numbers, fractions, strokes, dashes and units, whatever characters they came in.

use super::error::{LengthError, excerpt};
use super::read::DecimalMark;
use super::unit::{Unit, straight_quote};

/// One piece of a length.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Token {
    Number(Number),
    /// A single character such as `½`: numerator and denominator.
    Vulgar(f64, f64),
    Stroke,
    Dash,
    Plus,
    Unit(Unit),
    Word(String),
    Other(char),
}

/// Digits, with or without decimals and exponent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Number {
    pub(super) value: f64,
    /// One unit of its last place.
    pub(super) step: f64,
    /// Whether it is written in digits alone.
    pub(super) whole: bool,
}

/// A token, and whether space stands before it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Spaced {
    pub(super) token: Token,
    pub(super) space: bool,
}

/// The pieces of `text`; an error only for a number whose marks cannot be understood.
pub(super) fn tokens(text: &str, mark: DecimalMark) -> Result<Vec<Spaced>, LengthError> {
    let mut tokens = Vec::new();
    let mut rest = text;
    let mut space = false;
    while let Some(first) = rest.chars().next() {
        let after = &rest[first.len_utf8()..];
        if is_space(first) {
            space = true;
            rest = after;
            continue;
        }
        let token;
        (token, rest) = if first.is_ascii_digit()
            || (is_mark(first) && after.starts_with(|c: char| c.is_ascii_digit()))
        {
            number(rest, text, mark)?
        } else if let Some(quote) = straight_quote(first) {
            let twice =
                after.strip_prefix(|next| quote == '\'' && straight_quote(next) == Some('\''));
            match (quote, twice) {
                ('\'', None) => (Token::Unit(Unit::Foot), after),
                (_, twice) => (Token::Unit(Unit::Inch), twice.unwrap_or(after)),
            }
        } else if first.is_alphabetic() {
            let end = rest
                .find(|sign: char| !sign.is_alphabetic())
                .unwrap_or(rest.len());
            let (word, after) = rest.split_at(end);
            match Unit::named(word) {
                Some(unit) => (Token::Unit(unit), after.strip_prefix('.').unwrap_or(after)),
                None => (Token::Word(word.to_owned()), after),
            }
        } else {
            (sign(first), after)
        };
        tokens.push(Spaced { token, space });
        space = false;
    }
    Ok(tokens)
}

/// A token of one character.
fn sign(sign: char) -> Token {
    match sign {
        '/' | '⁄' | '∕' => Token::Stroke,
        '+' => Token::Plus,
        _ if is_dash(sign) => Token::Dash,
        _ => vulgar_fraction(sign).map_or(Token::Other(sign), |(top, bottom)| {
            Token::Vulgar(top, bottom)
        }),
    }
}

/// Unicode's single-character fractions.
fn vulgar_fraction(sign: char) -> Option<(f64, f64)> {
    Some(match sign {
        '½' => (1.0, 2.0),
        '⅓' => (1.0, 3.0),
        '⅔' => (2.0, 3.0),
        '¼' => (1.0, 4.0),
        '¾' => (3.0, 4.0),
        '⅕' => (1.0, 5.0),
        '⅖' => (2.0, 5.0),
        '⅗' => (3.0, 5.0),
        '⅘' => (4.0, 5.0),
        '⅙' => (1.0, 6.0),
        '⅚' => (5.0, 6.0),
        '⅐' => (1.0, 7.0),
        '⅛' => (1.0, 8.0),
        '⅜' => (3.0, 8.0),
        '⅝' => (5.0, 8.0),
        '⅞' => (7.0, 8.0),
        '⅑' => (1.0, 9.0),
        '⅒' => (1.0, 10.0),
        _ => return None,
    })
}

/// Any space, the non-breaking and thin ones included, and the marks without width that word processors leave.
fn is_space(sign: char) -> bool {
    sign.is_whitespace() || matches!(sign, '\u{200B}' | '\u{2060}' | '\u{FEFF}')
}

/// Hyphens, dashes and minus signs.
fn is_dash(sign: char) -> bool {
    matches!(
        sign,
        '-' | '\u{2010}'..='\u{2015}' | '\u{2212}' | '\u{FE63}' | '\u{FF0D}'
    )
}

fn is_mark(sign: char) -> bool {
    matches!(sign, '.' | ',')
}

/// The number at the start of `rest`, a part of `text`, and what follows it.
fn number<'a>(
    rest: &'a str,
    text: &str,
    mark: DecimalMark,
) -> Result<(Token, &'a str), LengthError> {
    let end = rest
        .find(|sign: char| !sign.is_ascii_digit() && !is_mark(sign))
        .unwrap_or(rest.len());
    let (digits, after) = rest.split_at(end);
    let mut plain = with_point(digits, text, mark)?;
    let places = plain.find('.').map_or(0, |point| plain.len() - point - 1);
    let whole = digits.bytes().all(|byte| byte.is_ascii_digit());
    let (exponent, after) = exponent(after);
    plain.push_str(&exponent);
    let value = plain.parse().map_err(|_| LengthError::NoNumber {
        found: excerpt(text),
    })?;
    let shift = match exponent.strip_prefix('e') {
        None => 0,
        Some(shift) if shift.starts_with('-') => shift.parse().unwrap_or(i32::MIN),
        Some(shift) => shift.parse().unwrap_or(i32::MAX),
    };
    let step = power_of_ten(shift.saturating_sub(i32::try_from(places).unwrap_or(i32::MAX)));
    Ok((
        Token::Number(Number {
            value,
            step,
            whole: whole && exponent.is_empty(),
        }),
        after,
    ))
}

/// The exponent at the start of `rest`, such as `e-16`, or nothing; and what follows.
fn exponent(rest: &str) -> (String, &str) {
    let none = (String::new(), rest);
    let Some(after) = rest.strip_prefix(['e', 'E']) else {
        return none;
    };
    let (sign, after) = match after.strip_prefix(is_dash) {
        Some(after) => ("-", after),
        None => ("", after.strip_prefix('+').unwrap_or(after)),
    };
    let end = after
        .find(|sign: char| !sign.is_ascii_digit())
        .unwrap_or(after.len());
    let (digits, after) = after.split_at(end);
    if digits.is_empty() {
        none
    } else {
        (format!("e{sign}{digits}"), after)
    }
}

/// Digits and marks as digits with at most one point, or why their marks cannot be understood.
fn with_point(digits: &str, text: &str, mark: DecimalMark) -> Result<String, LengthError> {
    let (own, other) = match mark {
        DecimalMark::Point => ('.', ','),
        DecimalMark::Comma => (',', '.'),
    };
    let found = || excerpt(text);
    let count = |mark: char| digits.chars().filter(|sign| *sign == mark).count();
    let grouped = |instead| {
        Err(LengthError::Grouped {
            found: found(),
            instead,
        })
    };
    match (count(own), count(other)) {
        (0 | 1, 0) => Ok(digits.replace(own, ".")),
        (_, 0) | (0, 2..) if !in_thousands(digits) => {
            let example = if own == '.' { "1.5" } else { "1,5" };
            Err(LengthError::SecondMark {
                found: found(),
                example,
            })
        }
        (0, 1) if own == '.' => Err(LengthError::Comma {
            found: found(),
            instead: digits.replace(',', "."),
        }),
        (0, 1) if !in_thousands(digits) => Ok(digits.to_owned()),
        (0, 1) => grouped(format!(
            "{} or {}",
            digits.replace(other, ""),
            digits.replace(other, ",")
        )),
        (0, _) | (_, 0) => grouped(digits.replace(is_mark, "")),
        _ => {
            let last = digits.rfind(is_mark).unwrap_or(0);
            let (front, back) = digits.split_at(last);
            grouped(format!(
                "{}{own}{}",
                front.replace(is_mark, ""),
                back.replace(is_mark, "")
            ))
        }
    }
}

/// Whether the marks stand where they would part thousands: `1.234`, `12,345,678`, but not `0.125` or `3.5`.
fn in_thousands(digits: &str) -> bool {
    let mut groups = digits.split(is_mark);
    let first = groups.next().unwrap_or_default();
    (1..=3).contains(&first.len())
        && !first.starts_with('0')
        && groups.all(|group| group.len() == 3)
}

/// Ten to the power of `exponent`, without error where an `f64` can.
pub(super) fn power_of_ten(exponent: i32) -> f64 {
    let size = 10_f64.powi(exponent.saturating_abs());
    if exponent < 0 { 1.0 / size } else { size }
}
