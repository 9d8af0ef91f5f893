//! The page for the machine: self-contained, and one sheet a piece when it is printed.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

#[allow(dead_code)]
#[path = "common/chromium.rs"]
mod chromium;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

use serde_json::Value;

/// A shop whose machines refuse nearly everything, which the page has to tell.
const SMALL_SHOP: &str = "unit = \"in\"\njointer = { width = 4, min-length = 90 }\n\
    planer = { width = 5, min-length = 100, max-thickness = 1 }\n\
    sled = { width = 6, max-length = 30, max-thickness = 1 }\n";

fn scratch(name: &str) -> PathBuf {
    Path::new(env!("CARGO_TARGET_TMPDIR")).join(name)
}

/// A page that the program wrote.
struct Page {
    name: &'static str,
    file: PathBuf,
    html: String,
    pieces: usize,
}

/// Every sort of page, written once.
fn pages() -> &'static [Page] {
    static PAGES: OnceLock<Vec<Page>> = OnceLock::new();
    PAGES.get_or_init(|| {
        let written = cases().into_iter().map(|(name, arguments, pieces)| {
            let file = scratch(&format!("{name}.html"));
            let run = Command::new(env!("CARGO_BIN_EXE_outwind"))
                .current_dir("sample-scans")
                .arg("mill")
                .args(arguments)
                .arg("--page")
                .arg(&file)
                .output()
                .unwrap();
            assert!(run.status.success(), "{run:?}");
            let html = fs::read_to_string(&file).unwrap();
            Page {
                name,
                file,
                html,
                pieces,
            }
        });
        written.collect()
    })
}

/// Name, arguments, pieces.
fn cases() -> Vec<(&'static str, Vec<String>, usize)> {
    let shop = scratch("small-shop.toml");
    fs::write(&shop, SMALL_SHOP).unwrap();
    let shop = shop.display().to_string();
    let own = |line: &str| line.split(' ').map(str::to_owned).collect::<Vec<String>>();
    let named =
        |line: &str, name: &str| [own(line), vec!["--name".to_owned(), name.to_owned()]].concat();
    let long_name = "the long board from behind the stove that nobody wanted & that <we> took";
    vec![
        ("oak", own("oak-bench.toml --need 1-1/4"), 1),
        (
            "walnut",
            own("walnut.csv --thickness 1-3/8 --need 1 --shop shop.toml"),
            1,
        ),
        (
            "walnut-a4",
            own("walnut.csv --thickness 1-3/8 --need 1 --shop shop.toml --paper a4"),
            1,
        ),
        (
            "refused",
            named(
                &format!("oak-bench.toml --need 1-1/4 --with jointer --shop {shop}"),
                long_name,
            ),
            1,
        ),
        (
            "refused-by-hand",
            named(
                &format!("walnut.csv --thickness 1-3/8 --need 1 --shop {shop}"),
                long_name,
            ),
            1,
        ),
        (
            "close-shims",
            own("beech-long.csv --thickness 1-3/4 --need 1 --with planer-sled --shim-every 3"),
            1,
        ),
        (
            "millimetres",
            own("laerche.csv --thickness 38 --need 25 --with jointer"),
            1,
        ),
        ("short", own("alder-bent.csv --thickness 1/2 --need 1/2"), 1),
        ("rails", own("oak-bench.toml --parts rails.csv"), 6),
    ]
}

#[test]
fn a_page_needs_nothing_beside_itself() {
    for Page {
        name, html, pieces, ..
    } in pages()
    {
        assert_eq!(html.matches("<section").count(), *pieces, "{name}");
        assert_eq!(
            html.matches("<td>").count(),
            5 * pieces,
            "{name}: a box a corner and one for the middle"
        );
        for outside in ["src=", "href=", "url(http", "@import", "<script"] {
            assert!(!html.contains(outside), "{name}: {outside}");
        }
        let names = html.matches("http://www.w3.org/2000/svg").count();
        assert_eq!(html.matches("http").count(), names, "{name}");
        assert!(html.contains("licensed practice come first"));
    }
}

/// Legible from a metre away: capitals of common sans-serif faces are 0.72 of the size (a fact of Arial, from memory), and signs
/// want 1/400 of the distance at the least (common practice, from memory): 3.5 mm type at a metre, and some more in a shop.
#[test]
fn steps_are_set_large_enough_to_read_at_the_machine() {
    for Page { name, html, .. } in pages() {
        let sizes = html.split("<section style=\"font-size: ").skip(1);
        for size in sizes.map(|rest| rest.split("mm").next().unwrap().parse::<f64>().unwrap()) {
            println!("{name}: {size} mm");
            assert!(size >= 4.2, "{name}: {size}");
        }
    }
}

/// The document for other programs: its keys, and that its numbers agree with one another.
#[test]
fn the_document_has_its_keys() {
    let run = Command::new(env!("CARGO_BIN_EXE_outwind"))
        .args([
            "mill",
            "sample-scans/walnut.csv",
            "--thickness",
            "1-3/8",
            "--need",
            "1",
            "--json",
        ])
        .args(["--shop", "sample-scans/shop.toml"])
        .output()
        .unwrap();
    let document: Value = serde_json::from_slice(&run.stdout).unwrap();
    let piece = &document["pieces"][0];
    let number = |value: &Value| value.as_f64().unwrap();
    assert_eq!(
        (piece["first_machine"].as_str(), piece["verdict"].as_str()),
        (Some("router sled"), Some("carries"))
    );
    assert_eq!(piece["refused"][0]["limit"], "width");
    assert!((number(&piece["refused"][0]["allowed_mm"]) - 152.4).abs() < 1e-9);
    assert!((number(&piece["need_mm"]) - 25.4).abs() < 1e-9);
    assert!((number(&piece["rough_mm"]) - number(&piece["finish_mm"]) - 25.4 / 8.0).abs() < 1e-9);
    let shims = &piece["shims"];
    let supports = shims["supports"].as_array().unwrap();
    assert_eq!(supports.iter().filter(|s| s["bears"] == true).count(), 3);
    for support in supports {
        let steps = number(&support["shim_mm"]) / (25.4 / 64.0);
        assert!((steps - steps.round()).abs() < 1e-6, "{support}");
    }
    assert!(number(&shims["coarse_leaves_mm"]) <= number(&shims["leaves_mm"]));
    let steps = piece["steps"].as_array().unwrap();
    let stops: Vec<f64> = steps.iter().filter_map(|s| s["stop_mm"].as_f64()).collect();
    assert_eq!(
        stops,
        [number(&piece["rough_mm"]), number(&piece["finish_mm"])]
    );
    assert_eq!(number(&document["moisture"]["house_percent"]), 8.0);
    assert_eq!(document["standards"]["spring_mm"], Value::Null);
}

/// Printed as a person would, by a browser: as many sheets as pieces.
#[test]
fn a_piece_is_one_sheet_of_paper() {
    if !chromium::is_there() {
        return;
    }
    for Page {
        name, file, pieces, ..
    } in pages()
    {
        assert_eq!(chromium::sheets(file), *pieces, "{name}");
    }
}
