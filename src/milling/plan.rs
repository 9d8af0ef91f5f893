//! The plan for one piece: how it is laid, what comes off each face on each day, at which machine.

use super::attitude::other;
use super::passes::{Passes, pass};
use super::piece::Piece;
use super::places::Spot;
use super::rest::{Drying, Expected, Rest, second_day};
use super::shimming::Shimming;
use super::step::{Caution, Step, Task};
use super::way::{Way, choose, lay};
use crate::readings::Face;
use crate::shop::{Limit, Machine, Refusal, Shop, Size, refusals};

/// What is asked of a milling plan, lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct MillQuestion {
    /// Whose machines and habits.
    pub shop: Shop,
    /// The face to cut first, if it is chosen.
    pub first: Option<Face>,
    /// The face that loses no more than it must.
    pub protect: Option<Face>,
    /// How the first face is made flat, if it is chosen.
    pub with: Option<Machine>,
    /// Between supports on a sled.
    pub support_spacing: f64,
    /// What shims are rounded to, and a coarser step to compare.
    pub shim_steps: [f64; 2],
}

/// How the piece is laid for its first face.
#[derive(Debug, Clone, PartialEq)]
pub enum Lay {
    /// On a sled, on shims.
    Shims(Shimming),
    /// Over the jointer, or on a bench: places of the first face by what comes off there, most first, mm. Corners alone at the
    /// jointer, as they come down first.
    HighPlaces(Vec<(Spot, f64)>),
}

/// Whether what survives carries both days.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Verdict {
    /// It does: so much is spare at what is expected.
    Carries {
        /// mm.
        spare: f64,
    },
    /// Less than the rough allowance is left for the second day.
    ThinSecondDay {
        /// What is left for it.
        left: f64,
    },
    /// The thickness is reached only where hollows of this depth may stay in each face.
    Hollows {
        /// mm, at most what is tolerated.
        deep: f64,
    },
    /// It falls short.
    Short {
        /// By so much.
        by: f64,
    },
}

/// The plan for one piece, lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct MillPlan {
    /// How long the piece is sawn.
    pub length: f64,
    /// The face that is cut first.
    pub first: Face,
    /// How.
    pub machine: Machine,
    /// How the second face is made parallel.
    pub second_machine: Machine,
    /// How the piece lies.
    pub lay: Lay,
    /// What is left in this attitude at the readings.
    pub left: f64,
    /// What is expected to be left in it, as likely more as less; `left` where nothing can be expected.
    pub expected: f64,
    /// What is left nine times in ten at least, in this sense: 95 of 100 are above.
    pub low: Option<f64>,
    /// The setting of the second day's last pass.
    pub finish: f64,
    /// The setting of the first day's.
    pub rough: f64,
    /// Whether all that is carried.
    pub verdict: Verdict,
    /// How far the piece is expected to move between the days.
    pub moves: Expected,
    /// The part of water in that.
    pub drying: Drying,
    /// Whether the wood left for the second day falls short of what moves nine times in ten.
    pub may_move_more: bool,
    /// The most that comes off each face on the first day: up, down.
    pub off: [f64; 2],
    /// Machines that cannot take it, and why.
    pub refused: Vec<Refusal>,
    /// Where the piece is shorter than a machine takes: mill it with another in one length, and part them after.
    pub too_short: bool,
    /// In order.
    pub steps: Vec<Step>,
}

impl MillPlan {
    /// Plans a piece that water moves so much.
    #[must_use]
    pub fn new(piece: &Piece, question: &MillQuestion, drying: Drying) -> Self {
        let shop = &question.shop;
        let finish = piece.need + shop.milling.smoothing;
        let wanted = finish + shop.milling.rough_allowance;
        let mut refused = Vec::new();
        let way = choose(piece, question, wanted, &mut refused);
        let left = way.attitude.left().max(0.0);
        // The readings alone promise too much: the budget is what is expected.
        let budget = way.expected.min(left).max(0.0);
        let rough = wanted.min(budget.max(finish));
        let verdict = verdict(budget, finish, shop);
        let moves = second_day(
            shop.movement,
            drying,
            piece.outline.length,
            piece.outline.width,
        );
        let surplus = (left - rough).max(0.0);
        let share = share(&way, question, surplus);
        let off = [Face::Up, Face::Down].map(|face| {
            let own = if face == way.first {
                share
            } else {
                surplus - share
            };
            way.attitude.most(face) + own
        });
        let mut plan = Self {
            length: piece.outline.length,
            first: way.first,
            machine: way.machine,
            second_machine: Machine::HandPlanes,
            lay: lay(piece, question, &way),
            left,
            expected: way.expected,
            low: way.low,
            finish,
            rough,
            verdict,
            moves,
            drying,
            may_move_more: (rough - finish) < moves.nine_in_ten,
            off,
            refused,
            too_short: false,
            steps: Vec::new(),
        };
        plan.lay_out(piece, question, share);
        plan.too_short = plan.refused.iter().any(|r| r.limit == Limit::MinLength);
        plan
    }

    /// The days that have steps.
    #[must_use]
    pub fn days(&self) -> Vec<u8> {
        let mut days: Vec<u8> = self.steps.iter().map(|s| s.day).collect();
        days.dedup();
        days
    }

    /// What comes off a face on the first day where most does.
    #[must_use]
    pub fn comes_off(&self, face: Face) -> f64 {
        self.off[usize::from(face == Face::Down)]
    }

    /// The steps of both days.
    fn lay_out(&mut self, piece: &Piece, question: &MillQuestion, beyond: f64) {
        if matches!(self.verdict, Verdict::Short { .. }) {
            // The advice is not to mill it for this.
            return;
        }
        let shop = &question.shop;
        let outline = piece.outline;
        let second = other(self.first);
        let first_off = self.comes_off(self.first);
        let second_off = self.comes_off(second);
        let from = self.rough + second_off;
        let flat = Size {
            length: outline.length,
            width: outline.width,
            before: from,
            after: self.finish,
        };
        // On its edge a piece is as wide as it is thick.
        let on_edge = Size {
            length: outline.length,
            width: self.rough,
            before: outline.width,
            after: outline.width,
        };
        let mut refused = Vec::new();
        // The last pass of the second day leaves least: the machine is chosen for both.
        let mut taking = |machines: &[Machine], size: Size| {
            let found = machines.iter().copied().find(|machine| {
                let why = refusals(shop, *machine, size);
                let takes = why.is_empty();
                // A machine that a shop does not speak of is not missed.
                refused.extend(why.into_iter().filter(|r| r.limit != Limit::Absent));
                takes
            });
            found.unwrap_or(Machine::HandPlanes)
        };
        self.second_machine = taking(&[Machine::Planer, Machine::RouterSled], flat);
        let edge = taking(&[Machine::Jointer], on_edge);
        let saw = outline.length >= shop.saw.min_length - 1e-6;
        let of =
            |machine: Machine, total: f64| Passes::new(total, pass(shop, machine, outline.width));
        let allowance = self.rough - self.finish;
        let day_two = |face: Face| match question.protect {
            // A protected face is cleaned of what moved, no more.
            Some(own) if own == face => allowance.min(self.moves.mean) / 2.0,
            Some(_) => allowance - allowance.min(self.moves.mean) / 2.0,
            None => allowance / 2.0,
        };
        let step = |day: u8, task: Task, cautions: Vec<Caution>| Step {
            day,
            task,
            cautions,
        };
        let start = match piece.finished {
            Some(_) => Task::RoughCut {
                length: outline.length,
                width: outline.width,
            },
            None => Task::LeaveWhole,
        };
        let mut before = vec![Caution::Metal, Caution::KerfOpens];
        if from > SLAB_THICK || outline.width > SLAB_WIDE {
            before.push(Caution::Heavy);
        }
        let first_cautions = self.machine.cautions();
        let ripped = if saw {
            vec![Caution::EdgedOnly]
        } else {
            Vec::new()
        };
        let stations = [0.0, 0.25, 0.5, 0.75, 1.0].map(|share| share * outline.length);
        let positions = [0.0, 0.5, 1.0].map(|share| share * outline.width);
        self.steps = vec![
            step(1, start, before),
            step(
                1,
                Task::FirstFace {
                    face: self.first,
                    machine: self.machine,
                    passes: of(self.machine, first_off),
                    beyond,
                },
                first_cautions,
            ),
            step(1, Task::FirstEdge { machine: edge }, edge.cautions()),
            step(
                1,
                Task::SecondFace {
                    face: second,
                    machine: self.second_machine,
                    passes: of(self.second_machine, second_off),
                    from,
                    stop: self.rough,
                },
                self.second_machine.cautions(),
            ),
            step(
                1,
                Task::RipRough {
                    width: piece.finished.map(|_| outline.width),
                    saw,
                },
                ripped.clone(),
            ),
            step(1, Task::Rest(Rest::of(self.rough)), Vec::new()),
            step(
                2,
                Task::ReadAgain {
                    stations: stations.to_vec(),
                    positions: positions.to_vec(),
                },
                Vec::new(),
            ),
            step(
                2,
                Task::FinalFirst {
                    face: self.first,
                    machine: self.machine,
                    passes: of(self.machine, day_two(self.first)),
                },
                vec![Caution::BothFaces],
            ),
            step(
                2,
                Task::FinalSecond {
                    face: second,
                    machine: self.second_machine,
                    passes: of(self.second_machine, day_two(second)),
                    stop: self.finish,
                },
                Vec::new(),
            ),
            step(
                2,
                Task::Size {
                    finished: piece.finished,
                    saw,
                },
                ripped.clone(),
            ),
            step(
                2,
                Task::Smooth {
                    by: shop.milling.smoothing,
                    to: piece.need,
                },
                vec![Caution::Dust],
            ),
        ];
        if question.protect.is_some() {
            let steps = self.steps.iter_mut();
            steps.for_each(|step| step.cautions.retain(|c| *c != Caution::BothFaces));
        }
        for refusal in refused {
            let told = |r: &Refusal| r.machine == refusal.machine && r.limit == refusal.limit;
            if !self.refused.iter().any(told) {
                self.refused.push(refusal);
            }
        }
    }
}

/// From here a piece is a slab that wants two people, mm: our own line.
const SLAB_THICK: f64 = 50.0;
const SLAB_WIDE: f64 = 400.0;

/// Whether what is expected carries the second day.
fn verdict(budget: f64, finish: f64, shop: &Shop) -> Verdict {
    let spare = budget - finish - shop.milling.rough_allowance;
    if spare >= -1e-6 {
        return Verdict::Carries {
            spare: spare.max(0.0),
        };
    }
    let left = budget - finish;
    if left >= -1e-6 {
        return Verdict::ThinSecondDay {
            left: left.max(0.0),
        };
    }
    let deep = -left / 2.0;
    if budget > 0.0 && deep <= shop.milling.tolerate + 1e-6 {
        Verdict::Hollows { deep }
    } else {
        Verdict::Short { by: -left }
    }
}

/// What the first face loses beyond what makes it flat: so that both lose the same on average, which keeps the wood balanced;
/// a protected face none.
fn share(way: &Way, question: &MillQuestion, surplus: f64) -> f64 {
    match question.protect {
        Some(face) if face == way.first => 0.0,
        Some(_) => surplus,
        None => {
            let more = way.attitude.mean(other(way.first)) - way.attitude.mean(way.first);
            ((surplus + more) / 2.0).clamp(0.0, surplus)
        }
    }
}
