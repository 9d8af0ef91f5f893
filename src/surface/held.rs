//! How a gauge rests on the wood.
//!
//! A straightedge, a stick or a table touches the wood where it stands highest. Before anything is known of the wood,
//! they are taken to touch where the user held them; once it is, where they would rest on it.

use super::contact::{carries, rests_on, shares};
use super::estimate::{Observation, Term};
use crate::board::Outline;
use crate::readings::{
    Aligned, CornerGap, Edge, EdgeGap, Face, Gauge, Gauged, Rest, Sticks, Straightedge,
};

/// The course of both faces: the height of one over a place.
pub type Course<'a> = &'a dyn Fn(Face, f64, f64) -> f64;

/// Places along a straightedge or stick at which the wood under it is looked at.
const UNDER: usize = 33;

/// A contact further than this share of its length from where it was held is worth a word.
const MOVED: f64 = 0.15;

/// A gauge as it rests.
pub(super) struct Held {
    pub(super) terms: Vec<Term>,
    pub(super) value: f64,
    pub(super) sd: f64,
    /// Whether it rests elsewhere than it was held.
    pub(super) moved: bool,
}

pub(super) fn held(outline: &Outline, gauged: &Gauged, course: Option<Course<'_>>) -> Held {
    match &gauged.gauge {
        Gauge::Straightedge(s) => straightedge_held(s, gauged.sd, course),
        Gauge::Sticks(s) => sticks_held(s, gauged.sd, course),
        Gauge::Corner(c) => corner_held(outline, c, gauged.sd, course),
        Gauge::Edge(_) => unreachable!("strings say nothing of the faces"),
    }
}

/// Heights out of a face grow with z on the up face and against it on the down face.
fn outwards(face: Face) -> f64 {
    match face {
        Face::Up => 1.0,
        Face::Down => -1.0,
    }
}

/// The way from one place to another.
#[derive(Clone, Copy)]
struct Line {
    from: [f64; 2],
    to: [f64; 2],
}

impl Line {
    /// The place at a share of the way.
    fn at(self, share: f64) -> [f64; 2] {
        [0, 1].map(|axis| self.from[axis] + share * (self.to[axis] - self.from[axis]))
    }

    /// The share of the way at which a place lies, as seen square to it.
    fn share(self, place: [f64; 2]) -> f64 {
        let along = [0, 1].map(|axis| self.to[axis] - self.from[axis]);
        let reach = along[0] * along[0] + along[1] * along[1];
        let to = [0, 1].map(|axis| place[axis] - self.from[axis]);
        if reach > 0.0 {
            (along[0] * to[0] + along[1] * to[1]) / reach
        } else {
            0.0
        }
    }

    /// The wood under it: shares of the way, heights out of the face.
    fn profile(self, face: Face, course: Course<'_>) -> Vec<[f64; 2]> {
        (0..UNDER)
            .map(|i| {
                let share = i as f64 / (UNDER - 1) as f64;
                let [x, y] = self.at(share);
                [share, outwards(face) * course(face, x, y)]
            })
            .collect()
    }
}

fn straightedge_held(s: &Straightedge, sd: f64, course: Option<Course<'_>>) -> Held {
    let line = Line {
        from: s.from,
        to: s.to,
    };
    let out = outwards(s.face);
    let at = line.share(s.at);
    let profile = course.map(|course| line.profile(s.face, course));
    let blocks = if let Rest::Blocks(height) = s.rest {
        height
    } else {
        0.0
    };
    // The gap is the height of the edge over `at` less that of the wood there.
    let (contacts, moved) = match (s.rest, profile) {
        (Rest::EqualGaps, profile) => {
            let top = profile.map_or(0.5, |profile| top_over_chord(&profile));
            // The edge stands over both ends by the gap, parallel to the line through them, and touches at the top.
            let terms = vec![
                Term::new(s.face, line.at(top), out),
                Term::new(s.face, line.from, -out * (1.0 - top)),
                Term::new(s.face, line.to, -out * top),
            ];
            return Held {
                terms,
                value: s.gap,
                sd,
                moved: false,
            };
        }
        (_, None) => ([0.0, 1.0], false),
        (_, Some(mut profile)) => {
            profile[0][1] += blocks;
            profile[UNDER - 1][1] += blocks;
            let contacts = rests_on(&profile, 0.5).map(|i| profile[i][0]);
            (contacts, contacts[0] > MOVED || contacts[1] < 1.0 - MOVED)
        }
    };
    let [a, b] = contacts;
    let towards_b = (at - a) / (b - a);
    // Only the ends stand on blocks.
    let raised = |share: f64| {
        if share == 0.0 || share == 1.0 {
            blocks
        } else {
            0.0
        }
    };
    let terms = vec![
        Term::new(s.face, line.at(a), out * (1.0 - towards_b)),
        Term::new(s.face, line.at(b), out * towards_b),
        Term::new(s.face, s.at, -out),
    ];
    let value = s.gap - (1.0 - towards_b) * raised(a) - towards_b * raised(b);
    Held {
        terms,
        value,
        sd,
        moved,
    }
}

/// The share of the way at which a profile stands highest over the line through its ends.
fn top_over_chord(profile: &[[f64; 2]]) -> f64 {
    let (first, last) = (profile[0], profile[profile.len() - 1]);
    let over = |p: &[f64; 2]| p[1] - first[1] - p[0] * (last[1] - first[1]);
    profile
        .iter()
        .max_by(|a, b| over(a).total_cmp(&over(b)))
        .map_or(0.5, |p| p[0].clamp(0.05, 0.95))
}

/// A stick that is laid on a crown stands a tenth of its reach off the middle as often as not.
const OFF_THE_MIDDLE: f64 = 0.1;

fn sticks_held(s: &Sticks, sd: f64, course: Option<Course<'_>>) -> Held {
    let out = outwards(s.face);
    let shown = match s.aligned {
        Aligned::Tips => s.length,
        Aligned::Middles => s.length / 2.0,
    };
    let (mut terms, mut moved, mut rocks) = (Vec::new(), false, 0.0_f64);
    for ((station, [near, far]), sign) in s.stations.into_iter().zip(s.across).zip([-1.0, 1.0]) {
        // A stick shorter than the width lies on the middle.
        let reach = if s.pads {
            far - near
        } else {
            (far - near).min(s.length)
        };
        let middle = (near + far) / 2.0;
        let line = Line {
            from: [station, middle - reach / 2.0],
            to: [station, middle + reach / 2.0],
        };
        let mut contacts = [0.0, 1.0];
        if let Some(course) = course.filter(|_| !s.pads) {
            let profile = line.profile(s.face, course);
            let rest = |under: f64| rests_on(&profile, under);
            let slope = |[a, b]: [usize; 2]| {
                let (a, b) = (profile[a], profile[b]);
                (b[1] - a[1]) / ((b[0] - a[0]) * reach)
            };
            contacts = rest(0.5).map(|i| profile[i][0]);
            moved |= contacts[1] - contacts[0] < 1.0 - 2.0 * MOVED;
            let tilts = [-OFF_THE_MIDDLE, OFF_THE_MIDDLE].map(|off| slope(rest(0.5 + off)));
            rocks = rocks.hypot(shown * (tilts[1] - tilts[0]) / 2.0);
        }
        let slope = sign * out * shown / ((contacts[1] - contacts[0]) * reach);
        terms.push(Term::new(s.face, line.at(contacts[0]), -slope));
        terms.push(Term::new(s.face, line.at(contacts[1]), slope));
    }
    Held {
        terms,
        value: s.sliver,
        sd: sd.hypot(rocks),
        moved,
    }
}

/// Where a board on a table is pressed down, as a share of the way from its middle to the corner opposite the lifted one.
const PRESSED: f64 = 0.27;

/// Places of a face that may touch the table, along and across.
const TABLE: [usize; 2] = [17, 5];

fn corner_held(outline: &Outline, c: &CornerGap, sd: f64, course: Option<Course<'_>>) -> Held {
    let (u, v) = outline.unit_place(c.corner[0], c.corner[1]);
    let corner = [u.signum(), v.signum()];
    let out = outwards(c.on);
    let mut points: Vec<[f64; 3]> = Vec::new();
    let mut add = |u: f64, v: f64| {
        let (x, y) = outline.place(u, v);
        points.push([x, y, course.map_or(0.0, |course| out * course(c.on, x, y))]);
    };
    // The other three corners, then all places but the lifted corner's own end of the board.
    for (a, b) in [(-1.0, 1.0), (1.0, -1.0), (-1.0, -1.0)] {
        add(a * corner[0], b * corner[1]);
    }
    for i in 0..TABLE[0] {
        for j in 0..TABLE[1] {
            let share = |i: usize, n: usize| 2.0 * i as f64 / (n - 1) as f64 - 1.0;
            add(share(i, TABLE[0]), share(j, TABLE[1]));
        }
    }
    // Pressed down on the side away from the lifted corner.
    let (x, y) = outline.place(-PRESSED * corner[0], -PRESSED * corner[1]);
    let held = if course.is_some() {
        carries(&points, [x, y], [0, 1, 2])
    } else {
        [0, 1, 2]
    };
    let weights = shares(held.map(|i| points[i]), c.corner);
    let mut terms: Vec<Term> = held
        .into_iter()
        .zip(weights)
        .map(|(i, weight)| Term::new(c.on, [points[i][0], points[i][1]], out * weight))
        .collect();
    terms.push(Term::new(c.on, c.corner, -out));
    Held {
        terms,
        value: c.gap,
        sd,
        moved: false,
    }
}

/// A gauge held to a face of a board as a weighted sum of heights: where it rests on faces of this course or, where none
/// is given, where it was held.
///
/// # Panics
///
/// On a string along an edge, which says nothing of the faces.
#[must_use]
pub fn gauge_observation(
    outline: &Outline,
    gauged: &Gauged,
    course: Option<Course<'_>>,
) -> Observation {
    let Held {
        terms, value, sd, ..
    } = held(outline, gauged, course);
    Observation {
        terms,
        setup: Vec::new(),
        value,
        sd,
    }
}

/// The face that an edge is, of a board that stands on its near edge.
pub(super) fn face_of(edge: Edge) -> Face {
    match edge {
        Edge::Far => Face::Up,
        Edge::Near => Face::Down,
    }
}

/// The strings along the edges, of a board that stands on its near edge: the far edge is its up face, y is its height.
/// `course` gives the position of an edge at a station.
#[must_use]
pub(super) fn edge_observations(
    outline: &Outline,
    gauged: &[Gauged],
    course: Option<Course<'_>>,
) -> Vec<Observation> {
    let middle = outline.place(0.0, 0.0).1;
    let strings = gauged.iter().filter_map(|g| match &g.gauge {
        Gauge::Edge(edge) => Some((edge, g.sd)),
        _ => None,
    });
    strings
        .map(
            |(
                EdgeGap {
                    edge,
                    from,
                    to,
                    rest,
                    at,
                    gap,
                },
                sd,
            )| {
                let straightedge = Straightedge {
                    face: face_of(*edge),
                    from: [*from, middle],
                    to: [*to, middle],
                    rest: *rest,
                    at: [*at, middle],
                    gap: *gap,
                };
                let held = straightedge_held(&straightedge, sd, course);
                Observation {
                    terms: held.terms,
                    setup: Vec::new(),
                    value: held.value,
                    sd: held.sd,
                }
            },
        )
        .collect()
}
