//! A grid of heights: stations in the first row, positions in the first column.

use super::fault::{Collector, Problem, Site, with_unit};
use super::header::corner_unit;
use super::number::{Numbers, Role, is_number};
use super::rows::Row;
use super::table::{Table, unclosed_quote};
use super::{Heights, Layout, Settings};
use crate::length::Unit;

/// Stations of a row, or positions of a column, nearer than this are the same: 1 nm, below any notation.
const SAME_MM: f64 = 1e-6;

/// The most positions of a grid: ten metres by the tenth of a millimetre.
const MOST_POSITIONS: usize = 100_000;

/// A station or a position.
#[derive(Debug)]
struct Line {
    site: Site,
    /// As it is written, with the unit that holds for it.
    text: String,
    /// NaN where it could not be read.
    mm: f64,
}

/// A height and the indices of its position and station.
type Reading = (usize, usize, f64);

/// What is read so far.
#[derive(Debug)]
struct Grid {
    unit: Option<Unit>,
    corner_read: bool,
    numbers: Numbers,
    /// By column, from the second on; none where the first row is blank.
    stations: Vec<Option<Line>>,
    positions: Vec<Line>,
    readings: Vec<Reading>,
    step: f64,
}

/// Reads a table without a header.
pub(super) fn read(
    mut table: Table<'_>,
    settings: Settings,
    faults: &mut Collector,
) -> Option<Heights> {
    let mut grid = Grid {
        unit: settings.unit,
        corner_read: false,
        numbers: Numbers::new(table.delimiter),
        stations: Vec::new(),
        positions: Vec::new(),
        readings: Vec::new(),
        step: f64::INFINITY,
    };
    grid.read_stations(table.rows.next()?, faults)?;
    while let Some(row) = table.rows.next_after(faults) {
        if let Some(column) = row.unclosed() {
            faults.line(row.site(column), unclosed_quote(row.site(column)));
            break;
        }
        if grid.positions.len() == MOST_POSITIONS {
            let wrong = format!("the grid has more than {MOST_POSITIONS} positions");
            let fix = "no board is so wide; are these rows of x, y, z? Name them in the first row";
            faults.line(row.site(0), Problem::new(wrong, fix));
            break;
        }
        grid.read_row(row, faults);
    }
    grid.finish(settings.depth, faults)
}

impl Grid {
    /// Reads the first row; `None` where it is no row of stations at all.
    fn read_stations(&mut self, row: Row<'_>, faults: &mut Collector) -> Option<()> {
        let filled = row.filled();
        if (1..filled).all(|column| !row.cell(column).contains(char::is_numeric)) {
            let wrong = "the first row neither holds stations nor names the columns x, y, z";
            let fix = "write the stations after an empty cell, or the header; put # before a title";
            faults.line(row.site(0), Problem::new(wrong, fix));
            return None;
        }
        match corner(row.cell(0)) {
            Ok(unit) => {
                self.unit = unit.or(self.unit);
                self.corner_read = true;
            }
            Err(problem) => faults.cell(
                row.site(0),
                || "the top-left cell".to_owned(),
                row.cell(0),
                problem,
            ),
        }
        for column in 1..filled {
            let text = row.cell(column);
            let line = (!text.is_empty()).then(|| self.line(row, column, "a station", faults));
            self.stations.push(line);
        }
        let stations = self.stations.iter().flatten();
        report_twice(stations, "station", faults);
        Some(())
    }

    fn read_row(&mut self, row: Row<'_>, faults: &mut Collector) {
        let filled = row.filled();
        let width = self.stations.len() + 1;
        if filled > width {
            let column = row.first_filled(width);
            let wrong = format!(
                "the row holds {} heights for {} stations",
                filled - 1,
                width - 1
            );
            let fix = self.numbers.or_points("write the station");
            let place = || {
                format!(
                    "position {}",
                    with_unit(row.cell(0), self.unit.map_or("", Unit::symbol))
                )
            };
            faults.cell(
                row.site(column),
                place,
                row.cell(column),
                Problem::new(wrong, fix),
            );
            return;
        }
        if row.cell(0).is_empty() {
            let wrong = "the row has heights but no position";
            let fix = "write the position across the width in its first cell, or clear the row";
            faults.cell(row.site(0), String::new, "", Problem::new(wrong, fix));
            return;
        }
        let position = self.line(row, 0, "a position", faults);
        for column in 1..filled {
            let (text, site) = (row.cell(column), row.site(column));
            if text.is_empty() {
                continue;
            }
            let Some(station) = &self.stations[column - 1] else {
                let problem = Problem::new(
                    "no station stands over the height",
                    "write it in the first row, or clear the column",
                );
                faults.cell(
                    site,
                    || format!("position {}", position.text),
                    text,
                    problem,
                );
                continue;
            };
            match self.numbers.read(text, Role::Reading, self.unit, site) {
                Ok(height) => {
                    self.step = self.step.min(height.step.mm());
                    self.readings
                        .push((self.positions.len(), column - 1, height.length.mm()));
                }
                Err(problem) => {
                    let place = || format!("station {}, position {}", station.text, position.text);
                    faults.cell(site, place, text, problem);
                }
            }
        }
        self.positions.push(position);
    }

    /// Reads a station or a position.
    fn line(&mut self, row: Row<'_>, column: usize, what: &str, faults: &mut Collector) -> Line {
        let (text, site) = (row.cell(column), row.site(column));
        let unit = self.unit.map_or("", Unit::symbol);
        let mm = match self.numbers.read(text, Role::Place, self.unit, site) {
            Ok(written) => written.length.mm(),
            Err(problem) => {
                faults.cell(site, || what.to_owned(), text, problem);
                f64::NAN
            }
        };
        Line {
            site,
            text: with_unit(text, unit),
            mm,
        }
    }

    fn finish(self, depth: bool, faults: &mut Collector) -> Option<Heights> {
        report_twice(self.positions.iter(), "position", faults);
        let unit = self.unit.or(self.numbers.named());
        let header = if self.corner_read {
            Some("in the top-left cell")
        } else {
            None
        };
        self.numbers.report(header, faults);
        if self.readings.is_empty() && faults.is_empty() {
            faults.file(Problem::new(
                "the grid holds no heights",
                "write them below the stations; rows that begin with # are comments",
            ));
        }
        if !faults.is_empty() {
            return None;
        }
        let along: Vec<f64> = self
            .stations
            .iter()
            .map(|line| line.as_ref().map_or(f64::NAN, |line| line.mm))
            .collect();
        let across: Vec<f64> = self.positions.iter().map(|line| line.mm).collect();
        let sign = if depth { -1.0 } else { 1.0 };
        let mut up: Vec<[f64; 3]> = self
            .readings
            .iter()
            .map(|&(position, station, height)| {
                [along[station], across[position], sign * height + 0.0]
            })
            .collect();
        up.sort_by(|a, b| a[1].total_cmp(&b[1]).then(a[0].total_cmp(&b[0])));
        let layout = Layout::Grid {
            stations: sorted(along),
            positions: sorted(across),
        };
        let step_mm = self.step.is_finite().then_some(self.step);
        Some(Heights {
            up,
            down: Vec::new(),
            layout,
            unit,
            step_mm,
        })
    }
}

/// The unit in the top-left cell; a number there means that the stations or the positions are missing.
fn corner(text: &str) -> Result<Option<Unit>, Problem> {
    if is_number(text) {
        return Err(Problem::new(
            "a number where the unit stands",
            "row 1 holds stations, column A positions; clear this cell",
        ));
    }
    corner_unit(text)
}

/// Reports each line that stands at the place of an earlier one.
fn report_twice<'l>(lines: impl Iterator<Item = &'l Line>, what: &str, faults: &mut Collector) {
    let mut lines: Vec<&Line> = lines.filter(|line| !line.mm.is_nan()).collect();
    lines.sort_by(|a, b| a.mm.total_cmp(&b.mm).then(a.site.cmp(&b.site)));
    for pair in lines.windows(2) {
        let (first, second) = (pair[0], pair[1]);
        if second.mm - first.mm <= SAME_MM {
            let wrong = format!("the {what} stands twice, here and in {}", first.site.cell());
            let fix = format!("write each {what} once");
            faults.cell(
                second.site,
                || format!("a {what}"),
                &second.text,
                Problem::new(wrong, fix),
            );
        }
    }
}

fn sorted(lines: Vec<f64>) -> Vec<f64> {
    let mut lines: Vec<f64> = lines.into_iter().filter(|mm| !mm.is_nan()).collect();
    lines.sort_by(f64::total_cmp);
    lines
}
