//! Winding sticks, a corner that rocks, and a string along an edge.

use super::keys;
use super::outline::Outline;
use crate::length::Written;
use crate::readings::toml::reader::{Place, Reader};
use crate::readings::toml::tree::{Node, Value};
use crate::readings::{Aligned, CornerGap, Edge, EdgeGap, Face, Gauge, Rest, Sticks};

impl Reader<'_, '_> {
    pub(super) fn sticks(
        &mut self,
        place: Place<'_>,
        outline: &mut Outline,
    ) -> Option<(Gauge, Written)> {
        self.check_keys(place, keys::STICKS);
        let face = self.face(place, "face", Face::Up);
        let pads = self.flag(place, "pads");
        let mut station = |key: &str| match place.table.get(key) {
            Some(node) => self.station(outline, node, &place.key(key)),
            None => {
                self.missing(
                    place,
                    key,
                    &format!("write the station of the stick: {key} = \"…\""),
                );
                None
            }
        };
        let stations = [station("from"), station("to")];
        let across = self.wood_under(place, stations, outline);
        let length = self.size(place, "length");
        if place.table.get("length").is_none() {
            self.missing(
                place,
                "length",
                "write how long a stick is: length = \"24\"",
            );
        }
        let half = length.map(|length| length.length.mm());
        let sliver = self.plausible_gap(place, "sliver", half, 0.0);
        let shows = sliver.is_none_or(|sliver| sliver.length.is_positive());
        let high = self.edge_named(place, "high");
        if shows && place.table.get("high").is_none() {
            let fix = "write the side on which the stick at \"to\" stood high: near or far";
            self.missing(place, "high", fix);
        }
        let ways = [("tips", Aligned::Tips), ("middles", Aligned::Middles)];
        let aligned = self.choice(place, "aligned", &ways);
        if shows && place.table.get("aligned").is_none() {
            let fix =
                "write what was in line, \"tips\" or \"middles\": it changes the answer by two";
            self.missing(place, "aligned", fix);
        }
        let stations = [stations[0]?, stations[1]?];
        if !self.ends(place, stations, None) {
            return None;
        }
        let sliver = sliver?;
        let signed = match (shows, high) {
            (false, _) => 0.0,
            (true, Some(Edge::Far)) => sliver.length.mm(),
            (true, Some(Edge::Near)) => -sliver.length.mm(),
            (true, None) => return None,
        };
        let sticks = Sticks {
            face,
            stations,
            across: across?,
            length: length?.length.mm(),
            aligned: match aligned {
                None if shows => return None,
                aligned => aligned.unwrap_or(Aligned::Tips),
            },
            pads,
            sliver: signed,
        };
        Some((Gauge::Sticks(sticks), sliver))
    }

    /// The near and the far end of the wood under each stick: the edges, unless `across` says otherwise.
    fn wood_under(
        &mut self,
        place: Place<'_>,
        stations: [Option<f64>; 2],
        outline: &mut Outline,
    ) -> Option<[[f64; 2]; 2]> {
        let name = place.key("across");
        let Some(node) = place.table.get("across") else {
            let [from, to] = stations.map(|station| {
                let station = station?;
                let mut at = |edge| self.edge_at(outline, edge, station, (place.span, place.name));
                Some([at(Edge::Near)?, at(Edge::Far)?])
            });
            return Some([from?, to?]);
        };
        let [from, to] = [0, 1].map(|stick| {
            let pair = pair(node).and_then(|sticks| pair(&sticks[stick]));
            let [near, far] = match pair {
                Some(pair) => [0, 1].map(|end| {
                    self.position(outline, stations[stick].unwrap_or(0.0), &pair[end], &name)
                }),
                None if stick == 0 => {
                    let fix = "write near and far end for each: [[0, 7], [0, \"6-1/2\"]]";
                    self.fault(&node.span, &name, "not the wood under two sticks", fix);
                    return None;
                }
                None => return None,
            };
            let (near, far) = (near?, far?);
            if near >= far {
                let fix = "write the lower position first";
                self.fault(&node.span, &name, "near lies at or beyond far", fix);
                return None;
            }
            Some([near, far])
        });
        Some([from?, to?])
    }

    pub(super) fn corner(
        &mut self,
        place: Place<'_>,
        outline: &mut Outline,
    ) -> Option<(Gauge, Written)> {
        self.check_keys(place, keys::CORNER);
        let on = self.face(place, "on", Face::Down);
        let corner = match place.table.get("corner") {
            Some(node) => self.corner_place(outline, node, &place.key("corner")),
            None => {
                self.missing(place, "corner", "write which one: corner = \"B far\"");
                None
            }
        };
        let span = outline.length;
        let gap = self.plausible_gap(place, "gap", span, 0.0)?;
        let corner = CornerGap {
            on,
            corner: corner?,
            gap: gap.length.mm(),
        };
        Some((Gauge::Corner(corner), gap))
    }

    /// A corner by its words, `B far`, or by its place.
    fn corner_place(
        &mut self,
        outline: &mut Outline,
        node: &Node,
        place: &str,
    ) -> Option<[f64; 2]> {
        let Value::Text(text) = &node.value else {
            return self.point(outline, node, place);
        };
        let lower = text.to_lowercase();
        let mut end = None;
        let mut edge = None;
        let words = lower.split(|sign: char| !sign.is_alphanumeric());
        let known = words
            .filter(|word| !word.is_empty())
            .all(|word| match word {
                "a" => end.replace(false).is_none(),
                "b" => end.replace(true).is_none(),
                "near" => edge.replace(Edge::Near).is_none(),
                "far" => edge.replace(Edge::Far).is_none(),
                "end" | "edge" | "corner" => true,
                _ => false,
            });
        let (true, Some(end), Some(edge)) = (known, end, edge) else {
            let fix = "write \"A near\", \"A far\", \"B near\" or \"B far\"";
            self.fault(&node.span, place, "not a corner of the board", fix);
            return None;
        };
        let station = if end {
            self.board_length(outline, &node.span, place)?
        } else {
            0.0
        };
        let position = self.edge_at(outline, edge, station, (&node.span, place))?;
        Some([station, position])
    }

    pub(super) fn string(
        &mut self,
        place: Place<'_>,
        outline: &mut Outline,
    ) -> Option<(Gauge, Written)> {
        self.check_keys(place, keys::STRING);
        let edge = self.edge_named(place, "edge");
        if place.table.get("edge").is_none() {
            self.missing(place, "edge", "write edge = \"near\" or \"far\"");
        }
        let rest = self.rest(place);
        self.no_place_on_a_crown(place, rest);
        let mut station = |reader: &mut Self, key: &str, end: f64| match place.table.get(key) {
            Some(node) => reader.station(outline, node, &place.key(key)),
            None if end == 0.0 => Some(0.0),
            None => reader.board_length(outline, place.span, place.name),
        };
        let (from, to) = (station(self, "from", 0.0), station(self, "to", 1.0));
        let at = place
            .table
            .get("at")
            .map(|node| (station(self, "at", 0.0), node));
        let blocks = match rest {
            Some(Rest::Blocks(height)) => height,
            _ => 0.0,
        };
        let span = from.zip(to).map(|(from, to)| (to - from).abs());
        let gap = self.plausible_gap(place, "gap", span, blocks)?;
        let (from, to, rest) = (from?, to?, rest?);
        let read_at = match &at {
            Some((at, node)) => Some(((*at)?, node.span.clone())),
            None => None,
        };
        if !self.ends(place, [from, to], read_at.clone()) {
            return None;
        }
        let string = EdgeGap {
            edge: edge?,
            from,
            to,
            rest,
            at: match read_at {
                _ if rest == Rest::EqualGaps => from,
                Some((at, _)) => at,
                None => from + (to - from) / 2.0,
            },
            gap: gap.length.mm(),
        };
        Some((Gauge::Edge(string), gap))
    }
}

/// The two values of a list.
fn pair(node: &Node) -> Option<&[Node]> {
    match &node.value {
        Value::List(pair) if pair.len() == 2 => Some(pair),
        _ => None,
    }
}
