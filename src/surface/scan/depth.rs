//! How deep the roughness reaches under the local planes.
//!
//! The residuals are roughness plus noise. The distribution of the roughness alone is what, blurred by normal noise, makes the
//! residuals likeliest, approached by a fixed number of steps of expectation and maximisation from a
//! flat start (W. Richardson 1972, L. Lucy 1974; N. Laird, *Nonparametric maximum likelihood estimation of a mixing
//! distribution*, 1978; from memory). A fixed number keeps it smooth, and the same at every number of points.

use super::UNCLEANED;
use super::noise::{Noise, Residual, Told, neighbour};

/// The roughness of a face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Roughness {
    /// The sensor's noise, one standard deviation, mm.
    pub noise: f64,
    /// The roughness, one standard deviation, mm.
    pub sd: f64,
    /// How it was told from the noise.
    pub told: Told,
    /// From the local height down to where all but [`UNCLEANED`] of the area is cleaned up, mm.
    pub depth: f64,
    /// One standard deviation of that.
    pub depth_sd: f64,
    /// From the local height up to the crests on which a caliper rests: all but 1 in 20 of the area lies under them, mm.
    pub crest: f64,
}

/// Bins on each side of nought, over twice the distance of spikes.
const SIDE: usize = 80;
const BINS: usize = 2 * SIDE + 1;

/// Steps towards the likeliest distribution.
const STEPS: usize = 100;

/// The share of the area above the crests.
const CRESTS: f64 = 0.05;

/// Of the smaller of noise and roughness, how far the shape of the blurred distribution leaves the depth open: from trials
/// with sinusoidal, cusped, even and normal roughness.
const SHAPE: f64 = 0.4;

/// Roughness with less than this share of the variance is none.
const NONE: f64 = 0.003;

/// Where the noise's variance is tried, in its standard deviations: three places of equal chance of a normal one; five
/// of an even one.
const TRIED: [f64; 3] = [-1.1, 0.0, 1.1];
const EVENLY: [f64; 5] = [-1.386, -0.693, 0.0, 0.693, 1.386];

impl Roughness {
    pub(super) fn new(
        sampled: &[Vec<Residual>],
        near: &[Vec<Residual>],
        far: f64,
        noise: &Noise,
    ) -> Self {
        let width = 2.0 * far / SIDE as f64;
        let residuals = histogram(sampled, width, far, shared(near, far));
        let tries: &[f64] = if noise.told == Told::Open {
            &EVENLY
        } else {
            &TRIED
        };
        let each: Vec<[f64; 3]> = tries
            .iter()
            .map(|z| {
                let variance = (noise.variance + z * noise.unsure).clamp(0.0, noise.total);
                reach(&residuals, width, variance, noise.total)
            })
            .collect();
        let count = each.len() as f64;
        let mean = |k: usize| each.iter().map(|e| e[k]).sum::<f64>() / count;
        let depth = mean(0);
        let spread = each.iter().map(|e| (e[0] - depth).powi(2)).sum::<f64>() / count;
        let rough = (noise.total - noise.variance).max(0.0);
        let both = if noise.total > 0.0 {
            (rough * noise.variance / noise.total).sqrt()
        } else {
            0.0
        };
        Self {
            noise: noise.variance.sqrt(),
            sd: rough.sqrt(),
            told: noise.told,
            depth,
            depth_sd: spread.sqrt().hypot(SHAPE * both),
            crest: mean(1),
        }
    }

    /// From the crests down to where the face is cleaned up, mm.
    #[must_use]
    pub fn height(&self) -> f64 {
        self.crest + self.depth
    }
}

/// The share of points far under their plane whose nearest neighbour is as well, beyond chance: 0 where they are dust, 1 where
/// they are holes in the wood.
fn shared(near: &[Vec<Residual>], far: f64) -> f64 {
    let (mut all, mut deep, mut both) = (0.0_f64, 0.0_f64, 0.0_f64);
    for cell in near {
        for (i, r) in cell.iter().enumerate() {
            all += 1.0;
            if r.off < -far {
                deep += 1.0;
                if neighbour(cell, i).is_some_and(|(j, _)| cell[j].off < -far) {
                    both += 1.0;
                }
            }
        }
    }
    // A handful tells nothing.
    if deep < 20.0 {
        return 0.0;
    }
    let by_chance = deep / all;
    ((both / deep - by_chance) / (1.0 - by_chance)).max(0.0)
}

/// Shares of the area by residual, each cell weighing the same; of what lies `far` under, the share that is wood.
fn histogram(sampled: &[Vec<Residual>], width: f64, far: f64, wood: f64) -> [f64; BINS] {
    let mut bins = [0.0; BINS];
    for cell in sampled.iter().filter(|cell| cell.len() > 3) {
        let count = cell.len() as f64;
        // Three unknowns of the plane have brought the residuals nearer to it.
        let stretch = (count / (count - 3.0)).sqrt();
        for r in cell {
            let weight = if r.off.abs() <= far {
                1.0
            } else if r.off < 0.0 {
                wood
            } else {
                0.0
            };
            let bin = (r.off * stretch / width).round();
            let bin = bin.clamp(-(SIDE as f64), SIDE as f64) + SIDE as f64;
            bins[bin as usize] += weight / count;
        }
    }
    let all: f64 = bins.iter().sum();
    bins.map(|b| if all > 0.0 { b / all } else { 0.0 })
}

/// Depth, crest and standard deviation of the roughness under noise of this variance.
fn reach(residuals: &[f64; BINS], width: f64, noise: f64, total: f64) -> [f64; 3] {
    let rough = (total - noise).max(0.0);
    if rough <= NONE * total {
        return [0.0; 3];
    }
    let distribution = if noise.sqrt() < 0.5 * width {
        *residuals
    } else {
        unblurred(residuals, width, noise.sqrt(), rough.sqrt())
    };
    [
        -quantile(&distribution, width, UNCLEANED),
        quantile(&distribution, width, 1.0 - CRESTS),
        rough.sqrt(),
    ]
}

/// The distribution which, blurred by noise, makes the residuals.
fn unblurred(residuals: &[f64; BINS], width: f64, noise: f64, rough: f64) -> [f64; BINS] {
    let kernel: Vec<f64> = (0..BINS)
        .map(|k| (-0.5 * (k as f64 * width / noise).powi(2)).exp())
        .collect();
    let sum = kernel[0] + 2.0 * kernel[1..].iter().sum::<f64>();
    let reach = kernel.iter().take_while(|k| **k > 1e-12).count();
    let blur = |from: &[f64; BINS]| {
        let mut to = [0.0; BINS];
        for (i, f) in from.iter().enumerate().filter(|f| *f.1 > 0.0) {
            let low = i.saturating_sub(reach - 1);
            let high = (i + reach).min(BINS);
            for (j, t) in to[low..high].iter_mut().enumerate() {
                *t += f * kernel[(low + j).abs_diff(i)] / sum;
            }
        }
        to
    };
    // Flat over what a roughness of this standard deviation covers, with faint tails.
    let mut found = [0.0; BINS];
    for (k, f) in found.iter_mut().enumerate() {
        let at = (k as f64 - SIDE as f64) * width / (1.75 * rough);
        *f = (-at.powi(6)).exp() + 2e-3 * (-0.35 * at * at).exp() + 1e-7;
    }
    let all: f64 = found.iter().sum();
    found.iter_mut().for_each(|f| *f /= all);
    for _ in 0..STEPS {
        let blurred = blur(&found);
        let mut ratio = [0.0; BINS];
        for ((r, seen), b) in ratio.iter_mut().zip(residuals).zip(&blurred) {
            *r = if *seen > 0.0 { seen / b.max(1e-300) } else { 0.0 };
        }
        let back = blur(&ratio);
        found.iter_mut().zip(&back).for_each(|(f, b)| *f *= b);
    }
    found
}

/// The residual below which this share lies.
fn quantile(distribution: &[f64; BINS], width: f64, share: f64) -> f64 {
    let all: f64 = distribution.iter().sum();
    let wanted = share * all;
    let mut before = 0.0;
    for (k, f) in distribution.iter().enumerate() {
        if before + f >= wanted && *f > 0.0 {
            let within = (wanted - before) / f - 0.5;
            return (k as f64 - SIDE as f64 + within) * width;
        }
        before += f;
    }
    0.0
}
