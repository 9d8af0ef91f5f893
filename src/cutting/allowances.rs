//! What cutting and milling take beside the finished part.

use crate::shop::Shop;

/// What cutting and milling take beside the finished part, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Allowances {
    /// The saw's cut across the board.
    pub kerf_crosscut: f64,
    /// The saw's cut along the board.
    pub kerf_rip: f64,
    /// Cut off each end of a board first.
    pub end_trim: f64,
    /// What a piece is cut longer than its part, half of it at each end.
    pub over_length: f64,
    /// What a piece is ripped wider than its part, half of it at each edge; jointing its edges comes out of it.
    pub over_width: f64,
    /// What a glue line takes: both edges jointed, and what is lost beside.
    pub jointing: f64,
    /// The kerf of resawing.
    pub kerf_resaw: f64,
    /// What each half of a resawn piece is flattened by: it cups where the wetter middle is opened.
    pub resaw_clean_up: f64,
    /// Shorter pieces do not go over the machines, or are not ripped.
    pub min_length: f64,
    /// Offcuts at least this long are kept.
    pub useful_offcut: f64,
}

impl Allowances {
    /// Those of a shop. Snipe is cut off with the over-length, which is made to hold it.
    #[must_use]
    pub fn of(shop: &Shop) -> Self {
        let own = &shop.allowances;
        let snipe = shop.planer.map_or(0.0, |planer| planer.snipe);
        Self {
            kerf_crosscut: shop.saw.crosscut_kerf,
            kerf_rip: shop.saw.rip_kerf,
            end_trim: own.end_trim,
            over_length: own.over_length.max(2.0 * snipe),
            over_width: own.over_width,
            jointing: 2.0 * own.jointing + own.glue_line,
            kerf_resaw: shop.saw.resaw_kerf,
            resaw_clean_up: own.resaw_clean_up,
            min_length: shop.shortest_piece().max(shop.saw.min_length),
            useful_offcut: own.useful_offcut,
        }
    }
}

impl Default for Allowances {
    /// Those of a usual shop.
    fn default() -> Self {
        Self::of(&Shop::default())
    }
}
