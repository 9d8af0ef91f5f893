//! Cuts that are tried, and those that are proposed.

use kiss3d::egui::{Button, RichText, Slider, Ui};

use super::panels::{Bench, Wish, question};
use super::readings;
use crate::length::{Length, Rounding};

/// More would hide the board.
const MOST_CUTS: usize = 3;

impl Bench {
    pub(super) fn add_cut(&mut self) {
        if self.cuts.len() < MOST_CUTS {
            self.cuts.push([0.5, 0.25, 0.75][self.cuts.len()]);
            self.new_cut = true;
        }
    }

    pub(super) fn what_if(&mut self, ui: &mut Ui) {
        question(ui, "What if I cut here?");
        let length = self.shown.scene.size[0];
        let notation = self.notation;
        let mut dropped = None;
        let new = self.cuts.len().checked_sub(1).filter(|_| self.new_cut);
        self.new_cut = false;
        for (k, share) in self.cuts.iter_mut().enumerate() {
            ui.horizontal(|ui| {
                ui.spacing_mut().slider_width = 200.0;
                let write = move |share: f64, _: std::ops::RangeInclusive<usize>| {
                    notation.write(Length::from_mm(share * length), Rounding::Nearest)
                };
                let slider = ui.add(
                    Slider::new(share, 0.02..=0.98)
                        .step_by(0.005)
                        .custom_formatter(write)
                        .custom_parser(move |text| {
                            readings::parsed(text, notation).ok().map(|mm| mm / length)
                        }),
                );
                if new == Some(k) {
                    slider.request_focus();
                }
                if ui.button("no cut").clicked() {
                    dropped = Some(k);
                }
            });
        }
        if let Some(k) = dropped {
            self.cuts.remove(k);
        }
        let add = ui.add_enabled(self.cuts.len() < MOST_CUTS, Button::new("Add a crosscut"));
        if add.on_hover_text("Ctrl+K").clicked() {
            self.add_cut();
        }
        for line in &self.shown.pieces {
            ui.label(line);
        }
    }

    /// The planner's cuts beside one's own.
    pub(super) fn proposed(&mut self, ui: &mut Ui, wishes: &mut Vec<Wish>) {
        ui.add_space(4.0);
        ui.horizontal(|ui| {
            if self.proposing {
                ui.label("looking for the best crosscuts …");
                if ui.button("Stop").clicked() {
                    wishes.push(Wish::GiveUp);
                }
            } else if ui
                .button("Propose crosscuts")
                .on_hover_text("Ctrl+P")
                .clicked()
            {
                wishes.push(Wish::Propose);
            }
        });
        match &self.proposal {
            Some(Ok(proposal)) => {
                for (k, line) in proposal.lines.iter().enumerate() {
                    let text = RichText::new(line);
                    ui.label(if k == 0 { text.strong() } else { text });
                }
                let cuts = proposal.cuts.clone();
                if !cuts.is_empty() && cuts != self.cuts {
                    ui.label("Drawn broken on the board.");
                    if ui.button("Take these cuts").clicked() {
                        self.cuts = cuts;
                    }
                }
            }
            Some(Err(why)) => {
                ui.label(why);
            }
            None => {}
        }
    }

    /// Crosscuts that are proposed, as shares of the length; none that are one's own already.
    pub(super) fn proposed_cuts(&self) -> &[f64] {
        match &self.proposal {
            Some(Ok(proposal)) if proposal.cuts != self.cuts => &proposal.cuts,
            _ => &[],
        }
    }
}
