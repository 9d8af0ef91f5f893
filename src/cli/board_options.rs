//! BOARD and the options that say what its file does not.

use std::path::{Path, PathBuf};

use clap::Args;

use super::bounded::Holds;
use super::dimension;
use super::files::{fetch, is_board_file, read_file, stem};
use super::leave_out::leave_out;
use super::problem::Problem;
use super::scan;
use crate::board::{Board, BoardError};
use crate::length::{Length, Notation, Unit};
use crate::readings::{
    Calipers, Face, Frame, HeightSet, Heights, Layout, Record, Settings, Survey, read_board,
    read_calipers,
};

/// BOARD and the options that go with a readings file.
#[derive(Debug, Args)]
pub(super) struct BoardOptions {
    /// A board file (.toml), or readings as CSV: a grid of heights, or columns x, y, z
    #[arg(value_name = "BOARD")]
    board: PathBuf,

    #[command(flatten)]
    options: ReadingOptions,
}

/// What a readings file does not say, and how to write lengths.
#[derive(Debug, Clone, Default, Args)]
pub(super) struct ReadingOptions {
    /// One thickness for the whole board, such as 1-3/8 or 35mm
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    thickness: Option<String>,

    /// Caliper readings: a CSV with columns x, y, thickness
    #[arg(long, value_name = "CSV")]
    calipers: Option<PathBuf>,

    /// Heights of the down face over the same datum, as a grid
    #[arg(long, value_name = "CSV")]
    down: Option<PathBuf>,

    /// The board's length, where it is longer than its outermost stations
    #[arg(long, value_name = "L", allow_hyphen_values = true)]
    length: Option<String>,

    /// The board's width, where it is wider than its outermost positions
    #[arg(long, value_name = "W", allow_hyphen_values = true)]
    width: Option<String>,

    /// What to call the board; its file's name otherwise
    #[arg(long, value_name = "N")]
    name: Option<String>,

    /// The unit of numbers without one: in, ft, mm, cm or m
    #[arg(long, value_name = "U", value_parser = dimension::unit)]
    unit: Option<Unit>,

    /// The numbers are depths below a datum, not heights above one
    #[arg(long)]
    depth: bool,

    /// Places are the scanner's own: the board's edges tell how it lay, end A where x or y is lowest
    #[arg(long)]
    scanner: bool,

    /// Error of a height, one standard deviation
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    error: Option<String>,

    /// Leave out what was read at a place: its station and position, such as "36, 7-1/2"
    #[arg(long, value_name = "PLACE", allow_hyphen_values = true)]
    without: Vec<String>,

    /// How to write lengths: 64ths, 32nds, 16ths or 8ths of an inch, decimal (inches) or mm
    #[arg(long, value_name = "HOW", value_parser = dimension::notation)]
    write: Option<Notation>,
}

/// A board as it was read, and how its user writes lengths.
#[derive(Debug)]
pub(super) struct Loaded {
    pub(super) board: Board,
    pub(super) notation: Notation,
    /// The unit of its readings.
    pub(super) unit: Option<Unit>,
    /// The date of its last survey.
    pub(super) survey: Option<String>,
}

/// What was wrong has been told.
#[derive(Debug)]
pub(super) struct Faulty;

/// The readings of CSV files.
struct Readings {
    heights: Heights,
    down: Option<Heights>,
    calipers: Option<Calipers>,
}

impl ReadingOptions {
    /// Nothing said but the unit of numbers without one.
    pub(super) fn of_unit(unit: Option<Unit>) -> Self {
        Self {
            unit,
            ..Self::default()
        }
    }

    /// The options that speak of one board alone, and are given.
    pub(super) fn of_one_board(&self) -> Vec<&'static str> {
        let given = [
            ("--calipers", self.calipers.is_some()),
            ("--down", self.down.is_some()),
            ("--name", self.name.is_some()),
            ("--without", !self.without.is_empty()),
        ];
        given.iter().filter(|g| g.1).map(|g| g.0).collect()
    }

    /// What remains of them for a board file, which says for itself what else they would say of its readings.
    pub(super) fn beside_a_board_file(&self) -> Self {
        Self {
            unit: self.unit,
            write: self.write,
            ..Self::default()
        }
    }

    /// The unit of numbers without one.
    pub(super) fn unit(&self) -> Option<Unit> {
        self.unit
    }
}

impl BoardOptions {
    /// A board by its file's name.
    pub(super) fn new(board: PathBuf, options: ReadingOptions) -> Self {
        Self { board, options }
    }

    /// The file's name.
    #[cfg(feature = "view")]
    pub(super) fn path(&self) -> &Path {
        &self.board
    }

    /// Places whose readings are left out.
    #[cfg(feature = "view")]
    pub(super) fn without(&self) -> &[String] {
        &self.options.without
    }

    /// Whether BOARD is a board file, rather than readings as CSV.
    pub(super) fn is_board_file(&self) -> bool {
        is_board_file(&self.board)
    }

    /// Reads the files and makes a board of them. `more` reads the command's own options once the readings' unit is
    /// known, so that all faults are told at once.
    pub(super) fn load<T>(
        &self,
        more: impl FnOnce(Option<Unit>, &mut Vec<String>) -> T,
    ) -> Result<(Loaded, T), Problem> {
        let mut faults = Vec::new();
        let in_file = is_board_file(&self.board);
        let record = self.record(&mut faults);
        // Without readings any unit will do: what else is wrong with an option shows in each.
        let unit = match &record {
            Ok(record) => record.unit,
            Err(_) => Some(Unit::Millimetre),
        };
        let unit = unit.or(self.options.unit);
        let more = more(unit, &mut faults);
        let last = record.as_ref().ok().and_then(|r| r.surveys.last());
        let survey = last.and_then(|survey| survey.date.clone());
        let made = record
            .ok()
            .map(|record| Board::from_record(record, &stem(&self.board)));
        let notation = self
            .options
            .write
            .unwrap_or(dimension::usual_notation(unit));
        match made {
            Some(Ok(mut board)) => {
                for place in &self.options.without {
                    leave_out(&mut board, place, unit, notation)
                        .unwrap_or_else(|fault| faults.push(fault));
                }
                if faults.is_empty() {
                    let loaded = Loaded {
                        board,
                        notation,
                        unit,
                        survey,
                    };
                    return Ok((loaded, more));
                }
            }
            Some(Err(errors)) => {
                let told = |e: &BoardError| *e == BoardError::NoThickness && self.says_thickness();
                let untold = errors.iter().filter(|e| !told(e));
                let name = self.board.display();
                faults.extend(untold.map(|e| match e.explain(notation, in_file) {
                    told if in_file => format!("{name}: {told}"),
                    told => told,
                }));
            }
            None => {}
        }
        Err(Problem::Input(faults))
    }

    /// All that is read and said of the board, whichever file it is in.
    pub(super) fn record(&self, faults: &mut Vec<String>) -> Result<Record, Faulty> {
        let mut record = if self.is_board_file() {
            take(self.board_file(faults), faults)
        } else {
            let readings = self.readings(faults);
            let unit = readings
                .as_ref()
                .map_or(Some(Unit::Millimetre), |r| r.heights.unit);
            self.options(readings, unit.or(self.options.unit), faults)
        }
        .ok_or(Faulty)?;
        let given = self
            .options
            .name
            .clone()
            .filter(|name| !name.trim().is_empty());
        record.name = given.or(record.name);
        Ok(record)
    }

    /// Reads a board file; options that say what such a file says itself are faults.
    fn board_file(&self, faults: &mut Vec<String>) -> Result<Record, String> {
        let misplaced = [
            (
                "--thickness",
                self.options.thickness.is_some(),
                "thickness = … under [[survey]]",
            ),
            (
                "--calipers",
                self.options.calipers.is_some(),
                "calipers = { file = … } under [[survey]]",
            ),
            (
                "--down",
                self.options.down.is_some(),
                "a [[survey.heights]] with face = \"down\"",
            ),
            ("--length", self.options.length.is_some(), "length = …"),
            ("--width", self.options.width.is_some(), "width = …"),
            (
                "--depth",
                self.options.depth,
                "depth = true in a [[survey.heights]]",
            ),
            (
                "--scanner",
                self.options.scanner,
                "frame = \"scanner\" in a [[survey.heights]]",
            ),
            (
                "--error",
                self.options.error.is_some(),
                "error = … under [[survey]]",
            ),
        ];
        for (option, _, key) in misplaced.iter().filter(|m| m.1) {
            faults.push(format!(
                "{option} goes with a CSV of readings; in a board file write {key}"
            ));
        }
        let folder = self.board.parent().unwrap_or(Path::new(""));
        let mut load = |named: &str| fetch(&folder.join(named), Holds::Heights);
        read_file(&self.board, |b, n| {
            read_board(b, n, self.options.unit, &mut load)
        })
    }

    /// Reads the CSV files.
    fn readings(&self, faults: &mut Vec<String>) -> Option<Readings> {
        let settings = Settings {
            unit: self.options.unit,
            depth: self.options.depth,
        };
        let heights = take(scan::heights(&self.board, settings), faults);
        let down = self
            .options
            .down
            .as_ref()
            .and_then(|path| take(scan::down_heights(path, settings), faults));
        let calipers = self.options.calipers.as_ref().and_then(|path| {
            take(
                read_file(path, |b, n| read_calipers(b, n, self.options.unit)),
                faults,
            )
        });
        Some(Readings {
            heights: heights?,
            down,
            calipers,
        })
    }

    /// What the files and options tell of the board; the options are looked at also where the readings are at fault.
    fn options(
        &self,
        readings: Option<Readings>,
        unit: Option<Unit>,
        faults: &mut Vec<String>,
    ) -> Option<Record> {
        let mut positive = |name, text: &Option<String>| {
            dimension::positive(name, text.as_ref(), unit, faults).map(Length::mm)
        };
        let (length, width) = (
            positive("--length", &self.options.length),
            positive("--width", &self.options.width),
        );
        let thickness = positive("--thickness", &self.options.thickness);
        let error = positive("--error", &self.options.error);
        let Readings {
            mut heights,
            down,
            calipers,
        } = readings?;
        let probed = Some(std::mem::take(&mut heights.down))
            .filter(|points| !points.is_empty())
            .map(|up| Heights {
                up,
                down: Vec::new(),
                layout: Layout::Scattered,
                unit: heights.unit,
                step_mm: heights.step_mm,
            });
        if down.is_some() && probed.is_some() {
            faults.push(format!(
                "{}: holds rows of the down face; leave out --down, or the rows",
                self.board.display()
            ));
        }
        let measured =
            probed.is_some() || self.options.calipers.is_some() || self.options.down.is_some();
        if self.options.thickness.is_some() && measured {
            faults.push(
                "--thickness is given beside --calipers, --down or rows of the down face, which tell more: leave it out"
                    .to_owned(),
            );
        }
        let frame = self.options.scanner.then_some(Frame {
            number: 0,
            end_a: None,
        });
        let set = |face: Face, heights: Heights| HeightSet {
            face,
            turned: false,
            datum: 0,
            frame,
            heights,
            error,
        };
        let unit = heights.unit.or(self.options.unit);
        let mut sets = vec![set(Face::Up, heights)];
        sets.extend(down.or(probed).map(|heights| set(Face::Down, heights)));
        Some(Record {
            unit,
            length,
            width,
            surveys: vec![Survey {
                thickness,
                heights: sets,
                calipers,
                ..Survey::default()
            }],
            ..Record::default()
        })
    }

    /// Whether an option says how thick the board is, be it faulty.
    fn says_thickness(&self) -> bool {
        self.options.thickness.is_some()
            || self.options.calipers.is_some()
            || self.options.down.is_some()
    }
}

/// The value, or its fault put with the others.
fn take<T>(result: Result<T, String>, faults: &mut Vec<String>) -> Option<T> {
    result.map_err(|fault| faults.push(fault)).ok()
}
