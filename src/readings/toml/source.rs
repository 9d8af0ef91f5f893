//! The text of a file, and how a piece of it is shown under a message.

use std::ops::Range;

use super::keys::Keys;
use crate::readings::fault::{Fault, Problem, Shown, Site};

/// The most characters of a line that are shown, so that a message fits 80 columns.
const SHOWN: usize = 70;

/// A kind of file.
#[derive(Debug, Clone, Copy)]
pub(in crate::readings) struct Kind {
    /// What it is called in messages, such as `board file`.
    pub(in crate::readings) name: &'static str,
    /// Its tables, the top first: a key that strayed is looked for in all of them.
    pub(in crate::readings) tables: &'static [Keys],
}

/// A text with the starts of its lines.
#[derive(Debug)]
pub(in crate::readings) struct Source<'t> {
    pub(in crate::readings) text: &'t str,
    pub(in crate::readings) kind: Kind,
    starts: Vec<usize>,
}

impl<'t> Source<'t> {
    pub(in crate::readings) fn new(text: &'t str, kind: Kind) -> Self {
        let ends = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n');
        let starts = std::iter::once(0)
            .chain(ends.map(|(at, _)| at + 1))
            .collect();
        Self { text, kind, starts }
    }

    /// The piece of the text; nothing where there is none.
    pub(in crate::readings) fn piece(&self, span: &Range<usize>) -> &'t str {
        self.text.get(span.clone()).unwrap_or_default()
    }

    /// The line, from 0, that holds the byte at `at`.
    pub(in crate::readings) fn line_of(&self, at: usize) -> usize {
        self.starts
            .partition_point(|start| *start <= at)
            .saturating_sub(1)
    }

    /// Where a line lies, without its end; empty after the last one.
    pub(in crate::readings) fn line(&self, line: usize) -> Range<usize> {
        let start = self.starts.get(line).copied().unwrap_or(self.text.len());
        let end = self
            .starts
            .get(line + 1)
            .map_or(self.text.len(), |next| next - 1);
        let text = self.piece(&(start..end));
        start..start + text.strip_suffix('\r').unwrap_or(text).len()
    }

    /// A fault of a piece of the text: where it stands among the others, and its message.
    pub(in crate::readings) fn fault(
        &self,
        span: &Range<usize>,
        place: &str,
        problem: Problem,
    ) -> (Site, Fault) {
        let line = self.line_of(span.start.min(self.text.len()));
        let site = Site {
            line: line as u64 + 1,
            row: 0,
            column: span.start,
        };
        let Problem { wrong, fix } = problem;
        let shown = |text: String| match text.contains(char::is_control) {
            true => text.replace(char::is_control, "\u{FFFD}"),
            false => text,
        };
        let fault = Fault {
            line: Some(site.line),
            cell: None,
            place: Some(place.to_owned()).filter(|place| !place.is_empty()),
            found: None,
            wrong: shown(wrong),
            fix: shown(fix),
            shown: Some(self.shown(line, span)).filter(|shown| !shown.text.trim().is_empty()),
        };
        (site, fault)
    }

    /// The line with the part of `span` that lies in it.
    fn shown(&self, line: usize, span: &Range<usize>) -> Shown {
        let of_line = self.line(line);
        let whole = self.piece(&of_line);
        let inside = |at: usize| at.clamp(of_line.start, of_line.end) - of_line.start;
        let count = |to: usize| whole.char_indices().take_while(|(at, _)| *at < to).count();
        let (first, last) = (count(inside(span.start)), count(inside(span.end)));
        let length = whole.chars().count();
        let width = (last - first).max(1);
        // Of a long line, the part around the culprit; indentation is not shown.
        let indent = whole
            .chars()
            .take_while(|sign| sign.is_whitespace())
            .count()
            .min(first);
        let (from, to) = if length - indent <= SHOWN {
            (indent, length)
        } else {
            let room = SHOWN.saturating_sub(width.min(SHOWN)) / 2;
            let from = first.saturating_sub(room).clamp(indent, length - SHOWN);
            (from, from + SHOWN)
        };
        let text: String = whole
            .chars()
            .skip(from)
            .take(to - from)
            .map(plain)
            .collect();
        // Space at the end of a line is not seen: the carets go no further than one place beyond what is.
        let text = text.trim_end().to_owned();
        let seen = text.chars().count();
        let column = (first - from).min(seen + 1);
        Shown {
            width: width.min(seen.saturating_sub(column).max(1)),
            text,
            column,
        }
    }
}

/// A character that takes one column of a terminal, as far as can be told.
fn plain(sign: char) -> char {
    match sign {
        '\t' => ' ',
        _ if sign.is_control() || sign.escape_debug().count() > 1 && !"'\"\\".contains(sign) => {
            '\u{FFFD}'
        }
        _ => sign,
    }
}
