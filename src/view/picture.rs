//! A picture of a board without a window or a display.

use kiss3d::camera::Camera3d;
use kiss3d::egui::{Rect, pos2};
use kiss3d::pollster::block_on;
use kiss3d::window::{CanvasSetup, NumSamples, OffscreenSurface};

use super::guard::{NoDrawing, guarded};
use super::overlay::{Crosscuts, Sight, overlay};
use super::scene::Scene;
use super::stage::{Stage, camera, on_screen, prepare};

/// A drawn picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// Pixels from left to right.
    pub width: u32,
    /// Pixels from top to bottom.
    pub height: u32,
    /// Red, green and blue of each pixel, row by row from the top.
    pub pixels: Vec<u8>,
}

impl Picture {
    /// The picture as a PNG file.
    #[must_use]
    pub fn png(&self) -> Vec<u8> {
        let mut file = Vec::new();
        let mut encoder = png::Encoder::new(&mut file, self.width, self.height);
        encoder.set_color(png::ColorType::Rgb);
        let written = encoder
            .write_header()
            .and_then(|mut writer| writer.write_image_data(&self.pixels));
        // Into memory, with as many pixels as the header says.
        assert!(written.is_ok(), "a picture can be written: {written:?}");
        file
    }
}

/// Draws a scene with its title lines, as wide and high as asked.
///
/// Call it from the main thread: the graphics library does not stand the end of another.
///
/// # Errors
///
/// Why it cannot be drawn here, with the remedy.
pub fn picture(
    scene: &Scene,
    title: &[String],
    [width, height]: [u32; 2],
) -> Result<Picture, NoDrawing> {
    guarded(|| block_on(draw(scene, title, [width, height])))
}

async fn draw(scene: &Scene, title: &[String], [width, height]: [u32; 2]) -> Picture {
    let setup = CanvasSetup {
        samples: NumSamples::Four,
        ..CanvasSetup::default()
    };
    let mut surface = OffscreenSurface::with_setup(width, height, setup).await;
    prepare(surface.window_mut());
    let mut stage = Stage::new(scene);
    let size = [width as f32, height as f32];
    let mut camera = camera(scene, &stage, f64::from(width) / f64::from(height));
    // The first frame tells the camera how large the picture is; fonts and text are there from the second on.
    for _ in 0..2 {
        stage.draw_lines(surface.window_mut());
        let project = |point| on_screen(&camera, stage.place(point), size);
        let sight = Sight {
            project: &project,
            from_above: camera.eye().z > 0.0,
            from_near: camera.eye().y < 0.0,
            area: Rect::from_min_size(pos2(0.0, 0.0), size.into()),
        };
        surface.draw_ui(|context| overlay(context, scene, &sight, title, Crosscuts::default()));
        surface.render_3d(&mut stage.root, &mut camera).await;
    }
    let image = surface.snap_image();
    Picture {
        width: image.width(),
        height: image.height(),
        pixels: image.into_raw(),
    }
}
