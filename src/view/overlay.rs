//! Texts and marks over the drawn board: numbers on its lines, readings, what holds it, shims, the legend.

use kiss3d::egui::{
    Align2, Color32, Context, FontId, Id, LayerId, Order, Painter, Pos2, Rect, Shape, Stroke, Vec2,
    pos2, vec2,
};

use super::scene::{Rgb, Scene};
use super::stage::{INK, PAPER, PLANE};
use crate::readings::Face;

/// What the overlay needs to know of the camera.
pub(super) struct Sight<'a> {
    /// From the scene to points of the screen.
    pub(super) project: &'a dyn Fn([f64; 3]) -> Pos2,
    /// Whether the up face is seen, rather than the down face.
    pub(super) from_above: bool,
    /// Whether the near edge is seen, rather than the far edge.
    pub(super) from_near: bool,
    /// The part of the screen that the board is drawn in.
    pub(super) area: Rect,
}

/// The colour of doubt; its mark has a shape of its own too.
const DOUBT: Rgb = [176, 42, 48];

/// A cut that is tried.
const CUT: Rgb = [24, 24, 28];

pub(super) fn ink(rgb: Rgb) -> Color32 {
    Color32::from_rgb(rgb[0], rgb[1], rgb[2])
}

/// Crosscuts, as shares of a board's length from end A.
#[derive(Clone, Copy, Default)]
pub(super) struct Crosscuts<'a> {
    /// Those that are tried: drawn through.
    pub(super) own: &'a [f64],
    /// Those that are proposed: drawn broken.
    pub(super) proposed: &'a [f64],
}

/// A mark of the legend.
type Mark = fn(&Painter, Pos2);

/// Paints over the board.
pub(super) fn overlay(
    context: &Context,
    scene: &Scene,
    sight: &Sight<'_>,
    title: &[String],
    cuts: Crosscuts<'_>,
) {
    let layer = LayerId::new(Order::Background, Id::new("board"));
    let painter = context.layer_painter(layer).with_clip_rect(sight.area);
    let mut page = Page {
        painter,
        sight,
        taken: Vec::new(),
    };
    page.title(title, &scene.remarks);
    page.legend(scene);
    page.marks(scene);
    page.cuts(scene, cuts);
    page.ends(scene);
    page.numbers(scene);
}

struct Page<'a> {
    painter: Painter,
    sight: &'a Sight<'a>,
    /// Where texts stand already.
    taken: Vec<Rect>,
}

const SMALL: f32 = 13.0;
const PLAIN: f32 = 15.0;
const LARGE: f32 = 22.0;

impl Page<'_> {
    fn at(&self, point: [f64; 3]) -> Pos2 {
        (self.sight.project)(point)
    }

    fn seen(&self, face: Face) -> bool {
        (face == Face::Up) == self.sight.from_above
    }

    /// A text on a ground of paper, where none stands yet.
    fn text(&mut self, at: Pos2, anchor: Align2, text: &str, size: f32, rgb: Rgb) -> bool {
        let galley =
            self.painter
                .layout_no_wrap(text.to_owned(), FontId::proportional(size), ink(rgb));
        let rect = anchor.anchor_size(at, galley.size());
        let ground = rect.expand2(vec2(3.0, 0.0));
        if self.taken.iter().any(|t| t.intersects(ground)) || !self.sight.area.contains_rect(rect) {
            return false;
        }
        let [r, g, b] = PAPER;
        self.painter
            .rect_filled(ground, 3.0, Color32::from_rgba_unmultiplied(r, g, b, 225));
        self.painter.galley(rect.min, galley, ink(rgb));
        self.taken.push(ground);
        true
    }

    /// Lines of text from the upper left corner.
    fn title(&mut self, lines: &[String], remarks: &[String]) {
        let mut at = self.sight.area.min + vec2(22.0, 18.0);
        let remarks = remarks.join("; ");
        let sizes = std::iter::once(LARGE).chain(std::iter::repeat(PLAIN));
        let lines = lines.iter().zip(sizes).chain([(&remarks, SMALL)]);
        for (line, size) in lines {
            let galley = self.painter.layout(
                line.clone(),
                FontId::proportional(size),
                ink(INK),
                self.sight.area.width() - 44.0,
            );
            let rect = Rect::from_min_size(at, galley.size());
            self.painter.galley(at, galley, ink(INK));
            self.taken.push(rect);
            at.y = rect.max.y + 3.0;
        }
    }

    /// What tints and marks mean, along the lower rim.
    fn legend(&mut self, scene: &Scene) {
        let area = self.sight.area;
        let levels = &scene.levels;
        let mut at = pos2(area.min.x + 22.0, area.max.y - 66.0);
        let head = format!("comes off, {}", levels.unit);
        self.painter.text(
            at,
            Align2::LEFT_TOP,
            head,
            FontId::proportional(SMALL),
            ink(INK),
        );
        at.y += 20.0;
        let size = vec2(46.0, 14.0);
        for (tint, text) in levels.tints.iter().zip(&levels.texts) {
            let swatch = Rect::from_min_size(at, size);
            self.painter.rect_filled(swatch, 0.0, ink(*tint));
            self.painter.line_segment(
                [swatch.left_top(), swatch.left_bottom() + vec2(0.0, 3.0)],
                Stroke::new(1.0, ink(INK)),
            );
            self.painter.text(
                swatch.left_bottom() + vec2(0.0, 3.0),
                Align2::LEFT_TOP,
                text,
                FontId::proportional(SMALL),
                ink(INK),
            );
            at.x += size.x;
        }
        self.taken.push(Rect::from_min_max(
            pos2(area.min.x, area.max.y - 70.0),
            area.max,
        ));
        self.keys(scene, pos2(at.x + 40.0, area.max.y - 62.0));
    }

    /// What each mark means.
    fn keys(&mut self, scene: &Scene, from: Pos2) {
        let mut keys: Vec<(&str, Mark)> = vec![("reading", pin), ("holds the board there", holder)];
        if scene.pins.iter().any(|p| p.doubt.is_some()) {
            keys.push(("doubtful: read it again", doubt_mark));
        }
        keys.push(("finished faces", plane_mark));
        let veiled = scene
            .veiled_from
            .as_ref()
            .filter(|_| !scene.veil.is_empty())
            .map(|mm| format!("hatched: may lie {mm} off or more"));
        let mut at = from;
        let right = self.sight.area.max.x - 14.0;
        let mut put = |text: &str, mark: Mark| {
            let font = FontId::proportional(SMALL);
            let width = self
                .painter
                .layout_no_wrap(text.to_owned(), font, ink(INK))
                .size()
                .x;
            if at.x > from.x && at.x + 14.0 + width > right {
                at = pos2(from.x, at.y + 22.0);
            }
            mark(&self.painter, at + vec2(0.0, 8.0));
            let rect = self.painter.text(
                at + vec2(14.0, 0.0),
                Align2::LEFT_TOP,
                text,
                FontId::proportional(SMALL),
                ink(INK),
            );
            at.x = rect.max.x + 28.0;
        };
        for (text, mark) in keys {
            put(text, mark);
        }
        if let Some(text) = veiled {
            put(&text, hatch_mark);
        }
    }

    fn marks(&mut self, scene: &Scene) {
        for held in &scene.holding {
            let at = self.at(held.spot.point);
            if self.seen(held.spot.face) {
                holder(&self.painter, at);
            } else {
                from_behind(&self.painter, at);
            }
        }
        for p in &scene.pins {
            if p.doubt.is_none() && self.seen(p.spot.face) {
                pin(&self.painter, self.at(p.spot.point));
            }
        }
        for p in &scene.pins {
            if let Some(doubt) = &p.doubt {
                let at = self.at(p.spot.point);
                doubt_mark(&self.painter, at);
                let text = format!("read again: {doubt}");
                self.text(
                    at + vec2(0.0, -14.0),
                    Align2::CENTER_BOTTOM,
                    &text,
                    PLAIN,
                    DOUBT,
                );
            }
        }
        // The texts of the other edge would lie on the board.
        let from_near = self.sight.from_near;
        for shim in scene.shims.iter().filter(|s| (s.at[1] < 0.0) == from_near) {
            let at = self.at(shim.at);
            self.text(
                at + vec2(0.0, 4.0),
                Align2::CENTER_TOP,
                &shim.text,
                SMALL,
                INK,
            );
        }
        for (what, ring) in &scene.avoid {
            if self.sight.from_above {
                let at = self.at(ring[0]);
                self.text(at + vec2(0.0, 6.0), Align2::CENTER_TOP, what, SMALL, INK);
            }
        }
    }

    /// Crosscuts, round the board.
    fn cuts(&self, scene: &Scene, cuts: Crosscuts<'_>) {
        let stroke = Stroke::new(3.0, ink(CUT));
        for cut in cuts.own {
            let ring = self.round(scene, *cut);
            self.painter.add(Shape::closed_line(ring, stroke));
        }
        for cut in cuts.proposed {
            let mut ring = self.round(scene, *cut);
            ring.extend(ring.first().copied());
            self.painter
                .extend(Shape::dashed_line(&ring, stroke, 9.0, 7.0));
        }
    }

    /// Where a crosscut at a share of the length meets the board's surface.
    fn round(&self, scene: &Scene, cut: f64) -> Vec<Pos2> {
        let [up, down] = [&scene.faces[0].sheet, &scene.faces[1].sheet];
        let along = cut * (up.stations - 1) as f64;
        let last = up.positions - 1;
        let over = (0..=last).map(|j| up.between(along, j as f64));
        let under = (0..=last).rev().map(|j| down.between(along, j as f64));
        over.chain(under).map(|p| self.at(p)).collect()
    }

    /// Which end is which.
    fn ends(&mut self, scene: &Scene) {
        let [length, _] = scene.size;
        for (x, name) in [(-0.5, "end A"), (0.5, "end B")] {
            let beyond = length * x * 1.14;
            let at = self.at([beyond, 0.0, scene.thickness / 2.0]);
            self.text(at, Align2::CENTER_CENTER, name, PLAIN, INK);
        }
    }

    /// The numbers of the lines, each in the middle of its line.
    fn numbers(&mut self, scene: &Scene) {
        let mut lines: Vec<_> = scene
            .contours
            .iter()
            .filter(|c| self.seen(c.face))
            .map(|c| {
                let on_screen: Vec<Pos2> = c.points.iter().map(|p| self.at(*p)).collect();
                let length: f32 = on_screen.windows(2).map(|w| w[0].distance(w[1])).sum();
                (length, on_screen, &c.text)
            })
            .filter(|(length, ..)| *length > 34.0)
            .collect();
        lines.sort_by(|a, b| b.0.total_cmp(&a.0));
        for (_, points, text) in lines {
            for share in [2, 3, 1] {
                let at = points[(points.len() * share / 4).min(points.len() - 1)];
                if self.text(at, Align2::CENTER_CENTER, text, SMALL, INK) {
                    break;
                }
            }
        }
    }
}

/// A reading: a small ring.
fn pin(painter: &Painter, at: Pos2) {
    painter.circle(at, 3.2, ink(PAPER), Stroke::new(1.4, ink(INK)));
}

/// What holds the board: a filled diamond.
fn holder(painter: &Painter, at: Pos2) {
    painter.add(diamond(at, 8.0, ink(PLANE), Stroke::new(1.6, ink(INK))));
}

/// The same on the face turned away: only its outline.
fn from_behind(painter: &Painter, at: Pos2) {
    painter.add(diamond(
        at,
        8.0,
        Color32::TRANSPARENT,
        Stroke::new(1.8, ink(PLANE)),
    ));
}

fn diamond(at: Pos2, reach: f32, fill: Color32, stroke: Stroke) -> Shape {
    let corners = [
        vec2(0.0, -reach),
        vec2(reach, 0.0),
        vec2(0.0, reach),
        vec2(-reach, 0.0),
    ];
    Shape::convex_polygon(corners.map(|c: Vec2| at + c).to_vec(), fill, stroke)
}

/// Doubt: a triangle with a stroke in it.
fn doubt_mark(painter: &Painter, at: Pos2) {
    let corners = [vec2(0.0, -10.0), vec2(10.0, 7.0), vec2(-10.0, 7.0)];
    painter.add(Shape::convex_polygon(
        corners.map(|c: Vec2| at + c).to_vec(),
        ink(PAPER),
        Stroke::new(2.2, ink(DOUBT)),
    ));
    painter.line_segment(
        [at + vec2(0.0, -5.0), at + vec2(0.0, 1.0)],
        Stroke::new(2.0, ink(DOUBT)),
    );
    painter.circle_filled(at + vec2(0.0, 4.2), 1.3, ink(DOUBT));
}

fn plane_mark(painter: &Painter, at: Pos2) {
    painter.line_segment(
        [at + vec2(-8.0, 0.0), at + vec2(8.0, 0.0)],
        Stroke::new(2.0, ink(PLANE)),
    );
}

fn hatch_mark(painter: &Painter, at: Pos2) {
    for k in -1..=1 {
        let x = k as f32 * 5.0;
        painter.line_segment(
            [at + vec2(x - 3.0, 6.0), at + vec2(x + 3.0, -6.0)],
            Stroke::new(1.0, ink(INK)),
        );
    }
}
