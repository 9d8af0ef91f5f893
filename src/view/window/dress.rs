//! Colours, sizes and grounds of the panels.

use kiss3d::egui::{
    Area, Color32, Context, FontId, Frame, Id, Margin, Order, Rect, Stroke, TextStyle, Theme, Ui,
    vec2,
};

use crate::view::overlay::ink;
use crate::view::scene::Rgb;
use crate::view::stage::{INK, PAPER, PLANE};

/// What is wrong; it says so in words too.
pub(super) const FAULT: Rgb = [176, 42, 48];
const GROUND: Rgb = [241, 238, 231];

/// A panel over a part of the screen.
pub(super) fn panel(context: &Context, name: &str, rect: Rect, contents: impl FnOnce(&mut Ui)) {
    Area::new(Id::new(name))
        .order(Order::Middle)
        .fixed_pos(rect.min)
        .movable(false)
        .show(context, |ui| {
            Frame::new()
                .fill(ink(GROUND))
                .inner_margin(Margin::same(14))
                .show(ui, |ui| {
                    let inner = rect.size() - vec2(28.0, 28.0);
                    ui.set_min_size(inner);
                    ui.set_max_size(inner);
                    contents(ui);
                });
        });
}

/// Colours and sizes: dark on paper, large enough to read from a bench.
pub(super) fn dress(context: &Context) {
    context.set_theme(Theme::Light);
    context.all_styles_mut(|style| {
        style.visuals.override_text_color = Some(ink(INK));
        style.visuals.extreme_bg_color = Color32::WHITE;
        style.visuals.selection.bg_fill = ink([244, 213, 170]);
        style.visuals.selection.stroke = Stroke::new(1.5, ink(PLANE));
        style.visuals.window_fill = ink(PAPER);
        for (name, font) in &mut style.text_styles {
            *font = match name {
                TextStyle::Small => FontId::proportional(13.0),
                TextStyle::Monospace => FontId::monospace(13.0),
                _ => FontId::proportional(15.0),
            };
        }
    });
}
