//! What a shop has and wants: its machines with their limits, kerfs, allowances, how wood moves in it, prices, and the
//! thicknesses to which it usually finishes.

mod limits;
mod machines;
mod prices;
mod thicknesses;
mod woods;

pub use limits::{Limit, Machine, Refusal, Size, refusals};
pub use machines::{Jointer, Planer, Saw, Sled};
pub use prices::{Price, board_feet, cubic_board_feet};
pub use thicknesses::usual_thicknesses;
pub use woods::Wood;

use crate::length::Unit;
use crate::readings::{AirRecord, MillingRecord, ShopRecord};

const INCH: f64 = 25.4;

/// One shop, lengths in millimetres. Its defaults are common practice unless they say otherwise.
///
/// ```
/// use outwind::readings::read_shop;
/// use outwind::shop::Shop;
///
/// let record = read_shop(b"[planer]\nroller-gap = \"12 in\"", "shop.toml", None)?;
/// let shop = Shop::new(&record);
/// assert_eq!(shop.saw.rip_kerf, 3.175);
/// assert!((shop.shortest_piece() - 14.0 * 25.4).abs() < 1e-9);
/// # Ok::<(), outwind::readings::Faults>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Shop {
    /// The unit in which it writes, if it says so.
    pub unit: Option<Unit>,
    /// Its saws.
    pub saw: Saw,
    /// What it cuts pieces larger than their parts.
    pub allowances: Allowances,
    /// Its jointer, if it has one.
    pub jointer: Option<Jointer>,
    /// Its planer, if it has one.
    pub planer: Option<Planer>,
    /// Its router sled; none unless it says so.
    pub sled: Option<Sled>,
    /// How far wood warps when it is cut.
    pub movement: Movement,
    /// What milling leaves for later.
    pub milling: Milling,
    /// The air of the shop: temperature in degrees Celsius (20 where only the humidity is said) and relative humidity, 0 to 1.
    pub shop_air: Option<[f64; 2]>,
    /// The air of the house where the work will stand, likewise.
    pub house_air: Option<[f64; 2]>,
    /// The money in which prices stand.
    pub currency: Option<String>,
    /// What its boards cost.
    pub prices: Vec<Price>,
    /// What is usual of single woods.
    pub woods: Vec<Wood>,
}

/// What a shop cuts pieces larger than their parts, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Allowances {
    /// Off each end of a board, first. 1/8 in, the least that is usual: more would write off sound wood unseen, and a
    /// check is a place to avoid.
    pub end_trim: f64,
    /// A piece over its part, lengthwise. 1 in, of the usual 1/2 to 2 in.
    pub over_length: f64,
    /// A piece over its part, across. 3/8 in, of the usual 1/4 to 1/2 in.
    pub over_width: f64,
    /// Off one edge that is jointed for a glue line. 3/32 in: 1/8 to 1/4 in for both edges are usual.
    pub jointing: f64,
    /// Width lost in a glue line beside jointing. None.
    pub glue_line: f64,
    /// Off each half of a resawn piece, which cups. 3/16 in, of the usual 1/8 to 1/4 in.
    pub resaw_clean_up: f64,
    /// The shortest offcut that is kept. 12 in, as shorter ones go over no machine.
    pub useful_offcut: f64,
}

/// How far wood warps when cutting sets its tension free, of either sense: standard deviations in mm, which grow with the
/// square of length and width as a constant curvature does. Our own assumption for wood that was dried well.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Movement {
    /// Bow of a piece 1 m long. 0.3 mm.
    pub bow: f64,
    /// Cup of a piece 200 mm wide. 0.15 mm.
    pub cup: f64,
}

/// What milling leaves for later, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Milling {
    /// Thickness left over the finished one on the first day. 1/8 in.
    pub rough_allowance: f64,
    /// Thickness left for smoothing after the last pass. None: it is a shop's own habit.
    pub smoothing: f64,
    /// The deepest hollow that may stay in a face, as where a frame holds the piece flat. None.
    pub tolerate: f64,
}

impl Milling {
    fn new(told: &MillingRecord) -> Self {
        Self {
            rough_allowance: told.rough_allowance.unwrap_or(INCH / 8.0),
            smoothing: told.smoothing.unwrap_or(0.0),
            tolerate: told.tolerate.unwrap_or(0.0),
        }
    }
}

/// The temperature of a room whose humidity alone is said, degrees Celsius.
const ROOM: f64 = 20.0;

/// Temperature and humidity of air whose humidity is said.
fn air(told: &AirRecord) -> Option<[f64; 2]> {
    Some([told.temperature.unwrap_or(ROOM), told.humidity?])
}

impl Movement {
    /// Wood that keeps its shape: of a board that is not cut.
    pub const NONE: Self = Self { bow: 0.0, cup: 0.0 };
}

impl Default for Movement {
    fn default() -> Self {
        Self {
            bow: 0.3,
            cup: 0.15,
        }
    }
}

impl Shop {
    /// The shop that a shop file describes; what the file leaves out is as usual.
    #[must_use]
    pub fn new(record: &ShopRecord) -> Self {
        let told = &record.allowances;
        let moves = Movement::default();
        Self {
            unit: record.unit,
            saw: Saw::new(&record.saw),
            allowances: Allowances {
                end_trim: told.end_trim.unwrap_or(INCH / 8.0),
                over_length: told.over_length.unwrap_or(INCH),
                over_width: told.over_width.unwrap_or(3.0 / 8.0 * INCH),
                jointing: told.jointing.unwrap_or(3.0 / 32.0 * INCH),
                glue_line: told.glue_line.unwrap_or(0.0),
                resaw_clean_up: told.resaw_clean_up.unwrap_or(3.0 / 16.0 * INCH),
                useful_offcut: told.useful_offcut.unwrap_or(12.0 * INCH),
            },
            jointer: Jointer::new(&record.jointer),
            planer: Planer::new(&record.planer),
            sled: Sled::new(&record.sled),
            movement: Movement {
                bow: record.movement.bow.unwrap_or(moves.bow),
                cup: record.movement.cup.unwrap_or(moves.cup),
            },
            milling: Milling::new(&record.milling),
            shop_air: air(&record.shop_air),
            house_air: air(&record.house_air),
            currency: record.currency.clone(),
            prices: record.prices.iter().map(Price::new).collect(),
            woods: record.woods.iter().map(Wood::new).collect(),
        }
    }

    /// The shortest piece that goes over every machine that it has.
    #[must_use]
    pub fn shortest_piece(&self) -> f64 {
        let jointer = self.jointer.map_or(0.0, |jointer| jointer.min_length);
        let planer = self.planer.map_or(0.0, |planer| planer.min_length);
        jointer.max(planer)
    }

    /// What a board foot costs of a wood that is `thickness` mm thick when it is rough: the price that says most about it,
    /// its species before its thickness. None where no price fits.
    #[must_use]
    pub fn per_board_foot(&self, species: Option<&str>, thickness: f64) -> Option<f64> {
        prices::of(&self.prices, species, thickness)
    }
}

impl Default for Shop {
    /// A usual shop.
    fn default() -> Self {
        Self::new(&ShopRecord::default())
    }
}
