//! A scan in cells: their mean heights, and the readings that a plane can touch.

use rayon::prelude::*;

use super::form::Form;
use crate::board::reach;
use crate::readings::Point;

/// Readings a cell, on average, unless that makes too many cells.
const IN_A_CELL: usize = 48;

/// The readings are sorted into cells in so many shares, side by side.
const SHARES: usize = 8;

/// Cells at the most, but for those at the rim: about what a processor has at hand while it reads.
const MOST_CELLS: usize = 1 << 14;

/// The steps in which the first and the last cell of each side are cut, in sixteenths: a reading at the rim is only seen to
/// lie inside by readings nearer to the rim.
const RIM: [usize; 5] = [1, 1, 2, 4, 8];
const STEPS: usize = 16;

/// How many cells away it is looked for readings that show others to lie inside. In a hollow those far away tell most,
/// on a hump those nearby.
const REACHES: [usize; 6] = [1, 2, 4, 8, 16, 32];

/// A reading counts as inside the hull of others where it is so deep under it, as a share of their extent: ten times what
/// counts as touching a plane.
const DEEP: f64 = 1e-9;

/// Places this many extents from zero at the most are put in cells.
const FURTHEST: f64 = 1e4;

/// The points of a face in cells.
pub(super) struct Cells {
    along: Axis,
    across: Axis,
    cells: Vec<Cell>,
    /// The longest side of the box around the places.
    extent: f64,
}

/// One side parted into cells.
struct Axis {
    low: f64,
    /// Steps a millimetre.
    scale: f64,
    /// The cell of each step.
    cell: Vec<usize>,
    count: usize,
}

#[derive(Debug, Clone, Copy)]
struct Cell {
    count: usize,
    sum: Point,
    /// The points furthest over and under the form, and how far.
    high: (f64, Point),
    low: (f64, Point),
}

impl Cell {
    const EMPTY: Self = Self {
        count: 0,
        sum: [0.0; 3],
        high: (f64::NEG_INFINITY, [0.0; 3]),
        low: (f64::INFINITY, [0.0; 3]),
    };

    /// Takes in the points of another, which come after its own.
    fn add(&mut self, more: &Self) {
        self.count += more.count;
        for (sum, part) in self.sum.iter_mut().zip(more.sum) {
            *sum += part;
        }
        if more.high.0 > self.high.0 {
            self.high = more.high;
        }
        if more.low.0 < self.low.0 {
            self.low = more.low;
        }
    }
}

/// What tells that a point of a cell lies inside: slopes along and across, and the heights between which it lies when they
/// are taken off.
#[derive(Debug, Clone, Copy)]
struct Inside {
    slopes: [f64; 2],
    over: f64,
    under: f64,
}

impl Axis {
    fn new([low, high]: [f64; 2], side: f64) -> Self {
        let cells = ((high - low) / side).ceil().max(1.0) as usize;
        let mut cell = Vec::with_capacity(cells * STEPS);
        let mut count = 0;
        for k in 0..cells {
            let whole = [STEPS];
            let ascending = RIM.iter();
            let parts: Vec<usize> = if k == 0 {
                ascending.copied().collect()
            } else if k == cells - 1 {
                ascending.rev().copied().collect()
            } else {
                whole.to_vec()
            };
            for steps in parts {
                cell.extend(std::iter::repeat_n(count, steps));
                count += 1;
            }
        }
        Self {
            low,
            scale: (cells * STEPS) as f64 / (high - low),
            cell,
            count,
        }
    }

    /// The cell at a place: it never falls while the place grows.
    fn at(&self, place: f64) -> usize {
        let step = ((place - self.low) * self.scale) as usize;
        self.cell[step.min(self.cell.len() - 1)]
    }

    /// Some cells ahead of or behind one, the further the fewer.
    fn from(&self, cell: usize, ahead: bool) -> impl Iterator<Item = usize> + '_ {
        REACHES.into_iter().filter_map(move |reach| {
            if ahead {
                Some(cell + reach).filter(|other| *other < self.count)
            } else {
                cell.checked_sub(reach)
            }
        })
    }
}

impl Cells {
    /// The points in cells; `form` lies about along them. `None` where their places do not spread over an area.
    pub(super) fn new(points: &[Point], form: &Form) -> Option<Self> {
        let [x, y] = reach(points)?;
        let [length, width] = [x[1] - x[0], y[1] - y[0]];
        let cells = (points.len() / IN_A_CELL).clamp(16, MOST_CELLS);
        let side = (length * width / cells as f64).sqrt();
        let extent = length.max(width);
        // Seen from further away, heights would lose the digits that tell how deep a reading lies.
        let furthest = x.iter().chain(&y).fold(0.0_f64, |f, c| f.max(c.abs()));
        if !(side > 1e-4 * extent && furthest < FURTHEST * extent) {
            return None;
        }
        let (along, across) = (Axis::new(x, side), Axis::new(y, side));
        let mut found = Self {
            cells: Vec::new(),
            along,
            across,
            extent,
        };
        let shares: Vec<Vec<Cell>> = points
            .par_chunks(points.len().div_ceil(SHARES))
            .map(|share| found.sorted(share, form))
            .collect();
        let mut shares = shares.into_iter();
        found.cells = shares.next()?;
        for share in shares {
            for (cell, more) in found.cells.iter_mut().zip(share) {
                cell.add(&more);
            }
        }
        Some(found)
    }

    /// Some of the points in cells.
    fn sorted(&self, points: &[Point], form: &Form) -> Vec<Cell> {
        let mut cells = vec![Cell::EMPTY; self.along.count * self.across.count];
        for &point in points {
            let over = point[2] - form.height(point[0], point[1]);
            cells[self.index(point)].add(&Cell {
                count: 1,
                sum: point,
                high: (over, point),
                low: (over, point),
            });
        }
        cells
    }

    fn index(&self, [x, y, _]: Point) -> usize {
        self.along.at(x) * self.across.count + self.across.at(y)
    }

    /// The mean place and height of each cell in which a point lies.
    pub(super) fn means(&self) -> Vec<Point> {
        let filled = self.cells.iter().filter(|cell| cell.count > 0);
        filled
            .map(|cell| cell.sum.map(|sum| sum / cell.count as f64))
            .collect()
    }

    /// Those of the points, which are the same as before, that are not sure to lie inside the hull of others: no plane
    /// touches the rest, and the hull of those given is the hull of all.
    ///
    /// A point is inside where there are points over it, and points under it, as seen over any one plane, in each of the four
    /// quarters about it: their places surround its place. What shows it may itself lie inside the hull of others;
    /// corners of the hull are always kept, and they are enough.
    pub(super) fn outermost(&self, points: &[Point], form: &Form) -> Vec<Point> {
        let inside: Vec<Inside> = (0..self.cells.len())
            .into_par_iter()
            .map(|at| self.inside(at, form))
            .collect();
        points
            .par_iter()
            .filter(|p| {
                let Inside {
                    slopes: [b, c],
                    over,
                    under,
                } = inside[self.index(**p)];
                let height = p[2] - b * p[0] - c * p[1];
                !(height < over && height > under)
            })
            .copied()
            .collect()
    }

    /// What tells which points of a cell are inside: in each of the four quarters about it the best of some cells; nothing
    /// is, where one of them is empty, as at the rim.
    fn inside(&self, at: usize, form: &Form) -> Inside {
        let (i, j) = (at / self.across.count, at % self.across.count);
        let cell = &self.cells[at];
        let [x, y, _] = cell.sum.map(|sum| sum / cell.count.max(1) as f64);
        let slopes = form.slopes(x, y);
        let height = |p: Point| p[2] - slopes[0] * p[0] - slopes[1] * p[1];
        let (mut over, mut under) = (f64::INFINITY, f64::NEG_INFINITY);
        for ahead in [false, true] {
            for aside in [false, true] {
                let (mut highest, mut lowest) = (f64::NEG_INFINITY, f64::INFINITY);
                for i in self.along.from(i, ahead) {
                    for j in self.across.from(j, aside) {
                        let cell = &self.cells[i * self.across.count + j];
                        if cell.count > 0 {
                            highest = highest.max(height(cell.high.1));
                            lowest = lowest.min(height(cell.low.1));
                        }
                    }
                }
                over = over.min(highest);
                under = under.max(lowest);
            }
        }
        let deep = DEEP * self.extent;
        Inside {
            slopes,
            over: over - deep,
            under: under + deep,
        }
    }
}
