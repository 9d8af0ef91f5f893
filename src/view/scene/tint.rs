//! A quiet tint for what comes off: paper where it is nothing, dark slate where it is most.
//!
//! The tints lie evenly on a straight line through the OKLab space (B. Ottosson, *A perceptual color space for image
//! processing*, 2020): equal steps look equal, and since lightness falls all the way, they stay apart for every kind of
//! colour vision and in print.

/// A colour, red, green and blue, 0 to 255, sRGB.
pub type Rgb = [u8; 3];

/// Lightness and the two colour axes of the lightest tint, near the colour of planed maple, and of the darkest, slate.
const LIGHTEST: [f64; 3] = [0.955, 0.003, 0.024];
const DARKEST: [f64; 3] = [0.47, -0.042, -0.058];

/// The tint at a share of the way from the lightest to the darkest.
#[must_use]
pub fn tint(share: f64) -> Rgb {
    let share = share.clamp(0.0, 1.0);
    srgb([0, 1, 2].map(|k| LIGHTEST[k] + share * (DARKEST[k] - LIGHTEST[k])))
}

/// From OKLab to sRGB, with the matrices of the publication.
fn srgb([l, a, b]: [f64; 3]) -> Rgb {
    let [l, m, s] = [
        l + 0.396_337_777_4 * a + 0.215_803_757_3 * b,
        l - 0.105_561_345_8 * a - 0.063_854_172_8 * b,
        l - 0.089_484_177_5 * a - 1.291_485_548 * b,
    ]
    .map(|cone| cone.powi(3));
    [
        4.076_741_662_1 * l - 3.307_711_591_3 * m + 0.230_969_929_2 * s,
        -1.268_438_004_6 * l + 2.609_757_401_1 * m - 0.341_319_396_5 * s,
        -0.004_196_086_3 * l - 0.703_418_614_7 * m + 1.707_614_701 * s,
    ]
    .map(|linear| {
        // IEC 61966-2-1.
        let encoded = if linear <= 0.003_130_8 {
            12.92 * linear
        } else {
            1.055 * linear.powf(1.0 / 2.4) - 0.055
        };
        (encoded.clamp(0.0, 1.0) * 255.0).round() as u8
    })
}

#[cfg(test)]
mod tests {
    use super::tint;

    /// Lightness L* of CIE 15:2004 of an sRGB colour.
    fn lightness(rgb: [u8; 3]) -> f64 {
        let [r, g, b] = rgb.map(|c| {
            let c = f64::from(c) / 255.0;
            if c <= 0.040_45 {
                c / 12.92
            } else {
                ((c + 0.055) / 1.055).powf(2.4)
            }
        });
        let y = 0.2126 * r + 0.7152 * g + 0.0722 * b;
        116.0 * y.cbrt() - 16.0
    }

    #[test]
    fn equal_steps_look_equal() {
        let steps: Vec<f64> = (0..8)
            .map(|k| lightness(tint(f64::from(k) / 8.0)) - lightness(tint(f64::from(k + 1) / 8.0)))
            .collect();
        let mean = steps.iter().sum::<f64>() / 8.0;
        assert!(mean > 5.0, "each step is seen: {steps:?}");
        assert!(
            steps.iter().all(|s| (s / mean - 1.0).abs() < 0.2),
            "{steps:?}"
        );
    }
}
