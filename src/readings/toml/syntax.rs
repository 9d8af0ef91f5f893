//! From text to a tree. A slip is reported and patched over, so that all that is wrong with a file is told at once.

use std::ops::Range;

use super::slips::{Repair, Slip, slip};
use super::source::Source;
use super::tree::{self, Table};
use crate::readings::fault::{Collector, Problem};

/// After so many slips in the writing the rest of a file is not looked at.
const MOST_SLIPS: usize = 20;

/// The tree of a text; nothing where so much is wrong with it that it cannot be read on, which is reported.
pub(in crate::readings) fn parse(source: &Source<'_>, faults: &mut Collector) -> Option<Table> {
    let mut text = source.text.to_owned();
    let mut holes = Vec::new();
    let mut torn = false;
    let mut lines: Vec<usize> = Vec::new();
    for _ in 0..MOST_SLIPS {
        let error = match toml_edit::Document::parse(text.as_str()) {
            Ok(document) if torn => {
                drop(document);
                return None;
            }
            Ok(document) => return Some(tree::table(document.as_table(), &holes)),
            Err(error) => error,
        };
        let span = error.span().unwrap_or(0..0);
        let Slip {
            span,
            wrong,
            fix,
            repair,
        } = slip(source, &text, &span, error.message());
        let line = source.line_of(span.start);
        if lines.contains(&line) && !matches!(repair, Repair::Comma(_)) {
            // The patch did not hold: what else is found there would only confuse.
            return None;
        }
        lines.push(line);
        let (site, fault) = source.fault(&span, "", Problem::new(wrong, fix));
        faults.told(site, fault);
        match repair {
            Repair::Value(hole) => {
                fill(&mut text, &hole, "0");
                holes.push(hole);
            }
            Repair::Comma(at) => fill(&mut text, &(at..at + 1), ","),
            Repair::Twice(statement) => fill(&mut text, &statement, ""),
            Repair::Lines(lines) => {
                fill(&mut text, &lines, "");
                torn = true;
            }
            Repair::None => return None,
        }
    }
    None
}

/// Writes `with` over a piece of the text and blanks the rest of it, so that what follows keeps its place.
fn fill(text: &mut String, span: &Range<usize>, with: &str) {
    let blank = |(at, byte): (usize, u8)| match with.as_bytes().get(at) {
        Some(byte) => char::from(*byte),
        None if byte == b'\n' || byte == b'\r' => char::from(byte),
        None => ' ',
    };
    let piece = text.get(span.clone()).unwrap_or_default();
    let blanked: String = piece.bytes().enumerate().map(blank).collect();
    if text.get(span.clone()).is_some() {
        text.replace_range(span.clone(), &blanked);
    }
}
