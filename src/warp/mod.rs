//! Cup, bow, twist and kink of a face, crook of the edges, thin spots.

mod kink;
mod sag;
mod thin_spot;

pub use kink::Kink;
pub use sag::sag;
pub use thin_spot::ThinSpot;

use crate::surface::Edges;
use crate::surface::form::Form;

/// A figure by least squares, mm, with one standard error from what the fit leaves; `None` where nothing is left over to
/// judge it by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure {
    /// Its value.
    pub value: f64,
    /// One standard error of it.
    pub error: Option<f64>,
    /// How far off it is for the error of the readings alone, one standard deviation, where that is known.
    pub reading_error: Option<f64>,
}

/// Cup, bow and twist of the up face and crook, mm; `None` where the readings do not determine one.
///
/// They are terms of the least-squares form over the board's whole length and width, so they belong to the whole board,
/// however far the readings reach.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Warp {
    /// The height of the middle over the line through both edges, positive crowned on the up face.
    pub cup: Option<Figure>,
    /// The height of the middle over the line through both ends, positive crowned on the up face.
    pub bow: Option<Figure>,
    /// `z(L, W) − z(L, 0) − z(0, W) + z(0, 0)`: what a fourth corner lifts when three lie on a table; positive
    /// when the far corner of end B and the near corner of end A stand high.
    pub twist: Option<Figure>,
    /// How far the middle of the edges lies over the line through their ends, positive towards the far edge.
    pub crook: Option<Figure>,
    /// What the form leaves of the readings, root mean square.
    pub residual_rms: f64,
}

impl Warp {
    /// The warp that the form of the up face and the edges show; each row of the form is off by `reading_error`, one standard
    /// deviation.
    #[must_use]
    pub fn of(form: &Form, reading_error: f64, edges: Option<&Edges>) -> Self {
        let figure = |term: usize, factor: f64| {
            let value = form.fit.coefficients.get(term).copied().flatten()?;
            let error = form.fit.standard_errors.get(term).copied().flatten();
            let gain = form.fit.gains.get(term).copied().flatten();
            Some(Figure {
                value: factor * value,
                error: error.map(|e| factor * e),
                reading_error: gain.map(|g| factor * g * reading_error),
            })
        };
        let crook = edges.and_then(|e| {
            Some(Figure {
                value: e.crook?,
                error: e.crook_error,
                reading_error: None,
            })
        });
        Self {
            cup: figure(5, 1.0),
            bow: figure(4, 1.0),
            twist: figure(3, 4.0),
            crook,
            residual_rms: form.fit.residual_rms(),
        }
    }
}
