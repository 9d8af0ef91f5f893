//! Invented boards to try the estimator on, and the estimator that is told each kind's law.
//!
//! A kind's law is a set of shapes with places, lengths and powers drawn at random, each times a normal amplitude.
//! The shapes are not the estimator's own: powers of the distance from an off-centre crown, rounded askew kinks, curls
//! that start somewhere, bell-shaped thin spots, sinusoidal saw marks, and waves made of bells on a jittered
//! lattice. Spreads are for a board of 2 m x 200 mm and grow as the geometry does.
#![allow(dead_code, unreachable_pub)]

use nalgebra::{DMatrix, DVector};
use outwind::board::Outline;
use outwind::readings::{Face, Point};
use outwind::surface::estimate::{Observation, Term};
use parry3d_f64::math::{Pose, Vector};
use parry3d_f64::query::gjk::{CsoPoint, GJKResult, VoronoiSimplex, closest_points};
use parry3d_f64::shape::SupportMap;

/// Random numbers of the simulator (SplitMix64), apart from the estimator's.
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x2545_F491_4F6C_DD1D) ^ 0x5DEE_CE66_D1CE_4E5B)
    }
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }
    pub fn uniform(&mut self, from: f64, to: f64) -> f64 {
        from + (to - from) * ((self.bits() >> 11) as f64 / (1u64 << 53) as f64)
    }
    pub fn below(&mut self, n: usize) -> usize {
        (self.bits() % n as u64) as usize
    }
    pub fn coin(&mut self) -> bool {
        self.bits() & (1 << 40) != 0
    }
    pub fn normal(&mut self) -> f64 {
        let r = (-2.0 * self.uniform(1e-300, 1.0).ln()).sqrt();
        r * (std::f64::consts::TAU * self.uniform(0.0, 1.0)).cos()
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    Smooth,
    Kinked,
    SBowed,
    Tapered,
    OneEnd,
    SawWaves,
    Slab,
}

pub const KINDS: [Kind; 7] = [
    Kind::Smooth,
    Kind::Kinked,
    Kind::SBowed,
    Kind::Tapered,
    Kind::OneEnd,
    Kind::SawWaves,
    Kind::Slab,
];

/// What a shape adds to the up and the down face at (x, y).
type Shape = Box<dyn Fn(f64, f64) -> [f64; 2]>;

/// A law: shapes, each with the standard deviation of its amplitude, and what is added for certain.
pub struct Law {
    terms: Vec<(f64, Shape)>,
    certain: Vec<Shape>,
}

/// A board drawn from a law.
pub struct Board {
    pub kind: Kind,
    pub outline: Outline,
    law: Law,
    amplitudes: Vec<f64>,
}

impl Board {
    /// A board of 1.2 to 2.6 m by 120 to 300 mm, a slab of 1.5 to 2.6 m by 400 to 800 mm.
    pub fn new(kind: Kind, dice: &mut Dice) -> Self {
        let (length, width) = if kind == Kind::Slab {
            (dice.uniform(1500.0, 2600.0), dice.uniform(400.0, 800.0))
        } else {
            (dice.uniform(1200.0, 2600.0), dice.uniform(120.0, 300.0))
        };
        Self::of_size(kind, length, width, dice)
    }

    pub fn of_size(kind: Kind, length: f64, width: f64, dice: &mut Dice) -> Self {
        let outline = Outline {
            x0: 0.0,
            y0: 0.0,
            length,
            width,
        };
        let law = Law::new(kind, length, width, dice);
        let mut amplitudes: Vec<f64> = law.terms.iter().map(|(sd, _)| sd * dice.normal()).collect();
        amplitudes[0] = dice.uniform(20.0, 70.0) - THICKNESS_MIDDLE;
        Self {
            kind,
            outline,
            law,
            amplitudes,
        }
    }

    pub fn faces(&self, x: f64, y: f64) -> [f64; 2] {
        let mut faces = [0.0; 2];
        for ((_, shape), amplitude) in self.law.terms.iter().zip(&self.amplitudes) {
            let at = shape(x, y);
            faces[0] += amplitude * at[0];
            faces[1] += amplitude * at[1];
        }
        for shape in &self.law.certain {
            let at = shape(x, y);
            faces[0] += at[0];
            faces[1] += at[1];
        }
        faces
    }

    /// What survives of the whole board, on a grid of at most `step` mm.
    pub fn survives(&self, step: f64) -> f64 {
        let Outline { length, width, .. } = self.outline;
        let (nx, ny) = (
            (length / step).ceil() as usize,
            (width / step).ceil() as usize,
        );
        let (mut up, mut down) = (Vec::new(), Vec::new());
        for i in 0..=nx {
            for j in 0..=ny {
                let (x, y) = (length * i as f64 / nx as f64, width * j as f64 / ny as f64);
                let z = self.faces(x, y);
                up.push([x, y, z[0]]);
                down.push([x, y, z[1]]);
            }
        }
        hull_distance(&up, &down)
    }

    /// A reading's true value.
    pub fn value(&self, terms: &[Term]) -> f64 {
        let face = |t: &Term| self.faces(t.x, t.y)[if t.face == Face::Up { 0 } else { 1 }];
        terms.iter().map(|t| t.weight * face(t)).sum()
    }
}

const THICKNESS_MIDDLE: f64 = 45.0;

/// The same height on both faces; the amount of a thickness, half on each face; one face alone.
const BOTH: [f64; 2] = [1.0, 1.0];
const THICK: [f64; 2] = [0.5, -0.5];

fn times(faces: [f64; 2], shape: impl Fn(f64, f64) -> f64 + 'static) -> Shape {
    Box::new(move |x, y| {
        let z = shape(x, y);
        [faces[0] * z, faces[1] * z]
    })
}

impl Law {
    /// A law of this kind with its places, lengths and powers drawn at random.
    pub fn new(kind: Kind, length: f64, width: f64, dice: &mut Dice) -> Self {
        let (l, w) = (length / 2000.0, width / 200.0);
        let u = move |x: f64| 2.0 * x / length - 1.0;
        let v = move |y: f64| 2.0 * y / width - 1.0;
        let mut terms: Vec<(f64, Shape)> = Vec::new();
        let mut certain: Vec<Shape> = Vec::new();
        // Thickness, and how the board lies over the datum.
        terms.push((15.0, times(THICK, |_, _| 1.0)));
        certain.push(times(THICK, |_, _| THICKNESS_MIDDLE));
        terms.push((15.0, times(BOTH, |_, _| 1.0)));
        terms.push((3.0, times(BOTH, move |x, _| u(x))));
        terms.push((2.0, times(BOTH, move |_, y| v(y))));
        // Bow, cup and twist: crowns off centre, of a power other than two.
        let share = match kind {
            Kind::Kinked | Kind::SBowed => 0.5,
            Kind::OneEnd => 0.35,
            _ => 1.0,
        };
        let (crown, power) = (dice.uniform(-0.25, 0.25), dice.uniform(1.7, 2.8));
        terms.push((
            4.0 * l * l * share,
            times(BOTH, move |x, _| {
                1.0 - ((u(x) - crown).abs() / (1.0 + crown.abs())).powf(power)
            }),
        ));
        let (crown, power) = (dice.uniform(-0.2, 0.2), dice.uniform(1.8, 2.6));
        let change = dice.uniform(-0.3, 0.3);
        terms.push((
            1.6 * w * w * share,
            times(BOTH, move |x, y| {
                (1.0 + change * u(x))
                    * (1.0 - ((v(y) - crown).abs() / (1.0 + crown.abs())).powf(power))
            }),
        ));
        let bend = dice.uniform(-0.25, 0.25);
        terms.push((
            7.0 / 4.0 * l * w * share,
            times(BOTH, move |x, y| {
                v(y) * (u(x) + bend * (u(x) * u(x) - 1.0) + 0.3 * bend * u(x).powi(3))
            }),
        ));
        // Local waves of the faces together, and of the thickness; a little taper.
        waves(&mut terms, BOTH, 0.45, length, width, dice);
        waves(&mut terms, THICK, 0.25, length, width, dice);
        let taper = if kind == Kind::Tapered { 1.2 } else { 0.3 };
        let rate = dice.uniform(0.6, 1.7);
        let thick = if dice.coin() { THICK } else { [0.0, -1.0] };
        terms.push((taper, times(thick, move |x, _| (x / length).powf(rate))));
        terms.push((taper / 4.0, times(thick, move |_, y| v(y))));
        match kind {
            Kind::Smooth | Kind::Slab => {}
            Kind::Kinked => {
                let at = dice.uniform(0.15, 0.85) * length;
                let (askew, round) = (dice.uniform(-0.4, 0.4), dice.uniform(1.0, 60.0));
                let hat = move |x: f64, y: f64| {
                    let k = at + askew * (y - width / 2.0);
                    let bend = |x: f64| ((x - k).powi(2) + round * round).sqrt();
                    let line = bend(0.0) + (bend(length) - bend(0.0)) * x / length;
                    (line - bend(x)) * length / (2.0 * at * (length - at))
                };
                terms.push((5.0 * l * l, times(BOTH, hat)));
            }
            Kind::SBowed => {
                // Two arcs, one crowned and one hollow, that meet in one slope somewhere near the middle.
                let (meet, power) = (dice.uniform(0.4, 0.6), dice.uniform(1.8, 2.4));
                let arc = move |a: f64| 1.0 - (2.0 * a - 1.0).abs().powf(power);
                terms.push((
                    3.0 * l * l,
                    times(BOTH, move |x, _| {
                        let a = x / length;
                        if a < meet {
                            arc(a / meet)
                        } else {
                            -arc((a - meet) / (1.0 - meet)) * (1.0 - meet) / meet
                        }
                    }),
                ));
            }
            Kind::Tapered => {
                for _ in 0..=dice.below(2) {
                    let (x1, y1) = (dice.uniform(0.0, length), dice.uniform(0.0, width));
                    let (rx, ry) = (dice.uniform(60.0, 250.0), dice.uniform(0.2, 0.6) * width);
                    let (depth, power) = (dice.uniform(0.5, 2.0), dice.uniform(1.0, 2.0));
                    let face = if dice.coin() {
                        [-depth, 0.0]
                    } else {
                        [0.0, depth]
                    };
                    certain.push(times(face, move |x, y| {
                        (-(0.5 * (((x - x1) / rx).powi(2) + ((y - y1) / ry).powi(2))).powf(power))
                            .exp()
                    }));
                }
            }
            Kind::OneEnd => {
                let (start, flip) = (dice.uniform(0.45, 0.85), dice.coin());
                let (power, twist) = (dice.uniform(1.2, 3.0), dice.uniform(1.0, 2.5));
                let ramp = move |x: f64| {
                    let a = if flip { 1.0 - x / length } else { x / length };
                    ((a - start) / (1.0 - start)).max(0.0)
                };
                terms.push((5.0 * l * l, times(BOTH, move |x, _| ramp(x).powf(power))));
                terms.push((
                    2.0 * l * w,
                    times(BOTH, move |x, y| v(y) * ramp(x).powf(twist)),
                ));
                terms.push((0.8 * w * w, times(BOTH, move |x, y| v(y) * v(y) * ramp(x))));
            }
            Kind::SawWaves => {
                for face in [[1.0, 0.0], [0.0, 1.0]] {
                    let (wave, askew) = (dice.uniform(70.0, 400.0), dice.uniform(-0.5, 0.5));
                    let phase =
                        move |x: f64, y: f64| std::f64::consts::TAU * (x + askew * y) / wave;
                    terms.push((0.2, times(face, move |x, y| phase(x, y).sin())));
                    terms.push((0.2, times(face, move |x, y| phase(x, y).cos())));
                }
            }
        }
        Self { terms, certain }
    }
}

/// Waves of standard deviation `sd` over about half a metre: bells on a jittered lattice.
fn waves(
    terms: &mut Vec<(f64, Shape)>,
    faces: [f64; 2],
    sd: f64,
    length: f64,
    width: f64,
    dice: &mut Dice,
) {
    let reach = dice.uniform(250.0, 550.0) / std::f64::consts::SQRT_2;
    let step = reach;
    let (x0, y0) = (
        dice.uniform(-1.0, 0.0) * step,
        dice.uniform(-1.0, 0.0) * step,
    );
    // The sum of squares of unit bells on the lattice is near pi (reach / step)^2.
    let sd = sd / (std::f64::consts::PI).sqrt();
    let margin = 2.0 * reach;
    let mut x = x0 - margin;
    while x < length + margin {
        let mut y = y0 - margin;
        while y < width + margin {
            let (cx, cy) = (
                x + dice.uniform(-0.2, 0.2) * step,
                y + dice.uniform(-0.2, 0.2) * step,
            );
            terms.push((
                sd,
                times(faces, move |x, y| {
                    (-0.5 * ((x - cx).powi(2) + (y - cy).powi(2)) / (reach * reach)).exp()
                }),
            ));
            y += step;
        }
        x += step;
    }
}

// ---------------------------------------------------------------- readings

/// One sixty-fourth of an inch.
pub const SIXTY_FOURTH: f64 = 25.4 / 64.0;

/// The reading's error with the rounding: sqrt(sd^2 + step^2 / 12).
pub fn with_rounding(sd: f64) -> f64 {
    (sd * sd + SIXTY_FOURTH * SIXTY_FOURTH / 12.0).sqrt()
}

fn read(board: &Board, terms: Vec<Term>, sd: f64, dice: &mut Dice) -> Observation {
    let value = board.value(&terms) + sd * dice.normal();
    let value = (value / SIXTY_FOURTH).round() * SIXTY_FOURTH;
    Observation {
        terms,
        setup: Vec::new(),
        value,
        sd: with_rounding(sd),
    }
}

/// Places from edge to edge, the outer ones set in by up to 20 mm.
fn places(extent: f64, count: usize, dice: &mut Dice) -> Vec<f64> {
    let inset = if dice.coin() {
        0.0
    } else {
        dice.uniform(0.0, 20.0)
    };
    (0..count)
        .map(|i| inset + (extent - 2.0 * inset) * i as f64 / (count - 1) as f64)
        .collect()
}

/// A grid of heights of the up face, station by station, and calipers at both edges of every station.
pub fn grid_survey(
    board: &Board,
    nx: usize,
    ny: usize,
    noise: f64,
    dice: &mut Dice,
) -> Vec<Observation> {
    let (xs, ys) = (
        places(board.outline.length, nx, dice),
        places(board.outline.width, ny, dice),
    );
    let mut survey = Vec::new();
    for &x in &xs {
        for &y in &ys {
            survey.push(read(
                board,
                vec![Term {
                    face: Face::Up,
                    x,
                    y,
                    weight: 1.0,
                }],
                0.3 * noise,
                dice,
            ));
        }
    }
    for &x in &xs {
        for y in [0.0, board.outline.width] {
            survey.push(read(board, caliper(x, y), 0.15 * noise, dice));
        }
    }
    survey
}

/// The terms of a thickness.
pub fn caliper(x: f64, y: f64) -> Vec<Term> {
    vec![
        Term {
            face: Face::Up,
            x,
            y,
            weight: 1.0,
        },
        Term {
            face: Face::Down,
            x,
            y,
            weight: -1.0,
        },
    ]
}

/// Straightedge gaps and winding sticks on the up face, and calipers at both edges of seven stations: along three lines
/// the gap at five places under an edge that spans the board; across seven stations the gap in the
/// middle; winding sticks between the first station and each other.
pub fn sticks_survey(board: &Board, dice: &mut Dice) -> Vec<Observation> {
    let Outline { length, width, .. } = board.outline;
    let xs = places(length, 7, dice);
    let up = |x: f64, y: f64, weight: f64| Term {
        face: Face::Up,
        x,
        y,
        weight,
    };
    let mut survey = Vec::new();
    for y in [0.0, width / 2.0, width] {
        for &x in &xs[1..6] {
            let a = (x - xs[0]) / (xs[6] - xs[0]);
            let gap = vec![up(xs[0], y, 1.0 - a), up(xs[6], y, a), up(x, y, -1.0)];
            survey.push(read(board, gap, 0.3, dice));
        }
    }
    for &x in &xs {
        let gap = vec![up(x, 0.0, 0.5), up(x, width, 0.5), up(x, width / 2.0, -1.0)];
        survey.push(read(board, gap, 0.3, dice));
    }
    for &x in &xs[1..] {
        let wind = vec![
            up(x, width, 1.0),
            up(x, 0.0, -1.0),
            up(xs[0], width, -1.0),
            up(xs[0], 0.0, 1.0),
        ];
        survey.push(read(board, wind, 0.3, dice));
    }
    for &x in &xs {
        for y in [0.0, width] {
            survey.push(read(board, caliper(x, y), 0.15, dice));
        }
    }
    survey
}

// ---------------------------------------------------------------- hull distance

struct Cloud<'a>(&'a [Point]);

impl SupportMap for Cloud<'_> {
    fn local_support_point(&self, dir: Vector) -> Vector {
        let (mut best, mut far) = (f64::NEG_INFINITY, [0.0; 3]);
        for p in self.0 {
            let along = p[0] * dir.x + p[1] * dir.y + p[2] * dir.z;
            if along > best {
                (best, far) = (along, *p);
            }
        }
        Vector::new(far[0], far[1], far[2])
    }
}

/// Distance between the convex hulls of both faces: what survives of the board. 0 where they meet.
pub fn hull_distance(up: &[Point], down: &[Point]) -> f64 {
    let (up, down, pose) = (Cloud(up), Cloud(down), Pose::IDENTITY);
    let mut simplex = VoronoiSimplex::new();
    simplex.reset(CsoPoint::from_shapes(
        &pose,
        &up,
        &down,
        Vector::new(0.0, 0.0, -1.0),
    ));
    match closest_points(&pose, &up, &down, f64::MAX, true, &mut simplex) {
        GJKResult::ClosestPoints(a, b, _) => (a - b).length(),
        _ => 0.0,
    }
}

// ---------------------------------------------------------------- the estimator that is told the law

/// The kinds that a board of this width may be.
pub fn kinds_of(width: f64) -> &'static [Kind] {
    if width > 350.0 {
        &[Kind::Slab]
    } else {
        &KINDS[..6]
    }
}

/// Draws of what survives from the posterior under the laws of `kinds`: that many laws of each drawn at random, weighed by
/// the likelihood of the readings, amplitudes exact given the law.
pub fn told(
    board: &Board,
    kinds: &[Kind],
    survey: &[Observation],
    laws: usize,
    draws: usize,
    dice: &mut Dice,
) -> Vec<f64> {
    let Outline { length, width, .. } = board.outline;
    let n = survey.len();
    let fit = |law: &Law| {
        let design = DMatrix::from_fn(n, law.terms.len(), |i, j| {
            let (sd, shape) = &law.terms[j];
            sd * reading_of(&survey[i], shape)
        });
        let residual = DVector::from_fn(n, |i, _| {
            survey[i].value
                - law
                    .certain
                    .iter()
                    .map(|shape| reading_of(&survey[i], shape))
                    .sum::<f64>()
        });
        let noise = DMatrix::from_diagonal(&DVector::from_fn(n, |i, _| survey[i].sd.powi(2)));
        let cholesky = (&design * design.transpose() + noise)
            .cholesky()
            .expect("positive definite");
        (design, residual, cholesky)
    };
    let seeds: Vec<(Kind, u64)> = (0..laws)
        .flat_map(|_| kinds)
        .map(|&kind| (kind, dice.bits()))
        .collect();
    let weights: Vec<f64> = seeds
        .iter()
        .map(|&(kind, seed)| {
            let (_, residual, cholesky) = fit(&Law::new(kind, length, width, &mut Dice::new(seed)));
            let solved = cholesky.solve(&residual);
            -0.5 * residual.dot(&solved)
                - cholesky.l().diagonal().iter().map(|d| d.ln()).sum::<f64>()
        })
        .collect();
    let top = weights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let weights: Vec<f64> = weights.iter().map(|w| (w - top).exp()).collect();
    let total: f64 = weights.iter().sum();
    let (mut before, mut done, mut thick) = (0.0, 0, Vec::new());
    for (&(kind, seed), weight) in seeds.iter().zip(&weights) {
        before += weight / total * draws as f64;
        let here = (before.round() as usize).min(draws).saturating_sub(done);
        if here == 0 {
            continue;
        }
        done += here;
        let law = Law::new(kind, length, width, &mut Dice::new(seed));
        let (design, residual, cholesky) = fit(&law);
        let [along, across] = [(length, 40.0), (width, 25.0)]
            .map(|(extent, apart): (f64, f64)| (extent / apart).ceil().max(8.0) as u32);
        let grid: Vec<[f64; 2]> = (0..=along)
            .flat_map(|i| {
                let x = length * f64::from(i) / f64::from(along);
                (0..=across).map(move |j| [x, width * f64::from(j) / f64::from(across)])
            })
            .collect();
        let shapes: Vec<Vec<[f64; 2]>> = law
            .terms
            .iter()
            .map(|(sd, s)| grid.iter().map(|p| s(p[0], p[1]).map(|z| z * sd)).collect())
            .collect();
        let certain: Vec<Vec<[f64; 2]>> = law
            .certain
            .iter()
            .map(|s| grid.iter().map(|p| s(p[0], p[1])).collect())
            .collect();
        for _ in 0..here {
            let prior = DVector::from_fn(law.terms.len(), |_, _| dice.normal());
            let error = DVector::from_fn(n, |i, _| survey[i].sd * dice.normal());
            let amplitudes = &prior
                + design.transpose() * cholesky.solve(&(&residual - &design * &prior - error));
            let (mut up, mut down) = (Vec::new(), Vec::new());
            for (k, p) in grid.iter().enumerate() {
                let mut z = [0.0; 2];
                for (shape, a) in shapes.iter().zip(amplitudes.iter()) {
                    z[0] += a * shape[k][0];
                    z[1] += a * shape[k][1];
                }
                for shape in &certain {
                    z[0] += shape[k][0];
                    z[1] += shape[k][1];
                }
                up.push([p[0], p[1], z[0]]);
                down.push([p[0], p[1], z[1]]);
            }
            thick.push(hull_distance(&up, &down));
        }
    }
    thick
}

fn reading_of(observation: &Observation, shape: &Shape) -> f64 {
    let face = |t: &Term| shape(t.x, t.y)[if t.face == Face::Up { 0 } else { 1 }];
    observation.terms.iter().map(|t| t.weight * face(t)).sum()
}

/// Quantile of sorted values by linear interpolation.
pub fn quantile(sorted: &[f64], p: f64) -> f64 {
    let at = p * (sorted.len() - 1) as f64;
    let (low, part) = (at.floor() as usize, at.fract());
    sorted[low] + part * (sorted[(low + 1).min(sorted.len() - 1)] - sorted[low])
}
