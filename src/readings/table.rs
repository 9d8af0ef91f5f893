//! How a text is cut into cells: a `sep=` line, the delimiter, and whether a header names the columns.

use super::fault::{Collector, Problem, Site};
use super::header::{Header, Name};
use super::number::is_number;
use super::rows::{Row, Rows};

/// The delimiters that spreadsheets write. Of two that fit equally well the earlier one holds: a tab is never typed in
/// a cell, and a comma may be a decimal comma.
pub(super) const DELIMITERS: [u8; 3] = [b'\t', b';', b','];

/// A text cut into rows, with the header that names its columns, if it has one.
#[derive(Debug)]
pub(super) struct Table<'t> {
    /// The rows after the header, or all of them.
    pub(super) rows: Rows<'t>,
    pub(super) header: Option<Header>,
    pub(super) delimiter: u8,
}

/// How well a delimiter fits the first row: whether it names columns, whether it holds stations, how many cells are
/// filled, how many there are.
type Fit = (bool, bool, usize, usize);

impl<'t> Table<'t> {
    /// Finds the delimiter and the header of `text`, or reports why it is no table.
    pub(super) fn open(text: &'t str, faults: &mut Collector) -> Option<Self> {
        let (given, text, start) = separator_line(text, faults)?;
        let candidates = given.as_ref().map_or(&DELIMITERS[..], std::slice::from_ref);
        let mut best: Option<(Fit, Self)> = None;
        let mut unclosed = None;
        for &delimiter in candidates {
            let mut rows = Rows::new(text, delimiter, start);
            let Some(row) = rows.next() else {
                let fix = "save the sheet again; a row that begins with # is a comment";
                faults.file(Problem::new(
                    "the file is empty: no row holds anything",
                    fix,
                ));
                return None;
            };
            if let Some(column) = row.unclosed() {
                unclosed = Some(row.site(column));
                continue;
            }
            let (filled, len, stations) = (row.filled(), row.len(), holds_stations(row));
            let (header, rows) = match Header::of(row.site(0), row.cells()) {
                Some(header) => (Some(header), rows),
                None => {
                    // A column of numbers under a comment that names it; a grid begins with its unit.
                    let numbered = is_number(row.cell(0));
                    let header = rows
                        .comment()
                        .filter(|_| numbered)
                        .and_then(|(site, comment)| commented_header(site, comment, delimiter));
                    (header, Rows::new(text, delimiter, start))
                }
            };
            let fit = (header.is_some(), stations, filled, len);
            if best.as_ref().is_none_or(|(other, _)| fit > *other) {
                best = Some((
                    fit,
                    Self {
                        rows,
                        header,
                        delimiter,
                    },
                ));
            }
        }
        match (best, unclosed) {
            (Some(((true, ..) | (_, _, 2.., _), table)), _) => return Some(table),
            (Some(((.., len), table)), _) => report_one_cell(table.rows, len, given, faults),
            (None, Some(site)) => faults.line(site, unclosed_quote(site)),
            (None, None) => {}
        }
        None
    }
}

/// The delimiter that a first line such as `sep=;` gives, and the text after it. Spreadsheets do not show that line.
pub(super) fn separator_line<'t>(
    text: &'t str,
    faults: &mut Collector,
) -> Option<(Option<u8>, &'t str, Site)> {
    let first = Site {
        line: 1,
        row: 1,
        column: 0,
    };
    let line = text.split(['\r', '\n']).next().unwrap_or_default();
    let bare = line.trim_start_matches('"');
    let Some(sign) = bare
        .get(..4)
        .filter(|key| key.eq_ignore_ascii_case("sep="))
        .and(bare.get(4..))
    else {
        return Some((None, text, first));
    };
    let Some(delimiter) = sign.bytes().next().filter(|sign| DELIMITERS.contains(sign)) else {
        let fix = "write \"sep=;\" and part the cells so, or remove the line";
        faults.cell(
            first,
            String::new,
            line,
            Problem::new("this separator is not read", fix),
        );
        return None;
    };
    let rest = &text[line.len()..];
    let rest = rest
        .strip_prefix("\r\n")
        .or_else(|| rest.get(1..))
        .unwrap_or_default();
    Some((Some(delimiter), rest, Site { line: 2, ..first }))
}

/// The header in the comment before the first row: `# x,y,z`, or `#,x,y,z` over a column of numbers.
fn commented_header(site: Site, comment: &str, delimiter: u8) -> Option<Header> {
    let names = comment.replacen('#', "", 1);
    let mut rows = Rows::new(&names, delimiter, site);
    let row = rows.next()?;
    let complete = |header: &Header| {
        header.has(Name::X)
            && header.has(Name::Y)
            && (header.has(Name::Z) || header.has(Name::Thickness))
    };
    Header::of(site, row.cells()).filter(complete)
}

/// Whether a grid may begin with this row.
fn holds_stations(row: Row<'_>) -> bool {
    let mut stations = row
        .cells()
        .skip(1)
        .filter(|cell| !cell.is_empty())
        .peekable();
    stations.peek().is_some() && stations.all(is_number) && !row.cell(0).contains([';', '\t'])
}

fn report_one_cell(mut rows: Rows<'_>, len: usize, given: Option<u8>, faults: &mut Collector) {
    let Some(row) = rows.next() else { return };
    let wrong = match given {
        _ if len > 1 => "the first row holds this alone",
        Some(_) => "the first row does not hold the separator of line 1",
        None => "no comma, semicolon or tab in the first row",
    };
    let fix = match given {
        _ if len > 1 => "it needs stations or the header x, y, z; put # before a title",
        Some(_) => "correct that line, or remove it",
        None => "save the sheet as CSV; put # before a title",
    };
    faults.cell(
        row.site(0),
        String::new,
        row.cell(0),
        Problem::new(wrong, fix),
    );
}

/// A quote that nothing closes.
pub(super) fn unclosed_quote(site: Site) -> Problem {
    Problem::new(
        format!(
            "a quote opens in cell {} and nothing closes it",
            site.cell()
        ),
        "close it; a quote inside a quoted cell is written twice, as in \"1-3/16\"\"\"",
    )
}
