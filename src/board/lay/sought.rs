//! A board while its ends and edges are looked for among the points, round by round.

use super::edge::{Line, Strip, bow};
use super::rectangle::Rectangle;
use super::{NoLay, Stated, axes, middle_across};
use crate::board::Side;
use crate::readings::{EdgesAt, EndA};

/// Half the depth of the strips along the edges in which the points' end is looked for, as shares of the lesser side, round by
/// round.
pub(super) const DEPTHS: [f64; 6] = [1.0 / 4.0, 1.0 / 8.0, LAST, LAST, LAST, LAST];
const LAST: f64 = 1.0 / 24.0;

/// And as many times the points' distance, but for these shares of the lesser side at the ends and at the edges.
const PITCHES: f64 = 4.0;
const DEEPEST: [f64; 2] = [1.0 / 2.0, 1.0 / 4.0];

/// Sides that differ by less than this share could be either.
const ALIKE: f64 = 0.05;

/// A direction this near to 45 degrees could be either axis', degrees.
const NEAR_45: f64 = 5.0;

/// A board while it is looked for.
pub(super) struct Sought {
    pub(super) middle: [f64; 2],
    pub(super) direction: f64,
    turned: bool,
    pub(super) size: [f64; 2],
    /// Of end A and end B, as they go across; of the near and the far edge, as they go along.
    pub(super) slopes: [f64; 4],
    /// The bow of both edges: positive where their ends lie further out than their middle.
    bows: [f64; 2],
    /// The points' distance along each.
    pitches: [f64; 4],
}

impl Sought {
    /// From the rectangle about it, and which way round it lay.
    pub(super) fn new(
        rectangle: &Rectangle,
        count: usize,
        turned: bool,
        stated: &Stated<'_>,
    ) -> Result<Self, NoLay> {
        let [long, short] = rectangle.sides;
        let wide = matches!(stated.size, [Some(length), Some(width)] if length < width);
        let towards = match stated.end_a {
            Some(EndA::LowX) => 0.0,
            Some(EndA::LowY) => 90.0_f64,
            Some(EndA::HighX) => 180.0,
            Some(EndA::HighY) => 270.0,
            None if short > (1.0 - ALIKE) * long => return Err(NoLay::Square),
            None => {
                let along = rectangle.direction.to_degrees() + if wide { 90.0 } else { 0.0 };
                // Of the axes, the nearest either way, upwards unless end A lay high.
                let axis = 90.0 * (along / 90.0).round().rem_euclid(2.0);
                axis + if stated.high { 180.0 } else { 0.0 }
            }
        };
        let quarters = (towards - rectangle.direction.to_degrees()) / 90.0;
        let turns = quarters.round();
        let askew = 90.0 * (quarters - turns).abs();
        if askew > 45.0 - NEAR_45 {
            return Err(NoLay::Askew(askew));
        }
        let swapped = turns.rem_euclid(2.0) == 1.0;
        Ok(Self {
            middle: rectangle.middle,
            direction: rectangle.direction + turns * std::f64::consts::FRAC_PI_2,
            turned,
            size: if swapped {
                [short, long]
            } else {
                [long, short]
            },
            slopes: [0.0; 4],
            bows: [0.0; 2],
            pitches: [(long * short / count as f64).sqrt(); 4],
        })
    }

    /// Fits the ends and edges in strips as deep as a share of the lesser side, and moves the board accordingly.
    pub(super) fn round(
        &mut self,
        places: &[[f64; 2]],
        depth: f64,
        stated: &Stated<'_>,
    ) -> Result<[Line; 4], NoLay> {
        let lesser = self.size[0].min(self.size[1]);
        let half = self.size.map(|size| size / 2.0);
        let strip = |half: f64, pitch: f64, most: f64| {
            let depth = (lesser * depth).max(PITCHES * pitch);
            Strip::new(half, depth.min(lesser * most))
        };
        let [a, b, near, far] = self.pitches;
        let mut strips = [
            strip(half[1], a, DEEPEST[0]),
            strip(half[1], b, DEEPEST[0]),
            strip(half[0], near, DEEPEST[1]),
            strip(half[0], far, DEEPEST[1]),
        ];
        let length = stated.size[0].unwrap_or(self.size[0]);
        let width = stated.size[1].unwrap_or(self.size[1]);
        let middle = middle_across(stated, width);
        // Where the stated edges lie, over the straight ones.
        let bulge = |x: f64| {
            let at = EdgesAt::along(stated.edges, x + length / 2.0);
            at.map_or([0.0; 2], |at| {
                [at.near - middle + half[1], at.far - middle - half[1]]
            })
        };
        let axes = axes(self.direction, self.turned);
        for at in places {
            let from = [0, 1].map(|k| at[k] - self.middle[k]);
            let [x, y] = [0, 1].map(|k| axes[k][0] * from[0] + axes[k][1] * from[1]);
            let [a, b, near, far] = self.slopes;
            strips[0].add(y, -(x - a * y) - half[0]);
            strips[1].add(y, x - b * y - half[0]);
            let over = bulge(x);
            let bowed = self.bows.map(|by| by * bow(x / half[0]));
            strips[2].add(x, -(y - near * x - over[0]) - half[1] - bowed[0]);
            strips[3].add(x, y - far * x - over[1] - half[1] - bowed[1]);
        }
        self.pitches = [0, 1, 2, 3].map(|k: usize| strips[k].pitch());
        let [a, b, near, far] = strips;
        let found = |strip: Strip, side, curved| strip.line(curved).ok_or(NoLay::NoEdge(side));
        let lines = [
            found(a, Side::Length, false)?,
            found(b, Side::Length, false)?,
            found(near, Side::Width, true)?,
            found(far, Side::Width, true)?,
        ];
        self.moved(&lines);
        Ok(lines)
    }

    /// Moves the board to where its ends and edges were found.
    fn moved(&mut self, lines: &[Line; 4]) {
        let half = [self.size[1], self.size[1], self.size[0], self.size[0]].map(|s| s / 2.0);
        // From outward to along and across.
        let out = [-1.0, 1.0, -1.0, 1.0];
        let off = [0, 1, 2, 3].map(|k| out[k] * lines[k].offset);
        self.bows = [0, 1].map(|k| self.bows[k] + lines[2 + k].bow);
        for k in 0..4 {
            self.slopes[k] += out[k] * lines[k].slope / half[k];
        }
        let turn = (self.slopes[2] + self.slopes[3]) / 2.0;
        for (k, slope) in self.slopes.iter_mut().enumerate() {
            *slope += if k < 2 { turn } else { -turn };
        }
        let shift = [(off[0] + off[1]) / 2.0, (off[2] + off[3]) / 2.0];
        self.size[0] += off[1] - off[0];
        self.size[1] += off[3] - off[2];
        let axes = axes(self.direction, self.turned);
        for k in [0, 1] {
            self.middle[k] += shift[0] * axes[0][k] + shift[1] * axes[1][k];
        }
        self.direction += if self.turned { -turn } else { turn };
    }
}
