//! The outside judge: Clarabel, an interior-point solver for cone programmes (P. Goulart and Y. Chen, 2024).
//!
//! Points are seen from their middle, in a frame turned to the board's own normal with its first axis along the
//! longest reach, and each axis is divided by its own reach, so that all numbers are about one. Neither changes
//! the problem: lengths stay lengths, and the cone `|n| ≤ 1` becomes an ellipsoid with known axes.
//!
//! An interior-point solver stops near the optimum. How near is not taken on trust: its normal, made a unit vector,
//! gives a gap that is certainly there, and its multipliers, made weights that add to one, two points of the hulls
//! that are certainly no further apart. Between the two lies the truth.

use clarabel::algebra::CscMatrix;
use clarabel::solver::{
    DefaultSettings, DefaultSettingsBuilder, DefaultSolution, DefaultSolver, IPSolver,
    SupportedConeT,
};
use outwind::readings::Point;

use super::middle;
use super::vector::{add, cross, dot, length, range, scaled, sub, unit};

/// What the solver proves.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bracket {
    pub(crate) lower: f64,
    pub(crate) upper: f64,
    /// The attitude that it found, a unit vector.
    pub(crate) normal: Point,
}

impl Bracket {
    pub(crate) fn accuracy(&self) -> f64 {
        self.upper - self.lower
    }

    /// How far a value lies outside what is proven.
    pub(crate) fn outside(&self, value: f64) -> f64 {
        (self.lower - value).max(value - self.upper).max(0.0)
    }
}

/// The frame and the scales in which a problem is posed.
struct Frame {
    origin: Point,
    axes: [Point; 3],
    reach: [f64; 3],
    /// Whether the points lie over one line.
    row: bool,
}

impl Frame {
    fn new(faces: &[&[Point]], normal: Point) -> Self {
        let origin = middle(faces);
        let normal = unit(normal);
        let aside = |p: &Point| {
            let from = sub(*p, origin);
            sub(from, scaled(normal, dot(from, normal)))
        };
        let longest = faces
            .iter()
            .copied()
            .flatten()
            .map(aside)
            .max_by(|a, b| length(*a).total_cmp(&length(*b)))
            .unwrap();
        let along = if length(longest) > 1e-6 {
            unit(longest)
        } else {
            let least = if normal[0].abs() < 0.8 {
                [1.0, 0.0, 0.0]
            } else {
                [0.0, 1.0, 0.0]
            };
            unit(cross(normal, least))
        };
        let axes = [along, unit(cross(normal, along)), normal];
        let reach = axes.map(|axis| {
            faces
                .iter()
                .map(|face| {
                    let (low, high) = range(face, axis);
                    let level = dot(origin, axis);
                    (high - level).max(level - low)
                })
                .fold(0.0, f64::max)
        });
        let floor = 1e-3 * reach[0].max(reach[1]).max(reach[2]).max(1e-3);
        Self {
            origin,
            axes,
            row: reach[1] < 1e-9 * reach[0],
            reach: reach.map(|r| r.max(floor)),
        }
    }

    fn inside(&self, point: Point) -> Point {
        let from = sub(point, self.origin);
        [0, 1, 2].map(|k| dot(from, self.axes[k]) / self.reach[k])
    }

    /// The direction of a plane whose levels are `m` over the scaled coordinates.
    fn direction(&self, m: [f64; 3]) -> Point {
        [0, 1, 2].iter().fold([0.0; 3], |sum, &k| {
            add(sum, scaled(self.axes[k], m[k] / self.reach[k]))
        })
    }
}

/// The tolerance that the checks ask for.
const TIGHT: f64 = 1e-13;

/// The tolerance that the solver asks for by itself.
pub(crate) const USUAL: f64 = 1e-8;

fn settings(tolerance: f64) -> DefaultSettings<f64> {
    DefaultSettingsBuilder::default()
        .verbose(false)
        .tol_gap_abs(tolerance)
        .tol_gap_rel(tolerance)
        .tol_feas(tolerance)
        .tol_ktratio(1e-10)
        .equilibrate_enable(false)
        .static_regularization_constant(1e-10)
        .build()
        .unwrap()
}

fn solve(
    objective: &[f64],
    rows: &[Vec<f64>],
    right: &[f64],
    cones: &[SupportedConeT<f64>],
    tolerance: f64,
) -> DefaultSolution<f64> {
    let columns = objective.len();
    let mut starts = vec![0];
    let (mut places, mut values) = (Vec::new(), Vec::new());
    for k in 0..columns {
        for (i, row) in rows.iter().enumerate() {
            if row[k] != 0.0 {
                places.push(i);
                values.push(row[k]);
            }
        }
        starts.push(places.len());
    }
    let matrix = CscMatrix::new(rows.len(), columns, starts, places, values);
    let none = CscMatrix::zeros((columns, columns));
    let mut solver =
        DefaultSolver::new(&none, objective, &matrix, right, cones, settings(tolerance)).unwrap();
    solver.solve();
    solver.solution
}

/// The widest gap: maximise a − b over n, a, b with n·u ≥ a for every point of the up face, n·d ≤ b for every point of
/// the down face, |n| ≤ 1. Where nothing keeps the faces apart the optimum is 0, at n = 0.
///
/// Posed up to nine times, each in the frame of the attitude found before; every pass proves what it proves, so the
/// best ends of all count.
pub(crate) fn widest_gap(up: &[Point], down: &[Point], normal: Point) -> Bracket {
    let mut best = gap_seen_along(up, down, normal, TIGHT);
    for _ in 0..8 {
        if best.lower <= 0.0 || best.accuracy() < 1e-11 * best.upper {
            break;
        }
        let next = gap_seen_along(up, down, best.normal, TIGHT);
        best.upper = best.upper.min(next.upper);
        if next.lower > best.lower {
            best = Bracket {
                upper: best.upper,
                ..next
            };
        }
    }
    best
}

/// One pass of it, in the frame of `normal`.
pub(crate) fn gap_seen_along(
    up: &[Point],
    down: &[Point],
    normal: Point,
    tolerance: f64,
) -> Bracket {
    let frame = Frame::new(&[up, down], normal);
    // Unknowns: the levels m of the plane over the scaled coordinates, in units of the third reach; a; b.
    let unit_of = frame.reach[2];
    let mut rows: Vec<Vec<f64>> = Vec::new();
    for &p in up {
        let [x, y, z] = frame.inside(p);
        rows.push(vec![-x, -y, -z, 1.0, 0.0]);
    }
    for &p in down {
        let [x, y, z] = frame.inside(p);
        rows.push(vec![x, y, z, 0.0, -1.0]);
    }
    let mut right = vec![0.0; rows.len()];
    rows.push(vec![0.0; 5]);
    right.push(1.0);
    for k in 0..3 {
        let mut row = vec![0.0; 5];
        row[k] = -unit_of / frame.reach[k];
        rows.push(row);
        right.push(0.0);
    }
    let cones = [
        SupportedConeT::NonnegativeConeT(up.len() + down.len()),
        SupportedConeT::SecondOrderConeT(4),
    ];
    let found = solve(
        &[0.0, 0.0, 0.0, -1.0, 1.0],
        &rows,
        &right,
        &cones,
        tolerance,
    );

    let direction = frame.direction([found.x[0], found.x[1], found.x[2]]);
    let size = length(direction);
    let normal = if size > 0.0 {
        scaled(direction, 1.0 / size)
    } else {
        frame.axes[2]
    };
    let from = |points: &[Point]| {
        points
            .iter()
            .map(|&p| sub(p, frame.origin))
            .collect::<Vec<_>>()
    };
    let (up_from, down_from) = (from(up), from(down));
    let lower = (range(&up_from, normal).0 - range(&down_from, normal).1).max(0.0);
    let blend = |points: &[Point], weights: &[f64]| {
        let sum: f64 = weights.iter().map(|w| w.max(0.0)).sum();
        points
            .iter()
            .zip(weights)
            .fold([0.0; 3], |at, (p, w)| add(at, scaled(*p, w.max(0.0) / sum)))
    };
    let upper = length(sub(
        blend(&up_from, &found.z[..up.len()]),
        blend(&down_from, &found.z[up.len()..up.len() + down.len()]),
    ));
    Bracket {
        lower,
        upper,
        normal,
    }
}

/// The steepest slope of the planes sought.
const STEEPEST: f64 = 0.2;

/// The closest planes measured along `normal`: minimise h over a, b, c with |z − a x − b y − c| ≤ h/2, |a| and |b| at
/// most `STEEPEST`, in the frame of the normal. Points over one line leave the slope across it free: it is none. The
/// bracket is of h; its normal that of the planes found.
///
/// The lower end is what the multipliers, made weights of the touching points, prove for every tilt well beyond the
/// one found; as h is convex in the tilt, none further off is better. Where a slope is at its bound they prove little.
pub(crate) fn closest_planes(face: &[Point], normal: Point) -> Bracket {
    closest_planes_within(face, normal, TIGHT)
}

/// As [`closest_planes`], as closely as asked.
pub(crate) fn closest_planes_within(face: &[Point], normal: Point, tolerance: f64) -> Bracket {
    let frame = Frame::new(&[face], normal);
    let inside: Vec<Point> = face.iter().map(|&p| frame.inside(p)).collect();
    let mut rows: Vec<Vec<f64>> = Vec::new();
    let mut right = Vec::new();
    let across = if frame.row { 0.0 } else { 1.0 };
    for sign in [1.0, -1.0] {
        for &[x, y, z] in &inside {
            rows.push(vec![-sign * x, -sign * y * across, -sign, -0.5]);
            right.push(-sign * z);
        }
    }
    for k in 0..2 {
        for sign in [1.0, -1.0] {
            let mut row = vec![0.0; 4];
            row[k] = sign;
            rows.push(row);
            right.push(STEEPEST * frame.reach[k] / frame.reach[2]);
        }
    }
    let cones = [SupportedConeT::NonnegativeConeT(rows.len())];
    let found = solve(&[0.0, 0.0, 0.0, 1.0], &rows, &right, &cones, tolerance);

    let (a, b) = (found.x[0], found.x[1]);
    let (low, high) = range(&inside, [-a, -b, 1.0]);
    let (over, under) = found.z[..2 * face.len()].split_at(face.len());
    let blend = |weights: &[f64]| {
        let sum: f64 = weights.iter().map(|w| w.max(0.0)).sum();
        inside
            .iter()
            .zip(weights)
            .fold([0.0; 3], |at, (p, w)| add(at, scaled(*p, w.max(0.0) / sum)))
    };
    let apart = sub(blend(over), blend(under));
    let slip = |k: usize, tilt: f64| apart[k].abs() * (1.0 + 2.0 * tilt.abs());
    let proven = apart[2] - slip(0, a) - slip(1, b);
    Bracket {
        lower: proven * frame.reach[2],
        upper: (high - low) * frame.reach[2],
        normal: unit(frame.direction([-a, -b, 1.0])),
    }
}
