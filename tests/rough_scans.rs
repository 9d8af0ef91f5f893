//! Scans of simulated boards: saw marks, fuzz, the sensor's noise, spikes, places without points.
//!
//! The boards are those of the simulator. What survives of one in truth is the hull distance of both faces without roughness,
//! less the depth under which 1 in 1000 of the roughness lies, counted on each face's own true roughness.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

mod scanned;
mod simulator;

use outwind::board::{Board, Down, Particulars, SetUp};
use outwind::flatten::{Answer, Expectation};
use outwind::readings::{Caliper, Face};
use outwind::surface::scan::Told;
use scanned::{Pattern, Scanned, question};
use simulator::{KINDS, Kind, quantile};

fn env(name: &str, default: f64) -> f64 {
    let text = std::env::var(name).ok();
    text.and_then(|s| s.parse().ok()).unwrap_or(default)
}

fn expected(board: &Board) -> Expectation {
    Answer::new(board, &question()).expectation.unwrap()
}

/// Prints what is expected of boards of each kind; BOARDS a kind, POINTS a face, SEED, STATED 1 for a stated error,
/// RASTER 1 for lines.
#[test]
#[ignore = "prints a table"]
fn table() {
    let (each, points) = (env("BOARDS", 2.0) as u64, env("POINTS", 1e4) as usize);
    let pattern = if env("RASTER", 0.0) > 0.0 {
        Pattern::Raster
    } else {
        Pattern::Scattered
    };
    let (mut inside, mut errors, mut halves) = (0, Vec::new(), Vec::new());
    for kind in KINDS {
        for k in 0..each {
            let seed = env("SEED", 1.0) as u64 * 1_000_003 + kind as u64 * 10_007 + k;
            let scanned = Scanned::new(kind, seed);
            let stated = (env("STATED", 0.0) > 0.0).then_some(scanned.noise);
            let board = scanned.board(points, pattern, 0.0, stated);
            let truth = scanned.survives();
            let start = std::time::Instant::now();
            let answer = Answer::new(&board, &question());
            let took = start.elapsed();
            let e = answer.expectation.unwrap().shimmed;
            let ok = e.low <= truth && truth <= e.high;
            inside += usize::from(ok);
            errors.push(e.expected - truth);
            halves.push((e.high - e.low) / 2.0);
            let scans = outwind::surface::Scans::new(&board);
            let r: Vec<_> = scans.iter().map(|s| s.roughness).collect();
            println!(
                "{kind:?} truth {truth:.3} expected {:.3} [{:.3}, {:.3}] {} off {:+.3} noise {:.2}/{:.3} depth {:.2}/{:.3}±{:.3} {:.2}/{:.3} {:?} {took:?}",
                e.expected,
                e.low,
                e.high,
                if ok { "in" } else { "OUT" },
                e.expected - truth,
                scanned.noise,
                r[0].noise,
                scanned.depth(0),
                r[0].depth,
                r[0].depth_sd,
                scanned.depth(1),
                r[1].depth,
                r[0].told,
            );
        }
    }
    halves.sort_by(f64::total_cmp);
    let n = errors.len() as f64;
    println!(
        "{inside} of {} inside, mean error {:+.3}, RMS {:.3}, half-width {:.3}",
        errors.len(),
        errors.iter().sum::<f64>() / n,
        (errors.iter().map(|e| e * e).sum::<f64>() / n).sqrt(),
        quantile(&halves, 0.5)
    );
}

/// The same board at 10⁴, 10⁵ and 10⁶ points a face, and with 1 spike of ± 5 mm in 100 points.
#[test]
fn expected_does_not_drift() {
    drift(&[10_000, 100_000, 1_000_000]);
}

#[test]
#[ignore = "ten million points a face"]
fn expected_does_not_drift_to_ten_million() {
    drift(&[1_000_000, 10_000_000]);
}

fn drift(counts: &[usize]) {
    for (kind, pattern, seed) in [
        (Kind::Smooth, Pattern::Scattered, 5),
        (Kind::Kinked, Pattern::Raster, 6),
    ] {
        let scanned = Scanned::new(kind, seed);
        let truth = scanned.survives();
        let mut found = Vec::new();
        for &count in counts {
            // Points 6 mm apart on lines tell no saw mark from noise: what the sensor does was stated.
            let stated = (pattern == Pattern::Raster).then_some(scanned.noise);
            for spikes in [0.0, 0.01] {
                let board = scanned.board(count, pattern, spikes, stated);
                let start = std::time::Instant::now();
                let e = expected(&board).shimmed;
                println!(
                    "{kind:?} {count} points a face, spikes {spikes}: {:.3} [{:.3}, {:.3}], truth {truth:.3}, {:?}",
                    e.expected,
                    e.low,
                    e.high,
                    start.elapsed()
                );
                found.push(e.expected);
            }
        }
        for pair in found.chunks(2) {
            assert!((pair[0] - pair[1]).abs() < 0.1, "spikes: {found:?}");
        }
        let plain = found.iter().step_by(2);
        let most = plain.clone().copied().fold(f64::NEG_INFINITY, f64::max);
        let least = plain.copied().fold(f64::INFINITY, f64::min);
        assert!(most - least < 0.1, "drift: {found:?}");
    }
}

/// What gathering costs a point, beyond what is the same for any number.
#[test]
#[ignore = "prints a time"]
fn gathering_is_linear() {
    let scanned = Scanned::new(Kind::Smooth, 5);
    for count in [1_000_000, 5_000_000] {
        let mut state = 1_u64;
        let mut next = || {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (state >> 11) as f64 / (1_u64 << 53) as f64
        };
        let mut points = || -> Vec<[f64; 3]> {
            let (l, w) = (scanned.length, scanned.width);
            (0..count)
                .map(|_| [l * next(), w * next(), 0.3 * next()])
                .collect()
        };
        let up = points();
        let down = points().iter().map(|p| [p[0], p[1], p[2] - 30.0]).collect();
        let board = scanned.of(up, down, None);
        let start = std::time::Instant::now();
        let scans = outwind::surface::Scans::new(&board);
        let gathered = start.elapsed();
        let read = outwind::surface::ReadFaces::new(&board);
        println!(
            "2 x {count}: gathered {gathered:?}, forms {:?}",
            start.elapsed() - gathered
        );
        assert!(read.is_some() && scans.iter().count() == 2);
    }
}

/// The board was turned over between two scans, and the second one's datum lies anywhere: six caliper readings tell where. What is
/// expected is the same whichever way it lay, and holds the truth.
#[test]
fn turned_over_between_scans() {
    let scanned = Scanned::new(Kind::Smooth, 5);
    let truth = scanned.survives();
    let (l, w) = (scanned.length, scanned.width);
    let places = [0.05, 0.5, 0.95].map(|u| [0.1, 0.9].map(|v| [u * l, v * w]));
    let calipers: Vec<Caliper> = places
        .iter()
        .flatten()
        .map(|&[x, y]| Caliper {
            x,
            y,
            thickness: scanned.caliper(x, y),
        })
        .collect();
    let up = scanned.points(0, 20_000, Pattern::Scattered, 0.0);
    let down = scanned.points(1, 20_000, Pattern::Scattered, 0.0);
    // Height over the datum, slope along and across.
    let motions = [[0.0, 0.0, 0.0], [40.0, 0.004, -0.02], [-15.0, -0.01, 0.03]];
    let found = motions.map(|[height, along, across]| {
        let lay = |&[x, y, z]: &[f64; 3]| [x, y, -z + height + along * x + across * y];
        let mut board = Board::new(Particulars {
            length: Some(l),
            width: Some(w),
            up: up.clone(),
            down: Down {
                calipers: calipers.clone(),
                ..Down::default()
            },
            set_ups: vec![SetUp {
                datum: 1,
                face: Face::Down,
                turned: true,
                points: down.iter().map(lay).collect(),
                sd: scanned.noise,
                stated: true,
            }],
            ..Particulars::default()
        })
        .unwrap();
        (board.errors.up, board.errors.stated) = (scanned.noise, true);
        expected(&board).shimmed
    });
    for e in found {
        println!(
            "{:.3} [{:.3}, {:.3}], truth {truth:.3}",
            e.expected, e.low, e.high
        );
        assert!(e.low <= truth && truth <= e.high, "{e:?} {truth}");
        assert!((e.expected - found[0].expected).abs() < 0.02, "{found:?}");
    }
}

/// An end of a face dropped out, as it does where the light does not reach: the place is named, and it widens what is expected
/// rather than moving it from the truth.
#[test]
fn an_end_that_dropped_out_is_named_and_widens() {
    let (mut held, mut boards, mut widths) = (0, 0, [0.0, 0.0]);
    for (k, kind) in KINDS.into_iter().enumerate() {
        let scanned = Scanned::new(kind, 60 + k as u64);
        let (middle, reach) = (
            [0.875 * scanned.length, 0.5 * scanned.width],
            [0.125 * scanned.length, 0.6 * scanned.width],
        );
        let dropped = |p: &[f64; 3]| {
            ((p[0] - middle[0]) / reach[0]).abs() < 1.0
                && ((p[1] - middle[1]) / reach[1]).abs() < 1.0
        };
        let [up, down] = [0, 1].map(|face| scanned.points(face, 10_000, Pattern::Scattered, 0.0));
        let left = up.iter().filter(|p| !dropped(p)).copied().collect();
        let whole = expected(&scanned.of(up, down.clone(), Some(scanned.noise))).shimmed;
        let board = scanned.of(left, down, Some(scanned.noise));
        let scans = outwind::surface::Scans::new(&board);
        let unread = scans.iter().next().unwrap().unread.unwrap();
        // Cells that are only partly without points are read.
        assert!(
            unread.share > 0.18 && unread.share <= 0.25,
            "{kind:?}: {unread:?}"
        );
        assert!(
            (0..2).all(|k| (unread.place[k] - middle[k]).abs() < 0.5 * reach[k]),
            "{kind:?}: {unread:?}, dropped {middle:?} ± {reach:?}"
        );
        let e = expected(&board).shimmed;
        let truth = scanned.survives();
        println!("{kind:?}: whole {whole:?}, dropped out {e:?}, truth {truth:.3}");
        boards += 1;
        held += u32::from(e.low <= truth && truth <= e.high);
        for (sum, e) in widths.iter_mut().zip([whole, e]) {
            *sum += e.high - e.low;
        }
    }
    // Nine in ten are to be held; two of seven missed are as likely as one in seven.
    assert!(held + 2 >= boards, "held {held} of {boards}");
    // Not every board is held by what lies there.
    assert!(widths[1] > 1.2 * widths[0], "{widths:?}");
}

/// Holes in the wood are no dust, and no roughness: they are named as what they are, and nobody planes down to their bottom.
#[test]
fn holes_in_the_wood_are_not_taken_for_spikes() {
    let scanned = Scanned::new(Kind::Smooth, 70);
    // Some 4 in 1000 of the face: worm holes, 3 mm deep, each hit by several points.
    let apart = 120.0;
    let hole = |p: &[f64; 3]| {
        let off = [p[0], p[1]].map(|x| (x / apart - (x / apart).round()) * apart);
        off[0].hypot(off[1]) < 4.3
    };
    let count = (scanned.length * scanned.width / 2.0) as usize;
    let mut up = scanned.points(0, count, Pattern::Scattered, 0.0);
    let down = scanned.points(1, count, Pattern::Scattered, 0.0);
    let sound = scanned.of(up.clone(), down.clone(), Some(scanned.noise));
    let holes = up.iter_mut().filter(|p| hole(p));
    let drilled = holes.map(|p| p[2] -= 3.0).count();
    let share = drilled as f64 / up.len() as f64;
    let holed = scanned.of(up, down, Some(scanned.noise));
    let of_up = |board: &Board| {
        let scans = outwind::surface::Scans::new(board);
        scans.iter().next().unwrap().clone()
    };
    assert_eq!(of_up(&sound).pits, None);
    let after = of_up(&holed);
    let pits = after.pits.unwrap();
    println!("{share:.4} drilled: {:?}, {pits:?}", after.spikes);
    assert!((pits.share / share - 1.0).abs() < 0.1, "{pits:?}, {share}");
    assert!((pits.depth - 3.0).abs() < 0.2, "{pits:?}");
    assert!(
        after.spikes.is_none_or(|s| s.share < 0.05 * share),
        "{after:?}"
    );
    let (sound, holed) = (expected(&sound).shimmed, expected(&holed).shimmed);
    println!("{sound:?}, with holes {holed:?}");
    assert!((holed.expected - sound.expected).abs() < 0.05);
}

/// Points too far apart to tell roughness from noise, and nobody said how noisy the sensor is: that is said, and the interval is
/// the wider for it.
#[test]
fn noise_that_nothing_tells_widens() {
    let scanned = Scanned::new(Kind::Smooth, 71);
    let board = |stated| scanned.board(2_000, Pattern::Raster, 0.0, stated);
    let told = |board: &Board| {
        let scans = outwind::surface::Scans::new(board);
        scans.iter().next().unwrap().roughness.told
    };
    let [open, stated] = [board(None), board(Some(scanned.noise))];
    assert_eq!([told(&open), told(&stated)], [Told::Open, Told::Stated]);
    let [open, stated] = [expected(&open).shimmed, expected(&stated).shimmed];
    let truth = scanned.survives();
    println!("open {open:?}, stated {stated:?}, truth {truth:.3}");
    assert!(open.high - open.low > stated.high - stated.low);
    for e in [open, stated] {
        assert!(e.low <= truth && truth <= e.high, "{e:?} {truth}");
    }
}
