//! A scene as kiss3d draws it: meshes, lines, light and camera.

use std::cell::RefCell;
use std::rc::Rc;
use std::sync::Arc;

use kiss3d::camera::{Camera3d, OrbitCamera3d};
use kiss3d::color::Color;
use kiss3d::egui::{Pos2, pos2};
use kiss3d::glamx::{Vec2, Vec3};
use kiss3d::light::Light;
use kiss3d::post_processing::Tonemap;
use kiss3d::renderer::Polyline3d;
use kiss3d::resource::{GpuMesh3d, Texture, TextureManager};
use kiss3d::scene::SceneNode3d;
use kiss3d::window::Window;

use super::scene::{Mesh, Painting, Rgb, Scene};
use crate::readings::Face;

/// Scene units a board's length and width together come to.
const REACH: f64 = 10.0;

/// The paper behind everything.
pub(super) const PAPER: Rgb = [250, 249, 246];
/// Lines and text.
pub(super) const INK: Rgb = [38, 42, 48];
/// Sawn edges and ends.
const WOOD: Rgb = [205, 180, 146];
/// The finished planes.
pub(super) const PLANE: Rgb = [196, 120, 32];
const SHIM: Rgb = [150, 146, 138];
const FAINT: Rgb = [120, 126, 134];

/// Lines on a face are drawn so far over it, scene units, or the face would cover them.
const LIFT: f64 = 0.012;

/// What stays from frame to frame.
pub(super) struct Stage {
    pub(super) root: SceneNode3d,
    lines: Vec<Polyline3d>,
    /// Scene units a millimetre.
    scale: f64,
}

pub(super) fn color([r, g, b]: Rgb, alpha: f32) -> Color {
    let part = |c: u8| f32::from(c) / 255.0;
    Color::new(part(r), part(g), part(b), alpha)
}

impl Stage {
    /// Sets a scene up. A window or surface must be open.
    pub(super) fn new(scene: &Scene) -> Self {
        let scale = REACH / (scene.size[0] + scene.size[1]).max(1e-6);
        let mut stage = Self {
            root: SceneNode3d::empty(),
            lines: Vec::new(),
            scale,
        };
        for of in &scene.faces {
            let mesh = of.sheet.mesh(of.face == Face::Up);
            stage.face(&mesh, [of.sheet.stations, of.sheet.positions], &of.painting);
        }
        stage.solid(&scene.rim, WOOD);
        // What has one colour is one mesh: some drivers take long, and keep memory, for every mesh of every frame.
        stage.solid(&Mesh::joined(scene.shims.iter().map(|s| &s.mesh)), SHIM);
        stage.sheets(&scene.planes);
        for ring in &scene.planes {
            stage.ring(ring, PLANE, 2.0);
        }
        let lift = LIFT / scale;
        for contour in &scene.contours {
            let outwards = if contour.face == Face::Up { 1.0 } else { -1.0 };
            stage.line(&lifted(&contour.points, outwards * lift), INK, 1.2);
        }
        for stroke in &scene.veil {
            stage.line(&lifted(stroke, lift), FAINT, 1.0);
        }
        for (_, ring) in &scene.avoid {
            stage.line(&lifted(ring, lift), INK, 2.5);
        }
        for of in &scene.faces {
            stage.rim_lines(of);
        }
        stage.light();
        stage
    }

    pub(super) fn place(&self, [x, y, z]: [f64; 3]) -> Vec3 {
        Vec3::new(
            (x * self.scale) as f32,
            (y * self.scale) as f32,
            (z * self.scale) as f32,
        )
    }

    /// Draws the lines, which do not stay.
    pub(super) fn draw_lines(&self, window: &mut Window) {
        for line in &self.lines {
            window.draw_polyline(line);
        }
    }

    /// How many points the lines go through.
    pub(super) fn points_of_lines(&self) -> usize {
        self.lines.iter().map(|line| line.vertices.len()).sum()
    }

    fn node(
        &mut self,
        mesh: &Mesh,
        uvs: Option<Vec<Vec2>>,
        normals: Option<Vec<Vec3>>,
    ) -> SceneNode3d {
        let points = mesh.points.iter().map(|p| self.place(*p)).collect();
        let gpu = GpuMesh3d::new(points, mesh.triangles.clone(), normals, uvs, false);
        self.root
            .add_mesh(Rc::new(RefCell::new(gpu)), Vec3::ONE)
            .enable_backface_culling(false)
            .set_roughness(0.9)
            .set_metallic(0.0)
            .set_reflectance(0.0)
    }

    fn solid(&mut self, mesh: &Mesh, rgb: Rgb) {
        if mesh.triangles.is_empty() {
            return;
        }
        self.node(mesh, None, None).set_color(color(rgb, 1.0));
    }

    fn face(&mut self, mesh: &Mesh, [stations, positions]: [usize; 2], painting: &Painting) {
        let share = |k: usize, n: usize| k as f32 / (n - 1) as f32;
        let uvs = (0..mesh.points.len())
            .map(|k| {
                Vec2::new(
                    share(k / positions, stations),
                    share(k % positions, positions),
                )
            })
            .collect();
        let mut node = self.node(mesh, Some(uvs), None);
        node.set_texture(texture(painting));
        node.set_color(color([255, 255, 255], 1.0));
    }

    /// Thin sheets to see through.
    fn sheets(&mut self, rings: &[Vec<[f64; 3]>]) {
        let sheets = rings.iter().map(|ring| Mesh {
            points: ring.clone(),
            triangles: vec![[0, 1, 2], [0, 2, 3]],
        });
        let sheets: Vec<Mesh> = sheets.collect();
        self.node(&Mesh::joined(&sheets), None, None)
            .set_color(color(PLANE, 0.10));
    }

    fn ring(&mut self, ring: &[[f64; 3]], rgb: Rgb, width: f32) {
        let mut points = ring.to_vec();
        points.push(ring[0]);
        self.line(&points, rgb, width);
    }

    fn line(&mut self, points: &[[f64; 3]], rgb: Rgb, width: f32) {
        let points = points.iter().map(|p| self.place(*p)).collect();
        self.lines.push(
            Polyline3d::new(points)
                .with_color(color(rgb, 1.0))
                .with_width(width)
                .with_perspective(false)
                .with_depth_bias(-1.5e-3),
        );
    }

    /// The outline of a face.
    fn rim_lines(&mut self, of: &super::scene::FaceOf) {
        let sheet = &of.sheet;
        let (n, m) = (sheet.stations, sheet.positions);
        let near: Vec<_> = (0..n).map(|i| sheet.point(i, 0)).collect();
        let far: Vec<_> = (0..n).map(|i| sheet.point(i, m - 1)).collect();
        let end_a: Vec<_> = (0..m).map(|j| sheet.point(0, j)).collect();
        let end_b: Vec<_> = (0..m).map(|j| sheet.point(n - 1, j)).collect();
        for side in [near, far, end_a, end_b] {
            self.line(&side, INK, 1.6);
        }
    }

    fn light(&mut self) {
        self.root
            .add_light(Light::directional(Vec3::new(0.25, 0.55, -0.8)).with_intensity(1.1));
    }
}

/// Points moved along z, mm.
fn lifted(points: &[[f64; 3]], by: f64) -> Vec<[f64; 3]> {
    points.iter().map(|p| [p[0], p[1], p[2] + by]).collect()
}

/// A painting as a texture of its own.
fn texture(painting: &Painting) -> Arc<Texture> {
    // The plainest of picture formats: a header, then the pixels.
    let mut file = format!("P6 {} {} 255\n", painting.width, painting.height).into_bytes();
    for pixel in &painting.pixels {
        file.extend(pixel);
    }
    // A manager of its own: the common one would keep every painting for ever.
    TextureManager::new().add_image_from_memory(&file, "painting")
}

/// What every window and surface is set to.
pub(super) fn prepare(window: &mut Window) {
    window.set_background_color(color(PAPER, 1.0));
    window.set_ambient(0.75);
    window.set_tonemap(Tonemap::None);
    window.set_shadows_enabled(false);
}

/// Looks at the board from its near edge and end A, from above; `aspect` is the picture's width over its height.
pub(super) fn camera(scene: &Scene, stage: &Stage, aspect: f64) -> OrbitCamera3d {
    let reach = f64::from(stage.place([scene.size[0], scene.size[1], 0.0]).length());
    let distance = (reach * 1.42 * (1.6 / aspect).max(1.0)) as f32;
    let direction = Vec3::new(-0.28, -0.72, 0.62).normalize();
    let at = Vec3::ZERO;
    let mut camera = OrbitCamera3d::new_with_frustum(0.6, 1.0, 100.0, direction * distance, at);
    camera.set_up_axis(Vec3::Z);
    camera.look_at(direction * distance, at);
    camera
}

/// Where a point of the stage lies on the screen, from its upper left corner.
pub(super) fn on_screen(camera: &dyn Camera3d, place: Vec3, size: [f32; 2]) -> Pos2 {
    let at = camera.project(place, Vec2::new(size[0], size[1]));
    pos2(at.x, size[1] - at.y)
}
