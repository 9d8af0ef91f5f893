//! Heights and caliper readings: tables in text or in files that the board file names.

use super::keys;
use super::set_ups::{Lies, SetUps};
use super::text_table::Text;
use crate::readings::toml::reader::{Place, Reader};
use crate::readings::toml::tree::{Node, Table, Value};
use crate::readings::{
    Calipers, Face, HeightSet, Heights, Layout, Settings, heights_of, read_calipers,
};

impl Reader<'_, '_> {
    /// The sets of heights of a survey, `error` where a set says none.
    pub(super) fn heights(&mut self, survey: Place<'_>, error: Option<f64>) -> Vec<HeightSet> {
        let Some(node) = survey.table.get("heights") else {
            return Vec::new();
        };
        let name = survey.key("heights");
        let mut set_ups = SetUps::default();
        let mut sets = Vec::new();
        let nodes = match &node.value {
            Value::List(nodes) if nodes.is_empty() => {
                self.fault(
                    &node.span,
                    &name,
                    "no heights",
                    "write them, or remove the key",
                );
                return sets;
            }
            Value::List(nodes) => nodes.as_slice(),
            _ => std::slice::from_ref(node),
        };
        for (at, node) in nodes.iter().enumerate() {
            let name = match nodes.len() {
                1 => name.clone(),
                _ => format!("{name} {}", at + 1),
            };
            match &node.value {
                Value::Table(table) => {
                    let place = Place {
                        table,
                        span: &node.span,
                        name: &name,
                    };
                    self.height_set(place, error, &mut set_ups, &mut sets);
                }
                _ => self.plain_heights(node, &name, error, &mut set_ups, &mut sets),
            }
        }
        sets
    }

    /// Heights that are text alone.
    fn plain_heights(
        &mut self,
        node: &Node,
        name: &str,
        error: Option<f64>,
        set_ups: &mut SetUps,
        sets: &mut Vec<HeightSet>,
    ) {
        let Some(text) = self.inline_text(node) else {
            let fix = "write the rows between two lines of three quotes: \"\"\"";
            self.wrong_sort(node, name, "a table in text", fix);
            return;
        };
        let Lies { datum, .. } = set_ups.plain();
        if let Some(heights) = self.heights_in(&text, name, false) {
            by_face(heights, Face::Up, |face, heights| {
                sets.push(HeightSet {
                    face,
                    turned: false,
                    datum,
                    frame: None,
                    heights,
                    error,
                });
            });
        }
    }

    fn height_set(
        &mut self,
        place: Place<'_>,
        error: Option<f64>,
        set_ups: &mut SetUps,
        sets: &mut Vec<HeightSet>,
    ) {
        self.check_keys(place, keys::HEIGHTS);
        let face = self.face(place, "face", Face::Up);
        let turned = self.flag(place, "turned");
        let depth = self.flag(place, "depth");
        let own = self.size(place, "error").map(|written| written.length.mm());
        let step = self.size(place, "step").map(|written| written.length.mm());
        let lies = self.lies(place, turned, set_ups);
        let Some(text) = self.text_in(place) else {
            return;
        };
        let Some(mut heights) = self.heights_in(&text, place.name, depth) else {
            return;
        };
        if let Some(step) = step {
            heights.step_mm = Some(step);
        }
        if !heights.down.is_empty() && place.table.get("face").is_some() {
            let wrong = "the rows name faces of their own";
            self.fault(
                place.span,
                place.name,
                wrong,
                "leave out the key face, or that column",
            );
            return;
        }
        by_face(heights, face, |face, heights| {
            sets.push(HeightSet {
                face,
                turned,
                datum: lies.datum,
                frame: lies.frame,
                heights,
                error: own.or(error),
            });
        });
    }

    fn heights_in(&mut self, text: &Text<'_>, name: &str, depth: bool) -> Option<Heights> {
        self.read_text(text, name, |bytes, unit| {
            heights_of(bytes, "", Settings { unit, depth }, 1)
        })
    }

    /// The caliper readings of a survey.
    pub(super) fn calipers(&mut self, survey: Place<'_>) -> Option<Calipers> {
        let node = survey.table.get("calipers")?;
        let name = survey.key("calipers");
        let mut stated = None;
        let (text, name_at) = match &node.value {
            Value::Table(table) => {
                let place = Place {
                    table,
                    span: &node.span,
                    name: &name,
                };
                self.check_keys(place, keys::CALIPERS);
                stated = self.size(place, "step").map(|written| written.length.mm());
                (self.text_in(place)?, place.name)
            }
            Value::Text(_) => (self.inline_text(node)?, name.as_str()),
            _ => {
                let fix = "write rows under x, y, thickness between two lines of \"\"\"";
                self.wrong_sort(node, &name, "a table in text", fix);
                return None;
            }
        };
        let mut calipers =
            self.read_text(&text, name_at, |bytes, unit| read_calipers(bytes, "", unit))?;
        if stated.is_some() {
            calipers.step_mm = stated;
        }
        Some(calipers)
    }

    /// A table that a survey must not be without.
    pub(super) fn holds_readings(table: &Table) -> bool {
        const READINGS: [&str; 7] = [
            "thickness",
            "heights",
            "calipers",
            "straightedge",
            "sticks",
            "corner",
            "string",
        ];
        READINGS.iter().any(|key| table.get(key).is_some())
    }
}

/// Hands on the heights of each face; those of a file that names no face are of `face`.
fn by_face(heights: Heights, face: Face, mut take: impl FnMut(Face, Heights)) {
    let Heights {
        up,
        down,
        layout,
        unit,
        step_mm,
    } = heights;
    if !up.is_empty() {
        let heights = Heights {
            up,
            down: Vec::new(),
            layout,
            unit,
            step_mm,
        };
        take(face, heights);
    }
    if !down.is_empty() {
        let heights = Heights {
            up: down,
            down: Vec::new(),
            layout: Layout::Scattered,
            unit,
            step_mm,
        };
        take(Face::Down, heights);
    }
}
