//! The rectangle around the points of a scan, but for strays.

/// A rectangle in the scanner's frame.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rectangle {
    pub(super) middle: [f64; 2],
    /// Of its longer side, anticlockwise from x.
    pub(super) direction: f64,
    /// The longer and the shorter side.
    pub(super) sides: [f64; 2],
}

/// Points that a cell holds on average, about.
const IN_CELL: f64 = 10.0;

/// Cells with fewer points, or a smaller share of what the middle one holds, hold strays.
const FEWEST: usize = 3;
const SHARE: f64 = 0.1;

/// Beyond these shares of the points there may be strays; the cells reach over this much more.
const STRAYS: f64 = 0.002;
const MARGIN: f64 = 0.1;

impl Rectangle {
    /// The least rectangle around the cells that hold points enough; `None` where there are none.
    ///
    /// The cells lie along the points' principal axes, so that it turns with the points.
    pub(super) fn around(places: &[[f64; 2]]) -> Option<Self> {
        let count = places.len() as f64;
        let mean = [0, 1].map(|k| places.iter().map(|p| p[k]).sum::<f64>() / count);
        let [mut xx, mut xy, mut yy] = [0.0; 3];
        for p in places {
            let [x, y] = [0, 1].map(|k| p[k] - mean[k]);
            xx += x * x;
            xy += x * y;
            yy += y * y;
        }
        let principal = (2.0 * xy).atan2(xx - yy) / 2.0;
        let turned = |[x, y]: [f64; 2], angle: f64| {
            let (sin, cos) = angle.sin_cos();
            [cos * x - sin * y, sin * x + cos * y]
        };
        let seen: Vec<[f64; 2]> = places
            .iter()
            .map(|p| turned([p[0] - mean[0], p[1] - mean[1]], -principal))
            .collect();
        let hull = hull(outermost(&seen)?);
        let (area, direction, low, high) = least_around(&hull)?;
        if !(area > 0.0 && area.is_finite()) {
            return None;
        }
        let middle = turned([0, 1].map(|k| (low[k] + high[k]) / 2.0), direction);
        let middle = turned(middle, principal);
        let [along, across] = [0, 1].map(|k| high[k] - low[k]);
        let quarter = if along < across {
            std::f64::consts::FRAC_PI_2
        } else {
            0.0
        };
        Some(Self {
            middle: [0, 1].map(|k| mean[k] + middle[k]),
            direction: principal + direction + quarter,
            sides: [along.max(across), along.min(across)],
        })
    }
}

/// The outermost points of each cell that holds points enough.
fn outermost(places: &[[f64; 2]]) -> Option<Vec<[f64; 2]>> {
    let reach = [0, 1].map(|k| {
        let mut at: Vec<f64> = places.iter().map(|p| p[k]).collect();
        let beyond = (STRAYS * at.len() as f64) as usize;
        let last = at.len().saturating_sub(1 + beyond);
        let low = *at.select_nth_unstable_by(beyond, f64::total_cmp).1;
        let high = *at.select_nth_unstable_by(last, f64::total_cmp).1;
        let margin = MARGIN * (high - low);
        [low - margin, high + margin]
    });
    let extent = reach.map(|[low, high]| high - low);
    // Square cells, so that what the outermost leave out is as little at the ends as at the edges.
    let side = (IN_CELL * extent[0] * extent[1] / places.len() as f64).sqrt();
    if !(side > 0.0 && side.is_finite()) {
        return None;
    }
    let cells = extent.map(|extent| (extent / side).ceil());
    // Many more than points, where those lie on a line.
    if cells[0] * cells[1] > places.len() as f64 {
        return None;
    }
    let cell = |p: &[f64; 2]| {
        let [i, j] = [0, 1].map(|k| (p[k] - reach[k][0]) / side);
        let inside = i >= 0.0 && j >= 0.0 && i < cells[0] && j < cells[1];
        inside.then(|| i as usize * cells[1] as usize + j as usize)
    };
    let mut counts = vec![0_usize; (cells[0] * cells[1]) as usize];
    for place in places.iter().filter_map(cell) {
        counts[place] += 1;
    }
    let mut held: Vec<usize> = counts.iter().copied().filter(|c| *c > 0).collect();
    held.sort_unstable();
    let usual = *held.get(held.len() / 2)?;
    let enough = FEWEST.max((SHARE * usual as f64) as usize);
    // Of each cell the points that reach furthest in four directions.
    let mut furthest: Vec<Option<[[f64; 2]; 4]>> = vec![None; counts.len()];
    for p in places {
        let Some(at) = cell(p).filter(|at| counts[*at] >= enough) else {
            continue;
        };
        let four = furthest[at].get_or_insert([*p; 4]);
        for k in [0, 1] {
            if p[k] < four[2 * k][k] {
                four[2 * k] = *p;
            }
            if p[k] > four[2 * k + 1][k] {
                four[2 * k + 1] = *p;
            }
        }
    }
    Some(furthest.into_iter().flatten().flatten().collect())
}

/// The convex hull, anticlockwise (A. Andrew, "Another efficient algorithm for convex hulls in two dimensions", 1979).
fn hull(mut points: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    points.sort_by(|p, q| p[0].total_cmp(&q[0]).then(p[1].total_cmp(&q[1])));
    let chain = |points: &mut dyn Iterator<Item = &[f64; 2]>| {
        let mut chain: Vec<[f64; 2]> = Vec::new();
        for &r in points {
            while let [.., p, q] = chain[..]
                && (q[0] - p[0]) * (r[1] - p[1]) <= (q[1] - p[1]) * (r[0] - p[0])
            {
                chain.pop();
            }
            chain.push(r);
        }
        chain.pop();
        chain
    };
    let mut hull = chain(&mut points.iter());
    hull.extend(chain(&mut points.iter().rev()));
    hull
}

/// The least rectangle around a convex polygon: one of its sides lies along one of the polygon's (H. Freeman and R. Shapira,
/// "Determining the minimum-area encasing rectangle for an arbitrary closed curve", 1975). Its area, direction, and reach in that.
fn least_around(hull: &[[f64; 2]]) -> Option<(f64, f64, [f64; 2], [f64; 2])> {
    let sides = (0..hull.len()).map(|i| (hull[i], hull[(i + 1) % hull.len()]));
    let around = sides.map(|(p, q)| {
        let direction = (q[1] - p[1]).atan2(q[0] - p[0]);
        let (sin, cos) = direction.sin_cos();
        let mut low = [f64::INFINITY; 2];
        let mut high = [f64::NEG_INFINITY; 2];
        for [x, y] in hull {
            let seen = [cos * x + sin * y, cos * y - sin * x];
            for k in [0, 1] {
                low[k] = low[k].min(seen[k]);
                high[k] = high[k].max(seen[k]);
            }
        }
        let area = (high[0] - low[0]) * (high[1] - low[1]);
        (area, direction, low, high)
    });
    around.min_by(|a, b| a.0.total_cmp(&b.0))
}
