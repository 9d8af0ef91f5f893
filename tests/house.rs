//! The house rules, read off the source text.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

use std::fs;
use std::path::{Path, PathBuf};

/// The modules in the order in which a board travels: each uses those before it, never those after.
const ORDER: [&str; 13] = [
    "length", "readings", "board", "surface", "warp", "flatten", "shop", "cutting", "milling",
    "book", "report", "view", "cli",
];

/// An outside name, and the only modules in which it may stand. `main` is the program itself.
const OWNED: [(&str, &[&str]); 14] = [
    ("nalgebra", &["surface"]),
    ("parry3d_f64", &["flatten"]),
    ("csv_core", &["readings"]),
    ("csv::", &["readings", "book"]),
    ("encoding_rs", &["readings"]),
    ("kiss3d", &["view"]),
    ("rusqlite", &["book"]),
    ("clap", &["cli", "main"]),
    ("textwrap", &["report"]),
    ("serde_json", &["report"]),
    ("std::fs", &["book", "view", "cli"]),
    ("std::time", &["book", "view", "cli"]),
    ("std::thread", &["view", "cli"]),
    ("std::env", &["cli", "main"]),
];

/// Types of outside libraries that no public signature may carry.
const FOREIGN: [&str; 5] = ["DMatrix", "DVector", "Vector", "Pose", "StringRecord"];

const MOST_LINES: usize = 400;

struct Source {
    path: PathBuf,
    module: String,
    text: String,
}

fn sources() -> Vec<Source> {
    let mut found = Vec::new();
    let mut folders = vec![PathBuf::from("src")];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "rs") {
                let within = path.strip_prefix("src").unwrap();
                let first = within.components().next().unwrap().as_os_str();
                let module = Path::new(first)
                    .file_stem()
                    .unwrap()
                    .to_string_lossy()
                    .into_owned();
                let text = fs::read_to_string(&path).unwrap();
                found.push(Source { path, module, text });
            }
        }
    }
    assert!(found.len() > 20, "the source was found");
    found
}

/// Lines of code with their numbers, comments left out.
fn code(source: &Source) -> impl Iterator<Item = (usize, &str)> {
    source
        .text
        .lines()
        .enumerate()
        .map(|(i, line)| (i + 1, line.split("//").next().unwrap_or("")))
}

fn hold(rule: &str, broken: impl Fn(&Source) -> Vec<(usize, String)>) {
    let faults: Vec<String> = sources()
        .iter()
        .flat_map(|s| {
            broken(s)
                .into_iter()
                .map(|(line, what)| format!("{}:{line}: {what}", s.path.display()))
                .collect::<Vec<_>>()
        })
        .collect();
    assert!(faults.is_empty(), "{rule}\n{}", faults.join("\n"));
}

#[test]
fn a_module_uses_only_those_above_it() {
    hold(
        "a module uses those above it in the house, never those below",
        |source| {
            let Some(own) = ORDER.iter().position(|m| *m == source.module) else {
                assert!(
                    ["lib", "main"].contains(&source.module.as_str()),
                    "{} has no place in the order",
                    source.module
                );
                return Vec::new();
            };
            let below = &ORDER[own + 1..];
            code(source)
                .flat_map(|(line, text)| {
                    below
                        .iter()
                        .filter(move |m| text.contains(&format!("crate::{m}")))
                        .map(move |m| (line, format!("uses {m}")))
                })
                .collect()
        },
    );
}

#[test]
fn each_outside_name_has_its_owners() {
    hold(
        "an outside library, and the world outside, have their own modules",
        |source| {
            code(source)
                .flat_map(|(line, text)| {
                    OWNED
                        .iter()
                        .filter(|(name, owners)| {
                            text.contains(name) && !owners.contains(&source.module.as_str())
                        })
                        .map(move |(name, owners)| {
                            (line, format!("uses {name}, which belongs to {owners:?}"))
                        })
                })
                .collect()
        },
    );
}

#[test]
fn only_the_command_line_prints() {
    hold(
        "only cli and main print, and only main ends the process",
        |source| {
            code(source)
                .filter(|(_, text)| {
                    let prints = [
                        "println!",
                        "eprintln!",
                        "print!",
                        "io::stdout",
                        "io::stderr",
                    ];
                    prints.iter().any(|p| text.contains(p)) && source.module != "main"
                        || text.contains("process::exit")
                })
                .map(|(line, text)| (line, text.trim().to_owned()))
                .collect()
        },
    );
}

#[test]
fn no_foreign_type_in_a_public_signature() {
    hold(
        "no outside library's type stands in a public signature",
        |source| {
            code(source)
                .filter(|(_, text)| {
                    let text = text.trim_start();
                    let public = text.starts_with("pub fn") || text.starts_with("pub const fn");
                    let field =
                        text.starts_with("pub ") && text.contains(':') && !text.contains("use");
                    (public || field)
                        && FOREIGN.iter().any(|f| {
                            text.split(|c: char| !c.is_alphanumeric())
                                .any(|word| word == *f)
                        })
                })
                .map(|(line, text)| (line, text.trim().to_owned()))
                .collect()
        },
    );
}

#[test]
fn a_file_does_one_thing() {
    hold("a file does one thing", |source| {
        let lines = source.text.lines().count();
        if lines > MOST_LINES {
            vec![(lines, format!("{lines} lines"))]
        } else {
            Vec::new()
        }
    });
}

#[test]
fn nothing_is_left_for_later() {
    hold("nothing half done stands in the source", |source| {
        source
            .text
            .lines()
            .enumerate()
            .filter(|(_, text)| {
                ["TODO", "FIXME", "unimplemented!", "todo!"]
                    .iter()
                    .any(|w| text.contains(w))
            })
            .map(|(i, text)| (i + 1, text.trim().to_owned()))
            .collect()
    });
}
