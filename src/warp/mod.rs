//! Cup, bow and twist of a face.

use crate::surface::form::Form;

/// Cup, bow and twist of the up face, mm; `None` where its readings do not determine one.
///
/// They are terms of the least-squares form of the heights over the board's whole length and width, so they
/// belong to the whole board, however far the readings reach.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Warp {
    /// The height of the middle over the line through both edges, positive crowned on the up face.
    pub cup: Option<f64>,
    /// The height of the middle over the line through both ends, positive crowned on the up face.
    pub bow: Option<f64>,
    /// `z(L, W) − z(L, 0) − z(0, W) + z(0, 0)`: what a fourth corner lifts when three lie on a table; positive
    /// when the far corner of end B and the near corner of end A stand high.
    pub twist: Option<f64>,
    /// What the form leaves of the readings, root mean square.
    pub residual_rms: f64,
}

impl Warp {
    /// The warp that a form shows.
    #[must_use]
    pub fn of(form: &Form) -> Self {
        let [.., twist, bow, cup] = form.fit.coefficients[..] else {
            return Self {
                cup: None,
                bow: None,
                twist: None,
                residual_rms: 0.0,
            };
        };
        Self {
            cup,
            bow,
            twist: twist.map(|c| 4.0 * c),
            residual_rms: form.fit.residual_rms(),
        }
    }
}
