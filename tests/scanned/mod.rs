//! Simulated boards with rough faces, as a sensor sees them.
#![allow(dead_code, unreachable_pub)]

use outwind::board::{Board, Down, Particulars, ReadingErrors};
use outwind::flatten::Question;
use outwind::readings::Point;

use super::simulator::{self, Dice, Kind, hull_distance, quantile};

/// How the points lie.
#[derive(Clone, Copy, PartialEq)]
pub enum Pattern {
    /// Anywhere.
    Scattered,
    /// Along lines across the board, points and lines as far apart.
    Raster,
}

/// The roughness of a face: saw marks and fuzz.
pub struct Rough {
    depth: f64,
    pitch: f64,
    askew: f64,
    cusped: bool,
    fuzz: f64,
    reach: f64,
    seed: u64,
}

impl Rough {
    fn new(dice: &mut Dice) -> Self {
        Self {
            depth: dice.uniform(0.2, 0.5),
            pitch: dice.uniform(3.0, 6.0),
            askew: dice.uniform(-0.2, 0.2),
            cusped: dice.coin(),
            fuzz: dice.uniform(0.02, 0.06),
            reach: dice.uniform(0.8, 2.5),
            seed: dice.bits(),
        }
    }

    /// Out of the wood, mean nought.
    pub fn at(&self, x: f64, y: f64) -> f64 {
        let turn = (x + self.askew * y) / self.pitch;
        let marks = if self.cusped {
            let t = 2.0 * (turn - turn.floor()) - 1.0;
            t * t - 1.0 / 3.0
        } else {
            0.5 * (std::f64::consts::TAU * turn).cos()
        };
        self.depth * marks + self.fuzz * self.wool(x / self.reach, y / self.reach)
    }

    /// Even numbers at a lattice's crossings, of standard deviation 1, joined smoothly.
    fn wool(&self, x: f64, y: f64) -> f64 {
        let (i, j) = (x.floor(), y.floor());
        let smooth = |t: f64| t * t * (3.0 - 2.0 * t);
        let (s, t) = (smooth(x - i), smooth(y - j));
        let at = |i: f64, j: f64| {
            let key = (i as i64 as u64).wrapping_mul(0x9E37_79B9) ^ ((j as i64 as u64) << 32);
            Dice::new(self.seed ^ key).uniform(-1.732, 1.732)
        };
        let near = at(i, j) * (1.0 - s) + at(i + 1.0, j) * s;
        let far = at(i, j + 1.0) * (1.0 - s) + at(i + 1.0, j + 1.0) * s;
        // Between the crossings the mean of several varies less.
        1.4 * (near * (1.0 - t) + far * t)
    }
}

/// A board with the sensor that reads it.
pub struct Scanned {
    pub length: f64,
    pub width: f64,
    rows: usize,
    columns: usize,
    heights: [Vec<f64>; 2],
    pub rough: [Rough; 2],
    pub noise: f64,
    seed: u64,
}

const STEP: f64 = 5.0;

impl Scanned {
    pub fn new(kind: Kind, seed: u64) -> Self {
        let mut dice = Dice::new(seed);
        let board = simulator::Board::new(kind, &mut dice);
        let (length, width) = (board.outline.length, board.outline.width);
        let (columns, rows) = (
            (length / STEP).ceil() as usize,
            (width / STEP).ceil() as usize,
        );
        let mut heights = [Vec::new(), Vec::new()];
        for i in 0..=columns {
            for j in 0..=rows {
                let (x, y) = (
                    length * i as f64 / columns as f64,
                    width * j as f64 / rows as f64,
                );
                let z = board.faces(x, y);
                heights[0].push(z[0]);
                heights[1].push(z[1]);
            }
        }
        Self {
            length,
            width,
            rows,
            columns,
            heights,
            rough: [Rough::new(&mut dice), Rough::new(&mut dice)],
            noise: dice.uniform(0.1, 0.3),
            seed,
        }
    }

    /// A face without its roughness.
    pub fn smooth(&self, face: usize, x: f64, y: f64) -> f64 {
        let (u, v) = (
            x / self.length * self.columns as f64,
            y / self.width * self.rows as f64,
        );
        let (i, j) = (
            (u as usize).min(self.columns - 1),
            (v as usize).min(self.rows - 1),
        );
        let (s, t) = (u - i as f64, v - j as f64);
        let at = |i: usize, j: usize| self.heights[face][i * (self.rows + 1) + j];
        (at(i, j) * (1.0 - s) + at(i + 1, j) * s) * (1.0 - t)
            + (at(i, j + 1) * (1.0 - s) + at(i + 1, j + 1) * s) * t
    }

    /// A face with it.
    pub fn rough(&self, face: usize, x: f64, y: f64) -> f64 {
        let out = if face == 0 { 1.0 } else { -1.0 };
        self.smooth(face, x, y) + out * self.rough[face].at(x, y)
    }

    /// The depth under which 1 in 1000 of a face's roughness lies, below its mean.
    pub fn depth(&self, face: usize) -> f64 {
        -self.level(face, 0.001)
    }

    /// The thickness between calipers, which rest on crests above which 1 in 20 of the roughness lies.
    pub fn caliper(&self, x: f64, y: f64) -> f64 {
        self.smooth(0, x, y) - self.smooth(1, x, y) + self.level(0, 0.95) + self.level(1, 0.95)
    }

    /// The level under which a share of a face's roughness lies, over its mean.
    fn level(&self, face: usize, share: f64) -> f64 {
        let mut dice = Dice::new(self.seed ^ 99);
        let mut heights: Vec<f64> = (0..200_000)
            .map(|_| {
                let (x, y) = (
                    dice.uniform(0.0, self.length),
                    dice.uniform(0.0, self.width),
                );
                self.rough[face].at(x, y)
            })
            .collect();
        heights.sort_by(f64::total_cmp);
        quantile(&heights, share)
    }

    /// What survives in truth.
    pub fn survives(&self) -> f64 {
        let mut faces = [Vec::new(), Vec::new()];
        for (face, points) in faces.iter_mut().enumerate() {
            for i in 0..=self.columns {
                for j in 0..=self.rows {
                    let x = self.length * i as f64 / self.columns as f64;
                    let y = self.width * j as f64 / self.rows as f64;
                    points.push([x, y, self.smooth(face, x, y)]);
                }
            }
        }
        (hull_distance(&faces[0], &faces[1]) - self.depth(0) - self.depth(1)).max(0.0)
    }

    /// So many points of a face, a share of them ± 5 mm off.
    pub fn points(&self, face: usize, count: usize, pattern: Pattern, spikes: f64) -> Vec<Point> {
        let mut dice = Dice::new(self.seed.wrapping_add(7 + face as u64));
        let apart = (self.length * self.width / count as f64).sqrt();
        let (lines, places) = (
            (self.length / apart).round().max(2.0),
            (self.width / apart).round().max(2.0),
        );
        (0..count)
            .map(|k| {
                let (x, y) = match pattern {
                    Pattern::Scattered => (
                        dice.uniform(0.0, self.length),
                        dice.uniform(0.0, self.width),
                    ),
                    Pattern::Raster => {
                        let (line, place) =
                            ((k as f64 / places).floor() % lines, k as f64 % places);
                        (
                            self.length * (line / (lines - 1.0)).min(1.0),
                            self.width * (place.floor() / (places - 1.0)).min(1.0),
                        )
                    }
                };
                let mut z = self.rough(face, x, y) + self.noise * dice.normal();
                // Drawn for every point, so that the others stay where they are without spikes.
                let (chance, spike) =
                    (dice.uniform(0.0, 1.0), if dice.coin() { 5.0 } else { -5.0 });
                if chance < spikes {
                    z += spike;
                }
                [x, y, z]
            })
            .collect()
    }

    /// The board as scanned from both sides over one datum.
    pub fn board(&self, count: usize, pattern: Pattern, spikes: f64, stated: Option<f64>) -> Board {
        self.of(
            self.points(0, count, pattern, spikes),
            self.points(1, count, pattern, spikes),
            stated,
        )
    }

    pub fn of(&self, up: Vec<Point>, down: Vec<Point>, stated: Option<f64>) -> Board {
        let mut errors = ReadingErrors::default();
        if let Some(sd) = stated {
            (errors.up, errors.down, errors.stated) = (sd, sd, true);
        }
        Board::new(Particulars {
            length: Some(self.length),
            width: Some(self.width),
            up,
            down: Down {
                heights: down,
                ..Down::default()
            },
            errors,
            ..Particulars::default()
        })
        .unwrap()
    }
}

pub fn question() -> Question {
    Question {
        need: None,
        support_spacing: 250.0,
        sizes: Vec::new(),
        expectation: true,
    }
}
