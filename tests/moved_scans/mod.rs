//! Boards under a scanner, each laid down with a motion that is known.
#![allow(dead_code, unreachable_pub)]

use outwind::readings::{EndA, Point};

use super::simulator::Dice;

/// How the scanner's points stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Points {
    /// Anywhere, about so far apart.
    Scattered(f64),
    /// In rows along the scanner's x and columns along its y, so far apart.
    Rows(f64, f64),
}

/// How a board lies under a scanner: turned about its corner at end A's near edge, then moved.
#[derive(Debug, Clone, Copy)]
pub struct Motion {
    /// From the scanner's x to the board's length, anticlockwise, degrees.
    pub degrees: f64,
    /// Where that corner comes to lie.
    pub corner: [f64; 2],
    /// Turned over: the width runs the other way round.
    pub turned: bool,
}

impl Motion {
    pub fn axes(&self) -> [[f64; 2]; 2] {
        let (sin, cos) = self.degrees.to_radians().sin_cos();
        let across = if self.turned { -1.0 } else { 1.0 };
        [[cos, sin], [-across * sin, across * cos]]
    }

    pub fn seen(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let axes = self.axes();
        [0, 1].map(|k| self.corner[k] + axes[0][k] * x + axes[1][k] * y)
    }

    pub fn on_board(&self, at: [f64; 2]) -> [f64; 2] {
        let axes = self.axes();
        let from = [0, 1].map(|k| at[k] - self.corner[k]);
        [0, 1].map(|k| axes[k][0] * from[0] + axes[k][1] * from[1])
    }
}

/// What is amiss with a scan.
#[derive(Debug, Clone, Copy, Default)]
pub struct Flaws {
    /// Of places along x and y, one standard deviation, mm.
    pub noise: f64,
    /// The density falls by this share from end A to B and from the near to the far edge.
    pub uneven: [f64; 2],
    /// At which corner (1 at end B, 1 at the far edge) how much of length and width was not seen.
    pub missing: [f64; 4],
    /// The share of strays, up to 40 mm off the board.
    pub strays: f64,
}

/// A scan of the board's places in the scanner's frame; heights are what `height` says of them.
pub fn scan(
    size: [f64; 2],
    motion: &Motion,
    points: Points,
    flaws: &Flaws,
    dice: &mut Dice,
    height: impl Fn(f64, f64, &mut Dice) -> f64,
) -> Vec<Point> {
    let mut seen = Vec::new();
    let mut add = |[x, y]: [f64; 2], dice: &mut Dice| {
        if x < 0.0 || y < 0.0 || x > size[0] || y > size[1] {
            return;
        }
        let share = [x / size[0], y / size[1]];
        let [at_b, at_far, along, across] = flaws.missing;
        let from = [(share[0] - at_b).abs(), (share[1] - at_far).abs()];
        let thin = (1.0 - flaws.uneven[0] * share[0]) * (1.0 - flaws.uneven[1] * share[1]);
        if from[0] < along && from[1] < across || dice.uniform(0.0, 1.0) > thin {
            return;
        }
        let stray = dice.uniform(0.0, 1.0) < flaws.strays;
        let place = if stray {
            [0, 1].map(|k| dice.uniform(-40.0, size[k] + 40.0))
        } else {
            [x, y]
        };
        let z = height(x, y, dice);
        let at = motion.seen(place);
        let [p, q] = [0, 1].map(|k| at[k] + flaws.noise * dice.normal());
        seen.push([p, q, z]);
    };
    match points {
        Points::Scattered(apart) => {
            let count = (size[0] * size[1] / apart / apart).round() as usize;
            for _ in 0..count {
                let place = size.map(|size| dice.uniform(0.0, size));
                add(place, dice);
            }
        }
        Points::Rows(along, across) => {
            let corners =
                [[0.0, 0.0], [size[0], 0.0], [0.0, size[1]], size].map(|c| motion.seen(c));
            let reach = [0, 1].map(|k| {
                let at = corners.map(|c| c[k]);
                [
                    at.into_iter().fold(f64::INFINITY, f64::min),
                    at.into_iter().fold(f64::NEG_INFINITY, f64::max),
                ]
            });
            let step = [along, across];
            let start = [0, 1].map(|k| reach[k][0] - dice.uniform(0.0, step[k]));
            let count = [0, 1].map(|k| ((reach[k][1] - start[k]) / step[k]) as usize + 1);
            for j in 0..count[1] {
                for i in 0..count[0] {
                    let at = [start[0] + i as f64 * along, start[1] + j as f64 * across];
                    add(motion.on_board(at), dice);
                }
            }
        }
    }
    seen
}

/// Any motion: a few degrees and centimetres off one of the four ways along an axis, turned over or not.
pub fn any_motion(dice: &mut Dice) -> (Motion, EndA) {
    let (name, end_a) = EndA::NAMED[dice.below(4)];
    let towards = match name {
        "low x" => 0.0,
        "low y" => 90.0,
        "high x" => 180.0,
        _ => 270.0,
    };
    let motion = Motion {
        degrees: towards + dice.uniform(-4.0, 4.0),
        corner: [dice.uniform(-50.0, 50.0), dice.uniform(-50.0, 50.0)],
        turned: dice.coin(),
    };
    (motion, end_a)
}
