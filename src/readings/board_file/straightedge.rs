//! A straightedge along, across or askew on a face.

use super::gauges::Kind;
use super::keys;
use super::outline::Outline;
use crate::length::Written;
use crate::readings::toml::reader::{Place, Reader};
use crate::readings::toml::tree::Node;
use crate::readings::{Edge, Face, Gauge, Rest, Straightedge};

/// A place named for a reading may be this far off the straightedge, mm.
const OFF_LINE_MM: f64 = 6.0;

/// How a straightedge lies: which of a place's coordinates is the same at both its ends.
#[derive(Debug, Clone, Copy)]
enum Lie<'n> {
    Along(&'n Node),
    Across(&'n Node),
    Askew(&'n Node, &'n Node),
}

/// A straightedge's ends and where its gap was read.
type Line = ([f64; 2], [f64; 2], [f64; 2]);

impl Reader<'_, '_> {
    pub(super) fn straightedge(
        &mut self,
        place: Place<'_>,
        outline: &mut Outline,
    ) -> Option<(Gauge, Written)> {
        self.check_keys(place, keys::STRAIGHTEDGE);
        let face = self.face(place, "face", Face::Up);
        let rest = self.rest(place);
        self.no_place_on_a_crown(place, rest);
        let line = match self.lie(place) {
            Some(Lie::Along(node)) => self.along(place, node, outline),
            Some(Lie::Across(node)) => self.across(place, node, outline),
            Some(Lie::Askew(from, to)) => self.askew(place, [from, to], outline),
            None => None,
        };
        let span = line.map(|(from, to, _)| (to[0] - from[0]).hypot(to[1] - from[1]));
        let blocks = match rest {
            Some(Rest::Blocks(height)) => height,
            _ => 0.0,
        };
        let gap = self.plausible_gap(place, "gap", span, blocks)?;
        let ((from, to, at), rest) = (line?, rest?);
        let straightedge = Straightedge {
            face,
            from,
            to,
            rest,
            at: if rest == Rest::EqualGaps { from } else { at },
            gap: gap.length.mm(),
        };
        Some((Gauge::Straightedge(straightedge), gap))
    }

    fn lie<'n>(&mut self, place: Place<'n>) -> Option<Lie<'n>> {
        let key = |key| place.table.get(key);
        let ways = "along = a position, across = a station, or from and to = places";
        match (key("along"), key("across"), key("from"), key("to")) {
            (Some(_), Some(node), ..) => {
                let wrong = "a straightedge lies along or across, not both";
                self.fault(&node.span, &place.key("across"), wrong, "keep one of them");
                None
            }
            (Some(along), ..) => Some(Lie::Along(along)),
            (_, Some(across), ..) => Some(Lie::Across(across)),
            (_, _, Some(from), Some(to)) => Some(Lie::Askew(from, to)),
            _ => {
                let kind = Kind::Straightedge.key();
                self.fault(
                    place.span,
                    place.name,
                    format!("where the {kind} lay is missing"),
                    format!("write {ways}"),
                );
                None
            }
        }
    }

    /// Lengthwise at a position, from station to station.
    fn along(&mut self, place: Place<'_>, node: &Node, outline: &mut Outline) -> Option<Line> {
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
        let mut ends = [from, to].map(|end| {
            let end = end?;
            let position = self.position(outline, end, node, &place.key("along"))?;
            Some([end, position])
        });
        let (from, to) = (ends[0].take()?, ends[1].take()?);
        let read_at = match &at {
            Some((at, node)) => Some(((*at)?, node.span.clone())),
            None => None,
        };
        if !self.ends(place, [from[0], to[0]], read_at) {
            return None;
        }
        let at = match at {
            Some((at, _)) => {
                let at = at?;
                [
                    at,
                    from[1] + (at - from[0]) / (to[0] - from[0]) * (to[1] - from[1]),
                ]
            }
            None => middle(from, to),
        };
        Some((from, to, at))
    }

    /// Across at a station, from position to position.
    fn across(&mut self, place: Place<'_>, node: &Node, outline: &mut Outline) -> Option<Line> {
        let station = self.station(outline, node, &place.key("across"))?;
        let mut position = |reader: &mut Self, key: &str, edge: Edge| match place.table.get(key) {
            Some(node) => reader.position(outline, station, node, &place.key(key)),
            None => reader.edge_at(outline, edge, station, (place.span, place.name)),
        };
        let (from, to) = (
            position(self, "from", Edge::Near),
            position(self, "to", Edge::Far),
        );
        let at = place
            .table
            .get("at")
            .map(|node| (position(self, "at", Edge::Near), node));
        let (from, to) = (from?, to?);
        let read_at = match &at {
            Some((at, node)) => Some(((*at)?, node.span.clone())),
            None => None,
        };
        if !self.ends(place, [from, to], read_at) {
            return None;
        }
        let (from, to) = ([station, from], [station, to]);
        let at = match at {
            Some((at, _)) => [station, at?],
            None => middle(from, to),
        };
        Some((from, to, at))
    }

    /// From place to place.
    fn askew(&mut self, place: Place<'_>, ends: [&Node; 2], outline: &mut Outline) -> Option<Line> {
        let from = self.point(outline, ends[0], &place.key("from"));
        let to = self.point(outline, ends[1], &place.key("to"));
        let node = place.table.get("at");
        let at = node.map(|node| (self.point(outline, node, &place.key("at")), node));
        let (from, to) = (from?, to?);
        let [dx, dy] = [to[0] - from[0], to[1] - from[1]];
        let length = dx.hypot(dy);
        let Some((at, node)) = at else {
            return self
                .ends(place, [0.0, length], None)
                .then(|| (from, to, middle(from, to)));
        };
        let at = at?;
        // How far along, and how far beside it.
        let along = ((at[0] - from[0]) * dx + (at[1] - from[1]) * dy) / length;
        let beside = ((at[1] - from[1]) * dx - (at[0] - from[0]) * dy) / length;
        if beside.abs() > OFF_LINE_MM {
            let wrong = "not on the line between from and to";
            self.fault(
                &node.span,
                &place.key("at"),
                wrong,
                "write where the gap was read",
            );
            return None;
        }
        // A place as exact as the line itself is kept as it is.
        let exact = beside.abs() <= 1e-6;
        let on_line = [from[0] + along / length * dx, from[1] + along / length * dy];
        let within = along.clamp(0.0, length);
        let along = if (along - within).abs() <= 1e-6 {
            within
        } else {
            along
        };
        self.ends(place, [0.0, length], Some((along, node.span.clone())))
            .then_some((from, to, if exact { at } else { on_line }))
    }
}

/// Half way between two places.
pub(super) fn middle(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    [a[0] + (b[0] - a[0]) / 2.0, a[1] + (b[1] - a[1]) / 2.0]
}
