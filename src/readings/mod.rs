//! Text in, readings out: grid, probe, calipers, board file; each error with its place.
//!
//! Files are read as spreadsheets export them: cells parted by commas, semicolons or tabs; UTF-8 with or without a
//! byte-order mark, UTF-16; any line ends; quotes; a decimal comma where the delimiter is not a comma; a first line
//! such as `sep=;`. Blank lines, and lines that begin with `#`, are skipped. All numbers come out in millimetres.
//!
//! ```
//! use outwind::readings::{Layout, Settings, read_heights};
//!
//! let grid = "in,  0,    10,   20\n\
//!             0,   0,    1/8,  1/16\n\
//!             4,   1/16, 1/8,\n";
//! let heights = read_heights(grid.as_bytes(), "walnut.csv", Settings::default())?;
//! assert_eq!(heights.up.len(), 5);
//! assert_eq!(heights.up[1], [254.0, 0.0, 3.175]);
//! assert_eq!(heights.layout, Layout::Grid { stations: vec![0.0, 254.0, 508.0], positions: vec![0.0, 101.6] });
//! # Ok::<(), outwind::readings::Faults>(())
//! ```

mod board_file;
mod calipers;
mod columns;
mod decode;
mod fault;
mod gauge;
mod grid;
pub mod gzip;
mod header;
mod nearest;
mod number;
mod parts;
mod ply;
mod probe;
mod record;
mod rows;
mod scan;
mod sheet;
mod shop_file;
mod start;
mod suspect;
mod table;
mod toml;
mod xyz;

pub use board_file::{
    Addition, add_to_board, begin_survey, change_in_board, read_board, write_board,
};
pub use fault::{Fault, Faults, Shown};
pub use gauge::{
    Aligned, CornerGap, Edge, EdgeGap, Gauge, Gauged, Rest, Run, Sticks, Straightedge,
};
pub use parts::{Part, PartList};
pub use ply::is_ply;
pub use record::{About, Avoid, EdgesAt, EndA, Frame, HeightSet, Record, Survey};
pub use scan::{NotPlain, Piece, Scan};
pub use sheet::Sheet;
pub use shop_file::{
    AirRecord, AllowancesRecord, MachineRecord, MillingRecord, MovementRecord, PriceRecord,
    SawRecord, SawnRecord, ShopRecord, WoodRecord, read_shop,
};
pub use start::is_hopeless;

use crate::length::Unit;
use fault::Collector;
use table::Table;

/// A point in the board frame, millimetres: x along the length from end A, y across the width from the near
/// edge, z out of the face that was up when the board was measured.
pub type Point = [f64; 3];

/// One of the two faces of a board.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Face {
    /// The face that was up when the board was measured.
    Up,
    /// The other face.
    Down,
}

/// How heights are to be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Settings {
    /// The unit of numbers for which neither they nor the file name one.
    pub unit: Option<Unit>,
    /// The file holds depths below a datum, not heights over it: every z changes its sign.
    pub depth: bool,
}

/// The heights of a file.
#[derive(Debug, Clone, PartialEq)]
pub struct Heights {
    /// Readings of the up face: of a grid by position, then by station; of a probe in the order of the file.
    pub up: Vec<Point>,
    /// Readings of the down face in the order of the file; none in a grid.
    pub down: Vec<Point>,
    /// Whether they stand on a grid.
    pub layout: Layout,
    /// The unit of heights that name none, else the first one that a cell names.
    pub unit: Option<Unit>,
    /// The finest last place that the heights show, millimetres: they may have been rounded by half of it.
    pub step_mm: Option<f64>,
}

impl Heights {
    /// How many there are of both faces.
    fn count(&self) -> usize {
        self.up.len() + self.down.len()
    }

    /// Whether all of them, of both faces, are heights of one place.
    fn are_at_one_place(&self) -> bool {
        let mut all = self.up.iter().chain(&self.down);
        let place = |point: &Point| [point[0], point[1]];
        all.next()
            .is_some_and(|first| all.all(|other| place(other) == place(first)))
    }
}

/// How readings are laid out.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Layout {
    /// Every reading at the crossing of a station and a position; crossings without one were not read.
    Grid {
        /// Along the length, ascending, millimetres.
        stations: Vec<f64>,
        /// Across the width, ascending, millimetres.
        positions: Vec<f64>,
    },
    /// Readings anywhere, also several at one place.
    #[default]
    Scattered,
}

/// The thickness at a place, millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Caliper {
    /// Along the length.
    pub x: f64,
    /// Across the width.
    pub y: f64,
    /// Positive.
    pub thickness: f64,
}

/// The caliper readings of a file.
#[derive(Debug, Clone, PartialEq)]
pub struct Calipers {
    /// In the order of the file.
    pub readings: Vec<Caliper>,
    /// The unit of thicknesses that name none, else the first one that a cell names.
    pub unit: Option<Unit>,
    /// The finest last place that the thicknesses show, millimetres.
    pub step_mm: Option<f64>,
}

/// Reads the heights in the `bytes` of a file: PLY where it begins as such, XYZ where its first line holds nothing but
/// numbers parted by spaces, a probe where the first row names x, y and z, a grid otherwise.
/// `file` is its name in messages.
///
/// # Errors
///
/// All [`Faults`] of the file, each with its line, its cell and its place on the board.
pub fn read_heights(bytes: &[u8], file: &str, settings: Settings) -> Result<Heights, Faults> {
    heights_of(bytes, file, settings, probe::FEWEST)
}

/// As [`read_heights`], of a probe with `fewest` readings or more.
fn heights_of(
    bytes: &[u8],
    file: &str,
    settings: Settings,
    fewest: usize,
) -> Result<Heights, Faults> {
    if let Some(heights) = plain_heights(bytes, settings, fewest) {
        return Ok(heights);
    }
    if ply::is_ply(bytes) {
        let mut faults = Collector::default();
        let read = ply::read(bytes, settings, fewest, &mut faults);
        return told(read, faults, file);
    }
    read_text(bytes, file, |text, faults| {
        if xyz::is_xyz(text) {
            return xyz::read(text, settings, fewest, faults);
        }
        let table = Table::open(text, faults)?;
        match table.header {
            Some(_) => probe::read(table, settings, fewest, faults),
            None => grid::read(table, settings, faults),
        }
    })
}

/// The heights of a file in which nothing but plain numbers stands.
fn plain_heights(bytes: &[u8], settings: Settings, fewest: usize) -> Option<Heights> {
    let (scan, header) = Scan::begin(bytes, settings)?;
    let mut whole = Piece::default();
    scan.read(&bytes[header..], &mut whole).ok()?;
    scan.heights_of(whole, fewest)
}

/// Reads the caliper readings in the `bytes` of a file whose header names x, y and thickness. `unit` is that of numbers
/// for which neither they nor the header name one; `file` is its name in messages.
///
/// # Errors
///
/// All [`Faults`] of the file, each with its line, its cell and its place on the board.
pub fn read_calipers(bytes: &[u8], file: &str, unit: Option<Unit>) -> Result<Calipers, Faults> {
    read(bytes, file, |table, faults| {
        calipers::read(table, unit, faults)
    })
}

/// Reads the parts list in the `bytes` of a file whose header names part, count, length, width and thickness. `unit` is
/// that of sizes for which neither they nor the header name one; `file` is its name in messages.
///
/// # Errors
///
/// All [`Faults`] of the file, each with its line, its cell and the part.
///
/// # Example
///
/// ```
/// use outwind::readings::read_parts;
///
/// let list = "part,  count, length_in, width_in, thickness_in, match\n\
///             leg,   4,     28-1/2,    2-1/2,    2,\n\
///             apron, 2,     40,        4,        7/8,          front\n";
/// let list = read_parts(list.as_bytes(), "table.csv", None)?;
/// assert_eq!((list.parts[0].count, list.parts[0].length), (4, 723.9));
/// assert_eq!(list.parts[1].from_one_board.as_deref(), Some("front"));
/// # Ok::<(), outwind::readings::Faults>(())
/// ```
pub fn read_parts(bytes: &[u8], file: &str, unit: Option<Unit>) -> Result<PartList, Faults> {
    read_text(bytes, file, |text, faults| parts::read(text, unit, faults))
}

/// Reads the table of texts in the `bytes` of a file, under whatever columns its first row names. `file` is its name in
/// messages.
///
/// # Errors
///
/// What keeps the file from being a table.
pub fn read_sheet(bytes: &[u8], file: &str) -> Result<Sheet, Faults> {
    read_text(bytes, file, sheet::read)
}

/// Decodes a file, cuts it into cells and hands them to `reader`, which reports a fault wherever it returns `None`.
fn read<T>(
    bytes: &[u8],
    file: &str,
    reader: impl FnOnce(Table<'_>, &mut Collector) -> Option<T>,
) -> Result<T, Faults> {
    read_text(bytes, file, |text, faults| {
        let table = Table::open(text, faults)?;
        reader(table, faults)
    })
}

/// Decodes a file and hands its text to `reader`, which reports a fault wherever it returns `None`.
fn read_text<T>(
    bytes: &[u8],
    file: &str,
    reader: impl FnOnce(&str, &mut Collector) -> Option<T>,
) -> Result<T, Faults> {
    let mut faults = Collector::default();
    let read = match decode::decode(bytes) {
        Ok(text) => reader(&text, &mut faults),
        Err(problem) => {
            faults.file(problem);
            None
        }
    };
    told(read, faults, file)
}

/// What was read, unless anything was at fault.
fn told<T>(read: Option<T>, faults: Collector, file: &str) -> Result<T, Faults> {
    match read {
        Some(read) if faults.is_empty() => Ok(read),
        _ => Err(faults.faults(file)),
    }
}
