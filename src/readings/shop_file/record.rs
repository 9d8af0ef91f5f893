//! All that a shop file says; whatever it leaves out is nothing here.

use crate::length::Unit;

/// All that a shop file says, lengths in millimetres.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ShopRecord {
    /// The unit of numbers that name none.
    pub unit: Option<Unit>,
    /// The sign or name of the money in which prices stand.
    pub currency: Option<String>,
    /// The saws.
    pub saw: SawRecord,
    /// What pieces are cut larger than their parts.
    pub allowances: AllowancesRecord,
    /// The jointer.
    pub jointer: MachineRecord,
    /// The planer.
    pub planer: MachineRecord,
    /// The router sled.
    pub sled: MachineRecord,
    /// How far wood warps when it is cut.
    pub movement: MovementRecord,
    /// What milling leaves for later.
    pub milling: MillingRecord,
    /// The air of the shop.
    pub shop_air: AirRecord,
    /// The air of the house where the work will stand.
    pub house_air: AirRecord,
    /// In the order of the file.
    pub prices: Vec<PriceRecord>,
    /// What is usual of single woods, in the order of the file.
    pub woods: Vec<WoodRecord>,
}

/// What is said of the saws.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SawRecord {
    /// Kerf across the board.
    pub crosscut_kerf: Option<f64>,
    /// Kerf along the board.
    pub rip_kerf: Option<f64>,
    /// Kerf of resawing.
    pub resaw_kerf: Option<f64>,
    /// The shortest piece that is ripped.
    pub min_length: Option<f64>,
}

/// What pieces are cut larger than their parts.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct AllowancesRecord {
    /// Off each end of a board.
    pub end_trim: Option<f64>,
    /// A piece over its part, lengthwise.
    pub over_length: Option<f64>,
    /// A piece over its part, across.
    pub over_width: Option<f64>,
    /// Off one edge that is jointed.
    pub jointing: Option<f64>,
    /// Width lost in a glue line beside jointing.
    pub glue_line: Option<f64>,
    /// Off each half of a resawn piece.
    pub resaw_clean_up: Option<f64>,
    /// The shortest offcut that is kept.
    pub useful_offcut: Option<f64>,
}

/// What is said of a machine.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct MachineRecord {
    /// The shop has none: `jointer = false`.
    pub absent: bool,
    /// The widest piece.
    pub width: Option<f64>,
    /// The longest piece.
    pub max_length: Option<f64>,
    /// The shortest piece.
    pub min_length: Option<f64>,
    /// The thickest piece.
    pub max_thickness: Option<f64>,
    /// The thinnest piece.
    pub min_thickness: Option<f64>,
    /// From roller to roller of a planer.
    pub roller_gap: Option<f64>,
    /// Length spoilt at each end of a planed piece.
    pub snipe: Option<f64>,
    /// The deepest cut of one pass; more than zero.
    pub pass: Option<f64>,
    /// How high the sled stands on which a planer takes a warped piece.
    pub sled_height: Option<f64>,
}

/// How far wood warps when it is cut: standard deviations.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct MovementRecord {
    /// Bow of a piece 1 m long.
    pub bow: Option<f64>,
    /// Cup of a piece 200 mm wide.
    pub cup: Option<f64>,
}

/// What milling leaves for later.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct MillingRecord {
    /// Thickness left over the finished one on the first day.
    pub rough_allowance: Option<f64>,
    /// Thickness left for smoothing after the last pass.
    pub smoothing: Option<f64>,
    /// The deepest hollow that may stay in a face.
    pub tolerate: Option<f64>,
}

/// Air that wood stands in.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct AirRecord {
    /// Degrees Celsius.
    pub temperature: Option<f64>,
    /// Relative humidity, 0 to 1.
    pub humidity: Option<f64>,
}

/// What boards cost.
#[derive(Debug, Clone, PartialEq)]
pub struct PriceRecord {
    /// The wood; of any where it is not named.
    pub species: Option<String>,
    /// Rough thickness; of any where it is not given.
    pub thickness: Option<f64>,
    /// Of a board foot; more than zero.
    pub per_board_foot: f64,
}

/// How boards of a wood are usually sawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SawnRecord {
    /// Along the rings.
    Flat,
    /// Across the rings.
    Quarter,
}

/// What is usual of one wood, where its boards do not say.
#[derive(Debug, Clone, PartialEq)]
pub struct WoodRecord {
    /// The wood; any that no other entry names, where it is left out.
    pub species: Option<String>,
    /// Moisture in percent of the dry mass.
    pub moisture: Option<f64>,
    /// How it is sawn.
    pub sawn: Option<SawnRecord>,
    /// How far it warps when it is cut.
    pub movement: MovementRecord,
    /// Thickness left over the finished one on the first day.
    pub rough_allowance: Option<f64>,
}
