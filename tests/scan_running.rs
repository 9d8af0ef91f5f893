//! A large scan at a terminal and piped: how far its reading is, and Ctrl-C while it is read and answered.
//!
//! The program is stopped on its way and goes on when more than the second has passed after which it tells how far it is: so
//! nothing hangs on how fast the machine is.

#![cfg(target_os = "linux")]
#![allow(clippy::unwrap_used)]

use std::fs::{self, File};
use std::io::{BufWriter, Read, Write};
use std::os::unix::process::ExitStatusExt;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::{Arc, Mutex};
use std::thread::{self, JoinHandle, sleep};
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, PtySize, native_pty_system};

const PROGRAM: &str = env!("CARGO_BIN_EXE_outwind");

/// Bytes that have been read when the program is stopped: some blocks of a scan, by far not all.
const SOME: u64 = 8 << 20;

/// A scan of 1,500 lines across a board, 2,000 points each: 50 MB.
fn scan(name: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let mut file = BufWriter::new(File::create(&path).unwrap());
    file.write_all(b"x_mm,y_mm,z_mm\n").unwrap();
    for i in 0..1500 {
        let x = 1.6 * f64::from(i);
        let u = x / 1200.0 - 1.0;
        for j in 0..2000 {
            let y = 0.1 * f64::from(j);
            let z = 20.0 - 4.0 * u * u + 0.02 * f64::from((i * 7919 + j * 104_729) & 15);
            writeln!(file, "{x:.1},{y:.1},{z:.3}").unwrap();
        }
    }
    file.flush().unwrap();
    path
}

/// Sends a signal by its name.
fn signal(process: u32, name: &str) {
    let sent = Command::new("kill")
        .args([name, &process.to_string()])
        .status();
    assert!(sent.unwrap().success());
}

/// Waits until the process has read so many bytes.
fn wait_until_read(process: u32, bytes: u64) {
    let begun = Instant::now();
    while begun.elapsed() < Duration::from_secs(60) {
        let told = fs::read_to_string(format!("/proc/{process}/io")).unwrap();
        let read = told.lines().find_map(|line| line.strip_prefix("rchar: "));
        if read.unwrap().parse::<u64>().unwrap() >= bytes {
            return;
        }
        sleep(Duration::from_millis(1));
    }
    panic!("it never reads {bytes} bytes");
}

/// Stops a process in the middle of its reading for longer than it keeps silent.
fn pause_while_reading(process: u32) {
    wait_until_read(process, SOME);
    signal(process, "-STOP");
    sleep(Duration::from_millis(1200));
    signal(process, "-CONT");
}

/// The program at a terminal.
struct Terminal {
    shown: Arc<Mutex<Vec<u8>>>,
    reader: JoinHandle<()>,
    keys: Box<dyn Write + Send>,
    child: Box<dyn Child + Send + Sync>,
}

impl Terminal {
    fn new(path: &Path) -> Self {
        let pair = native_pty_system().openpty(PtySize::default()).unwrap();
        let mut command = CommandBuilder::new(PROGRAM);
        command.args(["flatten", path.to_str().unwrap(), "--thickness", "38mm"]);
        let child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        let mut output = pair.master.try_clone_reader().unwrap();
        let keys = pair.master.take_writer().unwrap();
        let (shown, master) = (Arc::new(Mutex::new(Vec::new())), pair.master);
        let kept = Arc::clone(&shown);
        let reader = thread::spawn(move || {
            let mut bytes = [0; 4096];
            while let Ok(count @ 1..) = output.read(&mut bytes) {
                kept.lock().unwrap().extend_from_slice(&bytes[..count]);
            }
            drop(master);
        });
        Self {
            shown,
            reader,
            keys,
            child,
        }
    }

    fn process(&self) -> u32 {
        self.child.process_id().unwrap()
    }

    fn interrupt(&mut self) {
        self.keys.write_all(b"\x03").unwrap();
        self.keys.flush().unwrap();
    }

    /// What it has shown in all, when it has ended; with the name of the signal that ended it, if one did.
    fn ended(mut self) -> (String, Option<String>) {
        let status = self.child.wait().unwrap();
        drop(self.keys);
        self.reader.join().unwrap();
        let shown = self.shown.lock().unwrap();
        let text = String::from_utf8_lossy(&shown).into_owned();
        (text, status.signal().map(str::to_owned))
    }
}

/// The lines that were told one in place of the other, and what stands last.
fn lines(shown: &str) -> Vec<&str> {
    shown.split(['\r', '\n']).collect()
}

#[test]
fn a_terminal_is_told_how_far_the_reading_is_and_a_pipe_nothing() {
    let path = scan("told.csv");
    let terminal = Terminal::new(&path);
    pause_while_reading(terminal.process());
    let (shown, killed) = terminal.ended();
    assert_eq!(killed, None, "{shown}");
    let told = lines(&shown)
        .into_iter()
        .find(|line| line.starts_with("Reading told.csv: "));
    let told = told.unwrap_or_else(|| panic!("{shown}"));
    let numbers: Vec<f64> = told
        .split(' ')
        .filter_map(|word| word.parse().ok())
        .collect();
    let [done, all, rate, left] = numbers[..] else {
        panic!("{told}");
    };
    assert!((8.0..all).contains(&done), "{told}");
    let size = fs::metadata(&path).unwrap().len() as f64 / 1e6;
    assert_eq!(all, size.round(), "{told}");
    // All are rounded to whole ones, the rest upwards.
    assert!(rate >= 1.0 && left >= 1.0, "{told}");
    assert!(left <= 1.0 + (all - done + 1.0) / (rate - 0.5), "{told}");
    assert!(told.contains(" MB/s, about "), "{told}");
    // The line is wiped before the answer.
    let answer = shown
        .find("Comes out at")
        .unwrap_or_else(|| panic!("{shown}"));
    assert!(shown[..answer].ends_with("\r\x1b[K"), "{shown}");

    let piped = Command::new(PROGRAM)
        .args(["flatten", path.to_str().unwrap(), "--thickness", "38mm"])
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    pause_while_reading(piped.id());
    let output = piped.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0));
    assert!(output.stdout.starts_with(b"Comes out at"));
    assert_eq!(String::from_utf8_lossy(&output.stderr), "");
    fs::remove_file(path).unwrap();
}

#[test]
fn ctrl_c_ends_the_reading_and_the_answering_at_once() {
    let path = scan("interrupted.csv");
    let size = fs::metadata(&path).unwrap().len();
    for read in [SOME, size] {
        let mut terminal = Terminal::new(&path);
        wait_until_read(terminal.process(), read);
        if read == size {
            // Into the answer, or at its threshold.
            sleep(Duration::from_millis(100));
        }
        // However busy the machine is, it gets no further before the key is pressed.
        signal(terminal.process(), "-STOP");
        terminal.interrupt();
        signal(terminal.process(), "-CONT");
        let (shown, killed) = terminal.ended();
        assert_eq!(killed.as_deref(), Some("Interrupt"), "{shown}");
        assert!(!shown.contains("Comes out"), "{shown}");
    }
    // Nothing is written by halves: neither to a pipe nor to a file.
    let page = path.with_extension("html");
    let _ = fs::remove_file(&page);
    let child = Command::new(PROGRAM)
        .args([
            "mill",
            path.to_str().unwrap(),
            "--thickness",
            "38mm",
            "--need",
            "25mm",
        ])
        .args(["--page", page.to_str().unwrap()])
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    wait_until_read(child.id(), SOME);
    for name in ["-STOP", "-INT", "-CONT"] {
        signal(child.id(), name);
    }
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.signal(), Some(2));
    assert!(output.stdout.is_empty() && output.stderr.is_empty());
    assert!(!page.exists());
    fs::remove_file(path).unwrap();
}
