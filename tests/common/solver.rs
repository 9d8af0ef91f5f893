//! The same questions put to Clarabel, a general-purpose interior-point solver for convex problems
//! (P. Goulart and Y. Chen, 2024).
#![allow(dead_code, unreachable_pub)]

use clarabel::algebra::CscMatrix;
use clarabel::solver::SupportedConeT::{NonnegativeConeT, SecondOrderConeT};
use clarabel::solver::{DefaultSettings, DefaultSolver, IPSolver, SupportedConeT};
use outwind::readings::Point;

/// What the solver found.
pub struct Solved {
    /// The optimum, mm.
    pub value: f64,
    /// How far the solver itself says that may be off: duality gap and residuals, mm.
    pub accuracy: f64,
    /// The normal found, in the frame of the points, not of unit length.
    pub normal: [f64; 3],
}

/// Three axes at right angles, the third along a normal.
pub type Frame = [[f64; 3]; 3];

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

pub fn unit(a: [f64; 3]) -> [f64; 3] {
    let length = dot(a, a).sqrt();
    a.map(|c| c / length)
}

/// A frame whose third axis is the normal.
pub fn frame(normal: [f64; 3]) -> Frame {
    let z = unit(normal);
    let x = unit(cross([0.0, 1.0, 0.0], z));
    [x, cross(z, x), z]
}

pub fn seen_in(frame: &Frame, point: [f64; 3]) -> [f64; 3] {
    frame.map(|axis| dot(axis, point))
}

pub fn seen_from(frame: &Frame, v: [f64; 3]) -> [f64; 3] {
    [0, 1, 2].map(|i| (0..3).map(|k| frame[k][i] * v[k]).sum())
}

/// Points in a frame, about their middle, scaled to numbers near one: `wide` mm along the plane, `high` mm across it.
/// A rotation and two scalings change no optimum, and the solver sees a well-scaled problem.
struct Scaled {
    wide: f64,
    high: f64,
    sets: Vec<Vec<[f64; 3]>>,
}

impl Scaled {
    fn new(frame: &Frame, sets: &[&[Point]]) -> Self {
        let first = sets[0][0];
        let moved: Vec<Vec<[f64; 3]>> = sets
            .iter()
            .map(|set| {
                set.iter()
                    .map(|p| seen_in(frame, [p[0] - first[0], p[1] - first[1], p[2] - first[2]]))
                    .collect()
            })
            .collect();
        let all = || moved.iter().flatten();
        let low = [0, 1, 2].map(|k| all().map(|p| p[k]).fold(f64::INFINITY, f64::min));
        let top = [0, 1, 2].map(|k| all().map(|p| p[k]).fold(f64::NEG_INFINITY, f64::max));
        let span = [0, 1, 2].map(|k| top[k] - low[k]);
        let some = |s: f64| if s > 0.0 { s } else { 1.0 };
        let (wide, high) = (some(span[0].max(span[1])), some(span[2]));
        let sets = moved
            .iter()
            .map(|set| {
                set.iter()
                    .map(|p| {
                        let c = [0, 1, 2].map(|k| p[k] - (low[k] + top[k]) / 2.0);
                        [c[0] / wide, c[1] / wide, c[2] / high]
                    })
                    .collect()
            })
            .collect();
        Self { wide, high, sets }
    }
}

/// Rows of a sparse matrix, gathered by row.
#[derive(Default)]
struct Rows {
    rows: Vec<Vec<(usize, f64)>>,
    right: Vec<f64>,
}

impl Rows {
    fn push(&mut self, row: Vec<(usize, f64)>, right: f64) {
        self.rows.push(row);
        self.right.push(right);
    }

    fn matrix(&self, columns: usize) -> CscMatrix<f64> {
        let mut by_column: Vec<Vec<(usize, f64)>> = vec![Vec::new(); columns];
        for (i, row) in self.rows.iter().enumerate() {
            for &(j, value) in row {
                by_column[j].push((i, value));
            }
        }
        let (mut starts, mut indices, mut values) = (vec![0], Vec::new(), Vec::new());
        for column in by_column {
            for (i, value) in column {
                indices.push(i);
                values.push(value);
            }
            starts.push(indices.len());
        }
        CscMatrix::new(self.rows.len(), columns, starts, indices, values)
    }
}

/// Tolerances to ask for, and whether to scale the rows, one after the other.
type Attempts = [(f64, bool)];

/// As near as the solver comes.
const TIGHT: &Attempts = &[
    (1e-13, true),
    (1e-13, false),
    (1e-10, true),
    (1e-10, false),
    (1e-8, false),
];

/// What it asks for by itself.
pub const USUAL: &Attempts = &[(1e-8, true)];

/// Minimises `cost · x`; the solution, the optimum's two bounds and the residuals. Where the tightest tolerance is more
/// than the solver's arithmetic takes, and it ends without a number, it is asked again without scaling the rows, then with a looser one.
fn solve(
    cost: &[f64],
    rows: &Rows,
    cones: &[SupportedConeT<f64>],
    attempts: &Attempts,
) -> (Vec<f64>, f64, f64) {
    let p = CscMatrix::zeros((cost.len(), cost.len()));
    for &(tolerance, equilibrated) in attempts {
        let settings = DefaultSettings {
            verbose: false,
            max_iter: 500,
            equilibrate_enable: equilibrated,
            tol_gap_abs: tolerance,
            tol_gap_rel: tolerance,
            tol_feas: tolerance,
            ..DefaultSettings::default()
        };
        let mut solver = DefaultSolver::new(
            &p,
            cost,
            &rows.matrix(cost.len()),
            &rows.right,
            cones,
            settings,
        )
        .expect("the problem is well formed");
        solver.solve();
        let s = &solver.solution;
        let accuracy = (s.obj_val - s.obj_val_dual).abs() + s.r_prim + s.r_dual;
        if accuracy.is_finite() {
            return (s.x.clone(), s.obj_val, accuracy);
        }
    }
    panic!("the solver found no number at any tolerance");
}

/// The maximum-margin problem: maximise a − b with n·up ≥ a, n·down ≤ b, |n| ≤ 1. `frame` is near the answer.
pub fn widest_gap(up: &[Point], down: &[Point], frame: &Frame) -> Solved {
    widest_gap_within(up, down, frame, TIGHT)
}

/// The same, asked for in the given ways.
pub fn widest_gap_within(
    up: &[Point],
    down: &[Point],
    frame: &Frame,
    attempts: &Attempts,
) -> Solved {
    let scaled = Scaled::new(frame, &[up, down]);
    let mut rows = Rows::default();
    for p in &scaled.sets[0] {
        rows.push(vec![(0, -p[0]), (1, -p[1]), (2, -p[2]), (3, 1.0)], 0.0);
    }
    for p in &scaled.sets[1] {
        rows.push(vec![(0, p[0]), (1, p[1]), (2, p[2]), (4, -1.0)], 0.0);
    }
    // In scaled numbers n is (x high / wide, y high / wide, z): the cone takes that back.
    let flat = scaled.high / scaled.wide;
    rows.push(vec![], 1.0);
    for (k, scale) in [flat, flat, 1.0].into_iter().enumerate() {
        rows.push(vec![(k, -scale)], 0.0);
    }
    let cones = [NonnegativeConeT(up.len() + down.len()), SecondOrderConeT(4)];
    let (x, value, accuracy) = solve(&[0.0, 0.0, 0.0, -1.0, 1.0], &rows, &cones, attempts);
    Solved {
        value: -value * scaled.high,
        accuracy: accuracy * scaled.high,
        normal: seen_from(frame, [x[0] * flat, x[1] * flat, x[2]]),
    }
}

/// The closest planes z = a x + b y + c ± h/2 of a frame that hold a face, h measured along its third axis: a linear
/// programme. The normal is the planes'.
pub fn vertical_zone(face: &[Point], frame: &Frame) -> Solved {
    vertical_zone_within(face, frame, TIGHT)
}

/// The same, asked for in the given ways.
pub fn vertical_zone_within(face: &[Point], frame: &Frame, attempts: &Attempts) -> Solved {
    let scaled = Scaled::new(frame, &[face]);
    let mut rows = Rows::default();
    for p in &scaled.sets[0] {
        rows.push(vec![(0, -p[0]), (1, -p[1]), (2, -1.0), (3, -0.5)], -p[2]);
        rows.push(vec![(0, p[0]), (1, p[1]), (2, 1.0), (3, -0.5)], p[2]);
    }
    let cones = [NonnegativeConeT(2 * face.len())];
    let (x, value, accuracy) = solve(&[0.0, 0.0, 0.0, 1.0], &rows, &cones, attempts);
    let slope = scaled.high / scaled.wide;
    Solved {
        value: value * scaled.high,
        accuracy: accuracy * scaled.high,
        normal: seen_from(frame, [-x[0] * slope, -x[1] * slope, 1.0]),
    }
}
