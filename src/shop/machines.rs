//! The machines of a shop and their limits. Defaults are common practice; the widths of jointer and planer, and the
//! thickness that a planer takes, are those of common bench machines, from memory.

use super::INCH;
use crate::readings::{MachineRecord, SawRecord};

/// The saws, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Saw {
    /// Kerf across the board. 1/8 in.
    pub crosscut_kerf: f64,
    /// Kerf along the board. 1/8 in, of a table saw; a bandsaw takes 1/16 in.
    pub rip_kerf: f64,
    /// Kerf of resawing. 1/16 in, of a bandsaw.
    pub resaw_kerf: f64,
    /// The shortest piece that is ripped. 12 in.
    pub min_length: f64,
}

/// The jointer, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Jointer {
    /// The widest piece. 8 in.
    pub width: f64,
    /// The shortest piece. 12 in.
    pub min_length: f64,
    /// The thinnest piece. 1/2 in.
    pub min_thickness: f64,
    /// The cut of one pass. 1/32 in; 1/16 at most is usual.
    pub pass: f64,
}

/// The planer, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Planer {
    /// The widest piece. 13 in.
    pub width: f64,
    /// The shortest piece: as the file says; else 2 in more than from roller to roller; else 12 in.
    pub min_length: f64,
    /// The thinnest piece. 3/16 in.
    pub min_thickness: f64,
    /// The thickest piece. 6 in.
    pub max_thickness: f64,
    /// Length spoilt at each end. None: many planers leave hardly any snipe, over-length takes up that, and the 2 to 3 in
    /// at each end of one that does would cost 4 to 6 in of every piece.
    pub snipe: f64,
    /// The cut of one pass, where the shop says it; else see [`Planer::pass`].
    pub own_pass: Option<f64>,
    /// How high the sled stands on which a warped piece goes through. 3/4 in.
    pub sled_height: f64,
}

/// A piece wider than this is a wide one for a planer's cut, mm: our own line in what is common practice.
const WIDE: f64 = 10.0 * INCH;

impl Planer {
    /// The cut of one pass of a piece this wide, mm: as the shop says; else 1/32 in, 1/64 in of a wide piece.
    #[must_use]
    pub fn pass(&self, width: f64) -> f64 {
        let usual = if width > WIDE {
            INCH / 64.0
        } else {
            INCH / 32.0
        };
        self.own_pass.unwrap_or(usual)
    }
}

/// The router sled, mm; its limits are the user's alone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sled {
    /// The widest piece, if there is a limit.
    pub width: Option<f64>,
    /// The longest piece, if there is a limit.
    pub max_length: Option<f64>,
    /// The thickest piece, if there is a limit.
    pub max_thickness: Option<f64>,
    /// The thinnest piece, if there is a limit.
    pub min_thickness: Option<f64>,
    /// The cut of one pass. 1/16 in, of the usual 1/16 to 1/8 in.
    pub pass: f64,
}

impl Saw {
    pub(super) fn new(told: &SawRecord) -> Self {
        Self {
            crosscut_kerf: told.crosscut_kerf.unwrap_or(INCH / 8.0),
            rip_kerf: told.rip_kerf.unwrap_or(INCH / 8.0),
            resaw_kerf: told.resaw_kerf.unwrap_or(INCH / 16.0),
            min_length: told.min_length.unwrap_or(12.0 * INCH),
        }
    }
}

impl Jointer {
    pub(super) fn new(told: &MachineRecord) -> Option<Self> {
        (!told.absent).then(|| Self {
            width: told.width.unwrap_or(8.0 * INCH),
            min_length: told.min_length.unwrap_or(12.0 * INCH),
            min_thickness: told.min_thickness.unwrap_or(INCH / 2.0),
            pass: told.pass.unwrap_or(INCH / 32.0),
        })
    }
}

impl Planer {
    pub(super) fn new(told: &MachineRecord) -> Option<Self> {
        let by_rollers = told.roller_gap.map(|gap| gap + 2.0 * INCH);
        (!told.absent).then(|| Self {
            width: told.width.unwrap_or(13.0 * INCH),
            min_length: told.min_length.or(by_rollers).unwrap_or(12.0 * INCH),
            min_thickness: told.min_thickness.unwrap_or(3.0 / 16.0 * INCH),
            max_thickness: told.max_thickness.unwrap_or(6.0 * INCH),
            snipe: told.snipe.unwrap_or(0.0),
            own_pass: told.pass,
            sled_height: told.sled_height.unwrap_or(3.0 / 4.0 * INCH),
        })
    }
}

impl Sled {
    /// A shop that says nothing of a sled has none.
    pub(super) fn new(told: &MachineRecord) -> Option<Self> {
        let said = *told != MachineRecord::default() && !told.absent;
        said.then_some(Self {
            width: told.width,
            max_length: told.max_length,
            max_thickness: told.max_thickness,
            min_thickness: told.min_thickness,
            pass: told.pass.unwrap_or(INCH / 16.0),
        })
    }
}
