//! The shop's book as a file: what is in it after a kill, two programs at once, files that are no book, out and in as a
//! table, undo, and the sessions of its manual.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

#[allow(dead_code)]
#[path = "common/random.rs"]
mod random;

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use outwind::book::{Actual, Book, Comparison, Content, Made, Prediction};
use outwind::flatten::{Interval, Shortfall};
use outwind::length::Unit;
use random::Random;
use rusqlite::Connection;
use serde_json::Value;

/// An empty folder of the test's own.
fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn outwind(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_outwind"));
    command.args(arguments).stdin(Stdio::null());
    command
}

/// The output of a run in a folder, the exit code, the complaint.
fn run(folder: &Path, arguments: &[&str]) -> (String, i32, String) {
    let Output {
        status,
        stdout,
        stderr,
    } = outwind(arguments).current_dir(folder).output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (text(stdout), status.code().unwrap(), text(stderr))
}

fn prediction(board: &str, expected: f64) -> Content {
    let interval = Interval {
        expected,
        low: expected - 0.6,
        high: expected + 0.5,
    };
    Content::Prediction(Prediction {
        board: board.to_owned(),
        piece: None,
        survey: None,
        unit: Unit::Millimetre,
        plain: interval,
        stated: interval,
        shortfall: Shortfall { mean: 0.0, sd: 0.3 },
        learnt_from: 0,
        rough: Some(30.0),
        labels: [Some("planer".to_owned()), None, Some("shimmed".to_owned())],
    })
}

fn made(at: &str) -> Made {
    Made {
        at: at.to_owned(),
        version: "0.1.0".to_owned(),
        settings: "predict 'a board', with \"quotes\"; and\na line".to_owned(),
    }
}

/// A book with predictions of board 0, board 1 …
fn predicted(path: &Path, count: usize) {
    let contents = (0..count)
        .map(|k| prediction(&format!("board {k}"), 24.0 + 0.001 * k as f64))
        .collect();
    let mut book = Book::open_or_begin(path).unwrap();
    book.note(&made("2026-11-25T08:00:00Z"), |_| Ok::<_, ()>(contents))
        .unwrap()
        .unwrap();
}

fn comparison(path: &Path) -> Comparison {
    Comparison::new(&Book::open_to_read(path).unwrap().entries().unwrap())
}

/// What SQLite's own check says, and how many entries are neither prediction nor actual, or actuals without a thickness.
fn checked(path: &Path) -> (String, i64) {
    let book = Connection::open(path).unwrap();
    let told = book
        .query_row("PRAGMA integrity_check", [], |row| row.get(0))
        .unwrap();
    let halves = "SELECT count(*) FROM entry e WHERE NOT EXISTS (SELECT 1 FROM prediction p WHERE p.number = e.number) \
                  AND NOT EXISTS (SELECT 1 FROM thickness t WHERE t.actual = e.number)";
    (told, book.query_row(halves, [], |row| row.get(0)).unwrap())
}

fn record(path: &Path, name: &str) -> Command {
    let mut command = outwind(&["record", name, "--actual", "23.5, 23.6", "--book"]);
    command
        .arg(path)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    command
}

/// Killed at 500 random moments while recording: what was acknowledged is there, what is there is whole.
#[test]
fn what_was_acknowledged_survives_a_kill() {
    const KILLS: usize = 500;
    let path = folder("kills").join("shop.sqlite");
    predicted(&path, KILLS + 10);
    let start = Instant::now();
    for k in KILLS..KILLS + 10 {
        assert!(
            record(&path, &format!("board {k}"))
                .output()
                .unwrap()
                .status
                .success()
        );
    }
    let usual = start.elapsed() / 10;
    let mut random = Random::new(6);
    let mut acknowledged = Vec::new();
    for k in 0..KILLS {
        let mut child = record(&path, &format!("board {k}")).spawn().unwrap();
        thread::sleep(usual.mul_f64(random.within(0.0, 1.3)));
        child.kill().unwrap();
        let output = child.wait_with_output().unwrap();
        if output.stdout.starts_with(b"Noted: ") {
            acknowledged.push(k);
        } else {
            let complaint = String::from_utf8_lossy(&output.stderr);
            assert!(complaint.is_empty(), "{complaint}");
        }
        if k % 50 == 49 {
            assert_eq!(checked(&path), ("ok".to_owned(), 0));
        }
    }
    let comparison = comparison(&path);
    let there = |k: &usize| {
        comparison
            .latest(&format!("board {k}"))
            .unwrap()
            .actual
            .is_some()
    };
    let lost: Vec<&usize> = acknowledged.iter().filter(|k| !there(k)).collect();
    let noted = (0..KILLS).filter(there).count();
    println!(
        "{KILLS} kills within {:.1} ms: {} acknowledged, {noted} there, {} lost",
        1.3e3 * usual.as_secs_f64(),
        acknowledged.len(),
        lost.len()
    );
    assert!(lost.is_empty(), "{lost:?}");
    // Moments before and after the record was safe were both met.
    assert!(!acknowledged.is_empty() && noted < KILLS);
    assert_eq!(checked(&path), ("ok".to_owned(), 0));
}

/// Twelve programs record in one book at once.
#[test]
fn programs_work_side_by_side() {
    let path = folder("together").join("shop.sqlite");
    predicted(&path, 12);
    let children: Vec<_> = (0..12)
        .map(|k| record(&path, &format!("board {k}")).spawn().unwrap())
        .collect();
    for child in children {
        let output = child.wait_with_output().unwrap();
        assert!(output.status.success(), "{output:?}");
    }
    assert_eq!(comparison(&path).boards, 12);
    // Of two that record the same piece, one is refused.
    predicted(&path, 1);
    let both = [
        record(&path, "board 0").spawn().unwrap(),
        record(&path, "board 0").spawn().unwrap(),
    ];
    let refused = both
        .into_iter()
        .map(|child| child.wait_with_output().unwrap())
        .filter(|output| String::from_utf8_lossy(&output.stderr).contains("already"))
        .count();
    assert_eq!(refused, 1);
}

/// A program that holds the book for a moment is waited for.
#[test]
fn a_book_that_is_being_written_is_waited_for() {
    let path = folder("busy").join("shop.sqlite");
    predicted(&path, 1);
    let other = Connection::open(&path).unwrap();
    other.execute_batch("BEGIN IMMEDIATE").unwrap();
    let child = record(&path, "board 0").spawn().unwrap();
    thread::sleep(Duration::from_millis(300));
    other.execute_batch("ROLLBACK").unwrap();
    assert!(child.wait_with_output().unwrap().status.success());
}

/// Every command that takes a book.
fn commands(book: &str) -> Vec<Vec<&str>> {
    vec![
        vec!["predict", "board.csv", "--thickness", "1", "--book", book],
        vec!["record", "board 0", "--actual", "23.5", "--book", book],
        vec!["compare", "--book", book],
        vec!["book", "--undo", "--book", book],
        vec!["book", "--in", "table.csv", "--book", book],
        vec!["flatten", "board.csv", "--thickness", "1", "--book", book],
        vec!["measure", "board.toml", "--book", book],
        vec!["moved", "board.toml", "--book", book],
    ]
}

/// A folder with a board and a table to work with.
fn workshop(name: &str) -> PathBuf {
    let folder = folder(name);
    fs::copy("sample-scans/ash-quick.csv", folder.join("board.csv")).unwrap();
    fs::copy("sample-scans/ash-rested.toml", folder.join("board.toml")).unwrap();
    predicted(&folder.join("good.sqlite"), 3);
    let (_, code, told) = run(
        &folder,
        &["book", "--out", "table.csv", "--book", "good.sqlite"],
    );
    assert_eq!((code, told.as_str()), (0, ""));
    folder
}

fn words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Files that are no book, or a spoilt one, are told and left as they are, by every command.
#[test]
fn what_is_no_book_is_told_and_left() {
    let folder = workshop("bad-books");
    let good = fs::read(folder.join("good.sqlite")).unwrap();
    let mut damaged = good.clone();
    let middle = good.len() / 2;
    damaged[4096..middle].fill(0xaa);
    let mut newer = good.clone();
    newer[60..64].copy_from_slice(&99_u32.to_be_bytes());
    let other = folder.join("other.sqlite");
    Connection::open(&other)
        .unwrap()
        .execute_batch("CREATE TABLE songs (name TEXT); INSERT INTO songs VALUES ('one')")
        .unwrap();
    let cut_off = format!(
        "the book is cut off: {middle} bytes of {} are there",
        good.len()
    );
    let files: Vec<(&str, Vec<u8>, &str)> = vec![
        (
            "text.sqlite",
            b"name,actual\nslab,23\n".repeat(20),
            "is another kind of file, not a book; it is left as it is",
        ),
        (
            "short.sqlite",
            b"slab".to_vec(),
            "is another kind of file, not a book",
        ),
        (
            "other.sqlite",
            fs::read(&other).unwrap(),
            "is the database of another program, not a book",
        ),
        ("cut.sqlite", good[..middle].to_vec(), &cut_off),
        ("damaged.sqlite", damaged, "the book is damaged ("),
        (
            "newer.sqlite",
            newer,
            "a later version of outwind (its form is 99, this one knows 1)",
        ),
    ];
    for (name, bytes, message) in &files {
        let path = folder.join(name);
        fs::write(&path, bytes).unwrap();
        for command in commands(name) {
            let (_, code, told) = run(&folder, &command);
            assert!(words(&told).contains(message), "{command:?}: {told}");
            assert!(
                told.starts_with(&format!("{name}: ")) && code == 2,
                "{told}"
            );
            assert!(
                told.lines().all(|line| line.chars().count() <= 80),
                "{told}"
            );
            assert!(
                fs::read(&path).unwrap() == *bytes,
                "{command:?} wrote to {name}"
            );
        }
    }
    let left: Vec<String> = fs::read_dir(&folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| {
            name.ends_with("-wal") || name.ends_with("-shm") || name.ends_with("-journal")
        })
        .collect();
    assert!(left.is_empty(), "{left:?}");
}

#[test]
fn a_path_where_no_book_can_be_is_told() {
    let folder = workshop("bad-paths");
    fs::create_dir(folder.join("folder.sqlite")).unwrap();
    for (name, message) in [
        ("folder.sqlite", "is a folder or a device, not a file"),
        (
            "nowhere/shop.sqlite",
            "its folder does not exist; make the folder first",
        ),
        (
            "smb://server/shop.sqlite",
            "the book would lie on a network drive",
        ),
    ] {
        for command in commands(name) {
            let (_, code, told) = run(&folder, &command);
            assert!(
                words(&told).contains(message) && code == 2,
                "{command:?}: {told}"
            );
        }
    }
    // Where there is none, only what notes begins one.
    fs::write(folder.join("empty.sqlite"), "").unwrap();
    for (name, message) in [
        (
            "none.sqlite",
            "there is no such book; check its name and folder",
        ),
        ("empty.sqlite", "the file is empty, so it holds no book"),
    ] {
        for command in [1, 2, 3, 5].map(|k| commands(name).swap_remove(k)) {
            let (_, code, told) = run(&folder, &command);
            assert!(
                words(&told).contains(message) && code == 2,
                "{command:?}: {told}"
            );
        }
        assert_eq!(run(&folder, &commands(name)[0]).1, 0);
    }
}

/// A write-protected book is read, and says why nothing is noted in it.
#[test]
fn a_protected_book_is_read_only() {
    let folder = workshop("protected");
    let path = folder.join("good.sqlite");
    let mut permissions = fs::metadata(&path).unwrap().permissions();
    permissions.set_readonly(true);
    fs::set_permissions(&path, permissions).unwrap();
    let before = fs::read(&path).unwrap();
    let codes: Vec<i32> = commands("good.sqlite")
        .iter()
        .map(|command| {
            let (_, code, told) = run(&folder, command);
            let refused = words(&told).contains("the book may only be read, so nothing was noted");
            assert_eq!(refused, code == 2, "{told}");
            code
        })
        .collect();
    assert_eq!(codes, [2, 2, 0, 2, 2, 0, 0, 0]);
    assert!(fs::read(&path).unwrap() == before);
}

/// A disk that takes no more, as far as a limit on the size of files stands for it.
#[cfg(target_os = "linux")]
#[test]
fn a_disk_that_takes_no_more_leaves_the_book_as_it_was() {
    let folder = folder("full");
    let path = folder.join("shop.sqlite");
    predicted(&path, 300);
    let limited =
        "trap '' XFSZ; ulimit -f 16; exec \"$0\" record 'board 7' --actual 23.5 --book shop.sqlite";
    let output = Command::new("sh")
        .args(["-c", limited, env!("CARGO_BIN_EXE_outwind")])
        .current_dir(&folder)
        .output()
        .unwrap();
    let told = words(&String::from_utf8(output.stderr).unwrap());
    println!("{told}");
    assert!(told.contains("so nothing was noted"), "{told}");
    assert_eq!((output.status.code(), output.stdout.len()), (Some(1), 0));
    assert_eq!(checked(&path), ("ok".to_owned(), 0));
    assert!(
        comparison(&path)
            .latest("board 7")
            .unwrap()
            .actual
            .is_none()
    );
    assert!(record(&path, "board 7").output().unwrap().status.success());
}

/// Out and in again is the same table, in an empty book and once more in the same.
#[test]
fn a_table_goes_out_and_in() {
    let folder = workshop("table");
    let ok = |arguments: &[&str]| {
        let (out, code, told) = run(&folder, arguments);
        assert_eq!((code, told.as_str()), (0, ""), "{arguments:?}");
        out
    };
    ok(&[
        "record",
        "board 1",
        "--actual",
        "23.5, 23.6",
        "--book",
        "good.sqlite",
    ]);
    ok(&[
        "predict",
        "board.csv",
        "--thickness",
        "1",
        "--book",
        "good.sqlite",
        "--name",
        "Eiche, geölt",
    ]);
    ok(&["book", "--undo", "--book", "good.sqlite"]);
    ok(&["book", "--out", "one.csv", "--book", "good.sqlite"]);
    ok(&["book", "--in", "one.csv", "--book", "copy.sqlite"]);
    ok(&["book", "--out", "two.csv", "--book", "copy.sqlite"]);
    let table = fs::read_to_string(folder.join("one.csv")).unwrap();
    assert_eq!(table, fs::read_to_string(folder.join("two.csv")).unwrap());
    let entries = |name: &str| {
        Book::open_to_read(&folder.join(name))
            .unwrap()
            .entries()
            .unwrap()
    };
    assert_eq!(entries("good.sqlite"), entries("copy.sqlite"));
    let again = ok(&["book", "--in", "one.csv", "--book", "copy.sqlite"]);
    assert_eq!(again, "Took in 0 entries; 5 were in the book already.\n");
    // As a spreadsheet of another country saves it.
    let semicolons = table
        .replace(';', "%")
        .replace(',', ";")
        .replace('.', ",")
        .replace('%', ";");
    let back = semicolons.replace("0,1,0", "0.1.0");
    fs::write(folder.join("three.csv"), back).unwrap();
    let (_, code, told) = run(
        &folder,
        &["book", "--in", "three.csv", "--book", "third.sqlite"],
    );
    assert_eq!(code, 0, "{told}");
    let plain = |name: &str| comparison(&folder.join(name)).pieces[1].prediction.plain;
    assert_eq!(plain("good.sqlite"), plain("third.sqlite"));
}

/// Every bad row is told, and nothing of the table is taken in.
#[test]
fn a_bad_table_is_refused_whole() {
    let folder = workshop("bad-table");
    run(
        &folder,
        &[
            "record",
            "board 1",
            "--actual",
            "23.5",
            "--book",
            "good.sqlite",
        ],
    );
    run(
        &folder,
        &["book", "--out", "table.csv", "--book", "good.sqlite"],
    );
    let table = fs::read_to_string(folder.join("table.csv")).unwrap();
    // The header names a column prediction; two rows keep their kind, the third does not.
    // The header names a column prediction; two rows keep their kind, the third does not.
    let bad = table
        .replace("24.001", "thick")
        .replace(",prediction,", ",guess,")
        .replacen(",guess,", ",prediction,", 3)
        .replace("2,23.5,23.5", "9,-1,23.5");
    fs::write(folder.join("bad.csv"), bad).unwrap();
    let (_, code, told) = run(
        &folder,
        &["book", "--in", "bad.csv", "--book", "new.sqlite"],
    );
    for wanted in [
        "bad.csv: ",
        "column plain_expected_mm: \"thick\"",
        "column kind: \"guess\"",
        "column thicknesses_mm: \"-1\"",
    ] {
        assert!(told.contains(wanted), "{wanted}: {told}");
    }
    assert_eq!(code, 2);
    assert!(!folder.join("new.sqlite").exists());
    fs::write(folder.join("names.csv"), "name,actual\nslab,23\n").unwrap();
    let (_, code, told) = run(
        &folder,
        &["book", "--in", "names.csv", "--book", "new.sqlite"],
    );
    assert!(
        told.contains("the first row does not name entry, kind") && code == 2,
        "{told}"
    );
}

/// A second survey of a piece takes the place of the first; an actual belongs to the last one before it; undoing brings
/// back what was there, and nothing is lost.
#[test]
fn surveys_pieces_and_actuals_belong_together() {
    let path = folder("surveys").join("shop.sqlite");
    let mut book = Book::open_or_begin(&path).unwrap();
    let mut note = |content| {
        let noted = book.note(&made("2026-11-25T08:00:00Z"), |_| {
            Ok::<_, ()>(vec![content])
        });
        noted.unwrap().unwrap()[0]
    };
    note(prediction("slab", 25.0));
    note(prediction("slab", 24.5));
    drop(book);
    let recorded = record(&path, "SLAB").output().unwrap();
    assert!(recorded.status.success(), "{recorded:?}");
    let folder = path.parent().unwrap();
    let state = || -> Vec<(Option<f64>, bool)> {
        comparison(&path)
            .pieces
            .iter()
            .map(|p| (p.actual, p.replaced))
            .collect()
    };
    assert_eq!(state(), [(None, true), (Some(23.5), false)]);
    // Day two: the rough-milled piece is predicted and recorded once more.
    predicted(&path, 0);
    let mut book = Book::open(&path).unwrap();
    book.note(&made("2026-11-26T08:00:00Z"), |_| {
        Ok::<_, ()>(vec![prediction("slab", 22.0)])
    })
    .unwrap()
    .unwrap();
    drop(book);
    let arguments = [
        "record",
        "slab",
        "--actual",
        "21.9",
        "--book",
        "shop.sqlite",
    ];
    assert_eq!(run(folder, &arguments).1, 0);
    assert_eq!(
        state(),
        [(None, true), (Some(23.5), false), (Some(21.9), false)]
    );
    let entries = || Book::open_to_read(&path).unwrap().entries().unwrap();
    let all = entries().len();
    for _ in 0..2 {
        assert_eq!(
            run(folder, &["book", "--undo", "--book", "shop.sqlite"]).1,
            0
        );
    }
    assert_eq!(state(), [(None, true), (Some(23.5), false)]);
    assert_eq!(entries().len(), all);
    assert_eq!(entries().iter().filter(|e| e.undone.is_some()).count(), 2);
}

/// A shop that lost 2 mm on each of twenty boards, as sure as a prediction can be.
fn constant_loss(path: &Path) {
    let mut book = Book::open_or_begin(path).unwrap();
    for board in 0..20 {
        let Content::Prediction(mut content) = prediction(&format!("old {board}"), 25.0) else {
            unreachable!()
        };
        content.plain = Interval {
            expected: 25.0,
            low: 24.9,
            high: 25.1,
        };
        content.stated = content.plain;
        let mut note = |content: Content| {
            let noted = book.note(&made("2026-11-25T08:00:00Z"), |_| {
                Ok::<_, ()>(vec![content])
            });
            noted.unwrap().unwrap()[0]
        };
        let number = note(Content::Prediction(content));
        note(Content::Actual(Actual {
            prediction: number,
            thicknesses: vec![23.0],
            rounding: 0.05,
            sure: false,
        }));
    }
}

fn number(document: &Value, path: &str) -> f64 {
    document.pointer(path).and_then(Value::as_f64).unwrap()
}

/// Each command that states a thickness moves it by what the model says of the shop, no more and no less; told to leave the
/// loss out, it states what it states without a book.
#[test]
fn every_stated_thickness_moves_by_the_learnt_loss() {
    let folder = folder("stated");
    let path = folder.join("shop.sqlite");
    constant_loss(&path);
    let scan = |name: &str| {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-scans");
        path.join(name).display().to_string()
    };
    let (larch, list) = (scan("laerche.csv"), folder.join("list.csv"));
    fs::write(
        &list,
        "part,count,length_mm,width_mm,thickness_mm\nshelf,1,700,120,22\n",
    )
    .unwrap();
    let list = list.display().to_string();
    let board = [larch.as_str(), "--thickness", "38", "--json"];
    let shimmed = Some("shimmed".to_owned());
    let learnt = |species: Option<&str>| {
        let labels = [None, species.map(str::to_owned), shimmed.clone()];
        comparison(&path).shortfall(&labels)
    };
    let loss = learnt(None);
    assert!((loss.mean - 2.0).abs() < 0.1 && loss.sd < 0.6, "{loss:?}");
    // Flattening is moved in closed form; the pieces of a cut by draws of it, so nearly.
    let (exactly, nearly) = (1e-6, 0.1);
    let [none, need, part]: [&[&str]; 3] = [&[], &["--need", "20"], &["--parts", &list]];
    for (command, more, place, within) in [
        ("flatten", none, "/survives/shimmed/expected_mm", exactly),
        ("flatten", none, "/survives/balanced/expected_mm", exactly),
        ("mill", need, "/pieces/0/expected_mm", exactly),
        ("mill", part, "/pieces/0/expected_mm", nearly),
        ("cut", none, "/ways/0/expected_mm", nearly),
        ("cut", part, "/thickness_by_length/0/expected_mm", nearly),
    ] {
        let answer = |book: &[&str]| -> Value {
            let arguments = [&[command][..], &board, more, book].concat();
            let (told, code, complaint) = run(&folder, &arguments);
            assert_eq!(code, 0, "{command}: {complaint}");
            serde_json::from_str(&told).unwrap()
        };
        let plain = answer(&[]);
        let with = answer(&["--book", "shop.sqlite"]);
        let moved = number(&plain, place) - number(&with, place);
        println!("{command} {place}: {moved:.4} of {:.4}", loss.mean);
        assert!(
            (moved - loss.mean).abs() < within,
            "{command} {place}: {moved}"
        );
        let said = |document: &Value| document["notes"].to_string().contains("own loss");
        assert!(said(&with) && !said(&plain), "{command}");
        assert_eq!(
            answer(&["--book", "shop.sqlite", "--without-loss"]),
            plain,
            "{command}"
        );
        if command == "flatten" {
            let [low, was] = [&with, &plain]
                .map(|d| number(d, place) - number(d, &place.replace("expected", "low")));
            assert!(
                (low - was.hypot(1.644_853_6 * loss.sd)).abs() < 1e-5,
                "{low} {was}"
            );
        }
    }
}

/// The thickness after each reading, and those of two surveys, of which the change and its error stay.
#[test]
fn the_running_thickness_and_those_of_two_surveys_move_too() {
    let folder = folder("stated-surveys");
    let path = folder.join("shop.sqlite");
    constant_loss(&path);
    let loss = comparison(&path).shortfall(&[None, None, Some("shimmed".to_owned())]);
    // One reading more; the sentences are in mm, to a tenth.
    let measured = |more: &[&str]| {
        fs::copy("sample-scans/ash-rested.toml", folder.join("ash.toml")).unwrap();
        let asked = ["measure", "ash.toml", "--stations", "3x3", "--write", "mm"];
        let mut child = outwind(&[&asked, more].concat())
            .current_dir(&folder)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut typed = child.stdin.take().unwrap();
        typed.write_all(b"11/32\nstop\n").unwrap();
        drop(typed);
        String::from_utf8(child.wait_with_output().unwrap().stdout).unwrap()
    };
    let compared = |more: &[&str]| {
        let asked = ["moved", "ash.toml", "--write", "mm"];
        let (told, code, complaint) = run(&folder, &[&asked, more].concat());
        assert_eq!(code, 0, "{complaint}");
        told
    };
    let running = |told: &str| -> f64 {
        let (_, after) = told.split_once("Comes out at ").unwrap();
        after.split_once(" mm").unwrap().0.parse().unwrap()
    };
    let survives = |told: &str| -> Vec<String> {
        let row = told
            .lines()
            .find(|l| l.trim_start().starts_with("survives"));
        row.unwrap()
            .split_whitespace()
            .skip(1)
            .map(str::to_owned)
            .collect()
    };
    let number = |text: &String| text.parse::<f64>().unwrap();
    let nothing: &[&str] = &[];
    let [book, without]: [&[&str]; 2] = [
        &["--book", "shop.sqlite"],
        &["--book", "shop.sqlite", "--without-loss"],
    ];
    let (plain, with) = (measured(nothing), measured(book));
    let moved = running(&plain) - running(&with);
    assert!((moved - loss.mean).abs() <= 0.11, "{plain}{with}");
    assert_eq!(measured(without), plain);
    let said = "The shop's own loss of";
    assert!(with.contains(said) && !plain.contains(said), "{with}");

    let (plain, with) = (compared(nothing), compared(book));
    let (was, is) = (survives(&plain), survives(&with));
    for (was, is) in [(&was[0], &is[0]), (&was[2], &is[2])] {
        let moved = number(was) - number(is);
        assert!((moved - loss.mean).abs() <= 0.11, "{plain}{with}");
    }
    assert_eq!(was[4..], is[4..], "{plain}{with}");
    assert_eq!(compared(without), plain);
    assert!(with.contains(said) && !plain.contains(said), "{with}");
}

/// A book that knows three boards moves nothing, and the commands say what it waits for.
#[test]
fn a_book_that_knows_too_little_moves_nothing() {
    let folder = folder("little");
    predicted(&folder.join("shop.sqlite"), 3);
    for board in 0..3 {
        let path = folder.join("shop.sqlite");
        assert!(
            record(&path, &format!("board {board}"))
                .output()
                .unwrap()
                .status
                .success()
        );
    }
    let scan = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-scans/laerche.csv");
    let scan = scan.display().to_string();
    for more in [&["flatten"][..], &["mill", "--need", "20"]] {
        let board = [scan.as_str(), "--thickness", "38"];
        let plain = run(&folder, &[more, &board].concat()).0;
        let told = run(
            &folder,
            &[more, &board, &["--book", "shop.sqlite"]].concat(),
        )
        .0;
        assert_eq!(plain.lines().next(), told.lines().next());
        assert!(told.contains("The book holds 3 of the 4 boards"), "{told}");
    }
}

/// What to buy goes by the book's rough boards and what came of them: 30 mm came out at 23 mm twenty times, so that 1-1/4 in
/// (31.75 mm) makes 24.5 mm in all of them, by the rule of succession 21 in 22, and 4/4 in none.
#[test]
fn what_to_buy_goes_by_the_book() {
    let folder = folder("buy");
    constant_loss(&folder.join("shop.sqlite"));
    let asked = [
        "buy", "--unit", "mm", "--need", "24.5", "--length", "2000", "--width", "150", "--json",
    ];
    let answer = |more: &[&str]| -> Value {
        let (told, code, complaint) = run(&folder, &[&asked, more].concat());
        assert_eq!(code, 0, "{complaint}");
        serde_json::from_str(&told).unwrap()
    };
    let book = answer(&["--book", "shop.sqlite"]);
    assert_eq!(
        (&book["own_record"], &book["recorded"]),
        (&Value::Bool(true), &20.into())
    );
    assert_eq!(book["advised_quarters"], 5);
    let chances: Vec<(u64, f64)> = book["choices"]
        .as_array()
        .unwrap()
        .iter()
        .map(|c| {
            (
                c["quarters"].as_u64().unwrap(),
                c["chance"].as_f64().unwrap(),
            )
        })
        .collect();
    assert_eq!(chances[..2], [(4, 1.0 / 22.0), (5, 21.0 / 22.0)]);
    let losses = ["7"; 20].join(",");
    assert_eq!(answer(&["--losses", &losses]), book);
    assert_eq!(
        answer(&["--book", "shop.sqlite", "--without-loss"]),
        answer(&[])
    );
}

/// The manual's sessions, in a folder with the sample scans.
#[test]
fn the_manual_shows_what_the_program_prints() {
    let folder = folder("manual");
    let inside = folder.join("book.in");
    fs::create_dir_all(inside.join("sample-scans")).unwrap();
    for entry in fs::read_dir("sample-scans").unwrap() {
        let path = entry.unwrap().path();
        fs::copy(
            &path,
            inside.join("sample-scans").join(path.file_name().unwrap()),
        )
        .unwrap();
    }
    fs::copy("docs/book.md", folder.join("book.md")).unwrap();
    trycmd::TestCases::new().case(folder.join("book.md"));
}
