//! `outwind cut` as a process: Ctrl-C at a long plan, and how long lists of real size take.

#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::print_stdout)]

#[allow(dead_code)]
#[path = "common/random.rs"]
mod random;

use std::fmt::Write as _;
use std::fs;
use std::os::unix::process::ExitStatusExt;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

use random::Random;

/// A folder with so many boards, 1.8 to 3 m long, and a list of so many kinds of part, one or two of each.
fn task(name: &str, boards: usize, parts: usize) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    let mut random = Random::new(4);
    for board in 0..boards {
        let (length, width) = (random.within(1800.0, 3000.0), random.within(150.0, 280.0));
        let [cup, bow, twist] = [2.0, 6.0, 5.0].map(|most| random.within(-most, most));
        let mut text = "mm".to_owned();
        for i in 0..=6 {
            let _ = write!(text, ",{:.1}", length * f64::from(i) / 6.0);
        }
        for j in 0..=2 {
            let _ = write!(text, "\n{:.1}", width * f64::from(j) / 2.0);
            for i in 0..=6 {
                let (u, v) = (f64::from(i) / 3.0 - 1.0, f64::from(j) - 1.0);
                let form = bow * (1.0 - u * u) + cup * (1.0 - v * v) + twist / 4.0 * u * v;
                let _ = write!(text, ",{:.1}", 20.0 + form + 0.2 * random.normal());
            }
        }
        fs::write(folder.join(format!("board-{board}.csv")), text + "\n").unwrap();
    }
    let mut list = "part,count,length_mm,width_mm,thickness_mm\n".to_owned();
    for part in 0..parts {
        let size = [[250.0, 1200.0], [40.0, 140.0], [18.0, 30.0]].map(|[a, b]| random.within(a, b));
        let count = random.count(1, 2);
        let [length, width, thickness] = size.map(f64::round);
        let _ = writeln!(list, "part {part},{count},{length},{width},{thickness}");
    }
    fs::write(folder.join("parts.csv"), list).unwrap();
    folder
}

fn cut(folder: &Path, boards: usize) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_outwind"));
    command.current_dir(folder).arg("cut");
    command.args((0..boards).map(|k| format!("board-{k}.csv")));
    command.args(["--thickness", "38", "--unit", "mm", "--parts", "parts.csv"]);
    command
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    command
}

/// Waits until a process catches Ctrl-C, as the kernel tells it.
fn catches(child: &Child) {
    let status = format!("/proc/{}/status", child.id());
    for _ in 0..3000 {
        let told = fs::read_to_string(&status).unwrap();
        let mask = told
            .lines()
            .find_map(|line| line.strip_prefix("SigCgt:"))
            .unwrap();
        // Signal 2 is the second bit.
        if u64::from_str_radix(mask.trim(), 16).unwrap() & 2 != 0 {
            return;
        }
        sleep(Duration::from_millis(10));
    }
    panic!("it never catches Ctrl-C");
}

fn interrupt(child: &Child) {
    let sent = Command::new("kill")
        .arg("-INT")
        .arg(child.id().to_string())
        .status();
    assert!(sent.unwrap().success());
}

/// Far more parts than five boards make, over which the program sits for ten seconds and more.
#[cfg(target_os = "linux")]
#[test]
fn ctrl_c_ends_with_the_best_plan_so_far_and_a_second_one_quits() {
    let folder = task("interrupted", 5, 60);
    let child = cut(&folder, 5).spawn().unwrap();
    catches(&child);
    sleep(Duration::from_secs(3));
    interrupt(&child);
    let output = child.wait_with_output().unwrap();
    let (told, complaint) = [output.stdout, output.stderr]
        .map(|bytes| String::from_utf8(bytes).unwrap())
        .into();
    if output.status.code() == Some(0) {
        assert!(told.contains("topped"), "{told}");
    } else {
        // On a slow machine no plan was begun.
        assert_eq!(output.status.code(), Some(1), "{complaint}");
        assert!(
            complaint.contains("stopped before there was any plan"),
            "{complaint}"
        );
    }
    // The first may have ended it before the second comes: not every time.
    let quit = (0..10).any(|_| {
        let child = cut(&folder, 5).spawn().unwrap();
        catches(&child);
        sleep(Duration::from_secs(1));
        interrupt(&child);
        interrupt(&child);
        let status = child.wait_with_output().unwrap().status;
        assert!(status.code().is_none_or(|code| code <= 1), "{status}");
        status.signal() == Some(2)
    });
    assert!(quit);
}

/// The table of docs/cutting.md: `cargo test --release --test cutting_running -- --ignored --nocapture`.
#[test]
#[ignore = "takes minutes, and says something of a release build alone"]
fn times_of_real_sizes() {
    for (boards, parts) in [
        (5, 8),
        (10, 15),
        (15, 30),
        (30, 60),
        (10, 60),
        (5, 60),
        (30, 240),
    ] {
        let folder = task(&format!("times-{boards}-{parts}"), boards, parts);
        let begun = Instant::now();
        let output = cut(&folder, boards).output().unwrap();
        let took = begun.elapsed().as_secs_f64();
        assert!(output.status.success(), "{output:?}");
        let told = String::from_utf8(output.stdout).unwrap();
        println!(
            "{boards} boards, {parts} kinds of part: {took:.1} s; {}",
            told.lines().next().unwrap()
        );
    }
}
