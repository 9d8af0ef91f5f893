//! What the program is built from: the licence of every package, and where it comes from.
//!
//! Known weaknesses of packages are looked up by `.ci/run`, where the list of them can be reached.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

use std::collections::BTreeSet;
use std::process::Command;

use serde_json::Value;

/// Licences that any package may have: they ask for no more than that their text goes along, or for nothing.
const ALLOWED: [&str; 11] = [
    "0BSD",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "CC0-1.0",
    "ISC",
    "MIT",
    "MIT-0",
    "Unlicense",
    "Zlib",
];

/// Licences that single packages have beside, and why that is borne.
const EXCEPTIONS: [(&str, &str, &str); 6] = [
    (
        "unicode-ident",
        "Unicode-3.0",
        "tables of characters, used while building alone",
    ),
    (
        "epaint_default_fonts",
        "OFL-1.1",
        "fonts of the window: free to go along with a program",
    ),
    (
        "epaint_default_fonts",
        "Ubuntu-font-1.0",
        "fonts of the window: free to go along with a program",
    ),
    (
        "libfuzzer-sys",
        "NCSA",
        "the lock file names it for a fuzzer of one of the packages; it is built into nothing",
    ),
    (
        "clipboard-win",
        "BSL-1.0",
        "the clipboard on Windows alone; asks for nothing of a built program",
    ),
    (
        "error-code",
        "BSL-1.0",
        "goes with the clipboard on Windows; asks for nothing of a built program",
    ),
];

/// The one registry from which packages come.
const REGISTRY: &str = "registry+https://github.com/rust-lang/crates.io-index";

/// Every package that any feature, platform or test needs, as the lock file fixes them.
fn packages() -> Vec<Value> {
    let run = Command::new(env!("CARGO"))
        .args([
            "metadata",
            "--format-version",
            "1",
            "--locked",
            "--all-features",
        ])
        .output()
        .unwrap();
    assert!(
        run.status.success(),
        "{}",
        String::from_utf8_lossy(&run.stderr)
    );
    let metadata: Value = serde_json::from_slice(&run.stdout).unwrap();
    metadata["packages"].as_array().unwrap().clone()
}

/// Whether a licence expression (SPDX 2.3, annex D; a slash is its older `OR`) is met by licences that `may` be used.
fn is_met(expression: &str, may: &dyn Fn(&str) -> bool) -> bool {
    let spaced = expression
        .replace('/', " OR ")
        .replace('(', " ( ")
        .replace(')', " ) ");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let (met, rest) = any_of(&words, may);
    assert!(rest.is_empty(), "{expression}");
    met
}

fn any_of<'w>(words: &'w [&'w str], may: &dyn Fn(&str) -> bool) -> (bool, &'w [&'w str]) {
    let (mut met, mut rest) = all_of(words, may);
    while let ["OR", more @ ..] = rest {
        let (other, after) = all_of(more, may);
        met |= other;
        rest = after;
    }
    (met, rest)
}

fn all_of<'w>(words: &'w [&'w str], may: &dyn Fn(&str) -> bool) -> (bool, &'w [&'w str]) {
    let (mut met, mut rest) = one(words, may);
    while let ["AND", more @ ..] = rest {
        let (other, after) = one(more, may);
        met &= other;
        rest = after;
    }
    (met, rest)
}

fn one<'w>(words: &'w [&'w str], may: &dyn Fn(&str) -> bool) -> (bool, &'w [&'w str]) {
    match words {
        ["(", inner @ ..] => {
            let (met, rest) = any_of(inner, may);
            (met, rest.strip_prefix(&[")"]).unwrap())
        }
        [licence, "WITH", exception, rest @ ..] => {
            (may(&format!("{licence} WITH {exception}")), rest)
        }
        [licence, rest @ ..] => (may(licence), rest),
        [] => panic!("a licence is missing"),
    }
}

#[test]
fn every_licence_is_allowed_or_borne_for_a_reason() {
    let packages = packages();
    let mut used = BTreeSet::new();
    for package in &packages {
        let name = package["name"].as_str().unwrap();
        let licence = package["license"].as_str().unwrap_or_default();
        assert!(!licence.is_empty(), "{name} names no licence");
        let borne = |licence: &str| EXCEPTIONS.iter().any(|e| (e.0, e.1) == (name, licence));
        if !is_met(licence, &|l| ALLOWED.contains(&l)) {
            assert!(
                is_met(licence, &|l| ALLOWED.contains(&l) || borne(l)),
                "{name}: {licence}"
            );
            used.insert(name);
        }
    }
    println!("{} packages", packages.len());
    let excepted: BTreeSet<&str> = EXCEPTIONS.iter().map(|e| e.0).collect();
    assert_eq!(
        used, excepted,
        "an exception that nothing needs is struck off"
    );
}

#[test]
fn every_package_comes_from_the_registry() {
    let mut own = Vec::new();
    for package in packages() {
        match package["source"].as_str() {
            Some(source) => assert_eq!(source, REGISTRY, "{}", package["name"]),
            None => own.push(package["name"].as_str().unwrap().to_owned()),
        }
    }
    assert_eq!(own, ["outwind"]);
}

/// What the manifest asks for is bounded: a version, and the features that are used.
#[test]
fn the_manifest_asks_for_versions() {
    let packages = packages();
    let own = packages.iter().find(|p| p["name"] == "outwind").unwrap();
    for dependency in own["dependencies"].as_array().unwrap() {
        let name = &dependency["name"];
        assert_ne!(dependency["req"], "*", "{name}");
        assert!(dependency["path"].is_null(), "{name}");
    }
}

#[test]
fn licence_expressions_are_understood() {
    let may = |licence: &str| ["MIT", "Zlib", "Apache-2.0 WITH LLVM-exception"].contains(&licence);
    for (expression, met) in [
        ("MIT", true),
        ("GPL-3.0", false),
        ("GPL-3.0 OR MIT", true),
        ("GPL-3.0/MIT", true),
        ("GPL-3.0 AND MIT", false),
        ("GPL-3.0 AND MIT OR Zlib", true),
        ("GPL-3.0 AND (MIT OR Zlib)", false),
        ("(GPL-3.0 OR MIT) AND Zlib", true),
        ("Apache-2.0 WITH LLVM-exception OR Apache-2.0", true),
        ("Apache-2.0", false),
    ] {
        assert_eq!(is_met(expression, &may), met, "{expression}");
    }
}
