//! The exact answers beside a general-purpose convex solver, Clarabel, on random boards. Run with `--nocapture` for
//! the figures.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

mod common;

use common::flattened;
use common::random::board;
use common::solver::{Frame, frame, unit, vertical_zone, widest_gap};
use outwind::flatten::{MOST_LEAN_DEGREES, Unanswerable, minimum_zone};
use outwind::readings::{Face, Point};
use outwind::surface::form::plane;

const BOARDS: u64 = 20_000;

/// Within this share of the board's thickness, or the solver's own accuracy where that is worse.
const AGREEMENT: f64 = 1e-8;

fn own_frame(up: &[Point]) -> Frame {
    let [_, b, c] = plane(up);
    frame([-b, -c, 1.0])
}

fn degrees(a: [f64; 3], b: [f64; 3]) -> f64 {
    let (a, b) = (unit(a), unit(b));
    (a[0] * b[0] + a[1] * b[1] + a[2] * b[2])
        .clamp(-1.0, 1.0)
        .acos()
        .to_degrees()
}

/// Whether less than half of the shorter face lies over the other, seen along the normal.
fn apart(up: &[Point], down: &[Point], normal: [f64; 3], along: bool) -> bool {
    let k = if along { 0 } else { 1 };
    let mut axis = normal.map(|c| -c * normal[k]);
    axis[k] += 1.0;
    let axis = unit(axis);
    let reach = |points: &[Point]| {
        let at = |p: &Point| p[0] * axis[0] + p[1] * axis[1] + p[2] * axis[2];
        points
            .iter()
            .map(at)
            .fold((f64::INFINITY, f64::NEG_INFINITY), |r, v| {
                (r.0.min(v), r.1.max(v))
            })
    };
    let (up, down) = (reach(up), reach(down));
    up.1.min(down.1) - up.0.max(down.0) < 0.5 * (up.1 - up.0).min(down.1 - down.0)
}

#[derive(Default)]
struct Tally {
    boards: usize,
    /// Worst disagreement in shares of the thickness, of those judged by `AGREEMENT`.
    worst: f64,
    /// Boards where the solver's own accuracy was worse than `AGREEMENT`, and the worst disagreement there.
    by_solver: usize,
    worst_by_solver: f64,
    nothing: usize,
    refused: usize,
    /// Stationary attitudes that differ; see `minimum_zones_agree`.
    other: usize,
    slack: f64,
    faults: Vec<String>,
}

impl Tally {
    fn compare(&mut self, what: &str, ours: f64, solver: f64, accuracy: f64, thickness: f64) {
        let share = (ours - solver).abs() / thickness;
        if share <= AGREEMENT {
            self.worst = self.worst.max(share);
        } else if share * thickness <= accuracy {
            self.by_solver += 1;
            self.worst_by_solver = self.worst_by_solver.max(share);
        } else {
            self.faults.push(format!(
                "{what}: ours {ours:.12}, solver {solver:.12} ± {accuracy:.1e}"
            ));
        }
    }

    fn merge(mut self, other: Self) -> Self {
        self.boards += other.boards;
        self.worst = self.worst.max(other.worst);
        self.by_solver += other.by_solver;
        self.worst_by_solver = self.worst_by_solver.max(other.worst_by_solver);
        self.nothing += other.nothing;
        self.refused += other.refused;
        self.other += other.other;
        self.slack = self.slack.max(other.slack);
        self.faults.extend(other.faults);
        self
    }

    fn verdict(&self, what: &str) {
        println!(
            "{what}: {} boards, worst {:.1e} of the thickness; {} within the solver's own accuracy only (worst {:.1e}); \
             nothing survives in {}; refused with a reason that the solver confirms {}; other stationary attitudes {}; \
             worst slack {:.1e}",
            self.boards,
            self.worst,
            self.by_solver,
            self.worst_by_solver,
            self.nothing,
            self.refused,
            self.other,
            self.slack
        );
        let shown: Vec<&String> = self.faults.iter().take(10).collect();
        assert!(
            self.faults.is_empty(),
            "{} disagreements: {shown:#?}",
            self.faults.len()
        );
    }
}

/// Runs the seeds on two threads.
fn over_boards(each: impl Fn(u64, &mut Tally) + Sync) -> Tally {
    let half = |from: u64| {
        let mut tally = Tally::default();
        for seed in (from..BOARDS).step_by(2) {
            tally.boards += 1;
            each(seed, &mut tally);
        }
        tally
    };
    std::thread::scope(|scope| {
        let other = scope.spawn(|| half(1));
        half(0).merge(other.join().unwrap())
    })
}

#[test]
fn shimmed_thickness_agrees() {
    let tally = over_boards(|seed, tally| {
        let random = board(seed);
        let own = own_frame(&random.up);
        let solved = widest_gap(&random.up, &random.down, &own);
        let what = format!("board {seed} ({})", random.kind);
        match flattened(&random.up, &random.down) {
            Ok(found) => {
                let ours = found.shimmed.thickness();
                tally.slack = tally.slack.max(found.slack / random.thickness);
                if ours == 0.0 {
                    tally.nothing += 1;
                }
                tally.compare(&what, ours, solved.value, solved.accuracy, random.thickness);
                assert!(
                    ours >= found.balanced.thickness() && ours >= found.as_laid.thickness(),
                    "{what}"
                );
                let held = |face| {
                    let points: Vec<Point> = found
                        .holding_points
                        .iter()
                        .filter(|h| h.face == face)
                        .map(|h| h.point)
                        .collect();
                    points
                };
                let (above, below) = (held(Face::Up), held(Face::Down));
                let most = if ours > 0.0 { 4 } else { 5 };
                if above.is_empty() || below.is_empty() || above.len() + below.len() > most {
                    tally
                        .faults
                        .push(format!("{what}: holding points {above:?} {below:?}"));
                } else {
                    let alone = widest_gap(&above, &below, &own);
                    tally.compare(
                        &format!("{what}, holding points"),
                        ours,
                        alone.value,
                        alone.accuracy,
                        random.thickness,
                    );
                }
            }
            Err(Unanswerable::Leaning(lean)) => {
                tally.refused += 1;
                let by_solver = degrees(solved.normal, own[2]);
                assert!(
                    by_solver > MOST_LEAN_DEGREES - 0.01,
                    "{what}: {lean} but the solver leans {by_solver}"
                );
            }
            Err(Unanswerable::Apart { along, .. }) => {
                tally.refused += 1;
                assert!(
                    apart(&random.up, &random.down, own[2], along),
                    "{what} is not apart"
                );
            }
            Err(reason) => tally.faults.push(format!("{what}: {reason:?}")),
        }
    });
    tally.verdict("shimmed");
}

/// The linear programme posed again in the frame of the plane that it found, until the planes no longer tilt.
fn posed_again(face: &[Point], start: Frame) -> (f64, f64) {
    let mut frame_now = start;
    let mut best = (f64::INFINITY, 0.0);
    for _ in 0..50 {
        let solved = vertical_zone(face, &frame_now);
        let done = best.0 - solved.value <= solved.accuracy;
        if solved.value < best.0 {
            best = (solved.value, solved.accuracy);
        }
        if done {
            break;
        }
        frame_now = frame(solved.normal);
    }
    best
}

#[test]
fn minimum_zones_agree() {
    let tally = over_boards(|seed, tally| {
        let random = board(seed);
        let own = own_frame(&random.up);
        let zone = minimum_zone(&random.up, own[2]).unwrap();
        // A row of readings stands for a strip across its line, here made by hand.
        let face = if random.kind == "row" {
            let beside = |dy: f64| random.up.iter().map(move |p| [p[0], p[1] + dy, p[2]]);
            beside(-100.0).chain(beside(100.0)).collect()
        } else {
            random.up
        };
        let (width, accuracy) = posed_again(&face, own);
        let bound = accuracy.max(AGREEMENT * random.thickness);
        if (zone.width - width).abs() <= bound {
            tally.compare(
                &format!("board {seed}"),
                zone.width,
                width,
                accuracy,
                random.thickness,
            );
            return;
        }
        // Another stationary attitude than ours: ours must be one too, and no wider.
        tally.other += 1;
        let ours = vertical_zone(&face, &frame(zone.normal));
        let what = format!("board {seed} ({}), other attitude {width:.9}", random.kind);
        tally.compare(
            &what,
            zone.width,
            ours.value,
            ours.accuracy,
            random.thickness,
        );
        if zone.width > width + bound {
            tally
                .faults
                .push(format!("{what}: ours is wider, {:.9}", zone.width));
        }
    });
    tally.verdict("minimum zone");
}
