//! Random boards from fixed seeds.
#![allow(dead_code, unreachable_pub)]

use outwind::readings::Point;

use super::solver::{frame, seen_from};

/// Numbers that look random: splitmix64 (S. Vigna's public-domain generator, from memory).
pub struct Dice(pub u64);

impl Dice {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// From 0 to 1.
    pub fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    pub fn below(&mut self, count: usize) -> usize {
        (self.next() % count as u64) as usize
    }
}

/// A random board: its faces, its nominal thickness and the normal it was tilted to.
pub struct RandomBoard {
    pub up: Vec<Point>,
    pub down: Vec<Point>,
    pub thickness: f64,
    pub kind: &'static str,
}

pub const KINDS: [&str; 14] = [
    "grid",
    "scattered",
    "flat",
    "twist",
    "bow",
    "cup",
    "rough",
    "row",
    "three points",
    "duplicated",
    "thin",
    "separate faces",
    "scattered faces",
    "coplanar steps",
];

/// A board of 50 mm to 6 m, tilted up to 30 degrees, up to 10 m from zero.
pub fn board(seed: u64) -> RandomBoard {
    let dice = &mut Dice(seed.wrapping_mul(0x2545_F491_4F6C_DD1D) ^ 0xB0A2D);
    let kind = KINDS[dice.below(KINDS.len())];
    let length = 50.0 * 120.0_f64.powf(dice.share());
    let width = length * dice.between(0.05, 1.0);
    let thickness = if kind == "thin" {
        dice.between(1.0, 8.0)
    } else {
        dice.between(10.0, 80.0).min(length / 3.0)
    };
    // Warp in proportion to the size, as wood has it.
    let size = length / 2000.0;
    let amount = dice.between(0.0, 8.0) * size;
    let shape = match kind {
        "flat" => [0.0; 4],
        "twist" => [0.0, 0.0, amount, 0.0],
        "bow" => [amount, 0.0, 0.0, 0.0],
        "cup" => [0.0, amount, 0.0, 0.0],
        _ => [
            dice.between(-6.0, 6.0) * size,
            dice.between(-3.0, 3.0) * size,
            dice.between(-4.0, 4.0) * size,
            dice.between(0.0, 0.5) * size,
        ],
    };
    let height = |dice: &mut Dice, u: f64, v: f64| {
        shape[0] * (1.0 - u * u)
            + shape[1] * (1.0 - v * v)
            + shape[2] * u * v
            + if shape[3] > 0.0 {
                dice.between(-1.0, 1.0) * shape[3]
            } else {
                0.0
            }
    };
    let (nx, ny) = match kind {
        "row" => (2 + dice.below(9), 1),
        _ => (2 + dice.below(8), 2 + dice.below(5)),
    };
    let places: Vec<(f64, f64)> = match kind {
        "scattered" | "scattered faces" => (0..4 + dice.below(60))
            .map(|_| (dice.between(-1.0, 1.0), dice.between(-1.0, 1.0)))
            .collect(),
        "three points" => (0..3)
            .map(|_| (dice.between(-1.0, 1.0), dice.between(-1.0, 1.0)))
            .collect(),
        _ => {
            let at = |i: usize, n: usize| {
                if n > 1 {
                    2.0 * i as f64 / (n - 1) as f64 - 1.0
                } else {
                    0.0
                }
            };
            (0..nx * ny)
                .map(|k| (at(k % nx, nx), at(k / nx, ny)))
                .collect()
        }
    };
    let lay = |dice: &mut Dice, places: &[(f64, f64)], below: f64| -> Vec<Point> {
        places
            .iter()
            .map(|&(u, v)| {
                let mut z = height(dice, u, v);
                if kind == "coplanar steps" {
                    z = z.round();
                }
                [u * length / 2.0, v * width / 2.0, z - below]
            })
            .collect()
    };
    let mut up = lay(dice, &places, 0.0);
    let mut down: Vec<Point> = match kind {
        "separate faces" => lay(dice, &places, thickness),
        "scattered faces" => {
            let others: Vec<(f64, f64)> = (0..4 + dice.below(60))
                .map(|_| (dice.between(-1.0, 1.0), dice.between(-1.0, 1.0)))
                .collect();
            lay(dice, &others, thickness)
        }
        _ => up.iter().map(|p| [p[0], p[1], p[2] - thickness]).collect(),
    };
    if kind == "duplicated" {
        up.extend_from_within(..);
        down.extend_from_within(..);
    }
    // Tilt and carry off the whole board.
    let lean = dice.between(0.0, 30.0_f64.to_radians());
    // One row is read over one line of the datum, so it leans only along it.
    let way = if kind == "row" {
        0.0
    } else {
        dice.between(0.0, std::f64::consts::TAU)
    };
    let tilt = frame([lean.sin() * way.cos(), lean.sin() * way.sin(), lean.cos()]);
    let offset = [0, 1, 2].map(|_| {
        dice.between(-10_000.0, 10_000.0) * if seed.is_multiple_of(2) { 1.0 } else { 0.0 }
    });
    for p in up.iter_mut().chain(&mut down) {
        let turned = seen_from(&tilt, *p);
        *p = [0, 1, 2].map(|k| turned[k] + offset[k]);
    }
    RandomBoard {
        up,
        down,
        thickness,
        kind,
    }
}
