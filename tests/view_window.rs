//! The window, driven: opened on a display of its own, a reading typed over, saved, taken back, a cut added, closed.

#![cfg(all(feature = "view", target_os = "linux"))]
#![allow(clippy::unwrap_used, clippy::print_stdout)]

use std::fs;
use std::io::{BufRead, BufReader};
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

/// A display that nobody sees, by its name; none where the programs for it are missing.
fn display() -> Option<(Running, String)> {
    let mut server = Command::new("Xvfb")
        .args(["-displayfd", "1", "-screen", "0", "1280x800x24"])
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .ok()?;
    let mut number = String::new();
    BufReader::new(server.stdout.take().unwrap())
        .read_line(&mut number)
        .unwrap();
    Some((Running(server), format!(":{}", number.trim())))
}

struct Hand {
    display: String,
}

impl Hand {
    fn xdotool(display: &str, arguments: &[&str]) -> Option<String> {
        let done = Command::new("xdotool")
            .env("DISPLAY", display)
            .args(arguments)
            .output()
            .ok()?;
        done.status
            .success()
            .then(|| String::from_utf8(done.stdout).unwrap().trim().to_owned())
    }

    fn key(&self, keys: &str) {
        Self::xdotool(&self.display, &["key", keys]);
        sleep(Duration::from_millis(500));
    }

    fn types(&self, text: &str) {
        Self::xdotool(&self.display, &["type", "--delay", "120", text]);
        sleep(Duration::from_millis(500));
    }
}

/// Waits until something holds, for a slow machine's sake long.
fn until<T>(what: &str, mut holds: impl FnMut() -> Option<T>) -> T {
    let start = Instant::now();
    while start.elapsed() < Duration::from_secs(90) {
        if let Some(value) = holds() {
            return value;
        }
        sleep(Duration::from_millis(300));
    }
    panic!("waited in vain until {what}");
}

#[test]
fn a_reading_is_typed_over_saved_and_taken_back() {
    let required = std::env::var_os("REQUIRE_PICTURES").is_some();
    let Some((_server, display)) =
        display().filter(|(_, d)| Hand::xdotool(d, &["version"]).is_some())
    else {
        assert!(!required, "Xvfb and xdotool are needed");
        println!("SKIPPED: no Xvfb or xdotool here, so no window was driven (see DEVELOPERS.md)");
        return;
    };
    if !required && !Path::new("/usr/share/vulkan/icd.d").exists() {
        println!("SKIPPED: no graphics driver here, so no window was driven (see DEVELOPERS.md)");
        return;
    }
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("driven");
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    let board = folder.join("rail.toml");
    fs::write(&board, BOARD).unwrap();
    let mut program = Running(
        Command::new(env!("CARGO_BIN_EXE_outwind"))
            .args(["view", board.to_str().unwrap()])
            .env("DISPLAY", &display)
            .env_remove("WAYLAND_DISPLAY")
            .spawn()
            .unwrap(),
    );
    let search = ["search", "--onlyvisible", "--name", "rail - outwind"];
    let window = until("the window is there", || {
        Hand::xdotool(&display, &search).filter(|w| !w.is_empty())
    });
    let hand = Hand { display };
    Hand::xdotool(&hand.display, &["windowfocus", &window]);
    sleep(Duration::from_secs(3));

    // The picture of the board as it is.
    let picture = folder.join("rail.png");
    let drawn = |hand: &Hand| {
        let _ = fs::remove_file(&picture);
        hand.key("ctrl+e");
        until("a picture is written", || {
            fs::read(&picture)
                .ok()
                .filter(|p| p.ends_with(b"IEND\xaeB`\x82"))
        })
    };
    let before = drawn(&hand);

    // The thickness of the whole board is the first reading.
    hand.key("ctrl+r");
    hand.types("1-1/2");
    hand.key("Escape");
    sleep(Duration::from_secs(4));
    let after = drawn(&hand);
    assert!(
        before != after,
        "the answer in the picture follows the reading"
    );
    hand.key("ctrl+s");
    let saved = |text: &str| fs::read_to_string(&board).ok().filter(|t| t.contains(text));
    until("the reading is saved", || saved("thickness = \"1-1/2\""));
    assert_eq!(
        fs::read_to_string(folder.join("rail.toml.before")).unwrap(),
        BOARD
    );

    // What was typed into a cell is taken back in one.
    hand.key("ctrl+z");
    hand.key("ctrl+s");
    until("the reading is as it was", || {
        saved("thickness = \"1-3/8\"")
    });
    assert!(drawn(&hand) == before, "and so is the picture");

    // A cut of one's own, and those that are proposed.
    hand.key("ctrl+k");
    let cut = until("a cut is drawn", || {
        let now = drawn(&hand);
        (now != before).then_some(now)
    });
    hand.key("ctrl+p");
    until("cuts are proposed", || (drawn(&hand) != cut).then_some(()));

    hand.key("ctrl+q");
    let status = until("the window closes", || program.0.try_wait().unwrap());
    assert!(status.success(), "{status}");
}
