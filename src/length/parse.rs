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
            return Err(LengthError::MixedUnits {
                found: self.found(),
            });
        }
        if !feet.whole {
            return Err(LengthError::FeetNotWhole {
                found: self.found(),
            });
        }
        self.not_too_long(feet.value + inches.value)?;
        if inches.value >= 12.0 {
            let instead = feet_and_inches(
                feet.value + (inches.value / 12.0).floor(),
                inches.value % 12.0,
            );
            return Err(LengthError::TooManyInches {
                found: self.found(),
                instead,
            });
        }
        if lopsided {
            let instead = feet_and_inches(feet.value, inches.value);
            return Err(LengthError::SpacedDash {
                found: self.found(),
                instead,
            });
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
                return Err(LengthError::NotFinite {
                    found: self.found(),
                });
            }
            Some(Token::Stroke) => {
                return Err(LengthError::BrokenFraction {
                    found: self.found(),
                });
            }
            Some(Token::Other(sign)) => return Err(self.unexpected(*sign)),
            Some(Token::Dash) => return Err(self.unexpected('-')),
            Some(Token::Plus) => return Err(self.unexpected('+')),
            Some(Token::Unit(_) | Token::Word(_)) | None => {
                return Err(LengthError::NoNumber {
                    found: self.found(),
                });
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
        let dash = matches!(self.tokens, [dash, ..] if dash.token == Token::Dash);
        let after = if dash { &self.tokens[1..] } else { self.tokens };
        let spaced = dash && self.tokens.iter().take(2).any(|token| token.space);
        let (top, bottom) = match after {
            [
                Spaced {
                    token: Token::Vulgar(top, bottom),
                    ..
                },
                rest @ ..,
            ] => {
                self.tokens = rest;
                (*top, *bottom)
            }
            [
                Spaced {
                    token: Token::Number(top),
                    ..
                },
                stroke,
                rest @ ..,
            ] if stroke.token == Token::Stroke => {
                self.tokens = rest;
                (top.value, self.denominator(*top)?)
            }
            _ => return Ok(first),
        };
        if !first.whole {
            return Err(LengthError::DecimalWithFraction {
                found: self.found(),
            });
        }
        let fraction = self.fraction(top, bottom)?;
        self.not_too_long(first.value + fraction.value)?;
        let mixed = format!("{}-{top}/{bottom}", first.value);
        if top >= bottom {
            let carried = first.value + (top / bottom).floor();
            let rest = top % bottom;
            let instead = if rest == 0.0 {
                format!("{carried}")
            } else {
                format!("{carried}-{rest}/{bottom}")
            };
            return Err(LengthError::FractionTooLarge {
                found: self.found(),
                mixed,
                instead,
            });
        }
        if spaced {
            return Err(LengthError::SpacedDash {
                found: self.found(),
                instead: mixed,
            });
        }
        Ok(Number {
            value: (first.value * bottom + top) / bottom,
            step: fraction.step,
            whole: false,
        })
    }

    /// What stands after the stroke of a fraction whose numerator is `top`.
    fn denominator(&mut self, top: Number) -> Result<f64, LengthError> {
        let found = || excerpt(self.text);
        let bottom = match self.tokens {
            [
                Spaced {
                    token: Token::Stroke,
                    ..
                },
                ..,
            ] => {
                return Err(LengthError::SecondStroke { found: found() });
            }
            [
                Spaced {
                    token: Token::Dash | Token::Plus,
                    ..
                },
                ..,
            ] => {
                return Err(LengthError::SignedDenominator { found: found() });
            }
            [
                Spaced {
                    token: Token::Number(bottom),
                    ..
                },
                rest @ ..,
            ] if top.whole && bottom.whole => {
                self.tokens = rest;
                bottom.value
            }
            _ => return Err(LengthError::BrokenFraction { found: found() }),
        };
        if self.take(&Token::Stroke) {
            return Err(LengthError::SecondStroke {
                found: self.found(),
            });
        }
        Ok(bottom)
    }

    /// A fraction as a number.
    fn fraction(&self, top: f64, bottom: f64) -> Result<Number, LengthError> {
        if bottom == 0.0 {
            return Err(LengthError::ZeroDenominator {
                found: self.found(),
            });
        }
        if bottom > FINEST_DENOMINATOR {
            return Err(LengthError::FractionTooFine {
                found: self.found(),
            });
        }
        Ok(Number {
            value: top / bottom,
            step: 1.0 / bottom,
            whole: false,
        })
    }

    /// Nothing may follow; `unit` is what has been named so far.
    fn end(&self, unit: Option<Unit>) -> Result<(), LengthError> {
        let Some(next) = self.tokens.first() else {
            return Ok(());
        };
        let found = self.found();
        Err(match &next.token {
            Token::Word(word) if unit.is_none() => LengthError::UnknownUnit {
                found,
                word: word.clone(),
            },
            Token::Word(word) => LengthError::Unexpected {
                found,
                part: word.clone(),
            },
            Token::Unit(_) => LengthError::MixedUnits { found },
            Token::Number(_) | Token::Vulgar(..) if unit.is_some() => {
                LengthError::MixedUnits { found }
            }
            Token::Number(_) | Token::Vulgar(..) => LengthError::TwoNumbers { found },
            Token::Dash if self.tokens.len() > 1 && unit.is_none() => {
                LengthError::TwoNumbers { found }
            }
            Token::Dash => self.unexpected('-'),
            Token::Stroke => self.unexpected('/'),
            Token::Plus => self.unexpected('+'),
            Token::Other(sign) => self.unexpected(*sign),
        })
    }

    fn next(&mut self) -> Option<&'a Token> {
        let (first, rest) = self.tokens.split_first()?;
        self.tokens = rest;
        Some(&first.token)
    }

    /// Whether the next token is this one; if so it is taken.
    fn take(&mut self, token: &Token) -> bool {
        let taken = self.tokens.first().is_some_and(|next| next.token == *token);
        if taken {
            self.tokens = &self.tokens[1..];
        }
        taken
    }

    /// The unit that comes next, if one does.
    fn unit(&mut self) -> Option<Unit> {
        let Some(Spaced {
            token: Token::Unit(unit),
            ..
        }) = self.tokens.first()
        else {
            return None;
        };
        self.tokens = &self.tokens[1..];
        Some(*unit)
    }

    /// Keeps numbers that no message should print in full out of the messages.
    fn not_too_long(&self, value: f64) -> Result<(), LengthError> {
        if value > LONGEST_MM {
            Err(LengthError::TooLong {
                found: self.found(),
            })
        } else {
            Ok(())
        }
    }

    fn unexpected(&self, sign: char) -> LengthError {
        LengthError::Unexpected {
            found: self.found(),
            part: excerpt(sign.encode_utf8(&mut [0; 4])),
        }
    }

    fn found(&self) -> String {
        excerpt(self.text)
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
