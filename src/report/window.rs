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

/// The shims that hold it in the shimmed way: a heading, then a row a station; empty where nothing survives.
#[must_use]
pub fn shim_rows(answer: &Answer, notation: Notation) -> Vec<Vec<String>> {
    let write = |mm: f64| notation.write(Length::from_mm(mm), Rounding::Nearest);
    let heading = ["from end A", "near edge", "far edge"].map(str::to_owned);
    let rows = answer.shims.iter().map(|shim| {
        let station = shim.station - answer.outline.x0;
        [station, shim.near, shim.far].map(write).to_vec()
    });
    std::iter::once(heading.to_vec()).chain(rows).collect()
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
