//! The house rules, read off the source text. Each rule is a function from one file to what breaks it there, so that
//! it can also be tried on a file that breaks it.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

use std::fs;
use std::path::{Path, PathBuf};

/// The modules in the order in which a board travels: each uses those before it, never those after.
const ORDER: [&str; 13] = [
    "length", "readings", "board", "surface", "warp", "flatten", "shop", "cutting", "milling",
    "book", "report", "view", "cli",
];

/// An outside name, and the only modules in which it may stand. `main` is the program itself.
const OWNED: [(&str, &[&str]); 23] = [
    ("nalgebra", &["surface"]),
    ("parry3d", &["flatten"]),
    ("csv_core", &["readings"]),
    ("csv::", &["readings", "book"]),
    ("encoding_rs", &["readings"]),
    ("toml_edit", &["readings"]),
    ("ply_rs_bw", &["readings"]),
    ("flate2", &["readings"]),
    ("strsim", &["readings"]),
    ("kiss3d", &["view"]),
    ("png::", &["view"]),
    ("rusqlite", &["book"]),
    ("clap", &["cli", "main"]),
    ("signal_hook", &["cli"]),
    ("rustyline", &["cli"]),
    ("textwrap", &["report"]),
    ("serde_json", &["report"]),
    ("std::fs", &["book", "view", "cli"]),
    ("std::time", &["book", "view", "cli"]),
    ("std::thread", &["view", "cli"]),
    ("std::env", &["cli", "main"]),
    ("std::process", &["cli", "main"]),
    ("std::net", &[]),
];

/// What prints; only `cli` and `main` may hold it.
const PRINTING: [&str; 6] = [
    "println!",
    "print!",
    "eprint!",
    "dbg!",
    "io::stdout",
    "io::stderr",
];

/// Types and names of outside libraries that no public signature may carry.
const FOREIGN: [&str; 22] = [
    "nalgebra",
    "DMatrix",
    "DVector",
    "Matrix",
    "parry3d_f64",
    "Vector",
    "Point3",
    "Isometry3",
    "Pose",
    "csv",
    "StringRecord",
    "ByteRecord",
    "clap",
    "serde_json",
    "rusqlite",
    "kiss3d",
    "egui",
    "Vec3",
    "encoding_rs",
    "toml_edit",
    "Document",
    "DocumentMut",
];

/// In two parts each, so that this file does not hold them.
const UNFINISHED: [&str; 4] = [
    concat!("TO", "DO"),
    concat!("FIX", "ME"),
    concat!("unimple", "mented"),
    concat!("to", "do!"),
];

const MOST_LINES: usize = 400;

/// One file of the project.
struct Source {
    path: PathBuf,
    text: String,
}

/// The line, and what is wrong with it.
type Fault = (usize, String);

impl Source {
    fn new(path: &str, text: &str) -> Self {
        Self {
            path: path.into(),
            text: text.to_owned(),
        }
    }

    /// The module that a file of `src` belongs to.
    fn module(&self) -> String {
        let within = self.path.strip_prefix("src").unwrap();
        let first = Path::new(within.components().next().unwrap().as_os_str());
        first.file_stem().unwrap().to_string_lossy().into_owned()
    }

    fn is_root_of_module(&self) -> bool {
        self.path.ends_with("mod.rs") || self.path.parent() == Some(Path::new("src"))
    }

    /// Lines with their numbers, comments left out.
    fn code(&self) -> impl Iterator<Item = (usize, &str)> {
        let numbered = self.text.lines().enumerate();
        numbered.map(|(i, line)| (i + 1, line.split("//").next().unwrap_or("")))
    }

    fn lines_with(&self, words: &[&str]) -> Vec<Fault> {
        self.code()
            .filter(|(_, text)| words.iter().any(|word| text.contains(word)))
            .map(|(line, text)| (line, text.trim().to_owned()))
            .collect()
    }

    /// The signatures and fields that are public beyond the crate, each in one piece, with its first line.
    fn public_signatures(&self) -> Vec<Fault> {
        let mut found: Vec<Fault> = Vec::new();
        let mut open = false;
        for (line, text) in self.code() {
            let text = text.trim();
            if !open && text.starts_with("pub ") && !text.starts_with("pub use") {
                found.push((line, String::new()));
                open = true;
            }
            if open && let Some((_, signature)) = found.last_mut() {
                signature.push_str(text);
                signature.push(' ');
                // A field ends with its comma; a comma within brackets does not end a function's signature.
                let level = signature.matches('(').count() == signature.matches(')').count();
                open = !(text.ends_with(['{', ';', '}']) || level && text.ends_with(','));
            }
        }
        found
    }
}

fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| !c.is_alphanumeric() && c != '_')
}

/// The files under a folder whose names end so.
fn files(folder: &str, ending: &str) -> Vec<Source> {
    let mut found = Vec::new();
    let mut folders = vec![PathBuf::from(folder)];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.to_string_lossy().ends_with(ending) {
                let text = fs::read_to_string(&path).unwrap();
                found.push(Source { path, text });
            }
        }
    }
    found
}

/// Fails with file, line and rule where a file of `sources` breaks it.
fn hold(rule: &str, sources: &[Source], broken: impl Fn(&Source) -> Vec<Fault>) {
    let faults: Vec<String> = sources
        .iter()
        .flat_map(|source| {
            let told = move |(line, what)| format!("{}:{line}: {what}", source.path.display());
            broken(source).into_iter().map(told)
        })
        .collect();
    assert!(faults.is_empty(), "{rule}\n{}", faults.join("\n"));
}

fn source() -> Vec<Source> {
    let found = files("src", ".rs");
    assert!(found.len() > 20, "the source was found");
    found
}

fn uses_a_module_below(source: &Source) -> Vec<Fault> {
    let module = source.module();
    let own = ORDER.iter().position(|m| *m == module);
    let below = match own {
        Some(own) => &ORDER[own + 1..],
        None if module == "lib" => return Vec::new(),
        // The program sees the house from outside, through the command line.
        None if module == "main" => &ORDER[..ORDER.len() - 1],
        None => return vec![(1, format!("{module} has no place in the order"))],
    };
    // Another way to name a module would slip past the names: a list after `crate`, or a step up out of the module.
    let climbs = if source.is_root_of_module() {
        "super::"
    } else {
        "super::super::"
    };
    source
        .code()
        .flat_map(|(line, text)| {
            let named = below.iter().filter(move |m| {
                let follows = |root: &str| {
                    let mut rests = text.split(root).skip(1);
                    rests.any(|rest| words(rest).next() == Some(m))
                };
                follows("crate::") || follows("outwind::")
            });
            let slips = ["crate::{", "crate::*", climbs]
                .into_iter()
                .filter(move |way| text.contains(way));
            named
                .map(|m| format!("uses {m}"))
                .chain(slips.map(|way| format!("{way} hides which module it uses")))
                .map(move |what| (line, what))
                .collect::<Vec<_>>()
        })
        .collect()
}

fn uses_what_others_own(source: &Source) -> Vec<Fault> {
    let module = source.module();
    source
        .code()
        .flat_map(|(line, text)| {
            let module = module.as_str();
            OWNED
                .iter()
                .filter(move |(name, owners)| text.contains(name) && !owners.contains(&module))
                .map(move |(name, owners)| {
                    (line, format!("uses {name}, which belongs to {owners:?}"))
                })
        })
        .chain(source.lines_with(&["std::{"]))
        .collect()
}

fn prints(source: &Source) -> Vec<Fault> {
    let mut faults = source.lines_with(&["process::exit"]);
    if !["cli", "main"].contains(&source.module().as_str()) {
        faults.extend(source.lines_with(&PRINTING));
    }
    faults
}

fn shows_a_foreign_type(source: &Source) -> Vec<Fault> {
    let mut signatures = source.public_signatures();
    signatures.retain(|(_, text)| words(text).any(|word| FOREIGN.contains(&word)));
    signatures
}

/// What the view may show comes from these modules' records; it asks none of their questions.
fn computes_in_the_view(source: &Source) -> Vec<Fault> {
    if source.module() != "view" {
        return Vec::new();
    }
    let mut faults = source.lines_with(&[
        "crate::surface",
        "crate::warp",
        "crate::cutting",
        "crate::shop",
        "crate::milling",
        "crate::book",
        "crate::report",
        "Answer::new",
        "Relief::new",
        "Board::new",
        "from_record",
        "flatten(",
        "known(",
        "chance(",
        "nalgebra",
        "parry3d",
    ]);
    // A drawing for paper is shown as it is.
    faults.retain(|(_, text)| !text.contains("crate::report::sheet::"));
    faults
}

fn is_long(source: &Source) -> Vec<Fault> {
    let lines = source.text.lines().count();
    if lines > MOST_LINES {
        vec![(lines, format!("{lines} lines, more than {MOST_LINES}"))]
    } else {
        Vec::new()
    }
}

fn is_unsafe(source: &Source) -> Vec<Fault> {
    let unsafe_word = |text: &str| words(text).any(|word| word == concat!("un", "safe"));
    source
        .code()
        .filter(|(_, text)| unsafe_word(text))
        .map(|(line, text)| (line, text.trim().to_owned()))
        .collect()
}

fn is_unfinished(source: &Source) -> Vec<Fault> {
    let lines = source.text.lines().enumerate();
    lines
        .filter(|(_, text)| UNFINISHED.iter().any(|word| text.contains(word)))
        .map(|(i, text)| (i + 1, text.trim().to_owned()))
        .collect()
}

#[test]
fn a_module_uses_only_those_above_it() {
    hold(
        "a module uses those above it in the house, never those below",
        &source(),
        uses_a_module_below,
    );
}

#[test]
fn each_outside_name_has_its_owners() {
    hold(
        "an outside library, and the world outside, have their own modules",
        &source(),
        uses_what_others_own,
    );
}

#[test]
fn only_the_command_line_prints() {
    hold(
        "only cli and main print, and nothing ends the process but the end of main",
        &source(),
        prints,
    );
}

#[test]
fn no_foreign_type_in_a_public_signature() {
    hold(
        "no outside library's type stands in a public signature",
        &source(),
        shows_a_foreign_type,
    );
}

#[test]
fn the_view_computes_nothing() {
    hold(
        "the view shows what other modules found, and asks them nothing",
        &source(),
        computes_in_the_view,
    );
}

#[test]
fn a_file_does_one_thing() {
    hold("a file does one thing", &source(), is_long);
}

#[test]
fn nothing_is_unsafe() {
    hold("no unsafe code", &source(), is_unsafe);
}

#[test]
fn nothing_is_left_for_later() {
    let mut project = source();
    for (folder, ending) in [
        ("tests", ".rs"),
        ("tests", ".md"),
        ("docs", ".md"),
        ("sample-scans", ".md"),
        (".ci", ""),
    ] {
        project.extend(files(folder, ending));
    }
    for file in ["README.md", "DEVELOPERS.md", "Cargo.toml"] {
        project.push(Source::new(file, &fs::read_to_string(file).unwrap()));
    }
    hold("nothing is left half done", &project, is_unfinished);
}

/// Each rule finds what breaks it, on its line, and nothing in what keeps it.
#[test]
fn the_rules_can_be_broken() {
    type Rule = fn(&Source) -> Vec<Fault>;
    let broken: [(Rule, &str, &str); 26] = [
        (
            uses_a_module_below,
            "src/length/a.rs",
            "use crate::board::Board;",
        ),
        (
            uses_a_module_below,
            "src/report/text.rs",
            "let x = crate::cli::run();",
        ),
        (
            uses_a_module_below,
            "src/board/mod.rs",
            "use crate::{board, cli};",
        ),
        (
            uses_a_module_below,
            "src/board/mod.rs",
            "use super::cli::run;",
        ),
        (
            uses_a_module_below,
            "src/board/a.rs",
            "use super::super::cli::run;",
        ),
        (
            uses_a_module_below,
            "src/main.rs",
            "use outwind::flatten::flatten;",
        ),
        (uses_a_module_below, "src/extra.rs", "fn stray() {}"),
        (
            uses_what_others_own,
            "src/flatten/a.rs",
            "use nalgebra::DMatrix;",
        ),
        (
            uses_what_others_own,
            "src/surface/a.rs",
            "use parry3d_f64::math::Vector;",
        ),
        (
            uses_what_others_own,
            "src/cli/a.rs",
            "let r = csv::Reader::new();",
        ),
        (
            uses_what_others_own,
            "src/board/a.rs",
            "let text = std::fs::read(path);",
        ),
        (
            uses_what_others_own,
            "src/board/a.rs",
            "use std::{fs, env};",
        ),
        (
            uses_what_others_own,
            "src/report/a.rs",
            "std::process::abort();",
        ),
        (prints, "src/report/text.rs", "println!(\"{x}\");"),
        (prints, "src/report/text.rs", "let out = std::io::stdout();"),
        (prints, "src/cli/mod.rs", "std::process::exit(2);"),
        (
            shows_a_foreign_type,
            "src/surface/a.rs",
            "pub fn f(m: &DMatrix<f64>) -> f64 {",
        ),
        (
            shows_a_foreign_type,
            "src/surface/a.rs",
            "pub fn f(\n    m: &[f64],\n) -> nalgebra::DVector<f64> {",
        ),
        (
            shows_a_foreign_type,
            "src/flatten/a.rs",
            "pub normal: Vector,",
        ),
        (
            shows_a_foreign_type,
            "src/flatten/a.rs",
            "pub struct A(pub Vector);",
        ),
        (
            shows_a_foreign_type,
            "src/readings/a.rs",
            "pub type Row = csv::StringRecord;",
        ),
        (
            computes_in_the_view,
            "src/view/a.rs",
            "let answer = Answer::new(&board, &question);",
        ),
        (is_unsafe, "src/board/a.rs", concat!("un", "safe { f() }")),
        (
            is_unfinished,
            "docs/a.md",
            concat!("To be written: TO", "DO"),
        ),
        (
            is_unfinished,
            "src/board/a.rs",
            concat!("unimple", "mented!()"),
        ),
        (
            is_unfinished,
            "src/board/a.rs",
            concat!("// FIX", "ME: later"),
        ),
    ];
    for (rule, path, line) in broken {
        let faults = rule(&Source::new(path, &format!("//! A file.\n{line}\n}}\n")));
        let at: Vec<usize> = faults.iter().map(|fault| fault.0).collect();
        let wanted = if path == "src/extra.rs" { 1 } else { 2 };
        assert_eq!(at.first(), Some(&wanted), "{path}: {line}");
    }
    assert_eq!(
        is_long(&Source::new("src/a.rs", &"\n".repeat(401))).len(),
        1
    );
    let kept: [(Rule, &str, &str); 8] = [
        (
            uses_a_module_below,
            "src/report/text.rs",
            "use crate::flatten::Answer;",
        ),
        (uses_a_module_below, "src/board/a.rs", "use super::Side;"),
        (
            uses_a_module_below,
            "src/length/a.rs",
            "// as crate::board does",
        ),
        (
            uses_what_others_own,
            "src/flatten/a.rs",
            "use parry3d_f64::math::Vector;",
        ),
        (
            prints,
            "src/main.rs",
            "let _ = writeln!(io::stderr(), \"{problem}\");",
        ),
        (
            shows_a_foreign_type,
            "src/surface/a.rs",
            "pub(super) fn f(m: &DMatrix<f64>) {",
        ),
        (
            shows_a_foreign_type,
            "src/surface/a.rs",
            "pub fn f(x: f64) -> f64 {\n    let v: Vector = g(x);",
        ),
        (
            shows_a_foreign_type,
            "src/surface/a.rs",
            "pub struct A {\n    pub x: f64,\n    inner: DMatrix<f64>,",
        ),
    ];
    for (rule, path, line) in kept {
        let faults = rule(&Source::new(path, &format!("//! A file.\n{line}\n}}\n")));
        assert!(faults.is_empty(), "{path}: {line}: {faults:?}");
    }
}
