//! The questions beside the board, and what its user has set.

use std::collections::HashMap;
use std::sync::Arc;

use kiss3d::egui::{
    Button, Context, Grid, Key, Modifiers, Rect, RichText, ScrollArea, TextEdit, Ui, pos2, vec2,
};

use super::chord::Chord;
use super::dress::{FAULT, panel};
use super::history::History;
use super::readings::{self, Block, Cell, Changes};
use super::table::{Edit, field_id, table};
use super::{Asked, Opening, Proposal, Shown};
use crate::length::{Length, Notation, Rounding};
use crate::readings::Record;
use crate::report::sheet::Sheet;
use crate::view::overlay::ink;

/// Width of the questions, and height of the readings, points.
const BESIDE: f32 = 390.0;
const UNDER: f32 = 188.0;

/// What the person wants done beyond editing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Wish {
    Save,
    Export,
    TurnOver,
    Turn(i32),
    Nearer(i32),
    Close,
    CloseUnsaved,
    SaveAndClose,
    Propose,
    GiveUp,
    Book,
}

/// What the person has set, and what stands in each field.
pub(super) struct Bench {
    record: Arc<Record>,
    pub(super) changes: History<Changes>,
    pub(super) need: Option<f64>,
    pub(super) cuts: Vec<f64>,
    /// A cut was just added: its slider waits for the arrow keys.
    pub(super) new_cut: bool,
    pub(super) notation: Notation,
    pub(super) shown: Shown,
    /// What keeps the latest question from an answer.
    pub(super) fault: Option<String>,
    /// What happened last: saved, exported.
    pub(super) news: String,
    pub(super) busy: bool,
    /// Whether the person is asked what to do with what is not saved.
    pub(super) closing: bool,
    /// Whether the window is to go.
    pub(super) closed: bool,
    /// Whether the shop's book is at hand.
    pub(super) has_book: bool,
    /// The book's drawing, while it lies over the board.
    pub(super) sheet: Option<Sheet>,
    /// Whether cuts are being looked for.
    pub(super) proposing: bool,
    /// What was found for the readings as they are.
    pub(super) proposal: Option<Result<Proposal, String>>,
    need_text: String,
    edits: HashMap<Cell, Edit>,
    blocks: Vec<Block>,
}

impl Bench {
    pub(super) fn new(opening: Opening) -> Self {
        let Opening {
            record,
            need,
            shown,
            notation,
            news,
            ..
        } = opening;
        let write = |mm: f64| notation.number(Length::from_mm(mm), Rounding::Nearest);
        Self {
            blocks: readings::blocks(&record, notation),
            need_text: need.map(write).unwrap_or_default(),
            record,
            changes: History::new(Changes::new()),
            need,
            cuts: Vec::new(),
            new_cut: false,
            notation,
            shown,
            fault: None,
            news,
            busy: false,
            closing: false,
            closed: false,
            has_book: false,
            sheet: None,
            proposing: false,
            proposal: None,
            edits: HashMap::new(),
        }
    }

    pub(super) fn asked(&self) -> Asked {
        Asked {
            changes: self.changes.now().clone(),
            need: self.need,
            cuts: self.cuts.clone(),
        }
    }

    /// What is typed over and would be lost.
    pub(super) fn unsaved(&self) -> Changes {
        if self.changes.unsaved() {
            self.changes.now().clone()
        } else {
            Changes::new()
        }
    }

    pub(super) fn undo(&mut self) {
        self.changes.undo();
        self.edits.clear();
    }

    pub(super) fn redo(&mut self) {
        self.changes.redo();
        self.edits.clear();
    }

    /// Draws the panels; what is left of the screen for the board, and what is wished.
    pub(super) fn show(&mut self, context: &Context, chords: &[Chord]) -> (Rect, Vec<Wish>) {
        let screen = context.content_rect();
        let mut wishes = self.keys(context, chords);
        let beside = Rect::from_min_max(pos2(screen.max.x - BESIDE, screen.min.y), screen.max);
        let under = Rect::from_min_max(
            pos2(screen.min.x, screen.max.y - UNDER),
            pos2(beside.min.x, screen.max.y),
        );
        panel(context, "questions", beside, |ui| {
            self.questions(ui, &mut wishes);
        });
        panel(context, "readings", under, |ui| {
            table(
                ui,
                &self.blocks,
                &self.record,
                &mut self.changes,
                &mut self.edits,
                self.notation,
            );
        });
        let board = Rect::from_min_max(screen.min, pos2(beside.min.x, under.min.y));
        (board, wishes)
    }

    fn keys(&mut self, context: &Context, chords: &[Chord]) -> Vec<Wish> {
        let mut wishes = Vec::new();
        for chord in chords {
            match chord {
                Chord::Undo => self.undo(),
                Chord::Redo => self.redo(),
                Chord::Cut => self.add_cut(),
                Chord::Readings => {
                    if let Some(cell) = self.first_cell() {
                        context.memory_mut(|m| m.request_focus(field_id(cell)));
                    }
                }
                Chord::Save => wishes.push(Wish::Save),
                Chord::Picture => wishes.push(Wish::Export),
                Chord::Close => wishes.push(Wish::Close),
                Chord::Propose => wishes.push(Wish::Propose),
                Chord::Book if self.has_book => wishes.push(Wish::Book),
                Chord::Book => {}
            }
        }
        let pressed = |key: Key| context.input_mut(|i| i.consume_key(Modifiers::NONE, key));
        if context.memory(|m| m.focused().is_none()) {
            for (key, wish) in [
                (Key::ArrowLeft, Wish::Turn(-1)),
                (Key::ArrowRight, Wish::Turn(1)),
                (Key::ArrowUp, Wish::Nearer(1)),
                (Key::ArrowDown, Wish::Nearer(-1)),
            ] {
                if pressed(key) {
                    wishes.push(wish);
                }
            }
        }
        wishes
    }

    fn questions(&mut self, ui: &mut Ui, wishes: &mut Vec<Wish>) {
        self.buttons(ui, wishes);
        if self.closing {
            self.ask_before_closing(ui, wishes);
        }
        ScrollArea::vertical().id_salt("questions").show(ui, |ui| {
            self.will_it_do(ui);
            question(ui, "Where is the trouble?");
            for line in &self.shown.trouble {
                ui.label(line);
            }
            self.what_if(ui);
            self.proposed(ui, wishes);
            question(ui, "How do I lay it?");
            ui.label("Shims under the down face, up face cut first:");
            Grid::new("shims").spacing(vec2(22.0, 2.0)).show(ui, |ui| {
                for row in &self.shown.laying {
                    for cell in row {
                        ui.label(cell);
                    }
                    ui.end_row();
                }
            });
        });
    }

    fn buttons(&mut self, ui: &mut Ui, wishes: &mut Vec<Wish>) {
        ui.horizontal_wrapped(|ui| {
            let mut button = |text: &str, on: bool, tip: &str| {
                let button = ui.add_enabled(on, Button::new(text));
                button.on_hover_text(tip).clicked()
            };
            if button("Undo", self.changes.can_undo(), "Ctrl+Z") {
                self.undo();
            }
            if button("Redo", self.changes.can_redo(), "Ctrl+Y") {
                self.redo();
            }
            let unsaved = self.changes.unsaved();
            for (text, on, tip, wish) in [
                ("Save", unsaved, "Ctrl+S", Wish::Save),
                (
                    "Picture",
                    true,
                    "Ctrl+E: writes what is drawn into a PNG file",
                    Wish::Export,
                ),
                ("Turn over", true, "shows the other face", Wish::TurnOver),
                ("<", true, "left arrow: turns the board", Wish::Turn(-1)),
                (">", true, "right arrow: turns the board", Wish::Turn(1)),
                ("+", true, "up arrow: nearer", Wish::Nearer(1)),
                ("-", true, "down arrow: further off", Wish::Nearer(-1)),
            ] {
                if button(text, on, tip) {
                    wishes.push(wish);
                }
            }
            if self.has_book {
                let text = if self.sheet.is_some() {
                    "The board"
                } else {
                    "The book"
                };
                if button(
                    text,
                    true,
                    "Ctrl+B: predicted against actual, or the board again",
                ) {
                    wishes.push(Wish::Book);
                }
            }
        });
        let news = if self.busy {
            "reckoning …"
        } else {
            self.news.as_str()
        };
        ui.label(RichText::new(news).small());
    }

    fn ask_before_closing(&mut self, ui: &mut Ui, wishes: &mut Vec<Wish>) {
        ui.label(RichText::new("The readings were changed and are not saved.").color(ink(FAULT)));
        ui.horizontal(|ui| {
            if ui.button("Save and close").clicked() {
                wishes.push(Wish::SaveAndClose);
            }
            if ui.button("Close without saving").clicked() {
                wishes.push(Wish::CloseUnsaved);
            }
            if ui.button("Go on").clicked() {
                self.closing = false;
            }
        });
    }

    fn will_it_do(&mut self, ui: &mut Ui) {
        question(ui, "Will it do?");
        let notation = self.notation;
        ui.horizontal(|ui| {
            let label = ui.label(format!("I need, {}:", notation.unit().symbol()));
            let field = ui.add(TextEdit::singleline(&mut self.need_text).desired_width(80.0));
            if field.labelled_by(label.id).changed() {
                self.need = readings::parsed(&self.need_text, notation)
                    .ok()
                    .filter(|mm| *mm > 0.0);
            }
        });
        if !self.need_text.trim().is_empty() && self.need.is_none() {
            fault(ui, "that is no thickness; write one such as 1-1/8 or 28 mm");
        }
        if let Some(told) = &self.fault {
            fault(ui, told);
            ui.label("Below is the answer before that change.");
        }
        for (k, line) in self.shown.answer.iter().enumerate() {
            let text = RichText::new(line);
            ui.label(if k == 0 {
                text.strong().size(17.0)
            } else {
                text
            });
        }
    }

    fn first_cell(&self) -> Option<Cell> {
        let rows = self.blocks.iter().flat_map(|b| &b.rows);
        rows.flat_map(|(_, cells)| cells).find_map(|cell| *cell)
    }
}

pub(super) fn question(ui: &mut Ui, text: &str) {
    ui.add_space(12.0);
    ui.label(RichText::new(text).size(18.0).color(ink([146, 84, 14])));
    ui.add_space(2.0);
}

fn fault(ui: &mut Ui, text: &str) {
    ui.label(RichText::new(format!("Not so: {text}")).color(ink(FAULT)));
}
