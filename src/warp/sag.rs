//! How far a board sags under its own weight while it is read.

/// Density, kg/m³, and modulus of elasticity, N/m², of a middling hardwood (from memory of the Wood Handbook's tables; species
/// lie within a quarter of their ratio).
const DENSITY: f64 = 620.0;
const ELASTICITY: f64 = 1.1e10;

/// Standard gravity, m/s² (ISO 80000-3).
const GRAVITY: f64 = 9.806_65;

/// The sag (mm) of the middle of a board of this length and thickness (mm) that lies on its two ends alone: 5wL⁴/384EI
/// for an evenly loaded beam, w the weight a length and I = width × thickness³/12. The width drops out.
#[must_use]
pub fn sag(length: f64, thickness: f64) -> f64 {
    if thickness <= 0.0 {
        return 0.0;
    }
    let (length, thickness) = (length / 1000.0, thickness / 1000.0);
    let metres = 5.0 * DENSITY * GRAVITY * length.powi(4) / (32.0 * ELASTICITY * thickness.powi(2));
    1000.0 * metres
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The bending moment integrated twice, step by step.
    #[test]
    fn a_beam_sags_as_its_moments_bend_it() {
        let (length, thickness) = (2.0, 0.025);
        let weight = DENSITY * GRAVITY * thickness;
        let stiffness = ELASTICITY * thickness * thickness * thickness / 12.0;
        let steps = 20_000;
        let step = length / f64::from(steps);
        // From the middle, where it lies level, to an end.
        let (mut slope, mut rise) = (0.0, 0.0);
        for i in 0..steps / 2 {
            let x = length / 2.0 - (f64::from(i) + 0.5) * step;
            slope += weight * x * (length - x) / 2.0 / stiffness * step;
            rise += (slope - weight * x * (length - x) / 4.0 / stiffness * step) * step;
        }
        let sagged = sag(1000.0 * length, 1000.0 * thickness);
        assert!((1000.0 * rise - sagged).abs() < 1e-3, "{rise} {sagged}");
        assert_eq!(sag(1000.0, 0.0), 0.0);
    }
}
