//! Gauged readings of a survey: straightedge, sticks, corner, string; what they share, and how far they are off.

use std::ops::Range;

use super::outline::Outline;
use crate::length::Written;
use crate::readings::toml::reader::{Place, Reader};
use crate::readings::toml::tree::{Node, Value};
use crate::readings::{Gauge, Gauged, Rest};

/// Error of a gap read by rule or feeler gauge, and of a sliver over sticks, one standard deviation, mm: common
/// practice.
const ERROR_MM: f64 = 0.3;

/// A rule is not read coarser than this, mm: 1/2 in on it is a short way to write 8/16.
const COARSEST_MM: f64 = 25.4 / 16.0;

/// No gap under a board that is worth reading is wider, mm: 4 in.
const WIDEST_GAP_MM: f64 = 101.6;

/// A kind of gauge, in the order in which a survey holds them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Straightedge,
    Sticks,
    Corner,
    String,
}

/// A gauge as it was read, with what its error depends on.
struct Reading {
    gauge: Gauge,
    kind: Kind,
    step: f64,
    /// The whole error, where it is stated.
    sd: Option<f64>,
}

impl Kind {
    pub(super) const ALL: [Self; 4] =
        [Self::Straightedge, Self::Sticks, Self::Corner, Self::String];

    pub(super) const fn key(self) -> &'static str {
        match self {
            Self::Straightedge => "straightedge",
            Self::Sticks => "sticks",
            Self::Corner => "corner",
            Self::String => "string",
        }
    }

    pub(super) const fn of(gauge: &Gauge) -> Self {
        match gauge {
            Gauge::Straightedge(_) => Self::Straightedge,
            Gauge::Sticks(_) => Self::Sticks,
            Gauge::Corner(_) => Self::Corner,
            Gauge::Edge(_) => Self::String,
        }
    }
}

/// The error of a gauge, rounding included, where `finest` is the finest last place among readings of its kind:
/// rounding to multiples of a step adds a uniform error of step / √12.
pub(super) fn sd(stated: Option<f64>, finest: f64) -> f64 {
    let step = finest.min(COARSEST_MM);
    stated.unwrap_or(ERROR_MM).hypot(step / 12.0_f64.sqrt())
}

impl Reader<'_, '_> {
    /// The gauged readings of a survey, by kind.
    pub(super) fn gauged(&mut self, survey: Place<'_>, outline: &mut Outline) -> Vec<Gauged> {
        let gap_error = self
            .size(survey, "gap-error")
            .map(|written| written.length.mm());
        let stick_error = self
            .size(survey, "stick-error")
            .map(|written| written.length.mm());
        let mut readings = Vec::new();
        for kind in Kind::ALL {
            let name = survey.key(kind.key());
            let nodes = self.tables(survey, kind, &name);
            for (at, node) in nodes.iter().enumerate() {
                let Value::Table(table) = &node.value else {
                    continue;
                };
                let name = match nodes.len() {
                    1 => name.clone(),
                    _ => format!("{name} {}", at + 1),
                };
                let place = Place {
                    table,
                    span: &node.span,
                    name: &name,
                };
                let sd = self.size(place, "sd").map(|written| written.length.mm());
                let gauge = match kind {
                    Kind::Straightedge => self.straightedge(place, outline),
                    Kind::Sticks => self.sticks(place, outline),
                    Kind::Corner => self.corner(place, outline),
                    Kind::String => self.string(place, outline),
                };
                readings.extend(gauge.map(|(gauge, written)| Reading {
                    gauge,
                    kind,
                    step: written.step.mm(),
                    sd,
                }));
            }
        }
        let finest = Kind::ALL.map(|kind| {
            let steps = readings.iter().filter(|reading| reading.kind == kind);
            steps
                .map(|reading| reading.step)
                .fold(f64::INFINITY, f64::min)
        });
        let gauged = readings.into_iter().map(|reading| {
            let stated = match reading.kind {
                Kind::Sticks => stick_error,
                _ => gap_error,
            };
            Gauged {
                sd: reading
                    .sd
                    .unwrap_or(sd(stated, finest[reading.kind as usize])),
                gauge: reading.gauge,
            }
        });
        gauged.collect()
    }

    /// The tables of a key: one or a list of them.
    fn tables<'n>(&mut self, survey: Place<'n>, kind: Kind, name: &str) -> &'n [Node] {
        let Some(node) = survey.table.get(kind.key()) else {
            return &[];
        };
        let example = match kind {
            Kind::Straightedge => "[{ along = \"middle\", gap = \"1/8\" }]",
            Kind::Sticks => "[{ from = \"A\", to = \"B\", … }]",
            Kind::Corner => "[{ corner = \"B far\", gap = \"1/4\" }]",
            Kind::String => "[{ edge = \"near\", gap = \"1/8\" }]",
        };
        let fix = format!("write {example}");
        match &node.value {
            Value::Table(_) => std::slice::from_ref(node),
            Value::List(nodes) => {
                for node in nodes
                    .iter()
                    .filter(|node| !matches!(node.value, Value::Table(_)))
                {
                    self.wrong_sort(node, name, "a reading in braces", &fix);
                }
                if nodes.is_empty() {
                    self.fault(
                        &node.span,
                        name,
                        "no reading",
                        format!("{fix}, or remove the key"),
                    );
                }
                nodes
            }
            _ => {
                self.wrong_sort(node, name, "readings in braces", &fix);
                &[]
            }
        }
    }

    /// How a straightedge or string rests.
    pub(super) fn rest(&mut self, place: Place<'_>) -> Option<Rest> {
        let crown = self.flag(place, "crown");
        let Some(node) = place.table.get("blocks") else {
            return Some(if crown { Rest::EqualGaps } else { Rest::Wood });
        };
        if crown {
            let wrong = "on blocks it does not rock on a crown";
            self.fault(
                &node.span,
                &place.key("blocks"),
                wrong,
                "keep blocks or crown",
            );
            return None;
        }
        let blocks = self.size(place, "blocks")?.length.mm();
        if blocks > WIDEST_GAP_MM {
            let wrong = "blocks of more than 4 in";
            self.fault(
                &node.span,
                &place.key("blocks"),
                wrong,
                "check the number and its unit",
            );
            return None;
        }
        Some(Rest::Blocks(blocks))
    }

    /// The gap under something that spans `span`, unless it is wider than can be.
    pub(super) fn plausible_gap(
        &mut self,
        place: Place<'_>,
        key: &str,
        span: Option<f64>,
        blocks: f64,
    ) -> Option<Written> {
        let Some(node) = place.table.get(key) else {
            self.missing(
                place,
                key,
                &format!("write {key} = \"…\"; 0 where nothing showed"),
            );
            return None;
        };
        let written = self.gap(place, key)?;
        let warp = (written.length.mm() - blocks).abs();
        let wrong = if warp > WIDEST_GAP_MM {
            format!("a {key} of more than 4 in")
        } else if span.is_some_and(|span| warp > span / 2.0) {
            format!("a {key} of more than half of what it spans")
        } else {
            return Some(written);
        };
        self.fault(
            &node.span,
            &place.key(key),
            wrong,
            "check the number and its unit",
        );
        None
    }

    /// Whether the ends differ and `at`, if any, lies between them; each with its place in the file.
    pub(super) fn ends(
        &mut self,
        place: Place<'_>,
        ends: [f64; 2],
        at: Option<(f64, Range<usize>)>,
    ) -> bool {
        let [from, to] = ends;
        if from == to {
            let key = place.table.get("to").or(place.table.get("from"));
            let span = key.map_or(place.span, |node| &node.span);
            self.fault(
                span,
                place.name,
                "from and to are the same",
                "write where each end lay",
            );
            return false;
        }
        if let Some((at, span)) = at
            && !(from.min(to)..=from.max(to)).contains(&at)
        {
            self.fault(
                &span,
                &place.key("at"),
                "not between from and to",
                "write where the gap was read",
            );
            return false;
        }
        true
    }

    /// Reports `at` beside `crown`: the gap is then that at both ends.
    pub(super) fn no_place_on_a_crown(&mut self, place: Place<'_>, rest: Option<Rest>) {
        if rest == Some(Rest::EqualGaps)
            && let Some(entry) = place.table.entry("at")
        {
            let wrong = "on a crown the gap is that at both ends";
            self.fault(
                &entry.key_span,
                &place.key("at"),
                wrong,
                "leave out at, or crown",
            );
        }
    }
}
