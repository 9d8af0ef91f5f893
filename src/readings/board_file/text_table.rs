//! Tables of readings, as text in the board file or in a file that it names, and their faults in the board file's terms.

use std::ops::Range;

use crate::length::Unit;
use crate::readings::fault::{Collector, Problem, visible};
use crate::readings::toml::reader::{Place, Reader};
use crate::readings::toml::tree::{Node, Value};
use crate::readings::{Fault, Faults};

/// The text of a table and where it stands.
#[derive(Debug)]
pub(super) struct Text<'n> {
    pub(super) node: &'n Node,
    pub(super) bytes: Vec<u8>,
    /// The file that it was fetched from.
    file: Option<&'n str>,
}

impl Reader<'_, '_> {
    /// The readings of a key's value as text: the value itself.
    pub(super) fn inline_text<'n>(&self, node: &'n Node) -> Option<Text<'n>> {
        match &node.value {
            Value::Text(text) => Some(Text {
                node,
                bytes: text.clone().into_bytes(),
                file: None,
            }),
            _ => None,
        }
    }

    /// The readings of a table with the key `table` or the key `file`; nothing where they are at fault or are to be
    /// passed over.
    pub(super) fn text_in<'n>(&mut self, place: Place<'n>) -> Option<Text<'n>> {
        match (place.table.get("table"), place.table.get("file")) {
            (Some(node), None) => {
                let text = self.inline_text(node);
                if text.is_none() {
                    let fix = "write the rows between two lines of three quotes: \"\"\"";
                    self.wrong_sort(node, &place.key("table"), "a table in text", fix);
                }
                text
            }
            (None, Some(node)) => self.fetched(node, &place.key("file")),
            (Some(_), Some(node)) => {
                let wrong = "the readings are given both as text and as a file";
                self.fault(&node.span, &place.key("file"), wrong, "keep one of them");
                None
            }
            (None, None) => {
                let wrong = "neither table nor file says what was read";
                self.fault(
                    place.span,
                    place.name,
                    wrong,
                    "write table = \"\"\"…\"\"\" or file = \"….csv\"",
                );
                None
            }
        }
    }

    fn fetched<'n>(&mut self, node: &'n Node, place: &str) -> Option<Text<'n>> {
        let Value::Text(name) = &node.value else {
            self.wrong_sort(node, place, "the name of a file", "write it in quotes");
            return None;
        };
        if name.trim().is_empty() {
            self.fault(
                &node.span,
                place,
                "no file is named",
                "write its name, or remove the key",
            );
            return None;
        }
        let load = self.load.as_mut()?;
        match load(name.trim()) {
            Ok(bytes) => Some(Text {
                node,
                bytes,
                file: Some(name.trim()),
            }),
            Err(reason) => {
                let (wrong, fix) = reason
                    .split_once("; ")
                    .unwrap_or((&reason, "check its name; it lies beside the board file"));
                self.fault(&node.span, place, wrong, fix);
                None
            }
        }
    }

    /// Reads a text with `read`, and again in millimetres where nothing but the unit is missing.
    pub(super) fn read_text<T>(
        &mut self,
        text: &Text<'_>,
        place: &str,
        mut read: impl FnMut(&[u8], Option<Unit>) -> Result<T, Faults>,
    ) -> Option<T> {
        let faults = match read(&text.bytes, self.unit) {
            Ok(table) => return Some(table),
            Err(faults) => faults,
        };
        let faults = if self.unit.is_some() {
            faults
        } else {
            match read(&text.bytes, Some(Unit::Millimetre)) {
                Ok(table) => {
                    self.without_unit(&first_line(&text.node.span, self.source.text), place);
                    return Some(table);
                }
                Err(faults) => faults,
            }
        };
        self.faults_of(text, place, faults);
        None
    }

    /// Reports what a reader of tables found.
    fn faults_of(&mut self, text: &Text<'_>, place: &str, faults: Faults) {
        let more = faults.more;
        for fault in faults.faults {
            self.fault_of(text, place, fault);
        }
        if more > 0 {
            let wrong = format!("{more} more in the same table");
            self.fault(&text.node.span, place, wrong, "mend the others first");
        }
    }

    fn fault_of(&mut self, text: &Text<'_>, place: &str, fault: Fault) {
        let source = self.source;
        let span = &text.node.span;
        let fix = in_board_terms(&fault.fix).map_or(fault.fix, str::to_owned);
        if let Some(file) = text.file {
            let line = fault
                .line
                .map_or(String::new(), |line| format!(" line {line}"));
            let cell = fault.cell.map_or(String::new(), |cell| format!(", {cell}"));
            let place = format!("{place}: {}{line}{cell}", visible(file));
            self.fault(span, &place, quoting(fault.found, fault.wrong), fix);
            return;
        }
        let inside = fault
            .place
            .map_or(place.to_owned(), |inside| format!("{place}, {inside}"));
        let start = content_start(source.piece(span), &text.bytes).map(|start| span.start + start);
        let (Some(start), Some(line)) = (start, fault.line) else {
            let wrong = quoting(fault.found, fault.wrong);
            self.fault(&first_line(span, source.text), &inside, wrong, fix);
            return;
        };
        let of_line = source.line(source.line_of(start) + line as usize - 1);
        let of_line = of_line.start.max(start)..of_line.end.max(start);
        let shown = source.piece(&of_line);
        let within = cell_span(shown, fault.cell.as_deref(), fault.found.as_deref());
        let span = of_line.start + within.start..of_line.start + within.end;
        self.fault(&span, &inside, fault.wrong, fix);
    }
}

/// What is wrong, behind the text that was found.
fn quoting(found: Option<String>, wrong: String) -> String {
    match found {
        Some(found) => format!("\"{found}\": {wrong}"),
        None => wrong,
    }
}

/// Advice that the readers of CSV files give in terms of the command line, in those of the board file.
fn in_board_terms(fix: &str) -> Option<&'static str> {
    const TERMS: [(&str, &str); 3] = [
        (
            "give it as --calipers",
            "put it under calipers, and the heights under heights",
        ),
        (
            "give it as the board;",
            "put it under heights; caliper readings are x, y, thickness",
        ),
        (
            "write the header x, y, thickness;",
            "write the line x, y, thickness above the rows",
        ),
    ];
    let known = TERMS.iter().find(|(given, _)| fix.starts_with(given));
    known.map(|(_, own)| *own)
}

/// The part of a span on its first line.
fn first_line(span: &Range<usize>, text: &str) -> Range<usize> {
    let piece = text.get(span.clone()).unwrap_or_default();
    let end = piece.find(['\r', '\n']).unwrap_or(piece.len());
    span.start..span.start + end
}

/// Where in a quoted text its content begins, if it stands there as it reads.
pub(super) fn content_start(quoted: &str, content: &[u8]) -> Option<usize> {
    let content = std::str::from_utf8(content).ok()?;
    let long = ["\"\"\"", "'''"]
        .iter()
        .find(|quote| quoted.starts_with(**quote));
    let mut start = if long.is_some() { 3 } else { 1 };
    let mut body = quoted.get(start..quoted.len().checked_sub(start)?)?;
    if long.is_some() {
        let trimmed = body
            .strip_prefix("\r\n")
            .or_else(|| body.strip_prefix('\n'))
            .unwrap_or(body);
        start += body.len() - trimmed.len();
        body = trimmed;
    }
    let plain = |text: &str| text.replace("\r\n", "\n");
    (plain(body) == plain(content)).then_some(start)
}

/// Where in a row the cell stands whose letters `cell` begins with; the whole row where it cannot be told.
fn cell_span(row: &str, cell: Option<&str>, found: Option<&str>) -> Range<usize> {
    let indent = row.len() - row.trim_start().len();
    let whole = indent..row.trim_end().len().max(indent);
    let Some(cell) = cell else { return whole };
    let letters = cell.bytes().take_while(u8::is_ascii_uppercase);
    let column = letters.fold(0, |column, letter| {
        column * 26 + usize::from(letter - b'A') + 1
    });
    let found = found.unwrap_or_default();
    for delimiter in ['\t', ';', ','] {
        let Some(span) = cells(row, delimiter)
            .into_iter()
            .nth(column.saturating_sub(1))
        else {
            continue;
        };
        let text = row[span.clone()].trim_matches('"').trim();
        if visible(text) == found {
            return if span.is_empty() {
                span.start..span.start + 1
            } else {
                span
            };
        }
    }
    match row.find(found) {
        Some(at) if !found.is_empty() => at..at + found.len(),
        _ => whole,
    }
}

/// The cells of a row, without the space around them.
pub(super) fn cells(row: &str, delimiter: char) -> Vec<Range<usize>> {
    let mut cells = Vec::new();
    let mut start = 0;
    let mut quoted = false;
    let ends = row.char_indices().chain([(row.len(), delimiter)]);
    for (at, sign) in ends {
        if sign == '"' {
            // Inches after a number are no quotes.
            quoted = if quoted {
                false
            } else {
                row[start..at].trim().is_empty()
            };
        }
        if sign == delimiter && (!quoted || at == row.len()) {
            let cell = &row[start..at];
            let from = start + cell.len() - cell.trim_start().len();
            cells.push(from..from + cell.trim().len());
            start = at + sign.len_utf8();
        }
    }
    cells
}

/// A collector's faults where a table in text is read by hand.
pub(super) fn one_fault(problem: Problem) -> Faults {
    let mut faults = Collector::default();
    faults.file(problem);
    faults.faults("")
}
