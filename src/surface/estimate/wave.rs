//! Functions of one coordinate, −1 to 1 over the board, of which the faces are made.

use std::f64::consts::{FRAC_PI_2, PI};

#[derive(Debug, Clone, Copy)]
pub(super) enum Wave {
    /// 1.
    Constant,
    /// u.
    Slope,
    /// u².
    Square,
    /// 1 − u²: cup or bow.
    Crown,
    /// sin(nπ(1 + u)/2): nought at both ends. With amplitudes that fall as 1/n² they make up the path whose
    /// curvature is white noise, pinned at both ends: kinks of any size at any place.
    Bridge(u32),
    /// u(1 − u²): S-bow.
    Ess,
    /// (1 − u²)(1 − 5u²): a bow that is flat in the middle, or pointed.
    Quartic,
    /// S-bow: two parabolic arcs, one hollow and one crowned, that meet at `at` in one slope; nought there and at both ends,
    /// the arc of the longer part 1 high.
    Turn { at: f64 },
    /// Nought up to `start`, from there on the share of the rest of the board to the power; from the far end backwards
    /// where `far` is false.
    Curl { start: f64, power: f64, far: bool },
    /// sin(nπ(u + half)/(2 half)): on an interval longer than the board.
    Wide { n: u32, half: f64 },
    /// A bell about `at`; `reach` is its standard deviation.
    Bell { at: f64, reach: f64 },
    /// A kink at `at`: straight from nought at −1 up to 1 there and straight down to nought at 1.
    Hat { at: f64 },
}

impl Wave {
    pub(super) fn at(self, u: f64) -> f64 {
        match self {
            Self::Constant => 1.0,
            Self::Slope => u,
            Self::Square => u * u,
            Self::Crown => 1.0 - u * u,
            Self::Ess => u * (1.0 - u * u),
            Self::Quartic => (1.0 - u * u) * (1.0 - 5.0 * u * u),
            Self::Turn { at } => {
                let (near, far) = (1.0 + at, 1.0 - at);
                let scale = 1.0 / near.max(far);
                if u < at {
                    4.0 * (u + 1.0) * (at - u) / near * scale
                } else {
                    -4.0 * (u - at) * (1.0 - u) / far * scale
                }
            }
            Self::Curl { start, power, far } => {
                let u = if far { u } else { -u };
                ((u - start) / (1.0 - start)).max(0.0).powf(power)
            }
            Self::Bridge(n) => (f64::from(n) * FRAC_PI_2 * (1.0 + u)).sin(),
            Self::Wide { n, half } => (f64::from(n) * FRAC_PI_2 * (1.0 + u / half)).sin(),
            Self::Bell { at, reach } => (-0.5 * ((u - at) / reach).powi(2)).exp(),
            Self::Hat { at } => ((1.0 + u) / (1.0 + at)).min((1.0 - u) / (1.0 - at)),
        }
    }
}

/// Waves and their standard deviations for a stationary random function of standard deviation 1 and correlation
/// length `reach` (in half-lengths of the board): the squared exponential covariance by its sine expansion on a longer
/// interval (Solin and Särkkä, "Hilbert space methods for reduced-rank Gaussian process regression", 2020).
pub(super) fn stationary(reach: f64, most: u32) -> Vec<(Wave, f64)> {
    let half = 1.0 + 1.2 * reach;
    let count = ((4.0 / reach * 2.0 * half / PI).ceil() as u32).clamp(2, most);
    let density = |n: u32| {
        let omega = f64::from(n) * FRAC_PI_2 / half;
        (-0.5 * (omega * reach).powi(2)).exp()
    };
    // Half the waves have the value 1 in the middle, and half nought; elsewhere the sum of squares is 1/2 on average.
    let total: f64 = (1..=count).map(density).sum::<f64>() / 2.0;
    (1..=count)
        .map(|n| (Wave::Wide { n, half }, (density(n) / total).sqrt()))
        .collect()
}
