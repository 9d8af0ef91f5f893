//! Where the points of a scan end along one edge of the board.
//!
//! A strip along the edge is cut into pieces. Counted from outside, the points of a piece lie deeper by equal steps on average,
//! be they scattered or in rows: a line through depth by rank, carried on to rank nought, is where they end, neither at the
//! outermost point nor beyond it. Through the pieces' ends a line is fitted that a missing corner or a few strays do not bend.

/// The points near an edge: how far along it from its middle, and how far out over where it is expected.
pub(super) struct Strip {
    half: f64,
    depth: f64,
    points: Vec<[f64; 2]>,
}

/// Where an edge lies, outwards over where it was expected. Errors are one standard deviation.
#[derive(Debug, Clone, Copy)]
pub(super) struct Line {
    /// On average over its length.
    pub(super) offset: f64,
    pub(super) offset_error: f64,
    /// What it gains over half its length.
    pub(super) slope: f64,
    pub(super) slope_error: f64,
    /// By how much its ends lie further out than its middle, times two thirds.
    pub(super) bow: f64,
}

/// Points that a piece holds, about; pieces of an edge, at least and at most.
const IN_PIECE: usize = 12;
const PIECES: [usize; 2] = [8, 256];

/// Fewer points of a piece, or a smaller share of what the middle one holds, tell no end.
const FEWEST: usize = 4;
const SHARE: f64 = 0.25;

/// The strip keeps off the corners by half its depth or this share of half the edge.
const CORNERS: f64 = 0.15;

/// Fewer pieces make no line, nor do those that reach over a smaller share of the edge; between two of them it is seen that are no
/// further from each other than a share of it.
const FEWEST_PIECES: usize = 4;
const SEEN: f64 = 0.4;
const BETWEEN: f64 = 0.15;

/// A piece whose points reach this share of the way to the strip's outer side may go on beyond it.
const BEYOND: f64 = 0.85;

/// Residuals beyond so many medians of their sizes, and beyond the points' distance, weigh nothing (F. Mosteller and J. Tukey,
/// *Data Analysis and Regression*, 1977: the biweight, from memory).
const REACH: f64 = 6.0;
const ROUNDS: usize = 8;

/// Stretches of an edge whose errors are taken to be independent; fewer tell nothing of that.
const STRETCHES: usize = 12;
const FEWEST_STRETCHES: usize = 6;

/// Constant, slope, and bow: an edge may be crooked.
const TERMS: usize = 3;
type Terms = [f64; TERMS];
type Square = [Terms; TERMS];

/// Where the points of a piece end.
struct End {
    /// From −1 to 1 along the edge.
    at: f64,
    out: f64,
    weight: f64,
}

impl Strip {
    /// Along an edge of so much to either side of its middle, `depth` to either side of it.
    pub(super) fn new(half: f64, depth: f64) -> Self {
        Self {
            half,
            depth,
            points: Vec::new(),
        }
    }

    /// Adds a point, if it lies in the strip and clear of the corners.
    pub(super) fn add(&mut self, along: f64, out: f64) {
        if out.abs() <= self.depth && along.abs() < self.reach() * self.half {
            self.points.push([along, out]);
        }
    }

    /// The share of the edge that is clear of the corners.
    fn reach(&self) -> f64 {
        1.0 - (self.depth / 2.0 / self.half).min(CORNERS)
    }

    /// The points' distance from each other.
    pub(super) fn pitch(&self) -> f64 {
        let area = 2.0 * self.reach() * self.half * self.depth;
        (area / self.points.len().max(1) as f64).sqrt()
    }

    /// The line where the points end; with a bow beside it where the edge may be `curved`. `None` of too few points.
    pub(super) fn line(self, curved: bool) -> Option<Line> {
        let count = (self.points.len() / IN_PIECE).clamp(PIECES[0], PIECES[1]);
        let reach = self.reach();
        let mut pieces = vec![Vec::new(); count];
        for [along, out] in &self.points {
            let share = (along / self.half / reach + 1.0) / 2.0;
            pieces[((share * count as f64) as usize).min(count - 1)].push(*out);
        }
        let mut counts: Vec<usize> = pieces.iter().map(Vec::len).collect();
        counts.sort_unstable();
        let usual = counts[counts.len() / 2] as f64;
        let enough = FEWEST.max((SHARE * usual) as usize);
        let middle = |k: usize| reach * (2.0 * (k as f64 + 0.5) / count as f64 - 1.0);
        let ends: Vec<End> = pieces
            .iter_mut()
            .enumerate()
            .filter(|(_, piece)| piece.len() >= enough)
            .map(|(k, piece)| End {
                at: middle(k),
                out: end_of(piece),
                weight: piece.len() as f64,
            })
            .filter(|end| end.out < BEYOND * self.depth)
            .collect();
        if ends.len() < FEWEST_PIECES {
            return None;
        }
        let fit = Fit::new(&ends, self.pitch(), curved)?;
        if fit.seen(&ends) < SEEN {
            return None;
        }
        let unseen = self.widest_gap(&fit);
        let [offset_error, slope_error] = fit.errors(&ends);
        // Between two rows of points the edge may lie anywhere, and at either end elsewhere.
        let unseen = unseen / 12.0_f64.sqrt();
        Some(Line {
            offset: fit.terms[0],
            offset_error: offset_error.hypot(unseen),
            slope: fit.terms[1],
            slope_error: slope_error.hypot(unseen / 2.0_f64.sqrt()),
            bow: fit.terms[2],
        })
    }

    /// The widest gap between the points' depths under the line, all along the edge: it is wide where they stand in rows along
    /// it, and nothing tells where between two rows the edge lies.
    fn widest_gap(&self, fit: &Fit) -> f64 {
        let under = |[along, out]: &[f64; 2]| fit.at(along / self.half) - out;
        let mut depths: Vec<f64> = self.points.iter().map(under).collect();
        depths.retain(|depth| *depth > 0.0);
        depths.sort_by(f64::total_cmp);
        let deepest = self.depth / 2.0;
        let inside = depths.iter().copied().take_while(|d| *d < deepest);
        let (mut from, mut widest) = (0.0, 0.0_f64);
        for depth in inside.chain([deepest]) {
            widest = widest.max(depth - from);
            from = depth;
        }
        widest
    }
}

/// Where the points of a piece end: the line through their depths by rank, at rank nought.
fn end_of(piece: &mut [f64]) -> f64 {
    piece.sort_by(|a, b| b.total_cmp(a));
    let count = piece.len() as f64;
    let mean = piece.iter().sum::<f64>() / count;
    let middle = (count + 1.0) / 2.0;
    let ranked = piece.iter().zip(1_u32..);
    let product: f64 = ranked.map(|(out, k)| (f64::from(k) - middle) * out).sum();
    let step = 12.0 * product / (count * (count * count - 1.0));
    mean - step * middle
}

/// Of mean nought from −1 to 1, square to constant and slope (A.-M. Legendre's second polynomial).
pub(super) fn bow(at: f64) -> f64 {
    (3.0 * at * at - 1.0) / 2.0
}

/// The robust line.
struct Fit {
    terms: Terms,
    curved: bool,
    weights: Vec<f64>,
    /// Of the sum of what each end's residual pulls by, by the terms.
    inverse: Square,
}

impl Fit {
    fn new(ends: &[End], pitch: f64, curved: bool) -> Option<Self> {
        let mut fit = Self {
            terms: [median(ends.iter().map(|e| e.out)), 0.0, 0.0],
            curved,
            weights: Vec::new(),
            inverse: [[0.0; TERMS]; TERMS],
        };
        for _ in 0..ROUNDS {
            let sizes = ends.iter().map(|e| (e.out - fit.at(e.at)).abs());
            let far = (REACH * median(sizes)).max(pitch);
            let share = |e: &End| {
                let off = (e.out - fit.at(e.at)) / far;
                (1.0 - off * off).max(0.0)
            };
            let weights: Vec<f64> = ends.iter().map(|e| e.weight * share(e).powi(2)).collect();
            let pulls = ends
                .iter()
                .map(|e| e.weight * share(e) * (5.0 * share(e) - 4.0));
            let inverse = inverse(squares(ends, pulls, curved))?;
            let terms = Self::weighted(ends, &weights, curved)?;
            fit = Self {
                terms,
                curved,
                weights,
                inverse,
            };
        }
        Some(fit)
    }

    fn weighted(ends: &[End], weights: &[f64], curved: bool) -> Option<Terms> {
        let mut right = [0.0; TERMS];
        for (end, w) in ends.iter().zip(weights) {
            for (sum, term) in right.iter_mut().zip(row(end.at, curved)) {
                *sum += w * term * end.out;
            }
        }
        let inverse = inverse(squares(ends, weights.iter().copied(), curved))?;
        Some([0, 1, 2].map(|i: usize| dot(&inverse[i], &right)))
    }

    fn at(&self, at: f64) -> f64 {
        dot(&self.terms, &row(at, self.curved))
    }

    /// The share of the edge over which pieces lie on the line.
    fn seen(&self, ends: &[End]) -> f64 {
        let on_line = ends.iter().zip(&self.weights).filter(|(_, w)| **w > 0.0);
        let shares: Vec<f64> = on_line.map(|(end, _)| (end.at + 1.0) / 2.0).collect();
        let apart = shares
            .windows(2)
            .map(|pair| (pair[1] - pair[0]).min(BETWEEN));
        apart.sum()
    }

    /// Of the mean and of the slope: from the residuals as if each were independent, or from the sums of those of
    /// whole stretches (K.-Y. Liang and S. Zeger, "Longitudinal data analysis using generalized linear models", 1986; from memory),
    /// whichever is more.
    fn errors(&self, ends: &[End]) -> [f64; 2] {
        let used = self.weights.iter().filter(|w| **w > 0.0).count() as f64;
        let known = if self.curved { 3.0 } else { 2.0 };
        let stretches = (ends.len() / 4).min(STRETCHES);
        [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0]].map(|of| {
            let pull = [0, 1, 2].map(|i: usize| dot(&self.inverse[i], &of));
            let (mut each, mut sums) = (0.0, [0.0; STRETCHES]);
            for (end, w) in ends.iter().zip(&self.weights) {
                let part = w * (end.out - self.at(end.at)) * dot(&pull, &row(end.at, self.curved));
                each += part * part;
                let stretch = (end.at + 1.0) / 2.0 * stretches as f64;
                sums[(stretch as usize).min(STRETCHES - 1)] += part;
            }
            each *= used / (used - known).max(1.0);
            let whole: f64 = sums.iter().map(|s| s * s).sum();
            let whole = whole * stretches as f64 / (stretches as f64 - known).max(1.0);
            let enough = stretches >= FEWEST_STRETCHES;
            each.max(if enough { whole } else { 0.0 }).sqrt()
        })
    }
}

/// The weighted sum of the terms' products.
fn squares(ends: &[End], weights: impl Iterator<Item = f64>, curved: bool) -> Square {
    let mut square = [[0.0; TERMS]; TERMS];
    for (end, w) in ends.iter().zip(weights) {
        let row = row(end.at, curved);
        for i in 0..TERMS {
            for j in 0..TERMS {
                square[i][j] += w * row[i] * row[j];
            }
        }
    }
    if !curved {
        square[2][2] = 1.0;
    }
    square
}

fn row(at: f64, curved: bool) -> Terms {
    [1.0, at, if curved { bow(at) } else { 0.0 }]
}

fn dot(a: &Terms, b: &Terms) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// By cofactors; `None` where it has none.
fn inverse(m: Square) -> Option<Square> {
    let minor = |i: usize, j: usize| {
        let [a, b] = [(i + 1) % 3, (i + 2) % 3];
        let [c, d] = [(j + 1) % 3, (j + 2) % 3];
        m[a][c] * m[b][d] - m[a][d] * m[b][c]
    };
    let whole: f64 = (0..3).map(|j| m[0][j] * minor(0, j)).sum();
    let finite = whole.is_finite() && whole.abs() > f64::MIN_POSITIVE;
    finite.then(|| [0, 1, 2].map(|i| [0, 1, 2].map(|j| minor(j, i) / whole)))
}

fn median(values: impl Iterator<Item = f64>) -> f64 {
    let mut values: Vec<f64> = values.collect();
    let middle = values.len() / 2;
    *values.select_nth_unstable_by(middle, f64::total_cmp).1
}
