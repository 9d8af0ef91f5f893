//! A drawing for paper, on the screen in the board's place.

use kiss3d::egui::{
    Align2, Color32, Context, FontId, Id, LayerId, Order, Painter, Pos2, Rect, Shape, Stroke, pos2,
    vec2,
};

use crate::report::sheet::{Anchor, Look, Mark, Sheet};
use crate::view::overlay::ink;
use crate::view::stage::INK;

/// Round the sheet, as a share of the room.
const MARGIN: f32 = 0.03;

/// How far the letters of a line reach under its baseline, as a share of its height.
const UNDER: f32 = 0.22;

/// A size of type is the height of its letters' bodies; the screen's includes the space between lines.
const BODY: f32 = 0.92;

/// The smallest type on the screen, points.
const SMALLEST: f32 = 12.0;

/// Paints a sheet as large as fits.
pub(super) fn paint(context: &Context, area: Rect, sheet: &Sheet) {
    let layer = LayerId::new(Order::Background, Id::new("sheet"));
    let painter = context.layer_painter(layer).with_clip_rect(area);
    painter.rect_filled(area, 0.0, Color32::WHITE);
    let room = area.shrink2(area.size() * MARGIN);
    let [width, height] = sheet.size.map(|mm| mm as f32);
    let scale = (room.width() / width).min(room.height() / height);
    let corner = room.center() - 0.5 * scale * vec2(width, height);
    let page = Page {
        painter,
        corner,
        scale,
    };
    for mark in &sheet.marks {
        page.mark(mark);
    }
}

struct Page {
    painter: Painter,
    corner: Pos2,
    /// Points of the screen to a millimetre.
    scale: f32,
}

impl Page {
    fn at(&self, [x, y]: [f64; 2]) -> Pos2 {
        pos2(
            self.corner.x + self.scale * x as f32,
            self.corner.y + self.scale * y as f32,
        )
    }

    fn mark(&self, mark: &Mark) {
        match mark {
            Mark::Text {
                at,
                size,
                anchor,
                text,
            } => {
                let size = self.scale * *size as f32;
                let anchor = match anchor {
                    Anchor::Start => Align2::LEFT_BOTTOM,
                    Anchor::Middle => Align2::CENTER_BOTTOM,
                    Anchor::End => Align2::RIGHT_BOTTOM,
                };
                let foot = self.at(*at) + vec2(0.0, UNDER * size);
                let font = FontId::proportional((BODY * size).max(SMALLEST));
                self.painter.text(foot, anchor, text, font, ink(INK));
            }
            Mark::Path {
                points,
                closed,
                stroke,
                look,
            } => {
                let points: Vec<Pos2> = points.iter().map(|p| self.at(*p)).collect();
                let stroke = Stroke::new((self.scale * *stroke as f32).max(1.0), ink(INK));
                self.path(points, *closed, stroke, *look);
            }
            Mark::Dot { at, radius } => {
                let radius = self.scale * *radius as f32;
                self.painter.circle_filled(self.at(*at), radius, ink(INK));
            }
        }
    }

    fn path(&self, mut points: Vec<Pos2>, closed: bool, stroke: Stroke, look: Look) {
        let within = match look {
            Look::Plain | Look::Broken(_) => Color32::TRANSPARENT,
            Look::White => Color32::WHITE,
            Look::Black => ink(INK),
            Look::Hatched => Color32::LIGHT_GRAY,
        };
        if within != Color32::TRANSPARENT {
            let inner = Shape::convex_polygon(points.clone(), within, Stroke::NONE);
            self.painter.add(inner);
        }
        if closed {
            points.extend(points.first().copied());
        }
        match look {
            Look::Broken([dash, gap]) => {
                let [dash, gap] = [dash, gap].map(|mm| self.scale * mm as f32);
                self.painter
                    .extend(Shape::dashed_line(&points, stroke, dash, gap));
            }
            _ => {
                self.painter.add(Shape::line(points, stroke));
            }
        }
    }
}
