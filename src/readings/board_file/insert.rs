//! Where in the text of a board file something new goes: a key, a reading in a list, a row of a table, a cell of a grid.

use std::ops::Range;

use super::exact::cell;
use super::text_table::{cells, content_start};
use crate::length::Unit;
use crate::readings::fault::Problem;
use crate::readings::header::corner_unit;
use crate::readings::toml::reader::read_length;
use crate::readings::toml::source::Source;
use crate::readings::toml::tree::{Node, Table, Value};

/// Places nearer than this are the same, mm.
pub(super) const SAME_MM: f64 = 1e-6;

/// A text in which one thing is inserted.
pub(super) struct Edit<'s> {
    pub(super) source: &'s Source<'s>,
    /// As the text ends its lines.
    end: &'static str,
}

/// How a table of heights is laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Layout {
    /// Columns x, y, z under a header.
    Columns,
    Grid,
}

/// A row of a table in text: its place in the file, and its cells.
pub(super) struct Row {
    line: Range<usize>,
    pub(super) cells: Vec<Range<usize>>,
}

impl<'s> Edit<'s> {
    pub(super) fn new(source: &'s Source<'s>) -> Self {
        let end = if source.text.contains("\r\n") {
            "\r\n"
        } else {
            "\n"
        };
        Self { source, end }
    }

    /// The text with `new` before the byte at `at`.
    fn with(&self, at: usize, new: &str) -> String {
        let (before, after) = self.source.text.split_at(at);
        format!("{before}{}{after}", new.replace('\n', self.end))
    }

    /// A new table at the end of the text.
    pub(super) fn new_table(&self, header: &str, lines: &str) -> String {
        let text = self.source.text;
        let gap = match text {
            "" => "",
            _ if text.ends_with("\n\n") || text.ends_with("\r\n\r\n") => "",
            _ if text.ends_with('\n') => "\n",
            _ => "\n\n",
        };
        self.with(text.len(), &format!("{gap}{header}\n{lines}"))
    }

    /// A new key behind the last one of a table with a header of its own, before tables within it.
    pub(super) fn new_key(&self, node: &Node, table: &Table, lines: &str) -> String {
        let own = table
            .entries
            .iter()
            .filter(|entry| !self.has_header(&entry.node));
        let last = own.map(|entry| entry.node.span.end).max();
        let header = self.source.line(self.source.line_of(node.span.start)).end;
        let line = self
            .source
            .line(self.source.line_of(last.unwrap_or(header)));
        self.after_line(line.end, lines)
    }

    /// Whole lines behind the line that ends at `end`.
    fn after_line(&self, end: usize, lines: &str) -> String {
        let rest = &self.source.text[end..];
        match rest.find('\n') {
            Some(next) => self.with(end + next + 1, lines),
            None => self.with(self.source.text.len(), &format!("\n{lines}")),
        }
    }

    /// Whether a value is written as tables with headers.
    fn has_header(&self, node: &Node) -> bool {
        let tables = match &node.value {
            Value::List(nodes) => nodes.as_slice(),
            _ => std::slice::from_ref(node),
        };
        let headed = |node: &Node| {
            matches!(node.value, Value::Table(_)) && self.source.piece(&node.span).starts_with('[')
        };
        tables.first().is_some_and(headed)
    }

    /// One more reading in a list, beside a single one, or as a table with a header like the others.
    pub(super) fn new_item(
        &self,
        node: &Node,
        braces: &str,
        table: impl FnOnce() -> String,
    ) -> String {
        let text = self.source.text;
        match &node.value {
            Value::List(items) if self.has_header(node) => {
                let end = items
                    .last()
                    .map_or(text.len(), |last| self.end_of_table(last));
                self.after_line(end, &format!("\n{}", table()))
            }
            Value::List(items) => {
                let close = node.span.end - 1;
                let Some(last) = items.last() else {
                    return self.with(close, braces);
                };
                let after = &text[last.span.end..close];
                let comma = after.split('#').next().unwrap_or_default().contains(',');
                let line = self.source.line(self.source.line_of(last.span.start));
                let own_line = self.source.piece(&(line.start..last.span.start));
                let closes_below = self.source.line_of(close) > self.source.line_of(last.span.end);
                if own_line.trim().is_empty() && closes_below {
                    // Behind the last reading's line, its remark included; the comma stands where it belongs.
                    let line = self.source.line(self.source.line_of(last.span.end));
                    let with_line = self.after_line(line.end, &format!("{own_line}{braces},\n"));
                    if comma {
                        return with_line;
                    }
                    let (before, rest) = with_line.split_at(last.span.end);
                    return format!("{before},{rest}");
                }
                let separator = if comma { " " } else { ", " };
                let at = if comma {
                    last.span.end + after.find(',').map_or(0, |comma| comma + 1)
                } else {
                    last.span.end
                };
                self.with(at, &format!("{separator}{braces}"))
            }
            _ if self.has_header(node) => text.to_owned(),
            _ => {
                let (before, rest) = text.split_at(node.span.start);
                let (one, after) = rest.split_at(node.span.end - node.span.start);
                format!("{before}[{one}, {braces}]{after}")
            }
        }
    }

    /// Where the last value of a table ends.
    fn end_of_table(&self, node: &Node) -> usize {
        match &node.value {
            Value::Table(table) => {
                let ends = table.entries.iter().map(|entry| entry.node.span.end);
                ends.max().unwrap_or(node.span.end)
            }
            _ => node.span.end,
        }
    }

    /// How the heights in a text are laid out.
    pub(super) fn layout(&self, text: &Node) -> Layout {
        let names = |row: &Row| {
            let named = row
                .cells
                .iter()
                .filter(|cell| column_name(self.source.piece(cell)).is_some());
            named.count() >= 2
        };
        match self.rows(text) {
            Ok((rows, _)) if rows.first().is_some_and(names) => Layout::Columns,
            _ => Layout::Grid,
        }
    }

    /// The rows of a text that are no comments, and the sign between their cells.
    pub(super) fn rows(&self, text: &Node) -> Result<(Vec<Row>, char), (Range<usize>, Problem)> {
        let refusal = || {
            let problem = Problem::new(
                "nothing can be added to a text written so",
                "write one row on each line",
            );
            (text.span.clone(), problem)
        };
        let Value::Text(content) = &text.value else {
            return Err(refusal());
        };
        let quoted = self.source.piece(&text.span);
        let start = content_start(quoted, content.as_bytes()).filter(|start| *start >= 3);
        let start = text.span.start + start.ok_or_else(refusal)?;
        let end = text.span.end - 3;
        let first = self.source.line_of(start);
        let lines = (first..=self.source.line_of(end)).map(|line| {
            let line = self.source.line(line);
            line.start.max(start)..line.end.min(end)
        });
        let lines: Vec<Range<usize>> = lines
            .filter(|line| {
                let row = self.source.piece(line).trim();
                !row.is_empty() && !row.starts_with('#')
            })
            .collect();
        let head = lines
            .first()
            .map(|line| self.source.piece(line))
            .unwrap_or_default();
        let delimiter = ['\t', ';']
            .into_iter()
            .find(|sign| head.contains(*sign))
            .unwrap_or(',');
        let rows = lines.into_iter().map(|line| {
            let of_row = cells(self.source.piece(&line), delimiter);
            let cells = of_row
                .into_iter()
                .map(|cell| line.start + cell.start..line.start + cell.end);
            Row {
                cells: cells.collect(),
                line,
            }
        });
        Ok((rows.collect(), delimiter))
    }

    /// A row of values by the names of their columns, behind the last row.
    pub(super) fn new_row(
        &self,
        text: &Node,
        values: &[(&str, f64)],
        unit: Option<Unit>,
    ) -> Result<String, (Range<usize>, Problem)> {
        let (rows, delimiter) = self.rows(text)?;
        let commas = self.has_commas(&rows, delimiter);
        let (Some(head), Some(last)) = (rows.first(), rows.last()) else {
            return Ok(self.source.text.to_owned());
        };
        let row: Vec<String> = head
            .cells
            .iter()
            .map(|name| {
                let name = column_name(self.source.piece(name));
                let value = name.and_then(|(name, own)| {
                    let (_, mm) = values.iter().find(|(of, _)| *of == name)?;
                    Some(cell(*mm, own.or(unit)))
                });
                marked(value.unwrap_or_default(), commas)
            })
            .collect();
        let separator = if delimiter == ',' {
            ", ".to_owned()
        } else {
            delimiter.to_string()
        };
        let line = row.join(&separator);
        let line = line.trim_end_matches([delimiter, ' ']);
        Ok(self.after_row(last, line))
    }

    /// A row behind another one, on a line of its own.
    fn after_row(&self, last: &Row, row: &str) -> String {
        self.with(last.line.end, &format!("\n{row}"))
    }

    /// Whether the numbers of a table have decimal commas, which the delimiter then is not.
    fn has_commas(&self, rows: &[Row], delimiter: char) -> bool {
        let comma = |row: &Row| self.source.piece(&row.line).contains(',');
        delimiter != ',' && rows.iter().any(comma)
    }

    /// A height in a grid: in its cell, or with a new station or position.
    pub(super) fn new_cell(
        &self,
        text: &Node,
        [x, y, z]: [f64; 3],
        unit: Option<Unit>,
    ) -> Result<String, (Range<usize>, Problem)> {
        let (rows, delimiter) = self.rows(text)?;
        let commas = self.has_commas(&rows, delimiter);
        let Some((head, below)) = rows.split_first() else {
            return Ok(self.source.text.to_owned());
        };
        let corner = head
            .cells
            .first()
            .map(|cell| self.source.piece(cell))
            .unwrap_or_default();
        let unit = corner_unit(corner).ok().flatten().or(unit);
        let is_at = |span: &Range<usize>, mm: f64| {
            let read = read_length(self.source.piece(span).trim_matches('"'), unit);
            read.is_ok_and(|written| (written.length.mm() - mm).abs() <= SAME_MM)
        };
        let station = head
            .cells
            .iter()
            .skip(1)
            .position(|span| is_at(span, x))
            .map(|at| at + 1);
        let position = below
            .iter()
            .find(|row| row.cells.first().is_some_and(|span| is_at(span, y)));
        let [x, y, z] = [x, y, z].map(|mm| marked(cell(mm, unit), commas));
        let space = if delimiter == ',' { " " } else { "" };
        let column = station.unwrap_or(head.cells.len());
        let blank = |count: usize| delimiter.to_string().repeat(count);
        let mut edits: Vec<(usize, String)> = Vec::new();
        if station.is_none() {
            edits.push((head.line.end, format!("{delimiter}{space}{x}")));
        }
        match position {
            Some(row) => match row.cells.get(column) {
                Some(found) if !found.is_empty() => {
                    let problem = Problem::new(
                        "a height is read there already",
                        "change it in the file, if it is wrong",
                    );
                    return Err((found.clone(), problem));
                }
                Some(found) => edits.push((found.start, z)),
                None => {
                    let missing = column + 1 - row.cells.len();
                    edits.push((row.line.end, format!("{}{space}{z}", blank(missing))));
                }
            },
            None => {
                let last = rows.last().map_or(head.line.end, |row| row.line.end);
                edits.push((last, format!("\n{y}{}{space}{z}", blank(column))));
            }
        }
        // From behind, so that places before stay true; of two at one place the later comes last.
        let mut edited = self.source.text.to_owned();
        for (at, new) in edits.iter().rev() {
            edited.insert_str(*at, &new.replace('\n', self.end));
        }
        Ok(edited)
    }
}

/// A number with the decimal mark of its table.
fn marked(number: String, commas: bool) -> String {
    if commas {
        number.replace('.', ",")
    } else {
        number
    }
}

/// The column that a header's cell names, and its unit.
pub(super) fn column_name(cell: &str) -> Option<(&'static str, Option<Unit>)> {
    let cell = cell.trim_matches('"').trim().to_lowercase();
    let end = cell
        .find(|sign: char| !sign.is_ascii_alphanumeric())
        .unwrap_or(cell.len());
    let (word, rest) = cell.split_at(end);
    let name = ["x", "y", "z", "thickness"]
        .into_iter()
        .find(|name| *name == word)?;
    let unit = rest.trim_matches(|sign: char| sign.is_whitespace() || "_-/,:()[]".contains(sign));
    Some((name, Unit::named(unit.strip_prefix("in ").unwrap_or(unit))))
}
