//! A plan for a list of parts, for a person at a bench: the first line answers.

use super::cut_first::{movement, shop_losses};
use super::headline::hundredths;
use super::lines::{item, paragraph, table};
use super::pen::Pen;
use super::refusals::beyond_machines;
use crate::cutting::{CutKind, Making, Movement, Plan, Planned, Tally};
use crate::flatten::Note;
use crate::length::{Notation, Rounding};
use crate::shop::Shop;

/// A plan with all that is said beside it, and how its reader writes lengths.
#[derive(Debug, Clone, Copy)]
pub struct PlanSheet<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// What it takes and makes.
    pub tally: &'a Tally,
    /// The shop that mills the pieces.
    pub shop: &'a Shop,
    /// How wood was taken to move when it is cut; several where the shop tells woods apart.
    pub movements: &'a [Movement],
    /// What the shop's book says of its losses, by wood where that differs.
    pub losses: &'a [(Option<String>, Note)],
    /// The thickness that was found for all parts, where that was asked, mm.
    pub thickest: Option<f64>,
    /// How lengths are written.
    pub notation: Notation,
}

/// The plan as text, 80 columns wide; crosscuts as distances from end A, rips from the near edge.
#[must_use]
pub fn cut_plan(sheet: &PlanSheet<'_>) -> String {
    let mut parts = Vec::from_iter(sheet.thickest.map(|t| {
        paragraph(&format!(
            "All these parts can be {} thick.",
            sheet.pen().place(t)
        ))
    }));
    parts.push(sheet.headline());
    parts.extend((0..sheet.plan.boards.len()).map(|b| sheet.board(b)));
    parts.extend(sheet.takes().map(|line| paragraph(&line)));
    let notes: Vec<String> = sheet.notes().iter().map(|note| item(note)).collect();
    parts.push(format!("Notes\n{}", notes.join("\n")));
    parts.join("\n\n") + "\n"
}

impl PlanSheet<'_> {
    pub(super) fn pen(&self) -> Pen {
        Pen(self.notation)
    }

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
                self.pen().place(p.thickness),
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
            .map(|c| self.pen().place(c.at - outline.x0))
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
                self.pen().place(rip.at - outline.y0),
                self.pen().place(rip.from - outline.x0),
                self.pen().place(rip.to - outline.x0)
            ));
        }
        let mut rows = vec![
            ["part", "along", "across", "needs", "expected", "in 100"]
                .map(str::to_owned)
                .to_vec(),
        ];
        for piece in own {
            let stretch = |from: f64, to: f64, start: f64| {
                let place = |mm: f64| self.pen().bare_place(mm - start);
                format!("{} to {}", place(from), place(to))
            };
            let window = &piece.finished;
            rows.push(vec![
                self.name(piece),
                stretch(window.from, window.to, outline.x0),
                stretch(window.near, window.far, outline.y0),
                self.pen().bare_place(piece.thickness),
                self.pen().number(piece.interval.expected, Rounding::Down),
                hundredths(piece.chance).to_string(),
            ]);
        }
        lines.push(format!(
            "  Finished parts ({}):",
            self.notation.unit().symbol()
        ));
        lines.push(table(&rows));
        lines.join("\n")
    }

    pub(super) fn notes(&self) -> Vec<String> {
        let plan = self.plan;
        let mut notes: Vec<String> = plan.short.iter().map(|s| self.short(s)).collect();
        let below = plan.may_fall_short();
        let less = format!(
            "this plan may make up to {:.1} % less finished face than the best possible",
            (below * 1000.0).ceil() / 10.0
        );
        if plan.stopped {
            let thicker = match self.thickest {
                Some(_) => ", and all these parts may be possible thicker",
                None => "",
            };
            notes.push(format!(
                "Stopped before it was done, with the best plan so far: {less}{thicker}."
            ));
        } else if below > 1e-6 {
            notes.push(format!("Not proven to be the best: {less}."));
        }
        let each = plan.pieces.iter().map(|piece| {
            let name = format!("{} in {}", self.name(piece), plan.boards[piece.board].0);
            (name, self.tally.beyond_machines(piece, self.shop))
        });
        notes.extend(beyond_machines(self.pen(), "", &each.collect::<Vec<_>>()));
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
        notes.extend(shop_losses(self.losses, self.pen()));
        if plan.offcut > 0.0 {
            notes.push(format!(
                "The longest stretch left over at full width is {}.",
                self.pen().place(plan.offcut)
            ));
        }
        notes.extend(self.movements.iter().map(|m| movement(*m)));
        notes
    }

    /// Board feet in and out, and what they cost; nothing where nothing is cut.
    fn takes(&self) -> Option<String> {
        let Tally { taken, finished } = self.tally;
        if taken.is_empty() {
            return None;
        }
        let share = (self.tally.share() * 100.0).round();
        let takes = format!(
            "Takes {:.1} board feet of rough wood and makes {finished:.1} of it into parts ({share:.0}\u{a0}in\u{a0}100)",
            self.tally.rough()
        );
        let Some(cost) = self.tally.cost() else {
            return Some(takes + ".");
        };
        let unpriced: Vec<&str> = taken
            .iter()
            .filter(|t| t.cost.is_none())
            .map(|t| self.plan.boards[t.board].0.as_str())
            .collect();
        let without = if unpriced.is_empty() {
            String::new()
        } else {
            format!(", without {}: no price fits", unpriced.join(", "))
        };
        Some(format!("{takes}; cost {}{without}.", self.money(cost)))
    }

    /// A sign stands before a sum, a name after it.
    fn money(&self, sum: f64) -> String {
        match self.shop.currency.as_deref() {
            None => format!("{sum:.2}"),
            Some(name) if name.chars().all(char::is_alphabetic) => format!("{sum:.2} {name}"),
            Some(sign) => format!("{sign}{sum:.2}"),
        }
    }
}

/// A loss of chance by movement from which it is told.
const DECIDES: f64 = 0.05;
