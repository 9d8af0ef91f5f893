//! A record as the text of a board file.

use std::fmt::Write as _;

use super::exact::{cell, step, value, words};
use super::gauges::Kind;
use super::write_gauge::{Usual, errors, face, inline, of_kind};
use crate::length::Unit;
use crate::readings::{Calipers, EndA, Frame, HeightSet, Heights, Layout, Record, Survey};

/// Three quotes, between which a table of readings stands.
const QUOTES: &str = "\"\"\"";

/// A board file that reads back as an equal record, lengths in the record's unit where that can be exact.
///
/// What no board file can hold does not come back: a record of nothing (an empty file is a fault), a size that is not
/// above zero, a place off the board, NaN, words that are blank or run over several lines.
#[must_use]
pub fn write_board(record: &Record) -> String {
    let unit = record.unit;
    let mut text = String::new();
    let mut line = |key: &str, value: Option<String>, remark: &str| {
        if let Some(value) = value {
            let line = format!("{key} = {value}");
            let _ = match remark {
                "" => writeln!(text, "{line}"),
                _ => writeln!(text, "{line:<27} # {remark}"),
            };
        }
    };
    let quoted = |text: &Option<String>| text.as_deref().map(words);
    let length = |mm: Option<f64>| mm.map(|mm| value(mm, unit));
    let symbol = unit.map(|unit| words(unit.symbol()));
    line("name", quoted(&record.name), "");
    line("unit", symbol, "of every number that names none");
    line("length", length(record.length), "from end A to end B");
    line(
        "width",
        length(record.width),
        "from the near to the far edge",
    );
    let about = &record.about;
    line("species", quoted(&about.species), "");
    line(
        "moisture",
        about.moisture.map(|percent| percent.to_string()),
        "percent",
    );
    line("end-a", quoted(&about.end_a), "");
    line("up", quoted(&about.up), "");
    line(
        "show",
        about.show.map(|show| face(show).to_owned()),
        "the face that will be seen",
    );
    line("grain", quoted(&about.grain), "");
    if !record.edges.is_empty() {
        let rows = record.edges.iter().map(|at| {
            vec![
                cell(at.station, unit),
                cell(at.near, unit),
                cell(at.far, unit),
            ]
        });
        let rows = rows.collect();
        let _ = writeln!(
            text,
            "\nedges = {QUOTES}\n{}{QUOTES}",
            table(&["station", "near", "far"], rows)
        );
    }
    for avoid in &record.avoid {
        let _ = writeln!(text, "\n[[avoid]]\nwhat = {}", words(&avoid.what));
        for (key, mm) in [
            ("from", avoid.from),
            ("to", avoid.to),
            ("near", avoid.near),
            ("far", avoid.far),
        ] {
            let _ = writeln!(text, "{key} = {}", value(mm, unit));
        }
    }
    for one in &record.surveys {
        survey(one, record, &mut text);
    }
    text
}

fn survey(survey: &Survey, record: &Record, text: &mut String) {
    let unit = record.unit;
    text.push_str("\n[[survey]]\n");
    if let Some(date) = &survey.date {
        let _ = writeln!(text, "date = {date}");
    }
    if let Some(thickness) = survey.thickness {
        let _ = writeln!(text, "thickness = {}", value(thickness, unit));
    }
    if let Some(error) = survey.caliper_error {
        let _ = writeln!(text, "caliper-error = {}", value(error, unit));
    }
    let one = match survey.heights.as_slice() {
        [set] if is_plain(set) => Some(set),
        _ => None,
    };
    if let Some(set) = one {
        if let Some(error) = set.error {
            let _ = writeln!(text, "error = {:<19} # of a height", value(error, unit));
        }
        let _ = writeln!(
            text,
            "heights = {QUOTES}\n{}{QUOTES}",
            heights(&set.heights, unit)
        );
    }
    if let Some(calipers) = survey
        .calipers
        .as_ref()
        .filter(|calipers| calipers.step_mm == caliper_step(calipers))
    {
        let _ = writeln!(
            text,
            "calipers = {QUOTES}\n{}{QUOTES}",
            caliper_table(calipers, unit)
        );
    }
    let usual = Usual::of(record);
    for kind in Kind::ALL {
        let gauged = of_kind(&survey.gauged, kind);
        let usual_sd = errors(&gauged, usual);
        let rows: Vec<String> = gauged
            .iter()
            .map(|one| format!("  {},\n", inline(one, usual, usual_sd)))
            .collect();
        if !rows.is_empty() {
            let _ = writeln!(text, "{} = [\n{}]", kind.key(), rows.concat());
        }
    }
    if let Some(calipers) = survey
        .calipers
        .as_ref()
        .filter(|calipers| calipers.step_mm != caliper_step(calipers))
    {
        text.push_str("\n[survey.calipers]\n");
        stated_step(calipers.step_mm, unit, text);
        let _ = writeln!(
            text,
            "table = {QUOTES}\n{}{QUOTES}",
            caliper_table(calipers, unit)
        );
    }
    if one.is_none() {
        for set in &survey.heights {
            height_set(set, unit, text);
        }
    }
}

/// Whether a set needs no more said than its heights, and perhaps their error.
fn is_plain(set: &HeightSet) -> bool {
    let usual = HeightSet {
        face: crate::readings::Face::Up,
        turned: false,
        datum: 0,
        frame: None,
        heights: set.heights.clone(),
        error: set.error,
    };
    *set == usual && set.heights.step_mm == height_step(&set.heights)
}

fn height_set(set: &HeightSet, unit: Option<Unit>, text: &mut String) {
    let _ = writeln!(text, "\n[[survey.heights]]\nface = {}", face(set.face));
    if set.turned {
        text.push_str("turned = true\n");
    }
    let _ = writeln!(text, "datum = \"{}\"", set.datum + 1);
    if let Some(Frame { number, end_a }) = set.frame {
        let _ = writeln!(text, "frame = \"{}\"", number + 1);
        let named = EndA::NAMED.iter().find(|(_, end)| Some(*end) == end_a);
        if let Some((name, _)) = named {
            let _ = writeln!(text, "end-a-at = \"{name}\"");
        }
    }
    if let Some(error) = set.error {
        let _ = writeln!(text, "error = {}", value(error, unit));
    }
    if set.heights.step_mm != height_step(&set.heights) {
        stated_step(set.heights.step_mm, unit, text);
    }
    let _ = writeln!(
        text,
        "table = {QUOTES}\n{}{QUOTES}",
        heights(&set.heights, unit)
    );
}

/// The last place of readings that do not show it, such as metric ones that are written in full.
fn stated_step(step: Option<f64>, unit: Option<Unit>, text: &mut String) {
    if let Some(step) = step {
        let _ = writeln!(text, "step = {:<20} # they were read to", value(step, unit));
    }
}

fn height_step(heights: &Heights) -> Option<f64> {
    let steps = heights.up.iter().map(|point| step(point[2], heights.unit));
    steps.reduce(f64::min)
}

fn caliper_step(calipers: &Calipers) -> Option<f64> {
    let steps = calipers
        .readings
        .iter()
        .map(|one| step(one.thickness, calipers.unit));
    steps.reduce(f64::min)
}

/// A header's name for a column, with its unit where that is not the file's.
fn column(name: &str, own: Option<Unit>, file: Option<Unit>) -> String {
    match own {
        Some(unit) if own != file => format!("{name}_{}", unit.symbol()),
        _ => name.to_owned(),
    }
}

fn caliper_table(calipers: &Calipers, file: Option<Unit>) -> String {
    let unit = calipers.unit;
    let head = ["x", "y", "thickness"].map(|name| column(name, unit, file));
    let rows = calipers.readings.iter().map(|one| {
        vec![
            cell(one.x, unit),
            cell(one.y, unit),
            cell(one.thickness, unit),
        ]
    });
    table(&head, rows.collect())
}

fn heights(heights: &Heights, file: Option<Unit>) -> String {
    let unit = heights.unit;
    let Layout::Grid {
        stations,
        positions,
    } = &heights.layout
    else {
        let head = ["x", "y", "z"].map(|name| column(name, unit, file));
        let rows = heights
            .up
            .iter()
            .map(|point| point.iter().map(|mm| cell(*mm, unit)).collect());
        return table(&head, rows.collect());
    };
    let mut head = vec![unit.map_or("", Unit::symbol).to_owned()];
    head.extend(stations.iter().map(|station| cell(*station, unit)));
    let rows = positions.iter().map(|position| {
        let height = |station: &f64| {
            let point = heights
                .up
                .iter()
                .find(|point| point[0] == *station && point[1] == *position);
            point.map_or(String::new(), |point| cell(point[2], unit))
        };
        std::iter::once(cell(*position, unit))
            .chain(stations.iter().map(height))
            .collect()
    });
    table(&head, rows.collect())
}

/// Rows under a header, the columns aligned.
fn table(head: &[impl AsRef<str>], rows: Vec<Vec<String>>) -> String {
    let head: Vec<String> = head.iter().map(|cell| cell.as_ref().to_owned()).collect();
    let rows: Vec<Vec<String>> = std::iter::once(head).chain(rows).collect();
    let columns = rows.first().map_or(0, Vec::len);
    let widest = |column: usize| rows.iter().map(|row| row[column].chars().count()).max();
    let widths: Vec<usize> = (0..columns)
        .map(|column| widest(column).unwrap_or(0))
        .collect();
    let mut text = String::new();
    for row in &rows {
        let cells: Vec<String> = row
            .iter()
            .zip(&widths)
            .map(|(cell, width)| format!("{cell:>width$}"))
            .collect();
        let _ = writeln!(text, "{}", cells.join(", ").trim_end());
    }
    text
}
