//! A milling plan as text.

use super::lines::{item, paragraph, table};
use super::mill_words::{STANDING, cautions, spot_name};
use super::pen::Pen;
use super::words::face_name;
use crate::length::Notation;
use crate::milling::{Lay, MillPlan, Milled, Piece, Shimming};

/// The plan as text, lengths written in `notation`.
#[must_use]
pub fn mill(milled: &Milled, notation: Notation) -> String {
    let pen = Pen(notation);
    let mut parts: Vec<String> = milled
        .pieces
        .iter()
        .map(|(piece, plan)| pen.piece(milled, piece, plan))
        .collect();
    let list = |title: &str, entries: Vec<String>| {
        let entries: Vec<String> = entries.iter().map(|e| item(e)).collect();
        format!("{title}\n{}", entries.join("\n"))
    };
    parts.extend(pen.learnt(milled).map(|told| paragraph(&told)));
    parts.push(list("Water", pen.water(&milled.water)));
    parts.push(list("By the standards", pen.standards(milled)));
    parts.push(paragraph(STANDING));
    parts.join("\n\n") + "\n"
}

impl Pen {
    fn piece(self, milled: &Milled, piece: &Piece, plan: &MillPlan) -> String {
        let mut parts = vec![format!(
            "{}: {} long, {} wide, to {}\n{}",
            piece.name,
            self.place(piece.outline.length),
            self.place(piece.outline.width),
            self.place(piece.need),
            paragraph(&self.verdict(plan, piece.need))
        )];
        if !plan.steps.is_empty() {
            parts.push(paragraph(&self.movement(plan)));
        }
        parts.extend(self.thinnest(piece).map(|told| paragraph(&told)));
        let mut refused: Vec<String> = self.refusals(plan).iter().map(|r| item(r)).collect();
        refused.extend(self.instead(plan).map(|i| item(&i)));
        if !refused.is_empty() {
            parts.push(format!("Limits\n{}", refused.join("\n")));
        }
        let known = [
            milled
                .about
                .show
                .map(|face| format!("show face: {}", face_name(face))),
            milled
                .about
                .grain
                .clone()
                .map(|grain| format!("grain {grain}")),
            milled.about.up.clone().map(|up| format!("up face: {up}")),
        ];
        let known: Vec<String> = known.into_iter().flatten().collect();
        if !known.is_empty() {
            parts.push(paragraph(&format!("Wood: {}.", known.join("; "))));
        }
        parts.push(match &plan.lay {
            Lay::Shims(shims) => self.shims_laid(piece, shims),
            Lay::HighPlaces(_) => self.high_places(plan),
        });
        for day in plan.days() {
            let steps = plan.steps.iter().enumerate().filter(|(_, s)| s.day == day);
            let lines: Vec<String> = steps
                .map(|(at, step)| {
                    let (title, how) = self.task(step, plan);
                    let mind = cautions(step);
                    let mind = if mind.is_empty() {
                        String::new()
                    } else {
                        format!(" Mind: {mind}.")
                    };
                    item(&format!("{}. {title}: {how}{mind}", at + 1))
                        .replacen("- ", "", 1)
                        .replace("\n  ", "\n   ")
                })
                .collect();
            parts.push(format!("Day {day}\n{}", lines.join("\n")));
        }
        parts.join("\n\n")
    }

    fn shims_laid(self, piece: &Piece, shims: &Shimming) -> String {
        let mut rows = vec![
            ["from end A", "near edge", "far edge"]
                .map(str::to_owned)
                .to_vec(),
        ];
        let cell = |s: &crate::milling::Support| {
            let mark = if s.bears { "*" } else { "" };
            format!("{mark}{}", self.near(s.shim))
        };
        for pair in shims.supports.chunks(2) {
            let mut row = vec![self.place(pair[0].station - piece.outline.x0)];
            row.extend(pair.iter().map(cell));
            rows.push(row);
        }
        let (coarse, left) = shims.coarse;
        format!(
            "Shims, {} face down on the sled\n{}\n{}",
            face_name(shims.lies_on),
            table(&rows),
            paragraph(&format!(
                "It rests on the three marked * and does not rock; slide the others in until they touch, and lift nothing. \
                 That leaves {} at the readings, exact shims {}; shimmed only to {}, {} at the worst.",
                self.thickness(shims.left),
                self.thickness(shims.exact),
                self.near(coarse),
                self.thickness(left)
            ))
        )
    }

    fn high_places(self, plan: &MillPlan) -> String {
        let Lay::HighPlaces(places) = &plan.lay else {
            return String::new();
        };
        let corners = places.iter().all(|(spot, _)| spot.is_corner());
        let intro = if corners {
            "Balanced on the jointer: press the corners down in this order; off each comes"
        } else {
            "High places of the first face, in the order to plane them; off each comes"
        };
        let rows: Vec<Vec<String>> = places
            .iter()
            .map(|(spot, off)| vec![spot_name(*spot).to_owned(), self.off(*off)])
            .collect();
        format!("{intro}\n{}", table(&rows))
    }
}
