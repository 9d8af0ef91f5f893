//! The board file (`.toml`): one board with all that is known of it, read, written and added to.

mod addition;
mod board;
mod edges;
mod exact;
mod gauges;
mod heights;
mod insert;
mod keys;
mod outline;
mod replace;
mod set_ups;
mod sticks;
mod straightedge;
mod text_table;
mod write;
mod write_gauge;

use crate::length::Unit;
use crate::readings::toml::reader::{Load, Reader};
use crate::readings::toml::source::{Kind, Source};
use crate::readings::toml::{self, syntax};
use crate::readings::{Faults, Record};
pub use addition::{Addition, add_to_board, begin_survey, change_in_board};
pub use write::write_board;

const KIND: Kind = Kind {
    name: "board file",
    tables: &keys::TABLES,
};

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
    let text = toml::text(bytes, file, KIND, NOTHING_KNOWN)?;
    record(text, file, unit, Some(load))
}

/// Reads the text of a board file; without `load`, readings in other files are passed over.
fn record(
    text: &str,
    file: &str,
    unit: Option<Unit>,
    load: Option<Load<'_>>,
) -> Result<Record, Faults> {
    let source = Source::new(text, KIND);
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
