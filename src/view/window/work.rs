//! What one frame costs the drawing thread, rendering apart, in things counted rather than timed.

use std::fmt;

use kiss3d::egui::{Context, Id, LayerId, Order};

/// Things done for a frame; of several frames the most of each.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Work {
    /// Frames drawn.
    pub frames: usize,
    /// Shapes painted: letters by the text, marks, fields.
    pub shapes: usize,
    /// Places of the board found on the screen.
    pub places: usize,
    /// Points of the lines handed to the renderer.
    pub points: usize,
}

impl Work {
    /// Counts a frame in.
    pub(super) fn count(&mut self, shapes: usize, places: usize, points: usize) {
        self.frames += 1;
        self.shapes = self.shapes.max(shapes);
        self.places = self.places.max(places);
        self.points = self.points.max(points);
    }
}

impl fmt::Display for Work {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            frames,
            shapes,
            places,
            points,
        } = self;
        write!(
            f,
            "{frames} frames; in one at most {shapes} shapes, {places} places, {points} points of lines"
        )
    }
}

/// The shapes painted in this frame: on the panels and on these layers behind them.
pub(super) fn shapes(context: &Context, behind: [&str; 2]) -> usize {
    let mut layers: Vec<LayerId> = context.memory(|memory| memory.layer_ids().collect());
    layers.extend(behind.map(|name| LayerId::new(Order::Background, Id::new(name))));
    context.graphics(|graphics| {
        let lists = layers.iter().filter_map(|layer| graphics.get(*layer));
        lists.map(|list| list.all_entries().len()).sum()
    })
}
