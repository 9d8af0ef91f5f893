//! The answer in the pieces that stand beside a drawn board, unwrapped.

use super::page::Page;
use super::words;
use crate::flatten::{Answer, Interval};
use crate::length::{Length, Notation, Rounding};

/// The lines that answer.
#[must_use]
pub fn answer_lines(answer: &Answer, notation: Notation) -> Vec<String> {
    let lines = Page::new(answer, notation).headlines();
    lines.iter().map(|line| unwrapped(line)).collect()
}

/// What is wrong with the board and its readings.
#[must_use]
pub fn trouble_lines(answer: &Answer, notation: Notation) -> Vec<String> {
    words::all(answer, notation)
        .iter()
        .map(|note| unwrapped(note))
        .collect()
}

/// How to lay it: the shims, and what holds it. Columns, for letters of even width.
#[must_use]
pub fn laying_lines(answer: &Answer, notation: Notation) -> String {
    let page = Page::new(answer, notation);
    let shims = page.shims().unwrap_or_else(|| "Without shims.".to_owned());
    let rest = shims.split_once('\n').map_or("", |(_, rows)| rows);
    format!("Shims under the down face, up face cut first\n{rest}")
}

/// What a piece from one station to another comes to.
#[must_use]
pub fn piece_line([from, to]: [f64; 2], interval: Interval, notation: Notation) -> String {
    let write = |mm: f64, rounding| notation.number(Length::from_mm(mm), rounding);
    format!(
        "{} to {}: {} ({} to {} nine times in ten)",
        write(from, Rounding::Nearest),
        write(to, Rounding::Nearest),
        notation.write(Length::from_mm(interval.expected), Rounding::Down),
        write(interval.low, Rounding::Down),
        write(interval.high, Rounding::Up),
    )
}

fn unwrapped(text: &str) -> String {
    text.split_whitespace().collect::<Vec<&str>>().join(" ")
}
