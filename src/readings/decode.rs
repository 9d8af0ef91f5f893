//! From the bytes of a file to its text: UTF-8, UTF-16 and the Western European code page of older spreadsheets.

use std::borrow::Cow;

use encoding_rs::{Encoding, UTF_8, UTF_16BE, UTF_16LE, WINDOWS_1252};

use super::fault::Problem;
use super::rows::line_ends;

/// How many bytes are looked at to tell UTF-16 without a byte-order mark.
const SAMPLE: usize = 4096;

/// What a spreadsheet should be asked for.
const SAVE_AS_CSV: &str = "open it in the program that made it and save the sheet as \"CSV UTF-8\"";

/// The first bytes of files that are often taken for CSV, with their names.
const SIGNATURES: [(&[u8], &str); 9] = [
    (b"PK\x03\x04", "a workbook or archive (.xlsx, .ods, .zip)"),
    (b"\xD0\xCF\x11\xE0", "an old workbook (.xls)"),
    (b"%PDF", "a PDF document"),
    (b"\x89PNG", "a PNG picture"),
    (b"\xFF\xD8\xFF", "a JPEG picture"),
    (b"\x1F\x8B", "a compressed file (.gz)"),
    (b"{\\rtf", "an RTF document"),
    (b"<", "an HTML or XML document"),
    (b"{", "a JSON document"),
];

/// The text of a file, without a byte-order mark; borrowed where it is UTF-8.
pub(super) fn decode(bytes: &[u8]) -> Result<Cow<'_, str>, Problem> {
    if let Some((_, name)) = SIGNATURES
        .iter()
        .find(|(signature, _)| bytes.starts_with(signature))
    {
        return Err(Problem::new(
            format!("the file is {name}, not CSV"),
            SAVE_AS_CSV,
        ));
    }
    let (encoding, mark) = Encoding::for_bom(bytes)
        .or_else(|| plain_utf16(bytes))
        .unwrap_or((UTF_8, 0));
    let text = encoded(encoding, &bytes[mark..])?;
    let plain = text.is_ascii() && !text.bytes().any(|byte| is_binary(char::from(byte)));
    let binary = if plain {
        None
    } else {
        text.char_indices().find(|&(_, sign)| is_binary(sign))
    };
    match binary {
        Some((at, sign)) => {
            let line = 1 + line_ends(&text.as_bytes()[..at]);
            let wrong = format!(
                "line {line} holds the control character U+{:04X}: no text",
                u32::from(sign)
            );
            Err(Problem::new(wrong, SAVE_AS_CSV))
        }
        None => Ok(text),
    }
}

/// Whether a file that begins with these lines is no text, whatever follows.
pub(super) fn is_no_text(lines: &[u8]) -> bool {
    // Of UTF-16 a line may end within a character.
    let utf16 = Encoding::for_bom(lines).map_or_else(
        || plain_utf16(lines).is_some(),
        |(encoding, _)| encoding != UTF_8,
    );
    !utf16 && decode(lines).is_err()
}

fn encoded<'b>(encoding: &'static Encoding, bytes: &'b [u8]) -> Result<Cow<'b, str>, Problem> {
    if let Some(text) = encoding.decode_without_bom_handling_and_without_replacement(bytes) {
        return Ok(text);
    }
    if encoding == UTF_8 {
        // A half sign of a spreadsheet that saved in its own code page; whatever else is no number is refused later.
        return Ok(WINDOWS_1252.decode_without_bom_handling(bytes).0);
    }
    Err(Problem::new(
        "the file is UTF-16 text that is damaged or cut off",
        "save it again as \"CSV UTF-8\"",
    ))
}

/// The byte order of UTF-16 without a mark: text in which every second byte is zero, and none of the others.
fn plain_utf16(bytes: &[u8]) -> Option<(&'static Encoding, usize)> {
    let sample = &bytes[..bytes.len().min(SAMPLE) & !1];
    let zeros = |first: usize| {
        sample
            .iter()
            .skip(first)
            .step_by(2)
            .filter(|&&byte| byte == 0)
            .count()
    };
    let units = sample.len() / 2;
    // One character in four may be outside Latin-1: a comment in another script.
    let mostly = |count: usize| units > 0 && count * 4 >= units * 3;
    match (zeros(0), zeros(1)) {
        (0, odd) if mostly(odd) => Some((UTF_16LE, 0)),
        (even, 0) if mostly(even) => Some((UTF_16BE, 0)),
        _ => None,
    }
}

/// Control characters that no text file holds.
fn is_binary(sign: char) -> bool {
    sign.is_control()
        && !matches!(
            sign,
            '\t' | '\n' | '\r' | '\u{B}' | '\u{C}' | '\u{1A}' | '\u{85}'
        )
}
