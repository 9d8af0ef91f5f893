//! Pages as a browser prints and shows them.
#![allow(clippy::print_stdout, clippy::unwrap_used, unreachable_pub)]

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

/// Set where Chromium has to be there, so that no page goes unprinted; see `.ci/run`.
const REQUIRED: &str = "OUTWIND_PRINTS_PAGES";

/// Whether Chromium is installed; where it is not, that is said, or fails where it has to be there.
pub fn is_there() -> bool {
    let there = Command::new("chromium").arg("--version").output().is_ok();
    if !there {
        assert!(
            std::env::var_os(REQUIRED).is_none(),
            "Chromium is not installed"
        );
        println!(
            "NOT CHECKED: Chromium is not installed, so no page was printed; .ci/run installs it"
        );
    }
    there
}

/// Runs Chromium on a page, with a profile of its own beside it.
fn run(page: &Path, arguments: &[String]) -> Output {
    let profile = page.with_extension("chromium");
    let run = Command::new("chromium")
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--hide-scrollbars",
        ])
        .args([
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
        ])
        .arg(format!("--user-data-dir={}", profile.display()))
        .args(arguments)
        .arg(format!("file://{}", page.display()))
        .output()
        .unwrap();
    let _ = fs::remove_dir_all(&profile);
    assert!(run.status.success(), "{}: {run:?}", page.display());
    run
}

/// The number of sheets that a page is printed to.
pub fn sheets(page: &Path) -> usize {
    let pdf = page.with_extension("pdf");
    let _ = fs::remove_file(&pdf);
    run(
        page,
        &[
            "--no-pdf-header-footer".to_owned(),
            format!("--print-to-pdf={}", pdf.display()),
        ],
    );
    let printed = fs::read(&pdf).unwrap();
    // The page objects of a PDF file stand in plain text, as Chromium writes them.
    let mark = b"/Type /Page";
    let ends = printed
        .windows(mark.len() + 1)
        .filter(|w| w.starts_with(mark) && w[mark.len()] != b's');
    ends.count()
}

/// A page as a picture, so many dots wide and high.
pub fn picture(page: &Path, png: &Path, [wide, high]: [usize; 2]) {
    let _ = fs::remove_file(png);
    run(
        page,
        &[
            format!("--window-size={wide},{high}"),
            format!("--screenshot={}", png.display()),
        ],
    );
    assert!(png.exists(), "{}", png.display());
}

/// The document after its scripts have run.
pub fn document(page: &Path, [wide, high]: [usize; 2]) -> String {
    let run = run(
        page,
        &[
            format!("--window-size={wide},{high}"),
            "--dump-dom".to_owned(),
        ],
    );
    String::from_utf8(run.stdout).unwrap()
}
