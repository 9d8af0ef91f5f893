//! A reading in the text of a board file put right, the rest of it byte for byte as it was.

use std::ops::Range;

use super::addition::{Addition, Refusal, key, last_survey, set_of, text_of};
use super::exact::cell;
use super::gauges::Kind;
use super::insert::{Edit, Layout, Row, SAME_MM, column_name};
use super::write_gauge::{Usual, braces};
use crate::length::Unit;
use crate::readings::fault::Problem;
use crate::readings::header::corner_unit;
use crate::readings::toml::reader::read_length;
use crate::readings::toml::source::Source;
use crate::readings::toml::tree::{Node, Table, Value};
use crate::readings::{Gauge, Record};

/// The text with the reading at the place of `addition` put right; `record` is what the text holds.
pub(super) fn replaced(
    source: &Source<'_>,
    table: &Table,
    addition: &Addition,
    record: &Record,
    usual: Usual,
) -> Result<String, Refusal> {
    let edit = Edit::new(source);
    let nothing = |span: Range<usize>| {
        let problem = Problem::new("no such reading is there to change", "add it instead");
        (span, problem)
    };
    let Some((node, Value::Table(survey))) = last_survey(table).map(|node| (node, &node.value))
    else {
        return Err(nothing(0..source.text.len().min(1)));
    };
    let entry = survey
        .entry(key(addition))
        .ok_or_else(|| nothing(node.span.clone()))?;
    let (span, new) = match addition {
        Addition::Gauge(gauge) => {
            let span = item(source, &entry.node, gauge, record)?;
            (span, braces(gauge, usual))
        }
        Addition::Caliper(caliper) => {
            let text = text_of(&entry.node)?;
            let place = [("x", caliper.x), ("y", caliper.y)];
            let found = edit.cell_at(text, place, "thickness", usual.unit)?;
            let (span, unit) = found.ok_or_else(|| nothing(text.span.clone()))?;
            (span, cell(caliper.thickness, unit))
        }
        Addition::Height { face, point } => {
            let set = set_of(source, &entry.node, *face)?;
            let [x, y, z] = *point;
            let found = match edit.layout(set.text) {
                Layout::Columns => edit.cell_at(set.text, [("x", x), ("y", y)], "z", usual.unit)?,
                Layout::Grid => edit.grid_cell_at(set.text, [x, y], usual.unit)?,
            };
            let (span, unit) = found.ok_or_else(|| nothing(set.text.span.clone()))?;
            (span, cell(if set.depth { -z } else { z }, unit))
        }
    };
    Ok(spliced(source.text, span, &new))
}

fn spliced(text: &str, span: Range<usize>, new: &str) -> String {
    format!("{}{new}{}", &text[..span.start], &text[span.end..])
}

/// The reading in braces that was taken with a gauge held like this one.
fn item(
    source: &Source<'_>,
    node: &Node,
    gauge: &Gauge,
    record: &Record,
) -> Result<Range<usize>, Refusal> {
    let survey = record.surveys.last();
    let gauged = survey.into_iter().flat_map(|survey| &survey.gauged);
    let of_kind = gauged.filter(|other| Kind::of(&other.gauge) == Kind::of(gauge));
    let at = of_kind
        .map(|other| &other.gauge)
        .position(|other| other.held_as(gauge));
    let items = match &node.value {
        Value::List(items) => items.as_slice(),
        _ => std::slice::from_ref(node),
    };
    let found = at.and_then(|at| items.get(at));
    match found {
        Some(item) if source.piece(&item.span).starts_with('{') => Ok(item.span.clone()),
        _ => {
            let problem = Problem::new(
                "this reading is not written in braces",
                "change it in the file",
            );
            Err((node.span.clone(), problem))
        }
    }
}

/// A number's place and the unit that it takes.
type Found = Option<(Range<usize>, Option<Unit>)>;

impl Edit<'_> {
    /// The cell of a column in the row at a place, last of several.
    fn cell_at(
        &self,
        text: &Node,
        place: [(&str, f64); 2],
        column: &str,
        unit: Option<Unit>,
    ) -> Result<Found, Refusal> {
        let (rows, delimiter) = self.rows(text)?;
        let Some((head, below)) = rows.split_first() else {
            return Ok(None);
        };
        let of = |wanted: &str| {
            let named = |span: &Range<usize>| {
                column_name(self.source.piece(span)).filter(|(name, _)| *name == wanted)
            };
            let at = head.cells.iter().position(|span| named(span).is_some())?;
            let (_, own) = named(&head.cells[at])?;
            Some((at, own.or(unit)))
        };
        let (Some(x), Some(y), Some((value, own))) = (of(place[0].0), of(place[1].0), of(column))
        else {
            return Ok(None);
        };
        let is_here = |row: &&Row| {
            [(x, place[0].1), (y, place[1].1)]
                .iter()
                .all(|((at, unit), mm)| {
                    let cell = row.cells.get(*at);
                    cell.is_some_and(|span| self.is_at(span, *mm, *unit, delimiter))
                })
        };
        let row = below.iter().rev().find(is_here);
        let span = row.and_then(|row| row.cells.get(value));
        Ok(span.map(|span| (span.clone(), own)))
    }

    /// The cell of a grid at a station and a position.
    fn grid_cell_at(
        &self,
        text: &Node,
        [x, y]: [f64; 2],
        unit: Option<Unit>,
    ) -> Result<Found, Refusal> {
        let (rows, delimiter) = self.rows(text)?;
        let Some((head, below)) = rows.split_first() else {
            return Ok(None);
        };
        let corner = head.cells.first();
        let corner = corner.map_or("", |cell| self.source.piece(cell));
        let unit = corner_unit(corner).ok().flatten().or(unit);
        let is_at = |span: &Range<usize>, mm: f64| self.is_at(span, mm, unit, delimiter);
        let mut stations = head.cells.iter().enumerate().skip(1);
        let station = stations.find(|(_, span)| is_at(span, x)).map(|(at, _)| at);
        let at_position = |row: &&Row| row.cells.first().is_some_and(|span| is_at(span, y));
        let row = below.iter().find(at_position);
        let span = station.and_then(|at| row?.cells.get(at));
        let span = span.filter(|span| !span.is_empty());
        Ok(span.map(|span| (span.clone(), unit)))
    }

    /// Whether a cell holds this length.
    fn is_at(&self, span: &Range<usize>, mm: f64, unit: Option<Unit>, delimiter: char) -> bool {
        let text = self.source.piece(span).trim_matches('"');
        let text = if delimiter == ',' {
            text.to_owned()
        } else {
            text.replace(',', ".")
        };
        read_length(&text, unit).is_ok_and(|w| (w.length.mm() - mm).abs() <= SAME_MM)
    }
}
