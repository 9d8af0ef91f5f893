//! What to read on a board that nothing is known of yet: which stations, in which order, and what that will tell.
//!
//! The stations are chosen as the next reading of a board is, see [`Estimate::worth`]: boards are drawn from what is held of
//! boards before any reading, each is read at both ends, and in the middle where the number of stations is odd; then the pair
//! joins, as far from end A as from end B, whose readings would take away most of what is still open of the
//! thickness that survives, on average over the boards; and so on.

use super::{Interval, widest_gap};
use crate::board::{CALIPER_ERROR, HEIGHT_ERROR, Outline, with_rounding};
use crate::readings::{Aligned, EdgesAt, Face, Gauge, Gauged, Point, Rest, Sticks, Straightedge};
use crate::surface::estimate::{
    Drawn, Estimate, EstimateError, Observation, Term, stated_thickness,
};
use crate::surface::{form, gauge_observation};

/// One reading of a survey; places are station and position, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ask {
    /// The height of the up face over a flat datum.
    Height([f64; 2]),
    /// The thickness, with a caliper.
    Thickness([f64; 2]),
    /// The gap under a straightedge on the up face.
    Gap {
        /// One end of it.
        from: [f64; 2],
        /// The other end.
        to: [f64; 2],
        /// Where the gap is read.
        at: [f64; 2],
    },
    /// A sliver over winding sticks across the up face.
    Sliver {
        /// Where the sticks lie; the sliver is read at the second.
        stations: [f64; 2],
        /// The near and the far edge under each.
        across: [[f64; 2]; 2],
    },
}

/// With what the up face is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tools {
    /// Heights over a flat datum, at so many positions across.
    Heights(usize),
    /// Straightedge and winding sticks.
    Sticks,
}

/// Readings of a board in the order in which a person walks round it.
#[derive(Debug, Clone, PartialEq)]
pub struct SurveyPlan {
    /// The rectangle around the board.
    pub outline: Outline,
    /// Where its edges lie at stations, ascending; empty for a rectangle.
    pub edges: Vec<EdgesAt>,
    /// With what it is read.
    pub tools: Tools,
    /// Ascending, both ends among them.
    pub stations: Vec<f64>,
    /// One after the other.
    pub asks: Vec<Ask>,
}

/// Boards drawn to choose the stations on.
const BOARDS: usize = 4;

/// Draws of the faces of each: enough to tell which station is worth more.
const DRAWS: usize = 200;

/// Places of a drawn board, along and across.
const PLACES: [usize; 2] = [49, 9];

/// Stations looked at, as for the next reading: both ends and eleven between.
const LOOKED_AT: usize = 13;

/// The thickness of the drawn boards, mm: five-quarter stock. What it is hardly changes where to read.
const THICKNESS: f64 = 32.0;

/// A rule is read to 1/64 in, mm.
const RULE_STEP: f64 = 25.4 / 64.0;

const SEED: u64 = 11;

impl SurveyPlan {
    /// A plan at stations that are settled already; both ends are added where they are missing.
    #[must_use]
    pub fn at(outline: Outline, edges: &[EdgesAt], tools: Tools, stations: &[f64]) -> Self {
        let length = outline.length;
        let mut stations = stations.to_vec();
        stations.extend([0.0, length]);
        stations.retain(|x| (0.0..=length).contains(x));
        stations.sort_by(f64::total_cmp);
        stations.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
        let mut plan = Self {
            outline,
            edges: edges.to_vec(),
            tools,
            stations,
            asks: Vec::new(),
        };
        plan.asks = plan.walk();
        plan
    }

    /// The near and the far edge at a station.
    #[must_use]
    pub fn edges_at(&self, station: f64) -> [f64; 2] {
        let Outline { y0, width, .. } = self.outline;
        EdgesAt::along(&self.edges, station).map_or([y0, y0 + width], |at| [at.near, at.far])
    }

    /// A plan of `count` stations, two or more, at multiples of `step` but for end B.
    ///
    /// # Errors
    ///
    /// Where the outline is none: see [`Estimate::new`].
    pub fn chosen(
        outline: Outline,
        edges: &[EdgesAt],
        tools: Tools,
        count: usize,
        step: f64,
    ) -> Result<Self, EstimateError> {
        let boards = typical(&outline)?;
        let Outline { length, .. } = outline;
        let marked = |x: f64| (x / step).round() * step;
        // Ends are alike before anything is read: a lopsided choice would only be the luck of the boards drawn.
        let middle: &[f64] = if count % 2 == 1 { &[length / 2.0] } else { &[] };
        let mut plan = Self::at(
            outline,
            edges,
            tools,
            &middle.iter().map(|x| marked(*x)).collect::<Vec<_>>(),
        );
        let mut open: Vec<[f64; 2]> = (1..=(LOOKED_AT - 2) / 2)
            .map(|i| length * i as f64 / (LOOKED_AT - 1) as f64)
            .map(|x| [marked(x), marked(length - x)])
            .collect();
        open.dedup();
        while plan.stations.len() + 1 < count && !open.is_empty() {
            let with = |pair: &[f64; 2]| {
                Self::at(outline, edges, tools, &[&plan.stations[..], pair].concat())
            };
            let mut worth = vec![0.0; open.len()];
            for board in &boards {
                let estimate = plan.read(board)?;
                let drawn = estimate.draws(DRAWS, SEED);
                let survives = survives(&drawn);
                for (sum, pair) in worth.iter_mut().zip(&open) {
                    let wider = with(pair);
                    let new = wider.asks.iter().filter(|ask| !plan.asks.contains(ask));
                    let new: Vec<Observation> = new.map(|ask| wider.observation(ask)).collect();
                    *sum += drawn.worth(&new, &survives).iter().sum::<f64>();
                }
            }
            let best = (0..open.len()).max_by(|a, b| worth[*a].total_cmp(&worth[*b]));
            let Some(best) = best else { break };
            plan = with(&open.remove(best));
        }
        Ok(plan)
    }

    /// Half of the interval, mm, that the thickness which survives is expected to have after these readings, on a typical board: the
    /// mean over boards drawn.
    ///
    /// # Errors
    ///
    /// As [`Estimate::new`].
    pub fn half_width(&self) -> Result<f64, EstimateError> {
        let boards = typical(&self.outline)?;
        let mut sum = 0.0;
        for board in &boards {
            let mut survives = survives(&self.read(board)?.draws(DRAWS, SEED));
            survives.sort_by(f64::total_cmp);
            let interval = Interval::of(&survives);
            sum += (interval.high - interval.low) / 2.0;
        }
        Ok(sum / boards.len() as f64)
    }

    /// Reads a board without error, though errors are reckoned with.
    fn read(&self, board: &Typical) -> Result<Estimate, EstimateError> {
        let read = self.asks.iter().map(|ask| {
            let observation = self.observation(ask);
            let value = observation.terms.iter().map(|t| t.weight * board.height(t));
            Observation {
                value: value.sum(),
                ..observation
            }
        });
        let read: Vec<Observation> = read.collect();
        Estimate::new(self.outline, &read, 0)
    }

    /// A reading as a weighted sum of heights; its value is still open. A straightedge is taken to bear on its ends.
    fn observation(&self, ask: &Ask) -> Observation {
        let gauge_sd = with_rounding(HEIGHT_ERROR, Some(RULE_STEP));
        let plain = |terms: Vec<Term>, sd: f64| Observation {
            terms,
            setup: Vec::new(),
            value: 0.0,
            sd,
        };
        match *ask {
            Ask::Height(at) => plain(vec![Term::new(Face::Up, at, 1.0)], gauge_sd),
            Ask::Thickness(at) => plain(
                vec![
                    Term::new(Face::Up, at, 1.0),
                    Term::new(Face::Down, at, -1.0),
                ],
                with_rounding(CALIPER_ERROR, Some(RULE_STEP)),
            ),
            Ask::Gap { .. } | Ask::Sliver { .. } => {
                let Some(gauge) = ask.gauge() else {
                    unreachable!("gaps and slivers are read with a gauge")
                };
                let gauged = Gauged {
                    gauge,
                    sd: gauge_sd,
                };
                gauge_observation(&self.outline, &gauged, None)
            }
        }
    }

    /// Out along the near edge, back along the far edge, then the middle: nobody walks further than that.
    fn walk(&self) -> Vec<Ask> {
        let count = match self.tools {
            Tools::Heights(count) => count.max(2),
            Tools::Sticks => 3,
        };
        let place = |x: f64, row: usize| {
            let [near, far] = self.edges_at(x);
            [x, near + (far - near) * row as f64 / (count - 1) as f64]
        };
        let heights = matches!(self.tools, Tools::Heights(_));
        let stations = &self.stations;
        let mut asks = Vec::new();
        let mut edge = |at: [f64; 2]| {
            if heights {
                asks.push(Ask::Height(at));
            }
            asks.push(Ask::Thickness(at));
        };
        stations.iter().for_each(|x| edge(place(*x, 0)));
        stations
            .iter()
            .rev()
            .for_each(|x| edge(place(*x, count - 1)));
        if heights {
            for row in 1..count - 1 {
                let mut along: Vec<Ask> = stations
                    .iter()
                    .map(|x| Ask::Height(place(*x, row)))
                    .collect();
                if row % 2 == 0 {
                    along.reverse();
                }
                asks.extend(along);
            }
            return asks;
        }
        let (first, last) = (stations[0], stations[stations.len() - 1]);
        // A board as short as a hair has one station.
        let between = stations.get(1..stations.len() - 1).unwrap_or_default();
        let (from, to) = (place(first, 1), place(last, 1));
        let along = |x: f64| {
            let share = (x - first) / (last - first);
            [x, from[1] + share * (to[1] - from[1])]
        };
        asks.extend(between.iter().map(|x| Ask::Gap {
            from,
            to,
            at: along(*x),
        }));
        asks.extend(stations.iter().rev().map(|x| Ask::Gap {
            from: place(*x, 0),
            to: place(*x, 2),
            at: place(*x, 1),
        }));
        asks.extend(stations[1..].iter().map(|x| Ask::Sliver {
            stations: [first, *x],
            across: [first, *x].map(|x| self.edges_at(x)),
        }));
        asks
    }
}

impl Ask {
    /// The gauge that is held for it, before anything is read: a straightedge on blocks of no height, sticks twice as long as
    /// the board is wide (common practice); none of heights and thicknesses.
    #[must_use]
    pub fn gauge(&self) -> Option<Gauge> {
        match *self {
            Self::Height(_) | Self::Thickness(_) => None,
            Self::Gap { from, to, at } => Some(Gauge::Straightedge(Straightedge {
                face: Face::Up,
                from,
                to,
                rest: Rest::Blocks(0.0),
                at,
                gap: 0.0,
            })),
            Self::Sliver { stations, across } => Some(Gauge::Sticks(Sticks {
                face: Face::Up,
                stations,
                across,
                length: 2.0 * (across[1][1] - across[1][0]),
                aligned: Aligned::Tips,
                pads: false,
                sliver: 0.0,
            })),
        }
    }
}

/// What survives of each board drawn, mm.
fn survives(drawn: &Drawn<'_>) -> Vec<f64> {
    drawn.each(PLACES, |faces| {
        widest_gap(&faces.up, &faces.down, [0.0, 0.0, 1.0], None).width
    })
}

/// A board as it might be.
struct Typical {
    outline: Outline,
    up: Vec<Point>,
    down: Vec<Point>,
}

/// Boards drawn from what is held of boards of this size before any reading, lying level.
fn typical(outline: &Outline) -> Result<Vec<Typical>, EstimateError> {
    let thickness = stated_thickness(outline, THICKNESS, 0.5);
    let nothing_read = Estimate::new(*outline, &[thickness], 0)?;
    let drawn = nothing_read.draws(BOARDS, SEED);
    let boards = drawn.each(PLACES, |mut faces| {
        let [a, b, c] = form::plane(&faces.up);
        for point in faces.up.iter_mut().chain(&mut faces.down) {
            point[2] -= a + b * point[0] + c * point[1];
        }
        Typical {
            outline: *outline,
            up: faces.up,
            down: faces.down,
        }
    });
    Ok(boards)
}

impl Typical {
    /// The height of a face over a place, straight between the places drawn.
    fn height(&self, term: &Term) -> f64 {
        let points = match term.face {
            Face::Up => &self.up,
            Face::Down => &self.down,
        };
        let (u, v) = self.outline.unit_place(term.x, term.y);
        let step = |unit: f64, count: usize| {
            let at = ((unit + 1.0) / 2.0).clamp(0.0, 1.0) * (count - 1) as f64;
            let below = (at.floor() as usize).min(count - 2);
            (below, at - below as f64)
        };
        let [stations, positions] = PLACES;
        let ((i, s), (j, t)) = (step(u, stations), step(v, positions));
        let z = |i: usize, j: usize| points[i * positions + j][2];
        let across = |i: usize| (1.0 - t) * z(i, j) + t * z(i, j + 1);
        (1.0 - s) * across(i) + s * across(i + 1)
    }
}
