//! The window, driven: opened on a display of its own, a reading typed over, saved, taken back, a cut added, closed.

#![cfg(all(feature = "view", target_os = "linux"))]
#![allow(clippy::unwrap_used, clippy::print_stdout)]

use std::fmt::Write as _;
use std::fs;
use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

const BOARD: &str = "name = \"rail\"\nunit = \"in\"\nlength = 72\nwidth = 7\n\n[[survey]]\nthickness = 1.375\nheights = \"\"\"\n\
    in,  0,   36,  72\n7,   1/8, 1/4, 1/8\n0,   1/16, 1/8, 1/4\n\"\"\"\n";

/// Ended with the test.
struct Running(Child);

impl Drop for Running {
    fn drop(&mut self) {
        // It may have ended by itself.
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// A display that nobody sees, with a keyboard.
struct Desk {
    server: Running,
    name: String,
    /// What is on the screen, as an X window dump.
    screen: PathBuf,
}

/// A desk in a folder of its own; none where the programs for it are missing, which must not be where pictures are required.
fn desk(folder: &Path, scale: u32) -> Option<Desk> {
    let required = std::env::var_os("REQUIRE_PICTURES").is_some();
    let driver = Path::new("/usr/share/vulkan/icd.d").exists();
    let desk = Desk::open(folder, scale).filter(|desk| desk.xdotool(&["version"]).is_some());
    if desk.is_none() || !(required || driver) {
        assert!(!required, "Xvfb and xdotool are needed");
        println!(
            "SKIPPED: no Xvfb, xdotool or graphics driver here, so no window was driven (see DEVELOPERS.md)"
        );
        return None;
    }
    desk
}

impl Desk {
    fn open(folder: &Path, scale: u32) -> Option<Self> {
        let size = format!("{}x{}x24", 1280 * scale, 800 * scale);
        let mut server = Command::new("Xvfb")
            .args(["-displayfd", "1", "-screen", "0", &size])
            .arg("-fbdir")
            .arg(folder)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .ok()?;
        let mut number = String::new();
        BufReader::new(server.stdout.take().unwrap())
            .read_line(&mut number)
            .unwrap();
        Some(Self {
            server: Running(server),
            name: format!(":{}", number.trim()),
            screen: folder.join("Xvfb_screen0"),
        })
    }

    fn xdotool(&self, arguments: &[&str]) -> Option<String> {
        let done = Command::new("xdotool")
            .env("DISPLAY", &self.name)
            .args(arguments)
            .output()
            .ok()?;
        done.status
            .success()
            .then(|| String::from_utf8(done.stdout).unwrap().trim().to_owned())
    }

    /// Opens the window of a board and waits until it hears.
    fn view(&self, board: &Path, more: &[&str], scale: u32) -> Running {
        let program = Command::new(env!("CARGO_BIN_EXE_outwind"))
            .arg("view")
            .arg(board)
            .args(more)
            .env("DISPLAY", &self.name)
            .env("WINIT_X11_SCALE_FACTOR", scale.to_string())
            .env_remove("WAYLAND_DISPLAY")
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let program = Running(program);
        let search = ["search", "--onlyvisible", "--name", "outwind$"];
        let window = until("the window is there", || {
            self.xdotool(&search).filter(|w| !w.is_empty())
        });
        self.xdotool(&["windowfocus", &window]);
        until("the window is drawn", || {
            // The ground of the panel in the lower right corner, which the first frames do not have.
            self.shot("first.png")
                .ends_with(&[241, 238, 231])
                .then_some(())
        });
        sleep(Duration::from_secs(1));
        program
    }

    fn key(&self, keys: &str) {
        self.xdotool(&["key", keys]);
        sleep(Duration::from_millis(500));
    }

    fn types(&self, text: &str) {
        self.xdotool(&["type", "--delay", "120", text]);
        sleep(Duration::from_millis(500));
    }

    /// What is on the screen, kept as a picture too. Of an X window dump: the header's size, then at their places depth, width,
    /// height, bytes a line and colours, each in four bytes, greatest first; the pixels are blue, green, red, nothing.
    fn shot(&self, name: &str) -> Vec<u8> {
        let dump = fs::read(&self.screen).unwrap();
        let field = |k: usize| u32::from_be_bytes(dump[4 * k..4 * k + 4].try_into().unwrap());
        let [head, width, height, line, colours] = [0, 4, 5, 12, 19].map(field);
        let start = (head + 12 * colours) as usize;
        let rows = (0..height).flat_map(|y| {
            let row = &dump[start + (y * line) as usize..][..4 * width as usize];
            row.chunks(4).flat_map(|p| [p[2], p[1], p[0]])
        });
        let pixels: Vec<u8> = rows.collect();
        let file = fs::File::create(self.screen.with_file_name(name)).unwrap();
        let mut encoder = png::Encoder::new(file, width, height);
        encoder.set_color(png::ColorType::Rgb);
        let mut writer = encoder.write_header().unwrap();
        writer.write_image_data(&pixels).unwrap();
        pixels
    }

    /// The screen once it shows the panels and stays as it is: the first frames do not have them, nor has a picture's.
    fn shown(&self, name: &str) -> Vec<u8> {
        let mut before = Vec::new();
        until("the panels are shown", || {
            let now = self.shot(name);
            // The panels' ground, in the lower right corner.
            let there = now.ends_with(&[241, 238, 231]) && now == before;
            before = now;
            there.then_some(())
        });
        before
    }

    /// Closes the window: what the program said of its work.
    fn close(&self, mut program: Running) -> String {
        self.key("ctrl+q");
        let status = until("the window closes", || program.0.try_wait().unwrap());
        let mut said = String::new();
        let mut errors = program.0.stderr.take().unwrap();
        errors.read_to_string(&mut said).unwrap();
        assert!(status.success(), "{status}: {said}");
        said
    }
}

/// Waits until something holds, for a slow machine's sake long.
fn until<T>(what: &str, mut holds: impl FnMut() -> Option<T>) -> T {
    let start = Instant::now();
    while start.elapsed() < Duration::from_secs(120) {
        if let Some(value) = holds() {
            return value;
        }
        sleep(Duration::from_millis(300));
    }
    panic!("waited in vain until {what}");
}

/// The part of a picture with end A, of a PNG file.
fn end_a(file: &[u8]) -> Vec<u8> {
    let mut reader = png::Decoder::new(std::io::Cursor::new(file))
        .read_info()
        .unwrap();
    let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
    let info = reader.next_frame(&mut pixels).unwrap();
    let rows = pixels.chunks(info.line_size);
    let part = info.line_size / 4;
    rows.skip(200)
        .flat_map(|row| row[..part].to_vec())
        .collect()
}

/// An empty folder.
fn folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn outwind(folder: &Path, arguments: &[&str]) {
    let done = Command::new(env!("CARGO_BIN_EXE_outwind"))
        .current_dir(folder)
        .args(arguments)
        .output()
        .unwrap();
    assert!(done.status.success(), "{done:?}");
}

#[test]
fn a_reading_is_typed_over_saved_and_taken_back() {
    let folder = folder("driven");
    let Some(desk) = desk(&folder, 1) else { return };
    let board = folder.join("rail.toml");
    fs::write(&board, BOARD).unwrap();
    outwind(&folder, &["predict", "rail.toml", "--book", "shop.sqlite"]);
    outwind(
        &folder,
        &[
            "record",
            "rail",
            "--actual",
            "15/16",
            "--book",
            "shop.sqlite",
        ],
    );
    let book = folder.join("shop.sqlite");
    let program = desk.view(
        &board,
        &["--count-work", "--book", book.to_str().unwrap()],
        1,
    );

    // The picture of the board as it is.
    let picture = folder.join("rail.png");
    let drawn = || {
        let _ = fs::remove_file(&picture);
        desk.key("ctrl+e");
        until("a picture is written", || {
            fs::read(&picture)
                .ok()
                .filter(|p| p.ends_with(b"IEND\xaeB`\x82"))
        })
    };
    let opened = desk.shown("opened.png");
    let before = drawn();
    let other = |than: &[u8], what: &str| {
        until(what, || {
            let now = drawn();
            (now != than).then_some(now)
        })
    };

    // The thickness of the whole board is the first reading.
    let unmarked = desk.shown("unmarked.png");
    desk.key("ctrl+r");
    until("the first reading is marked", || {
        (desk.shot("marked.png") != unmarked).then_some(())
    });
    let marked = desk.shown("marked.png");
    desk.types("1-1/2");
    // The answer follows too.
    until("what is typed stands there", || {
        (desk.shown("typed.png") != marked).then_some(())
    });
    desk.key("Escape");
    let unsaved = folder.join("rail.unsaved.toml");
    until("what is not saved yet is kept", || {
        fs::read_to_string(&unsaved)
            .ok()
            .filter(|text| text.contains("thickness = \"1-1/2\""))
    });
    other(&before, "the answer in the picture follows the reading");
    assert!(desk.shot("typed-over.png") != opened);
    desk.key("ctrl+s");
    let saved = |text: &str| fs::read_to_string(&board).ok().filter(|t| t.contains(text));
    until("the reading is saved", || saved("thickness = \"1-1/2\""));
    assert_eq!(
        fs::read_to_string(folder.join("rail.toml.before")).unwrap(),
        BOARD
    );
    until("nothing is kept that is saved", || {
        (!unsaved.exists()).then_some(())
    });

    // What was typed into a cell is taken back in one.
    desk.key("ctrl+z");
    desk.key("ctrl+s");
    until("the reading is as it was", || {
        saved("thickness = \"1-3/8\"")
    });
    until("and so is the picture", || {
        (drawn() == before).then_some(())
    });

    // A cut of one's own, moved by the keys, and those that are proposed.
    desk.key("ctrl+k");
    let cut = other(&before, "a cut is drawn");
    for _ in 0..8 {
        desk.key("Right");
    }
    let moved = other(&cut, "the cut has moved");
    assert!(
        end_a(&moved) == end_a(&before),
        "the board lies as before: the keys have not turned it"
    );
    desk.shot("cut.png");
    desk.key("ctrl+p");
    other(&moved, "cuts are proposed");

    // The book over the board, and the board again.
    desk.shown("proposed.png");
    desk.key("ctrl+b");
    until("the book lies open", || {
        // White paper in the board's place, which is none too white.
        let corner = 3 * (600 * 1280 + 10);
        (desk.shot("book.png")[corner..corner + 3] == [255; 3]).then_some(())
    });
    desk.key("ctrl+b");
    println!("{}", desk.close(program));
}

/// The display goes while something is not saved: that is said, the file is as it was, and what was typed is kept.
#[test]
fn a_window_that_is_lost_loses_nothing() {
    let folder = folder("lost");
    let Some(mut desk) = desk(&folder, 1) else {
        return;
    };
    let board = folder.join("rail.toml");
    fs::write(&board, BOARD).unwrap();
    let mut program = desk.view(&board, &[], 1);
    let unmarked = desk.shown("unmarked.png");
    desk.key("ctrl+r");
    until("the first reading is marked", || {
        (desk.shot("marked.png") != unmarked).then_some(())
    });
    desk.types("1-1/2");
    let unsaved = folder.join("rail.unsaved.toml");
    until("what is typed is kept", || {
        fs::read_to_string(&unsaved)
            .ok()
            .filter(|text| text.contains("thickness = \"1-1/2\""))
    });
    desk.server.0.kill().unwrap();
    let mut said = String::new();
    let mut errors = program.0.stderr.take().unwrap();
    errors.read_to_string(&mut said).unwrap();
    let status = program.0.wait().unwrap();
    assert_eq!(status.code(), Some(1), "{said}");
    let told: Vec<&str> = said.split_whitespace().collect();
    let told = told.join(" ");
    assert!(
        told.contains("The window was lost: the graphics driver or the display gave up."),
        "{said}"
    );
    assert!(
        told.contains("What was typed over and not saved is in"),
        "{said}"
    );
    assert_eq!(fs::read_to_string(&board).unwrap(), BOARD);
    assert!(
        fs::read_to_string(&unsaved)
            .unwrap()
            .contains("thickness = \"1-1/2\"")
    );
}

/// What a frame costs the drawing thread does not grow with the points of a scan.
#[test]
fn a_scan_of_a_million_points_costs_a_frame_no_more_than_one_of_a_hundredth() {
    let folder = folder("scans");
    let Some(desk) = desk(&folder, 1) else { return };
    let work = [(100, 100), (1000, 1000)].map(|(along, across)| {
        let board = folder.join("scan.csv");
        scan(&board, along, across);
        let program = desk.view(&board, &["--thickness", "40 mm", "--count-work"], 1);
        for key in ["Right", "Right", "Up", "ctrl+k"] {
            desk.key(key);
        }
        sleep(Duration::from_secs(2));
        desk.shot(&format!("{}.png", along * across));
        let said = desk.close(program);
        println!("{} points: {said}", along * across);
        let numbers = said.split(|c: char| !c.is_ascii_digit());
        let numbers: Vec<usize> = numbers.filter_map(|n| n.parse().ok()).collect();
        let [_, shapes, places, points] = numbers[..] else {
            panic!("{said}")
        };
        [shapes, places, points]
    });
    for (few, many) in work[0].iter().zip(work[1]) {
        let few = *few as f64;
        assert!((many as f64) < 1.3 * few + 100.0, "{work:?}");
    }
}

/// A cupped and twisted face, read at so many places along and across.
fn scan(path: &Path, along: usize, across: usize) {
    let mut rows = String::from("x_mm,y_mm,z_mm\n");
    for i in 0..along {
        for j in 0..across {
            let [u, v] =
                [(i, along), (j, across)].map(|(k, n)| 2.0 * k as f64 / (n - 1) as f64 - 1.0);
            let z = 4.0 * (1.0 - u * u) - 2.0 * v * v + 1.5 * u * v;
            writeln!(
                rows,
                "{:.2},{:.2},{z:.3}",
                1000.0 * (u + 1.0),
                100.0 * (v + 1.0)
            )
            .unwrap();
        }
    }
    fs::write(path, rows).unwrap();
}

/// On a screen with twice the points to the inch everything is twice as large, and nothing is lost.
#[test]
fn a_screen_of_twice_the_scale_shows_the_same() {
    let folder = folder("doubled");
    let [once, twice] = [1, 2].map(|scale| {
        let inner = folder.join(scale.to_string());
        fs::create_dir_all(&inner).unwrap();
        let board = inner.join("rail.toml");
        fs::write(&board, BOARD).unwrap();
        let desk = desk(&inner, scale)?;
        let program = desk.view(&board, &["--count-work"], scale);
        let pixels = desk.shown("screen.png");
        let said = desk.close(program);
        println!("{scale}x: {said}");
        Some(pixels)
    });
    let (Some(once), Some(twice)) = (once, twice) else {
        return;
    };
    assert_eq!(twice.len(), 4 * once.len());
    // Pixel beside pixel: letters are drawn afresh at their size, so edges differ, the rest does not.
    let (width, doubled) = (3 * 1280, 3 * 2560);
    let far = (0..once.len()).step_by(3).filter(|at| {
        let (y, x) = (at / width, at % width / 3);
        let there = 2 * y * doubled + 3 * (2 * x);
        let [a, b] = [once[*at], twice[there]].map(f64::from);
        (a - b).abs() > 60.0
    });
    let share = far.count() as f64 / (once.len() / 3) as f64;
    println!("{:.1} of 100 pixels differ", 100.0 * share);
    assert!(share < 0.06, "{share}");
}
