//! A table of texts under named columns, each row with its line: what a spreadsheet gives back of a table it was given.

use super::fault::{Collector, Problem};
use super::rows::{Row, Rows};
use super::table::{DELIMITERS, separator_line, unclosed_quote};

/// The rows of a table under its named columns.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sheet {
    /// The names of the columns, as they stand.
    pub columns: Vec<String>,
    /// Every row that holds anything, each with the line on which it begins.
    pub rows: Vec<(u64, Vec<String>)>,
    /// Numbers may have a decimal comma: cells are parted by something else.
    pub decimal_comma: bool,
}

/// Cuts `text` by the delimiter that parts its first row into most cells; a row longer than the header is a fault.
pub(super) fn read(text: &str, faults: &mut Collector) -> Option<Sheet> {
    let (given, text, start) = separator_line(text, faults)?;
    let candidates = given.as_ref().map_or(&DELIMITERS[..], std::slice::from_ref);
    let cells = |delimiter: &&u8| {
        Rows::new(text, **delimiter, start)
            .next()
            .map_or(0, Row::len)
    };
    let delimiter = *candidates.iter().rev().max_by_key(cells)?;
    let mut rows = Rows::new(text, delimiter, start);
    let Some(header) = rows.next() else {
        let fix = "save the sheet again; a row that begins with # is a comment";
        faults.file(Problem::new(
            "the file is empty: no row holds anything",
            fix,
        ));
        return None;
    };
    let columns: Vec<String> = header.cells().map(str::to_owned).collect();
    let mut sheet = Sheet {
        columns,
        rows: Vec::new(),
        decimal_comma: delimiter != b',',
    };
    while let Some(row) = rows.next_after(faults) {
        if let Some(column) = row.unclosed() {
            let site = row.site(column);
            faults.line(site, unclosed_quote(site));
            break;
        }
        if row.filled() > sheet.columns.len() {
            let column = row.first_filled(sheet.columns.len());
            let wrong = format!(
                "the row has {} cells, the header {}",
                row.filled(),
                sheet.columns.len()
            );
            let fix = "put quotes around a cell that holds the delimiter";
            faults.cell(
                row.site(column),
                String::new,
                row.cell(column),
                Problem::new(wrong, fix),
            );
            continue;
        }
        let cells = row.cells().map(str::to_owned).collect();
        sheet.rows.push((row.site(0).line, cells));
    }
    Some(sheet)
}
