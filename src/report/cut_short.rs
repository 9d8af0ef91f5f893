//! What is short of a list of parts, why, and what to buy for it.

use super::cut_plan::PlanSheet;
use super::headline::hundredths;
use crate::cutting::{Short, WhyShort};
use crate::length::Unit;

impl PlanSheet<'_> {
    /// Why a part is short, and what would help.
    pub(super) fn short(&self, short: &Short) -> String {
        let part = &self.plan.question.wanted[short.part];
        let reason = match short.why {
            WhyShort::TooLong(mm) => format!(
                "with its over-length it takes {}, longer than any board",
                self.pen().place(mm)
            ),
            WhyShort::TooWide(mm) => format!(
                "with its over-width it takes {}, wider than any board{}",
                self.pen().place(mm),
                if part.strips > 1 {
                    ""
                } else {
                    "; it might be glued up from strips"
                }
            ),
            WhyShort::Nowhere => format!(
                "nowhere does it come out {} thick {} times in 100; make it thinner or ask for less certainty",
                self.pen().place(part.thickness),
                hundredths(part.certainty.unwrap_or(self.plan.question.certainty))
            ),
            WhyShort::Stopped => "the search was stopped before it was known why".to_owned(),
            WhyShort::NoRoom => "the other parts leave no room".to_owned(),
        };
        format!(
            "Missing {} {}: {reason}. {}",
            short.count,
            part.name,
            self.buy(short)
        )
    }

    /// What board to buy.
    fn buy(
        &self,
        Short {
            part, count, buy, ..
        }: &Short,
    ) -> String {
        let pen = self.pen();
        let loss = format!(
            "{} {}",
            pen.off(buy.loss),
            if buy.shown {
                "goes off such a piece of these boards"
            } else {
                "is what flattening usually takes"
            }
        );
        let Some(quarters) = buy.quarters else {
            return format!(
                "No board is sold thick enough, as {loss}: glue it up from thinner ones."
            );
        };
        let strips = self.plan.question.wanted[*part].strips;
        let all = match (count, strips) {
            (1, 0 | 1) => String::new(),
            (1, strips) => format!(" for its {strips} strips"),
            (_, 0 | 1) => format!(" for one, {} for all {count}", pen.off(buy.length_for_all)),
            (_, strips) => format!(
                " for the {strips} strips of one, {} for all {count}",
                pen.off(buy.length_for_all)
            ),
        };
        format!(
            "To buy: {quarters}/4 ({}) rough, at least {} wide, {} long{all}; {loss}.",
            pen.place(f64::from(quarters) * Unit::Inch.mm() / 4.0),
            pen.off(buy.width),
            pen.off(buy.length)
        )
    }
}
