//! The minimum zone of a face against linear programmes, on both faces of 10,000 random boards.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

mod common;

use std::thread;

use common::sample::Sample;
use common::solver::{Bracket, closest_planes};
use common::vector::{angle, range, unit};
use outwind::flatten::{MOST_LEAN_DEGREES, minimum_zone};
use outwind::readings::Point;

const BOARDS: u64 = 10_000;

/// Agreement asked for, as a share of the board's thickness; where the solver proves less, what it proves.
const AGREEMENT: f64 = 1e-8;

/// What the solver must prove for its word to count at all.
const PROOF: f64 = 1e-6;

#[derive(Debug, Default)]
struct Tally {
    faces: usize,
    /// The programmes end elsewhere, where no tilt gains either, and wider: on a saddle, as a rule.
    narrower: usize,
    /// The programmes end elsewhere and narrower, both so far from the face's own plane that neither is its zone.
    wider: usize,
    solver_limited: usize,
    /// The largest difference of the widths, in thicknesses, where both end at the same.
    worst: f64,
    /// The most that the programme in our frame would gain by a tilt, in thicknesses.
    gain: f64,
}

impl Tally {
    fn join(self, other: &Self) -> Self {
        Self {
            faces: self.faces + other.faces,
            narrower: self.narrower + other.narrower,
            wider: self.wider + other.wider,
            solver_limited: self.solver_limited + other.solver_limited,
            worst: self.worst.max(other.worst),
            gain: self.gain.max(other.gain),
        }
    }

    fn face(&mut self, face: &[Point], normal: Point, t: f64, at: &str) {
        self.faces += 1;
        let ours = minimum_zone(face, normal).unwrap();
        let own = width(face, ours.normal);
        assert!((own - ours.width).abs() <= 1e-11 * t, "{own} {ours:?} {at}");

        // No tilt out of our attitude is narrower.
        let here = closest_planes(face, ours.normal);
        let bound = (AGREEMENT * t).max(here.accuracy());
        assert!(here.accuracy() <= PROOF * t, "{here:?} {at}");
        assert!(here.lower >= ours.width - bound, "{ours:?} {here:?} {at}");
        self.gain = self.gain.max((ours.width - here.upper) / t);
        if here.accuracy() > AGREEMENT * t {
            self.solver_limited += 1;
        }

        // The programmes' own way down from the same start.
        let theirs = descend(face, normal);
        let off = ours.width - theirs.upper;
        let bound = (AGREEMENT * t).max(here.accuracy());
        if off.abs() <= bound {
            self.worst = self.worst.max(off.abs() / t);
            return;
        }
        // Both ways down end where no tilt gains, but not at the same place.
        if off < 0.0 {
            self.narrower += 1;
        } else {
            self.wider += 1;
            for end in [ours.normal, theirs.normal] {
                let lean = angle(end, normal);
                assert!(lean > MOST_LEAN_DEGREES, "{ours:?} {theirs:?} {at}");
            }
        }
    }
}

/// Poses the programme again and again in the frame of the planes found, until they no longer tilt.
fn descend(face: &[Point], start: Point) -> Bracket {
    let mut normal = unit(start);
    let mut reached = width(face, normal);
    for _ in 0..100 {
        let found = closest_planes(face, normal);
        let next = width(face, found.normal);
        if next >= reached * (1.0 - 1e-13) {
            break;
        }
        (normal, reached) = (found.normal, next);
    }
    Bracket {
        upper: reached,
        normal,
        ..closest_planes(face, normal)
    }
}

fn width(face: &[Point], normal: Point) -> f64 {
    let (low, high) = range(face, normal);
    high - low
}

#[test]
fn minimum_zone_agrees_with_linear_programmes() {
    let work = |first| {
        move || {
            let mut tally = Tally::default();
            for seed in (first..BOARDS).step_by(2) {
                let board = Sample::new(seed);
                let at = format!("board {seed}, {}", board.family);
                tally.face(&board.up, board.normal, board.thickness, &at);
                tally.face(&board.down, board.normal, board.thickness, &at);
            }
            tally
        }
    };
    let tally = thread::scope(|scope| {
        let (even, odd) = (scope.spawn(work(0)), scope.spawn(work(1)));
        even.join().unwrap().join(&odd.join().unwrap())
    });
    println!("{tally:#?}");
    assert_eq!(tally.faces as u64, 2 * BOARDS);
    assert!(tally.wider < 10);
}
