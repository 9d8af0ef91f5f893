//! Ways to cut a board without a list of parts, beside trying every place.

#![allow(clippy::unwrap_used)]

mod common;

use common::random::Random;
use outwind::cutting::{
    Allowances, Draws, Evidence, Movement, Pieces, WayKind, Window, by_length, crosscut_at, ways,
};
use outwind::surface::estimate;

const LENGTH: f64 = 1500.0;
const WIDTH: f64 = 200.0;
const STEP: f64 = 50.0;

/// Draws of a board that is bent at a place, `sharp` mm over its length, and wavy.
fn bent(random: &mut Random, at: f64, sharp: f64) -> Evidence {
    let draws: Vec<estimate::Faces> = (0..40)
        .map(|_| {
            let (sharp, wave) = (sharp + 0.3 * random.normal(), random.normal());
            let face = |below: f64| {
                (0..31 * 5)
                    .map(|k| {
                        let (x, y) = (f64::from(k / 5) * STEP, f64::from(k % 5) * 50.0);
                        let bend = sharp * (x - at).abs() / LENGTH;
                        [
                            x,
                            y,
                            bend + 0.2 * wave * (x / 130.0 + y / 90.0).sin() - below,
                        ]
                    })
                    .collect()
            };
            estimate::Faces {
                up: face(0.0),
                down: face(25.0),
            }
        })
        .collect();
    let draws = Draws::of(draws, 5, Movement::NONE, 0);
    Evidence {
        whole: draws.clone(),
        choosing: draws.clone(),
        stating: draws,
    }
}

/// The thickness that a piece reaches in nine draws of ten.
fn sure(pieces: &mut Pieces<'_>, window: &Window) -> f64 {
    let mut thicknesses = pieces.thicknesses(window);
    thicknesses.sort_by(f64::total_cmp);
    thicknesses[4]
}

#[test]
fn uneven_cuts_are_as_good_as_the_best_of_all_places() {
    let mut random = Random::new(7);
    let allowances = Allowances {
        min_length: 200.0,
        end_trim: 0.0,
        ..Allowances::default()
    };
    for _ in 0..12 {
        let at = random.within(300.0, 1200.0);
        let sharp = random.within(4.0, 20.0);
        let evidence = bent(&mut random, at, sharp);
        let mut pieces = Pieces::new(&evidence.choosing);
        let whole = evidence.whole.whole();
        let mut between = |from: f64, to: f64| sure(&mut pieces, &Window { from, to, ..whole });
        let kerf = allowances.kerf_crosscut;
        let places: Vec<f64> = (4..=26).map(|k| f64::from(k) * STEP).collect();
        let (mut one, mut two) = (0.0_f64, 0.0_f64);
        for &a in &places {
            one = one.max(between(0.0, a).min(between(a + kerf, LENGTH)));
            for &b in places.iter().filter(|b| **b >= a + kerf + 200.0) {
                let middle = between(a + kerf, b);
                two = two.max(between(0.0, a).min(middle).min(between(b + kerf, LENGTH)));
            }
        }
        let tried = ways(&evidence, &allowances, STEP, 0.9);
        for (n, best) in [(2, one), (3, two)] {
            let way = tried.iter().find(|w| w.kind == WayKind::Uneven(n)).unwrap();
            let windows = way.pieces.iter().map(|p| p.window);
            let found = windows
                .map(|w| between(w.from, w.to))
                .fold(f64::INFINITY, f64::min);
            assert!(
                found <= best + 1e-9 && found >= best - 0.02,
                "{found} of {best}, {n} pieces"
            );
        }
    }
}

/// Cut at its kink, a board that is straight else loses nothing more; the cut lies within a step of it.
#[test]
fn a_kinked_board_is_cut_at_the_kink() {
    let mut random = Random::new(8);
    let evidence = bent(&mut random, 950.0, 30.0);
    let allowances = Allowances::default();
    let tried = ways(&evidence, &allowances, 5.0, 0.9);
    let way = tried.iter().find(|w| w.kind == WayKind::Uneven(2)).unwrap();
    assert!((way.cuts[0].at - 950.0).abs() <= 10.0, "{:?}", way.cuts);
    // The kink of 30 · 2 · 950 · 550 / 1500² mm over the chord is gone, but for what the waves take.
    assert!(way.thinnest.expected - tried[0].thinnest.expected > 12.0);
}

#[test]
fn kerfs_trim_and_jointing_lie_between_the_pieces() {
    let mut random = Random::new(9);
    let evidence = bent(&mut random, 700.0, 6.0);
    let allowances = Allowances {
        end_trim: 10.0,
        ..Allowances::default()
    };
    for way in ways(&evidence, &allowances, 5.0, 0.9) {
        let kept: f64 = way.pieces.iter().map(|p| p.window.area()).sum();
        let cuts = way.cuts.len() as f64;
        let lost = match way.kind {
            WayKind::Whole => 0.0,
            WayKind::Lengths(_) | WayKind::Uneven(_) => {
                (20.0 + cuts * allowances.kerf_crosscut) * WIDTH
            }
            WayKind::Widths(_) => cuts * (allowances.kerf_rip + allowances.jointing) * LENGTH,
        };
        assert!(
            (kept + lost - LENGTH * WIDTH).abs() < 1e-6,
            "{:?}",
            way.kind
        );
        assert!((way.lost - lost / (LENGTH * WIDTH)).abs() < 1e-9);
        // Between two strips lie the kerf and, half on either side of it, what jointing takes.
        if let WayKind::Widths(_) = way.kind {
            for (cut, two) in way.cuts.iter().zip(way.pieces.windows(2)) {
                let beside = allowances.jointing / 2.0;
                assert!((cut.at - two[0].window.far - beside).abs() < 1e-9);
                let after = two[1].window.near - cut.at - allowances.kerf_rip;
                assert!((after - beside).abs() < 1e-9);
            }
        }
    }
}

/// Cuts where the user wants them: in any order, some of them where nothing is left to cut off.
#[test]
fn crosscuts_anywhere_leave_what_lies_between_them() {
    let mut random = Random::new(11);
    let evidence = bent(&mut random, 700.0, 6.0);
    let allowances = Allowances {
        end_trim: 10.0,
        kerf_crosscut: 3.0,
        ..Allowances::default()
    };
    let left = |at: &[f64]| -> Vec<[f64; 2]> {
        let way = crosscut_at(at, &allowances, &mut Pieces::new(&evidence.stating));
        let pieces = way.pieces.iter();
        pieces.map(|p| [p.window.from, p.window.to]).collect()
    };
    let (first, last) = (10.0, LENGTH - 10.0);
    assert_eq!(left(&[]), [[first, last]]);
    let three = [[first, 400.0], [403.0, 900.0], [903.0, last]];
    assert_eq!(left(&[400.0, 900.0]), three);
    assert_eq!(left(&[900.0, 400.0]), three);
    // In the trimmed ends, beyond the board, and twice in one kerf.
    assert_eq!(
        left(&[5.0, 400.0, 402.0, 900.0, LENGTH, 2.0 * LENGTH]),
        three
    );
    assert_eq!(left(&[last]), [[first, last]]);
}

/// A shorter best piece is never thinner than a longer best one, as far as places tried and draws chosen by tell.
#[test]
fn the_curve_rises_as_pieces_shorten() {
    let mut random = Random::new(10);
    let evidence = bent(&mut random, 700.0, 12.0);
    let curve = by_length(&evidence);
    assert_eq!(curve.last().unwrap().window, evidence.whole.whole());
    for pair in curve.windows(2) {
        assert!(pair[0].interval.expected >= pair[1].interval.expected - 1e-6);
    }
}
