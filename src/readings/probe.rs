//! Probe readings: one row a place, under a header that names x, y, z and perhaps the face.

use super::columns::Columns;
use super::fault::{Collector, Problem};
use super::header::Name;
use super::number::Numbers;
use super::table::Table;
use super::{Face, Heights, Layout, Point, Settings};

/// The fewest readings that a file of them may hold: three stations of three.
pub(super) const FEWEST: usize = 9;

/// The fewest bytes that a row with three numbers takes.
const SHORTEST_ROW: usize = 6;

/// Reads the rows of a table with a header.
pub(super) fn read(
    mut table: Table<'_>,
    settings: Settings,
    fewest: usize,
    faults: &mut Collector,
) -> Option<Heights> {
    let header = table.header.take()?;
    if !header.has(Name::Z) && header.has(Name::Thickness) {
        faults.line(
            header.start(),
            Problem::new(
                "this is a file of caliper readings: x, y, thickness",
                "give it as --calipers, and the heights as the board",
            ),
        );
        return None;
    }
    let face = header.optional(Name::Face, faults);
    let columns = Columns::find(&header, Name::Z, settings.unit, faults)?;
    let mut numbers = Numbers::new(table.delimiter);
    let sign = if settings.depth { -1.0 } else { 1.0 };
    let mut up: Vec<Point> = Vec::new();
    let mut down = Vec::new();
    if face.is_none() {
        up.reserve_exact(row_bound(table.rows.rest()));
    }
    let mut step = f64::INFINITY;
    columns.each(
        &mut table.rows,
        &mut numbers,
        faults,
        |row, [x, y], z, faults| {
            step = step.min(z.step.mm());
            let point = [x, y, sign * z.length.mm() + 0.0];
            let named = face.map_or("", |face| row.cell(face.index));
            match face_named(named) {
                Some(Face::Up) => up.push(point),
                Some(Face::Down) => down.push(point),
                None => {
                    let site = row.site(face.map_or(0, |face| face.index));
                    let problem =
                        Problem::new("not a face of the board", "write up or down; blank is up");
                    faults.cell(site, || "face".to_owned(), named, problem);
                }
            }
        },
    );
    let unit = columns.unit().or(numbers.named());
    numbers.report(Some("in the header, as in x_mm or z_in"), faults);
    let heights = Heights {
        up,
        down,
        layout: Layout::Scattered,
        unit,
        step_mm: step.is_finite().then_some(step),
    };
    let needs = format!("a probe file needs {fewest} or more; rows that begin with # are comments");
    check_places(&heights, fewest, &needs, faults);
    Some(heights)
}

/// Reports heights that are fewer than `fewest`, or enough for a face but all at one place; `needs` says what the
/// file needs.
pub(super) fn check_places(heights: &Heights, fewest: usize, needs: &str, faults: &mut Collector) {
    if !faults.is_empty() {
        return;
    }
    let wrong = match heights.count() {
        count if count >= fewest => {
            if fewest >= FEWEST && heights.are_at_one_place() {
                let wrong = format!(
                    "all {} heights that were read lie at one place",
                    heights.count()
                );
                let fix = "check which of its columns are x, y and z";
                faults.file(Problem::new(wrong, fix));
            }
            return;
        }
        0 => "the file holds no heights".to_owned(),
        1 => "the file holds one height".to_owned(),
        count => format!("the file holds {count} heights"),
    };
    faults.file(Problem::new(wrong, needs));
}

/// The face that a cell names; the up face where it is blank.
pub(super) fn face_named(text: &str) -> Option<Face> {
    let is = |name: &str| text.eq_ignore_ascii_case(name);
    if text.is_empty() || is("up") {
        Some(Face::Up)
    } else if is("down") {
        Some(Face::Down)
    } else {
        None
    }
}

/// At most so many rows with three numbers are in `text`.
fn row_bound(text: &[u8]) -> usize {
    let lines = text.iter().filter(|&&byte| byte == b'\n').count() + 1;
    lines.min(text.len() / SHORTEST_ROW)
}
