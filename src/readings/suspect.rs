//! Why a cell is no number: what spreadsheets and hurried hands make of one.

use super::fault::{Problem, visible};
use super::number::Role;
use super::rows::is_error_value;
use crate::length::{self, DecimalMark, LengthError, Unit};

/// What people write in the cell of a reading that they did not take.
const NOT_TAKEN: [&str; 20] = [
    "-", "--", "---", "–", "—", "x", "?", "n/a", "na", "n.a.", "k.a.", "none", "null", "nil",
    "nan", "-nan", "missing", "skip", ".", "*",
];

const INFINITE: [&str; 8] = [
    "inf",
    "+inf",
    "-inf",
    "infinity",
    "+infinity",
    "-infinity",
    "∞",
    "-∞",
];

/// The first letters of the months in English, German, French, Spanish, Italian and Dutch.
const MONTHS: [&str; 30] = [
    "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec", "mrz",
    "mär", "mai", "okt", "dez", "fév", "avr", "juin", "juil", "aoû", "déc", "ene", "abr", "ago",
    "dic", "gen", "mag", "mrt",
];

/// What is wrong with a cell that `error` says is no length.
pub(super) fn problem(text: &str, role: Role, delimiter: u8, error: &LengthError) -> Problem {
    let lower = text.to_lowercase();
    let blank = match role {
        Role::Reading => "leave the cell of a reading that was not taken blank",
        Role::Place => "write where the readings were taken",
        Role::Size => "write the finished size",
    };
    if text.contains(['\n', '\r']) {
        let fix = "close its quote, and write quotes inside it twice";
        return Problem::new("the cell runs over several lines", fix);
    }
    if is_error_value(text) {
        let fix = match role {
            Role::Reading => "repair it in the spreadsheet, or leave the cell blank",
            Role::Place | Role::Size => "repair it in the spreadsheet",
        };
        return Problem::new("a formula that failed", fix);
    }
    if text.starts_with('=') {
        return Problem::new(
            "a formula, not its value",
            "save the sheet with the values shown",
        );
    }
    if NOT_TAKEN.contains(&lower.as_str()) {
        return Problem::new("not a number", blank);
    }
    if INFINITE.contains(&lower.as_str()) {
        return Problem::new("not a length that can be measured", blank);
    }
    if is_date(&lower) {
        let fix = "format the cells as text and type it again";
        return Problem::new("a date, made of a fraction by the spreadsheet", fix);
    }
    if let Some(sign) = text.chars().find(|sign| "%°$€£".contains(*sign)) {
        return Problem::new(
            format!("\"{sign}\" is no unit of length"),
            "format the cells as plain numbers",
        );
    }
    if let Some(problem) = grouped(text, delimiter) {
        return problem;
    }
    if delimiter == b',' && text.contains(',') {
        let wrong = "a decimal comma where commas part the cells";
        return Problem::new(wrong, "write a point, or part the cells by semicolons");
    }
    if let Some(digits) = letters_as_digits(text) {
        return Problem::new(
            "a letter among the digits",
            format!("if {digits} is meant, write it so"),
        );
    }
    if !text.contains(char::is_numeric) {
        return Problem::new(
            "not a number",
            "write a length such as 38 mm or 1-3/16 in; put # before a remark",
        );
    }
    from_length(text, error)
}

/// The reason that the length itself gives. Its message begins with the text, which the fault quotes already.
fn from_length(text: &str, error: &LengthError) -> Problem {
    let message = error.to_string();
    let reason = message
        .strip_prefix(&format!("\"{text}\": "))
        .unwrap_or(&message);
    let (wrong, fix) = reason
        .split_once("; ")
        .unwrap_or((reason, "write a length such as 38 mm or 1-3/16 in"));
    Problem::new(wrong, fix)
}

/// Whether a text in lower case is a date as spreadsheets show it: `16-mar`, `mar-16`, `16. mrz`, `16.03.2026`,
/// `16.3.`, `2026-03-16 00:00:00`.
fn is_date(text: &str) -> bool {
    if let Some((date, time)) = text.split_once([' ', 't'])
        && time.contains(':')
    {
        return is_date(date);
    }
    let mut parts = text
        .split(|sign: char| " -./,'’".contains(sign))
        .filter(|part| !part.is_empty());
    let (mut months, mut numbers) = (0, Vec::new());
    let known = parts.all(|part| {
        let number = part.parse::<u32>().ok().filter(|_| part.len() <= 4);
        numbers.extend(number);
        months += usize::from(is_month(part));
        number.is_some() || is_month(part)
    });
    // Day and month, or day, month and year in any order, with the same sign twice.
    let parted = ["-", ".", "/"]
        .iter()
        .any(|sign| text.matches(sign).count() == 2);
    let days = numbers
        .iter()
        .filter(|number| (1..=31).contains(*number))
        .count();
    let in_year = numbers.iter().any(|number| (1..=12).contains(number)) && days >= 2;
    known
        && match (months, numbers.len()) {
            (1, 1 | 2) => true,
            (0, 2) => text.ends_with('.') && parted && in_year,
            (0, 3) => parted && in_year && numbers.iter().any(|number| *number > 12),
            _ => false,
        }
}

fn is_month(part: &str) -> bool {
    let word = part.chars().count() <= 9 && part.chars().all(char::is_alphabetic);
    word && MONTHS.iter().any(|month| part.starts_with(month))
}

/// Whether signs part the thousands of a number, or may do so: `1,234.5`, `1.234,5`, `1 234`, `1'234`, `1,234`.
fn grouped(text: &str, delimiter: u8) -> Option<Problem> {
    const PARTING: [char; 7] = [',', '.', '\'', '’', ' ', '\u{A0}', '\u{202F}'];
    let number = text.trim_start_matches(['-', '+']);
    let sign = &text[..text.len() - number.len()];
    let parting = number.chars().find(|sign| PARTING.contains(sign))?;
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    // The last other mark stands before decimals.
    let (whole, mark, decimals) = match number
        .char_indices()
        .rev()
        .find(|(_, sign)| ".,".contains(*sign))
    {
        Some((at, mark)) if mark != parting => (&number[..at], Some(mark), &number[at + 1..]),
        _ => (number, None, ""),
    };
    let mut groups = whole.split(parting);
    let lead = groups
        .next()
        .filter(|lead| digits(lead) && lead.len() <= 3)?;
    let rest: Vec<&str> = groups.collect();
    let even = !rest.is_empty() && rest.iter().all(|group| digits(group) && group.len() == 3);
    if !even || mark.is_some() && !digits(decimals) {
        return None;
    }
    let joined = format!("{sign}{lead}{}", rest.concat());
    if let Some(mark) = mark {
        let mark = if delimiter == b',' { '.' } else { mark };
        return Some(Problem::new(
            "a sign between the thousands",
            format!("write {joined}{mark}{decimals}"),
        ));
    }
    if rest.len() == 1 && ".,".contains(parting) {
        let fix = format!("write {joined} or {sign}{lead}.{}", rest[0]);
        return Some(Problem::new(
            "a sign between the thousands, or a decimal mark",
            fix,
        ));
    }
    Some(Problem::new(
        "a sign between the thousands",
        format!("write {joined}"),
    ))
}

/// The number that a cell becomes when letters that look like digits are taken as these: `1O` is 10.
fn letters_as_digits(text: &str) -> Option<String> {
    let digits: String = text
        .chars()
        .map(|sign| match sign {
            'O' | 'o' | 'О' => '0',
            'l' | 'I' | '|' => '1',
            'S' => '5',
            'B' => '8',
            _ => sign,
        })
        .collect();
    let reads = |mark| length::read(&digits, Some(Unit::Millimetre), mark).is_ok();
    (digits != text && (reads(DecimalMark::Point) || reads(DecimalMark::Comma)))
        .then(|| visible(&digits))
}
