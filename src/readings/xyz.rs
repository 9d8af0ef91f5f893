//! XYZ point files: a line a point, its x, y and z parted by spaces; no header, no unit.

use super::fault::{Collector, Problem, Site};
use super::number::{Numbers, Role};
use super::{Heights, Layout, Settings, probe};

/// Whether the first line that holds anything holds three numbers or more, parted by nothing but spaces.
pub(super) fn is_xyz(text: &str) -> bool {
    let mut lines = text.lines().map(str::trim);
    let first = lines.find(|line| !line.is_empty() && !line.starts_with('#'));
    first.is_some_and(|line| {
        let number = |word: &str| word.parse::<f64>().is_ok();
        let words = line.split(' ').filter(|word| !word.is_empty());
        !line.contains([',', ';', '\t']) && words.clone().count() >= 3 && words.take(3).all(number)
    })
}

/// Reads the points of the up face; what follows z in a line is left unread.
pub(super) fn read(
    text: &str,
    settings: Settings,
    fewest: usize,
    faults: &mut Collector,
) -> Option<Heights> {
    let mut numbers = Numbers::new(b' ');
    let mut up = Vec::new();
    let mut step = f64::INFINITY;
    for (line, row) in (1..).zip(text.lines()) {
        if faults.gives_up() {
            break;
        }
        let mut words = row.split_ascii_whitespace().peekable();
        if words.peek().is_none_or(|word| word.starts_with('#')) {
            continue;
        }
        let mut point = [0.0; 3];
        for (column, name) in ["x", "y", "z"].into_iter().enumerate() {
            let site = Site {
                line,
                row: line,
                column,
            };
            let role = if name == "z" {
                Role::Reading
            } else {
                Role::Place
            };
            let Some(word) = words.next() else {
                let wrong = format!("the line has no {name}");
                let fix = "write x, y and z, or take the line out";
                faults.line(site, Problem::new(wrong, fix));
                break;
            };
            match numbers.read(word, role, settings.unit, site) {
                Ok(written) => {
                    point[column] = written.length.mm();
                    if name == "z" {
                        step = step.min(written.step.mm());
                    }
                }
                Err(problem) => faults.cell(site, || name.to_owned(), word, problem),
            }
        }
        let sign = if settings.depth { -1.0 } else { 1.0 };
        up.push([point[0], point[1], sign * point[2] + 0.0]);
    }
    let named = numbers.named();
    if settings.unit.is_none() && named.is_none() {
        let fix = "give --unit mm, or whatever the points are in";
        faults.file(Problem::new("an XYZ file names no unit", fix));
    }
    numbers.report(None, faults);
    let heights = Heights {
        up,
        down: Vec::new(),
        layout: Layout::Scattered,
        unit: settings.unit.or(named),
        step_mm: step.is_finite().then_some(step),
    };
    let needs = format!("a point file needs {fewest} or more");
    probe::check_places(&heights, fewest, &needs, faults);
    Some(heights)
}
