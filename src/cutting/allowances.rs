//! What cutting and milling take beside the finished part.

/// What cutting and milling take beside the finished part, mm. The defaults are common practice; where a range is usual, its
/// middle.
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
    /// What jointing both edges of a glue line takes.
    pub jointing: f64,
    /// The kerf of resawing.
    pub kerf_resaw: f64,
    /// What each half of a resawn piece is flattened by: it cups where the wetter middle is opened.
    pub resaw_clean_up: f64,
    /// Shorter pieces do not go over the machines.
    pub min_length: f64,
    /// Offcuts at least this long are kept.
    pub useful_offcut: f64,
}

impl Default for Allowances {
    fn default() -> Self {
        const INCH: f64 = 25.4;
        Self {
            kerf_crosscut: INCH / 8.0,
            kerf_rip: INCH / 8.0,
            end_trim: INCH / 8.0,
            over_length: INCH,
            over_width: 0.375 * INCH,
            jointing: 0.1875 * INCH,
            kerf_resaw: INCH / 16.0,
            resaw_clean_up: 0.1875 * INCH,
            min_length: 12.0 * INCH,
            useful_offcut: 12.0 * INCH,
        }
    }
}
