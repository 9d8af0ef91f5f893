//! The readings under the board, to be typed over.

use std::collections::HashMap;

use kiss3d::egui::text::{CCursor, CCursorRange};
use kiss3d::egui::text_edit::TextEditState;
use kiss3d::egui::{Grid, Id, RichText, ScrollArea, Stroke, StrokeKind, TextEdit, Ui, vec2};

use super::dress::FAULT;
use super::history::History;
use super::readings::{self, Block, Cell, Changes};
use crate::length::{Length, Notation, Rounding};
use crate::readings::Record;
use crate::view::overlay::ink;

/// A cell that is being edited.
#[derive(Default)]
pub(super) struct Edit {
    text: String,
    /// Whether the record holds a change by it: what is typed until the cell is left is taken back in one.
    noted: bool,
}

/// Shows the readings and takes what is typed over them; `edits` are the cells being edited.
pub(super) fn table(
    ui: &mut Ui,
    blocks: &[Block],
    record: &Record,
    changes: &mut History<Changes>,
    edits: &mut HashMap<Cell, Edit>,
    notation: Notation,
) {
    let mut change = None;
    ScrollArea::both()
        .id_salt("readings")
        .auto_shrink(false)
        .show(ui, |ui| {
            ui.horizontal_top(|ui| {
                for block in blocks {
                    ui.vertical(|ui| {
                        ui.label(RichText::new(&block.heading).strong());
                        cells(
                            ui,
                            block,
                            record,
                            changes.now(),
                            edits,
                            notation,
                            &mut change,
                        );
                        if block.more > 0 {
                            let more = block.more;
                            ui.label(format!("and {more} more, reckoned with all the same"));
                        }
                    });
                    ui.add_space(18.0);
                }
            });
        });
    if let Some((cell, mm)) = change {
        let mut changed = changes.now().clone();
        if readings::value(record, cell) == Some(mm) {
            changed.remove(&cell);
        } else {
            changed.insert(cell, mm);
        }
        let edit = edits.entry(cell).or_default();
        if edit.noted {
            changes.go_on(changed);
        } else {
            edit.noted = changes.change(changed);
        }
    }
}

fn cells(
    ui: &mut Ui,
    block: &Block,
    record: &Record,
    changes: &Changes,
    edits: &mut HashMap<Cell, Edit>,
    notation: Notation,
    change: &mut Option<(Cell, f64)>,
) {
    Grid::new(&block.heading)
        .spacing(vec2(6.0, 3.0))
        .min_col_width(70.0)
        .show(ui, |ui| {
            if block.columns.iter().any(|c| !c.is_empty()) {
                ui.label("");
                for column in &block.columns {
                    ui.label(RichText::new(column).small());
                }
                ui.end_row();
            }
            for (place, row) in &block.rows {
                ui.label(RichText::new(place).small());
                for cell in row {
                    match cell {
                        Some(cell) => field(ui, *cell, record, changes, edits, notation, change),
                        None => {
                            ui.label("not read");
                        }
                    }
                }
                ui.end_row();
            }
        });
}

/// One reading. What is typed counts at every keystroke that leaves a length; what does not is framed.
fn field(
    ui: &mut Ui,
    cell: Cell,
    record: &Record,
    changes: &Changes,
    edits: &mut HashMap<Cell, Edit>,
    notation: Notation,
    change: &mut Option<(Cell, f64)>,
) {
    let typed = changes.get(&cell).copied();
    let Some(mm) = typed.or_else(|| readings::value(record, cell)) else {
        return;
    };
    let written = || notation.number(Length::from_mm(mm), Rounding::Nearest);
    let mut text = edits.get(&cell).map_or_else(written, |e| e.text.clone());
    let faulty = readings::parsed(&text, notation).is_err();
    let mut field = TextEdit::singleline(&mut text)
        .id(field_id(cell))
        .desired_width(66.0);
    if faulty {
        field = field.text_color(ink(FAULT));
    }
    let response = ui.add(field);
    if response.gained_focus() {
        select_all(ui, response.id, text.chars().count());
    }
    if faulty {
        let told = readings::parsed(&text, notation).err().unwrap_or_default();
        ui.painter().rect_stroke(
            response.rect,
            2.0,
            Stroke::new(2.0, ink(FAULT)),
            StrokeKind::Outside,
        );
        response.clone().on_hover_text(told);
    }
    if response.changed() {
        if let Ok(mm) = readings::parsed(&text, notation) {
            *change = Some((cell, mm));
        }
        edits.entry(cell).or_default().text = text;
    } else if !response.has_focus() && !faulty {
        edits.remove(&cell);
    }
}

/// What is typed next takes the place of what stands there.
fn select_all(ui: &Ui, field: Id, length: usize) {
    let mut state = TextEditState::load(ui.ctx(), field).unwrap_or_default();
    let all = CCursorRange::two(CCursor::new(0), CCursor::new(length));
    state.cursor.set_char_range(Some(all));
    state.store(ui.ctx(), field);
}

/// By which a field is found.
pub(super) fn field_id(cell: Cell) -> Id {
    Id::new(("reading", cell))
}
