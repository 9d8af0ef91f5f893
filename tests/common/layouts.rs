//! Tasks by chance, and every layout of a small one tried.

use std::collections::{BTreeMap, BTreeSet, HashSet};

use outwind::cutting::layout::{Chances, Demand, Item, Layout, Prefer, Score, Sheet, Task};

use super::random::Random;

/// Rungs drawn by chance for every item and place; 0 of what is not likely enough.
pub(crate) struct Drawn {
    pub(crate) rungs: u8,
    /// By sheet and item: by step along and start across.
    pub(crate) heights: Vec<Vec<Vec<u8>>>,
}

impl Chances for Drawn {
    fn rungs(&self) -> u8 {
        self.rungs
    }

    fn reach(&mut self, sheet: usize, item: usize, rung: u8) -> Vec<bool> {
        self.heights[sheet][item]
            .iter()
            .map(|h| *h > rung)
            .collect()
    }
}

/// A task of up to `sheets` sheets of up to 12 × 4 places and six parts.
pub(crate) fn small(random: &mut Random, sheets: usize) -> (Task, Drawn) {
    let sheets: Vec<Sheet> = (0..random.count(1, sheets))
        .map(|_| {
            let width = random.count(2, 4) as u32;
            Sheet {
                length: random.count(5, 12) as u32,
                width,
                starts: (0..width).collect(),
            }
        })
        .collect();
    let (mut demands, mut items) = (Vec::new(), Vec::new());
    let mut left = random.count(1, 6) as u32;
    while left > 0 {
        let units = (random.count(1, 2) as u32).min(left);
        left -= units;
        let (length, width) = (random.count(2, 7) as u32, random.count(1, 3) as u32);
        let demand = demands.len();
        // Some parts are glued up from two strips, some may be resawn in pairs from a thicker piece.
        let glued = units == 2 && random.count(0, 3) == 0;
        demands.push(Demand {
            units,
            units_per_part: if glued { 2 } else { 1 },
            // Whole numbers, so that different sums are told apart and equal ones are equal.
            area: f64::from(length * width) * if glued { 2.0 } else { 1.0 },
        });
        items.push(Item {
            demand,
            yields: 1,
            length,
            width,
        });
        if units == 2 && random.count(0, 2) == 0 {
            items.push(Item {
                demand,
                yields: 2,
                length,
                width: width + u32::from(glued),
            });
        }
    }
    let rungs = random.count(1, 3) as u8;
    let share = random.within(0.3, 1.0);
    let heights = sheets
        .iter()
        .map(|sheet| {
            let places = |item: &Item| {
                let along = (sheet.length + 1).saturating_sub(item.length);
                (0..along as usize * sheet.starts.len())
                    .map(|_| {
                        if random.within(0.0, 1.0) < share {
                            random.count(1, usize::from(rungs)) as u8
                        } else {
                            0
                        }
                    })
                    .collect()
            };
            items.iter().map(places).collect()
        })
        .collect();
    let useful = random.count(1, 4) as u32;
    (
        Task {
            demands,
            items,
            sheets,
            useful,
            prefer: Prefer::Margin,
        },
        Drawn { rungs, heights },
    )
}

/// What a layout of one sheet yields: units by demand, the least rung, cuts, the longest offcut.
type Outcome = (Vec<u32>, u8, u32, u32);

/// The score of the best of all layouts in each order of preference, every one of them tried.
pub(crate) fn best_of_all(task: &Task, drawn: &Drawn) -> [(Prefer, Score); 3] {
    let mut so_far: HashSet<Outcome> =
        HashSet::from([(vec![0; task.demands.len()], drawn.rungs - 1, 0, 0)]);
    for sheet in 0..task.sheets.len() {
        let outcomes = outcomes(task, drawn, sheet);
        let mut together = HashSet::new();
        for (units, rung, cuts, offcut) in &so_far {
            for (more, other_rung, other_cuts, other_offcut) in &outcomes {
                let sum: Vec<u32> = units.iter().zip(more).map(|(a, b)| a + b).collect();
                if sum.iter().zip(&task.demands).all(|(u, d)| *u <= d.units) {
                    together.insert((
                        sum,
                        *rung.min(other_rung),
                        cuts + other_cuts,
                        *offcut.max(other_offcut),
                    ));
                }
            }
        }
        so_far = together;
    }
    let scores: Vec<Score> = so_far
        .into_iter()
        .map(|(units, rung, cuts, offcut)| Score {
            area: units
                .iter()
                .zip(&task.demands)
                .map(|(u, d)| d.made(*u))
                .sum(),
            rung,
            cuts,
            offcut,
        })
        .collect();
    [Prefer::Margin, Prefer::Cuts, Prefer::Offcut].map(|prefer| {
        let better = |a: Score, b: Score| {
            if b.compare(&a, prefer).is_gt() { b } else { a }
        };
        (prefer, scores.iter().copied().reduce(better).unwrap())
    })
}

/// Every way to rip a section, by where it begins and how long it is: units, the least rung, rips.
type Rippings = BTreeMap<(u32, u32), Vec<(Vec<u32>, u8, u32)>>;

/// Every layout of a sheet by what it yields.
fn outcomes(task: &Task, drawn: &Drawn, sheet: usize) -> HashSet<Outcome> {
    let mut found = HashSet::new();
    let n = task.sheets[sheet].length;
    let rippings: Rippings = (0..n)
        .flat_map(|at| (1..=n - at).map(move |length| (at, length)))
        .map(|(at, length)| ((at, length), rippings(task, drawn, sheet, at, length)))
        .filter(|(_, r)| !r.is_empty())
        .collect();
    let mut sections = Vec::new();
    let units = vec![0; task.demands.len()];
    lay(
        task,
        n,
        &rippings,
        0,
        &mut sections,
        &(units, drawn.rungs - 1, 0),
        &mut found,
    );
    found
}

fn lay(
    task: &Task,
    n: u32,
    rippings: &Rippings,
    from: u32,
    sections: &mut Vec<(u32, u32)>,
    so_far: &(Vec<u32>, u8, u32),
    found: &mut HashSet<Outcome>,
) {
    let (units, rung, rips) = so_far;
    let boundaries: BTreeSet<u32> = sections.iter().flat_map(|s| [s.0, s.0 + s.1]).collect();
    let crosscuts = boundaries.iter().filter(|b| **b > 0 && **b < n).count() as u32;
    let mut gaps = Vec::new();
    let mut end = 0;
    for s in sections.iter() {
        gaps.push(s.0 - end);
        end = s.0 + s.1;
    }
    gaps.push(n - end);
    let offcut = gaps
        .into_iter()
        .filter(|g| *g >= task.useful)
        .max()
        .unwrap_or(0);
    found.insert((units.clone(), *rung, rips + crosscuts, offcut));
    for ((at, length), ways) in rippings.range((from, 0)..) {
        for (more, least, own) in ways {
            let sum: Vec<u32> = units.iter().zip(more).map(|(a, b)| a + b).collect();
            if sum.iter().zip(&task.demands).all(|(u, d)| *u <= d.units) {
                sections.push((*at, *length));
                lay(
                    task,
                    n,
                    rippings,
                    at + length,
                    sections,
                    &(sum, *rung.min(least), rips + own),
                    found,
                );
                sections.pop();
            }
        }
    }
}

/// Every way to rip a section whose longest item is as long as itself: units, least rung, rips.
fn rippings(
    task: &Task,
    drawn: &Drawn,
    sheet: usize,
    at: u32,
    length: u32,
) -> Vec<(Vec<u32>, u8, u32)> {
    let mut found = HashSet::new();
    rip(
        task,
        drawn,
        sheet,
        (at, length),
        0,
        &mut Vec::new(),
        &mut found,
    );
    found.into_iter().collect()
}

fn rip(
    task: &Task,
    drawn: &Drawn,
    sheet: usize,
    (at, length): (u32, u32),
    from: u32,
    strips: &mut Vec<(usize, u32)>,
    found: &mut HashSet<(Vec<u32>, u8, u32)>,
) {
    let Sheet { width, starts, .. } = &task.sheets[sheet];
    if strips.iter().any(|(k, _)| task.items[*k].length == length) {
        let mut units = vec![0; task.demands.len()];
        let mut boundaries = BTreeSet::new();
        let mut least = drawn.rungs - 1;
        for (k, near) in strips.iter() {
            let item = &task.items[*k];
            units[item.demand] += item.yields;
            boundaries.extend([*near, near + item.width]);
            // Anywhere along the section, where the chance is best.
            let rung = (at..=at + length - item.length)
                .map(|a| drawn.heights[sheet][*k][a as usize * starts.len() + *near as usize])
                .max();
            least = least.min(rung.unwrap() - 1);
        }
        let rips = boundaries.iter().filter(|b| **b > 0 && *b < width).count() as u32;
        found.insert((units, least, rips));
    }
    for near in from..*width {
        for (k, item) in task.items.iter().enumerate() {
            let fits = item.length <= length
                && near + item.width <= *width
                && (at..=at + length - item.length).any(|a| {
                    drawn.heights[sheet][k][a as usize * starts.len() + near as usize] > 0
                });
            if fits {
                strips.push((k, near));
                rip(
                    task,
                    drawn,
                    sheet,
                    (at, length),
                    near + item.width,
                    strips,
                    found,
                );
                strips.pop();
            }
        }
    }
}

/// Asserts that a layout can be cut and is worth what it says.
pub(crate) fn check(task: &Task, drawn: &Drawn, layout: &Layout) {
    let mut units = vec![0; task.demands.len()];
    let mut least = drawn.rungs - 1;
    let (mut cuts, mut offcut) = (0, 0);
    for (s, sheet) in task.sheets.iter().enumerate() {
        let placed: Vec<_> = layout.placed.iter().filter(|p| p.sheet == s).collect();
        let sections: BTreeSet<(u32, u32)> = placed.iter().map(|p| p.section).collect();
        let mut end = 0;
        let mut boundaries = BTreeSet::new();
        for &(at, length) in &sections {
            assert!(at >= end, "sections overlap");
            let gap = at - end;
            offcut = offcut.max(if gap >= task.useful { gap } else { 0 });
            end = at + length;
            boundaries.extend([at, end]);
            let mut strips: Vec<_> = placed
                .iter()
                .filter(|p| p.section == (at, length))
                .collect();
            strips.sort_by_key(|p| p.near);
            let longest = strips.iter().map(|p| task.items[p.item].length).max();
            assert_eq!(
                longest,
                Some(length),
                "a section is as long as its longest item"
            );
            let mut far = 0;
            let mut rips = BTreeSet::new();
            for p in strips {
                let item = &task.items[p.item];
                assert!(p.near >= far && p.from >= at && p.from + item.length <= at + length);
                far = p.near + item.width;
                rips.extend([p.near, far]);
                units[item.demand] += item.yields;
                let start = sheet.starts.iter().position(|y| *y == p.near).unwrap();
                let rung = drawn.heights[s][p.item][p.from as usize * sheet.starts.len() + start];
                assert!(rung > 0, "not likely enough");
                least = least.min(rung - 1);
            }
            assert!(far <= sheet.width);
            cuts += rips.iter().filter(|r| **r > 0 && **r < sheet.width).count() as u32;
        }
        assert!(end <= sheet.length);
        let gap = sheet.length - end;
        offcut = offcut.max(if gap >= task.useful { gap } else { 0 });
        cuts += boundaries
            .iter()
            .filter(|b| **b > 0 && **b < sheet.length)
            .count() as u32;
    }
    assert!(units.iter().zip(&task.demands).all(|(u, d)| *u <= d.units));
    let area: f64 = units
        .iter()
        .zip(&task.demands)
        .map(|(u, d)| d.made(*u))
        .sum();
    let Score {
        area: said,
        rung,
        cuts: said_cuts,
        offcut: said_offcut,
    } = layout.score;
    assert!(
        (area - said).abs() < 1e-9 * area.max(1.0),
        "{area} made, {said} said"
    );
    assert!(rung <= least, "rung {rung} said, {least} reached");
    assert_eq!(
        (cuts, offcut),
        (said_cuts, said_offcut),
        "cuts and offcut of {layout:?}"
    );
    assert!(layout.most >= area * (1.0 - 1e-9));
}

/// A task of real size: boards with bad places, parts of some kinds in lots of one to six, `parts` in all.
pub(crate) fn real(random: &mut Random, boards: usize, parts: usize, along: u32) -> (Task, Drawn) {
    let steps = |mm: f64| (mm * f64::from(along) / 3000.0).round().max(1.0) as u32;
    let (mut demands, mut items) = (Vec::new(), Vec::new());
    let mut left = parts as u32;
    while left > 0 {
        let units = (random.count(1, 6) as u32).min(left);
        left -= units;
        let (length, width) = (
            random.within(300.0, 1400.0),
            random.within(40.0, 180.0).round(),
        );
        items.push(Item {
            demand: demands.len(),
            yields: 1,
            length: steps(length),
            width: width as u32,
        });
        demands.push(Demand {
            units,
            units_per_part: 1,
            area: f64::from(steps(length)) * width,
        });
    }
    let mut sheets = Vec::new();
    let mut heights = Vec::new();
    for _ in 0..boards {
        let length = steps(random.within(1500.0, 3000.0));
        let width = random.within(140.0, 300.0) as u32;
        let mut starts: BTreeSet<u32> = (0..6).map(|k| k * width / 6).collect();
        starts.extend(items.iter().map(|i| i.width).filter(|w| w + 40 <= width));
        let starts: Vec<u32> = starts.into_iter().collect();
        let bad: Vec<[f64; 4]> = (0..random.count(0, 4))
            .map(|_| {
                let (x, y) = (
                    random.within(0.0, f64::from(length)),
                    random.within(0.0, f64::from(width)),
                );
                [
                    x,
                    x + random.within(1.0, f64::from(length) / 6.0),
                    y,
                    y + random.within(5.0, 60.0),
                ]
            })
            .collect();
        let own = items.iter().map(|item| {
            // Not every board is thick enough for every part.
            let thick = random.within(0.0, 1.0) < 0.7;
            let clear = |a: u32, s: u32| {
                thick
                    && bad.iter().all(|b| {
                        f64::from(a + item.length) <= b[0]
                            || f64::from(a) >= b[1]
                            || f64::from(s + item.width) <= b[2]
                            || f64::from(s) >= b[3]
                    })
            };
            let steps = (length + 1).saturating_sub(item.length);
            (0..steps)
                .flat_map(|a| starts.iter().map(move |s| (a, *s)))
                .map(|(a, s)| u8::from(s + item.width <= width && clear(a, s)))
                .collect()
        });
        heights.push(own.collect());
        sheets.push(Sheet {
            length,
            width,
            starts,
        });
    }
    let useful = steps(300.0);
    (
        Task {
            demands,
            items,
            sheets,
            useful,
            prefer: Prefer::Margin,
        },
        Drawn { rungs: 1, heights },
    )
}

/// A task of `boards` sheets of up to 12 × 4 places and `parts` parts.
pub(crate) fn middling(random: &mut Random, boards: usize, parts: usize) -> (Task, Drawn) {
    let (mut demands, mut items) = (Vec::new(), Vec::new());
    let mut left = parts as u32;
    while left > 0 {
        let units = (random.count(1, 6) as u32).min(left);
        left -= units;
        let (length, width) = (random.count(2, 7) as u32, random.count(1, 3) as u32);
        items.push(Item {
            demand: demands.len(),
            yields: 1,
            length,
            width,
        });
        // Sawn off a little, so that areas are told apart.
        let area = f64::from(length * width) - random.within(0.0, 0.5);
        demands.push(Demand {
            units,
            units_per_part: 1,
            area,
        });
    }
    let share = random.within(0.5, 1.0);
    let (mut sheets, mut heights) = (Vec::new(), Vec::new());
    for _ in 0..boards {
        let width = random.count(2, 4) as u32;
        let sheet = Sheet {
            length: random.count(6, 12) as u32,
            width,
            starts: (0..width).collect(),
        };
        let own = items.iter().map(|item| {
            let steps = (sheet.length + 1).saturating_sub(item.length);
            (0..steps * width)
                .map(|_| u8::from(random.within(0.0, 1.0) < share))
                .collect()
        });
        heights.push(own.collect());
        sheets.push(sheet);
    }
    (
        Task {
            demands,
            items,
            sheets,
            useful: 3,
            prefer: Prefer::Margin,
        },
        Drawn { rungs: 1, heights },
    )
}
