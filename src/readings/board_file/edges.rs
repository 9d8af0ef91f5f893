//! Where the edges of a board lie that is not a rectangle.

use super::outline::Outline;
use super::text_table::{cells, one_fault};
use crate::length::Unit;
use crate::readings::fault::{Collector, Problem, Site};
use crate::readings::toml::reader::{Place, Reader, read_length};
use crate::readings::toml::tree::Value;
use crate::readings::{EdgesAt, Faults};

/// The columns in the order in which they are written.
const COLUMNS: [&str; 3] = ["station", "near", "far"];

impl Reader<'_, '_> {
    /// Where the edges lie, by the keys `edges` or `taper`.
    pub(super) fn edges(&mut self, board: Place<'_>, outline: &mut Outline) -> Vec<EdgesAt> {
        if let (Some(_), Some(taper)) = (board.table.get("edges"), board.table.entry("taper")) {
            let wrong = "both edges and taper say where the edges lie";
            self.fault(&taper.key_span, "taper", wrong, "keep one of them");
            return Vec::new();
        }
        if board.table.get("taper").is_some() {
            return self.taper(board, outline).unwrap_or_default();
        }
        let Some(node) = board.table.get("edges") else {
            return Vec::new();
        };
        outline.told[1] = true;
        let Some(text) = self.inline_text(node) else {
            let fix = "write rows of station, near, far between two lines of \"\"\"";
            self.wrong_sort(node, "edges", "a table in text", fix);
            return Vec::new();
        };
        let length = outline.length;
        let edges = self.read_text(&text, "edges", |bytes, unit| {
            read_edges(bytes, unit, length)
        });
        outline.told[1] = edges.is_none();
        edges.unwrap_or_default()
    }

    /// The widths at end A and end B, the near edge straight.
    fn taper(&mut self, board: Place<'_>, outline: &mut Outline) -> Option<Vec<EdgesAt>> {
        let node = board.table.get("taper")?;
        let widths = match &node.value {
            Value::List(widths) if widths.len() == 2 => widths,
            _ => {
                let fix = "write the widths at end A and end B: [\"9-1/2\", \"8\"]";
                self.wrong_sort(node, "taper", "a pair of widths", fix);
                outline.told[1] = true;
                return None;
            }
        };
        let mut ends = widths.iter().map(|node| {
            let written = self.length_of(node, "taper")?;
            self.above_zero(node, "taper", written)
        });
        let (a, b) = (ends.next().flatten(), ends.next().flatten());
        let length = self.board_length(outline, &node.span, "taper");
        let (Some(a), Some(b), Some(length)) = (a, b, length) else {
            outline.told[1] = true;
            return None;
        };
        let at = |station, far: f64| EdgesAt {
            station,
            near: 0.0,
            far,
        };
        Some(vec![at(0.0, a.length.mm()), at(length, b.length.mm())])
    }
}

/// The rows of a table of edges.
fn read_edges(
    bytes: &[u8],
    unit: Option<Unit>,
    length: Option<f64>,
) -> Result<Vec<EdgesAt>, Faults> {
    let text = std::str::from_utf8(bytes).unwrap_or_default();
    let mut faults = Collector::default();
    let mut edges: Vec<EdgesAt> = Vec::new();
    let mut unitless = None;
    let mut columns = COLUMNS.map(Some);
    let mut first = true;
    for (at, row) in text.lines().enumerate() {
        let row = row.split('#').next().unwrap_or_default();
        if row.trim().is_empty() {
            continue;
        }
        let delimiter = ['\t', ';']
            .into_iter()
            .find(|sign| row.contains(*sign))
            .unwrap_or(',');
        let line = at as u64 + 1;
        let site = |column| Site {
            line,
            row: line,
            column,
        };
        let texts: Vec<&str> = cells(row, delimiter)
            .into_iter()
            .map(|cell| row[cell].trim_matches('"').trim())
            .collect();
        if std::mem::take(&mut first) && !row.contains(char::is_numeric) {
            columns = [0, 1, 2].map(|column| {
                let name = texts.get(column)?.to_lowercase();
                COLUMNS.into_iter().find(|known| name.starts_with(known))
            });
            if COLUMNS.iter().any(|name| !columns.contains(&Some(name))) {
                let fix = "name the columns station, near, far";
                faults.line(site(0), Problem::new("not the columns of edges", fix));
                columns = COLUMNS.map(Some);
            }
            continue;
        }
        if texts.len() != 3 {
            let wrong = format!("{} cells where a row has three", texts.len());
            faults.line(site(0), Problem::new(wrong, "write station, near, far"));
            continue;
        }
        let mut read = [None; 3];
        for (column, text) in texts.iter().enumerate() {
            let name = columns[column].unwrap_or_default();
            match read_length(text, unit) {
                Ok(written) => {
                    if written.unit.is_none() && unit.is_none() {
                        unitless = unitless.or(Some((site(column), (*text).to_owned())));
                    }
                    let place = COLUMNS.iter().position(|known| *known == name);
                    read[place.unwrap_or(column)] = Some(written.length.mm());
                }
                Err(problem) => faults.cell(site(column), || name.to_owned(), text, problem),
            }
        }
        let [Some(station), Some(near), Some(far)] = read else {
            continue;
        };
        let wrong = if near >= far {
            Some((
                "near lies at or beyond far",
                "near is the lower of the two positions",
            ))
        } else if edges.last().is_some_and(|last| station <= last.station) {
            Some((
                "the stations do not rise",
                "write the rows in order from end A, each station once",
            ))
        } else if station < 0.0 || length.is_some_and(|length| station > length + 0.01) {
            Some((
                "a station beyond the board",
                "check it, or the length at the top",
            ))
        } else {
            None
        };
        if let Some((wrong, fix)) = wrong {
            faults.line(site(0), Problem::new(wrong, fix));
            continue;
        }
        edges.push(EdgesAt { station, near, far });
    }
    if let Some((site, text)) = unitless {
        let fix = "write unit = \"in\" or \"mm\" at the top, or give --unit";
        faults.cell(site, String::new, &text, Problem::new("no unit", fix));
    }
    if edges.len() < 2 && faults.is_empty() {
        let wrong = match edges.len() {
            0 => "no rows of edges",
            _ => "one row alone does not say how the edges run",
        };
        return Err(one_fault(Problem::new(
            wrong,
            "write one row for each end, or more",
        )));
    }
    if faults.is_empty() {
        Ok(edges)
    } else {
        Err(faults.faults(""))
    }
}
