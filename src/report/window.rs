//! The answer in the pieces that stand beside a drawn board, unwrapped.

use super::cut_first::Sheet;
use super::headline::hundredths;
use super::page::Page;
use super::pen::Pen;
use super::words;
use crate::board::Outline;
use crate::cutting::{CutFirst, Way};
use crate::flatten::Answer;
use crate::length::{Length, Notation, Rounding};

/// The lines that answer.
#[must_use]
pub fn answer_lines(answer: &Answer, notation: Notation) -> Vec<String> {
    let lines = Page::new(answer, None, notation).headlines();
    lines.iter().map(|line| unwrapped(line)).collect()
}

/// What is wrong with the board and its readings.
#[must_use]
pub fn trouble_lines(answer: &Answer, notation: Notation) -> Vec<String> {
    words::all(&Page::new(answer, None, notation))
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

/// What each piece of a way to cut comes to, with the chance of the thickness that is needed.
#[must_use]
pub fn piece_lines(
    way: &Way,
    outline: &Outline,
    need: Option<f64>,
    notation: Notation,
) -> Vec<String> {
    let pen = Pen(notation);
    let pieces = way.pieces.iter().map(|piece| {
        let [from, to] = [piece.window.from, piece.window.to].map(|x| pen.place(x - outline.x0));
        let left = piece.interval;
        let chance = need.map_or_else(String::new, |need| {
            let chance = hundredths(piece.chance(need));
            format!("; {}: {chance} in 100", pen.place(need))
        });
        format!(
            "{from} to {to}: {} ({} to {} nine times in ten){chance}",
            notation.write(Length::from_mm(left.expected), Rounding::Down),
            pen.number(left.low, Rounding::Down),
            pen.number(left.high, Rounding::Up),
        )
    });
    pieces.collect()
}

/// What is proposed of a board that may be cut first, and what each piece then comes to.
#[must_use]
pub fn proposal_lines(answer: &CutFirst, need: Option<f64>, notation: Notation) -> Vec<String> {
    let headline = unwrapped(&Sheet::new(answer, notation).headline());
    let pieces = answer
        .best
        .map(|best| piece_lines(&answer.ways[best], &answer.outline, need, notation));
    std::iter::once(headline)
        .chain(pieces.unwrap_or_default())
        .collect()
}

fn unwrapped(text: &str) -> String {
    text.split_whitespace().collect::<Vec<&str>>().join(" ")
}
