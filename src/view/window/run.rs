//! The window's loop: draw, hear, ask.

use std::cell::Cell;
use std::thread;
use std::time::Duration;

use kiss3d::camera::{Camera3d, OrbitCamera3d};
use kiss3d::egui::{Memory, Rect, pos2};
use kiss3d::event::{Action, WindowEvent};
use kiss3d::glamx::Vec3;
use kiss3d::pollster::block_on;
use kiss3d::window::{CanvasSetup, NumSamples, Window};

use super::chord::Chord;
use super::clerks::Clerks;
use super::dress::dress;
use super::panels::{Bench, Wish};
use super::sheet::paint;
use super::work::{Work, shapes};
use super::{Hands, Opening};
use crate::view::framed::Framed;
use crate::view::guard::{NoDrawing, guarded};
use crate::view::overlay::{Crosscuts, Sight, overlay};
use crate::view::picture::Picture;
use crate::view::stage::{Stage, camera, on_screen, prepare};

/// The window as it opens, points.
const SIZE: [u32; 2] = [1280, 800];

/// Width over height of what the panels leave to the board.
const BOARD_ASPECT: f64 = 1.45;

/// One turn of the board by a key, radians; one step nearer, as a factor.
const TURN: f32 = 0.12;
const STEP: f32 = 0.88;

/// Frames after the last event, for what follows it, such as a hint; and the pause between looks for the next.
const SETTLED: usize = 4;
const PAUSE: Duration = Duration::from_millis(12);

/// Opens the window and stays until it is closed: what its frames cost.
///
/// # Errors
///
/// Why there can be no window here or no longer, with the remedy.
pub fn window(opening: Opening, hands: Hands) -> Result<Work, NoDrawing> {
    guarded(|| block_on(run(opening, hands)))
}

async fn run(opening: Opening, hands: Hands) -> Work {
    let setup = CanvasSetup {
        samples: NumSamples::Four,
        ..CanvasSetup::default()
    };
    let mut window = Window::new_with_setup(&opening.title, SIZE[0], SIZE[1], setup).await;
    // Escape leaves a field, not the program.
    window.rebind_close_key(None);
    prepare(&mut window);
    dress(window.egui_context());
    let mut bench = Bench::new(opening);
    let (mut clerks, mut export) = Clerks::new(hands, &mut bench);
    let mut stage = Stage::new(&bench.shown.scene);
    let mut camera = Framed::new(camera(&bench.shown.scene, &stage, BOARD_ASPECT));
    let mut exporting = false;
    let mut focused = None;
    let mut settled = 0;
    let mut chords = Vec::new();
    let mut work = Work::default();
    loop {
        stage.draw_lines(&mut window);
        let size = [window.width() as f32, window.height() as f32];
        let scale = window.scale_factor() as f32;
        let mut wishes = Vec::new();
        window.draw_ui(|context| {
            let (area, wished) = if exporting {
                // The picture is of the board alone.
                let screen = Rect::from_min_size(pos2(0.0, 0.0), context.content_rect().size());
                // Without the panels the field that listens would be forgotten.
                focused = context.memory(Memory::focused);
                (screen, Vec::new())
            } else {
                if let Some(field) = focused.take() {
                    context.memory_mut(|memory| memory.request_focus(field));
                }
                bench.show(context, &std::mem::take(&mut chords))
            };
            wishes = wished;
            camera.draw_into(area, context.content_rect());
            let places = Cell::new(0);
            if let Some(sheet) = bench.sheet.as_ref().filter(|_| !exporting) {
                paint(context, area, sheet);
            } else {
                let project = |point| {
                    places.set(places.get() + 1);
                    let at = on_screen(&camera, stage.place(point), size);
                    pos2(at.x / scale, at.y / scale)
                };
                let sight = Sight {
                    project: &project,
                    from_above: camera.eye().z > 0.0,
                    from_near: camera.eye().y < 0.0,
                    area,
                };
                let scene = &bench.shown.scene;
                let mut title = vec![scene.name.clone()];
                if exporting {
                    title.extend(bench.shown.answer.clone());
                }
                let cuts = Crosscuts {
                    own: &bench.cuts,
                    proposed: bench.proposed_cuts(),
                };
                overlay(context, scene, &sight, &title, cuts);
            }
            let painted = shapes(context, ["board", "sheet"]);
            work.count(painted, places.get(), stage.points_of_lines());
        });
        let open = window.render_3d(&mut stage.root, &mut camera).await;
        if exporting {
            exporting = false;
            let image = window.snap_image();
            let picture = Picture {
                width: image.width(),
                height: image.height(),
                pixels: image.into_raw(),
            };
            bench.news = export(&picture.png()).unwrap_or_else(|why| why);
        }
        for wish in wishes {
            match wish {
                Wish::Save => clerks.save(&bench, false),
                Wish::SaveAndClose => clerks.save(&bench, true),
                Wish::Export => exporting = true,
                Wish::Close if bench.changes.unsaved() => bench.closing = true,
                Wish::Close | Wish::CloseUnsaved => bench.closed = true,
                Wish::Propose => clerks.propose(&mut bench),
                Wish::GiveUp => clerks.give_up(),
                Wish::Book => clerks.turn_to_book(&mut bench),
                Wish::TurnOver => turn_over(&mut camera.orbit),
                Wish::Turn(steps) => {
                    let yaw = camera.orbit.yaw() - TURN * steps as f32;
                    camera.orbit.set_yaw(yaw);
                }
                Wish::Nearer(steps) => {
                    let distance = camera.orbit.dist() * STEP.powi(steps);
                    camera.orbit.set_dist(distance);
                }
            }
        }
        clerks.ask(&mut bench);
        if clerks.answer(&mut bench, &mut stage) {
            settled = 0;
        }
        if !open || bench.closed {
            return work;
        }
        settled += 1;
        if bench.busy || bench.proposing || exporting {
            settled = 0;
        }
        // Nothing moves by itself: without a hand on it the window is not drawn again, which spares the machine, and
        // memory, of which some drivers keep a little for every frame.
        loop {
            let heard = hears(&mut window, bench.changes.unsaved());
            bench.closing |= heard.close;
            chords.extend(heard.chords);
            if heard.anything {
                settled = 0;
            }
            if settled <= SETTLED {
                break;
            }
            thread::sleep(PAUSE);
        }
    }
}

/// What waits to be handled with the next frame.
struct Heard {
    anything: bool,
    /// The window's own cross was pressed while something would be lost; the window then stays open.
    close: bool,
    chords: Vec<Chord>,
}

fn hears(window: &mut Window, unsaved: bool) -> Heard {
    window.canvas_mut().poll_events();
    let mut heard = Heard {
        anything: false,
        close: false,
        chords: Vec::new(),
    };
    let mut in_chord = false;
    for mut event in window.events().iter() {
        heard.anything = true;
        match event.value {
            WindowEvent::Close if unsaved => {
                event.inhibited = true;
                heard.close = true;
            }
            WindowEvent::Key(key, Action::Press, modifiers) => {
                let chord = Chord::of(key, modifiers);
                in_chord = chord.is_some();
                event.inhibited = in_chord;
                heard.chords.extend(chord);
            }
            // A letter pressed with Ctrl arrives as text too, and belongs in no field.
            WindowEvent::Char(_) => event.inhibited = in_chord,
            _ => {}
        }
    }
    heard
}

/// To the other side of the board, at the same distance.
fn turn_over(camera: &mut OrbitCamera3d) {
    let (eye, at) = (camera.eye(), camera.at());
    camera.look_at(Vec3::new(eye.x, eye.y, 2.0 * at.z - eye.z), at);
}
