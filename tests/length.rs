//! Lengths as a shop writes them: what is read, what is refused and in which words, what is written.

#![allow(clippy::unwrap_used)]

use outwind::length::{
    DecimalMark, Length, LengthError, Notation, Rounding, Unit, Written, read, read_positive,
};
use proptest::prelude::*;

fn point(text: &str, default: Option<Unit>) -> Result<Written, LengthError> {
    read(text, default, DecimalMark::Point)
}

/// Every form, its value in inches and its last place in inches.
#[test]
fn reads_what_a_shop_writes_in_inches() {
    let table = [
        ("37", 37.0, 1.0),
        ("0.75", 0.75, 0.01),
        (".75", 0.75, 0.01),
        ("5.", 5.0, 1.0),
        ("+3", 3.0, 1.0),
        ("-4.4e-16", -4.4e-16, 1e-17),
        ("−4.4e−16", -4.4e-16, 1e-17),
        ("1.25E+2", 125.0, 1.0),
        ("3/4", 0.75, 0.25),
        ("3 / 4", 0.75, 0.25),
        ("3⁄4", 0.75, 0.25),
        ("2/64", 0.03125, 1.0 / 64.0),
        ("1-3/16", 1.1875, 1.0 / 16.0),
        ("1–3/16", 1.1875, 1.0 / 16.0),
        ("1\u{2011}3/16", 1.1875, 1.0 / 16.0),
        ("1 3/16", 1.1875, 1.0 / 16.0),
        ("1\u{a0}3/16", 1.1875, 1.0 / 16.0),
        ("1\u{2009}3/16", 1.1875, 1.0 / 16.0),
        ("  1 3/16\"  ", 1.1875, 1.0 / 16.0),
        ("-1-3/16", -1.1875, 1.0 / 16.0),
        ("−1-3/16 in.", -1.1875, 1.0 / 16.0),
        ("- 1/32", -0.03125, 1.0 / 32.0),
        ("-1/32", -0.03125, 1.0 / 32.0),
        ("1½", 1.5, 0.5),
        ("1 ½", 1.5, 0.5),
        ("1-½ in", 1.5, 0.5),
        ("⅞", 0.875, 0.125),
        ("-⅛", -0.125, 0.125),
        ("6/4", 1.5, 0.25),
        ("1/3", 1.0 / 3.0, 1.0 / 3.0),
        ("0/4", 0.0, 0.25),
        ("1-0/4", 1.0, 0.25),
        ("1/1000", 0.001, 0.001),
        ("6' 2-1/2\"", 74.5, 0.5),
        ("6'2\"", 74.0, 1.0),
        ("6′ 2″", 74.0, 1.0),
        ("6’ 2”", 74.0, 1.0),
        ("6' 2''", 74.0, 1.0),
        ("6'2", 74.0, 1.0),
        ("6'-2 1/2\"", 74.5, 0.5),
        ("6' - 2\"", 74.0, 1.0),
        ("6' 2.25\"", 74.25, 0.01),
        ("6' ½\"", 72.5, 0.5),
        ("6 ft 2 in", 74.0, 1.0),
        ("6FT 2IN", 74.0, 1.0),
        ("-6 feet 2 inches", -74.0, 1.0),
        ("6ft2½in", 74.5, 0.5),
        ("6'", 72.0, 12.0),
        ("6 1/2'", 78.0, 6.0),
        ("6.5 ft", 78.0, 1.2),
        ("0.000 in", 0.0, 0.001),
    ];
    for (text, inches, step) in table {
        let written = point(text, Some(Unit::Inch)).unwrap();
        assert!(
            (written.length.inches() - inches).abs() <= 1e-15 * inches.abs(),
            "{text}: {written:?}"
        );
        assert!(
            (written.step.inches() / step - 1.0).abs() < 1e-14,
            "{text}: {written:?}"
        );
    }
}

#[test]
fn reads_metric_and_names_the_unit() {
    let table = [
        ("38mm", 38.0, 1.0, Unit::Millimetre),
        ("38 MM", 38.0, 1.0, Unit::Millimetre),
        ("3.2 mm", 3.2, 0.1, Unit::Millimetre),
        ("½ mm", 0.5, 0.5, Unit::Millimetre),
        ("3.8 cm", 38.0, 1.0, Unit::Centimetre),
        ("2.5 m", 2500.0, 100.0, Unit::Metre),
        ("1000 m", 1e6, 1000.0, Unit::Metre),
        ("38 millimetres", 38.0, 1.0, Unit::Millimetre),
        ("1 in", 25.4, 25.4, Unit::Inch),
        ("1 foot", 304.8, 304.8, Unit::Foot),
        ("1' 0\"", 304.8, 25.4, Unit::Inch),
    ];
    for (text, mm, step, unit) in table {
        let written = point(text, Some(Unit::Inch)).unwrap();
        assert!(
            (written.length.mm() - mm).abs() < 1e-12 * mm,
            "{text}: {written:?}"
        );
        assert!(
            (written.step.mm() - step).abs() < 1e-12 * step,
            "{text}: {written:?}"
        );
        assert_eq!(written.unit, Some(unit), "{text}");
        assert_eq!(Ok(written), point(text, None), "{text}");
    }
    assert_eq!(point("38", Some(Unit::Millimetre)).unwrap().unit, None);
}

#[test]
fn minus_zero_is_zero() {
    for text in ["-0", "-0.0", "-0 mm", "-0/4"] {
        assert!(
            point(text, Some(Unit::Millimetre))
                .unwrap()
                .length
                .mm()
                .is_sign_positive(),
            "{text}"
        );
    }
}

#[test]
fn reads_a_decimal_comma() {
    let comma = |text| read(text, Some(Unit::Millimetre), DecimalMark::Comma);
    for (text, mm, step) in [
        ("3,5", 3.5, 0.1),
        ("-0,25", -0.25, 0.01),
        ("1,234", 1.234, 0.001),
        ("3,5 mm", 3.5, 0.1),
        (",5", 0.5, 0.1),
        ("1,5e2", 150.0, 10.0),
        ("3.5", 3.5, 0.1),
        ("0.125", 0.125, 0.001),
        ("37", 37.0, 1.0),
    ] {
        let written = comma(text).unwrap();
        assert!(
            (written.length.mm() - mm).abs() < 1e-12,
            "{text}: {written:?}"
        );
        assert!(
            (written.step.mm() - step).abs() < 1e-12 * step,
            "{text}: {written:?}"
        );
    }
    let message = |text| comma(text).unwrap_err().to_string();
    let grouped =
        ": digits must not be grouped, as the mark between them could be a decimal mark; write ";
    assert_eq!(message("1.234,5"), format!("\"1.234,5\"{grouped}1234,5"));
    assert_eq!(message("1,234.5"), format!("\"1,234.5\"{grouped}1234,5"));
    assert_eq!(message("1.234"), format!("\"1.234\"{grouped}1234 or 1,234"));
    assert_eq!(
        message("12.345.678"),
        format!("\"12.345.678\"{grouped}12345678")
    );
    assert_eq!(
        message("1,5,2"),
        "\"1,5,2\": a number has one decimal mark, as in 1,5; here is more than one"
    );
}

/// The refused ones, with their whole message after the quoted text.
#[test]
fn says_what_is_wrong_and_what_would_be_right() {
    let like = "a length is written like 38 mm, 0.75 in or 1-3/16 in";
    let no_number = format!("there is no number where one should stand; {like}");
    let unexpected = |part: &str| format!("\"{part}\" has no place there; {like}");
    let broken = "a fraction has a whole number on each side of its stroke, as in 3/4";
    let strokes = "a fraction has one stroke, as in 3/4; here is more than one";
    let sign = "the number after the stroke takes no sign; a length below zero has it in front, as in -1/2";
    let decimal = "a fraction goes with a whole number, as in 1-3/16, not with a decimal; write one or the other";
    let two = "two numbers where one length is wanted; a whole number and its fraction are written 1-3/16 or 1 3/16";
    let marks = "a number has one decimal mark, as in 1.5; here is more than one";
    let mixed = "only feet and then inches may be put together, as in 6' 2\"; write it in one unit";
    let feet =
        "feet before inches must be a whole number, as in 6' 2\"; or write it in inches alone";
    let long = "more than 1 km, which no board measures; check the number and its unit";
    let infinite = "not a length that can be measured; write a number, or leave it blank where no reading was taken";
    let large = |mixed: &str, instead: &str| {
        format!("a fraction after a whole number must be less than one; {mixed} would be {instead}")
    };
    let inches = |instead: &str| {
        format!(
            "inches after feet must be less than 12; it would be {instead}, if that is what is meant"
        )
    };
    let dash = |instead: &str| {
        format!("the dash could join or subtract; if {instead} is meant, write it so")
    };
    let comma = |instead: &str| {
        format!(
            "a comma is not the decimal mark here; write {instead}, and no comma between thousands"
        )
    };
    let grouped = |instead: &str| {
        format!(
            "digits must not be grouped, as the mark between them could be a decimal mark; write {instead}"
        )
    };
    let unit = |word: &str| {
        format!("\"{word}\" is not a unit known here; use mm, cm, m, in (\") or ft (')")
    };
    let table: Vec<(&str, String)> = vec![
        ("abc", no_number.clone()),
        ("mm", no_number.clone()),
        ("-", no_number.clone()),
        ("\"3/4\"", no_number),
        ("nan", infinite.into()),
        ("inf", infinite.into()),
        ("-Infinity", infinite.into()),
        ("38 furlongs", unit("furlongs")),
        ("3e", unit("e")),
        ("1 x 2", unit("x")),
        ("6' 20 mm", mixed.into()),
        ("2 m 10 cm", mixed.into()),
        ("2\" 6'", mixed.into()),
        ("1 in 3/16", mixed.into()),
        ("6'2'", mixed.into()),
        ("6.5' 2\"", feet.into()),
        ("6 1/2' 2\"", feet.into()),
        ("6'13\"", inches("7' 1\"")),
        ("6'12\"", inches("7' 0\"")),
        ("6' 25.1\"", inches("8' 1.1\"")),
        ("3/", broken.into()),
        ("/4", broken.into()),
        ("1.5/2", broken.into()),
        ("3/1.5", broken.into()),
        ("3/x", broken.into()),
        ("3//4", strokes.into()),
        ("3/16/24", strokes.into()),
        ("1-3//4", strokes.into()),
        ("1/0", "nothing can be divided into 0 parts; the number after the stroke must be 1 or more, as in 1/2".into()),
        ("1-1/0", "nothing can be divided into 0 parts; the number after the stroke must be 1 or more, as in 1/2".into()),
        ("3/-4", sign.into()),
        ("3/+4", sign.into()),
        (
            "1/20000",
            "parts finer than 1/10000 are not read as a fraction; check it, or write a decimal such as 0.00005".into(),
        ),
        ("1-65/64", large("1-65/64", "2-1/64")),
        ("1-64/64", large("1-64/64", "2")),
        ("1 9/4", large("1-9/4", "3-1/4")),
        ("1.5 3/16", decimal.into()),
        ("1.5½", decimal.into()),
        ("1 -3/16", dash("1-3/16")),
        ("1- 3/16", dash("1-3/16")),
        ("1 - ½", dash("1-1/2")),
        ("6' -2\"", dash("6' 2\"")),
        ("1 3", two.into()),
        ("3-4", two.into()),
        ("1/2 3/4", two.into()),
        ("½½", two.into()),
        ("1 234", two.into()),
        ("1.5.2", marks.into()),
        ("1..5", marks.into()),
        ("3,5", comma("3.5")),
        ("3,5 mm", comma("3.5")),
        ("1,234.5", grouped("1234.5")),
        ("1,234,567", grouped("1234567")),
        ("1e400", long.into()),
        ("-1e400", long.into()),
        ("1e99999999999", long.into()),
        ("0e400", long.into()),
        ("1000001", long.into()),
        ("2 km", unit("km")),
        ("1001 m", long.into()),
        ("--3", unexpected("-")),
        ("-+3", unexpected("+")),
        ("~3/4", unexpected("~")),
        ("#N/A", unexpected("#")),
        ("1-3/16-", unexpected("-")),
        ("38 mm thick", unexpected("thick")),
        ("38 mm - 2", unexpected("-")),
        ("±3", unexpected("±")),
    ];
    for (text, message) in table {
        let error = point(text, Some(Unit::Millimetre)).unwrap_err();
        assert_eq!(error.to_string(), format!("\"{text}\": {message}"));
    }
    let empty = "no length is given; write one such as 38 mm or 1-3/16 in";
    for text in ["", " \u{a0} ", "\u{feff}"] {
        assert_eq!(
            point(text, Some(Unit::Millimetre)).unwrap_err().to_string(),
            empty,
            "{text:?}"
        );
    }
}

#[test]
fn says_how_to_give_a_unit() {
    for text in ["37", "1-3/16", "0", "-0.75"] {
        let expected = format!(
            "\"{text}\": it has no unit; write \"{text} mm\" or \"{text} in\", name the unit in the header or the file, \
             or give one with --unit"
        );
        assert_eq!(point(text, None).unwrap_err().to_string(), expected);
    }
}

#[test]
fn a_size_is_more_than_zero() {
    let size = |text| read_positive(text, None, DecimalMark::Point);
    assert_eq!(size("3/4 in").unwrap().length, Length::from_inches(0.75));
    let message = |text| size(text).unwrap_err().to_string();
    assert_eq!(
        message("-38 mm"),
        "\"-38 mm\": a size cannot be below zero; write it without the minus"
    );
    assert_eq!(message("0 mm"), "\"0 mm\": a size must be more than zero");
    assert_eq!(
        message("-0/4 in"),
        "\"-0/4 in\": a size must be more than zero"
    );
    assert_eq!(
        message("3//4 in"),
        point("3//4 in", None).unwrap_err().to_string()
    );
}

#[test]
fn long_and_unprintable_texts_are_shortened_in_messages() {
    let message = point(&"9 ".repeat(1000), None).unwrap_err().to_string();
    assert!(
        message.starts_with(&format!("\"{}…\": two numbers", "9 ".repeat(30))),
        "{message}"
    );
    let message = point("3\u{1b}[31m", None).unwrap_err().to_string();
    assert!(
        message.starts_with("\"3\u{fffd}[31m\": \"\u{fffd}\" has no place"),
        "{message}"
    );
}

#[test]
fn units_by_name_and_sign() {
    for (unit, names) in [
        (Unit::Millimetre, &["mm", "MM", "mm.", " mm "][..]),
        (Unit::Centimetre, &["cm", "Centimeters"]),
        (Unit::Metre, &["m", "M", "metres"]),
        (
            Unit::Inch,
            &["in", "In.", "inch", "INCHES", "\"", "″", "”", "''", "′′"],
        ),
        (Unit::Foot, &["ft", "foot", "Feet", "'", "′", "’"]),
    ] {
        for name in names {
            assert_eq!(Unit::named(name), Some(unit), "{name}");
        }
        assert_eq!(Unit::named(unit.symbol()), Some(unit));
    }
    for name in ["", ".", "km", "yd", "thou", "i n", "'\""] {
        assert_eq!(Unit::named(name), None, "{name}");
    }
}

const SIXTY_FOURTHS: Notation = Notation::Fraction { denominator: 64 };
const TENTHS: Notation = Notation::Millimetres { places: 1 };

#[test]
fn writes_reduced_fractions_and_decimals() {
    let table = [
        (SIXTY_FOURTHS, 1.0 + 5.0 / 32.0, "1-5/32 in"),
        (SIXTY_FOURTHS, 5.0 / 32.0, "5/32 in"),
        (SIXTY_FOURTHS, -1.0 / 32.0, "-1/32 in"),
        (SIXTY_FOURTHS, -1.0 - 3.0 / 64.0, "-1-3/64 in"),
        (SIXTY_FOURTHS, 0.0, "0 in"),
        (SIXTY_FOURTHS, -0.0, "0 in"),
        (SIXTY_FOURTHS, -0.001, "0 in"),
        (SIXTY_FOURTHS, 63.99 / 64.0, "1 in"),
        (SIXTY_FOURTHS, 96.5, "96-1/2 in"),
        (
            Notation::Fraction { denominator: 16 },
            5.0 / 32.0,
            "3/16 in",
        ),
        (Notation::Fraction { denominator: 1 }, 2.4, "2 in"),
        (
            Notation::Fraction { denominator: 128 },
            3.0 / 128.0,
            "3/128 in",
        ),
        (Notation::DecimalInches { places: 3 }, 1.15625, "1.156 in"),
        (Notation::DecimalInches { places: 2 }, -0.001, "0.00 in"),
        (Notation::DecimalInches { places: 0 }, 37.2, "37 in"),
        (TENTHS, 1.15625, "29.4 mm"),
        (TENTHS, 30.0 / 25.4, "30.0 mm"),
        (TENTHS, -0.001, "0.0 mm"),
    ];
    for (notation, inches, text) in table {
        let length = Length::from_inches(inches);
        assert_eq!(notation.write(length, Rounding::Nearest), text);
        let number = notation.number(length, Rounding::Nearest);
        assert_eq!(format!("{number} {}", notation.unit().symbol()), text);
    }
    assert_eq!(Notation::default(), SIXTY_FOURTHS);
}

#[test]
fn rounds_towards_the_side_that_promises_nothing() {
    let write = |notation: Notation, mm, rounding| notation.write(Length::from_mm(mm), rounding);
    // Floating-point noise on exactly 1-5/32 in must not cost a 64th, nor add one.
    let exact = (1.0 + 5.0 / 32.0) * 25.4;
    for noise in [-9e-7, -1e-14, 0.0, 1e-14, 9e-7] {
        for rounding in [Rounding::Nearest, Rounding::Down, Rounding::Up] {
            assert_eq!(
                write(SIXTY_FOURTHS, exact + noise, rounding),
                "1-5/32 in",
                "{noise} {rounding:?}"
            );
        }
    }
    assert_eq!(
        write(SIXTY_FOURTHS, exact - 2e-6, Rounding::Down),
        "1-9/64 in"
    );
    assert_eq!(
        write(SIXTY_FOURTHS, exact + 2e-6, Rounding::Up),
        "1-11/64 in"
    );
    assert_eq!(write(SIXTY_FOURTHS, -0.1, Rounding::Down), "-1/64 in");
    assert_eq!(write(SIXTY_FOURTHS, -0.1, Rounding::Up), "0 in");
    assert_eq!(write(TENTHS, 29.39, Rounding::Down), "29.3 mm");
    assert_eq!(write(TENTHS, 29.31, Rounding::Up), "29.4 mm");
    assert_eq!(write(TENTHS, 0.25, Rounding::Nearest), "0.3 mm");
    assert_eq!(write(TENTHS, -0.25, Rounding::Nearest), "-0.3 mm");
}

#[test]
fn odd_notations_and_lengths_do_not_panic() {
    let fraction = |denominator| {
        Notation::Fraction { denominator }.write(Length::from_inches(0.3), Rounding::Nearest)
    };
    assert_eq!(fraction(0), fraction(1));
    assert_eq!(fraction(100), fraction(64));
    assert_eq!(fraction(u32::MAX), fraction(128));
    let notations = [
        SIXTY_FOURTHS,
        TENTHS,
        Notation::DecimalInches { places: u8::MAX },
    ];
    for notation in notations {
        for rounding in [Rounding::Nearest, Rounding::Down, Rounding::Up] {
            let write = |mm| notation.write(Length::from_mm(mm), rounding);
            assert_eq!(write(f64::NAN), "unknown");
            assert_eq!(write(f64::INFINITY), "infinite");
            assert_eq!(write(f64::NEG_INFINITY), "-infinite");
            for mm in [f64::MAX, f64::MIN, f64::MIN_POSITIVE, 1e300, 1e20] {
                let _no_panic = (
                    write(mm),
                    write(-mm),
                    notation.round(Length::from_mm(mm), rounding),
                );
            }
            assert!(
                notation
                    .round(Length::from_mm(f64::NAN), rounding)
                    .mm()
                    .is_nan()
            );
        }
    }
}

#[test]
fn lengths_add_and_scale() {
    let (two, three) = (Length::from_mm(2.0), Length::from_mm(3.0));
    assert_eq!((two + three).mm(), 5.0);
    assert_eq!((two - three).mm(), -1.0);
    assert_eq!((two - three).abs().mm(), 1.0);
    assert_eq!((-two * 3.0 / 4.0).mm(), -1.5);
    assert_eq!(Length::in_unit(Unit::Foot, 0.5).mm(), 152.4);
    assert!(two.is_positive() && !Length::default().is_positive() && !(-two).is_positive());
    assert!(two.is_finite() && !(two / 0.0).is_finite());
}

/// The inch is 25.4 mm exactly (international yard and pound agreement, 1959; from memory), so 1/64 in is 0.396875 mm
/// and 0.015625 in. The chart of decimal equivalents that hangs in a machine shop is the multiples of these, exact to
/// six places; a few of its lines are repeated here as printed there (from memory, and plain arithmetic).
#[test]
fn agrees_with_the_decimal_equivalent_chart() {
    for (fraction, inches, mm) in [
        ("1/64", "0.015625", "0.396875"),
        ("1/32", "0.03125", "0.79375"),
        ("1/16", "0.0625", "1.5875"),
        ("1/8", "0.125", "3.175"),
        ("11/64", "0.171875", "4.365625"),
        ("1/4", "0.25", "6.35"),
        ("3/8", "0.375", "9.525"),
        ("1/2", "0.5", "12.7"),
        ("37/64", "0.578125", "14.684375"),
        ("3/4", "0.75", "19.05"),
        ("13/16", "0.8125", "20.6375"),
        ("63/64", "0.984375", "25.003125"),
        ("1-3/16", "1.1875", "30.1625"),
    ] {
        let length = point(fraction, Some(Unit::Inch)).unwrap().length.mm();
        assert!(
            (length - point(inches, Some(Unit::Inch)).unwrap().length.mm()).abs() < 1e-14,
            "{fraction}"
        );
        assert!(
            (length - point(mm, Some(Unit::Millimetre)).unwrap().length.mm()).abs() < 1e-14,
            "{fraction}"
        );
    }
    // All 63 lines, in whole millionths of an inch and of a millimetre, so that no division can hide an error.
    for parts in 1..64_u32 {
        let inches = format!("0.{:06} in", parts * 15_625);
        let mm = format!(
            "{}.{:06} mm",
            parts * 396_875 / 1_000_000,
            parts * 396_875 % 1_000_000
        );
        let length = point(&format!("{parts}/64 in"), None).unwrap().length;
        assert!(
            (length - point(&inches, None).unwrap().length).mm().abs() < 1e-14,
            "{inches}"
        );
        assert!(
            (length - point(&mm, None).unwrap().length).mm().abs() < 1e-14,
            "{mm}"
        );
        assert_eq!(
            Notation::DecimalInches { places: 6 }.write(length, Rounding::Nearest),
            inches
        );
        assert_eq!(
            Notation::Millimetres { places: 6 }.write(length, Rounding::Down),
            mm
        );
    }
}

fn notation() -> impl Strategy<Value = Notation> {
    prop_oneof![
        (0..=7_u32).prop_map(|power| Notation::Fraction {
            denominator: 1 << power
        }),
        (0..=5_u8).prop_map(|places| Notation::DecimalInches { places }),
        (0..=5_u8).prop_map(|places| Notation::Millimetres { places }),
    ]
}

fn rounding() -> impl Strategy<Value = Rounding> {
    prop_oneof![
        Just(Rounding::Nearest),
        Just(Rounding::Down),
        Just(Rounding::Up)
    ]
}

/// Up to the length of a board, and near zero, in millimetres.
fn board_mm() -> impl Strategy<Value = f64> {
    prop_oneof![-20_000.0..20_000.0, -30.0..30.0, -0.1..0.1]
}

/// Text of what lengths are made of, in any order.
fn length_like() -> impl Strategy<Value = String> {
    let pieces = [
        "1",
        "0",
        "64",
        "-",
        "−",
        "/",
        " ",
        "'",
        "\"",
        "½",
        ".",
        ",",
        "e",
        "in",
        "ft",
        "mm",
        "x",
        "999999999",
    ];
    prop::collection::vec(prop::sample::select(pieces.to_vec()), 0..9)
        .prop_map(|pieces| pieces.concat())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 4096, rng_seed: proptest::test_runner::RngSeed::Fixed(1959), ..ProptestConfig::default() })]

    #[test]
    fn written_text_reads_back_and_writes_the_same(notation in notation(), mm in board_mm(), rounding in rounding()) {
        let text = notation.write(Length::from_mm(mm), rounding);
        let back = point(&text, None).unwrap();
        prop_assert_eq!(back.unit, Some(notation.unit()));
        prop_assert_eq!(back.length, notation.round(Length::from_mm(mm), rounding));
        for again in [Rounding::Nearest, Rounding::Down, Rounding::Up] {
            prop_assert_eq!(&notation.write(back.length, again), &text);
        }
        let number = notation.number(Length::from_mm(mm), rounding);
        prop_assert_eq!(point(&number, Some(notation.unit())).unwrap().length, back.length);
        // A reduced fraction shows a coarser last place, decimals show their own.
        prop_assert!(back.step.mm() >= notation.step().mm() * (1.0 - 1e-12));
        prop_assert!(!text.starts_with("-0 ") && !text.starts_with("-0.0 "));
    }

    #[test]
    fn rounding_keeps_its_side_and_its_step(notation in notation(), mm in board_mm()) {
        let shown = |rounding| point(&notation.write(Length::from_mm(mm), rounding), None).unwrap().length.mm();
        let step = notation.step().mm();
        let (nearest, down, up) = (shown(Rounding::Nearest), shown(Rounding::Down), shown(Rounding::Up));
        prop_assert!((nearest - mm).abs() <= step / 2.0 + 1e-10);
        prop_assert!(down <= mm + 1e-6 && mm - down < step);
        prop_assert!(up >= mm - 1e-6 && up - mm < step);
    }

    #[test]
    fn a_plain_decimal_reads_as_the_standard_library_does(value in -1e5..1e5_f64, places in 0..12_usize) {
        let text = format!("{value:.places$}");
        let expected: f64 = text.parse().unwrap();
        let written = point(&text, Some(Unit::Millimetre)).unwrap();
        prop_assert_eq!(written.length.mm(), expected);
        prop_assert!((written.step.mm() * 10_f64.powf(places as f64) - 1.0).abs() < 1e-9);
        // With its unit it goes the longer way, and must come out the same.
        let named = point(&format!("{text} mm"), None).unwrap();
        prop_assert_eq!((named.length, named.step), (written.length, written.step));
        let comma = read(&text.replace('.', ","), Some(Unit::Millimetre), DecimalMark::Comma).unwrap();
        prop_assert_eq!(comma, written);
    }

    #[test]
    fn feet_and_inches_add_up(feet in 0..100_u32, sixteenths in 0..192_u32) {
        let inches = Notation::Fraction { denominator: 16 }
            .write(Length::from_inches(f64::from(sixteenths) / 16.0), Rounding::Nearest);
        let read = point(&format!("{feet}' {inches}"), None).unwrap().length.inches();
        prop_assert!((read - f64::from(feet * 12) - f64::from(sixteenths) / 16.0).abs() < 1e-12);
    }

    #[test]
    fn no_text_panics_and_what_is_read_is_a_length(
        text in prop_oneof![any::<String>(), length_like(), "[-0-9./,' \"½einftm]{0,12}"],
        comma in any::<bool>(),
    ) {
        let mark = if comma { DecimalMark::Comma } else { DecimalMark::Point };
        match read(&text, Some(Unit::Inch), mark) {
            Ok(written) => {
                prop_assert!(written.length.abs().mm() <= 1e6);
                prop_assert!(written.step.mm() >= 0.0 && written.step.is_finite());
            }
            Err(error) => prop_assert!(error.to_string().len() > 40),
        }
    }
}
