//! Records as a board file can hold them, at random.

use outwind::length::Unit;
use outwind::readings::{
    About, Aligned, Avoid, Caliper, Calipers, CornerGap, Edge, EdgeGap, EdgesAt, EndA, Face, Frame,
    Gauge, Gauged, HeightSet, Heights, Layout, Record, Rest, Sticks, Straightedge, Survey,
};
use proptest::option::of;
use proptest::prelude::*;
use proptest::sample::select;

/// A length up to `most`, mm: any, or one that a rule shows.
fn length(most: f64) -> impl Strategy<Value = f64> {
    prop_oneof![
        (0.0..1.0_f64).prop_map(move |share| share * most),
        (0.0..1.0_f64).prop_map(move |share| (share * most / 25.4 * 64.0).floor() / 64.0 * 25.4),
        (0.0..1.0_f64).prop_map(move |share| (share * most).floor()),
    ]
}

/// A length above zero.
fn size(most: f64) -> impl Strategy<Value = f64> {
    length(most - 1.0).prop_map(|mm| mm + 1.0)
}

fn unit() -> impl Strategy<Value = Unit> {
    select(vec![
        Unit::Millimetre,
        Unit::Centimetre,
        Unit::Metre,
        Unit::Inch,
        Unit::Foot,
    ])
}

fn face() -> impl Strategy<Value = Face> {
    select(vec![Face::Up, Face::Down])
}

fn words() -> impl Strategy<Value = String> {
    "[ -~äß°½“]{1,24}"
        .prop_map(|text| text.trim().to_owned())
        .prop_filter("not blank", |text| !text.is_empty())
}

/// A share of a stretch: often one of its ends, which words and defaults name.
fn share() -> impl Strategy<Value = f64> {
    prop_oneof![Just(0.0), Just(1.0), 0.0..1.0]
}

/// The outline within which places are drawn.
#[derive(Debug, Clone, Copy)]
struct Reach {
    length: f64,
    near: f64,
    far: f64,
}

impl Reach {
    fn place(self, [u, v]: [f64; 2]) -> [f64; 2] {
        [u * self.length, self.near + v * (self.far - self.near)]
    }
}

fn rest() -> impl Strategy<Value = Rest> {
    prop_oneof![
        Just(Rest::Wood),
        size(30.0).prop_map(Rest::Blocks),
        Just(Rest::EqualGaps)
    ]
}

/// A gap that something of this length can show on such a rest.
fn gap(span: f64, rest: Rest, share: f64) -> f64 {
    let blocks = if let Rest::Blocks(height) = rest {
        height
    } else {
        0.0
    };
    blocks + share * (span / 2.1).min(100.0)
}

fn straightedge(reach: Reach) -> impl Strategy<Value = Gauge> {
    (
        face(),
        [share(), share()],
        [share(), share()],
        0..4,
        rest(),
        of(0.0..1.0_f64),
        0.0..1.0_f64,
    )
        .prop_map(move |(face, from, mut to, lie, rest, at, deep)| {
            match lie {
                0 | 1 => to[1] = from[1],
                2 => to[0] = from[0],
                _ => {}
            }
            let (from, mut to) = (reach.place(from), reach.place(to));
            if from == to {
                to[0] = if from[0] > 0.0 { 0.0 } else { reach.length };
            }
            let along = |t: f64| [0, 1].map(|axis| from[axis] + (to[axis] - from[axis]) * t);
            let middle = [0, 1].map(|axis| from[axis] + (to[axis] - from[axis]) / 2.0);
            let at = at.map_or(middle, along);
            let span = (to[0] - from[0]).hypot(to[1] - from[1]);
            Gauge::Straightedge(Straightedge {
                face,
                from,
                to,
                rest,
                at: if rest == Rest::EqualGaps { from } else { at },
                gap: gap(span, rest, deep),
            })
        })
}

fn sticks(reach: Reach) -> impl Strategy<Value = Gauge> {
    let sides = (
        face(),
        select(vec![Aligned::Tips, Aligned::Middles]),
        any::<bool>(),
    );
    (
        sides,
        share(),
        share(),
        size(900.0),
        -1.0..1.0_f64,
        any::<[bool; 2]>(),
    )
        .prop_map(
            move |((face, aligned, pads), one, other, length, sliver, [level, narrow])| {
                let inset = if narrow {
                    (reach.far - reach.near) / 7.0
                } else {
                    0.0
                };
                let wood = [reach.near + inset, reach.far - inset];
                let other = if one == other { 1.0 - one } else { other };
                let other = if one == other { 0.25 } else { other };
                Gauge::Sticks(Sticks {
                    face,
                    stations: [one * reach.length, other * reach.length],
                    across: [wood, wood],
                    length,
                    aligned,
                    pads,
                    sliver: if level {
                        0.0
                    } else {
                        sliver * (length / 2.1).min(100.0)
                    },
                })
            },
        )
}

fn corner(reach: Reach) -> impl Strategy<Value = Gauge> {
    (face(), [share(), share()], 0.0..1.0_f64).prop_map(move |(on, corner, deep)| {
        Gauge::Corner(CornerGap {
            on,
            corner: reach.place(corner),
            gap: gap(reach.length, Rest::Wood, deep),
        })
    })
}

fn string(reach: Reach) -> impl Strategy<Value = Gauge> {
    (
        any::<bool>(),
        0.0..0.4_f64,
        any::<bool>(),
        of(0.0..1.0_f64),
        rest(),
        0.0..1.0_f64,
    )
        .prop_map(move |(far, from, whole, at, rest, deep)| {
            let from = if whole { 0.0 } else { from * reach.length };
            let to = reach.length;
            Gauge::Edge(EdgeGap {
                edge: if far { Edge::Far } else { Edge::Near },
                from,
                to,
                rest,
                at: match at {
                    _ if rest == Rest::EqualGaps => from,
                    Some(at) => from + (to - from) * at,
                    None => from + (to - from) / 2.0,
                },
                gap: gap(to - from, rest, deep),
            })
        })
}

/// The order in which a survey holds gauges.
pub(crate) fn rank(gauge: &Gauge) -> usize {
    match gauge {
        Gauge::Straightedge(_) => 0,
        Gauge::Sticks(_) => 1,
        Gauge::Corner(_) => 2,
        Gauge::Edge(_) => 3,
    }
}

fn gauged(reach: Reach) -> impl Strategy<Value = Vec<Gauged>> {
    let gauge = prop_oneof![
        straightedge(reach),
        sticks(reach),
        corner(reach),
        string(reach)
    ];
    let one = (gauge, size(3.0)).prop_map(|(gauge, sd)| Gauged { gauge, sd });
    prop::collection::vec(one, 0..5).prop_map(|mut gauged| {
        gauged.sort_by_key(|one| rank(&one.gauge));
        gauged
    })
}

fn heights(own: Unit) -> impl Strategy<Value = Heights> {
    let scattered = prop::collection::vec([length(3000.0), length(400.0), length(50.0)], 1..12)
        .prop_map(|up| (up, Layout::Scattered));
    let ascending = |most: f64| {
        prop::collection::vec(size(most), 1..6).prop_map(|mut lines| {
            lines.sort_by(f64::total_cmp);
            lines.dedup_by(|a, b| *a - *b < 1e-3);
            lines
        })
    };
    let grid = (
        ascending(3000.0),
        ascending(400.0),
        prop::collection::vec(of(-50.0..50.0_f64), 36),
        length(20.0),
    )
        .prop_map(|(stations, positions, cells, first)| {
            let mut up = Vec::new();
            for (row, position) in positions.iter().enumerate() {
                for (column, station) in stations.iter().enumerate() {
                    let height = if row + column == 0 {
                        Some(first)
                    } else {
                        cells[row * 6 + column]
                    };
                    up.extend(height.map(|height| [*station, *position, height]));
                }
            }
            (
                up,
                Layout::Grid {
                    stations,
                    positions,
                },
            )
        });
    (prop_oneof![scattered, grid], size(3.0)).prop_map(move |((up, layout), step)| Heights {
        up,
        down: Vec::new(),
        layout,
        unit: Some(own),
        step_mm: Some(step),
    })
}

fn height_sets() -> impl Strategy<Value = Vec<HeightSet>> {
    let set = (
        face(),
        any::<bool>(),
        0..3_usize,
        of(0..3_usize),
        unit().prop_flat_map(heights),
        of(size(3.0)),
    );
    let ends = prop::array::uniform3(of(prop::sample::select(EndA::NAMED.to_vec())));
    (prop::collection::vec(set, 0..4), ends).prop_map(|(sets, ends)| {
        let (mut datums, mut frames) = (Vec::new(), Vec::new());
        let numbered = sets
            .into_iter()
            .map(|(face, turned, datum, frame, heights, error)| HeightSet {
                face,
                // A board lies one way in a frame, and a datum under one frame.
                turned: frame.map_or(turned, |frame| frame == 1),
                datum: number(&mut datums, (frame, datum)),
                frame: frame.map(|frame| Frame {
                    number: number(&mut frames, frame),
                    end_a: ends[frame].map(|(_, end)| end),
                }),
                heights,
                error,
            });
        numbered.collect()
    })
}

/// The place of one among those known, which it joins.
fn number<T: PartialEq>(known: &mut Vec<T>, one: T) -> usize {
    let at = known.iter().position(|other| *other == one);
    at.unwrap_or_else(|| {
        known.push(one);
        known.len() - 1
    })
}

fn calipers() -> impl Strategy<Value = Calipers> {
    let one = (length(3000.0), length(400.0), size(100.0)).prop_map(|(x, y, thickness)| Caliper {
        x,
        y,
        thickness,
    });
    (prop::collection::vec(one, 1..6), unit(), size(3.0)).prop_map(|(readings, unit, step)| {
        Calipers {
            readings,
            unit: Some(unit),
            step_mm: Some(step),
        }
    })
}

fn survey(reach: Reach) -> impl Strategy<Value = Survey> {
    let date = (1900..2100_u32, 1..=12_u32, 1..=28_u32)
        .prop_map(|(year, month, day)| format!("{year:04}-{month:02}-{day:02}"));
    let beside = (of(date), of(size(100.0)), of(size(3.0)));
    (beside, height_sets(), of(calipers()), gauged(reach)).prop_map(
        |((date, thickness, caliper_error), heights, calipers, gauged)| {
            let empty = heights.is_empty() && calipers.is_none() && gauged.is_empty();
            Survey {
                date,
                thickness: thickness.or(empty.then_some(25.0)),
                heights,
                calipers,
                caliper_error,
                gauged,
            }
        },
    )
}

fn about() -> impl Strategy<Value = About> {
    (
        of(words()),
        of(0.5..200.0_f64),
        of(words()),
        of(words()),
        of(face()),
        of(words()),
    )
        .prop_map(|(species, moisture, end_a, up, show, grain)| About {
            species,
            moisture,
            end_a,
            up,
            show,
            grain,
        })
}

fn edges(length: f64, width: f64) -> impl Strategy<Value = Vec<EdgesAt>> {
    let row = (0.01..1.0_f64, 0.0..0.3_f64, 0.5..1.0_f64);
    prop_oneof![
        Just(Vec::new()),
        prop::collection::vec(row, 2..5).prop_map(move |rows| {
            let total: f64 = rows.iter().map(|row| row.0).sum();
            let mut station = 0.0;
            let edges = rows.into_iter().map(|(step, near, far)| {
                station += step / total * 0.99;
                EdgesAt {
                    station: station * length,
                    near: near * width,
                    far: far * width,
                }
            });
            edges.collect()
        }),
    ]
}

/// A record that a board file can hold.
pub(crate) fn record() -> impl Strategy<Value = Record> {
    (size(4000.0), size(500.0), any::<[bool; 2]>())
        .prop_flat_map(|(length, width, known)| {
            (Just((length, width, known)), edges(length, width))
        })
        .prop_flat_map(|((length, width, known), edges)| {
            let near = edges
                .iter()
                .map(|at| at.near)
                .reduce(f64::min)
                .unwrap_or(0.0);
            let far = edges
                .iter()
                .map(|at| at.far)
                .reduce(f64::max)
                .unwrap_or(width);
            let reach = Reach { length, near, far };
            let avoid = (
                words(),
                0.0..0.4_f64,
                0.5..1.0_f64,
                0.0..0.4_f64,
                0.5..1.0_f64,
            )
                .prop_map(move |(what, from, to, low, high)| Avoid {
                    what,
                    from: from * length,
                    to: to * length,
                    near: near + low * (far - near),
                    far: near + high * (far - near),
                });
            (
                (of(words()), of(unit()), about()),
                Just((known, length, width, edges)),
                prop::collection::vec(avoid, 0..3),
                prop::collection::vec(survey(reach), 0..3),
            )
        })
        .prop_map(
            |((name, unit, about), (known, length, width, edges), avoid, mut surveys)| {
                surveys.sort_by(|a, b| a.date.cmp(&b.date));
                Record {
                    name,
                    unit,
                    length: known[0].then_some(length),
                    width: known[1].then_some(width),
                    about,
                    edges,
                    avoid,
                    surveys,
                }
            },
        )
        .prop_filter("an empty file is a fault", |record| {
            *record != Record::default()
        })
}
