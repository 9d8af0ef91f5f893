//! The expected course of both faces, at the cost of one sum a place.

use nalgebra::DVector;

use super::Estimate;
use crate::readings::Face;

/// The expected heights of both faces.
#[derive(Debug, Clone)]
pub struct Course<'a> {
    estimate: &'a Estimate,
    /// Per group, the mean amplitudes over all beliefs.
    groups: Vec<DVector<f64>>,
    /// Per shape of a feature, likewise.
    shapes: Vec<f64>,
}

impl Estimate {
    /// The expected course of both faces.
    #[must_use]
    pub fn course(&self) -> Course<'_> {
        let share = 1.0 / self.beliefs.len() as f64;
        let design = &self.design;
        let mut groups: Vec<DVector<f64>> = design
            .groups
            .iter()
            .map(|g| DVector::zeros(g.ncols()))
            .collect();
        let mut shapes = vec![0.0; design.shapes.len()];
        for belief in &self.beliefs {
            for ((mean, seen), factor) in groups.iter_mut().zip(&design.groups).zip(&belief.factors)
            {
                mean.gemv_tr(share * factor * factor, seen, &belief.solved, 1.0);
            }
            for &k in &belief.shapes {
                let amplitude = design.means[k] + design.shapes[k].dot(&belief.solved);
                shapes[k] += share * amplitude;
            }
        }
        Course {
            estimate: self,
            groups,
            shapes,
        }
    }
}

impl Course<'_> {
    /// The expected height of a face over a place, mm.
    #[must_use]
    pub fn height(&self, face: Face, x: f64, y: f64) -> f64 {
        let Estimate { outline, prior, .. } = self.estimate;
        let (u, v) = outline.unit_place(x, y);
        let mut height = 0.0;
        for (group, amplitudes) in prior.groups.iter().zip(&self.groups) {
            let factor = if face == Face::Up {
                group.up
            } else {
                group.down
            };
            if factor == 0.0 {
                continue;
            }
            let along: Vec<f64> = group.along.iter().map(|w| w.at(u)).collect();
            for (q, across) in group.across.iter().enumerate() {
                let first = q * along.len();
                let columns = along
                    .iter()
                    .enumerate()
                    .map(|(p, along)| along * group.sd[first + p] * amplitudes[first + p]);
                height += factor * across.at(v) * columns.sum::<f64>();
            }
        }
        for (shape, amplitude) in prior.shapes.iter().zip(&self.shapes) {
            if *amplitude != 0.0 {
                height += amplitude * shape.at(face, u, v);
            }
        }
        height
    }
}
