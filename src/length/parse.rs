//! The grammar of a length.
//!
//! ```text
//! length   = [sign] number [unit]  |  [sign] whole foot [dash] number [inch]
//! number   = decimal | fraction | whole (dash | space) fraction
//! fraction = whole stroke whole | a single character such as ½
//! ```

use super::Unit;
use super::error::{LengthError, excerpt};
use super::read::{DecimalMark, LONGEST_MM};
use super::token::{Number, Spaced, Token, tokens};

/// The finest denominator read as a fraction.
const FINEST_DENOMINATOR: f64 = 10_000.0;

/// The number and the unit that `text` names, the number in that unit.
pub(super) fn parse(text: &str, mark: DecimalMark) -> Result<(Number, Option<Unit>), LengthError> {
    let tokens = tokens(text, mark)?;
    Parser {
        text,
        tokens: &tokens,
    }
    .length()
}

/// What is left to read of a text.
struct Parser<'a> {
    text: &'a str,
    tokens: &'a [Spaced],
}

impl<'a> Parser<'a> {
    fn length(mut self) -> Result<(Number, Option<Unit>), LengthError> {
        if self.tokens.is_empty() {
            return Err(LengthError::Empty);
        }
        let negative = self.take(&Token::Dash);
        if !negative {
            self.take(&Token::Plus);
        }
        let mut number = self.number()?;
        let mut unit = self.unit();
        if unit == Some(Unit::Foot) && !self.tokens.is_empty() {
            number = self.inches_after(number)?;
            unit = Some(Unit::Inch);
        }
        self.end(unit)?;
        if negative {
            number.value = -number.value;
        }
        Ok((number, unit))
    }

    /// The inches that follow so many feet, feet included.
    fn inches_after(&mut self, feet: Number) -> Result<Number, LengthError> {
        let before = self.tokens;
        let lopsided = self.take(&Token::Dash)
            && before[0].space != self.tokens.first().is_some_and(|next| next.space);
        let inches = self.number()?;
        if !matches!(self.unit(), None | Some(Unit::Inch)) {
            return Err(self.refusal(|found| LengthError::MixedUnits { found }));
        }
        if !feet.whole {
            return Err(self.refusal(|found| LengthError::FeetNotWhole { found }));
        }
        self.not_too_long(feet.value + inches.value)?;
        if inches.value >= 12.0 {
            let instead = feet_and_inches(
                feet.value + (inches.value / 12.0).floor(),
                inches.value % 12.0,
            );
            return Err(self.refusal(|found| LengthError::TooManyInches { found, instead }));
        }
        if lopsided {
            let instead = feet_and_inches(feet.value, inches.value);
            return Err(self.refusal(|found| LengthError::SpacedDash { found, instead }));
        }
        Ok(Number {
            value: feet.value * 12.0 + inches.value,
            ..inches
        })
    }

    /// A decimal, a fraction, or a whole number and a fraction.
    fn number(&mut self) -> Result<Number, LengthError> {
        let first = match self.next() {
            Some(Token::Vulgar(top, bottom)) => return self.fraction(*top, *bottom),
            Some(Token::Number(first)) => *first,
            Some(Token::Word(word)) if is_not_finite(word) => {
                return Err(self.refusal(|found| LengthError::NotFinite { found }));
            }
            Some(Token::Stroke) => {
                return Err(self.refusal(|found| LengthError::BrokenFraction { found }));
            }
            Some(Token::Other(sign)) => return Err(self.unexpected(*sign)),
            Some(Token::Dash) => return Err(self.unexpected('-')),
            Some(Token::Plus) => return Err(self.unexpected('+')),
            Some(Token::Unit(_) | Token::Word(_)) | None => {
                return Err(self.refusal(|found| LengthError::NoNumber { found }));
            }
        };
        if self.take(&Token::Stroke) {
            let bottom = self.denominator(first)?;
            return self.fraction(first.value, bottom);
        }
        self.fraction_after(first)
    }

    /// The number that starts with `first`, when a fraction follows; else `first` itself.
    fn fraction_after(&mut self, first: Number) -> Result<Number, LengthError> {
        let start = self.tokens;
        let dash = self.take(&Token::Dash);
        let (top, bottom) = match (self.peek(0), self.peek(1)) {
            (Some(Token::Vulgar(top, bottom)), _) => {
                self.tokens = &self.tokens[1..];
                (*top, *bottom)
            }
            (Some(Token::Number(top)), Some(Token::Stroke)) => {
                self.tokens = &self.tokens[2..];
                (top.value, self.denominator(*top)?)
            }
            _ => {
                self.tokens = start;
                return Ok(first);
            }
        };
        if !first.whole {
            return Err(self.refusal(|found| LengthError::DecimalWithFraction { found }));
        }
        let fraction = self.fraction(top, bottom)?;
        self.not_too_long(first.value + fraction.value)?;
        let mixed = format!("{}-{top}/{bottom}", first.value);
        if top >= bottom {
            let carried = first.value + (top / bottom).floor();
            let instead = match top % bottom {
                0.0 => format!("{carried}"),
                rest => format!("{carried}-{rest}/{bottom}"),
            };
            return Err(self.refusal(|found| LengthError::FractionTooLarge {
                found,
                mixed,
                instead,
            }));
        }
        if dash && start.iter().take(2).any(|token| token.space) {
            return Err(self.refusal(|found| LengthError::SpacedDash {
                found,
                instead: mixed,
            }));
        }
        let value = (first.value * bottom + top) / bottom;
        Ok(Number { value, ..fraction })
    }

    /// What stands after the stroke of a fraction whose numerator is `top`.
    fn denominator(&mut self, top: Number) -> Result<f64, LengthError> {
        let bottom = match self.next() {
            Some(Token::Number(bottom)) if top.whole && bottom.whole => bottom.value,
            Some(Token::Stroke) => {
                return Err(self.refusal(|found| LengthError::SecondStroke { found }));
            }
            Some(Token::Dash | Token::Plus) => {
                return Err(self.refusal(|found| LengthError::SignedDenominator { found }));
            }
            _ => return Err(self.refusal(|found| LengthError::BrokenFraction { found })),
        };
        if self.take(&Token::Stroke) {
            return Err(self.refusal(|found| LengthError::SecondStroke { found }));
        }
        Ok(bottom)
    }

    /// A fraction as a number.
    fn fraction(&self, top: f64, bottom: f64) -> Result<Number, LengthError> {
        if bottom == 0.0 {
            return Err(self.refusal(|found| LengthError::ZeroDenominator { found }));
        }
        if bottom > FINEST_DENOMINATOR {
            return Err(self.refusal(|found| LengthError::FractionTooFine { found }));
        }
        Ok(Number {
            value: top / bottom,
            step: 1.0 / bottom,
            whole: false,
        })
    }

    /// Nothing may follow; `unit` is what has been named so far.
    fn end(&self, unit: Option<Unit>) -> Result<(), LengthError> {
        Err(match (self.peek(0), unit) {
            (None, _) => return Ok(()),
            (Some(Token::Word(word)), unit) => self.refusal(|found| match unit {
                None => LengthError::UnknownUnit {
                    found,
                    word: excerpt(word),
                },
                Some(_) => LengthError::Unexpected {
                    found,
                    part: excerpt(word),
                },
            }),
            (Some(Token::Unit(_)), _) | (Some(Token::Number(_) | Token::Vulgar(..)), Some(_)) => {
                self.refusal(|found| LengthError::MixedUnits { found })
            }
            (Some(Token::Number(_) | Token::Vulgar(..)), None) => {
                self.refusal(|found| LengthError::TwoNumbers { found })
            }
            (Some(Token::Dash), None) if self.peek(1).is_some() => {
                self.refusal(|found| LengthError::TwoNumbers { found })
            }
            (Some(Token::Dash), _) => self.unexpected('-'),
            (Some(Token::Stroke), _) => self.unexpected('/'),
            (Some(Token::Plus), _) => self.unexpected('+'),
            (Some(Token::Other(sign)), _) => self.unexpected(*sign),
        })
    }

    fn peek(&self, ahead: usize) -> Option<&'a Token> {
        self.tokens.get(ahead).map(|next| &next.token)
    }

    fn next(&mut self) -> Option<&'a Token> {
        let (first, rest) = self.tokens.split_first()?;
        self.tokens = rest;
        Some(&first.token)
    }

    /// Whether the next token is this one; if so it is taken.
    fn take(&mut self, token: &Token) -> bool {
        let taken = self.peek(0) == Some(token);
        if taken {
            self.next();
        }
        taken
    }

    /// The unit that comes next, if one does.
    fn unit(&mut self) -> Option<Unit> {
        let Some(Token::Unit(unit)) = self.peek(0) else {
            return None;
        };
        self.next();
        Some(*unit)
    }

    /// Keeps numbers that no message should print in full out of the messages.
    fn not_too_long(&self, value: f64) -> Result<(), LengthError> {
        if value > LONGEST_MM {
            Err(self.refusal(|found| LengthError::TooLong { found }))
        } else {
            Ok(())
        }
    }

    fn unexpected(&self, sign: char) -> LengthError {
        let part = excerpt(sign.encode_utf8(&mut [0; 4]));
        self.refusal(|found| LengthError::Unexpected { found, part })
    }

    /// The reason, with the text that was found.
    fn refusal(&self, reason: impl FnOnce(String) -> LengthError) -> LengthError {
        reason(excerpt(self.text))
    }
}

fn is_not_finite(word: &str) -> bool {
    ["nan", "inf", "infinity", "infinite"]
        .iter()
        .any(|name| word.eq_ignore_ascii_case(name))
}

/// As a message suggests it, decimals to a millionth.
fn feet_and_inches(feet: f64, inches: f64) -> String {
    format!("{feet}' {}\"", (inches * 1e6).round() / 1e6)
}
