//! One dimension.

use outwind::length::{DecimalMark, Notation, Rounding, Unit, read, read_positive};

/// What is read is finite, is written and reads back; what is written reads back as itself.
pub fn dimension(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    for unit in [None, Some(Unit::Millimetre), Some(Unit::Inch)] {
        for mark in [DecimalMark::Point, DecimalMark::Comma] {
            let one = read(&text, unit, mark);
            if let Err(error) = &one {
                assert!(!error.to_string().contains(char::is_control), "{error}");
            }
            let Ok(written) = one else {
                assert!(read_positive(&text, unit, mark).is_err(), "{text}");
                continue;
            };
            let (length, step) = (written.length, written.step);
            assert!(
                length.is_finite() && step.is_finite() && step.mm() >= 0.0,
                "{written:?}"
            );
            assert_eq!(
                read_positive(&text, unit, mark).is_ok(),
                length.is_positive()
            );
            for notation in [
                Notation::Fraction { denominator: 64 },
                Notation::DecimalInches { places: 3 },
                Notation::Millimetres { places: 1 },
            ] {
                for rounding in [Rounding::Nearest, Rounding::Down, Rounding::Up] {
                    let shown = notation.write(length, rounding);
                    let again = read(&shown, None, DecimalMark::Point).unwrap_or_else(|error| {
                        panic!("{shown}: {error}");
                    });
                    let off = again.length.mm() - length.mm();
                    // A millionth of a millimetre counts as nothing.
                    let near = notation.step().mm() + 1e-6;
                    assert!(off.abs() <= near, "{text:?} {shown:?}");
                    match rounding {
                        Rounding::Nearest => assert!(off.abs() <= near / 2.0 + 1e-6),
                        Rounding::Down => assert!(off <= 2e-6, "{text:?} {shown:?}"),
                        Rounding::Up => assert!(off >= -2e-6, "{text:?} {shown:?}"),
                    }
                    assert_eq!(notation.write(again.length, rounding), shown);
                }
            }
        }
    }
}
