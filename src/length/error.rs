//! Why a text is not a length, each reason with its own sentence.

/// Why a text is not a length. Every variant carries the text that was found (shortened when long), and its message
/// says what is wrong with it and what would be right.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum LengthError {
    /// Nothing but space.
    #[error("no length is given; write one such as 38 mm or 1-3/16 in")]
    Empty,
    /// Text without a number where one should stand.
    #[error(
        "\"{found}\": there is no number where one should stand; a length is written like 38 mm, 0.75 in or 1-3/16 in"
    )]
    NoNumber {
        /// The text.
        found: String,
    },
    /// `nan`, `inf`, `infinity`.
    #[error(
        "\"{found}\": not a length that can be measured; write a number, or leave it blank where no reading was taken"
    )]
    NotFinite {
        /// The text.
        found: String,
    },
    /// A number without a unit where no unit is known.
    #[error(
        "\"{found}\": it has no unit; write \"{found} mm\" or \"{found} in\", name the unit in the header or the file, \
         or give one with --unit"
    )]
    NoUnit {
        /// The text.
        found: String,
    },
    /// A word that is no unit, after a number.
    #[error("\"{found}\": \"{word}\" is not a unit known here; use mm, cm, m, in (\") or ft (')")]
    UnknownUnit {
        /// The text.
        found: String,
        /// The word.
        word: String,
    },
    /// More than one unit, other than feet and then inches: `6' 20 mm`.
    #[error(
        "\"{found}\": only feet and then inches may be put together, as in 6' 2\"; write it in one unit"
    )]
    MixedUnits {
        /// The text.
        found: String,
    },
    /// A part of a foot before inches: `6.5' 2"`.
    #[error(
        "\"{found}\": feet before inches must be a whole number, as in 6' 2\"; or write it in inches alone"
    )]
    FeetNotWhole {
        /// The text.
        found: String,
    },
    /// A foot or more of inches after feet: `6'13"`.
    #[error(
        "\"{found}\": inches after feet must be less than 12; it would be {instead}, if that is what is meant"
    )]
    TooManyInches {
        /// The text.
        found: String,
        /// The same length with the inches carried over.
        instead: String,
    },
    /// A fraction that lacks one of its two whole numbers: `3/`, `1.5/2`.
    #[error("\"{found}\": a fraction has a whole number on each side of its stroke, as in 3/4")]
    BrokenFraction {
        /// The text.
        found: String,
    },
    /// More than one stroke: `3//4`, `3/4/5`.
    #[error("\"{found}\": a fraction has one stroke, as in 3/4; here is more than one")]
    SecondStroke {
        /// The text.
        found: String,
    },
    /// `1/0`.
    #[error(
        "\"{found}\": nothing can be divided into 0 parts; the number after the stroke must be 1 or more, as in 1/2"
    )]
    ZeroDenominator {
        /// The text.
        found: String,
    },
    /// `1/-2`.
    #[error(
        "\"{found}\": the number after the stroke takes no sign; a length below zero has it in front, as in -1/2"
    )]
    SignedDenominator {
        /// The text.
        found: String,
    },
    /// A denominator above 10,000.
    #[error(
        "\"{found}\": parts finer than 1/10000 are not read as a fraction; check it, or write a decimal such as 0.00005"
    )]
    FractionTooFine {
        /// The text.
        found: String,
    },
    /// A fraction of one or more after a whole number: `1-65/64`.
    #[error(
        "\"{found}\": a fraction after a whole number must be less than one; {mixed} would be {instead}"
    )]
    FractionTooLarge {
        /// The text.
        found: String,
        /// The whole number and its fraction.
        mixed: String,
        /// The same with the fraction's whole part carried over.
        instead: String,
    },
    /// A decimal and a fraction in one number: `1.5 3/16`.
    #[error(
        "\"{found}\": a fraction goes with a whole number, as in 1-3/16, not with a decimal; write one or the other"
    )]
    DecimalWithFraction {
        /// The text.
        found: String,
    },
    /// A dash with space beside it before a fraction, or on one side of it after feet: `1 -3/16`, `6' -2"`.
    #[error("\"{found}\": the dash could join or subtract; if {instead} is meant, write it so")]
    SpacedDash {
        /// The text.
        found: String,
        /// The one length it may stand for.
        instead: String,
    },
    /// Two numbers that do not make one: `1 3`, `3-4`, `1/2 3/4`.
    #[error(
        "\"{found}\": two numbers where one length is wanted; a whole number and its fraction are written 1-3/16 or 1 3/16"
    )]
    TwoNumbers {
        /// The text.
        found: String,
    },
    /// Two decimal marks: `1.5.2`.
    #[error("\"{found}\": a number has one decimal mark, as in {example}; here is more than one")]
    SecondMark {
        /// The text.
        found: String,
        /// A number with the decimal mark in use.
        example: &'static str,
    },
    /// A comma where the decimal mark is a point: `3,5`.
    #[error(
        "\"{found}\": a comma is not the decimal mark here; write {instead}, and no comma between thousands"
    )]
    Comma {
        /// The text.
        found: String,
        /// The number with a point.
        instead: String,
    },
    /// Marks between groups of digits, or what may be such: `1.234,5`.
    #[error(
        "\"{found}\": digits must not be grouped, as the mark between them could be a decimal mark; write {instead}"
    )]
    Grouped {
        /// The text.
        found: String,
        /// The number without grouping.
        instead: String,
    },
    /// Above 1 km, on either side of zero.
    #[error("\"{found}\": more than 1 km, which no board measures; check the number and its unit")]
    TooLong {
        /// The text.
        found: String,
    },
    /// Below zero, where a size is wanted.
    #[error("\"{found}\": a size cannot be below zero; write it without the minus")]
    Negative {
        /// The text.
        found: String,
    },
    /// Zero, where a size is wanted.
    #[error("\"{found}\": a size must be more than zero")]
    Zero {
        /// The text.
        found: String,
    },
    /// Something that has no place in a length, or not there: `~3/4`, `--3`, `38 mm thick`.
    #[error(
        "\"{found}\": \"{part}\" has no place there; a length is written like 38 mm, 0.75 in or 1-3/16 in"
    )]
    Unexpected {
        /// The text.
        found: String,
        /// The sign or word.
        part: String,
    },
}

/// The most characters of a text that a message repeats.
const LONGEST_FOUND: usize = 60;

/// The text as a message repeats it: without space around it, shortened, without control characters.
pub(super) fn excerpt(text: &str) -> String {
    let shown = |sign: char| {
        if sign.is_control() {
            char::REPLACEMENT_CHARACTER
        } else {
            sign
        }
    };
    let mut signs = text.trim().chars();
    let mut excerpt: String = signs.by_ref().take(LONGEST_FOUND).map(shown).collect();
    if signs.next().is_some() {
        excerpt.push('…');
    }
    excerpt
}
