//! Gauged readings as a board file holds them.

use super::exact::value;
use super::gauges::{Kind, sd};
use super::straightedge::middle;
use crate::length::Unit;
use crate::readings::{
    Aligned, CornerGap, Edge, EdgeGap, Face, Gauge, Gauged, Record, Rest, Sticks, Straightedge,
};

/// What is taken for granted where a reading does not say it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Usual {
    pub(super) unit: Option<Unit>,
    /// The board's length.
    length: Option<f64>,
    /// The positions of a rectangle's edges.
    edges: Option<[f64; 2]>,
}

/// Keys and values in the order in which they are written.
#[derive(Debug, Default)]
struct Pairs(Vec<String>);

impl Pairs {
    fn put(&mut self, key: &str, value: impl AsRef<str>) {
        self.0.push(format!("{key} = {}", value.as_ref()));
    }

    fn put_unless(&mut self, usual: bool, key: &str, value: impl AsRef<str>) {
        if !usual {
            self.put(key, value);
        }
    }
}

impl Usual {
    pub(super) fn of(record: &Record) -> Self {
        Self {
            unit: record.unit,
            length: record.length,
            edges: record
                .width
                .filter(|_| record.edges.is_empty())
                .map(|width| [0.0, width]),
        }
    }

    fn value(self, mm: f64) -> String {
        value(mm, self.unit)
    }

    fn point(self, [station, position]: [f64; 2]) -> String {
        format!("[{}, {}]", self.value(station), self.value(position))
    }
}

/// The readings of one kind with the errors that reading them back would give.
pub(super) fn errors(gauged: &[&Gauged], usual: Usual) -> f64 {
    let steps = gauged
        .iter()
        .map(|one| super::exact::step(reading(&one.gauge), usual.unit));
    sd(None, steps.fold(f64::INFINITY, f64::min))
}

/// A reading as a table in braces, with its error where that is not `usual_sd`.
pub(super) fn inline(gauged: &Gauged, usual: Usual, usual_sd: f64) -> String {
    let mut pairs = gauge(&gauged.gauge, usual);
    pairs.put_unless(
        gauged.sd == usual_sd,
        "sd",
        value(
            gauged.sd,
            Some(Unit::Millimetre).filter(|_| usual.unit == Some(Unit::Millimetre)),
        ),
    );
    format!("{{ {} }}", pairs.0.join(", "))
}

/// A gauge's keys, one to a line of a table of its own.
pub(super) fn lines(gauge_: &Gauge, usual: Usual) -> Vec<String> {
    gauge(gauge_, usual).0
}

/// A reading without its error, as a table in braces.
pub(super) fn braces(gauge_: &Gauge, usual: Usual) -> String {
    format!("{{ {} }}", lines(gauge_, usual).join(", "))
}

/// What was read, without its sign.
fn reading(gauge: &Gauge) -> f64 {
    match gauge {
        Gauge::Straightedge(Straightedge { gap, .. })
        | Gauge::Corner(CornerGap { gap, .. })
        | Gauge::Edge(EdgeGap { gap, .. }) => *gap,
        Gauge::Sticks(Sticks { sliver, .. }) => sliver.abs(),
    }
}

fn gauge(gauge: &Gauge, usual: Usual) -> Pairs {
    let mut pairs = Pairs::default();
    match gauge {
        Gauge::Straightedge(one) => straightedge(one, usual, &mut pairs),
        Gauge::Sticks(one) => sticks(one, usual, &mut pairs),
        Gauge::Corner(one) => {
            pairs.put("corner", usual.point(one.corner));
            pairs.put("gap", usual.value(one.gap));
            pairs.put("on", face(one.on));
        }
        Gauge::Edge(one) => string(one, usual, &mut pairs),
    }
    pairs
}

fn straightedge(one: &Straightedge, usual: Usual, pairs: &mut Pairs) {
    let Straightedge { from, to, at, .. } = *one;
    let crowned = one.rest == Rest::EqualGaps;
    let at_usual = crowned || at == middle(from, to);
    // Lengthwise or across only where all its places show it to the last bit.
    let level = |axis: usize| from[axis] == to[axis] && (crowned || at[axis] == from[axis]);
    if level(1) {
        pairs.put("along", usual.value(from[1]));
        pairs.put_unless(from[0] == 0.0, "from", usual.value(from[0]));
        pairs.put_unless(usual.length == Some(to[0]), "to", usual.value(to[0]));
        pairs.put_unless(at_usual, "at", usual.value(at[0]));
    } else if level(0) {
        let [near, far] = usual.edges.map_or([None; 2], |edges| edges.map(Some));
        pairs.put("across", usual.value(from[0]));
        pairs.put_unless(near == Some(from[1]), "from", usual.value(from[1]));
        pairs.put_unless(far == Some(to[1]), "to", usual.value(to[1]));
        pairs.put_unless(at_usual, "at", usual.value(at[1]));
    } else {
        pairs.put("from", usual.point(from));
        pairs.put("to", usual.point(to));
        pairs.put_unless(at_usual, "at", usual.point(at));
    }
    pairs.put("gap", usual.value(one.gap));
    rest(one.rest, usual, pairs);
    pairs.put_unless(one.face == Face::Up, "face", face(one.face));
}

fn sticks(one: &Sticks, usual: Usual, pairs: &mut Pairs) {
    pairs.put("from", usual.value(one.stations[0]));
    pairs.put("to", usual.value(one.stations[1]));
    pairs.put("length", usual.value(one.length));
    pairs.put("sliver", usual.value(one.sliver.abs()));
    let side = if one.sliver > 0.0 {
        Edge::Far
    } else {
        Edge::Near
    };
    pairs.put_unless(one.sliver == 0.0, "high", edge(side));
    let aligned = match one.aligned {
        Aligned::Tips => "\"tips\"",
        Aligned::Middles => "\"middles\"",
    };
    pairs.put("aligned", aligned);
    let edges = usual.edges.map(|edges| [edges, edges]);
    let across = one.across.map(|wood| usual.point(wood));
    pairs.put_unless(
        edges == Some(one.across),
        "across",
        format!("[{}]", across.join(", ")),
    );
    pairs.put_unless(!one.pads, "pads", "true");
    pairs.put_unless(one.face == Face::Up, "face", face(one.face));
}

fn string(one: &EdgeGap, usual: Usual, pairs: &mut Pairs) {
    let middle = one.from + (one.to - one.from) / 2.0;
    pairs.put("edge", edge(one.edge));
    pairs.put_unless(one.from == 0.0, "from", usual.value(one.from));
    pairs.put_unless(usual.length == Some(one.to), "to", usual.value(one.to));
    pairs.put_unless(
        one.rest == Rest::EqualGaps || one.at == middle,
        "at",
        usual.value(one.at),
    );
    pairs.put("gap", usual.value(one.gap));
    rest(one.rest, usual, pairs);
}

fn rest(rest: Rest, usual: Usual, pairs: &mut Pairs) {
    match rest {
        Rest::Wood => {}
        Rest::Blocks(height) => pairs.put("blocks", usual.value(height)),
        Rest::EqualGaps => pairs.put("crown", "true"),
    }
}

/// A face in quotes.
pub(super) fn face(face: Face) -> &'static str {
    match face {
        Face::Up => "\"up\"",
        Face::Down => "\"down\"",
    }
}

fn edge(edge: Edge) -> &'static str {
    match edge {
        Edge::Near => "\"near\"",
        Edge::Far => "\"far\"",
    }
}

/// The gauges of one kind.
pub(super) fn of_kind(gauged: &[Gauged], kind: Kind) -> Vec<&Gauged> {
    gauged
        .iter()
        .filter(|one| Kind::of(&one.gauge) == kind)
        .collect()
}
