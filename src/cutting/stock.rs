//! Boards and parts as a layout's task, and the chances of every place.

use std::collections::{BTreeSet, HashMap};

use super::Allowances;
use super::evidence::Evidence;
use super::ground::Ground;
use super::layout::{Chances, Item, Placed, Sheet, Task};
use super::pieces::{Pieces, Settled};
use super::wanted::{Rough, Wanted};
use super::window::Window;
use crate::board::Board;
use crate::flatten::{NoExpectation, Shortfall, known};
use crate::shop::Movement;

/// A board to cut parts from.
#[derive(Debug, Clone)]
pub struct Stocked {
    /// What its owner calls it.
    pub name: String,
    /// Where parts may lie.
    pub ground: Ground,
    /// Its faces.
    pub evidence: Evidence,
}

impl Stocked {
    /// A board whose pieces move so much when they are cut.
    ///
    /// # Errors
    ///
    /// Why nothing can be expected of it.
    pub fn new(board: &Board, movement: Movement) -> Result<Self, NoExpectation> {
        Ok(Self {
            name: board.name.clone(),
            ground: Ground::new(board),
            evidence: Evidence::new(&known(board)?.estimate, movement),
        })
    }

    /// The same board in a shop that falls short, where it does.
    #[must_use]
    pub fn short_by(mut self, shortfall: Option<Shortfall>) -> Self {
        self.evidence = self.evidence.short_by(shortfall);
        self
    }
}

/// Rungs of the ladder of margins, as shares of the way from the chance asked for to certainty: chances from few draws are
/// not told apart more finely.
const RUNGS: [f64; 3] = [0.0, 0.5, 0.9];

/// Steps across, mm: fine, so that widths which fit side by side are not rounded out of it.
const ACROSS: f64 = 0.5;

/// Stretches across of which one place at most is tried from either edge, and evenly spaced places between.
const STRETCHES: u32 = 12;
const EVEN: u32 = 8;

/// Boards and parts, and what is known of them so far.
pub(super) struct Stock<'a> {
    pub(super) roughs: Vec<Rough>,
    grounds: Vec<&'a Ground>,
    pieces: Vec<Pieces<'a>>,
    sheets: Vec<Sheet>,
    items: Vec<Item>,
    allowances: Allowances,
    step: f64,
    /// Rungs of every place, by sheet, item and whether all rungs are told apart.
    known: HashMap<(usize, usize, bool), Vec<u8>>,
}

impl<'a> Stock<'a> {
    /// Cuts lie at multiples of `step` from the trimmed end A, mm.
    pub(super) fn new(
        boards: &'a [Stocked],
        wanted: &[Wanted],
        allowances: &Allowances,
        step: f64,
        certainty: f64,
    ) -> Self {
        let roughs: Vec<Rough> = wanted
            .iter()
            .enumerate()
            .flat_map(|(part, w)| w.roughs(part, allowances, certainty))
            .collect();
        let steps = |mm: f64, step: f64| (mm / step - 1e-9).ceil() as u32;
        let items: Vec<Item> = roughs
            .iter()
            .map(|r| Item {
                demand: r.part,
                yields: r.yields,
                length: steps(r.length + allowances.kerf_crosscut, step),
                width: steps(r.width + allowances.kerf_rip, ACROSS),
            })
            .collect();
        let sheets = boards.iter().map(|b| {
            let outline = b.ground.outline();
            let whole = |mm: f64, step: f64| (mm / step + 1e-9).floor().max(0.0) as u32;
            let long = outline.length - 2.0 * allowances.end_trim + allowances.kerf_crosscut;
            let width = whole(outline.width + allowances.kerf_rip, ACROSS);
            Sheet {
                length: whole(long, step),
                width,
                starts: starts(width, &items),
            }
        });
        Self {
            sheets: sheets.collect(),
            grounds: boards.iter().map(|b| &b.ground).collect(),
            pieces: boards
                .iter()
                .map(|b| Pieces::new(&b.evidence.choosing))
                .collect(),
            roughs,
            items,
            allowances: *allowances,
            step,
            known: HashMap::new(),
        }
    }

    /// What is asked of a layout.
    pub(super) fn task(&self, wanted: &[Wanted]) -> Task {
        Task {
            demands: wanted.iter().map(Wanted::demand).collect(),
            items: self.items.clone(),
            sheets: self.sheets.clone(),
            useful: (self.allowances.useful_offcut / self.step).ceil() as u32,
        }
    }

    /// Whether an item comes out as wanted anywhere.
    pub(super) fn anywhere(&mut self, item: usize) -> bool {
        (0..self.sheets.len()).any(|s| {
            self.sheets[s].length >= self.items[item].length
                && self.reach(s, item, 0).contains(&true)
        })
    }

    /// What the saw takes, across and along.
    pub(super) fn kerfs(&self) -> [f64; 2] {
        [self.allowances.kerf_crosscut, self.allowances.kerf_rip]
    }

    /// How many places of items were looked into so far.
    pub(super) fn places(&self) -> usize {
        let lowest = self.known.iter().filter(|((_, _, fine), _)| !fine);
        lowest.map(|(_, table)| table.len()).sum()
    }

    /// How often a window's draw was flattened so far.
    pub(super) fn flattened(&self) -> usize {
        self.pieces.iter().map(Pieces::flattened).sum()
    }

    /// The rough piece of an item that lies somewhere, and the wood in it that has to come flat.
    pub(super) fn windows(
        &self,
        sheet: usize,
        item: usize,
        from: u32,
        near: u32,
    ) -> (Window, Window) {
        let outline = self.grounds[sheet].outline();
        let rough = &self.roughs[item];
        let (x, y) = self.place(sheet, from, near);
        let piece = Window {
            from: x,
            to: (x + rough.length).min(outline.x0 + outline.length),
            near: y,
            far: (y + rough.width).min(outline.y0 + outline.width),
        };
        let [length, width] = rough.flat;
        let finished = Window {
            from: x + (rough.length - length) / 2.0,
            to: x + (rough.length + length) / 2.0,
            near: y + (rough.width - width) / 2.0,
            far: y + (rough.width + width) / 2.0,
        };
        (piece, finished)
    }

    /// A step along and one across as a place of the board.
    pub(super) fn place(&self, sheet: usize, from: u32, near: u32) -> (f64, f64) {
        let outline = self.grounds[sheet].outline();
        (
            outline.x0 + self.allowances.end_trim + self.step * f64::from(from),
            outline.y0 + ACROSS * f64::from(near),
        )
    }

    /// Where the section of a placed item begins and ends, between the kerfs.
    pub(super) fn section(&self, placed: &Placed) -> (f64, f64) {
        let (at, length) = placed.section;
        let from = self.place(placed.sheet, at, 0).0;
        (
            from,
            from + self.step * f64::from(length) - self.allowances.kerf_crosscut,
        )
    }

    /// The rungs that an item's windows reach, 0 of what is not likely enough, up to the last of `ladder`.
    fn table(&mut self, sheet: usize, item: usize, ladder: &[usize]) -> Vec<u8> {
        let places = self.sheets[sheet].length - self.items[item].length + 1;
        let starts = self.sheets[sheet].starts.clone();
        let mut table = vec![0; places as usize * starts.len()];
        // A piece that begins too far across to lie on the board is out of the question.
        let room = self.sheets[sheet].width.checked_sub(self.items[item].width);
        let fitting = room.map_or(0, |room| starts.partition_point(|s| *s <= room));
        if fitting > 0 {
            let asked = Asked {
                sheet,
                item,
                ladder,
            };
            let settled = Settled::new(self.pieces[sheet].draws().count());
            self.mark(
                &asked,
                (0, places - 1),
                (0, fitting - 1),
                settled,
                &mut table,
            );
        }
        for (k, rung) in table.iter_mut().enumerate() {
            let (from, start) = ((k / starts.len()) as u32, k % starts.len());
            if *rung > 0 {
                let (rough, finished) = self.windows(sheet, item, from, starts[start]);
                *rung *= u8::from(self.grounds[sheet].takes(&rough, &finished));
            }
        }
        table
    }

    /// Marks the rungs of a rectangle of places, `along` × `across`: all at once where a window around all of theirs and one
    /// within all of them tell it, else by halves. In a draw where the window around comes out, all do; where the one
    /// within does not, none does; both hold for the halves too.
    fn mark(
        &mut self,
        asked: &Asked<'_>,
        along: (u32, u32),
        across: (usize, usize),
        mut settled: Settled,
        table: &mut [u8],
    ) {
        let corner = |a: u32, s: usize, stock: &Self| {
            let near = stock.sheets[asked.sheet].starts[s];
            stock.windows(asked.sheet, asked.item, a, near).1
        };
        let first = corner(along.0, across.0, self);
        let last = corner(along.1, across.1, self);
        let around = Window {
            to: last.to,
            far: last.far,
            ..first
        };
        let within = Window {
            to: first.to,
            far: first.far,
            ..last
        };
        let thickness = self.roughs[asked.item].thickness;
        let pieces = &mut self.pieces[asked.sheet];
        let count = pieces.draws().count();
        let rungs = |s: &Settled| [s.reached, count - s.failed].map(|n| asked.rung(n));
        let enough = |s: &Settled| rungs(s)[0] == rungs(s)[1];
        let single = along.0 == along.1 && across.0 == across.1;
        pieces.settle(&around, thickness, &mut settled, [true, single], enough);
        if !single && within.length() > 0.0 && within.width() > 0.0 {
            pieces.settle(&within, thickness, &mut settled, [false, true], enough);
        }
        if enough(&settled) {
            let rung = rungs(&settled)[0];
            let starts = self.sheets[asked.sheet].starts.len();
            for a in along.0..=along.1 {
                let row = a as usize * starts;
                table[row + across.0..=row + across.1].fill(rung);
            }
            return;
        }
        // The side along which the windows differ more for their size.
        let spread = [
            (last.from - first.from) / first.length(),
            (last.near - first.near) / first.width(),
        ];
        if along.1 > along.0 && (spread[0] >= spread[1] || across.0 == across.1) {
            let middle = along.0.midpoint(along.1);
            self.mark(asked, (along.0, middle), across, settled.clone(), table);
            self.mark(asked, (middle + 1, along.1), across, settled, table);
        } else {
            let middle = across.0.midpoint(across.1);
            self.mark(asked, along, (across.0, middle), settled.clone(), table);
            self.mark(asked, along, (middle + 1, across.1), settled, table);
        }
    }
}

/// An item asked of a sheet, and the draws that each rung takes.
struct Asked<'a> {
    sheet: usize,
    item: usize,
    ladder: &'a [usize],
}

impl Asked<'_> {
    /// The rungs that so many draws climb.
    fn rung(&self, draws: usize) -> u8 {
        self.ladder.partition_point(|wanted| *wanted <= draws) as u8
    }
}

impl Chances for Stock<'_> {
    fn rungs(&self) -> u8 {
        RUNGS.len() as u8
    }

    fn reach(&mut self, sheet: usize, item: usize, rung: u8) -> Vec<bool> {
        // The lowest rung is asked first, and often alone.
        let fine = rung > 0;
        if !self.known.contains_key(&(sheet, item, fine)) {
            let count = self.pieces[sheet].draws().count() as f64;
            let least = self.roughs[item].certainty;
            let wanted =
                |share: &f64| ((least + (1.0 - least) * share) * count - 1e-9).ceil() as usize;
            let ladder: Vec<usize> = RUNGS.iter().map(wanted).collect();
            let table = self.table(sheet, item, if fine { &ladder } else { &ladder[..1] });
            self.known.insert((sheet, item, fine), table);
        }
        self.known[&(sheet, item, fine)]
            .iter()
            .map(|r| *r > rung)
            .collect()
    }
}

/// Places across at which a piece may begin: behind up to three others from the near edge, as far before the far edge as up
/// to three take, and evenly between. Where there are many, of each stretch the one that leaves the most room.
fn starts(width: u32, items: &[Item]) -> Vec<u32> {
    let widths: BTreeSet<u32> = items
        .iter()
        .map(|i| i.width)
        .filter(|w| *w <= width)
        .collect();
    let mut sums = BTreeSet::from([0]);
    for _ in 0..3 {
        let longer = sums.iter().flat_map(|s| widths.iter().map(move |w| s + w));
        let longer: Vec<u32> = longer.filter(|s| *s <= width).collect();
        sums.extend(longer);
    }
    let stretch = (width / STRETCHES).max(1);
    let thinned = |places: Vec<u32>| -> Vec<u32> {
        let mut last = HashMap::new();
        for place in places {
            last.insert(place / stretch, place);
        }
        last.into_values().collect()
    };
    let near = thinned(sums.iter().copied().collect());
    let far = thinned(sums.iter().map(|s| width - s).collect());
    let even = (0..EVEN).map(|k| k * width / EVEN);
    let mut all: BTreeSet<u32> = near.into_iter().chain(far).chain(even).collect();
    let least = widths.first().copied().unwrap_or(width);
    all.retain(|s| s + least <= width);
    all.into_iter().collect()
}
