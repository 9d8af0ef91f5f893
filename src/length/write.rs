//! From a length to text, rounded on purpose.

use super::{Length, Unit};

/// A length this near to a multiple of the last place is that multiple, in millimetres: otherwise the rounding
/// error of 1-5/32 in, about 1e-14 mm, would show it as 1-9/64 when rounded down.
const SAME_MM: f64 = 1e-6;

/// The finest fraction of an inch written.
const FINEST_DENOMINATOR: u32 = 128;

/// The most decimal places written; with them a length of 1 km is still exact in an `f64`.
const MOST_PLACES: u8 = 9;

/// How a length is written, and to which last place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Notation {
    /// Inches and a reduced fraction: `1-5/32 in`, `5/32 in`, `-1/32 in`, `0 in`.
    Fraction {
        /// The last place is one part in so many of an inch: a power of two from 1 to 128. Any other number counts
        /// as the next lower power of two in that range (0 as 1), so that no finer place is shown than was asked for.
        denominator: u32,
    },
    /// Decimal inches: `1.156 in`.
    DecimalInches {
        /// Decimal places, from 0 to 9; more count as 9.
        places: u8,
    },
    /// Millimetres: `29.4 mm`.
    Millimetres {
        /// Decimal places, from 0 to 9; more count as 9.
        places: u8,
    },
}

impl Default for Notation {
    /// Sixty-fourths of an inch.
    fn default() -> Self {
        Self::Fraction { denominator: 64 }
    }
}

/// Which of the two neighbouring multiples of the last place stands for a length between them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rounding {
    /// The nearer one; of two equally near, the one further from zero.
    Nearest,
    /// The lower one, towards minus infinity: for a thickness that survives.
    Down,
    /// The higher one, towards plus infinity: for what comes off.
    Up,
}

impl Notation {
    /// The length with its unit, such as `1-5/32 in` or `29.4 mm`. Never `-0`. A length that is not finite is written
    /// as by [`Notation::number`], without a unit.
    #[must_use]
    pub fn write(self, length: Length, rounding: Rounding) -> String {
        match self.finite(length, rounding) {
            Some(number) => format!("{number} {}", self.unit().symbol()),
            None => not_finite(length).to_owned(),
        }
    }

    /// The length without its unit, such as `1-5/32` or `29.4`. Decimals keep their closing zeros, which say how
    /// fine the number is. NaN is written `unknown`, infinities (and anything above 1e295 mm) `infinite` and
    /// `-infinite`; none of them reads back.
    #[must_use]
    pub fn number(self, length: Length, rounding: Rounding) -> String {
        self.finite(length, rounding)
            .unwrap_or_else(|| not_finite(length).to_owned())
    }

    /// One unit of the last place.
    #[must_use]
    pub fn step(self) -> Length {
        Length::in_unit(self.unit(), 1.0 / self.per_unit())
    }

    /// The length that [`Notation::write`] shows: the multiple of [`Notation::step`] chosen by `rounding`. A length
    /// within 1e-6 mm of a multiple counts as that multiple. One that is not finite is returned as it is.
    #[must_use]
    pub fn round(self, length: Length, rounding: Rounding) -> Length {
        if !length.is_finite() {
            return length;
        }
        Length::in_unit(self.unit(), self.count(length, rounding) / self.per_unit())
    }

    /// The unit it writes.
    #[must_use]
    pub const fn unit(self) -> Unit {
        match self {
            Self::Fraction { .. } | Self::DecimalInches { .. } => Unit::Inch,
            Self::Millimetres { .. } => Unit::Millimetre,
        }
    }

    /// How many units of the last place make one unit.
    fn per_unit(self) -> f64 {
        match self {
            Self::Fraction { denominator } => f64::from(usable_denominator(denominator)),
            Self::DecimalInches { places } | Self::Millimetres { places } => {
                10_f64.powi(i32::from(places.min(MOST_PLACES)))
            }
        }
    }

    /// The number, or nothing where the length counted in units of the last place is not finite.
    fn finite(self, length: Length, rounding: Rounding) -> Option<String> {
        let count = self.count(length, rounding);
        if !count.is_finite() {
            return None;
        }
        Some(match self {
            Self::Fraction { denominator } => fraction(count, usable_denominator(denominator)),
            Self::DecimalInches { places } | Self::Millimetres { places } => {
                let places = usize::from(places.min(MOST_PLACES));
                format!("{:.places$}", count / self.per_unit())
            }
        })
    }

    /// The length as a number of units of the last place: whole, never minus zero, NaN or infinite as the length is.
    fn count(self, length: Length, rounding: Rounding) -> f64 {
        let step = self.step().mm();
        let exact = length.mm() / self.unit().mm() * self.per_unit();
        let nearest = exact.round();
        let count = match rounding {
            _ if (nearest - exact).abs() * step <= SAME_MM => nearest,
            Rounding::Nearest => nearest,
            Rounding::Down => exact.floor(),
            Rounding::Up => exact.ceil(),
        };
        // Adding zero turns minus zero into zero.
        count + 0.0
    }
}

/// The word for a length that has no number.
fn not_finite(length: Length) -> &'static str {
    match length.mm() {
        mm if mm.is_nan() => "unknown",
        mm if mm > 0.0 => "infinite",
        _ => "-infinite",
    }
}

/// The largest power of two that is not above `denominator`, from 1 to the finest one.
fn usable_denominator(denominator: u32) -> u32 {
    let within = denominator.clamp(1, FINEST_DENOMINATOR);
    1 << within.ilog2()
}

/// `count` parts of which `denominator`, a power of two, make one, as a mixed number with its fraction reduced.
fn fraction(count: f64, denominator: u32) -> String {
    let sign = if count < 0.0 { "-" } else { "" };
    let parts = f64::from(denominator);
    let whole = (count.abs() / parts).floor();
    // Below the denominator, hence exact.
    let rest = (count.abs() % parts) as u32;
    if rest == 0 {
        return format!("{sign}{whole:.0}");
    }
    let shared = 1 << rest.trailing_zeros();
    let (top, bottom) = (rest / shared, denominator / shared);
    if whole == 0.0 {
        format!("{sign}{top}/{bottom}")
    } else {
        format!("{sign}{whole:.0}-{top}/{bottom}")
    }
}
