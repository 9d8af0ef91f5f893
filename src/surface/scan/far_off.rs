//! What stands far off the wood round about: spikes, which are the sensor's, and pits, which are the wood's. Neither makes a
//! face rough: a spike is not there, and nobody planes a board down to the bottom of a worm hole.

use super::cells::Cells;
use super::noise::{Residual, neighbour};
use super::plane::median;

/// Points far off all those round about.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spikes {
    /// Their share of the points, 0 to 1, from the samples.
    pub share: f64,
    /// The middle of the cell that has most.
    pub place: [f64; 2],
    /// Its share.
    pub share_there: f64,
}

/// Holes, checks and gouges: points far under those round about that lie together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pits {
    /// Their share of the points, 0 to 1, from the samples.
    pub share: f64,
    /// How far under the wood round about half of them lie at least, mm.
    pub depth: f64,
    /// The middle of the cell that has most.
    pub place: [f64; 2],
}

/// Deep points tell holes from dust where they are this many.
const FEWEST: f64 = 20.0;

/// Deep points are pits where the nearest neighbour of more than this share of them is deep too, beyond chance.
const TOGETHER: f64 = 0.5;

/// The spikes and the pits among the cells' `sampled` residuals, off by more than `far`; `near` are those of the small windows,
/// which have all neighbours.
pub(super) fn far_off(
    cells: &Cells,
    sampled: &[Vec<Residual>],
    near: &[Vec<Residual>],
    far: f64,
) -> (Option<Spikes>, Option<Pits>) {
    let pitted = together(near, far) > TOGETHER;
    let is_pit = |r: &Residual| pitted && r.off < -far;
    let spikes = most(cells, sampled, |r| r.off.abs() > far && !is_pit(r));
    let pits = most(cells, sampled, is_pit);
    let mut depths: Vec<f64> = sampled
        .iter()
        .flatten()
        .filter(|r| is_pit(r))
        .map(|r| -r.off)
        .collect();
    (
        spikes.map(|(share, place, share_there)| Spikes {
            share,
            place,
            share_there,
        }),
        pits.map(|(share, place, _)| Pits {
            share,
            depth: median(&mut depths),
            place,
        }),
    )
}

/// Of all residuals the share of those that `counts`, the middle of the cell that has most, and its share; `None` where none does.
fn most(
    cells: &Cells,
    sampled: &[Vec<Residual>],
    counts: impl Fn(&Residual) -> bool,
) -> Option<(f64, [f64; 2], f64)> {
    let counted = |cell: &Vec<Residual>| cell.iter().filter(|r| counts(r)).count();
    let share = |cell: &Vec<Residual>| counted(cell) as f64 / cell.len().max(1) as f64;
    let (some, all) = sampled.iter().fold((0, 0), |(some, all), cell| {
        (some + counted(cell), all + cell.len())
    });
    let worst =
        (0..sampled.len()).max_by(|&a, &b| share(&sampled[a]).total_cmp(&share(&sampled[b])))?;
    (some > 0).then(|| {
        (
            some as f64 / all as f64,
            cells.middle(worst),
            share(&sampled[worst]),
        )
    })
}

/// The share of points far under their plane whose nearest neighbour is as well, beyond chance: 0 where they are dust, 1 where
/// they are holes in the wood.
fn together(near: &[Vec<Residual>], far: f64) -> f64 {
    let (mut all, mut deep, mut both) = (0.0_f64, 0.0_f64, 0.0_f64);
    for cell in near {
        for (i, r) in cell.iter().enumerate() {
            all += 1.0;
            if r.off < -far {
                deep += 1.0;
                if neighbour(cell, i).is_some_and(|(j, _)| cell[j].off < -far) {
                    both += 1.0;
                }
            }
        }
    }
    if deep < FEWEST {
        return 0.0;
    }
    let by_chance = deep / all;
    ((both / deep - by_chance) / (1.0 - by_chance)).max(0.0)
}
