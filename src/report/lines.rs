//! Text laid out for a terminal of 80 columns.

/// The width that text is wrapped to.
const COLUMNS: usize = 80;

/// A paragraph, wrapped.
pub(super) fn paragraph(text: &str) -> String {
    wrapped(text, "", "")
}

/// One entry of a list, wrapped under its dash.
pub(super) fn item(text: &str) -> String {
    wrapped(text, "- ", "  ")
}

/// A message in one sentence or two, wrapped; its further lines are indented by two.
#[must_use]
pub fn message(text: &str) -> String {
    wrapped(text, "", "  ")
}

/// Holds a number and its unit, or a chance, together; it is taken out again after wrapping.
pub(super) const NO_BREAK: char = '\u{a0}';

/// Wraps text so that no length is torn: neither at the dash of 1-3/8 nor before its unit.
fn wrapped(text: &str, first: &str, further: &str) -> String {
    let mut whole = String::with_capacity(text.len());
    for word in text.split(' ') {
        let unit = word.trim_end_matches(['.', ',', ';', ':', ')']);
        let measured = whole.ends_with(|c: char| c.is_ascii_digit());
        if measured && ["in", "mm", "%"].contains(&unit) {
            whole.push(NO_BREAK);
        } else if !whole.is_empty() {
            whole.push(' ');
        }
        whole.push_str(word);
    }
    let options = textwrap::Options::new(COLUMNS)
        .initial_indent(first)
        .subsequent_indent(further)
        .word_splitter(textwrap::WordSplitter::NoHyphenation);
    textwrap::fill(&whole, options).replace(NO_BREAK, " ")
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
