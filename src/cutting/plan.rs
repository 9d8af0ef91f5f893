//! The plan: which part comes out of which board, where it is cut, and how sure it is.

use std::collections::{BTreeMap, BTreeSet};

use super::Allowances;
use super::layout::{Chances, Layout, Placed, Prefer, Task};
use super::matched::plan_matched;
use super::pieces::Pieces;
use super::short::{Short, short};
use super::stock::{Stock, Stocked};
use super::wanted::{Making, Wanted};
use super::watch::{Progress, Stage, Unwatched, Watch};
use super::ways::{Cut, CutKind, share};
use super::window::Window;
use crate::board::Outline;
use crate::flatten::Interval;

/// A piece of the plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Planned {
    /// The board, by index.
    pub board: usize,
    /// The part, by index.
    pub part: usize,
    /// How it becomes the part.
    pub making: Making,
    /// The piece that is sawn, between the kerfs.
    pub rough: Window,
    /// The finished part's own wood.
    pub finished: Window,
    /// What has to be left of it, mm: of a piece to be resawn, for both halves.
    pub thickness: f64,
    /// What survives of the finished part's wood shimmed, mm.
    pub interval: Interval,
    /// The probability that it reaches the thickness, 0 to 1.
    pub chance: f64,
    /// The same if cutting moved no wood.
    pub chance_unmoved: f64,
}

/// Where boards are cut for a list of parts.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// What was asked.
    pub question: PlanQuestion,
    /// The boards: what each is called, and what it covers.
    pub boards: Vec<(String, Outline)>,
    /// Every piece, board by board from end A and the near edge.
    pub pieces: Vec<Planned>,
    /// Every cut, with its board's index, in the order in which to saw: crosscuts from end A, then rips.
    pub cuts: Vec<(usize, Cut)>,
    /// Parts made, by part.
    pub made: Vec<u32>,
    /// Parts that are short, and why.
    pub short: Vec<Short>,
    /// Finished face made, mm².
    pub area: f64,
    /// No plan over the places tried makes more finished face, mm².
    pub most: f64,
    /// The longest useful offcut over a board's whole width, mm; 0 of none.
    pub offcut: f64,
    /// Places of parts that were looked into to find it.
    pub places: usize,
    /// How often a draw of one was flattened for that.
    pub flattened: usize,
    /// Whether it was told to stop before it was done.
    pub stopped: bool,
}

/// What is asked of a plan.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanQuestion {
    /// The parts wanted.
    pub wanted: Vec<Wanted>,
    /// What cutting and milling take.
    pub allowances: Allowances,
    /// Cuts lie at multiples of this from the trimmed end A, mm.
    pub step: f64,
    /// The chance that each part must have to reach its thickness, 0 to 1.
    pub certainty: f64,
    /// What counts first of plans that make as much.
    pub prefer: Prefer,
}

impl Plan {
    /// Lays out parts on boards: most finished face with each part as likely as asked to reach its thickness, then as is
    /// preferred.
    #[must_use]
    pub fn new(boards: &[Stocked], question: PlanQuestion) -> Self {
        Self::watched(boards, question, &mut Unwatched)
    }

    /// As [`Plan::new`], watched: where it is stopped, the best plan so far.
    #[must_use]
    pub fn watched(boards: &[Stocked], question: PlanQuestion, watch: &mut dyn Watch) -> Self {
        let PlanQuestion {
            wanted,
            allowances,
            step,
            certainty,
            prefer,
        } = &question;
        let mut stock = Stock::new(boards, wanted, allowances, *step, *certainty, watch);
        let task = stock.task(wanted, *prefer);
        let layout = plan_matched(&task, &groups(wanted), &mut stock);
        let pieces = pieces(boards, &mut stock, &layout);
        let mut made = vec![0; wanted.len()];
        for p in &layout.placed {
            let item = &task.items[p.item];
            made[item.demand] += item.yields;
        }
        for (made, demand) in made.iter_mut().zip(&task.demands) {
            *made /= demand.units_per_part;
        }
        Self {
            boards: boards
                .iter()
                .map(|b| (b.name.clone(), b.ground.outline()))
                .collect(),
            cuts: cuts(boards, &stock, &task, &layout),
            short: short(&mut stock, &task, &question, &made, layout.stopped),
            pieces,
            made,
            area: layout.score.area,
            most: layout.most,
            offcut: (f64::from(layout.score.offcut) * step - allowances.kerf_crosscut).max(0.0),
            places: stock.places(),
            flattened: stock.flattened(),
            stopped: layout.stopped,
            question,
        }
    }

    /// The least sure piece.
    #[must_use]
    pub fn least_sure(&self) -> Option<&Planned> {
        self.pieces
            .iter()
            .min_by(|a, b| a.chance.total_cmp(&b.chance))
    }

    /// How far the finished face may fall short of the most that any plan makes, as a share of that; 0 where it is the most.
    #[must_use]
    pub fn may_fall_short(&self) -> f64 {
        if self.most > 0.0 {
            (1.0 - self.area / self.most).max(0.0)
        } else {
            0.0
        }
    }
}

/// Parts that must come from one board, by index.
fn groups(wanted: &[Wanted]) -> Vec<Vec<usize>> {
    let mut groups: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (k, part) in wanted.iter().enumerate() {
        if let Some(group) = &part.from_one_board {
            groups.entry(group).or_default().push(k);
        }
    }
    groups.into_values().collect()
}

/// The pieces, their chances stated by draws that knew nothing of the choice.
fn pieces(boards: &[Stocked], stock: &mut Stock<'_>, layout: &Layout) -> Vec<Planned> {
    let mut planned = Vec::new();
    for (board, stocked) in boards.iter().enumerate() {
        let own: Vec<&Placed> = layout.placed.iter().filter(|p| p.sheet == board).collect();
        if own.is_empty() {
            continue;
        }
        let mut stating = Pieces::new(&stocked.evidence.stating);
        let mut unmoved = Pieces::new(&stocked.evidence.whole);
        for p in own {
            // Chances are stated to the end: without them there is no plan.
            stock.go_on(Progress {
                stage: Stage::Chances,
                done: planned.len(),
                all: layout.placed.len(),
            });
            let rough = &stock.roughs[p.item];
            let (piece, finished) = stock.windows(board, p.item, p.from, p.near);
            let (from, to) = stock.section(p);
            let mut left = stating.thicknesses(&finished);
            left.sort_by(f64::total_cmp);
            planned.push(Planned {
                board,
                part: rough.part,
                making: rough.making,
                rough: Window {
                    from,
                    to: to.max(piece.to),
                    ..piece
                },
                finished,
                thickness: rough.thickness,
                interval: Interval::of(&left),
                chance: share(&left, rough.thickness),
                chance_unmoved: unmoved.chance(&finished, rough.thickness),
            });
        }
    }
    planned
}

/// Every cut: the ends of sections that are not the board's trimmed ends, then the sides of strips that are not its edges.
fn cuts(boards: &[Stocked], stock: &Stock<'_>, task: &Task, layout: &Layout) -> Vec<(usize, Cut)> {
    let mut cuts = Vec::new();
    for (board, stocked) in boards.iter().enumerate() {
        let sheet = &task.sheets[board];
        let outline = stocked.ground.outline();
        let mut ends = BTreeSet::new();
        let mut sides: BTreeMap<(u32, u32), BTreeSet<u32>> = BTreeMap::new();
        for p in layout.placed.iter().filter(|p| p.sheet == board) {
            ends.extend([p.section.0, p.section.0 + p.section.1]);
            let sides = sides.entry(p.section).or_default();
            sides.extend([p.near, p.near + task.items[p.item].width]);
        }
        for at in ends.into_iter().filter(|e| *e > 0 && *e < sheet.length) {
            // The kerf lies before the step.
            let at = stock.place(board, at, 0).0 - stock.kerfs()[0];
            let (from, to) = (outline.y0, outline.y0 + outline.width);
            cuts.push((
                board,
                Cut {
                    kind: CutKind::Crosscut,
                    at,
                    from,
                    to,
                },
            ));
        }
        for ((from, length), sides) in sides {
            for near in sides.into_iter().filter(|n| *n > 0 && *n < sheet.width) {
                let at = stock.place(board, 0, near).1 - stock.kerfs()[1];
                let (from, to) = (
                    stock.place(board, from, 0).0,
                    stock.place(board, from + length, 0).0 - stock.kerfs()[0],
                );
                cuts.push((
                    board,
                    Cut {
                        kind: CutKind::Rip,
                        at,
                        from,
                        to,
                    },
                ));
            }
        }
    }
    cuts
}
