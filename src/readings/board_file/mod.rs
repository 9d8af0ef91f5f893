//! The board file (`.toml`): one board with all that is known of it, read, written and added to.

mod addition;
mod board;
mod brackets;
mod edges;
mod exact;
mod gauges;
mod heights;
mod insert;
mod keys;
mod outline;
mod reader;
mod slips;
mod source;
mod sticks;
mod straightedge;
mod syntax;
mod text_table;
mod tree;
mod values;
mod write;
mod write_gauge;

use crate::length::Unit;
use crate::readings::fault::{Collector, Problem};
use crate::readings::{Faults, Record};
pub use addition::{Addition, add_to_board};
use reader::{Load, Reader};
use source::Source;
pub use write::write_board;

/// The most bytes of a board file: 2 MB, far more than anyone types.
const LONGEST: usize = 2 << 20;

/// What to do about a file that says nothing.
const NOTHING_KNOWN: &str = "write what is known of the board, as length = \"6'\"";

/// Reads a board file. `file` is its name in messages, `unit` that of numbers for which neither they nor the file name
/// one, and `load` fetches a readings file that the board file names, or says why it cannot.
///
/// # Errors
///
/// All [`Faults`] of the file, each with its line, its key, and the piece at fault.
///
/// # Example
///
/// ```
/// use outwind::readings::{Gauge, read_board, write_board};
///
/// let text = r#"
/// unit = "in"
/// length = "6'"
/// width = "7-1/2"
///
/// [[survey]]
/// thickness = "1-3/8"
/// straightedge = [ { along = "middle", gap = "1/8" } ]
/// "#;
/// let mut load = |name: &str| Err(format!("{name}: there is no such file; check its name"));
/// let record = read_board(text.as_bytes(), "slab.toml", None, &mut load)?;
/// let Gauge::Straightedge(straightedge) = &record.surveys[0].gauged[0].gauge else { panic!() };
/// assert_eq!(straightedge.gap, 3.175);
/// assert_eq!(read_board(write_board(&record).as_bytes(), "slab.toml", None, &mut load)?, record);
/// # Ok::<(), outwind::readings::Faults>(())
/// ```
pub fn read_board(
    bytes: &[u8],
    file: &str,
    unit: Option<Unit>,
    load: &mut dyn FnMut(&str) -> Result<Vec<u8>, String>,
) -> Result<Record, Faults> {
    let text = text(bytes).map_err(|(line, problem)| {
        let mut faults = Collector::default();
        let source = Source::new("");
        let (mut site, mut fault) = source.fault(&(0..0), "", problem);
        (site.line, fault.line) = (line, Some(line));
        faults.told(site, fault);
        faults.faults(file)
    })?;
    record(text, file, unit, Some(load))
}

/// Reads the text of a board file; without `load`, readings in other files are passed over.
fn record(
    text: &str,
    file: &str,
    unit: Option<Unit>,
    load: Option<Load<'_>>,
) -> Result<Record, Faults> {
    let source = Source::new(text);
    let whole = load.is_some();
    let mut reader = Reader::new(&source, unit, load);
    let table = syntax::parse(&source, &mut reader.faults);
    if whole && table.as_ref().is_some_and(|table| table.entries.is_empty()) {
        let first = source.line(0);
        reader.fault(&first, "", "no line says key = value", NOTHING_KNOWN);
    }
    let record = table.map(|table| reader.record(&table)).unwrap_or_default();
    reader.finish(file)?;
    Ok(record)
}

/// The text of a file, without a byte-order mark; or the line that is none, and what is wrong with it.
fn text(bytes: &[u8]) -> Result<&str, (u64, Problem)> {
    const SAVE: &str = "save it as plain text in UTF-8";
    if bytes.len() > LONGEST {
        let wrong = "the file is larger than 2 MB: no board file";
        return Err((
            1,
            Problem::new(wrong, "keep long readings in a CSV file, and name it here"),
        ));
    }
    if bytes.starts_with(b"\xFF\xFE") || bytes.starts_with(b"\xFE\xFF") {
        return Err((1, Problem::new("the file is UTF-16 text", SAVE)));
    }
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let before = &bytes[..error.valid_up_to()];
        let line = 1 + before.iter().filter(|byte| **byte == b'\n').count() as u64;
        (line, Problem::new("a character that is not UTF-8", SAVE))
    })?;
    if text.contains('\r') && !text.contains('\n') {
        let fix = "save it with the line ends of today's systems";
        return Err((1, Problem::new("its lines end in carriage returns", fix)));
    }
    if text.trim().is_empty() {
        return Err((1, Problem::new("the file is empty", NOTHING_KNOWN)));
    }
    Ok(text)
}
