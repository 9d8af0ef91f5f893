//! The way in for scans: probe rows of plain numbers, read piece by piece in any order and by several hands.
//!
//! It reads what it is sure of to the last bit as the careful reader does, and refuses everything else, right or wrong:
//! then the careful reader reads the whole file and tells what it finds.

use std::borrow::Cow;

use super::columns::Columns;
use super::decode::decode;
use super::fault::Collector;
use super::header::Name;
use super::number::has_point;
use super::table::Table;
use super::{Face, Heights, Layout, Point, Settings, probe};
use crate::length::{self, DecimalMark, LONGEST_MM, Unit};

/// A header ends within so many bytes.
const LONGEST_HEADER: usize = 1 << 16;

/// Up to so many digits every number is an `f64`, and so is every power of ten that parts them from their decimals: their
/// quotient is rounded once, as it should be (W. D. Clinger, *How to read floating point numbers accurately*, PLDI 1990).
const EXACT_DIGITS: usize = 15;

/// The powers of ten up to [`EXACT_DIGITS`].
const POWERS: [f64; EXACT_DIGITS + 1] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
];

/// How the rows of a scan are read: what each column holds, and in which unit.
///
/// ```
/// use outwind::readings::{Piece, Scan, Settings, read_heights};
///
/// let rows = "0,0,1.25\n600,0,1.5\n1200,0,1.25\n".repeat(3);
/// let file = format!("x_mm,y_mm,z_mm\n{rows}");
/// let (scan, header) = Scan::begin(file.as_bytes(), Settings::default()).expect("a plain header");
/// let mut whole = Piece::default();
/// for lines in file.as_bytes()[header..].split_inclusive(|byte| *byte == b'\n') {
///     let mut piece = Piece::default();
///     scan.read(lines, &mut piece)?;
///     whole.append(&piece);
/// }
/// let heights = scan.heights(whole).expect("plain rows");
/// assert_eq!(heights, read_heights(file.as_bytes(), "slab.csv", Settings::default()).expect("right"));
/// # Ok::<(), outwind::readings::NotPlain>(())
/// ```
#[derive(Debug, Clone)]
pub struct Scan {
    cells: Vec<Cell>,
    delimiter: u8,
    /// −1 where depths are read.
    sign: f64,
    /// Of the heights.
    unit: Unit,
}

/// What a column holds.
#[derive(Debug, Clone, Copy)]
enum Cell {
    /// A coordinate by its number, and its unit.
    Length(usize, Unit),
    Face,
    Other,
}

/// What was read of some rows of a scan.
#[derive(Debug, Clone, Default)]
pub struct Piece {
    up: Vec<Point>,
    down: Vec<Point>,
    shown: Shown,
}

/// What the numbers of some rows show.
#[derive(Debug, Clone, Copy)]
struct Shown {
    /// The finest last place of the heights, mm, and the most decimal places looked at for it.
    step: f64,
    places: Option<usize>,
    /// Decimal points, decimal commas.
    points: bool,
    commas: bool,
}

/// Something else than plain numbers: the careful reader has to look.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("not all of it is plain numbers")]
pub struct NotPlain;

impl Default for Shown {
    fn default() -> Self {
        Self {
            step: f64::INFINITY,
            places: None,
            points: false,
            commas: false,
        }
    }
}

impl Piece {
    /// Puts the rows of another piece, which follows in the file, after these.
    pub fn append(&mut self, next: &Self) {
        self.up.extend_from_slice(&next.up);
        self.down.extend_from_slice(&next.down);
        self.shown.step = self.shown.step.min(next.shown.step);
        self.shown.points |= next.shown.points;
        self.shown.commas |= next.shown.commas;
    }

    /// Forgets its rows, but keeps their room.
    pub fn clear(&mut self) {
        self.up.clear();
        self.down.clear();
        self.shown = Shown::default();
    }
}

impl Scan {
    /// The scan whose file starts with these bytes, the header among them, and how many of them come before its first row.
    /// `None` where it is none that is sure to be read right this way.
    #[must_use]
    pub fn begin(start: &[u8], settings: Settings) -> Option<(Self, usize)> {
        let cut = match start.get(..LONGEST_HEADER) {
            Some(first) => 1 + first.iter().rposition(|byte| *byte == b'\n')?,
            None => start.len(),
        };
        let Ok(Cow::Borrowed(text)) = decode(&start[..cut]) else {
            return None;
        };
        let mut faults = Collector::default();
        let table = Table::open(text, &mut faults)?;
        let header = table.header?;
        let face = header.optional(Name::Face, &mut faults);
        let columns = Columns::find(&header, Name::Z, settings.unit, &mut faults)?;
        let before = cut - table.rows.rest().len();
        if !faults.is_empty() || start[..before].contains(&b'"') {
            return None;
        }
        let mut cells = vec![Cell::Other; columns.width];
        for (axis, column) in [columns.x, columns.y, columns.value]
            .into_iter()
            .enumerate()
        {
            cells[column.index] = Cell::Length(axis, column.unit?);
        }
        if let Some(face) = face {
            cells[face.index] = Cell::Face;
        }
        let scan = Self {
            cells,
            delimiter: table.delimiter,
            sign: if settings.depth { -1.0 } else { 1.0 },
            unit: columns.unit()?,
        };
        Some((scan, before))
    }

    /// Reads whole lines and puts their rows after those of `piece`.
    ///
    /// # Errors
    ///
    /// [`NotPlain`] where anything else than plain rows is among them; what is in the piece is then of no use.
    pub fn read(&self, lines: &[u8], piece: &mut Piece) -> Result<(), NotPlain> {
        let mut rest = lines;
        while !rest.is_empty() {
            rest = self.row(rest, piece)?;
        }
        Ok(())
    }

    /// The heights of all rows; `None` where the careful reader has something to say of them.
    #[must_use]
    pub fn heights(&self, whole: Piece) -> Option<Heights> {
        self.heights_of(whole, probe::FEWEST)
    }

    /// As [`Scan::heights`], of `fewest` rows or more.
    pub(super) fn heights_of(&self, whole: Piece, fewest: usize) -> Option<Heights> {
        let Piece { up, down, shown } = whole;
        let consistent = !(shown.points && shown.commas);
        let heights = Heights {
            up,
            down,
            layout: Layout::Scattered,
            unit: Some(self.unit),
            step_mm: shown.step.is_finite().then_some(shown.step),
        };
        let explained =
            heights.count() < fewest || fewest >= probe::FEWEST && heights.are_at_one_place();
        (consistent && !explained).then_some(heights)
    }

    /// Reads one line, and gives what follows it.
    fn row<'b>(&self, line: &'b [u8], piece: &mut Piece) -> Result<&'b [u8], NotPlain> {
        let mut rest = line;
        if rest.starts_with(b"#") {
            return Err(NotPlain);
        }
        let mut point = [None; 3];
        let mut face = Face::Up;
        for cell in &self.cells {
            match *cell {
                Cell::Length(axis, unit) => {
                    point[axis] = self.length(&mut rest, axis == 2, unit, &mut piece.shown)?;
                }
                Cell::Face => face = self.face(&mut rest)?,
                Cell::Other => {
                    self.text(&mut rest)?;
                }
            }
            match rest {
                [sign, after @ ..] if *sign == self.delimiter => rest = after,
                _ => break,
            }
        }
        let after = match rest {
            [b'\n', after @ ..] | [b'\r', b'\n', after @ ..] => after,
            [] => rest,
            // A cell that the header does not name, or an odd line end.
            _ => return Err(NotPlain),
        };
        match point {
            [Some(x), Some(y), Some(z)] => {
                let rows = match face {
                    Face::Up => &mut piece.up,
                    Face::Down => &mut piece.down,
                };
                rows.push([x, y, self.sign * z + 0.0]);
            }
            // A reading that was not taken.
            [_, _, None] => {}
            _ => return Err(NotPlain),
        }
        Ok(after)
    }

    /// The length in a cell, mm; `None` of a blank one.
    fn length(
        &self,
        rest: &mut &[u8],
        is_height: bool,
        unit: Unit,
        shown: &mut Shown,
    ) -> Result<Option<f64>, NotPlain> {
        let comma = if self.delimiter == b',' { b'.' } else { b',' };
        if let Some((value, mark, places, after)) = decimal(rest, comma)
            && self.ends_cell(after)
        {
            *rest = after;
            shown.points |= mark == Some(b'.');
            shown.commas |= mark == Some(b',');
            if is_height && shown.places.is_none_or(|most| places > most) {
                shown.places = Some(places);
                shown.step = shown.step.min(length::last_place(places, unit).mm());
            }
            let mm = length::Length::in_unit(unit, value + 0.0).mm();
            return if mm.abs() > LONGEST_MM {
                Err(NotPlain)
            } else {
                Ok(Some(mm))
            };
        }
        let text = self.text(rest)?;
        if text.is_empty() {
            return Ok(None);
        }
        let comma = self.delimiter != b',' && text.contains(',');
        let mark = if comma {
            DecimalMark::Comma
        } else {
            DecimalMark::Point
        };
        let written = length::read(text, Some(unit), mark).map_err(|_| NotPlain)?;
        if written.unit.is_some() {
            return Err(NotPlain);
        }
        shown.commas |= comma;
        shown.points |= !comma && has_point(text);
        if is_height {
            shown.step = shown.step.min(written.step.mm());
        }
        Ok(Some(written.length.mm()))
    }

    fn face(&self, rest: &mut &[u8]) -> Result<Face, NotPlain> {
        match *rest {
            [b'u', b'p', after @ ..] if self.ends_cell(after) => {
                *rest = after;
                Ok(Face::Up)
            }
            [b'd', b'o', b'w', b'n', after @ ..] if self.ends_cell(after) => {
                *rest = after;
                Ok(Face::Down)
            }
            _ => probe::face_named(self.text(rest)?).ok_or(NotPlain),
        }
    }

    /// The text of a cell without the spaces around it; only printable ASCII, and nothing that could part cells or lines
    /// another way or make the row a comment.
    fn text<'b>(&self, rest: &mut &'b [u8]) -> Result<&'b str, NotPlain> {
        let end = rest
            .iter()
            .position(|byte| matches!(*byte, b'\n' | b'\r') || *byte == self.delimiter)
            .unwrap_or(rest.len());
        let (cell, after) = rest.split_at(end);
        let plain = |byte: &u8| matches!(byte, b' '..=b'~') && !matches!(byte, b'"' | b'#');
        if !cell.iter().all(plain) {
            return Err(NotPlain);
        }
        *rest = after;
        let text = std::str::from_utf8(cell).map_err(|_| NotPlain)?;
        Ok(text.trim())
    }

    fn ends_cell(&self, after: &[u8]) -> bool {
        after
            .first()
            .is_none_or(|byte| *byte == self.delimiter || matches!(byte, b'\n' | b'\r'))
    }
}

/// The decimal at the start of a text: its value, the mark before its decimals (a point or `comma`), how many these are, and
/// what follows. `None` where there is none of few enough digits to be exact.
fn decimal(text: &[u8], comma: u8) -> Option<(f64, Option<u8>, usize, &[u8])> {
    let (negative, digits) = match text {
        [b'-', rest @ ..] => (true, rest),
        _ => (false, text),
    };
    let mut number = 0_u64;
    let mut take = |from: usize| {
        let mut at = from;
        while let Some(digit) = digits.get(at).map(|byte| byte.wrapping_sub(b'0'))
            && digit <= 9
        {
            number = number.wrapping_mul(10).wrapping_add(u64::from(digit));
            at += 1;
        }
        at
    };
    let whole = take(0);
    let mark = digits
        .get(whole)
        .copied()
        .filter(|byte| *byte == b'.' || *byte == comma);
    let (end, places) = if mark.is_some() {
        let end = take(whole + 1);
        (end, end - whole - 1)
    } else {
        (whole, 0)
    };
    if !(1..=EXACT_DIGITS).contains(&(whole + places)) {
        return None;
    }
    let size = number as f64 / POWERS[places];
    let value = if negative { -size } else { size };
    Some((value, mark, places, &digits[end..]))
}
