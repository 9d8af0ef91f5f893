//! Gauges rest on the wood: what a reading is taken to say, beside every way in which the tool could touch the wood, tried
//! one by one; and boards of known form, read by straightedge, sticks, string and over several datums.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

mod common;

use approx::assert_abs_diff_eq;
use common::grid;
use outwind::board::{Board, Down, Outline, Particulars, SetUp};
use outwind::flatten::{Answer, Question};
use outwind::length::Length;
use outwind::readings::{
    Aligned, Caliper, CornerGap, Edge, EdgeGap, EdgesAt, Face, Gauge, Gauged, Point, Rest, Sticks,
    Straightedge,
};
use outwind::surface::estimate::Term;
use outwind::surface::{Known, What, gauge_observation};

const LENGTH: f64 = 1800.0;
const WIDTH: f64 = 240.0;
const THICK: f64 = 40.0;

/// Bow, cup, twist (corner lift) and S-bow, mm.
#[derive(Clone, Copy, Debug)]
struct Form {
    bow: f64,
    cup: f64,
    twist: f64,
    ess: f64,
}

impl Form {
    fn at(self, x: f64, y: f64) -> f64 {
        let (u, v) = (2.0 * x / LENGTH - 1.0, 2.0 * y / WIDTH - 1.0);
        self.bow * (1.0 - u * u)
            + self.cup * (1.0 - v * v)
            + self.twist / 4.0 * u * v
            + self.ess * u * (1.0 - u * u)
    }

    /// The height of a face out of itself.
    fn out(self, face: Face, x: f64, y: f64) -> f64 {
        match face {
            Face::Up => self.at(x, y),
            Face::Down => THICK - self.at(x, y),
        }
    }
}

/// Forms with every pair of senses.
fn forms() -> Vec<Form> {
    let mut forms = Vec::new();
    for bow in [-5.0, 0.0, 4.0] {
        for cup in [-1.5, 2.0] {
            for twist in [-6.0, 8.0] {
                for ess in [0.0, 3.0] {
                    forms.push(Form {
                        bow,
                        cup,
                        twist,
                        ess,
                    });
                }
            }
        }
    }
    forms
}

fn question() -> Question {
    Question {
        need: None,
        support_spacing: 250.0,
        sizes: vec![Length::from_mm(20.0)],
        expectation: true,
    }
}

fn heights(form: Form, nx: usize, ny: usize) -> Vec<Point> {
    let mut points = grid(LENGTH, WIDTH, nx, ny, |_, _| 0.0);
    for p in &mut points {
        p[2] = form.at(p[0], p[1]);
    }
    points
}

fn at_corners() -> Vec<Caliper> {
    [0.0, LENGTH / 2.0, LENGTH]
        .into_iter()
        .flat_map(|x| {
            [0.0, WIDTH].map(|y| Caliper {
                x,
                y,
                thickness: THICK,
            })
        })
        .collect()
}

/// The reading that a gauge would show on faces of this form, as the tool takes it to rest.
fn told(form: Form, gauge: Gauge) -> f64 {
    let outline = Outline {
        x0: 0.0,
        y0: 0.0,
        length: LENGTH,
        width: WIDTH,
    };
    let height = |face: Face, x: f64, y: f64| match face {
        Face::Up => form.at(x, y),
        Face::Down => form.at(x, y) - THICK,
    };
    let read = match &gauge {
        Gauge::Straightedge(s) => s.gap,
        Gauge::Sticks(s) => s.sliver,
        Gauge::Corner(c) => c.gap,
        Gauge::Edge(e) => e.gap,
    };
    let rested = gauge_observation(&outline, &Gauged { gauge, sd: 0.3 }, Some(&height));
    let sum: f64 = rested
        .terms
        .iter()
        .map(|t| t.weight * height(t.face, t.x, t.y))
        .sum();
    // What blocks add to a gap is taken off the reading beforehand.
    sum + read - rested.value
}

/// Of all lines over two of the points that lie on or above every point, the height over `at` of the one that is lowest
/// over the middle; and its slope.
fn lowest_line(points: &[[f64; 2]], at: f64) -> (f64, f64) {
    let middle = (points[0][0] + points[points.len() - 1][0]) / 2.0;
    let mut best = (f64::INFINITY, 0.0, 0.0);
    for (i, a) in points.iter().enumerate() {
        for b in &points[i + 1..] {
            let slope = (b[1] - a[1]) / (b[0] - a[0]);
            let over = |s: f64| a[1] + slope * (s - a[0]);
            if over(middle) < best.0 && points.iter().all(|p| p[1] <= over(p[0]) + 1e-9) {
                best = (over(middle), over(at), slope);
            }
        }
    }
    (best.1, best.2)
}

const ENDS: [([f64; 2], [f64; 2]); 4] = [
    ([0.0, WIDTH / 2.0], [LENGTH, WIDTH / 2.0]),
    ([0.0, 0.0], [LENGTH, 0.0]),
    ([600.0, 0.0], [600.0, WIDTH]),
    ([0.0, 0.0], [LENGTH, WIDTH]),
];

/// Contacts are looked for at 33 places along a straightedge, here too.
const UNDER: usize = 32;

const CLOSE: f64 = 1e-9;

#[test]
fn a_straightedge_rests_where_any_straight_line_would() {
    for form in forms() {
        for face in [Face::Up, Face::Down] {
            for (from, to) in ENDS {
                for blocks in [0.0, 3.0, 12.0] {
                    let share = 0.4;
                    let place = |s: f64| [0, 1].map(|k| from[k] + s * (to[k] - from[k]));
                    let out = |s: f64| {
                        let [x, y] = place(s);
                        form.out(face, x, y)
                    };
                    let mut profile: Vec<[f64; 2]> = (0..=UNDER)
                        .map(|i| i as f64 / UNDER as f64)
                        .map(|s| [s, out(s)])
                        .collect();
                    profile[0][1] += blocks;
                    profile[UNDER][1] += blocks;
                    let gap = lowest_line(&profile, share).0 - out(share);
                    let rest = if blocks > 0.0 {
                        Rest::Blocks(blocks)
                    } else {
                        Rest::Wood
                    };
                    let gauge = Straightedge {
                        face,
                        from,
                        to,
                        rest,
                        at: place(share),
                        gap,
                    };
                    let told = told(form, Gauge::Straightedge(gauge));
                    assert!(
                        (told - gap).abs() < CLOSE,
                        "{form:?} {face:?} {from:?} {blocks}: {told} for {gap}"
                    );
                }
            }
        }
    }
}

#[test]
fn a_straightedge_with_equal_gaps_touches_the_top() {
    for form in forms() {
        let (from, to) = ENDS[0];
        let chord = |x: f64| {
            let y = WIDTH / 2.0;
            let (a, b) = (form.at(0.0, y), form.at(LENGTH, y));
            form.at(x, y) - a - (b - a) * x / LENGTH
        };
        let gap = (0..=UNDER)
            .map(|i| chord(LENGTH * i as f64 / UNDER as f64))
            .fold(0.0, f64::max);
        if gap < 1.0 {
            continue;
        }
        let gauge = Straightedge {
            face: Face::Up,
            from,
            to,
            rest: Rest::EqualGaps,
            at: from,
            gap,
        };
        let told = told(form, Gauge::Straightedge(gauge));
        assert!((told - gap).abs() < CLOSE, "{form:?}: {told} for {gap}");
    }
}

#[test]
fn sticks_lie_as_straight_lines_across_would() {
    for form in forms() {
        for (face, pads) in [(Face::Up, false), (Face::Up, true), (Face::Down, false)] {
            let (stations, length) = ([200.0, 1500.0], 600.0);
            let slope = |x: f64| {
                let out = |y: f64| form.out(face, x, y);
                if pads {
                    return (out(WIDTH) - out(0.0)) / WIDTH;
                }
                let across: Vec<[f64; 2]> = (0..=UNDER)
                    .map(|i| WIDTH * i as f64 / UNDER as f64)
                    .map(|y| [y, out(y)])
                    .collect();
                lowest_line(&across, 0.0).1
            };
            for (aligned, shown) in [(Aligned::Tips, length), (Aligned::Middles, length / 2.0)] {
                let sliver = shown * (slope(stations[1]) - slope(stations[0]));
                let across = [[0.0, WIDTH]; 2];
                let sticks = Sticks {
                    face,
                    stations,
                    across,
                    length,
                    aligned,
                    pads,
                    sliver,
                };
                let told = told(form, Gauge::Sticks(sticks));
                assert!(
                    (told - sliver).abs() < CLOSE,
                    "{form:?} {face:?} {pads}: {told} for {sliver}"
                );
            }
        }
    }
}

/// A stick on a crown c(1 − v²) lies a tenth of its reach off the middle as often as not: there the crown slopes by 0.8 c over
/// the width, and that times what the stick shows is how far the sliver is off, for either stick (closed form). In a hollow it
/// lies on both edges.
#[test]
fn sticks_that_rock_on_a_crown_are_less_sure() {
    for (cup, unsure) in [(2.0, true), (0.7, true), (-2.0, false)] {
        let form = Form {
            bow: 0.0,
            cup,
            twist: 0.0,
            ess: 0.0,
        };
        let sticks = Sticks {
            face: Face::Up,
            stations: [200.0, 1500.0],
            across: [[0.0, WIDTH]; 2],
            length: 600.0,
            aligned: Aligned::Tips,
            pads: false,
            sliver: 0.0,
        };
        let gauged = Gauged {
            gauge: Gauge::Sticks(sticks),
            sd: 0.3,
        };
        let outline = Outline {
            x0: 0.0,
            y0: 0.0,
            length: LENGTH,
            width: WIDTH,
        };
        let height = |_: Face, x: f64, y: f64| form.at(x, y);
        let sd = gauge_observation(&outline, &gauged, Some(&height)).sd;
        let each = if unsure {
            600.0 * 0.8 * cup / WIDTH
        } else {
            0.0
        };
        let both = 0.3_f64.hypot(each).hypot(each);
        assert!((sd / both - 1.0).abs() < 0.1, "{cup}: {sd} {both}");
        assert_abs_diff_eq!(gauge_observation(&outline, &gauged, None).sd, 0.3);
    }
}

/// A board whose coordinates begin elsewhere is read alike, place by place.
#[test]
fn gauges_rest_alike_wherever_a_board_begins() {
    let aside = [130.0, -70.0];
    let outline = |[x0, y0]: [f64; 2]| Outline {
        x0,
        y0,
        length: LENGTH,
        width: WIDTH,
    };
    let moved = |[x, y]: [f64; 2]| [x + aside[0], y + aside[1]];
    for form in forms() {
        let straightedge = |rest: Rest, by: &dyn Fn([f64; 2]) -> [f64; 2]| {
            Gauge::Straightedge(Straightedge {
                face: Face::Up,
                from: by([100.0, 20.0]),
                to: by([1700.0, 200.0]),
                rest,
                at: by([700.0, 87.5]),
                gap: 1.5,
            })
        };
        let sticks = |by: &dyn Fn([f64; 2]) -> [f64; 2]| {
            let [x, y] = by([200.0, 10.0]);
            Gauge::Sticks(Sticks {
                face: Face::Down,
                stations: [x, x + 1300.0],
                across: [[y, y + 220.0], [y, y + 215.0]],
                length: 180.0,
                aligned: Aligned::Middles,
                pads: false,
                sliver: 2.0,
            })
        };
        let corner = |by: &dyn Fn([f64; 2]) -> [f64; 2]| {
            Gauge::Corner(CornerGap {
                on: Face::Down,
                corner: by([LENGTH, 0.0]),
                gap: 1.0,
            })
        };
        let all = |by: &dyn Fn([f64; 2]) -> [f64; 2]| {
            [
                straightedge(Rest::Wood, by),
                straightedge(Rest::EqualGaps, by),
                straightedge(Rest::Blocks(3.0), by),
                sticks(by),
                corner(by),
            ]
        };
        for (here, there) in all(&|at| at).into_iter().zip(all(&moved)) {
            let here = gauge_observation(
                &outline([0.0, 0.0]),
                &Gauged {
                    gauge: here,
                    sd: 0.3,
                },
                Some(&|face, x, y| form.out(face, x, y)),
            );
            let there = gauge_observation(
                &outline(aside),
                &Gauged {
                    gauge: there,
                    sd: 0.3,
                },
                Some(&|face, x, y| form.out(face, x - aside[0], y - aside[1])),
            );
            assert_abs_diff_eq!(here.value, there.value, epsilon = 1e-9);
            assert_abs_diff_eq!(here.sd, there.sd, epsilon = 1e-6);
            for (a, b) in here.terms.iter().zip(&there.terms) {
                let [x, y] = moved([a.x, a.y]);
                assert_abs_diff_eq!(x, b.x, epsilon = 1e-6);
                assert_abs_diff_eq!(y, b.y, epsilon = 1e-6);
                assert_abs_diff_eq!(a.weight, b.weight, epsilon = 1e-6);
            }
        }
    }
}

/// The plane over three of the points that lies on or above all of them and is lowest over `pressed`: its height over
/// `at`.
fn lowest_plane(points: &[Point], pressed: [f64; 2], at: [f64; 2]) -> f64 {
    let mut best = (f64::INFINITY, 0.0);
    for (i, a) in points.iter().enumerate() {
        for (j, b) in points.iter().enumerate().skip(i + 1) {
            for c in &points[j + 1..] {
                let (p, q) = (
                    [b[0] - a[0], b[1] - a[1], b[2] - a[2]],
                    [c[0] - a[0], c[1] - a[1], c[2] - a[2]],
                );
                let area = p[0] * q[1] - p[1] * q[0];
                if area.abs() < 1.0 {
                    continue;
                }
                let along = (p[2] * q[1] - p[1] * q[2]) / area;
                let across = (p[0] * q[2] - p[2] * q[0]) / area;
                let over = |[x, y]: [f64; 2]| a[2] + along * (x - a[0]) + across * (y - a[1]);
                if over(pressed) < best.0
                    && points.iter().all(|p| p[2] <= over([p[0], p[1]]) + 1e-9)
                {
                    best = (over(pressed), over(at));
                }
            }
        }
    }
    best.1
}

#[test]
fn a_rocking_board_lies_on_three_places_and_lifts_a_corner() {
    for form in forms() {
        for on in [Face::Up, Face::Down] {
            for corner in [[0.0, 0.0], [LENGTH, WIDTH]] {
                let mut points = grid(LENGTH, WIDTH, 17, 5, |_, _| 0.0);
                for p in &mut points {
                    p[2] = form.out(on, p[0], p[1]);
                }
                let towards = |c: f64, size: f64| size / 2.0 - 0.27 * (c - size / 2.0);
                let pressed = [towards(corner[0], LENGTH), towards(corner[1], WIDTH)];
                let gap =
                    lowest_plane(&points, pressed, corner) - form.out(on, corner[0], corner[1]);
                let told = told(form, Gauge::Corner(CornerGap { on, corner, gap }));
                assert!(
                    (told - gap).abs() < CLOSE,
                    "{form:?} {on:?} {corner:?}: {told} for {gap}"
                );
            }
        }
    }
}

fn straightedge(from: [f64; 2], to: [f64; 2], gap: f64) -> Gauged {
    let at = [0, 1].map(|k| (from[k] + to[k]) / 2.0);
    let rest = if gap < 0.0 {
        Rest::EqualGaps
    } else {
        Rest::Wood
    };
    let edge = Straightedge {
        face: Face::Up,
        from,
        to,
        rest,
        at,
        gap: gap.abs(),
    };
    Gauged {
        gauge: Gauge::Straightedge(edge),
        sd: 0.3,
    }
}

/// Straightedge and sticks alone give cup, bow and twist: the gap in the middle is the bow, a sliver d over sticks of
/// length S on a width W is a lift of d·W/S, by that times the length over the stations' distance (common practice).
#[test]
fn straightedge_and_sticks_alone_tell_the_form() {
    for (bow, cup) in [(-4.0, -1.5), (3.0, -1.5), (-4.0, 1.0), (3.0, 1.0)] {
        let (twist, stick, stations) = (7.0, 600.0, [300.0, 1500.0]);
        let sliver = twist * (stations[1] - stations[0]) / LENGTH * stick / WIDTH;
        let sticks = Sticks {
            face: Face::Up,
            stations,
            across: [[0.0, WIDTH]; 2],
            length: stick,
            aligned: Aligned::Tips,
            pads: true,
            sliver,
        };
        let mut gauged = vec![Gauged {
            gauge: Gauge::Sticks(sticks),
            sd: 0.3,
        }];
        for y in [0.0, WIDTH / 2.0, WIDTH] {
            gauged.push(straightedge([0.0, y], [LENGTH, y], -bow));
        }
        for x in [0.0, LENGTH / 2.0, LENGTH] {
            gauged.push(straightedge([x, 0.0], [x, WIDTH], -cup));
        }
        let board = Board::new(Particulars {
            length: Some(LENGTH),
            width: Some(WIDTH),
            down: Down {
                calipers: at_corners(),
                ..Down::default()
            },
            gauged,
            ..Particulars::default()
        })
        .unwrap();
        let answer = Answer::new(&board, &question());
        let value = |figure: Option<outwind::warp::Figure>| figure.unwrap().value;
        assert_abs_diff_eq!(value(answer.warp.bow), bow, epsilon = 0.02);
        assert_abs_diff_eq!(value(answer.warp.cup), cup, epsilon = 0.02);
        assert_abs_diff_eq!(value(answer.warp.twist), twist, epsilon = 0.02);
        let expected = answer.expectation.unwrap().shimmed;
        let form = Form {
            bow,
            cup,
            twist,
            ess: 0.0,
        };
        let read = heights(form, 25, 9);
        let down = common::lowered(&read, THICK);
        let truth = common::flattened(&read, &down).unwrap().shimmed.thickness();
        assert!(
            expected.low < truth && truth < expected.high,
            "{truth} in {expected:?}"
        );
    }
}

/// A survey over two datums that share three stations says the same as one over a single datum.
#[test]
fn a_beam_that_was_moved_costs_little() {
    let form = Form {
        bow: -3.0,
        cup: 1.0,
        twist: 5.0,
        ess: 0.0,
    };
    let all = heights(form, 9, 3);
    let down = Down {
        calipers: at_corners(),
        ..Down::default()
    };
    let whole = Board::new(Particulars {
        up: all.clone(),
        down: down.clone(),
        ..Particulars::default()
    })
    .unwrap();
    let (near, moved): (Vec<Point>, Vec<Point>) = all.iter().partition(|p| p[0] <= LENGTH / 2.0);
    // Both read the middle station and two before it; the second over a datum that lies lower and leans.
    let shared = LENGTH / 4.0..=LENGTH / 2.0;
    let again = all.iter().filter(|p| shared.contains(&p[0]));
    let moved: Vec<Point> = moved
        .iter()
        .chain(again)
        .map(|&[x, y, z]| [x, y, z + 12.0 - 0.004 * x + 0.01 * y])
        .collect();
    let set_ups = vec![SetUp {
        datum: 1,
        face: Face::Up,
        turned: false,
        points: moved,
        sd: 0.3,
        stated: false,
    }];
    let parts = Board::new(Particulars {
        up: near,
        down,
        set_ups,
        ..Particulars::default()
    })
    .unwrap();
    let [whole, parts] = [whole, parts].map(|board| Answer::new(&board, &question()));
    for (a, b) in [
        (whole.warp.cup, parts.warp.cup),
        (whole.warp.twist, parts.warp.twist),
        (whole.warp.bow, parts.warp.bow),
    ] {
        assert_abs_diff_eq!(a.unwrap().value, b.unwrap().value, epsilon = 1e-6);
    }
    let left = |answer: &Answer| answer.flattening.as_ref().unwrap().shimmed.thickness();
    assert_abs_diff_eq!(left(&whole), left(&parts), epsilon = 1e-6);
    let half = |answer: &Answer| {
        let interval = answer.expectation.as_ref().unwrap().shimmed;
        (interval.high - interval.low) / 2.0
    };
    assert!(
        half(&parts) > half(&whole),
        "{} {}",
        half(&parts),
        half(&whole)
    );
    assert!(
        half(&parts) < 2.0 * half(&whole),
        "{} {}",
        half(&parts),
        half(&whole)
    );
}

/// The down face read with the board turned over, over a datum of its own, and four calipers to tie both together.
#[test]
fn a_board_that_was_turned_over_comes_together_again() {
    let form = Form {
        bow: 3.0,
        cup: -1.0,
        twist: 5.0,
        ess: 0.0,
    };
    let up = heights(form, 7, 3);
    let under: Vec<Point> = up
        .iter()
        .map(|&[x, y, z]| [x, y, THICK - z + 3.0 + 0.002 * x - 0.01 * y])
        .collect();
    let set_ups = vec![SetUp {
        datum: 1,
        face: Face::Down,
        turned: true,
        points: under,
        sd: 0.3,
        stated: false,
    }];
    let calipers: Vec<Caliper> = at_corners();
    let down = Down {
        calipers,
        ..Down::default()
    };
    let board = Board::new(Particulars {
        up: up.clone(),
        down,
        set_ups,
        ..Particulars::default()
    })
    .unwrap();
    let answer = Answer::new(&board, &question());
    let truth = common::flattened(&up, &common::lowered(&up, THICK))
        .unwrap()
        .shimmed
        .thickness();
    let left = answer.flattening.unwrap().shimmed.thickness();
    assert_abs_diff_eq!(left, truth, epsilon = 1e-6);
    let expected = answer.expectation.unwrap().shimmed;
    assert!(
        expected.low < truth + 0.1 && truth < expected.high,
        "{truth} in {expected:?}"
    );
}

/// Crook costs its height once, as a bow does (closed form: the loss of a parabola alone is its height).
#[test]
fn crook_costs_its_height_in_width() {
    let crook = 6.0;
    let string = |edge: Edge, gap: f64, rest: Rest| Gauged {
        gauge: Gauge::Edge(EdgeGap {
            edge,
            from: 0.0,
            to: LENGTH,
            rest,
            at: LENGTH / 2.0,
            gap,
        }),
        sd: 0.3,
    };
    let board = Board::new(Particulars {
        length: Some(LENGTH),
        width: Some(WIDTH),
        up: heights(
            Form {
                bow: 1.0,
                cup: 0.0,
                twist: 0.0,
                ess: 0.0,
            },
            5,
            3,
        ),
        down: Down {
            thickness: Some(THICK),
            ..Down::default()
        },
        gauged: vec![
            string(Edge::Near, crook, Rest::Wood),
            string(Edge::Far, crook, Rest::EqualGaps),
        ],
        ..Particulars::default()
    })
    .unwrap();
    let answer = Answer::new(&board, &question());
    assert_abs_diff_eq!(answer.warp.crook.unwrap().value, crook, epsilon = 1e-6);
    let width = answer.jointed.unwrap();
    // Between the one gap read at each edge the wood is guessed, which costs a little more.
    let truth = WIDTH - crook;
    assert!(width.low < truth && truth < width.high, "{width:?}");
    assert!((width.expected - truth).abs() < 2.0, "{width:?}");
}

/// Between its rows an edge runs straight (docs/board-file.md): what is left of a board with such edges is the distance of the
/// hulls of both, in the plane.
#[test]
fn a_live_edge_is_jointed_as_its_rows_say() {
    let level = heights(
        Form {
            bow: 0.0,
            cup: 0.0,
            twist: 0.0,
            ess: 0.0,
        },
        5,
        3,
    );
    let taper = vec![[0.0, 0.0, WIDTH], [LENGTH, 0.0, WIDTH - 60.0]];
    let skewed = vec![[0.0, 0.0, 150.0], [LENGTH, 90.0, WIDTH]];
    // No row at a station of the draws, and the far edge furthest in at one of them.
    let live = vec![
        [0.0, 0.0, WIDTH],
        [430.0, 12.0, 226.0],
        [907.0, 5.0, 210.0],
        [1411.0, 20.0, 231.0],
        [LENGTH, 9.0, 225.0],
    ];
    for rows in [taper, skewed, live] {
        let board = Board::new(Particulars {
            length: Some(LENGTH),
            width: Some(WIDTH),
            up: level.clone(),
            down: Down {
                thickness: Some(THICK),
                ..Down::default()
            },
            gauged: [Edge::Near, Edge::Far]
                .iter()
                .flat_map(|&edge| rows.windows(2).map(move |w| (edge, w[0][0], w[1][0])))
                .map(|(edge, from, to)| Gauged {
                    gauge: Gauge::Edge(EdgeGap {
                        edge,
                        from,
                        to,
                        rest: Rest::Wood,
                        at: (from + to) / 2.0,
                        gap: 0.0,
                    }),
                    sd: 0.3,
                })
                .collect(),
            edges: rows
                .iter()
                .map(|&[station, near, far]| EdgesAt { station, near, far })
                .collect(),
            ..Particulars::default()
        })
        .unwrap();
        let edge = |k: usize| -> Vec<Point> {
            let both = rows.iter().flat_map(|row| [0.0, 25.0].map(|y| (row, y)));
            both.map(|(row, y)| [row[0], y, row[k]]).collect()
        };
        let truth = common::flattened(&edge(2), &edge(1)).unwrap();
        let truth = truth.shimmed.thickness();
        let width = Answer::new(&board, &question()).jointed.unwrap();
        assert!(width.low < truth && truth < width.high, "{truth} {width:?}");
        // Each row is a millimetre off, and of the wood between two rows one gap was read.
        assert!((width.expected - truth).abs() < 3.0, "{truth} {width:?}");
        assert!(width.high - width.low < 9.0, "{width:?}");
    }
}

/// The expected course of the faces is the mean that the estimate gives place by place.
#[test]
fn the_course_is_the_mean_at_every_place() {
    let form = Form {
        bow: -3.0,
        cup: 1.0,
        twist: 5.0,
        ess: 2.0,
    };
    let board = Board::new(Particulars {
        up: heights(form, 7, 3),
        down: Down {
            calipers: at_corners(),
            ..Down::default()
        },
        ..Particulars::default()
    })
    .unwrap();
    let known = Known::new(&board).unwrap();
    let course = known.estimate.course();
    for (x, y) in [(0.0, 0.0), (333.0, 100.0), (1800.0, 240.0), (1250.0, 7.0)] {
        for face in [Face::Up, Face::Down] {
            let (mean, _) = known.estimate.moments(&[Term::new(face, [x, y], 1.0)]);
            assert_abs_diff_eq!(course.height(face, x, y), mean, epsilon = 1e-6);
        }
    }
}

/// A slip on a board that lies far over its datum is told as it was read, beside what stands there.
#[test]
fn a_doubted_reading_is_told_as_it_was_read() {
    let mut up = grid(LENGTH, WIDTH, 7, 3, |u, _| 250.0 + 3.0 * (1.0 - u * u));
    let right = up[10][2];
    up[10][2] += 12.0;
    let slip = up[10];
    let board = Board::new(Particulars {
        up,
        down: Down {
            calipers: at_corners(),
            ..Down::default()
        },
        ..Particulars::default()
    })
    .unwrap();
    let expected = Answer::new(&board, &question()).expectation.unwrap();
    let [doubted] = expected.doubted[..] else {
        panic!("one reading is off: {:?}", expected.doubted);
    };
    assert_eq!(
        (doubted.place, doubted.reading),
        ([slip[0], slip[1]], slip[2])
    );
    assert_abs_diff_eq!(doubted.expected, right, epsilon = 1.0);
}

/// Whoever walks round a board may read it from either end and either edge.
#[test]
fn what_could_be_read_next_lies_all_over_the_board() {
    let thickness = Down {
        calipers: at_corners(),
        ..Down::default()
    };
    let by_heights = Particulars {
        up: vec![
            [0.0, 0.0, 0.0],
            [LENGTH, 0.0, 1.0],
            [0.0, WIDTH, 0.5],
            [LENGTH, WIDTH, 0.0],
        ],
        ..Particulars::default()
    };
    let by_gauge = Particulars {
        length: Some(LENGTH),
        width: Some(WIDTH),
        gauged: vec![Gauged {
            gauge: Gauge::Sticks(Sticks {
                face: Face::Up,
                stations: [LENGTH * 0.4, LENGTH * 0.6],
                across: [[0.0, WIDTH]; 2],
                length: 2.0 * WIDTH,
                aligned: Aligned::Tips,
                pads: false,
                sliver: 0.0,
            }),
            sd: 0.3,
        }],
        ..Particulars::default()
    };
    for read in [by_heights, by_gauge] {
        let board = Board::new(Particulars {
            down: thickness.clone(),
            ..read
        })
        .unwrap();
        let known = outwind::flatten::known(&board).unwrap();
        let found = outwind::surface::candidates(&board, &known);
        let [sticks, others]: [Vec<_>; 2] = [true, false].map(|sticks| {
            let is = |c: &&outwind::surface::Candidate| matches!(c.what, What::Sticks(_)) == sticks;
            found.iter().map(|(c, _)| c).filter(is).collect()
        });
        assert!(others.len() > 20);
        for c in &others {
            for at in c.ends.iter().chain([&c.place]) {
                assert!(
                    (0.0..=LENGTH).contains(&at[0]) && (0.0..=WIDTH).contains(&at[1]),
                    "{c:?}"
                );
            }
            // From the other end, and over the other edge.
            for mirrored in [
                [LENGTH - c.place[0], c.place[1]],
                [c.place[0], WIDTH - c.place[1]],
            ] {
                let there = |o: &&&outwind::surface::Candidate| {
                    o.what == c.what && (0..2).all(|k| (o.place[k] - mirrored[k]).abs() < 1e-6)
                };
                assert_eq!(others.iter().filter(there).count(), 1, "{c:?}");
            }
        }
        for c in sticks {
            let [a, b] = c.ends;
            assert_eq!((a, b[1]), ([0.0, WIDTH / 2.0], WIDTH / 2.0));
            assert!(b[0] > 0.0 && b[0] <= LENGTH);
            assert_abs_diff_eq!(c.place[0], b[0] / 2.0, epsilon = 1e-9);
        }
    }
}
