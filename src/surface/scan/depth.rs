//! How deep the roughness reaches under the local planes.
//!
//! The residuals are roughness plus noise. The distribution of the roughness alone is what, blurred by normal noise, makes the
//! residuals likeliest, approached by a fixed number of steps of expectation and maximisation from a
//! flat start (W. Richardson 1972, L. Lucy 1974; N. Laird, *Nonparametric maximum likelihood estimation of a mixing
//! distribution*, 1978; from memory). A fixed number keeps it smooth, and the same at every number of points.

use super::UNCLEANED;
use super::noise::{Noise, Residual, Told};

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

/// Where the residuals do not tell it, the depth in standard deviations of the roughness, and how far that may be off: 1.1 for
/// cusps between hollows, 1.4 for a sine, 1.7 for an even spread, some 2 for marks with fuzz, 3.1 for a normal one.
const USUAL_DEPTH: f64 = 1.8;
const SHAPE: f64 = 0.6;

/// Where they do, it may still be off by this.
const SEEN: f64 = 0.1;

/// The crests likewise.
const USUAL_CREST: f64 = 1.5;

/// The depth of a normal roughness.
const NORMAL: f64 = 3.09;

/// The standard deviation of a sawn face's roughness beforehand, mm, and its factor either way as a logarithm: marks some
/// 0.3 mm deep (common practice), a planed face far less, a chainsaw's more.
const USUAL: f64 = 0.1;
const USUAL_FACTOR: f64 = 0.7;

/// Standard deviations of the roughness for which the distribution is found, and those for which it is weighed.
const TRIED: usize = 10;
const FINE: usize = 400;

impl Roughness {
    pub(super) fn new(sampled: &[Vec<Residual>], far: f64, noise: &Noise) -> Self {
        let width = 2.0 * far / SIDE as f64;
        let residuals = Residuals {
            bins: histogram(sampled, width, far),
            width,
        };
        let whole = noise.total.sqrt();
        let at = |k: usize, n: usize| whole * k as f64 / n as f64;
        let reached: Vec<Reach> = (0..=TRIED)
            .map(|k| residuals.reach(at(k, TRIED), noise))
            .collect();
        // Each standard deviation that the roughness may have, weighed by what is usual and what is known of the noise.
        let weighed = (1..=FINE).map(|k| {
            let sd = at(k, FINE);
            let usual = (-0.5 * ((sd / USUAL).ln() / USUAL_FACTOR).powi(2)).exp() / sd.max(1e-9);
            let weight = usual * noise.likelihood(noise.total - sd * sd);
            (weight, sd, Reach::between(&reached, k as f64 / FINE as f64))
        });
        let [
            mut all,
            mut square,
            mut depth,
            mut deep,
            mut shape,
            mut crest,
        ] = [0.0; 6];
        for (weight, sd, reach) in weighed {
            all += weight;
            square += weight * sd * sd;
            depth += weight * reach.depth;
            deep += weight * reach.depth * reach.depth;
            shape += weight * reach.unsure * reach.unsure;
            crest += weight * reach.crest;
        }
        if all <= 0.0 {
            // Too smooth for what is usual to say anything.
            (all, square, depth, deep, shape, crest) = (1.0, 0.0, 0.0, 0.0, 0.0, 0.0);
        }
        let (square, depth) = (square / all, depth / all);
        Self {
            noise: (noise.total - square).max(0.0).sqrt(),
            sd: square.sqrt(),
            told: noise.told(),
            depth,
            depth_sd: (deep / all - depth * depth + shape / all).max(0.0).sqrt(),
            crest: crest / all,
        }
    }

    /// From the crests down to where the face is cleaned up, mm.
    #[must_use]
    pub fn height(&self) -> f64 {
        self.crest + self.depth
    }
}

/// Shares of the area by residual, each cell weighing the same, without what stands `far` off.
fn histogram(sampled: &[Vec<Residual>], width: f64, far: f64) -> [f64; BINS] {
    let mut bins = [0.0; BINS];
    for cell in sampled.iter().filter(|cell| cell.len() > 3) {
        let count = cell.len() as f64;
        // Three unknowns of the plane have brought the residuals nearer to it.
        let stretch = (count / (count - 3.0)).sqrt();
        for r in cell.iter().filter(|r| r.off.abs() <= far) {
            let bin = (r.off * stretch / width).round();
            let bin = bin.clamp(-(SIDE as f64), SIDE as f64) + SIDE as f64;
            bins[bin as usize] += 1.0 / count;
        }
    }
    let all: f64 = bins.iter().sum();
    bins.map(|b| if all > 0.0 { b / all } else { 0.0 })
}

/// Shares of the area by residual.
struct Residuals {
    bins: [f64; BINS],
    width: f64,
}

/// What a roughness would reach.
#[derive(Clone, Copy, Default)]
struct Reach {
    depth: f64,
    crest: f64,
    /// How far its shape leaves the depth open, one standard deviation.
    unsure: f64,
}

impl Reach {
    /// At a share of the way from the first to the last.
    fn between(reached: &[Self], share: f64) -> Self {
        let at = share * (reached.len() - 1) as f64;
        let k = (at as usize).min(reached.len() - 2);
        let (a, b, t) = (reached[k], reached[k + 1], at - k as f64);
        let mix = |a: f64, b: f64| a + t * (b - a);
        Self {
            depth: mix(a.depth, b.depth),
            crest: mix(a.crest, b.crest),
            unsure: mix(a.unsure, b.unsure),
        }
    }
}

impl Residuals {
    /// What a roughness of this standard deviation reaches.
    ///
    /// Where the noise hides the roughness its shape is not to be had from the residuals, least of all its tail; its variance is.
    /// So depth and crest are multiples of the standard deviation: between those of the unblurred distribution and usual ones,
    /// by the roughness's share of the variance.
    fn reach(&self, sd: f64, noise: &Noise) -> Reach {
        if sd <= 0.0 {
            return Reach::default();
        }
        // What planes leave of the face's shape blurs like noise.
        let blur = (noise.spread - sd * sd).max(0.0).sqrt();
        let distribution = if blur < 0.5 * self.width {
            self.bins
        } else {
            unblurred(&self.bins, self.width, blur, sd)
        };
        let seen = sd * sd / noise.spread;
        let most = NORMAL / (1.0 - seen * seen).max(1e-6);
        let multiple = |share: f64| quantile(&distribution, self.width, share) / sd;
        let depth = (-multiple(UNCLEANED)).clamp(0.0, most);
        let crest = multiple(1.0 - CRESTS).clamp(0.0, most);
        Reach {
            depth: sd * (seen * depth + (1.0 - seen) * USUAL_DEPTH),
            crest: sd * (seen * crest + (1.0 - seen) * USUAL_CREST),
            unsure: sd * (SHAPE * (1.0 - seen)).max(SEEN),
        }
    }
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
            *r = if *seen > 0.0 {
                seen / b.max(1e-300)
            } else {
                0.0
            };
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

#[cfg(test)]
mod tests {
    use super::*;

    const WIDTH: f64 = 0.02;

    /// Shares of an even spread of ± `reach` that normal noise blurred, by Simpson's rule over the spread.
    fn even_and_noise(reach: f64, noise: f64) -> [f64; BINS] {
        let mut bins = [0.0; BINS];
        let steps = 400;
        for (k, bin) in bins.iter_mut().enumerate() {
            let at = (k as f64 - SIDE as f64) * WIDTH;
            for i in 0..=steps {
                let place = -reach + 2.0 * reach * f64::from(i) / f64::from(steps);
                let weight = match i {
                    i if i == 0 || i == steps => 1.0,
                    i if i % 2 == 1 => 4.0,
                    _ => 2.0,
                };
                *bin += weight * (-0.5 * ((at - place) / noise).powi(2)).exp();
            }
        }
        let all: f64 = bins.iter().sum();
        bins.map(|b| b / all)
    }

    #[test]
    fn what_noise_blurred_is_found_again() {
        for (reach, noise) in [(0.4, 0.05), (0.4, 0.1), (0.6, 0.15)] {
            let sd = reach / 3.0_f64.sqrt();
            let found = unblurred(&even_and_noise(reach, noise), WIDTH, noise, sd);
            for share in [0.02, 0.25, 0.5, 0.9] {
                let (is, was) = (quantile(&found, WIDTH, share), reach * (2.0 * share - 1.0));
                assert!(
                    (is - was).abs() < 0.06 * reach,
                    "{reach} {noise} {share}: {is} for {was}"
                );
            }
            let deepest = quantile(&found, WIDTH, UNCLEANED);
            assert!((-1.2 * reach..-0.9 * reach).contains(&deepest), "{deepest}");
        }
    }

    /// Within a bin a share lies in proportion.
    #[test]
    fn a_share_lies_within_its_bin() {
        let mut bins = [0.0; BINS];
        bins[SIDE] = 0.8;
        bins[SIDE + 3] = 0.2;
        for (share, place) in [
            (0.2, -0.25),
            (0.4, 0.0),
            (0.8, 0.5),
            (0.85, 2.75),
            (0.95, 3.25),
        ] {
            let is = quantile(&bins, WIDTH, share);
            assert!((is - place * WIDTH).abs() < 1e-12, "{share}: {is}");
        }
    }
}
