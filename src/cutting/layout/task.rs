//! What is asked of a layout, and what it is.

use std::cmp::Ordering;

use crate::cutting::Progress;

/// Something to be made, counted in units: a part that may be glued up from strips is a unit a strip.
#[derive(Debug, Clone, PartialEq)]
pub struct Demand {
    /// Units wanted.
    pub units: u32,
    /// Units that make one part; only whole parts count.
    pub units_per_part: u32,
    /// Finished face of one part.
    pub area: f64,
}

impl Demand {
    /// The finished face that so many units make.
    #[must_use]
    pub fn made(&self, units: u32) -> f64 {
        f64::from(units / self.units_per_part) * self.area
    }
}

/// A rough piece that yields units of a demand: one way of making it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Item {
    /// The demand, by index.
    pub demand: usize,
    /// The units of it.
    pub yields: u32,
    /// Steps along the board, kerf included.
    pub length: u32,
    /// Steps across, kerf included.
    pub width: u32,
}

/// A board's places.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sheet {
    /// Steps along, one kerf more than the board.
    pub length: u32,
    /// Steps across, one kerf more than the board.
    pub width: u32,
    /// The steps across at which a piece may begin, ascending.
    pub starts: Vec<u32>,
}

/// What counts first where layouts make as much finished face.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Prefer {
    /// The largest smallest margin, then the fewest cuts, then the longest useful offcut.
    #[default]
    Margin,
    /// The fewest cuts, then the largest smallest margin, then the longest useful offcut.
    Cuts,
    /// The longest useful offcut, then the largest smallest margin, then the fewest cuts.
    Offcut,
}

/// All that is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Task {
    /// What is to be made.
    pub demands: Vec<Demand>,
    /// The ways of making it.
    pub items: Vec<Item>,
    /// What there is to make it from.
    pub sheets: Vec<Sheet>,
    /// An offcut over the whole width of at least so many steps is useful.
    pub useful: u32,
    /// What counts first of layouts that make as much.
    pub prefer: Prefer,
}

/// Where items come out as wanted, and whether to go on looking for more.
pub trait Chances {
    /// Hears how far a layout is; whether it shall go on rather than stop with the best that it has. Once false, always.
    fn go_on(&mut self, _: Progress) -> bool {
        true
    }

    /// The rungs of the ladder of margins, from the chance asked for up: 1 where margins are not told apart.
    fn rungs(&self) -> u8;

    /// Whether an item of a sheet reaches this rung, 0 the lowest: for every step along at which it may begin, from 0 to
    /// the sheet's length less its own, every start across. What reaches a rung reaches those below it.
    fn reach(&mut self, sheet: usize, item: usize, rung: u8) -> Vec<bool>;
}

/// An item in its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Placed {
    /// The sheet, by index.
    pub sheet: usize,
    /// Where the section begins, in steps along, and how long it is.
    pub section: (u32, u32),
    /// Where the item begins across.
    pub near: u32,
    /// Where it begins along, in its section.
    pub from: u32,
    /// The item, by index.
    pub item: usize,
}

/// What a layout is worth: finished face first, then what is preferred.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Score {
    /// Finished face made: more is better.
    pub area: f64,
    /// The rung that every item reaches: higher is better.
    pub rung: u8,
    /// Cuts: fewer are better.
    pub cuts: u32,
    /// The longest useful offcut over a sheet's whole width, steps: longer is better; 0 of none.
    pub offcut: u32,
}

impl Score {
    /// `Greater` is better. Areas equal to a billionth are equal.
    #[must_use]
    pub fn compare(&self, other: &Self, prefer: Prefer) -> Ordering {
        let near = 1e-9 * self.area.abs().max(other.area.abs());
        let area = if (self.area - other.area).abs() <= near {
            Ordering::Equal
        } else {
            self.area.total_cmp(&other.area)
        };
        let margin = self.rung.cmp(&other.rung);
        let cuts = other.cuts.cmp(&self.cuts);
        let offcut = self.offcut.cmp(&other.offcut);
        area.then(match prefer {
            Prefer::Margin => margin.then(cuts).then(offcut),
            Prefer::Cuts => cuts.then(margin).then(offcut),
            Prefer::Offcut => offcut.then(margin).then(cuts),
        })
    }

    /// Whether it is as good in what counts before the margin.
    pub(super) fn keeps(&self, other: &Self, prefer: Prefer) -> bool {
        let before = match prefer {
            Prefer::Margin => true,
            Prefer::Cuts => self.cuts <= other.cuts,
            Prefer::Offcut => self.offcut >= other.offcut,
        };
        before && self.area >= other.area * (1.0 - 1e-9)
    }
}

/// Where everything is cut.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// Every item, by sheet, section and start.
    pub placed: Vec<Placed>,
    /// What it is worth.
    pub score: Score,
    /// No layout makes more finished face than this.
    pub most: f64,
    /// Whether it was told to stop before it was done.
    pub stopped: bool,
}

/// Counts of units by demand, numbered.
#[derive(Debug, Clone)]
pub(super) struct Counts {
    /// Numbers a unit of each demand is apart by.
    pub(super) strides: Vec<u32>,
    /// The units of each demand, by number.
    digits: Vec<Vec<u32>>,
    most: Vec<u32>,
}

impl Counts {
    /// How many there are, had each demand so many units; `None` past any reason.
    pub(super) fn number(demands: &[Demand]) -> Option<u64> {
        demands
            .iter()
            .try_fold(1_u64, |n, d| n.checked_mul(u64::from(d.units) + 1))
    }

    pub(super) fn new(demands: &[Demand]) -> Self {
        let most: Vec<u32> = demands.iter().map(|d| d.units).collect();
        let mut strides = Vec::with_capacity(most.len());
        let mut number = 1;
        for m in &most {
            strides.push(number);
            number *= m + 1;
        }
        let digits = (0..number)
            .map(|k| {
                most.iter()
                    .zip(&strides)
                    .map(|(m, s)| k / s % (m + 1))
                    .collect()
            })
            .collect();
        Self {
            strides,
            digits,
            most,
        }
    }

    pub(super) fn units(&self, count: u32) -> &[u32] {
        &self.digits[count as usize]
    }

    /// The finished face that a count makes.
    pub(super) fn area(&self, demands: &[Demand], count: u32) -> f64 {
        let units = self.units(count).iter();
        units.zip(demands).map(|(u, d)| d.made(*u)).sum()
    }

    /// The units wanted of a demand.
    pub(super) fn most(&self, demand: usize) -> u32 {
        self.most[demand]
    }

    /// Both together, if that is not more than wanted.
    pub(super) fn add(&self, a: u32, b: u32) -> Option<u32> {
        let sums = self.units(a).iter().zip(self.units(b));
        sums.zip(&self.most)
            .all(|((a, b), most)| a + b <= *most)
            .then_some(a + b)
    }
}
