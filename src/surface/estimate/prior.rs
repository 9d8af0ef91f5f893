//! What is believed of a board before it is read.

use super::Outline;
use super::wave::{Wave, stationary};

/// Random functions of (u, v) that share a size: products of a wave along and a wave across.
#[derive(Debug, Clone)]
pub(super) struct Group {
    /// What one unit adds to the up face and to the down face.
    pub(super) up: f64,
    pub(super) down: f64,
    pub(super) along: Vec<Wave>,
    pub(super) across: Vec<Wave>,
    /// Standard deviations, the waves across running fastest, in millimetres or in units of the size.
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
    pub(super) kinks: Vec<Kink>,
    pub(super) kink_chance: f64,
}

#[derive(Debug, Clone, Copy)]
pub(super) struct Kink {
    pub(super) wave: Wave,
    pub(super) sd: f64,
}

/// Both faces together: the warp. Half up and half down: the thickness.
const WARP: (f64, f64) = (1.0, 1.0);
const THICKNESS: (f64, f64) = (0.5, -0.5);

fn form(target: (f64, f64), along: Wave, across: Wave, sd: f64) -> Group {
    Group { up: target.0, down: target.1, along: vec![along], across: vec![across], sd: vec![sd], size: None }
}

fn rough(target: (f64, f64), along: &[(Wave, f64)], across: &[(Wave, f64)], size: usize) -> Group {
    Group {
        up: target.0,
        down: target.1,
        along: along.iter().map(|w| w.0).collect(),
        across: across.iter().map(|w| w.0).collect(),
        sd: along.iter().flat_map(|a| across.iter().map(move |b| a.1 * b.1)).collect(),
        size: Some(size),
    }
}

impl Prior {
    /// `far`: a height that is large beside every reading.
    pub(super) fn new(outline: &Outline, far: f64) -> Self {
        let env = |k: &str, d: f64| std::env::var(k).ok().and_then(|s| s.parse().ok()).unwrap_or(d);
        let (l, w) = (outline.length / 2000.0, outline.width / 200.0);
        let (bow, cup, twist) = (l * l, w * w, l * w);
        let (half_length, half_width) = (outline.length / 2.0, outline.width / 2.0);
        use Wave::{Bridge, Constant, Crown, Slope};
        let bridge: Vec<(Wave, f64)> = (1..=24).map(|n| (Bridge(n), 1.0 / f64::from(n * n))).collect();
        let mut cup_change = vec![(Slope, 1.0)];
        cup_change.extend(bridge.iter().copied());
        let local = |reach: f64, along: u32, across: u32| {
            (stationary(reach / half_length, along), stationary(reach / half_width, across))
        };
        let (long_x, long_y) = local(env("RL", 350.0), 24, 12);
        let (short_x, short_y) = local(env("RS", 80.0), 40, 10);
        let groups = vec![
            form(WARP, Constant, Constant, far),
            form(WARP, Slope, Constant, far),
            form(WARP, Constant, Slope, far),
            form(THICKNESS, Constant, Constant, far),
            form(WARP, Crown, Constant, env("FB", 5.0) * bow),
            form(WARP, Constant, Crown, env("FC", 2.0) * cup),
            form(WARP, Slope, Slope, env("FT", 2.0) * twist),
            form(THICKNESS, Slope, Constant, env("TU", 0.4)),
            form(THICKNESS, Constant, Slope, env("TV", 0.3)),
            rough(WARP, &bridge, &[(Constant, 1.0)], 0),
            rough(WARP, &bridge, &[(Slope, 1.0)], 1),
            rough(WARP, &cup_change, &[(Crown, 1.0)], 2),
            rough(WARP, &long_x, &long_y, 3),
            rough(THICKNESS, &long_x, &long_y, 4),
            rough((1.0, 0.0), &short_x, &short_y, 5),
            rough((0.0, 1.0), &short_x, &short_y, 5),
        ];
        let sizes = vec![
            Size { median: env("S0", 2.5) * bow, log_sd: env("D0", 0.9) },
            Size { median: env("S1", 1.0) * twist, log_sd: env("D1", 0.9) },
            Size { median: env("S2", 0.4) * cup, log_sd: env("D2", 0.9) },
            Size { median: env("S3", 0.35), log_sd: env("D3", 0.6) },
            Size { median: env("S4", 0.25), log_sd: env("D4", 0.6) },
            Size { median: env("S5", 0.10), log_sd: env("D5", 0.8) },
        ];
        let count = 24;
        let kinks = (0..count)
            .map(|k| Kink {
                wave: Wave::Hat { at: -0.9 + 1.8 * f64::from(k) / f64::from(count - 1) },
                sd: env("SK", 5.0) * bow,
            })
            .collect();
        Self { groups, sizes, kinks, kink_chance: env("PK", 0.3) }
    }
}
