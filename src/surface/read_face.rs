//! One face as its readings give it, be they few or a scan.

use std::borrow::Cow;

use super::between;
use super::cells::Cells;
use super::form::{Form, plane};
use super::moments;
use crate::board::Outline;
use crate::readings::Point;

/// So many readings or more are a scan.
const SCAN: usize = 1 << 15;

/// A scan whose plane is steeper along its datum than this is treated as other readings are.
const STEEPEST: f64 = 1.0;

/// The readings of a face and its form.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct ReadFace<'a> {
    points: Cow<'a, [Point]>,
    /// The face lies so far below the points.
    lowered: f64,
    form: Form,
    /// Of its least-squares plane, along x and y.
    slopes: [f64; 2],
    scan: Option<Summary>,
}

/// What stands for the readings of a scan.
#[derive(Debug, Clone, PartialEq)]
struct Summary {
    outermost: Vec<Point>,
    means: Vec<Point>,
}

impl<'a> ReadFace<'a> {
    pub(super) fn new(outline: Outline, points: Cow<'a, [Point]>) -> Self {
        if points.len() >= SCAN
            && let Some((form, slopes)) = moments::form(&outline, &points)
            && slopes[0].hypot(slopes[1]) < STEEPEST
            && let Some(cells) = Cells::new(&points, &form)
        {
            let scan = Some(Summary {
                outermost: cells.outermost(&points, &form),
                means: cells.means(),
            });
            return Self {
                points,
                lowered: 0.0,
                form,
                slopes,
                scan,
            };
        }
        let form = Form::new(outline, &points);
        let [_, b, c] = plane(&points);
        Self {
            points,
            lowered: 0.0,
            form,
            slopes: [b, c],
            scan: None,
        }
    }

    /// The same face, lower by so much.
    pub(super) fn lowered(&self, by: f64) -> Self {
        let lower = |points: &[Point]| points.iter().map(|&[x, y, z]| [x, y, z - by]).collect();
        match &self.scan {
            // The readings are millions: they are not written down a second time.
            Some(scan) => Self {
                lowered: self.lowered + by,
                form: self.form.lowered(by),
                scan: Some(Summary {
                    outermost: lower(&scan.outermost),
                    means: lower(&scan.means),
                }),
                ..self.clone()
            },
            None => Self::new(*self.form.outline(), Cow::Owned(lower(&self.points))),
        }
    }

    pub(super) fn into_owned(self) -> ReadFace<'static> {
        ReadFace {
            points: Cow::Owned(self.points.into_owned()),
            lowered: self.lowered,
            form: self.form,
            slopes: self.slopes,
            scan: self.scan,
        }
    }

    pub(super) fn readings(&self) -> impl Iterator<Item = Point> + '_ {
        let by = self.lowered;
        self.points.iter().map(move |&[x, y, z]| [x, y, z - by])
    }

    pub(super) fn outermost(&self) -> &[Point] {
        self.scan.as_ref().map_or(&self.points, |s| &s.outermost)
    }

    pub(super) fn course(&self) -> &[Point] {
        self.scan.as_ref().map_or(&self.points, |s| &s.means)
    }

    pub(super) fn is_scan(&self) -> bool {
        self.scan.is_some()
    }

    pub(super) fn form(&self) -> &Form {
        &self.form
    }

    pub(super) fn slopes(&self) -> [f64; 2] {
        self.slopes
    }

    pub(super) fn height(&self, x: f64, y: f64) -> f64 {
        between::height(&self.form, self.course(), x, y)
    }
}
