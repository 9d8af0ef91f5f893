//! One more reading in the text of a board file, the rest of it byte for byte as it was.

use super::exact::cell;
use super::gauges::Kind;
use super::insert::{Edit, Layout};
use super::record;
use super::replace::replaced;
use super::write_gauge::{Usual, braces, lines};
use crate::length::Unit;
use crate::readings::fault::{Collector, Problem};
use crate::readings::toml::reader::{Place, Reader};
use crate::readings::toml::source::Source;
use crate::readings::toml::syntax;
use crate::readings::toml::tree::{Node, Table, Value};
use crate::readings::{Caliper, Face, Faults, Gauge, Record};

/// A reading to be added to a board file, millimetres.
#[derive(Debug, Clone, PartialEq)]
pub enum Addition {
    /// A thickness by caliper.
    Caliper(Caliper),
    /// The height of a face at a place, over the datum of the heights of that face which the survey holds already.
    Height {
        /// The face.
        face: Face,
        /// Station, position and height, as in `Heights::up`.
        point: [f64; 3],
    },
    /// A straightedge, sticks, corner or string reading. Its error is that which the file states for its kind.
    Gauge(Gauge),
}

/// Adds one reading to the last survey of the `text` of a board file, or to a new one where there is none; blank text
/// becomes a board file with that reading. Comments, order and layout of the rest stay byte for byte. `file` is its name
/// in messages; a file that names no unit gets lengths with theirs.
///
/// Read again, the file gives what it gave, and the reading as the last of its kind. The errors of its kind may
/// become smaller with it: they take the finest last place among such readings.
///
/// # Errors
///
/// All [`Faults`] of the text; or why it has no room for the reading: it belongs in another file that the board
/// file names, a height was read at that place before, or the reading itself could not be read back.
pub fn add_to_board(text: &str, file: &str, addition: &Addition) -> Result<String, Faults> {
    edited(text, file, |source, table, _, usual| {
        added(source, table, addition, usual)
    })
}

/// As [`add_to_board`], but in a new survey of this date, written as 2026-11-20, behind the others.
///
/// # Errors
///
/// As [`add_to_board`].
pub fn begin_survey(
    text: &str,
    file: &str,
    date: &str,
    addition: &Addition,
) -> Result<String, Faults> {
    edited(text, file, |source, _, _, usual| {
        let entry = format!("date = {date}\n{}", new_entry(addition, usual));
        Ok(Edit::new(source).new_table("[[survey]]", &entry))
    })
}

/// Puts a reading of the last survey right: the height or thickness at the same place, or what a gauge held the same way
/// shows. The rest of the text stays byte for byte.
///
/// # Errors
///
/// As [`add_to_board`]; or that there is no such reading, or that it is written so that only an editor can change it.
pub fn change_in_board(text: &str, file: &str, addition: &Addition) -> Result<String, Faults> {
    edited(text, file, |source, table, record, usual| {
        replaced(source, table, addition, record, usual)
    })
}

/// Edits the text of a board file and reads it again.
fn edited(
    text: &str,
    file: &str,
    edit: impl FnOnce(&Source<'_>, &Table, &Record, Usual) -> Result<String, Refusal>,
) -> Result<String, Faults> {
    let (mark, text) = match text.strip_prefix('\u{FEFF}') {
        Some(rest) => ("\u{FEFF}", rest),
        None => ("", text),
    };
    let unit = Some(Unit::Millimetre);
    let before = if text.trim().is_empty() {
        Record::default()
    } else {
        record(text, file, unit, None)?
    };
    let source = Source::new(text, super::KIND);
    let table = syntax::parse(&source, &mut Collector::default()).unwrap_or_default();
    let unit = table.get("unit").and(before.unit);
    let before = Record { unit, ..before };
    let usual = Usual::of(&before);
    let edited = edit(&source, &table, &before, usual).map_err(|(span, problem)| {
        let mut faults = Collector::default();
        let (site, fault) = source.fault(&span, "", problem);
        faults.told(site, fault);
        faults.faults(file)
    })?;
    record(&edited, file, Some(Unit::Millimetre), None)?;
    Ok(format!("{mark}{edited}"))
}

/// Why there is no room for a reading, and where.
pub(super) type Refusal = (std::ops::Range<usize>, Problem);

fn added(
    source: &Source<'_>,
    table: &Table,
    addition: &Addition,
    usual: Usual,
) -> Result<String, Refusal> {
    let edit = Edit::new(source);
    let Some(node) = last_survey(table) else {
        let entry = new_entry(addition, usual);
        return Ok(edit.new_table("[[survey]]", &entry));
    };
    let Value::Table(survey) = &node.value else {
        return Ok(source.text.to_owned());
    };
    if !source.piece(&node.span).trim_start().starts_with('[') {
        let fix = "begin the survey with a line [[survey]], each key on a line below";
        return Err((
            node.span.clone(),
            Problem::new("nothing can be added to a survey in braces", fix),
        ));
    }
    let key = key(addition);
    let Some(entry) = survey.entry(key) else {
        return Ok(edit.new_key(node, survey, &new_entry(addition, usual)));
    };
    match addition {
        Addition::Gauge(gauge) => Ok(edit.new_item(&entry.node, &braces(gauge, usual), || {
            format!("[[survey.{key}]]\n{}\n", lines(gauge, usual).join("\n"))
        })),
        Addition::Caliper(caliper) => {
            let text = text_of(&entry.node)?;
            let row = [
                ("x", caliper.x),
                ("y", caliper.y),
                ("thickness", caliper.thickness),
            ];
            edit.new_row(text, &row, usual.unit)
        }
        Addition::Height { face, point } => {
            let set = set_of(source, &entry.node, *face)?;
            let depth = if set.depth { -point[2] } else { point[2] };
            let [x, y, _] = *point;
            match edit.layout(set.text) {
                Layout::Columns => {
                    let row = [("x", x), ("y", y), ("z", depth)];
                    edit.new_row(set.text, &row, usual.unit)
                }
                Layout::Grid => edit.new_cell(set.text, [x, y, depth], usual.unit),
            }
        }
    }
}

/// The last survey of the file.
pub(super) fn last_survey(table: &Table) -> Option<&Node> {
    let node = table.get("survey")?;
    match &node.value {
        Value::List(surveys) => surveys.last(),
        _ => Some(node),
    }
}

/// The key of a survey under which a reading stands.
pub(super) fn key(addition: &Addition) -> &'static str {
    match addition {
        Addition::Caliper(_) => "calipers",
        Addition::Height { .. } => "heights",
        Addition::Gauge(gauge) => Kind::of(gauge).key(),
    }
}

/// The first reading of its kind, as it stands under its survey.
fn new_entry(addition: &Addition, usual: Usual) -> String {
    let unit = usual.unit;
    match addition {
        Addition::Caliper(Caliper { x, y, thickness }) => format!(
            "calipers = \"\"\"\nx, y, thickness\n{}, {}, {}\n\"\"\"\n",
            cell(*x, unit),
            cell(*y, unit),
            cell(*thickness, unit)
        ),
        Addition::Height { face, point } => {
            let [x, y, z] = point.map(|mm| cell(mm, unit));
            let table = format!("\"\"\"\nx, y, z\n{x}, {y}, {z}\n\"\"\"\n");
            match face {
                Face::Up => format!("heights = {table}"),
                Face::Down => format!(
                    "heights = [{{ face = \"down\", table = {} }}]\n",
                    table.trim_end()
                ),
            }
        }
        Addition::Gauge(gauge) => {
            format!(
                "{} = [\n  {},\n]\n",
                Kind::of(gauge).key(),
                braces(gauge, usual)
            )
        }
    }
}

/// A table of heights to which one can be added.
pub(super) struct Set<'n> {
    pub(super) text: &'n Node,
    pub(super) depth: bool,
}

/// The last set of heights of a face.
pub(super) fn set_of<'n>(
    source: &Source<'_>,
    node: &'n Node,
    face: Face,
) -> Result<Set<'n>, Refusal> {
    let sets = match &node.value {
        Value::List(sets) => sets.as_slice(),
        _ => std::slice::from_ref(node),
    };
    let mut reader = Reader::new(source, None, None);
    let of_face = sets.iter().rev().find(|set| match &set.value {
        Value::Table(table) => {
            let place = Place {
                table,
                span: &set.span,
                name: "",
            };
            // Places in a scanner's own frame are no places to add a reading at.
            table.get("frame").is_none() && reader.face(place, "face", Face::Up) == face
        }
        _ => face == Face::Up,
    });
    let Some(set) = of_face else {
        let fix = "write it under [[survey.heights]] with face and table";
        return Err((
            node.span.clone(),
            Problem::new("no heights of that face to add one to", fix),
        ));
    };
    let depth = match &set.value {
        Value::Table(table) => table
            .get("depth")
            .is_some_and(|node| source.piece(&node.span).trim_matches('"') == "true"),
        _ => false,
    };
    Ok(Set {
        text: text_of(set)?,
        depth,
    })
}

/// The text of a table of readings, alone or under the key `table`.
pub(super) fn text_of(node: &Node) -> Result<&Node, Refusal> {
    match &node.value {
        Value::Text(_) => Ok(node),
        Value::Table(table) => match (table.get("table"), table.get("file")) {
            (Some(text), _) => Ok(text),
            (None, file) => {
                let span = file.map_or(node.span.clone(), |file| file.span.clone());
                let problem = Problem::new(
                    "these readings stand in a file of their own",
                    "add the reading there",
                );
                Err((span, problem))
            }
        },
        _ => {
            let problem = Problem::new(
                "no table in text to add a reading to",
                "write it in three quotes",
            );
            Err((node.span.clone(), problem))
        }
    }
}
