//! Parts that are wanted, and the rough pieces that make them.

use super::Allowances;
use super::layout::Demand;

/// A part that is wanted, finished sizes in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Wanted {
    /// What it is called.
    pub name: String,
    /// How many.
    pub count: u32,
    /// Along the grain.
    pub length: f64,
    /// Across it.
    pub width: f64,
    /// Its thickness.
    pub thickness: f64,
    /// Parts that name the same are cut from one board, to match.
    pub from_one_board: Option<String>,
    /// It may be glued up from so many strips of equal width.
    pub strips: u32,
    /// Two may be resawn from one thick piece.
    pub resaw: bool,
    /// The chance to reach its thickness that it needs, where other than the list's.
    pub certainty: Option<f64>,
}

/// How a rough piece becomes parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Making {
    /// It is one part.
    Whole,
    /// It is a strip of one.
    Strip,
    /// It is resawn into two.
    Resawn,
}

/// A rough piece, and the wood in it that has to come flat. Millimetres.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Rough {
    /// The part, by index.
    pub(super) part: usize,
    pub(super) making: Making,
    /// Units of the part's demand.
    pub(super) yields: u32,
    pub(super) length: f64,
    pub(super) width: f64,
    /// What has to come flat, in the middle of the rough piece.
    pub(super) flat: [f64; 2],
    pub(super) thickness: f64,
    pub(super) certainty: f64,
}

impl Wanted {
    /// What a layout is asked to make of it: a unit a strip where it may be glued up.
    pub(super) fn demand(&self) -> Demand {
        let strips = self.strips.max(1);
        Demand {
            units: self.count.saturating_mul(strips),
            units_per_part: strips,
            area: self.length * self.width,
        }
    }

    /// The rough pieces that make it.
    pub(super) fn roughs(
        &self,
        part: usize,
        allowances: &Allowances,
        certainty: f64,
    ) -> Vec<Rough> {
        let strips = self.strips.max(1);
        let certainty = self.certainty.unwrap_or(certainty);
        let rough = |making: Making, yields: u32, width: f64, thickness: f64| Rough {
            part,
            making,
            yields,
            // What is too short for the machines is cut longer.
            length: (self.length + allowances.over_length).max(allowances.min_length),
            width: width + allowances.over_width,
            flat: [self.length, width],
            thickness,
            certainty,
        };
        let mut roughs = vec![rough(Making::Whole, strips, self.width, self.thickness)];
        if strips > 1 {
            let glued = allowances.jointing * f64::from(strips - 1);
            let width = (self.width + glued) / f64::from(strips);
            roughs.push(rough(Making::Strip, 1, width, self.thickness));
        }
        if self.resaw && self.count > 1 {
            let thick = 2.0 * (self.thickness + allowances.resaw_clean_up) + allowances.kerf_resaw;
            roughs.push(rough(
                Making::Resawn,
                strips.saturating_mul(2),
                self.width,
                thick,
            ));
        }
        roughs
    }
}
