//! Random boards of every family, by number.

use outwind::flatten::Faces;
use outwind::readings::Point;
use outwind::surface::form::plane;

use super::random::Random;
use super::vector::{add, turned};
use super::{grid, middle};

/// A board by its readings.
#[derive(Debug, Clone)]
pub(crate) struct Sample {
    pub(crate) family: &'static str,
    pub(crate) up: Vec<Point>,
    pub(crate) down: Vec<Point>,
    pub(crate) normal: Point,
    pub(crate) centre: Point,
    pub(crate) thickness: f64,
}

pub(crate) const FAMILIES: [&str; 20] = [
    "rough grid",
    "rough grid, two faces read",
    "scattered",
    "flat",
    "wedge of two planes",
    "single row",
    "single column",
    "readings taken twice",
    "pure twist",
    "pure bow",
    "pure cup",
    "bow, cup and twist",
    "three points a face",
    "tiny, 50 mm",
    "long, 6 m",
    "nothing survives",
    "read in 1/64 in",
    "swapped faces",
    "two ends",
    "leaning",
];

impl Sample {
    /// Board number `seed`, moved; its family is the number's remainder.
    pub(crate) fn new(seed: u64) -> Self {
        let (board, mut random) = Self::made(seed);
        board.moved(&mut random)
    }

    /// The same board where it was made: along x, up along z.
    pub(crate) fn still(seed: u64) -> Self {
        Self::made(seed).0
    }

    fn made(seed: u64) -> (Self, Random) {
        let family = FAMILIES[(seed % FAMILIES.len() as u64) as usize];
        let mut random = Random::new(seed);
        let thickness = random.log_within(2.0, 100.0);
        let length = match family {
            "tiny, 50 mm" => 50.0,
            "long, 6 m" => 6000.0,
            _ => random.log_within(150.0, 4000.0),
        };
        let width = random.log_within(40.0, 600.0_f64.min(length));
        let mut board = Maker {
            length,
            width,
            thickness,
            random,
        };
        let (up, down) = board.faces(family);
        let [_, b, c] = plane(&up);
        let lean = match family {
            "leaning" => board.random.within(5.0, 25.0),
            _ => 0.0,
        };
        let sample = Self {
            family,
            // About the length: across it a long board hardly overlaps itself.
            normal: turned([-b, -c, 1.0], [1.0, 0.0, 0.0], lean),
            centre: middle(&[&up, &down]),
            up,
            down,
            thickness,
        };
        (sample, board.random)
    }

    pub(crate) fn faces(&self) -> Faces<'_> {
        Faces {
            up: &self.up,
            down: &self.down,
            normal: self.normal,
            centre: self.centre,
        }
    }

    /// Three boards in four: spun, tilted by up to 30° and carried up to 10 m away.
    fn moved(mut self, random: &mut Random) -> Self {
        if random.count(0, 3) == 0 {
            return self;
        }
        let spin = random.within(-180.0, 180.0);
        let tilt = random.within(-30.0, 30.0);
        let towards = random.within(0.0, std::f64::consts::TAU);
        let axis = [towards.cos(), towards.sin(), 0.0];
        let offset = [0; 3].map(|_| random.within(-1e4, 1e4));
        let turn = |v: Point| turned(turned(v, [0.0, 0.0, 1.0], spin), axis, tilt);
        for p in self.up.iter_mut().chain(&mut self.down) {
            *p = add(turn(*p), offset);
        }
        self.centre = add(turn(self.centre), offset);
        self.normal = turn(self.normal);
        self
    }
}

struct Maker {
    length: f64,
    width: f64,
    thickness: f64,
    random: Random,
}

impl Maker {
    fn faces(&mut self, family: &str) -> (Vec<Point>, Vec<Point>) {
        // The most that a face is out of flat: some boards keep nearly all, some nearly nothing.
        let warp = (self.random.within(0.0, 0.8) * self.thickness).min(0.08 * self.width);
        let noise = warp * self.random.log_within(0.001, 0.3);
        let t = self.thickness;
        match family {
            "rough grid" => {
                let up = self.grid((3, 12), (2, 7), warp, noise);
                (up.clone(), lower(&up, t))
            }
            "rough grid, two faces read" | "tiny, 50 mm" | "long, 6 m" => self.two(warp, noise),
            "scattered" => {
                let (n, m) = (self.random.count(4, 120), self.random.count(4, 120));
                let up = self.scattered(n, warp, noise, 0.0);
                (up, self.scattered(m, warp, noise, -t))
            }
            "flat" => {
                let up = self.grid((2, 12), (2, 7), 0.0, 0.0);
                (up.clone(), lower(&up, t))
            }
            "wedge of two planes" => {
                let up = self.grid((2, 9), (2, 6), 0.0, 0.0);
                let (b, c) = (
                    self.random.within(-0.2, 0.2) * t / self.length,
                    self.random.within(-0.2, 0.2) * t / self.width,
                );
                let down = up.iter().map(|&[x, y, z]| [x, y, z - t + b * x + c * y]);
                (up.clone(), down.collect())
            }
            "single row" => {
                let up = self.grid((2, 15), (1, 1), warp, noise);
                (up.clone(), lower(&up, t))
            }
            "single column" => {
                let up = self.grid((1, 1), (2, 9), warp, noise);
                (up.clone(), lower(&up, t))
            }
            "readings taken twice" => {
                let (mut up, mut down) = self.two(warp, noise);
                for face in [&mut up, &mut down] {
                    for _ in 0..self.random.count(1, 12) {
                        face.push(face[self.random.count(0, face.len() - 1)]);
                    }
                }
                (up, down)
            }
            "pure twist" => self.form(0.0, 0.0, warp),
            "pure bow" => self.form(warp, 0.0, 0.0),
            "pure cup" => self.form(0.0, warp, 0.0),
            "bow, cup and twist" => {
                let mut part = || self.random.within(-0.5, 0.5) * warp;
                let (bow, cup, twist) = (part(), part(), part());
                self.form(bow, cup, twist)
            }
            "three points a face" => {
                let up = self.scattered(3, warp, noise, 0.0);
                let down = if self.random.count(0, 1) == 0 {
                    lower(&up, t)
                } else {
                    self.scattered(3, warp, noise, -t)
                };
                (up, down)
            }
            "nothing survives" => {
                let most = self.random.within(1.5, 6.0) * t;
                self.two(most, most * 0.3)
            }
            "read in 1/64 in" => {
                let (mut up, mut down) = self.two(warp, noise);
                for p in up.iter_mut().chain(&mut down) {
                    p[2] = (p[2] * 64.0 / 25.4).round() * 25.4 / 64.0;
                }
                (up, down)
            }
            "swapped faces" => {
                let (up, down) = self.two(warp, noise);
                (down, up)
            }
            "two ends" => {
                let (up, mut down) = self.two(warp, noise);
                let along = self.length * self.random.within(0.4, 1.5);
                for p in &mut down {
                    p[0] += along;
                }
                (up, down)
            }
            "leaning" => self.two(0.2 * warp, 0.2 * noise),
            other => panic!("no family {other}"),
        }
    }

    fn grid(&mut self, nx: Range, ny: Range, warp: f64, noise: f64) -> Vec<Point> {
        let (nx, ny) = (self.random.count(nx.0, nx.1), self.random.count(ny.0, ny.1));
        let shape = self.shape(warp);
        let random = &mut self.random;
        let mut points = grid(self.length, self.width, nx, ny, shape);
        for p in &mut points {
            p[2] += noise * random.normal();
        }
        points
    }

    /// Both faces on one grid, each with its own form.
    fn two(&mut self, warp: f64, noise: f64) -> (Vec<Point>, Vec<Point>) {
        let up = self.grid((2, 10), (2, 6), warp, noise);
        let shape = self.shape(0.3 * warp);
        let (length, width, t) = (self.length, self.width, self.thickness);
        let down = up
            .iter()
            .map(|&[x, y, z]| {
                let (u, v) = (2.0 * x / length - 1.0, 2.0 * y / width - 1.0);
                [x, y, z - t + shape(u, v) + noise * self.random.normal()]
            })
            .collect();
        (up, down)
    }

    fn scattered(&mut self, count: usize, warp: f64, noise: f64, level: f64) -> Vec<Point> {
        let shape = self.shape(warp);
        (0..count)
            .map(|_| {
                let (u, v) = (self.random.within(-1.0, 1.0), self.random.within(-1.0, 1.0));
                let z = level + shape(u, v) + noise * self.random.normal();
                [
                    (u + 1.0) * self.length / 2.0,
                    (v + 1.0) * self.width / 2.0,
                    z,
                ]
            })
            .collect()
    }

    /// A random bow, cup and twist of about this size.
    fn shape(&mut self, warp: f64) -> impl Fn(f64, f64) -> f64 + use<> {
        let [bow, cup, twist] = [0; 3].map(|_| self.random.within(-0.4, 0.4) * warp);
        move |u, v| bow * (1.0 - u * u) + cup * (1.0 - v * v) + twist * u * v
    }

    /// An even thickness of this form, no noise.
    fn form(&mut self, bow: f64, cup: f64, twist: f64) -> (Vec<Point>, Vec<Point>) {
        let (nx, ny) = (self.random.count(2, 13), self.random.count(2, 9));
        let up = grid(self.length, self.width, nx, ny, |u, v| {
            bow * (1.0 - u * u) + cup * (1.0 - v * v) + twist * u * v
        });
        (up.clone(), lower(&up, self.thickness))
    }
}

type Range = (usize, usize);

fn lower(points: &[Point], by: f64) -> Vec<Point> {
    super::lowered(points, by)
}
