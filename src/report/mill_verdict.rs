//! What a milling plan says of a piece before its steps: whether the wood carries them, and what stands in their way.

use super::pen::Pen;
use super::refusals::{machine_name, refused};
use crate::length::Rounding;
use crate::milling::{MillPlan, Milled, Piece, Verdict};
use crate::shop::Machine;

/// Nearer to an edge than this share of the width is at the edge.
const EDGE: f64 = 1e-6;

impl Pen {
    /// Whether both days are carried, first of all.
    pub(super) fn verdict(self, plan: &MillPlan, need: f64) -> String {
        let expected = self.thickness(plan.expected);
        let low = plan.low.map_or(String::new(), |low| {
            let low = low.max(0.0);
            format!(
                ", {} or more 95 times in 100",
                self.number(low, Rounding::Down)
            )
        });
        let survives = match plan.low {
            Some(_) => format!("Expect {expected}{low}, for {}", self.place(need)),
            None => format!(
                "At the readings alone {expected} is left, for {}",
                self.place(need)
            ),
        };
        let allowance = self.near(plan.rough - plan.finish);
        match plan.verdict {
            Verdict::Carries { spare } => format!(
                "{survives}: that carries both days, {allowance} for the second and {} to spare.",
                self.thickness(spare)
            ),
            Verdict::ThinSecondDay { left } => format!(
                "{survives}: only {} is left for the second day, less than the rough allowance. Decide before the first cut: \
                 it may not come flat again at this thickness.",
                self.thickness(left)
            ),
            Verdict::Hollows { deep } => format!(
                "{survives}: reached only if hollows up to {} deep may stay in each face, which you tolerate.",
                self.off(deep)
            ),
            Verdict::Short { by } => format!(
                "{survives}: {} short. Do not mill it for this: make it thinner, cut it shorter or narrower first, or take \
                 another board.",
                self.off(by)
            ),
        }
    }

    /// What the piece does overnight.
    pub(super) fn movement(self, plan: &MillPlan) -> String {
        let moves = plan.moves;
        let water = plan.drying.cup + plan.drying.thinner;
        let water = if self.near(water) == self.near(0.0) {
            String::new()
        } else {
            format!(" (water takes {} of it)", self.near(water))
        };
        let told = format!(
            "Overnight it is expected to lose {} of flatness, up to {} nine times in ten{water}",
            self.near(moves.mean),
            self.off(moves.nine_in_ten)
        );
        if plan.may_move_more {
            let left = (plan.rough - plan.finish).max(0.0);
            format!(
                "{told}: the {} left for it may not be enough{}.",
                self.thickness(left),
                self.leave_more(plan)
                    .map_or(String::new(), |more| format!("; {more}"))
            )
        } else {
            format!("{told}; what is left carries that.")
        }
    }

    /// What to leave instead, where there is wood for it.
    pub(super) fn leave_more(self, plan: &MillPlan) -> Option<String> {
        let Verdict::Carries { spare } = plan.verdict else {
            return None;
        };
        let more = plan.moves.nine_in_ten;
        (plan.rough - plan.finish + spare >= more).then(|| {
            format!(
                "stop the first day at {}, there is wood for that",
                self.off(plan.finish + more)
            )
        })
    }

    /// Where the piece is thinnest, if a rule tells it from where it is thickest.
    pub(super) fn thinnest(self, piece: &Piece) -> Option<String> {
        let ([x, y], thin) = piece.thinnest();
        if self.near(thin) == self.near(piece.thickest()) {
            return None;
        }
        let outline = piece.outline;
        let across = match y - outline.y0 {
            near if near <= EDGE * outline.width => "near edge".to_owned(),
            far if far >= (1.0 - EDGE) * outline.width => "far edge".to_owned(),
            y => format!("{} from the near edge", self.place(y)),
        };
        Some(format!(
            "Thinnest as read: {}, {} from end A, {across}.",
            self.near(thin),
            self.place(x - outline.x0)
        ))
    }

    /// What is to be said of the shop's own loss.
    pub(super) fn learnt(self, milled: &Milled) -> Option<String> {
        self.of_the_shop(milled.shop_loss?)
    }

    /// Why machines cannot take the piece, a sentence a machine.
    pub(super) fn refusals(self, plan: &MillPlan) -> Vec<String> {
        let told = refused(self, &plan.refused).into_iter();
        told.map(|why| format!("Not {why}.")).collect()
    }

    /// What to do where machines refuse.
    pub(super) fn instead(self, plan: &MillPlan) -> Option<String> {
        if plan.refused.is_empty() {
            return None;
        }
        let short = if plan.too_short {
            " Or leave short pieces in one length, mill that, and part them last."
        } else {
            ""
        };
        // A sled on rails takes nearly any piece; a shop that has none is told of it.
        let rails = if plan.machine == Machine::HandPlanes {
            " A router sled on rails would take it, or rip it, mill the strips and glue them up."
        } else {
            ""
        };
        Some(format!(
            "Instead: first face with {}, second with {}.{rails}{short}",
            machine_name(plan.machine),
            machine_name(plan.second_machine)
        ))
    }
}
