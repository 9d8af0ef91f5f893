//! Text laid out for a terminal of 80 columns.

/// The width that text is wrapped to.
const COLUMNS: usize = 80;

/// A paragraph, wrapped.
pub(super) fn paragraph(text: &str) -> String {
    textwrap::fill(text, COLUMNS)
}

/// One entry of a list, wrapped under its dash.
pub(super) fn item(text: &str) -> String {
    textwrap::fill(
        text,
        textwrap::Options::new(COLUMNS)
            .initial_indent("- ")
            .subsequent_indent("  "),
    )
}

/// Rows in columns, indented by two, each column as wide as its widest cell. The first column is flush left, the
/// others flush right.
pub(super) fn table(rows: &[Vec<String>]) -> String {
    let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
    let wide = |column: usize| {
        rows.iter()
            .filter_map(|r| r.get(column))
            .map(|c| c.chars().count())
            .max()
            .unwrap_or(0)
    };
    let widths: Vec<usize> = (0..columns).map(wide).collect();
    let line = |row: &Vec<String>| {
        let cells: Vec<String> = row
            .iter()
            .zip(&widths)
            .enumerate()
            .map(|(i, (cell, width))| {
                if i == 0 {
                    format!("{cell:<width$}")
                } else {
                    format!("{cell:>width$}")
                }
            })
            .collect();
        format!("  {}", cells.join("  ")).trim_end().to_owned()
    };
    rows.iter().map(line).collect::<Vec<_>>().join("\n")
}
