//! Guided entry: at a terminal, piped, and killed at any moment.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

#[allow(dead_code)]
#[path = "common/random.rs"]
mod random;

use std::fs;
use std::io::{Read, Write};
use std::num::NonZero;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::{Duration, Instant};

use outwind::board::Outline;
use outwind::flatten::{Ask, SurveyPlan, Tools};
use outwind::length::Length;
use outwind::readings::{EdgesAt, Gauge, Record, Rest, read_board};
use portable_pty::{Child, CommandBuilder, PtySize, native_pty_system};
use random::Random;

const PROGRAM: &str = env!("CARGO_BIN_EXE_outwind");

/// An empty folder of the test's own.
fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn record(path: &Path) -> Record {
    let mut load = |_: &str| Err("no other files".to_owned());
    read_board(&fs::read(path).unwrap(), "board.toml", None, &mut load).unwrap()
}

fn cells(count: u16) -> NonZero<u16> {
    NonZero::new(count).unwrap()
}

/// A terminal of 80 × 24 with the program at it.
struct Terminal {
    screen: Arc<Mutex<vt100::Parser>>,
    keys: Box<dyn Write + Send>,
    child: Box<dyn Child + Send + Sync>,
}

impl Terminal {
    fn new(folder: &Path, arguments: &[&str]) -> Self {
        let size = PtySize {
            rows: 24,
            cols: 80,
            pixel_width: 0,
            pixel_height: 0,
        };
        let pair = native_pty_system().openpty(size).unwrap();
        let mut command = CommandBuilder::new(PROGRAM);
        command.args(arguments);
        command.cwd(folder);
        command.env("TERM", "vt100");
        let child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        let screen = Arc::new(Mutex::new(vt100::Parser::new(cells(24), cells(80), 0)));
        let mut output = pair.master.try_clone_reader().unwrap();
        let keys = pair.master.take_writer().unwrap();
        let shown = Arc::clone(&screen);
        let master = pair.master;
        thread::spawn(move || {
            let mut bytes = [0; 4096];
            while let Ok(count @ 1..) = output.read(&mut bytes) {
                shown.lock().unwrap().process(&bytes[..count]);
            }
            drop(master);
        });
        Self {
            screen,
            keys,
            child,
        }
    }

    fn screen(&self) -> String {
        self.screen.lock().unwrap().screen().contents()
    }

    /// Waits until the last lines of the screen end so.
    fn wait(&self, ending: &str) {
        let start = Instant::now();
        while !self.screen().trim_end().ends_with(ending) {
            assert!(
                start.elapsed() < Duration::from_secs(60),
                "no {ending:?} on\n{}",
                self.screen()
            );
            thread::sleep(Duration::from_millis(5));
        }
    }

    /// Types a line that is answered by a remedy, and the same question again.
    fn slip(&mut self, typed: &str, remedy: &str, ending: &str) {
        self.line(typed, "");
        let start = Instant::now();
        while !self.screen().contains(remedy) {
            assert!(
                start.elapsed() < Duration::from_secs(60),
                "no {remedy:?} on\n{}",
                self.screen()
            );
            thread::sleep(Duration::from_millis(5));
        }
        self.wait(ending);
    }

    /// Types a line and waits for what the screen ends with then.
    fn line(&mut self, typed: &str, ending: &str) {
        self.keys.write_all(typed.as_bytes()).unwrap();
        self.keys.write_all(b"\r").unwrap();
        self.keys.flush().unwrap();
        self.wait(ending);
    }
}

/// A screen as it was when somebody looked at it; `RENEW_SCREENS=1` writes it: read the difference.
fn compare(name: &str, screen: &str) {
    let path = format!("tests/screens/{name}.txt");
    let screen: Vec<&str> = screen.lines().map(str::trim_end).collect();
    let screen = screen.join("\n").trim_end().to_owned() + "\n";
    assert!(screen.lines().all(|line| line.chars().count() <= 80));
    if std::env::var_os("RENEW_SCREENS").is_some() {
        fs::create_dir_all("tests/screens").unwrap();
        fs::write(path, screen).unwrap();
        return;
    }
    assert_eq!(screen, fs::read_to_string(path).unwrap(), "{name}");
}

#[test]
fn a_board_is_read_at_a_terminal() {
    let folder = folder("terminal");
    let arguments = ["measure", "ash.toml", "--stations", "2x3", "--need", "7/8"];
    let mut terminal = Terminal::new(&folder, &arguments);
    terminal.wait("Length, end A to end B:");
    terminal.slip(
        "a yard or so",
        "there is no number",
        "Length, end A to end B:",
    );
    terminal.line("6'", "Width, near to far edge:");
    terminal.line(
        "9-1/2",
        "1 of 10, station 0 in (end A), near edge: height\n>",
    );
    // Slips of the keyboard, each with its remedy on the same screen.
    terminal.slip("3/0", "3/0\":", "height\n>");
    terminal.slip("change 12", "say which", "height\n>");
    terminal.slip("", "nothing typed", "height\n>");
    compare("slips", &terminal.screen());
    terminal.line(
        "3/32",
        "2 of 10, station 0 in (end A), near edge: thickness by caliper\n>",
    );
    terminal.line("back", "now 3/32 in; Enter keeps it\n>");
    terminal.line(
        "",
        "2 of 10, station 0 in (end A), near edge: thickness by caliper\n>",
    );
    terminal.line("1-1/8", "near edge: height\n>");
    terminal.line(
        "skip",
        "4 of 10, station 72 in (end B), near edge: thickness by caliper\n>",
    );
    terminal.line(
        "28,5 mm",
        "5 of 10, station 72 in (end B), far edge: height\n>",
    );
    terminal.line("1/16", "thickness by caliper\n>");
    terminal.line(
        "1-9/64",
        "7 of 10, station 0 in (end A), far edge: height\n>",
    );
    compare("midway", &terminal.screen());
    terminal.line("change 1", "now 3/32 in; Enter keeps it\n>");
    terminal.line("1/8", "7 of 10, station 0 in (end A), far edge: height\n>");
    terminal.slip("?", "question 3 again", "far edge: height\n>");
    terminal.line(
        "stop",
        "5 of 10 readings are in ash.toml; the same command goes on.",
    );
    compare("stopped", &terminal.screen());
    assert!(terminal.child.wait().unwrap().success());

    let read = record(&folder.join("ash.toml"));
    let survey = &read.surveys[0];
    let heights: Vec<[f64; 3]> = survey.heights[0].heights.up.clone();
    let inches = |x: f64| Length::from_inches(x).mm();
    let wanted = [[0.0, 0.0, 0.125], [72.0, 9.5, 0.0625]];
    let pairs = heights.iter().flatten().zip(wanted.iter().flatten());
    assert_eq!(heights.len(), 2);
    let mut pairs = pairs;
    assert!(
        pairs.all(|(mm, x)| (mm - inches(*x)).abs() < 1e-9),
        "{heights:?}"
    );
    let calipers = &survey.calipers.as_ref().unwrap().readings;
    assert_eq!(calipers[1].thickness, 28.5);

    // Started again, it goes on where it was; Ctrl-C and Ctrl-D are ways to stop.
    for key in [b"\x03", b"\x04"] {
        let mut terminal = Terminal::new(&folder, &arguments);
        terminal.wait("3 of 10, station 72 in (end B), near edge: height\n>");
        terminal.keys.write_all(key).unwrap();
        terminal.wait("5 of 10 readings are in ash.toml; the same command goes on.");
        assert!(terminal.child.wait().unwrap().success());
    }
}

/// Somebody types on while the estimate is made.
#[test]
fn what_is_typed_ahead_is_not_lost() {
    let folder = folder("ahead");
    let size = ["--length", "6'", "--width", "8"];
    let arguments = [&["measure", "ahead.toml", "--stations", "2x2"], &size[..]].concat();
    let mut terminal = Terminal::new(&folder, &arguments);
    terminal.wait("1 of 8, station 0 in (end A), near edge: height\n>");
    let keys = b"1/8\r1\r1/16\r1\r3/32\r1\r1/8\r1\r";
    terminal.keys.write_all(keys).unwrap();
    terminal.wait("All 8 readings are in ahead.toml.");
    assert!(terminal.child.wait().unwrap().success());
    assert_eq!(readings(&folder.join("ahead.toml")).len(), 8);
}

/// Runs the program with typed lines piped in: what it printed.
fn piped(folder: &Path, arguments: &[&str], typed: &str) -> String {
    let mut child = Command::new(PROGRAM)
        .args(arguments)
        .current_dir(folder)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    child
        .stdin
        .take()
        .unwrap()
        .write_all(typed.as_bytes())
        .unwrap();
    let output = child.wait_with_output().unwrap();
    assert!(output.status.success());
    String::from_utf8(output.stdout).unwrap()
}

fn outline(length: f64, width: f64) -> Outline {
    Outline {
        x0: 0.0,
        y0: 0.0,
        length,
        width,
    }
}

/// A caliper reading a quarter of an inch off is flagged as it is typed, and asked for again.
#[test]
fn a_doubtful_reading_is_flagged_at_once() {
    let folder = folder("doubtful");
    let plan = SurveyPlan::at(
        outline(1828.8, 203.2),
        &[],
        Tools::Heights(3),
        &[457.2, 914.4, 1371.6],
    );
    let last = plan
        .asks
        .iter()
        .rposition(|ask| matches!(ask, Ask::Thickness(_)))
        .unwrap();
    let mut typed = String::new();
    for (at, ask) in plan.asks.iter().enumerate().take(last + 2) {
        typed += match ask {
            Ask::Thickness(_) if at == last => "1-3/8\n1-1/8\n",
            Ask::Thickness(_) => "1-1/8\n",
            _ => "1/16\n",
        };
    }
    let arguments = [
        "measure",
        "slip.toml",
        "--at",
        "18,36,54",
        "--length",
        "6'",
        "--width",
        "8",
    ];
    let printed = piped(&folder, &arguments, &typed);
    let flagged = printed.find("Doubtful: 1-3/8 in was read").expect(&printed);
    let after = &printed[flagged..];
    assert!(
        after.contains("now 1-3/8 in; Enter keeps it\n> 1-1/8\n"),
        "{after}"
    );
    assert_eq!(printed.matches("Doubtful").count(), 1, "{printed}");
    let read = record(&folder.join("slip.toml"));
    let calipers = &read.surveys[0].calipers.as_ref().unwrap().readings;
    assert!(
        calipers
            .iter()
            .all(|c| c.thickness == Length::from_inches(1.125).mm())
    );
}

/// A board that narrows towards end B is asked for where its edges and its middle lie, with sticks as with heights, and goes on where
/// it was.
#[test]
fn a_tapered_board_is_asked_on_its_own_edges() {
    let folder = folder("tapered");
    let path = folder.join("taper.toml");
    fs::write(
        &path,
        "unit = \"in\"\nlength = 60\ntaper = [\"9\", \"7\"]\n",
    )
    .unwrap();
    let inches = |x: f64| Length::from_inches(x).mm();
    let edges = [[0.0, 9.0], [60.0, 7.0]].map(|[x, far]| EdgesAt {
        station: inches(x),
        near: 0.0,
        far: inches(far),
    });
    let plan = |tools| SurveyPlan::at(outline(1524.0, 228.6), &edges, tools, &[inches(30.0)]);
    let heights = plan(Tools::Heights(3)).asks;
    let typed = heights.iter().map(|ask| match ask {
        Ask::Thickness(_) => "1-1/8\n",
        _ => "1/16\n",
    });
    let typed: Vec<&str> = typed.collect();
    let (first, then) = typed.split_at(6);
    let arguments = ["measure", "taper.toml", "--at", "30", "--no-estimate"];
    piped(&folder, &arguments, &first.concat());
    let printed = piped(&folder, &arguments, &then.concat());
    assert!(printed.contains("6 of 15 readings are taken"), "{printed}");
    assert!(
        printed.contains("station 60 in (end B), far edge: height"),
        "{printed}"
    );
    assert!(
        printed.ends_with("All 15 readings are in taper.toml.\n"),
        "{printed}"
    );
    let read = record(&path);
    let points = &read.surveys[0].heights[0].heights.up;
    for [x, y] in [
        [60.0, 7.0],
        [60.0, 3.5],
        [30.0, 8.0],
        [30.0, 4.0],
        [0.0, 9.0],
    ] {
        let there = |p: &[f64; 3]| (p[0] - inches(x)).hypot(p[1] - inches(y)) < 0.01;
        assert!(points.iter().any(there), "{x}, {y}: {points:?}");
    }
    let sticks = [&arguments[..], &["--sticks", "--stick", "18", "--new"]].concat();
    let asks = plan(Tools::Sticks).asks;
    let typed = asks.iter().map(|ask| match ask {
        Ask::Thickness(_) => "1-1/8\n".to_owned(),
        _ => "0\n".to_owned(),
    });
    fs::write(
        &path,
        "unit = \"in\"\nlength = 60\ntaper = [\"9\", \"7\"]\n",
    )
    .unwrap();
    let printed = piped(&folder, &sticks, &typed.collect::<String>());
    assert!(
        printed.ends_with("All 12 readings are in taper.toml.\n"),
        "{printed}"
    );
    let read = record(&path);
    let Some(Gauge::Sticks(last)) = read.surveys[0].gauged.last().map(|g| &g.gauge) else {
        panic!("{:?}", read.surveys[0].gauged)
    };
    assert!((last.across[1][1] - inches(7.0)).abs() < 0.01, "{last:?}");
}

/// Gauges, remarks of the owner's, and a new survey beside an old one.
#[test]
fn an_owners_file_keeps_its_remarks() {
    let folder = folder("remarks");
    let path = folder.join("oak.toml");
    let own = "# Mine.\nunit = \"in\"\nlength = 40   # sawn to length\nwidth = 8\n\n[[survey]]\ndate = 2026-01-02\n\
        thickness = 1 # about\nheights = \"\"\"\nin, 0, 40\n0, 1/8, 1/8\n8, 1/8, 1/8 \n\"\"\"\n";
    fs::write(&path, own).unwrap();
    let arguments = [
        "measure",
        "oak.toml",
        "--new",
        "--sticks",
        "--at",
        "20",
        "--stick",
        "16",
        "--no-estimate",
    ];
    let typed = "1\n1\n1\n1\n1\n1\n3/8 on 1/2\n1/16 crown\n0\n1/32\n1/16\nchange 7\n7/16 on 1/2\n\
        1/16 near\n1/8 far middles\n";
    let printed = piped(&folder, &arguments, typed);
    assert!(
        printed.contains("say which end of the second stick stood high"),
        "{printed}"
    );
    assert!(
        printed.ends_with("All 12 readings are in oak.toml.\n"),
        "{printed}"
    );
    let text = fs::read_to_string(&path).unwrap();
    assert!(text.starts_with(own), "{text}");
    let read = record(&path);
    assert_eq!(read.surveys.len(), 2);
    assert_eq!(read.surveys[1].gauged.len(), 6);
    let Gauge::Straightedge(along) = &read.surveys[1].gauged[0].gauge else {
        panic!("{:?}", read.surveys[1].gauged)
    };
    let inches = |x: f64| Length::from_inches(x).mm();
    assert_eq!(
        (along.gap, along.rest),
        (inches(0.4375), Rest::Blocks(inches(0.5)))
    );
}

/// What was read at the k-th question.
fn value(k: usize, ask: &Ask) -> String {
    match ask {
        Ask::Thickness(_) => format!("1-{}/64", k + 1),
        _ => format!("{}/64", k + 1),
    }
}

/// Killed at 200 random moments: every reading that was confirmed is in the file, which is whole each time.
#[test]
fn what_was_confirmed_survives_a_kill() {
    const KILLS: usize = 200;
    let plan = SurveyPlan::at(
        outline(1524.0, 203.2),
        &[],
        Tools::Heights(3),
        &[508.0, 1016.0],
    );
    let count = plan.asks.len();
    let arguments = [
        "measure",
        "board.toml",
        "--at",
        "20,40",
        "--length",
        "60in",
        "--width",
        "8in",
    ];
    let folder = folder("killed");
    let path = folder.join("board.toml");
    let mut random = Random::new(8);
    let (mut confirmed, mut boards, mut mid_board, mut unconfirmed) = (0, 0, 0, 0);
    let start = Instant::now();
    let mut done = count;
    for k in 0..KILLS {
        if done == count {
            let _ = fs::remove_file(&path);
            done = 0;
            boards += 1;
        }
        // Every eighth with the estimate between readings, which takes most of the time.
        let reckons = k % 8 == 7;
        let mut command = Command::new(PROGRAM);
        command.args(arguments).current_dir(&folder);
        if !reckons {
            command.arg("--no-estimate");
        }
        let mut child = command
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let typed: String = (done..count)
            .map(|k| value(k, &plan.asks[k]) + "\n")
            .collect();
        let mut keys = child.stdin.take().unwrap();
        let _ = keys.write_all(typed.as_bytes());
        let longest = if reckons { 1200.0 } else { 60.0 };
        thread::sleep(Duration::from_secs_f64(random.within(0.0, longest) / 1e3));
        child.kill().unwrap();
        let output = child.wait_with_output().unwrap();
        let printed = String::from_utf8(output.stdout).unwrap();
        let noted = printed.matches("  Noted.").count();
        assert!(!printed.contains("Not noted"), "{printed}");
        confirmed += noted;
        let expected = done + noted;
        let there = if path.exists() {
            readings(&path)
        } else {
            Vec::new()
        };
        assert!(
            there.len() >= expected,
            "{} of {expected} there:\n{printed}",
            there.len()
        );
        unconfirmed += there.len() - expected;
        for (k, ask) in plan.asks.iter().enumerate().take(there.len()) {
            let inches =
                (k + 1) as f64 / 64.0 + f64::from(u8::from(matches!(ask, Ask::Thickness(_))));
            let (Ask::Height([x, y]) | Ask::Thickness([x, y])) = *ask else {
                unreachable!("the walk has heights and thicknesses only")
            };
            let kind = usize::from(matches!(ask, Ask::Thickness(_)));
            let wanted = [x, y, Length::from_inches(inches).mm()];
            let found = there.iter().any(|(of, at)| {
                *of == kind && at.iter().zip(wanted).all(|(a, b)| (a - b).abs() < 1e-6)
            });
            assert!(found, "reading {}: {wanted:?} is not in {there:?}", k + 1);
        }
        done = there.len();
        mid_board += usize::from(noted > 0 && done < count);
    }
    println!(
        "{KILLS} kills over {boards} boards in {:.0} s: {confirmed} readings confirmed, none lost; {unconfirmed} on the disk \
         that were not confirmed yet; {mid_board} kills between readings",
        start.elapsed().as_secs_f64()
    );
    // Moments before, between and after readings were met.
    assert!(boards > 3 && mid_board > 20 && confirmed > 100);
}

/// Heights (0) and thicknesses (1) in a file.
fn readings(path: &Path) -> Vec<(usize, [f64; 3])> {
    let read = record(path);
    let surveys = read.surveys.iter();
    let mut all = Vec::new();
    for survey in surveys {
        for set in &survey.heights {
            all.extend(set.heights.up.iter().map(|point| (0, *point)));
        }
        for caliper in survey.calipers.iter().flat_map(|c| &c.readings) {
            all.push((1, [caliper.x, caliper.y, caliper.thickness]));
        }
    }
    all
}

/// The sessions of the manual and the README, typed as they stand there.
#[test]
fn the_manual_shows_what_the_program_prints() {
    let folder = folder("manual");
    for (file, sessions) in [("docs/measuring.md", 2), ("README.md", 1)] {
        let text = fs::read_to_string(file).unwrap();
        let renewed = checked_sessions(&text, &folder, sessions);
        if renewed != text {
            fs::write(file, renewed).unwrap();
        }
    }
}

/// Runs the sessions of a text; the text, renewed where that is asked for.
fn checked_sessions(text: &str, folder: &Path, count: usize) -> String {
    let sessions: Vec<&str> = text
        .split("```text\n$ outwind measure ")
        .skip(1)
        .map(|rest| rest.split("```").next().unwrap())
        .collect();
    assert_eq!(sessions.len(), count);
    let mut renewed = text.to_owned();
    for session in sessions {
        let (command, shown) = session.split_once('\n').unwrap();
        let prompts = [
            "> ",
            "Length, end A to end B: ",
            "Width, near to far edge: ",
        ];
        let typed: String = shown
            .lines()
            .filter_map(|line| prompts.iter().find_map(|p| line.strip_prefix(p)))
            .map(|typed| format!("{typed}\n"))
            .collect();
        let words = words(command);
        let arguments = ["measure"]
            .into_iter()
            .chain(words.iter().map(String::as_str));
        let printed = piped(folder, &arguments.collect::<Vec<_>>(), &typed);
        if std::env::var_os("RENEW_SCREENS").is_some() {
            renewed = renewed.replace(session, &format!("{command}\n{printed}"));
        } else {
            assert_eq!(printed, shown, "{command}");
        }
    }
    renewed
}

/// The words of a command line; those with spaces stand in double quotes.
fn words(line: &str) -> Vec<String> {
    let parts = line.split('"').enumerate();
    parts
        .flat_map(|(at, part)| match at % 2 {
            0 => part.split_whitespace().map(str::to_owned).collect(),
            _ => vec![part.to_owned()],
        })
        .collect()
}
