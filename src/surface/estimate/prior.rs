//! What is believed of a board before it is read.

use std::ops::Range;

use super::Outline;
use super::wave::Wave::{self, Bridge, Constant, Crown, Ess, Quartic, Slope, Square};
use super::wave::stationary;
use crate::readings::Face;

/// Random functions of (u, v) that share a size: products of a wave along and a wave across.
#[derive(Debug, Clone)]
pub(super) struct Group {
    /// What one unit adds to the up face and to the down face.
    pub(super) up: f64,
    pub(super) down: f64,
    pub(super) along: Vec<Wave>,
    pub(super) across: Vec<Wave>,
    /// Standard deviations, the waves along running fastest, in millimetres or in units of the size.
    pub(super) sd: Vec<f64>,
    /// Which of the sizes multiplies them; none where `sd` is in millimetres.
    pub(super) size: Option<usize>,
}

/// A size that is not known beforehand: log-normal.
#[derive(Debug, Clone, Copy)]
pub(super) struct Size {
    pub(super) median: f64,
    pub(super) log_sd: f64,
}

#[derive(Debug, Clone)]
pub(super) struct Prior {
    pub(super) groups: Vec<Group>,
    pub(super) sizes: Vec<Size>,
    /// Standard deviation of what is unknown altogether: datum, thickness, set-ups.
    pub(super) far: f64,
    /// Of which a board has none, one or two.
    pub(super) features: Vec<Feature>,
    /// What the features are made of.
    pub(super) shapes: Vec<Shape>,
}

/// What few boards have: up to [`SHAPES`](super::told::SHAPES) shapes of independent normal amplitudes.
#[derive(Debug, Clone)]
pub(super) struct Feature {
    /// Among the prior's.
    pub(super) shapes: Range<usize>,
    /// The chance that a board has it.
    pub(super) chance: f64,
}

/// A product of a wave along and a wave across.
#[derive(Debug, Clone, Copy)]
pub(super) struct Shape {
    /// What one unit adds to the up face and to the down face.
    pub(super) up: f64,
    pub(super) down: f64,
    pub(super) along: Wave,
    /// How much further along it lies at the far edge than in the middle, in half-lengths of the board.
    pub(super) skew: f64,
    pub(super) across: Wave,
    /// Mean of its amplitude, in standard deviations.
    pub(super) mean: f64,
    /// Standard deviation of its amplitude, millimetres.
    pub(super) sd: f64,
}

/// Both faces together: the warp. Half up and half down: the thickness. One face alone.
const WARP: (f64, f64) = (1.0, 1.0);
const THICKNESS: (f64, f64) = (0.5, -0.5);
const UP: (f64, f64) = (1.0, 0.0);
const DOWN: (f64, f64) = (0.0, 1.0);

/// How a board leans over its datum, radians. Some surveys (straightedge, winding sticks) do not tell; were it unknown
/// altogether, their draws would stand so steep that thickness along z is no longer thickness.
const TILT: f64 = 0.03;

fn form(target: (f64, f64), along: Wave, across: Wave, sd: f64) -> Group {
    Group {
        up: target.0,
        down: target.1,
        along: vec![along],
        across: vec![across],
        sd: vec![sd],
        size: None,
    }
}

fn rough(target: (f64, f64), along: &[(Wave, f64)], across: &[(Wave, f64)], size: usize) -> Group {
    Group {
        up: target.0,
        down: target.1,
        along: along.iter().map(|w| w.0).collect(),
        across: across.iter().map(|w| w.0).collect(),
        sd: across
            .iter()
            .flat_map(|b| along.iter().map(move |a| a.1 * b.1))
            .collect(),
        size: Some(size),
    }
}

impl Shape {
    /// Millimetres that one standard deviation of it adds to a face at (u, v).
    pub(super) fn at(&self, face: Face, u: f64, v: f64) -> f64 {
        let share = match face {
            Face::Up => self.up,
            Face::Down => self.down,
        };
        share * self.sd * self.along.at(u - self.skew * v) * self.across.at(v)
    }
}

impl Prior {
    /// `far`: a height that is large beside every reading.
    pub(super) fn new(outline: &Outline, far: f64) -> Self {
        let (l, w) = (outline.length / 2000.0, outline.width / 200.0);
        let (bow, cup, twist) = (l * l, w * w, l * w);
        let (half_length, half_width) = (outline.length / 2.0, outline.width / 2.0);
        let bridge = |from: u32, to: u32| -> Vec<(Wave, f64)> {
            (from..=to)
                .map(|n| (Bridge(n), f64::from(n).powi(-2)))
                .collect()
        };
        let smooth: Vec<(Wave, f64)> = (2..=6)
            .map(|n| (Bridge(n), (2.0 / f64::from(n)).powi(4)))
            .collect();
        let mut cup_change = vec![(Slope, 1.0)];
        cup_change.extend(bridge(1, 12));
        let local = |reach: f64, along: u32, across: u32| {
            (
                stationary(reach / half_length, along),
                stationary(reach / half_width, across),
            )
        };
        let (long_x, long_y) = local(450.0, 20, 10);
        let (thick_x, thick_y) = local(400.0, 24, 10);
        let (short_x, short_y) = local(80.0, 32, 6);
        let groups = vec![
            form(WARP, Constant, Constant, far),
            form(WARP, Slope, Constant, TILT * half_length),
            form(WARP, Constant, Slope, TILT * half_width),
            form(THICKNESS, Constant, Constant, far),
            form(WARP, Crown, Constant, 5.0 * bow),
            form(WARP, Constant, Crown, 2.0 * cup),
            form(WARP, Slope, Slope, 2.0 * twist),
            form(WARP, Ess, Constant, 0.75 * bow),
            form(WARP, Quartic, Constant, 0.1 * bow),
            form(WARP, Crown, Slope, 0.1 * twist),
            form(WARP, Ess, Slope, 0.1 * twist),
            form(WARP, Slope, Crown, 0.12 * cup),
            form(WARP, Constant, Ess, 0.03 * cup),
            form(WARP, Constant, Quartic, 0.02 * cup),
            form(THICKNESS, Slope, Constant, 0.4),
            form(THICKNESS, Constant, Slope, 0.3),
            form(THICKNESS, Constant, Crown, 0.25),
            form(THICKNESS, Slope, Crown, 0.1),
            form(THICKNESS, Crown, Constant, 0.1),
            rough(WARP, &bridge(1, 24), &[(Constant, 1.0)], 0),
            rough(WARP, &bridge(1, 16), &[(Slope, 1.0)], 1),
            rough(WARP, &cup_change, &[(Crown, 1.0)], 2),
            rough(WARP, &[(Constant, 1.0), (Slope, 0.5)], &bridge(2, 8), 2),
            rough(WARP, &smooth, &[(Constant, 1.0)], 6),
            rough(WARP, &long_x, &long_y, 3),
            rough(THICKNESS, &thick_x, &thick_y, 4),
            rough(UP, &short_x, &short_y, 5),
            rough(DOWN, &short_x, &short_y, 5),
        ];
        let size = |median: f64, log_sd: f64| Size { median, log_sd };
        let sizes = vec![
            size(0.05 * bow, 1.0),
            size(0.04 * twist, 0.8),
            size(0.025 * cup, 0.8),
            size(0.35, 0.4),
            size(0.3, 0.7),
            size(0.05, 1.5),
            size(0.15 * bow, 1.3),
        ];
        let (features, shapes) = features(outline, [bow, cup, twist]);
        Self {
            groups,
            sizes,
            far,
            features,
            shapes,
        }
    }
}

/// What few boards have, with the shapes of it; `form`: how bow, cup and twist grow with the board.
fn features(outline: &Outline, [bow, cup, twist]: [f64; 3]) -> (Vec<Feature>, Vec<Shape>) {
    let (mut features, mut shapes) = (Vec::new(), Vec::new());
    // A feature for each wave along and skew, of all the courses across, each with mean and standard deviation of its
    // amplitude.
    let mut add = |(up, down): (f64, f64),
                   along: &[Wave],
                   skews: &[f64],
                   across: &[(Wave, f64, f64)],
                   chance: f64| {
        let chance = chance / (along.len() * skews.len()) as f64;
        for &along in along {
            for &skew in skews {
                let first = shapes.len();
                shapes.extend(across.iter().map(|&(across, mean, sd)| Shape {
                    up,
                    down,
                    along,
                    skew,
                    across,
                    mean: mean / sd,
                    sd,
                }));
                features.push(Feature {
                    shapes: first..shapes.len(),
                    chance,
                });
            }
        }
    };
    let even = |k: u32, n: u32| -1.0 + 2.0 * f64::from(k) / f64::from(n);
    let kinks: Vec<Wave> = (4..=68).map(|k| Wave::Hat { at: even(k, 72) }).collect();
    let curls: Vec<Wave> = [-0.2, 0.0, 0.15, 0.3, 0.42, 0.53, 0.63, 0.72]
        .iter()
        .flat_map(|&start| [1.25, 2.3].map(|power| (start, power)))
        .flat_map(|(start, power)| [true, false].map(|far| Wave::Curl { start, power, far }))
        .collect();
    let turns: Vec<Wave> = (0..=8)
        .map(|k| Wave::Turn {
            at: 0.27 * even(k, 8),
        })
        .collect();
    let slant = 0.25 * outline.width / outline.length;
    let level = |sd: f64| [(Constant, 0.0, sd)];
    let kink = level(5.0 * bow);
    add(WARP, &kinks, &[0.0, slant, -slant], &kink, 0.25);
    // A curled end is level, or level, twisted and cupped at once.
    let [lift, twisted, cupped] = [
        (Constant, 0.0, 5.0 * bow),
        (Slope, 0.0, 2.0 * twist),
        (Square, 0.0, 0.8 * cup),
    ];
    add(WARP, &curls, &[0.0], &[lift], 0.05);
    add(WARP, &curls, &[0.0], &[lift, twisted, cupped], 0.18);
    add(WARP, &turns, &[0.0], &level(3.0 * bow), 0.12);
    // Thin spots of one face: bells in the middles of sixteen by three fields.
    for reach in [90.0, 200.0] {
        let reach = 2.0 * reach / outline.length;
        let along: Vec<Wave> = (0..16)
            .map(|k| Wave::Bell {
                at: even(2 * k + 1, 32),
                reach,
            })
            .collect();
        for (face, depth) in [(UP, -1.25), (DOWN, 1.25)] {
            for k in [1, 3, 5] {
                let at = even(k, 6);
                let bell = [(Wave::Bell { at, reach: 0.8 }, depth, 0.6)];
                add(face, &along, &[0.0], &bell, 0.18 / 12.0);
            }
        }
    }
    (features, shapes)
}
