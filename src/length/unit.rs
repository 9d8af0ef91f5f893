//! The units a shop writes, their names and sizes.

/// A unit of length that a shop writes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// Millimetre.
    Millimetre,
    /// Centimetre.
    Centimetre,
    /// Metre.
    Metre,
    /// Inch, 25.4 mm.
    Inch,
    /// Foot, 12 in.
    Foot,
}

/// Every name, in lower case, without a closing full stop.
const NAMES: [(&str, Unit); 24] = [
    ("mm", Unit::Millimetre),
    ("millimetre", Unit::Millimetre),
    ("millimetres", Unit::Millimetre),
    ("millimeter", Unit::Millimetre),
    ("millimeters", Unit::Millimetre),
    ("cm", Unit::Centimetre),
    ("centimetre", Unit::Centimetre),
    ("centimetres", Unit::Centimetre),
    ("centimeter", Unit::Centimetre),
    ("centimeters", Unit::Centimetre),
    ("m", Unit::Metre),
    ("metre", Unit::Metre),
    ("metres", Unit::Metre),
    ("meter", Unit::Metre),
    ("meters", Unit::Metre),
    ("in", Unit::Inch),
    ("inch", Unit::Inch),
    ("inches", Unit::Inch),
    ("\"", Unit::Inch),
    ("''", Unit::Inch),
    ("ft", Unit::Foot),
    ("foot", Unit::Foot),
    ("feet", Unit::Foot),
    ("'", Unit::Foot),
];

impl Unit {
    /// The unit of this name or sign: `mm`, `cm`, `m`, `in`, `inch`, `inches`, `"`, `ft`, `foot`, `feet`, `'` and the
    /// metric names in full, in upper or lower case, with or without a full stop after an abbreviation, straight or
    /// typographic signs. Space around it is ignored.
    #[must_use]
    pub fn named(text: &str) -> Option<Self> {
        let text = text.trim();
        let text = text.strip_suffix('.').unwrap_or(text);
        let matches = |name: &str| {
            name.chars().eq(text
                .chars()
                .map(|sign| straight_quote(sign).unwrap_or(sign.to_ascii_lowercase())))
        };
        NAMES
            .iter()
            .find(|(name, _)| matches(name))
            .map(|(_, unit)| *unit)
    }

    /// Its usual abbreviation: `mm`, `cm`, `m`, `in`, `ft`.
    #[must_use]
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Millimetre => "mm",
            Self::Centimetre => "cm",
            Self::Metre => "m",
            Self::Inch => "in",
            Self::Foot => "ft",
        }
    }

    /// Its size in millimetres, exact: an inch is 25.4 mm (international yard and pound agreement, 1959).
    #[must_use]
    pub const fn mm(self) -> f64 {
        match self {
            Self::Millimetre => 1.0,
            Self::Centimetre => 10.0,
            Self::Metre => 1000.0,
            Self::Inch => 25.4,
            Self::Foot => 304.8,
        }
    }
}

/// The straight `'` or `"` for any sign that stands for feet or inches.
pub(super) const fn straight_quote(sign: char) -> Option<char> {
    match sign {
        '\'' | '′' | '’' | '‘' => Some('\''),
        '"' | '″' | '”' | '“' => Some('"'),
        _ => None,
    }
}
