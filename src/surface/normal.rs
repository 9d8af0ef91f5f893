//! The normal distribution.

/// Half the width of the central 90 % over the standard deviation.
pub const NINE_IN_TEN: f64 = 1.644_853_626_951_472_7;

/// The probability that a standard normal number lies below `z`.
///
/// By the series of G. Marsaglia, *Evaluating the Normal Distribution*, Journal of Statistical Software 11 (2004), to about
/// 1e-15.
///
/// ```
/// use outwind::surface::normal;
///
/// assert!((normal::below(normal::NINE_IN_TEN) - 0.95).abs() < 1e-12);
/// ```
#[must_use]
pub fn below(z: f64) -> f64 {
    if z.is_nan() {
        return f64::NAN;
    }
    // Beyond, the rest is less than rounding.
    if z.abs() > 8.3 {
        return if z > 0.0 { 1.0 } else { 0.0 };
    }
    let (mut sum, mut term, mut i) = (z, z, 1.0);
    loop {
        i += 2.0;
        term *= z * z / i;
        let next = sum + term;
        if next == sum {
            break;
        }
        sum = next;
    }
    let density = (-0.5 * z * z).exp() / std::f64::consts::TAU.sqrt();
    (0.5 + density * sum).clamp(0.0, 1.0)
}

/// The number below which a standard normal number lies with probability `p`, by halving; ±8.3 beyond what `below` tells
/// apart.
#[must_use]
pub fn quantile(p: f64) -> f64 {
    let (mut low, mut high) = (-8.3, 8.3);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if below(middle) < p {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}
