//! One board: its outline, its readings, and how far they reach.

mod error;
mod lay;
mod outline;
mod record;

pub use error::BoardError;
pub use lay::{FEWEST_POINTS, Lay, NoLay, Shape, Stated};
pub use outline::{Outline, reach};

use crate::readings::{About, Avoid, Caliper, Edge, EdgesAt, Face, Gauge, Gauged, Layout, Point};

/// What is known of the down face over the datum of the board's heights; at least one of these, or readings of
/// another set-up or with a gauge that tell it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Down {
    /// The board is about this thick everywhere: down = up − thickness, where nothing else is known.
    pub thickness: Option<f64>,
    /// The down face was read itself, over the same datum as the up face.
    pub heights: Vec<Point>,
    /// The board was measured with a caliper at these places.
    pub calipers: Vec<Caliper>,
}

/// How far readings are off, one standard deviation in millimetres, rounding included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadingErrors {
    /// Of a height of the up face.
    pub up: f64,
    /// Of a height of the down face.
    pub down: f64,
    /// Of a caliper reading.
    pub caliper: f64,
    /// Whether the user said how far heights are off.
    pub stated: bool,
}

impl Default for ReadingErrors {
    fn default() -> Self {
        Self {
            up: HEIGHT_ERROR,
            down: HEIGHT_ERROR,
            caliper: CALIPER_ERROR,
            stated: false,
        }
    }
}

/// Standard deviation of a height where nothing is said, mm (common practice: a rule read to the half millimetre).
pub const HEIGHT_ERROR: f64 = 0.3;

/// Standard deviation of a caliper reading where nothing is said, mm (common practice).
pub const CALIPER_ERROR: f64 = 0.15;

/// An instrument's own error with that of rounding to multiples of a step, which is uniform: step / √12.
#[must_use]
pub fn with_rounding(error: f64, step: Option<f64>) -> f64 {
    error.hypot(step.unwrap_or(0.0) / 12.0_f64.sqrt())
}

/// Heights of one face over a datum of their own, of which the board's frame knows nothing.
#[derive(Debug, Clone, PartialEq)]
pub struct SetUp {
    /// Sets of one number share a datum; 1 or more.
    pub datum: usize,
    /// The face that was read.
    pub face: Face,
    /// The board lay turned over: heights stand out of the face, else out of the up face.
    pub turned: bool,
    /// Stations and positions on the board, heights over the datum.
    pub points: Vec<Point>,
    /// Error of a height, one standard deviation, rounding included.
    pub sd: f64,
    /// Whether the user said so.
    pub stated: bool,
}

/// One board and its readings, in millimetres.
#[derive(Debug, Clone, PartialEq)]
pub struct Board {
    /// What its owner calls it.
    pub name: String,
    /// What it covers.
    pub outline: Outline,
    /// The heights of the up face over the board's first datum.
    pub up: Vec<Point>,
    /// What is known of the down face.
    pub down: Down,
    /// Heights over other datums.
    pub set_ups: Vec<SetUp>,
    /// Readings by straightedge, sticks, corner or string.
    pub gauged: Vec<Gauged>,
    /// Where the edges lie at stations, ascending; empty for a rectangle.
    pub edges: Vec<EdgesAt>,
    /// What is known of the wood.
    pub about: About,
    /// Places that no part may take in.
    pub avoid: Vec<Avoid>,
    /// How the heights of the up face lie.
    pub layout: Layout,
    /// How far heights and caliper readings are off.
    pub errors: ReadingErrors,
    /// How the board lay in scanners' own frames, each with the datums over which it was read there.
    pub lays: Vec<(Lay, Vec<usize>)>,
    /// How the readings were taken to lie on the board, where that was not said outright.
    pub assumptions: Vec<Assumption>,
}

/// What was taken for granted of how the readings lie on the board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Assumption {
    /// The board ends at its outermost readings, which do not start at zero.
    EndsAtReadings(Side),
    /// The readings' coordinates do not fit between zero and the stated size, so they were put in its middle.
    Centred(Side),
}

/// Along a board or across it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// From end A to end B.
    Length,
    /// From the near to the far edge.
    Width,
}

/// All that was read of a board and said of it, in millimetres.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Particulars {
    /// What to call it.
    pub name: String,
    /// Its length, where longer than the readings reach.
    pub length: Option<f64>,
    /// Its width, where wider than the readings reach.
    pub width: Option<f64>,
    /// The heights of the up face.
    pub up: Vec<Point>,
    /// How they lie.
    pub layout: Layout,
    /// What is known of the down face.
    pub down: Down,
    /// Heights over other datums.
    pub set_ups: Vec<SetUp>,
    /// Readings by straightedge, sticks, corner or string.
    pub gauged: Vec<Gauged>,
    /// Where the edges lie at stations, ascending; empty for a rectangle.
    pub edges: Vec<EdgesAt>,
    /// What is known of the wood.
    pub about: About,
    /// Places that no part may take in.
    pub avoid: Vec<Avoid>,
    /// How far heights and caliper readings are off.
    pub errors: ReadingErrors,
    /// How the board lay in scanners' own frames, each with the datums over which it was read there.
    pub lays: Vec<(Lay, Vec<usize>)>,
}

impl Board {
    /// A board from what was read and said of it.
    ///
    /// # Errors
    ///
    /// All that keeps the readings from being one board: see [`BoardError`].
    pub fn new(particulars: Particulars) -> Result<Self, Vec<BoardError>> {
        let mut faults = particulars.faults();
        let everywhere = particulars.reach();
        let mut assumptions = Vec::new();
        // Gauges are held anywhere between the ends; only heights reach from one to the other.
        let heights = !particulars.up.is_empty() || !particulars.set_ups.is_empty();
        let laid = !particulars.lays.is_empty();
        let mut extent = |side: Side, stated: Option<f64>| {
            let axis = if side == Side::Length { 0 } else { 1 };
            let [low, high] = everywhere.map_or([f64::INFINITY, f64::NEG_INFINITY], |e| e[axis]);
            let span = high - low;
            if laid && heights {
                // Scans are laid middle upon middle, and show where the board ends to a few millimetres only.
                let end = stated.map_or(high, |stated| high.max(stated));
                return (low.min(0.0), end - low.min(0.0));
            }
            let Some(stated) = stated else {
                if !heights && !particulars.gauged.is_empty() {
                    faults.push(BoardError::NoSize(side));
                } else if low > 0.0 {
                    assumptions.push(Assumption::EndsAtReadings(side));
                }
                return (low, span);
            };
            // A station read off the tape at the very end may lie a hair beyond the length.
            let hair = 1e-9 * stated.abs();
            if everywhere.is_none() || low >= -hair && high <= stated + hair {
                (0.0, stated)
            } else if span <= stated + hair {
                assumptions.push(Assumption::Centred(side));
                ((low + high - stated) / 2.0, stated)
            } else {
                faults.push(BoardError::TooSmall { side, span, stated });
                (low, span)
            }
        };
        let (x0, length) = extent(Side::Length, particulars.length);
        let (y0, width) = extent(Side::Width, particulars.width);
        if !faults.is_empty() {
            return Err(faults);
        }
        Ok(Self {
            name: particulars.name,
            outline: Outline {
                x0,
                y0,
                length,
                width,
            },
            up: particulars.up,
            down: particulars.down,
            set_ups: particulars.set_ups,
            gauged: particulars.gauged,
            edges: particulars.edges,
            about: particulars.about,
            avoid: particulars.avoid,
            layout: particulars.layout,
            errors: particulars.errors,
            lays: particulars.lays,
            assumptions,
        })
    }

    /// The lay over a datum, by its index, where the board was read there in a scanner's own frame.
    #[must_use]
    pub fn lay_over(&self, datum: usize) -> Option<usize> {
        self.lays
            .iter()
            .position(|(_, datums)| datums.contains(&datum))
    }

    /// The number of readings.
    #[must_use]
    pub fn readings(&self) -> usize {
        self.up.len()
            + self.down.heights.len()
            + self.down.calipers.len()
            + self.set_ups.iter().map(|s| s.points.len()).sum::<usize>()
            + self.gauged.len()
    }

    /// The board without the readings at one place: how many there were, 0 where none stands within `near`.
    pub fn leave_out(&mut self, x: f64, y: f64, near: f64) -> usize {
        let before = self.readings();
        let far = |px: f64, py: f64| (px - x).hypot(py - y) > near;
        self.up.retain(|p| far(p[0], p[1]));
        self.down.heights.retain(|p| far(p[0], p[1]));
        self.down.calipers.retain(|c| far(c.x, c.y));
        for set_up in &mut self.set_ups {
            set_up.points.retain(|p| far(p[0], p[1]));
        }
        let outline = self.outline;
        self.gauged.retain(|g| {
            let [px, py] = gauge_place(&outline, &g.gauge);
            far(px, py)
        });
        before - self.readings()
    }
}

impl Particulars {
    fn faults(&self) -> Vec<BoardError> {
        let mut faults = Vec::new();
        let down = &self.down;
        let other = |face: Face| {
            self.set_ups
                .iter()
                .any(|s| s.face == face && !s.points.is_empty())
        };
        let gauged = |face: Face| {
            self.gauged
                .iter()
                .any(|g| gauge_face(&g.gauge) == Some(face))
        };
        if self.up.is_empty() && !other(Face::Up) && !gauged(Face::Up) && !gauged(Face::Down) {
            faults.push(BoardError::NoHeights);
        }
        if let Some(t) = down.thickness.filter(|t| *t <= 0.0) {
            faults.push(BoardError::ThicknessNotPositive(t));
        }
        if down.thickness.is_none() && down.heights.is_empty() && down.calipers.is_empty() {
            faults.push(BoardError::NoThickness);
        }
        faults
    }

    /// From where to where anything was read, along and across.
    fn reach(&self) -> Option<[[f64; 2]; 2]> {
        let calipers: Vec<Point> = self.down.calipers.iter().map(|c| [c.x, c.y, 0.0]).collect();
        let others = self.set_ups.iter().map(|s| reach(&s.points));
        [&self.up[..], &self.down.heights, &calipers]
            .map(reach)
            .into_iter()
            .chain(others)
            .flatten()
            .reduce(|a, b| {
                [0, 1].map(|axis| [a[axis][0].min(b[axis][0]), a[axis][1].max(b[axis][1])])
            })
    }
}

/// The face that a gauge was held to; none of a string along an edge.
#[must_use]
pub fn gauge_face(gauge: &Gauge) -> Option<Face> {
    match gauge {
        Gauge::Straightedge(s) => Some(s.face),
        Gauge::Sticks(s) => Some(s.face),
        Gauge::Corner(c) => Some(c.on),
        Gauge::Edge(_) => None,
    }
}

/// The place by which a gauge's reading is known: where the gap was read; of sticks, between the two.
#[must_use]
pub fn gauge_place(outline: &Outline, gauge: &Gauge) -> [f64; 2] {
    match gauge {
        Gauge::Straightedge(s) => s.at,
        Gauge::Sticks(s) => {
            let [a, b] = s.across;
            [
                (s.stations[0] + s.stations[1]) / 2.0,
                (a[0] + a[1] + b[0] + b[1]) / 4.0,
            ]
        }
        Gauge::Corner(c) => c.corner,
        Gauge::Edge(e) => {
            let far = if e.edge == Edge::Far {
                outline.width
            } else {
                0.0
            };
            [e.at, outline.y0 + far]
        }
    }
}
