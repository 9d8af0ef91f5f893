//! The rows of a delimited text, each with its true line, without those that hold nothing or a comment.

use csv_core::{ReadRecordResult, Reader, ReaderBuilder};

use super::fault::{Collector, Site};

/// Walks over the rows of a text, reusing its buffers.
#[derive(Debug)]
pub(super) struct Rows<'t> {
    rest: &'t [u8],
    /// The row read last, as it stands in the file.
    raw: &'t [u8],
    core: Reader,
    delimiter: u8,
    /// Line and spreadsheet row of the next byte.
    line: u64,
    row: u64,
    /// The row read last: where it stood, its cells one after the other, and where each ends.
    start: Site,
    cells: Vec<u8>,
    ends: Vec<usize>,
    written: usize,
    len: usize,
    lines: u64,
    closed: bool,
    comment: Option<(Site, &'t str)>,
}

/// A row that holds something.
#[derive(Debug, Clone, Copy)]
pub(super) struct Row<'r> {
    start: Site,
    cells: &'r str,
    ends: &'r [usize],
    /// The number of lines over which the row goes.
    lines: u64,
    closed: bool,
}

impl<'t> Rows<'t> {
    /// The rows of `text`, whose first line is the file's line and the spreadsheet's row at `start`.
    pub(super) fn new(text: &'t str, delimiter: u8, start: Site) -> Self {
        Self {
            rest: text.as_bytes(),
            raw: &[],
            core: ReaderBuilder::new().delimiter(delimiter).build(),
            delimiter,
            line: start.line,
            row: start.row,
            start,
            cells: vec![0; 256],
            ends: vec![0; 16],
            written: 0,
            len: 0,
            lines: 1,
            closed: true,
            comment: None,
        }
    }

    /// The next row that is not blank and no comment.
    pub(super) fn next(&mut self) -> Option<Row<'_>> {
        while self.advance() {
            let row = self.current();
            if row.is_comment() {
                self.comment = Some((self.start, text(self.raw)));
            } else if !row.is_blank() {
                return Some(self.current());
            }
        }
        None
    }

    /// As [`Rows::next`], unless enough is wrong with the rows so far.
    pub(super) fn next_after(&mut self, faults: &mut Collector) -> Option<Row<'_>> {
        if faults.gives_up() {
            return None;
        }
        self.next()
    }

    /// The comment nearest before the row read last, if any, from its `#` on.
    pub(super) fn comment(&self) -> Option<(Site, &'t str)> {
        self.comment
    }

    /// The bytes not read yet.
    pub(super) fn rest(&self) -> &'t [u8] {
        self.rest
    }

    fn current(&self) -> Row<'_> {
        Row {
            start: self.start,
            cells: text(&self.cells[..self.written]),
            ends: &self.ends[..self.len],
            lines: self.lines,
            closed: self.closed,
        }
    }

    /// Reads one row into the buffers; false at the end of the text.
    fn advance(&mut self) -> bool {
        self.skip_comments();
        if self.rest.is_empty() {
            return false;
        }
        self.start = Site {
            line: self.line,
            row: self.row,
            column: 0,
        };
        let mut length = self.split();
        if self.rest[..length].ends_with(b"\r") && self.rest.get(length) == Some(&b'\n') {
            length += 1;
        }
        (self.raw, self.rest) = self.rest.split_at(length);
        // Only inside quotes does a row go on over a line end.
        self.lines = if self.raw.contains(&b'"') {
            line_ends(self.raw)
        } else {
            1
        };
        self.line += self.lines;
        self.row += 1;
        true
    }

    /// Splits the next row into the buffers and gives its length in the text.
    fn split(&mut self) -> usize {
        let text = self.rest;
        let mut read = 0;
        (self.written, self.len, self.closed) = (0, 0, true);
        self.core.reset();
        loop {
            let at_end = read == text.len();
            // A line end after the last byte ends the last row, unless it stands inside quotes.
            let input = if at_end { b"\n" } else { &text[read..] };
            let (cells, ends) = (&mut self.cells[self.written..], &mut self.ends[self.len..]);
            let (result, taken, written, ended) = self.core.read_record(input, cells, ends);
            read = (read + taken).min(text.len());
            self.written += written;
            self.len += ended;
            match result {
                ReadRecordResult::OutputFull => self.cells.resize(2 * self.cells.len(), 0),
                ReadRecordResult::OutputEndsFull => self.ends.resize(2 * self.ends.len(), 0),
                ReadRecordResult::InputEmpty if at_end => {
                    self.closed = false;
                    self.ends.truncate(self.len);
                    self.ends.push(self.written);
                    self.len += 1;
                    return read;
                }
                ReadRecordResult::InputEmpty => {}
                ReadRecordResult::Record | ReadRecordResult::End => return read,
            }
        }
    }

    /// Skips line ends and comments: a comment may hold a quote that would swallow the rest of the file.
    fn skip_comments(&mut self) {
        loop {
            let length = match self.rest {
                [b'\r', b'\n', ..] => 2,
                [b'\r' | b'\n', ..] => 1,
                [b'#', ..] if !is_spreadsheet_error(self.rest, self.delimiter) => {
                    let length = self
                        .rest
                        .iter()
                        .position(|byte| matches!(byte, b'\r' | b'\n'));
                    let (comment, rest) = self.rest.split_at(length.unwrap_or(self.rest.len()));
                    let site = Site {
                        line: self.line,
                        row: self.row,
                        column: 0,
                    };
                    self.comment = Some((site, text(comment)));
                    self.rest = rest;
                    match rest {
                        [b'\r', b'\n', ..] => 2,
                        [_, ..] => 1,
                        [] => return,
                    }
                }
                _ => return,
            };
            self.rest = &self.rest[length..];
            self.line += 1;
            self.row += 1;
        }
    }
}

impl<'r> Row<'r> {
    /// The number of cells, blank ones included.
    pub(super) fn len(self) -> usize {
        self.ends.len()
    }

    /// The number of cells up to the last that is not blank.
    pub(super) fn filled(self) -> usize {
        (0..self.len())
            .rev()
            .find(|&column| !self.cell(column).is_empty())
            .map_or(0, |column| column + 1)
    }

    /// The first column from `from` on that is not blank, or the number of cells.
    pub(super) fn first_filled(self, from: usize) -> usize {
        (from..self.len())
            .find(|&column| !self.cell(column).is_empty())
            .unwrap_or(self.len())
    }

    /// A cell without the space around it; empty where the row is shorter.
    pub(super) fn cell(self, column: usize) -> &'r str {
        let Some(&end) = self.ends.get(column) else {
            return "";
        };
        let cell = self
            .cells
            .get(self.cell_start(column)..end)
            .unwrap_or_default();
        // Most cells have no space around them, and looking for it costs as much as reading the number.
        match cell.as_bytes() {
            [b'!'..=b'~'] | [b'!'..=b'~', .., b'!'..=b'~'] => cell,
            _ => cell.trim(),
        }
    }

    pub(super) fn cells(self) -> impl Iterator<Item = &'r str> {
        (0..self.len()).map(move |column| self.cell(column))
    }

    /// Where a cell of the row stands: on the line where it begins.
    pub(super) fn site(self, column: usize) -> Site {
        // Only a quoted cell before it can hold line ends.
        let before = if self.lines > 1 {
            line_ends(&self.cells.as_bytes()[..self.cell_start(column)])
        } else {
            0
        };
        Site {
            line: self.start.line + before,
            column,
            ..self.start
        }
    }

    fn cell_start(self, column: usize) -> usize {
        column
            .checked_sub(1)
            .and_then(|before| self.ends.get(before))
            .copied()
            .unwrap_or(0)
    }

    /// The column of a quote that nothing closes before the end of the file.
    pub(super) fn unclosed(self) -> Option<usize> {
        (!self.closed).then(|| self.len() - 1)
    }

    fn is_blank(self) -> bool {
        self.cells().all(str::is_empty)
    }

    /// A comment that a spreadsheet has put in quotes or moved to the right.
    fn is_comment(self) -> bool {
        let first = self.cell(0);
        first.starts_with('#') && !(self.filled() > 1 && is_error_value(first))
    }
}

/// A piece of the text. It was cut at ASCII characters, so it is text itself.
fn text(piece: &[u8]) -> &str {
    std::str::from_utf8(piece).unwrap_or_default()
}

/// Whether a row begins with what a spreadsheet shows for a failed formula, such as `#DIV/0!`: no comment.
fn is_spreadsheet_error(row: &[u8], delimiter: u8) -> bool {
    let cell = row
        .iter()
        .take(64)
        .position(|&byte| byte == delimiter)
        .map(|end| &row[..end]);
    cell.is_some_and(|cell| is_error_value(text(cell)))
}

/// Whether a cell shows a failed formula, or a column that was too narrow when it was saved.
pub(super) fn is_error_value(cell: &str) -> bool {
    let Some(name) = cell.strip_prefix('#') else {
        return false;
    };
    let one_word = !name.contains(char::is_whitespace);
    one_word
        && (name.ends_with(['!', '?'])
            || matches!(name, "N/A" | "NV" | "N/D")
            || is_row_of_hashes(name))
}

fn is_row_of_hashes(name: &str) -> bool {
    !name.is_empty() && name.bytes().all(|byte| byte == b'#')
}

/// The line ends in a piece of text: CRLF, LF and CR count once each.
pub(super) fn line_ends(text: &[u8]) -> u64 {
    let ends = text.iter().enumerate().filter(|&(at, byte)| match byte {
        b'\n' => true,
        b'\r' => text.get(at + 1) != Some(&b'\n'),
        _ => false,
    });
    ends.count() as u64
}
