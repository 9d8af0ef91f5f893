//! What survives of a piece: never less than of a piece around it, and as the closed forms of constant shapes have it.

#![allow(clippy::unwrap_used)]

mod common;

use common::random::Random;
use outwind::cutting::{Draws, Movement, Pieces, Window};
use outwind::flatten::{Faces, Shortfall, survives_shimmed};
use outwind::surface::estimate;

const LENGTH: f64 = 1200.0;
const WIDTH: f64 = 240.0;

/// One draw of a board of LENGTH × WIDTH: its up face by formula of u and v from −1 to 1, station by station; the down
/// face likewise, lower.
fn faces(
    [stations, positions]: [usize; 2],
    up: impl Fn(f64, f64) -> f64,
    down: impl Fn(f64, f64) -> f64,
) -> estimate::Faces {
    let face = |height: &dyn Fn(f64, f64) -> f64| {
        let unit = |k: usize, n: usize| 2.0 * k as f64 / (n - 1) as f64 - 1.0;
        (0..stations * positions)
            .map(|k| {
                let (u, v) = (
                    unit(k / positions, stations),
                    unit(k % positions, positions),
                );
                [
                    (u + 1.0) * LENGTH / 2.0,
                    (v + 1.0) * WIDTH / 2.0,
                    height(u, v),
                ]
            })
            .collect()
    };
    estimate::Faces {
        up: face(&up),
        down: face(&down),
    }
}

/// Draws of a warped board with a kink and waves, each other than the last.
fn warped(random: &mut Random, draws: usize) -> Draws {
    let shape: Vec<f64> = (0..6).map(|_| random.normal()).collect();
    let drawn: Vec<estimate::Faces> = (0..draws)
        .map(|_| {
            let mut own =
                || -> Vec<f64> { (0..6).map(|k| shape[k] + 0.3 * random.normal()).collect() };
            let (a, b) = (own(), own());
            faces(
                [13, 5],
                |u, v| height(&a, u, v),
                |u, v| height(&a, u, v) + 0.2 * height(&b, v, u) - 25.0,
            )
        })
        .collect();
    Draws::of(drawn, 5, Movement::default(), 0)
}

fn height(s: &[f64], u: f64, v: f64) -> f64 {
    2.0 * s[0] * u * u
        + s[1] * v * v
        + s[2] * u * v
        + 2.0 * s[3] * (u - 0.3).abs()
        + 0.3 * s[4] * (7.0 * u + 3.0 * v).sin()
        + 0.2 * s[5] * (5.0 * v).cos()
}

/// A window of the board, at least a tenth of it along and across.
fn window(random: &mut Random, within: &Window) -> Window {
    let mut side = |from: f64, to: f64| {
        let length = (to - from) * random.within(0.1, 1.0);
        let start = from + (to - from - length) * random.within(0.0, 1.0);
        (start, start + length)
    };
    let ((from, to), (near, far)) = (side(within.from, within.to), side(within.near, within.far));
    Window {
        from,
        to,
        near,
        far,
    }
}

#[test]
fn a_piece_is_never_thinner_than_one_around_it() {
    let mut random = Random::new(1);
    for _ in 0..60 {
        let draws = warped(&mut random, 4);
        let mut pieces = Pieces::new(&draws);
        let mut outer = draws.whole();
        for _ in 0..5 {
            let inner = window(&mut random, &outer);
            let (out, within) = (pieces.thicknesses(&outer), pieces.thicknesses(&inner));
            for (out, within) in out.iter().zip(&within) {
                assert!(
                    within >= &(out - 1e-9),
                    "{within} within {out}: {inner:?} in {outer:?}"
                );
            }
            outer = inner;
        }
    }
}

#[test]
fn the_whole_board_is_what_survives_shimmed() {
    let mut random = Random::new(2);
    let shape: Vec<f64> = (0..6).map(|_| random.normal()).collect();
    let drawn = faces(
        [13, 5],
        |u, v| height(&shape, u, v),
        |u, v| height(&shape, u, v) - 25.0,
    );
    let plain = survives_shimmed(&Faces {
        up: &drawn.up,
        down: &drawn.down,
        normal: [0.0, 0.0, 1.0],
        centre: [LENGTH / 2.0, WIDTH / 2.0, -12.0],
    });
    let draws = Draws::of([drawn], 5, Movement::NONE, 0);
    let piece = Pieces::new(&draws).thicknesses(&draws.whole())[0];
    assert!((piece - plain.unwrap()).abs() < 1e-9);
}

#[test]
fn bounds_and_early_ends_change_no_answer() {
    let mut random = Random::new(3);
    for _ in 0..40 {
        let draws = warped(&mut random, 40);
        let mut asked = Pieces::new(&draws);
        for _ in 0..20 {
            let window = window(&mut random, &draws.whole());
            let plain = Pieces::new(&draws).thicknesses(&window);
            let (thickness, certainty) = (random.within(18.0, 25.0), random.within(0.3, 1.0));
            let share = plain.iter().filter(|t| **t >= thickness).count() as f64 / 40.0;
            assert_eq!(asked.chance(&window, thickness), share);
            assert_eq!(
                asked.likely(&window, thickness, certainty),
                share >= certainty
            );
        }
    }
}

#[test]
fn the_furthest_end_is_that_of_trying_every_end() {
    let mut random = Random::new(4);
    let ends: Vec<f64> = (1..=60).map(|k| f64::from(k) * LENGTH / 60.0).collect();
    let mut found_some = 0;
    for _ in 0..30 {
        let draws = warped(&mut random, 20);
        let mut pieces = Pieces::new(&draws);
        let thickness = random.within(20.0, 24.5);
        for from in [0.0, 200.0, 640.0] {
            let window = |to: f64| Window {
                from,
                to,
                near: 40.0,
                far: 200.0,
            };
            let first = ends.partition_point(|e| *e <= from);
            let plain = (first..ends.len())
                .rev()
                .find(|&e| Pieces::new(&draws).likely(&window(ends[e]), thickness, 0.9));
            let found = pieces.furthest(window, &ends, first, thickness, 0.9);
            assert_eq!(found, plain);
            found_some += usize::from(found.is_some_and(|e| e > first && e + 1 < ends.len()));
        }
    }
    assert!(
        found_some > 20,
        "too few ends lie on the board to prove anything: {found_some}"
    );
}

/// Loss of flattening of n equal pieces of a shape, along or across; the greatest of them.
fn worst_loss(shape: impl Fn(f64, f64) -> f64, n: usize, across: bool) -> f64 {
    let thick = 12.0;
    let drawn = faces([97, 49], &shape, |u, v| shape(u, v) - thick);
    let draws = Draws::of([drawn], 49, Movement::NONE, 0);
    let mut pieces = Pieces::new(&draws);
    let part = |k: usize| {
        let (a, b) = (k as f64 / n as f64, (k + 1) as f64 / n as f64);
        let whole = draws.whole();
        if across {
            Window {
                near: a * WIDTH,
                far: b * WIDTH,
                ..whole
            }
        } else {
            Window {
                from: a * LENGTH,
                to: b * LENGTH,
                ..whole
            }
        }
    };
    (0..n)
        .map(|k| thick - pieces.thicknesses(&part(k))[0])
        .fold(0.0, f64::max)
}

/// Equal lengths divide bow by n² and twist by n and leave cup; equal widths divide cup by n² and twist by n and leave
/// bow (derived: cup and bow are of second degree along one side, twist of first degree along both; over gentle slopes). Twist T is the corner
/// lift, half of which is lost shimmed.
#[test]
fn equal_pieces_lose_what_geometry_says() {
    let (bow, cup, twist) = (4.0, 1.5, 3.0);
    for n in 1..=4 {
        let m = n as f64;
        for (across, bow_factor, cup_factor) in [(false, m * m, 1.0), (true, 1.0, m * m)] {
            let bowed = worst_loss(|u, _| bow * (1.0 - u * u), n, across);
            let cupped = worst_loss(|_, v| cup * (1.0 - v * v), n, across);
            let wound = worst_loss(|u, v| twist / 4.0 * u * v, n, across);
            assert!(
                (bowed - bow / bow_factor).abs() < 0.005,
                "bow {bowed}, {n} pieces"
            );
            assert!(
                (cupped - cup / cup_factor).abs() < 0.005,
                "cup {cupped}, {n} pieces"
            );
            assert!(
                (wound - twist / 2.0 / m).abs() < 0.005,
                "twist {wound}, {n} pieces"
            );
        }
    }
}

/// The closed forms of two and three shapes at once (derived, for an even thickness), at a piece's own bow, cup and twist.
#[test]
fn pieces_of_mixed_shapes_lose_what_the_closed_forms_say() {
    let mixed = |b: f64, c: f64, t: f64| {
        move |u: f64, v: f64| b * (1.0 - u * u) + c * (1.0 - v * v) + t / 4.0 * u * v
    };
    for n in 1..=4 {
        let m = n as f64;
        // Bow and twist: b + T/4 + T²/(64 b) while b ≥ T/8, else T/2.
        for (bow, twist) in [(4.0, 3.0), (1.0, 5.0)] {
            let (b, t) = (bow / (m * m), twist / m);
            let due = if b >= t / 8.0 {
                b + t / 4.0 + t * t / (64.0 * b)
            } else {
                t / 2.0
            };
            let lost = worst_loss(mixed(bow, 0.0, twist), n, false);
            assert!(
                (lost - due).abs() < 0.02,
                "{lost} for {due}: bow {bow}, twist {twist}, {n} lengths"
            );
        }
        // Bow, cup and twist of one sense: b + c + T/4 while T ≤ 8 √(bc).
        let (bow, cup, twist) = (4.0, 1.5, 2.0);
        let (b, t) = (bow / (m * m), twist / m);
        assert!(t <= 8.0 * (b * cup).sqrt());
        let lost = worst_loss(mixed(bow, cup, twist), n, false);
        assert!(
            (lost - (b + cup + t / 4.0)).abs() < 0.02,
            "{lost}, {n} lengths"
        );
        // Bow and cup of opposite sense, no twist: both are lost.
        let lost = worst_loss(mixed(bow, -cup, 0.0), n, false);
        assert!((lost - (b + cup)).abs() < 0.005, "{lost}, {n} lengths");
    }
}

/// Movement is a bow and a cup of the stated spread on a piece of the stated size, and grows with its square.
#[test]
fn a_flat_board_loses_by_moving_what_is_stated() {
    let flat = (0..2000).map(|_| faces([25, 9], |_, _| 0.0, |_, _| -30.0));
    let movement = Movement { bow: 0.5, cup: 0.2 };
    let draws = Draws::of(flat, 9, movement, 0);
    let mut pieces = Pieces::new(&draws);
    let mut spread = |length: f64, width: f64| {
        let window = Window {
            from: 100.0,
            to: 100.0 + length,
            near: 20.0,
            far: 20.0 + width,
        };
        let losses = pieces.thicknesses(&window).into_iter().map(|t| 30.0 - t);
        // Bow and cup are lost once each whatever their senses: the mean of |N(0, s)| is s √(2/π).
        losses.sum::<f64>() / 2000.0 / (2.0 / std::f64::consts::PI).sqrt()
    };
    assert!((spread(1000.0, 200.0) - 0.7).abs() < 0.02);
    assert!((spread(500.0, 200.0) - (0.125 + 0.2)).abs() < 0.01);
    assert!((spread(1000.0, 100.0) - (0.5 + 0.05)).abs() < 0.02);
}

/// Windows side by side share a rim and do not meet; whichever side they lie on, a hair's breadth of wood in common tells.
#[test]
fn windows_meet_where_they_share_wood() {
    let here = Window {
        from: 100.0,
        to: 300.0,
        near: 20.0,
        far: 80.0,
    };
    for (along, across) in [(200.0, 0.0), (-200.0, 0.0), (0.0, 60.0), (0.0, -60.0)] {
        let beside = |short: f64| Window {
            from: here.from + along * short,
            to: here.to + along * short,
            near: here.near + across * short,
            far: here.far + across * short,
        };
        assert!(!here.meets(&beside(1.0)) && !beside(1.0).meets(&here));
        assert!(!here.meets(&beside(1.5)) && !beside(1.5).meets(&here));
        assert!(here.meets(&beside(0.999)) && beside(0.999).meets(&here));
    }
    assert!(here.meets(&here));
}

/// A shop that falls short by 0.4 ± 0.3 mm: each draw of a flat board by another of as many normal numbers. The mean of 200 lies
/// within 0.02 mm, their standard deviation within a tenth.
#[test]
fn pieces_of_a_shop_that_falls_short_are_thinner_by_as_much() {
    let flat: Vec<_> = (0..200)
        .map(|_| faces([5, 3], |_, _| 0.0, |_, _| -25.0))
        .collect();
    let draws = Draws::of(flat, 3, Movement::NONE, 0);
    let half = Window {
        to: LENGTH / 2.0,
        ..draws.whole()
    };
    assert!(
        Pieces::new(&draws)
            .thicknesses(&half)
            .iter()
            .all(|t| (t - 25.0).abs() < 1e-9)
    );
    let same = draws.clone().short_by(None);
    assert!(
        Pieces::new(&same)
            .thicknesses(&half)
            .iter()
            .all(|t| (t - 25.0).abs() < 1e-9)
    );
    let short = draws.short_by(Some(Shortfall { mean: 0.4, sd: 0.3 }));
    let left = Pieces::new(&short).thicknesses(&half);
    let mean = left.iter().sum::<f64>() / 200.0;
    let sd = (left.iter().map(|t| (t - mean).powi(2)).sum::<f64>() / 200.0).sqrt();
    assert!((mean - 24.6).abs() < 0.02, "{mean}");
    assert!((sd - 0.3).abs() < 0.03, "{sd}");
    // All pieces of a draw fall short alike.
    let whole = Pieces::new(&short).thicknesses(&short.whole());
    assert!(left.iter().zip(&whole).all(|(a, b)| (a - b).abs() < 1e-9));
    // As likely as not it reaches the mean.
    let chance = Pieces::new(&short).chance(&half, 24.6);
    assert!((chance - 0.5).abs() < 0.03, "{chance}");
}
