//! The measuring form: one sheet, everything on it, in the order of guided entry.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

#[path = "common/chromium.rs"]
mod chromium;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

use outwind::board::Outline;
use outwind::flatten::{Ask, SurveyPlan, Tools};

fn scratch(name: &str) -> PathBuf {
    Path::new(env!("CARGO_TARGET_TMPDIR")).join(name)
}

/// Name, paper, what is asked for.
const FORMS: [(&str, &str, &str); 6] = [
    ("usual", "letter", "--length 6' --width 9-1/2"),
    (
        "seven",
        "letter",
        "--length 6' --width 9-1/2 --stations 7x3",
    ),
    ("sticks", "letter", "--length 6' --width 9-1/2 --sticks"),
    ("sticks-a4", "a4", "--length 1800mm --width 240mm --sticks"),
    (
        "short-wide",
        "a4",
        "--length 500mm --width 600mm --stations 3x5",
    ),
    ("most", "a4", "--length 3m --width 700mm --stations 9x5"),
];

/// Every form, written once.
fn forms() -> &'static [(&'static str, &'static str, PathBuf)] {
    static FORMS_WRITTEN: OnceLock<Vec<(&str, &str, PathBuf)>> = OnceLock::new();
    FORMS_WRITTEN.get_or_init(|| {
        let written = FORMS.map(|(name, paper, arguments)| (name, paper, form(name, arguments)));
        written.to_vec()
    })
}

fn form(name: &str, arguments: &str) -> PathBuf {
    let file = scratch(&format!("form-{name}.html"));
    let run = Command::new(env!("CARGO_BIN_EXE_outwind"))
        .arg("form")
        .args(arguments.split(' '))
        .arg("--page")
        .arg(&file)
        .output()
        .unwrap();
    assert!(run.status.success(), "{run:?}");
    let told = String::from_utf8(run.stdout).unwrap();
    assert!(told.contains(" readings at stations 0, "), "{told}");
    file
}

/// Width and height of a sheet within its margins of 10 mm, in the browser's dots of 1/96 in (CSS Values and Units,
/// W3C: 1in = 96px).
fn room(paper: &str) -> [f64; 2] {
    let millimetres: [f64; 2] = match paper {
        // ISO 216.
        "a4" => [210.0, 297.0],
        // ANSI/ASME Y14.1: 8-1/2 × 11 in.
        _ => [215.9, 279.4],
    };
    millimetres.map(|mm| (mm - 20.0) * 96.0 / 25.4)
}

#[test]
fn a_form_is_one_sheet_with_all_its_text_inside() {
    if !chromium::is_there() {
        return;
    }
    // Every piece of text, every box and the drawing, by its rectangle; what reaches beyond the sheet is listed.
    const MEASURE: &str = "<script>addEventListener('load', () => {\
        const out = [], all = document.querySelectorAll('h1,h2,p,span,td,th,text,svg');\
        let bottom = 0, boxes = 0;\
        for (const e of all) { const r = e.getBoundingClientRect(); bottom = Math.max(bottom, r.bottom);\
          if (e.tagName === 'TD') boxes++;\
          if (r.left < -1 || r.right > W + 1 || r.bottom > H + 1 || e.scrollWidth > e.clientWidth + 1 && e.tagName === 'TD')\
            out.push(e.tagName + ' ' + e.textContent.slice(0, 30) + ' ' + [r.left, r.right, r.bottom].map(Math.round)); }\
        document.title = 'boxes ' + boxes + ' bottom ' + Math.round(bottom) + ' outside [' + out.join('; ') + ']';\
        });</script>";
    for (name, paper, file) in forms() {
        assert_eq!(chromium::sheets(file), 1, "{name}: sheets");
        let html = fs::read_to_string(file).unwrap();
        let [wide, high] = room(paper);
        let script = MEASURE
            .replace("W + 1", &format!("{wide} + 1"))
            .replace("H + 1", &format!("{high} + 1"));
        let measured = scratch(&format!("form-{name}-measured.html"));
        fs::write(
            &measured,
            html.replace("</body>", &format!("{script}</body>")),
        )
        .unwrap();
        let window = [wide.floor() as usize, 1600];
        let document = chromium::document(&measured, window);
        let title = document.split("<title>").nth(1).unwrap();
        let title = title.split("</title>").next().unwrap();
        println!("{name}: room {wide:.0} x {high:.0}, {title}");
        assert!(title.ends_with("outside []"), "{name}: {title}");
        chromium::picture(
            file,
            &scratch(&format!("form-{name}.png")),
            [wide.floor() as usize, high.ceil() as usize],
        );
    }
}

#[test]
fn a_form_needs_nothing_beside_itself() {
    for (name, _, file) in forms() {
        let html = fs::read_to_string(file).unwrap();
        for outside in ["src=", "href=", "url(http", "@import", "<script"] {
            assert!(!html.contains(outside), "{name}: {outside}");
        }
        for said in ["End A", "near edge", "Caliper", "End B"] {
            assert!(html.contains(said), "{name}: {said}");
        }
        let boxes = html.matches("<td>").count();
        for number in 1..=boxes {
            assert!(
                html.contains(&format!("<td>{number}</td>")),
                "{name}: box {number}"
            );
        }
    }
}

fn outline(length: f64, width: f64) -> Outline {
    Outline {
        x0: 0.0,
        y0: 0.0,
        length,
        width,
    }
}

/// Every place once, neighbours in the walk beside each other, whatever the plan.
#[test]
fn the_walk_passes_every_place_once() {
    let board = outline(1800.0, 240.0);
    let plan = SurveyPlan::at(board, &[], Tools::Heights(4), &[300.0, 1500.0, 900.0]);
    assert_eq!(plan.stations, [0.0, 300.0, 900.0, 1500.0, 1800.0]);
    assert_eq!(plan.asks.len(), 5 * 4 + 2 * 5);
    let mut seen = Vec::new();
    for ask in &plan.asks {
        assert!(!seen.contains(ask), "{ask:?} twice");
        seen.push(*ask);
    }
    let places: Vec<[f64; 2]> = plan
        .asks
        .iter()
        .filter_map(|ask| match ask {
            Ask::Height(at) => Some(*at),
            _ => None,
        })
        .collect();
    let longest = |pair: &[[f64; 2]]| (pair[0][0] - pair[1][0]).abs();
    // From one station to the next, but for the way back to end A before the inner rows.
    let far = places
        .windows(2)
        .filter(|pair| longest(pair) > 600.0)
        .count();
    assert_eq!(far, 0);
}

/// Chosen stations tell more than the same number crowded at one end, and more stations tell more.
#[test]
fn chosen_stations_are_worth_their_steps() {
    let board = outline(1828.8, 241.3);
    let chosen = SurveyPlan::chosen(board, &[], Tools::Heights(3), 5, 25.4).unwrap();
    assert_eq!(chosen.stations.len(), 5);
    let crowded = SurveyPlan::at(board, &[], Tools::Heights(3), &[25.4, 50.8, 76.2]);
    let seven = SurveyPlan::chosen(board, &[], Tools::Heights(3), 7, 25.4).unwrap();
    let half = |plan: &SurveyPlan| plan.half_width().unwrap();
    println!(
        "chosen {:?}: {:.2} mm; crowded {:.2} mm; seven {:?}: {:.2} mm",
        chosen.stations,
        half(&chosen),
        half(&crowded),
        seven.stations,
        half(&seven)
    );
    assert!(half(&chosen) < 0.8 * half(&crowded));
    assert!(half(&seven) < half(&chosen));
}
