//! The readings of a record as cells that can be edited.

use std::collections::BTreeMap;

use crate::length::{DecimalMark, Length, Notation, Rounding, read};
use crate::readings::{Gauge, Layout, Record};

/// Which reading of the last survey a cell holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Cell {
    /// A height, by its set and number.
    Height(usize, usize),
    /// A caliper reading.
    Caliper(usize),
    /// What a gauge showed.
    Gauge(usize),
    /// One thickness for the whole board.
    Thickness,
}

/// Readings typed over, mm, by cell.
pub type Changes = BTreeMap<Cell, f64>;

/// Some readings under one heading, as rows of cells.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Block {
    pub(super) heading: String,
    /// Over the columns.
    pub(super) columns: Vec<String>,
    /// Each with what stands before it; a cell not read is none.
    pub(super) rows: Vec<(String, Vec<Option<Cell>>)>,
    /// How many readings are not shown.
    pub(super) more: usize,
}

/// More rows than this are a scan, which nobody edits by hand.
const MOST_ROWS: usize = 60;

/// Nor a grid of more cells than this.
const MOST_CELLS: usize = 600;

/// The readings of the last survey.
pub(super) fn blocks(record: &Record, notation: Notation) -> Vec<Block> {
    let Some(survey) = record.surveys.last() else {
        return Vec::new();
    };
    let write = |mm: f64| notation.number(Length::from_mm(mm), Rounding::Nearest);
    let mut blocks = Vec::new();
    if survey.thickness.is_some() {
        blocks.push(Block {
            heading: "Thickness of the whole board".to_owned(),
            columns: vec![String::new()],
            rows: vec![(String::new(), vec![Some(Cell::Thickness)])],
            more: 0,
        });
    }
    for (s, set) in survey.heights.iter().enumerate() {
        let heading = format!("Heights of the {:?} face", set.face).to_lowercase();
        let points = &set.heights.up;
        blocks.push(match &set.heights.layout {
            Layout::Grid {
                stations,
                positions,
            } if stations.len() * positions.len() <= MOST_CELLS => Block {
                heading: format!("{heading}: stations along, positions down, far edge on top"),
                columns: stations.iter().map(|x| write(*x)).collect(),
                rows: positions
                    .iter()
                    .rev()
                    .map(|y| {
                        let cell = |x: &f64| {
                            let there = points.iter().position(|p| p[0] == *x && p[1] == *y);
                            there.map(|k| Cell::Height(s, k))
                        };
                        (write(*y), stations.iter().map(cell).collect())
                    })
                    .collect(),
                more: 0,
            },
            _ => listed(heading, points.len(), |k| {
                let place = format!("{}, {}", write(points[k][0]), write(points[k][1]));
                (place, Cell::Height(s, k))
            }),
        });
    }
    if let Some(calipers) = &survey.calipers {
        let readings = &calipers.readings;
        blocks.push(listed(
            "thickness by caliper".to_owned(),
            readings.len(),
            |k| {
                let place = format!("{}, {}", write(readings[k].x), write(readings[k].y));
                (place, Cell::Caliper(k))
            },
        ));
    }
    if !survey.gauged.is_empty() {
        blocks.push(listed(
            "gaps and slivers".to_owned(),
            survey.gauged.len(),
            |k| (gauge_name(&survey.gauged[k].gauge, write), Cell::Gauge(k)),
        ));
    }
    blocks
}

fn listed(heading: String, count: usize, row: impl Fn(usize) -> (String, Cell)) -> Block {
    Block {
        heading,
        columns: vec![String::new()],
        rows: (0..count.min(MOST_ROWS))
            .map(|k| {
                let (place, cell) = row(k);
                (place, vec![Some(cell)])
            })
            .collect(),
        more: count.saturating_sub(MOST_ROWS),
    }
}

fn gauge_name(gauge: &Gauge, write: impl Fn(f64) -> String) -> String {
    match gauge {
        Gauge::Straightedge(s) => format!("straightedge at {}, {}", write(s.at[0]), write(s.at[1])),
        Gauge::Sticks(s) => format!(
            "sticks {} and {}",
            write(s.stations[0]),
            write(s.stations[1])
        ),
        Gauge::Corner(c) => format!("corner {}, {}", write(c.corner[0]), write(c.corner[1])),
        Gauge::Edge(e) => format!("string at {}", write(e.at)),
    }
}

/// The value of a cell as it was read, mm.
pub(super) fn value(record: &Record, cell: Cell) -> Option<f64> {
    let survey = record.surveys.last()?;
    match cell {
        Cell::Height(s, k) => Some(survey.heights.get(s)?.heights.up.get(k)?[2]),
        Cell::Caliper(k) => Some(survey.calipers.as_ref()?.readings.get(k)?.thickness),
        Cell::Gauge(k) => Some(match &survey.gauged.get(k)?.gauge {
            Gauge::Straightedge(s) => s.gap,
            Gauge::Sticks(s) => s.sliver,
            Gauge::Corner(c) => c.gap,
            Gauge::Edge(e) => e.gap,
        }),
        Cell::Thickness => survey.thickness,
    }
}

/// The record with readings typed over.
#[must_use]
pub fn changed(record: &Record, changes: &Changes) -> Record {
    let mut record = record.clone();
    for (cell, mm) in changes {
        if let Some(value) = place(&mut record, *cell) {
            *value = *mm;
        }
    }
    record
}

/// Where the record holds a cell.
fn place(record: &mut Record, cell: Cell) -> Option<&mut f64> {
    let survey = record.surveys.last_mut()?;
    match cell {
        Cell::Height(s, k) => {
            let set = survey.heights.get_mut(s)?;
            set.heights.up.get_mut(k).map(|p| &mut p[2])
        }
        Cell::Caliper(k) => {
            let calipers = survey.calipers.as_mut()?;
            calipers.readings.get_mut(k).map(|c| &mut c.thickness)
        }
        Cell::Gauge(k) => survey.gauged.get_mut(k).map(|g| match &mut g.gauge {
            Gauge::Straightedge(s) => &mut s.gap,
            Gauge::Sticks(s) => &mut s.sliver,
            Gauge::Corner(c) => &mut c.gap,
            Gauge::Edge(e) => &mut e.gap,
        }),
        Cell::Thickness => survey.thickness.as_mut(),
    }
}

/// What a cell's text says, mm; or what is wrong with it.
pub(super) fn parsed(text: &str, notation: Notation) -> Result<f64, String> {
    read(text.trim(), Some(notation.unit()), DecimalMark::Point)
        .map(|written| written.length.mm())
        .map_err(|error| error.to_string())
}

#[cfg(test)]
mod tests {
    use super::{Cell, Changes, blocks, changed, parsed, value};
    use crate::length::Notation;
    use crate::readings::{Record, read_board};

    const NOTATION: Notation = Notation::Fraction { denominator: 64 };

    fn record() -> Record {
        let text = "unit = \"in\"\nlength = 72\nwidth = 7\n[[survey]]\nthickness = 1.375\nheights = [{ table = \"\"\"\n\
            in,0,36,72\n0,1/8,1/4,1/8\n7,1/16,,1/4\n\"\"\" }]\n";
        let mut none = |name: &str| Err(name.to_owned());
        read_board(text.as_bytes(), "slab.toml", None, &mut none).unwrap()
    }

    #[test]
    fn a_grid_stands_as_the_board_is_seen_and_a_reading_not_taken_stays_empty() {
        let blocks = blocks(&record(), NOTATION);
        assert_eq!(blocks.len(), 2);
        assert_eq!(blocks[1].columns, ["0", "36", "72"]);
        let far = &blocks[1].rows[0];
        assert_eq!(far.0, "7");
        assert_eq!(far.1[1], None);
    }

    #[test]
    fn a_cell_is_changed_and_nothing_else() {
        let before = record();
        let cell = Cell::Height(0, 1);
        assert_eq!(value(&before, cell), Some(6.35));
        let after = changed(
            &before,
            &Changes::from([(cell, parsed("3/8", NOTATION).unwrap())]),
        );
        assert!((value(&after, cell).unwrap() - 9.525).abs() < 1e-9);
        assert_eq!(changed(&after, &Changes::from([(cell, 6.35)])), before);
        assert!(parsed("3/", NOTATION).is_err());
    }
}
