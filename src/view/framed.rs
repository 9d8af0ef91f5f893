//! A camera that draws into a part of the screen only.

use kiss3d::camera::{Camera3d, OrbitCamera3d};
use kiss3d::egui::Rect;
use kiss3d::event::WindowEvent;
use kiss3d::glamx::{Mat4, Pose3, Vec3, Vec4};
use kiss3d::window::Canvas;

/// Turns about the board, which stands in the middle of `part`.
pub(super) struct Framed {
    pub(super) orbit: OrbitCamera3d,
    part: Mat4,
}

impl Framed {
    /// Over the whole screen.
    pub(super) fn new(orbit: OrbitCamera3d) -> Self {
        Self {
            orbit,
            part: Mat4::IDENTITY,
        }
    }

    /// Draws into this part of the screen from now on.
    pub(super) fn draw_into(&mut self, part: Rect, screen: Rect) {
        let size = part.width() / screen.width();
        let middle = part.center() - screen.center();
        let (x, y) = (
            2.0 * middle.x / screen.width(),
            -2.0 * middle.y / screen.height(),
        );
        // The shift is in shares of the screen: it goes with w.
        let shift = Mat4::from_cols(
            Vec4::new(1.0, 0.0, 0.0, 0.0),
            Vec4::new(0.0, 1.0, 0.0, 0.0),
            Vec4::new(0.0, 0.0, 1.0, 0.0),
            Vec4::new(x, y, 0.0, 1.0),
        );
        let scale = Mat4::from_scale(Vec3::new(size, size, 1.0));
        self.part = shift * scale;
    }
}

impl Camera3d for Framed {
    fn handle_event(&mut self, canvas: &Canvas, event: &WindowEvent) {
        self.orbit.handle_event(canvas, event);
    }

    fn eye(&self) -> Vec3 {
        self.orbit.eye()
    }

    fn view_transform(&self) -> Pose3 {
        self.orbit.view_transform()
    }

    fn transformation(&self) -> Mat4 {
        self.part * self.orbit.transformation()
    }

    fn inverse_transformation(&self) -> Mat4 {
        self.orbit.inverse_transformation() * self.part.inverse()
    }

    fn clip_planes(&self) -> (f32, f32) {
        self.orbit.clip_planes()
    }

    fn update(&mut self, canvas: &Canvas) {
        self.orbit.update(canvas);
    }

    fn view_transform_pair(&self, pass: usize) -> (Pose3, Mat4) {
        let (view, projection) = self.orbit.view_transform_pair(pass);
        (view, self.part * projection)
    }
}
