//! The shop file (`shop.toml`): machines, kerfs, allowances, movement and prices of one shop.

mod air;
mod keys;
mod record;
mod tables;
mod woods;

pub use record::{
    AirRecord, AllowancesRecord, MachineRecord, MillingRecord, MovementRecord, PriceRecord,
    SawRecord, SawnRecord, ShopRecord, WoodRecord,
};

use crate::length::Unit;
use crate::readings::Faults;
use crate::readings::toml::reader::Reader;
use crate::readings::toml::source::{Kind, Source};
use crate::readings::toml::{self, syntax};

const KIND: Kind = Kind {
    name: "shop file",
    tables: &keys::TABLES,
};

/// What to do about a file that says nothing.
const NOTHING_SAID: &str = "write what differs from the usual shop, as [planer] and width = 12";

/// Reads a shop file. `file` is its name in messages, `unit` that of numbers for which neither they nor the file name one.
///
/// # Errors
///
/// All [`Faults`] of the file, each with its line, its key, and the piece at fault.
///
/// # Example
///
/// ```
/// use outwind::readings::read_shop;
///
/// let text = "unit = \"in\"\n[planer]\nwidth = \"12-1/2\"\nsnipe = 2\n";
/// let shop = read_shop(text.as_bytes(), "shop.toml", None)?;
/// assert_eq!((shop.planer.width, shop.planer.snipe), (Some(317.5), Some(50.8)));
/// assert_eq!(shop.jointer.width, None);
/// # Ok::<(), outwind::readings::Faults>(())
/// ```
pub fn read_shop(bytes: &[u8], file: &str, unit: Option<Unit>) -> Result<ShopRecord, Faults> {
    let text = toml::text(bytes, file, KIND, NOTHING_SAID)?;
    let source = Source::new(text, KIND);
    let mut reader = Reader::new(&source, unit, None);
    let table = syntax::parse(&source, &mut reader.faults);
    if table.as_ref().is_some_and(|table| table.entries.is_empty()) {
        let first = source.line(0);
        reader.fault(&first, "", "no line says key = value", NOTHING_SAID);
    }
    let record = table.map(|table| reader.shop(&table)).unwrap_or_default();
    reader.finish(file)?;
    Ok(record)
}
