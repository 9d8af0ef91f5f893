//! The board's outline as the file gives it, and the words that name places on it.

use std::ops::Range;

use crate::readings::toml::reader::{Place, Reader};
use crate::readings::toml::tree::{Node, Value};
use crate::readings::{Edge, EdgesAt};

/// A place this far outside the board is still on it, mm: a tape read at its very end.
const HAIR: f64 = 0.01;

/// Length, width and edges, as far as they are known.
#[derive(Debug, Default)]
pub(super) struct Outline {
    pub(super) length: Option<f64>,
    pub(super) width: Option<f64>,
    pub(super) edges: Vec<EdgesAt>,
    /// Length, width: a key is there but cannot be read, or its absence has been told.
    pub(super) told: [bool; 2],
}

impl Outline {
    /// The position of an edge at a station.
    pub(super) fn edge(&self, edge: Edge, station: f64) -> Option<f64> {
        match EdgesAt::along(&self.edges, station) {
            Some(at) => Some(at.position(edge)),
            None if edge == Edge::Near => self.width.map(|_| 0.0),
            None => self.width,
        }
    }

    /// The positions between which the board lies anywhere.
    pub(super) fn reach(&self) -> Option<[f64; 2]> {
        EdgesAt::reach(&self.edges).or(self.width.map(|width| [0.0, width]))
    }
}

impl Reader<'_, '_> {
    /// The board's length; tells once where it is not known.
    pub(super) fn board_length(
        &mut self,
        outline: &mut Outline,
        span: &Range<usize>,
        place: &str,
    ) -> Option<f64> {
        if outline.length.is_none() && !outline.told[0] {
            outline.told[0] = true;
            let fix = "write length = \"…\" at the top";
            self.fault(
                span,
                place,
                "the board's length is needed here, and is not given",
                fix,
            );
        }
        outline.length
    }

    /// The position of an edge; tells once where the width is not known.
    pub(super) fn edge_at(
        &mut self,
        outline: &mut Outline,
        edge: Edge,
        station: f64,
        (span, place): (&Range<usize>, &str),
    ) -> Option<f64> {
        let position = outline.edge(edge, station);
        if position.is_none() && !outline.told[1] {
            outline.told[1] = true;
            let fix = "write width = \"…\" at the top";
            self.fault(
                span,
                place,
                "the board's width is needed here, and is not given",
                fix,
            );
        }
        position
    }

    /// A station: a length from end A, or a word.
    pub(super) fn station(
        &mut self,
        outline: &mut Outline,
        node: &Node,
        place: &str,
    ) -> Option<f64> {
        let word = word(node);
        let share = match word.trim_start_matches("end ") {
            "a" => return Some(0.0),
            "b" => 1.0,
            "middle" | "centre" | "center" => 0.5,
            _ => {
                let station = self.place_number(node, place, "\"A\", \"B\" or \"middle\"")?;
                return self.on_board(
                    outline.length.map(|length| [0.0, length]),
                    station,
                    node,
                    place,
                );
            }
        };
        self.board_length(outline, &node.span, place)
            .map(|length| share * length)
    }

    /// A position: a length from the near edge, or a word for one at `station`.
    pub(super) fn position(
        &mut self,
        outline: &mut Outline,
        station: f64,
        node: &Node,
        place: &str,
    ) -> Option<f64> {
        let word = word(node);
        let mut at = |edge| self.edge_at(outline, edge, station, (&node.span, place));
        match word.trim_end_matches(" edge") {
            "near" => at(Edge::Near),
            "far" => at(Edge::Far),
            "middle" | "centre" | "center" => {
                let (near, far) = (at(Edge::Near)?, at(Edge::Far)?);
                Some(near + (far - near) / 2.0)
            }
            _ => {
                let position = self.place_number(node, place, "\"near\", \"far\" or \"middle\"")?;
                self.on_board(outline.reach(), position, node, place)
            }
        }
    }

    /// A station and a position: `[36, "near"]`.
    pub(super) fn point(
        &mut self,
        outline: &mut Outline,
        node: &Node,
        place: &str,
    ) -> Option<[f64; 2]> {
        match &node.value {
            Value::List(pair) if pair.len() == 2 => {
                let station = self.station(outline, &pair[0], place);
                let position = self.position(outline, station.unwrap_or(0.0), &pair[1], place);
                Some([station?, position?])
            }
            _ => {
                let fix = "write a station and a position in brackets: [36, \"near\"]";
                self.wrong_sort(node, place, "a place", fix);
                None
            }
        }
    }

    /// The position of an edge that a key names, `near` or `far`.
    pub(super) fn edge_named(&mut self, place: Place<'_>, key: &str) -> Option<Edge> {
        self.choice(place, key, &[("near", Edge::Near), ("far", Edge::Far)])
    }

    /// A length that says where; a word that is none is told with the words that are known.
    fn place_number(&mut self, node: &Node, place: &str, words: &str) -> Option<f64> {
        if let Value::Text(text) = &node.value
            && !text.contains(char::is_numeric)
        {
            let fix = format!("write a length, {words}");
            self.fault(&node.span, place, "no such place", fix);
            return None;
        }
        self.length_of(node, place)
            .map(|written| written.length.mm())
    }

    fn on_board(
        &mut self,
        reach: Option<[f64; 2]>,
        at: f64,
        node: &Node,
        place: &str,
    ) -> Option<f64> {
        if let Some([low, high]) = reach
            && !(low - HAIR..=high + HAIR).contains(&at)
        {
            let wrong = if at < low {
                "before the board begins"
            } else {
                "beyond the board"
            };
            let fix = "check it, or the length and width at the top";
            self.fault(&node.span, place, wrong, fix);
            return None;
        }
        Some(at)
    }
}

/// A text in lower case without space around it; empty for any other value.
fn word(node: &Node) -> String {
    match &node.value {
        Value::Text(text) => text.trim().to_lowercase(),
        _ => String::new(),
    }
}
