//! A plan for a list of parts, for a person at a bench: the first line answers.

use super::cut_first::{movement, shop_loss};
use super::headline::hundredths;
use super::lines::{item, paragraph, table};
use super::pen::Pen;
use crate::cutting::{CutKind, Making, Movement, Plan, Planned, Short, WhyShort};
use crate::length::{Notation, Rounding};

/// The plan as text, 80 columns wide, lengths in `notation`; crosscuts as distances from end A, rips from the near edge.
/// `thickest` is the thickness that was found for all parts, where that was asked.
#[must_use]
pub fn cut_plan(plan: &Plan, moves: Movement, thickest: Option<f64>, notation: Notation) -> String {
    let sheet = PlanSheet {
        plan,
        pen: Pen(notation),
    };
    let mut parts = Vec::from_iter(thickest.map(|t| {
        paragraph(&format!(
            "All these parts can be {} thick.",
            sheet.pen.place(t)
        ))
    }));
    parts.push(sheet.headline());
    parts.extend((0..plan.boards.len()).map(|b| sheet.board(b)));
    let notes: Vec<String> = sheet.notes(moves).iter().map(|note| item(note)).collect();
    parts.push(format!("Notes\n{}", notes.join("\n")));
    parts.join("\n\n") + "\n"
}

/// One plan, and how its reader writes lengths.
pub(super) struct PlanSheet<'a> {
    pub(super) plan: &'a Plan,
    pub(super) pen: Pen,
}

impl PlanSheet<'_> {
    /// What is made and what is short.
    pub(super) fn headline(&self) -> String {
        let plan = self.plan;
        let wanted: u32 = plan.question.wanted.iter().map(|w| w.count).sum();
        let made: u32 = plan.made.iter().sum();
        let parts = |n: u32| if n == 1 { "part" } else { "parts" };
        let makes = match (made, wanted) {
            (0, _) => "Makes none of the parts".to_owned(),
            (m, w) if m == w => format!("Makes all {w} {}", parts(w)),
            (m, w) => format!("Makes {m} of {w} parts"),
        };
        let sure = plan.least_sure().map_or(String::new(), |p| {
            format!(
                "; the least sure, {} in {}, comes out {} thick {} times in 100",
                self.name(p),
                plan.boards[p.board].0,
                self.pen.place(p.thickness),
                hundredths(p.chance)
            )
        });
        let short: Vec<String> = plan
            .short
            .iter()
            .map(|s| format!("{} {}", s.count, plan.question.wanted[s.part].name))
            .collect();
        let short = if short.is_empty() {
            String::new()
        } else {
            format!(" Short: {}.", short.join(", "))
        };
        paragraph(&format!("{makes}{sure}.{short}"))
    }

    fn name(&self, piece: &Planned) -> String {
        let name = &self.plan.question.wanted[piece.part].name;
        match piece.making {
            Making::Whole => name.clone(),
            Making::Strip => format!("{name}, strip"),
            Making::Resawn => format!("{name}, two"),
        }
    }

    /// One board: its cuts and its pieces.
    fn board(&self, board: usize) -> String {
        let plan = self.plan;
        let (name, outline) = &plan.boards[board];
        let own: Vec<&Planned> = plan.pieces.iter().filter(|p| p.board == board).collect();
        if own.is_empty() {
            return format!("{name}: nothing is cut from it.");
        }
        let cuts: Vec<_> = plan
            .cuts
            .iter()
            .filter(|c| c.0 == board)
            .map(|c| c.1)
            .collect();
        let crosscuts: Vec<String> = cuts
            .iter()
            .filter(|c| c.kind == CutKind::Crosscut)
            .map(|c| self.pen.place(c.at - outline.x0))
            .collect();
        let mut lines = vec![if crosscuts.is_empty() {
            format!("{name}: no crosscut but the end trim.")
        } else {
            paragraph(&format!(
                "{name}: crosscut at {} from end A.",
                crosscuts.join(", ")
            ))
        }];
        for rip in cuts.iter().filter(|c| c.kind == CutKind::Rip) {
            lines.push(format!(
                "  rip at {} from the near edge, from {} to {}",
                self.pen.place(rip.at - outline.y0),
                self.pen.place(rip.from - outline.x0),
                self.pen.place(rip.to - outline.x0)
            ));
        }
        let mut rows = vec![
            ["part", "along", "across", "needs", "expected", "in 100"]
                .map(str::to_owned)
                .to_vec(),
        ];
        for piece in own {
            let stretch = |from: f64, to: f64, start: f64| {
                let place = |mm: f64| self.pen.bare_place(mm - start);
                format!("{} to {}", place(from), place(to))
            };
            let window = &piece.finished;
            rows.push(vec![
                self.name(piece),
                stretch(window.from, window.to, outline.x0),
                stretch(window.near, window.far, outline.y0),
                self.pen.bare_place(piece.thickness),
                self.pen.number(piece.interval.expected, Rounding::Down),
                hundredths(piece.chance).to_string(),
            ]);
        }
        lines.push(format!(
            "  Finished parts ({}):",
            self.pen.0.unit().symbol()
        ));
        lines.push(table(&rows));
        lines.join("\n")
    }

    pub(super) fn notes(&self, moves: Movement) -> Vec<String> {
        let plan = self.plan;
        let mut notes: Vec<String> = plan.short.iter().map(|s| self.short(s)).collect();
        let below = plan.may_fall_short();
        if below > 1e-6 {
            notes.push(format!(
                "The search stopped early: this plan may make up to {:.1} % less finished face than the best possible.",
                (below * 1000.0).ceil() / 10.0
            ));
        }
        let moved: Vec<String> = plan
            .pieces
            .iter()
            .filter(|p| p.chance_unmoved - p.chance >= DECIDES)
            .map(|p| format!("{} in {}", self.name(p), plan.boards[p.board].0))
            .collect();
        if !moved.is_empty() {
            notes.push(format!(
                "How the wood moves when it is cut may decide {}: rip rough, let it rest, read it again.",
                moved.join(", ")
            ));
        }
        notes.push(movement(moves));
        notes.extend(plan.shortfall.map(|loss| shop_loss(&loss, &self.pen)));
        if plan.offcut > 0.0 {
            notes.push(format!(
                "The longest stretch left over at full width is {}.",
                self.pen.place(plan.offcut)
            ));
        }
        notes
    }

    /// Why a part is short, and what would help.
    fn short(&self, short: &Short) -> String {
        let part = &self.plan.question.wanted[short.part];
        let reason = match short.why {
            WhyShort::TooLong(mm) => {
                format!(
                    "with its over-length it takes {}, longer than any board; find a longer one",
                    self.pen.place(mm)
                )
            }
            WhyShort::TooWide(mm) => format!(
                "with its over-width it takes {}, wider than any board; find a wider one, or let it be glued up from strips",
                self.pen.place(mm)
            ),
            WhyShort::Nowhere => format!(
                "nowhere does it come out {} thick {} times in 100; make it thinner, ask for less certainty, or find a thicker \
                 board",
                self.pen.place(part.thickness),
                hundredths(part.certainty.unwrap_or(self.plan.question.certainty))
            ),
            WhyShort::NoRoom => format!(
                "the other parts leave no room; one more board that comes out {} thick, {} wide and {} long would do for each",
                self.pen.place(part.thickness),
                self.pen
                    .place(part.width + self.plan.question.allowances.over_width),
                self.pen
                    .place(part.length + self.plan.question.allowances.over_length)
            ),
        };
        format!("Missing {} {}: {reason}.", short.count, part.name)
    }
}

/// A loss of chance by movement from which it is told.
const DECIDES: f64 = 0.05;
