//! Ways to cut a board without a list of parts, and what each leaves.

use super::Allowances;
use super::evidence::Evidence;
use super::pieces::Pieces;
use super::uneven::Lengths;
use super::window::Window;
use crate::flatten::Interval;

/// Across the board or along it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CutKind {
    /// Across the grain.
    Crosscut,
    /// Along it.
    Rip,
}

/// One cut of the saw, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cut {
    /// Across or along.
    pub kind: CutKind,
    /// The side of the kerf nearer end A, of a rip nearer the near edge.
    pub at: f64,
    /// Where it begins.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
}

/// How a board is cut before it is flattened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WayKind {
    /// Not at all.
    Whole,
    /// Into so many equal lengths.
    Lengths(usize),
    /// Into so many lengths, where the thinnest of them is thickest.
    Uneven(usize),
    /// Ripped into so many equal widths, to be glued up again.
    Widths(usize),
}

/// What is left of one piece.
#[derive(Debug, Clone, PartialEq)]
pub struct PieceLeft {
    /// The piece between the kerfs.
    pub window: Window,
    /// What survives of it shimmed, mm.
    pub interval: Interval,
    /// The same in each draw, ascending.
    draws: Vec<f64>,
}

impl PieceLeft {
    /// The probability that it comes out at least this thick, shimmed, 0 to 1.
    #[must_use]
    pub fn chance(&self, thickness: f64) -> f64 {
        share(&self.draws, thickness)
    }
}

/// The share of draws, ascending, that reach a thickness.
pub(super) fn share(draws: &[f64], thickness: f64) -> f64 {
    let short = draws.partition_point(|t| *t < thickness - 1e-9);
    1.0 - short as f64 / draws.len() as f64
}

/// One way to cut a board, and what it leaves.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// What is done.
    pub kind: WayKind,
    /// Each cut.
    pub cuts: Vec<Cut>,
    /// Each piece.
    pub pieces: Vec<PieceLeft>,
    /// What survives of the thinnest piece, mm.
    pub thinnest: Interval,
    /// The share of the board's face that goes to kerfs, end trim and jointing, 0 to 1.
    pub lost: f64,
    /// What survives of the thinnest piece in each draw, ascending.
    draws: Vec<f64>,
}

impl Way {
    /// The probability that every piece comes out at least this thick, shimmed, 0 to 1.
    #[must_use]
    pub fn chance(&self, thickness: f64) -> f64 {
        share(&self.draws, thickness)
    }

    /// The largest of some sizes, ascending, that every piece reaches with this certainty.
    #[must_use]
    pub fn size(&self, sizes: &[f64], certainty: f64) -> Option<f64> {
        let safe = sizes.partition_point(|size| self.chance(*size) >= certainty);
        safe.checked_sub(1).map(|k| sizes[k])
    }

    /// Crosscuts between pieces that follow each other along the board.
    pub(super) fn crosscut(kind: WayKind, windows: Vec<Window>, pieces: &mut Pieces<'_>) -> Self {
        Self::new(kind, crosscuts(&windows), windows, pieces)
    }

    fn new(kind: WayKind, cuts: Vec<Cut>, windows: Vec<Window>, pieces: &mut Pieces<'_>) -> Self {
        let whole = pieces.draws().whole();
        let kept: f64 = windows.iter().map(Window::area).sum();
        let mut draws = vec![f64::INFINITY; pieces.draws().count()];
        let left = |window: Window| {
            let mut thicknesses = pieces.thicknesses(&window);
            for (least, t) in draws.iter_mut().zip(&thicknesses) {
                *least = least.min(*t);
            }
            thicknesses.sort_by(f64::total_cmp);
            PieceLeft {
                window,
                interval: Interval::of(&thicknesses),
                draws: thicknesses,
            }
        };
        let left = windows.into_iter().map(left).collect();
        draws.sort_by(f64::total_cmp);
        Self {
            kind,
            cuts,
            pieces: left,
            thinnest: Interval::of(&draws),
            lost: (1.0 - kept / whole.area()).max(0.0),
            draws,
        }
    }
}

/// The most pieces that a board is cut into without a list.
const MOST_LENGTHS: usize = 4;
const MOST_UNEVEN: usize = 3;
const MOST_WIDTHS: usize = 3;

/// All ways that the machines take: the whole board first. Uneven cuts lie at multiples of `step` from end A, where the
/// thickness that each piece reaches with `certainty` is largest.
#[must_use]
pub fn ways(evidence: &Evidence, allowances: &Allowances, step: f64, certainty: f64) -> Vec<Way> {
    let whole = evidence.whole.whole();
    let uncut = Way::new(
        WayKind::Whole,
        Vec::new(),
        vec![whole],
        &mut Pieces::new(&evidence.whole),
    );
    let mut ways = vec![uncut];
    let stated = &mut Pieces::new(&evidence.stating);
    let trimmed = trimmed(&whole, allowances);
    let counts = |most| (2..=most).filter(|n| long_enough(&trimmed, *n, allowances));
    for n in counts(MOST_LENGTHS) {
        let windows = equal_lengths(&trimmed, n, allowances);
        ways.push(Way::crosscut(WayKind::Lengths(n), windows, stated));
    }
    let mut choosing = Pieces::new(&evidence.choosing);
    for n in counts(MOST_UNEVEN) {
        let lengths = Lengths {
            board: trimmed,
            n,
            allowances,
            step,
            certainty,
        };
        if let Some(windows) = lengths.thickest(&mut choosing) {
            ways.push(Way::crosscut(WayKind::Uneven(n), windows, stated));
        }
    }
    for n in 2..=MOST_WIDTHS {
        let lost = allowances.kerf_rip + allowances.jointing;
        if whole.width() / n as f64 <= 2.0 * lost {
            break;
        }
        let windows: Vec<Window> = equal(whole.near, whole.far, n, lost)
            .map(|(near, far)| Window { near, far, ..whole })
            .collect();
        let cuts = windows.iter().skip(1).map(|w| Cut {
            kind: CutKind::Rip,
            at: w.near - lost + allowances.jointing / 2.0,
            from: whole.from,
            to: whole.to,
        });
        ways.push(Way::new(
            WayKind::Widths(n),
            cuts.collect(),
            windows,
            stated,
        ));
    }
    ways
}

/// What crosscuts at these places leave, mm from end A to the side of the kerf nearer it. Cuts that leave nothing between
/// them count as one.
#[must_use]
pub fn crosscut_at(at: &[f64], allowances: &Allowances, pieces: &mut Pieces<'_>) -> Way {
    let whole = pieces.draws().whole();
    let trimmed = trimmed(&whole, allowances);
    let mut at: Vec<f64> = at.iter().map(|x| whole.from + x).collect();
    at.sort_by(f64::total_cmp);
    let (mut windows, mut from) = (Vec::new(), trimmed.from);
    for to in at.into_iter().chain([trimmed.to]) {
        if from < to && to <= trimmed.to {
            windows.push(Window { from, to, ..whole });
            from = to + allowances.kerf_crosscut;
        }
    }
    Way::crosscut(WayKind::Uneven(windows.len()), windows, pieces)
}

/// A board without what is trimmed off its ends.
pub(super) fn trimmed(whole: &Window, allowances: &Allowances) -> Window {
    Window {
        from: whole.from + allowances.end_trim,
        to: whole.to - allowances.end_trim,
        ..*whole
    }
}

/// Whether so many lengths of a board go over the machines.
pub(super) fn long_enough(trimmed: &Window, n: usize, allowances: &Allowances) -> bool {
    trimmed.length() / n as f64 >= allowances.min_length
}

/// A board cut into equal lengths.
pub(super) fn equal_lengths(trimmed: &Window, n: usize, allowances: &Allowances) -> Vec<Window> {
    equal(trimmed.from, trimmed.to, n, allowances.kerf_crosscut)
        .map(|(from, to)| Window {
            from,
            to,
            ..*trimmed
        })
        .collect()
}

/// Stretches of equal length with `between` them.
fn equal(from: f64, to: f64, n: usize, between: f64) -> impl Iterator<Item = (f64, f64)> {
    let each = (to - from - between * (n - 1) as f64) / n as f64;
    (0..n).map(move |k| {
        let start = from + (each + between) * k as f64;
        (start, start + each)
    })
}

fn crosscuts(windows: &[Window]) -> Vec<Cut> {
    let ends = windows.iter().take(windows.len() - 1);
    ends.map(|w| Cut {
        kind: CutKind::Crosscut,
        at: w.to,
        from: w.near,
        to: w.far,
    })
    .collect()
}

/// What survives of the best piece of a length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ByLength {
    /// The piece, at the board's full width.
    pub window: Window,
    /// What survives of it shimmed, mm.
    pub interval: Interval,
}

/// Lengths of the curve, and places tried for each.
const LENGTHS: usize = 8;
const STARTS: usize = 24;

/// The curve of what survives against a piece's length: for an eighth to eight eighths of the board, at the place where
/// the piece comes out thickest.
#[must_use]
pub fn by_length(evidence: &Evidence) -> Vec<ByLength> {
    let whole = evidence.whole.whole();
    let mut choosing = Pieces::new(&evidence.choosing);
    let mut stating = Pieces::new(&evidence.stating);
    (1..=LENGTHS)
        .map(|k| {
            let length = whole.length() * k as f64 / LENGTHS as f64;
            let starts = STARTS - STARTS * k / LENGTHS;
            let place = |j: usize| {
                let from = whole.from + whole.length() * j as f64 / STARTS as f64;
                Window {
                    from,
                    to: (from + length).min(whole.to),
                    ..whole
                }
            };
            let expected = (0..=starts).map(|j| (choosing.interval(&place(j)).expected, j));
            // Of equals the one nearest end A.
            let best = expected.fold((f64::NEG_INFINITY, 0), |a, b| if b.0 > a.0 { b } else { a });
            let window = place(best.1);
            ByLength {
                window,
                interval: stating.interval(&window),
            }
        })
        .collect()
}
