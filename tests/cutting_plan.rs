//! Plans for a list of parts: what can be sawn, and what is said of it.

#![allow(clippy::unwrap_used)]

mod common;

use common::plans::{LENGTH, WIDTH, check, evidence, flat, part, question};
use outwind::board::{Board, Down, Outline, Particulars};
use outwind::cutting::{
    Allowances, CutKind, Ground, Making, Plan, Planned, Stocked, Unwatched, WhyShort, thickest,
};
use outwind::readings::{Avoid, EdgesAt};

fn of<'a>(plan: &'a Plan, name: &str) -> Vec<&'a Planned> {
    let named = |p: &&Planned| plan.question.wanted[p.part].name == name;
    plan.pieces.iter().filter(named).collect()
}

#[test]
fn a_flat_board_makes_what_fits_it() {
    // Three sections of 600 + 25.4 mm and kerfs fit 2,000 mm, two strips of 100 + 9.5 mm fit 240 mm.
    let plan = Plan::new(
        &[flat(30.0)],
        question(vec![part("panel", 9, [600.0, 100.0, 25.0])]),
    );
    check(&plan);
    assert_eq!(plan.made, [6]);
    assert_eq!(
        (plan.short[0].count, plan.short[0].why),
        (3, WhyShort::NoRoom)
    );
    assert_eq!(plan.may_fall_short(), 0.0);
    // The share of what might be made that is not.
    let short = |area: f64, most: f64| {
        let plan = Plan {
            area,
            most,
            ..plan.clone()
        };
        plan.may_fall_short()
    };
    assert!((short(3.0, 4.0) - 0.25).abs() < 1e-12);
    assert_eq!([short(4.0, 3.9), short(0.0, 0.0)], [0.0; 2]);
    assert!(
        plan.pieces
            .iter()
            .all(|p| p.chance == 1.0 && (p.interval.expected - 30.0).abs() < 1e-6)
    );
    // Three sections need three crosscuts, since the third leaves an end; two strips two rips each.
    let kinds = |kind: CutKind| plan.cuts.iter().filter(|c| c.1.kind == kind).count();
    assert_eq!((kinds(CutKind::Crosscut), kinds(CutKind::Rip)), (3, 6));
}

#[test]
fn why_parts_are_short_is_told_of_all_at_once() {
    let wanted = vec![
        part("beam", 1, [2100.0, 50.0, 25.0]),
        part("top", 1, [600.0, 300.0, 25.0]),
        part("slab", 2, [600.0, 100.0, 31.0]),
        part("slat", 1, [600.0, 50.0, 25.0]),
    ];
    let plan = Plan::new(&[flat(30.0)], question(wanted));
    check(&plan);
    assert_eq!(plan.made, [0, 0, 0, 1]);
    let why: Vec<_> = plan
        .short
        .iter()
        .map(|s| (s.part, s.count, s.why))
        .collect();
    let over = Allowances::default();
    assert_eq!(
        why,
        [
            (0, 1, WhyShort::TooLong(2100.0 + over.over_length)),
            (1, 1, WhyShort::TooWide(300.0 + over.over_width)),
            (2, 2, WhyShort::Nowhere)
        ]
    );
}

/// A board that is thin over its middle: parts lie in its ends, a surer one in the surer end.
#[test]
fn parts_lie_where_the_wood_is() {
    let thin = |x: f64, _: f64| {
        if (700.0..=1300.0).contains(&x) {
            -6.0
        } else {
            0.0
        }
    };
    let outline = Outline {
        x0: 0.0,
        y0: 0.0,
        length: LENGTH,
        width: WIDTH,
    };
    let board = Stocked {
        name: "thin".to_owned(),
        ground: Ground::rectangle(outline),
        evidence: evidence(28.0, 1.0, thin),
    };
    let plan = Plan::new(
        &[board],
        question(vec![part("rail", 4, [500.0, 100.0, 25.0])]),
    );
    check(&plan);
    assert_eq!(plan.made, [4]);
    for rail in &plan.pieces {
        assert!(
            rail.finished.to <= 700.0 || rail.finished.from >= 1300.0,
            "{:?}",
            rail.finished
        );
    }
}

#[test]
fn knots_and_a_live_edge_are_kept_clear() {
    let edges = [0.0, 1000.0, 2000.0].map(|station| EdgesAt {
        station,
        near: station / 20.0,
        far: WIDTH,
    });
    let knot = Avoid {
        what: "knot".to_owned(),
        from: 300.0,
        to: 340.0,
        near: 100.0,
        far: 150.0,
    };
    let board = Board::new(Particulars {
        name: "slab".to_owned(),
        length: Some(LENGTH),
        width: Some(WIDTH),
        up: vec![[0.0, 0.0, 30.0], [LENGTH, WIDTH, 30.0]],
        down: Down {
            thickness: Some(30.0),
            ..Down::default()
        },
        edges: edges.to_vec(),
        avoid: vec![knot],
        ..Particulars::default()
    })
    .unwrap();
    let stocked = Stocked {
        name: board.name.clone(),
        ground: Ground::new(&board),
        evidence: evidence(30.0, 0.0, |_, _| 0.0),
    };
    let plan = Plan::new(
        &[stocked],
        question(vec![part("slat", 12, [500.0, 60.0, 25.0])]),
    );
    check(&plan);
    assert!(plan.made[0] >= 6, "{:?}", plan.made);
    for slat in &plan.pieces {
        let w = &slat.rough;
        assert!(w.near >= w.to / 20.0 - 1e-6, "{w:?} leaves the edge");
        let f = &slat.finished;
        let clear = f.to <= 300.0 || f.from >= 340.0 || f.far <= 100.0 || f.near >= 150.0;
        assert!(clear, "{f:?} takes in the knot");
    }
}

#[test]
fn matched_parts_come_from_one_board() {
    let mut doors = [
        part("door", 3, [600.0, 100.0, 25.0]),
        part("drawer", 3, [600.0, 100.0, 25.0]),
    ];
    for door in &mut doors {
        door.from_one_board = Some("front".to_owned());
    }
    let rest = part("shelf", 6, [600.0, 100.0, 25.0]);
    let plan = Plan::new(
        &[flat(30.0), flat(29.0)],
        question(doors.into_iter().chain([rest]).collect()),
    );
    check(&plan);
    assert_eq!(plan.made, [3, 3, 6]);
    let boards = |name: &str| -> Vec<usize> { of(&plan, name).iter().map(|p| p.board).collect() };
    let fronts = [boards("door"), boards("drawer")].concat();
    assert!(fronts.iter().all(|b| *b == fronts[0]), "{fronts:?}");
}

/// More groups than are tried on every board: each goes where most of it is made.
#[test]
fn many_groups_come_from_one_board_each() {
    let group = |name: &str, thickness: f64| {
        ["door", "drawer"].map(|kind| {
            let mut part = part(&format!("{kind} {name}"), 3, [600.0, 100.0, thickness]);
            part.from_one_board = Some(name.to_owned());
            part
        })
    };
    let groups = ["thick", "middle", "thin"];
    let wanted: Vec<_> = groups
        .into_iter()
        .zip([31.0, 27.0, 18.0])
        .flat_map(|(name, t)| group(name, t))
        .collect();
    let boards = [flat(20.0), flat(33.0), flat(20.5), flat(29.0)];
    let plan = Plan::new(&boards, question(wanted));
    check(&plan);
    assert_eq!(plan.made, [3; 6]);
    for (name, own) in groups.into_iter().zip([Some(1), Some(3), None]) {
        let from: Vec<usize> = ["door", "drawer"]
            .into_iter()
            .flat_map(|kind| {
                of(&plan, &format!("{kind} {name}"))
                    .into_iter()
                    .map(|p| p.board)
            })
            .collect();
        assert!(
            from.iter().all(|b| *b == own.unwrap_or(from[0])),
            "{name}: {from:?}"
        );
    }
}

/// Six panels fit a board: of a group of eight, two are short, though another board could make them.
#[test]
fn many_groups_do_without_what_only_another_board_makes() {
    let mut wanted = Vec::new();
    for (name, thickness, count) in [("thick", 31.0, 2), ("middle", 27.0, 2), ("thin", 18.0, 4)] {
        for kind in ["door", "drawer"] {
            let mut part = part(&format!("{kind} {name}"), count, [600.0, 100.0, thickness]);
            part.from_one_board = Some(name.to_owned());
            wanted.push(part);
        }
    }
    let boards = [flat(20.0), flat(33.0), flat(20.5), flat(29.0)];
    let plan = Plan::new(&boards, question(wanted));
    check(&plan);
    assert_eq!(plan.made[..4], [2; 4]);
    assert_eq!(plan.made[4] + plan.made[5], 6);
    let thin = [of(&plan, "door thin"), of(&plan, "drawer thin")].concat();
    assert!(thin.iter().all(|p| p.board == thin[0].board));
}

#[test]
fn a_wide_part_is_glued_up_and_a_thin_one_resawn() {
    let mut top = part("top", 1, [600.0, 400.0, 25.0]);
    top.strips = 2;
    let mut panel = part("panel", 2, [600.0, 100.0, 8.0]);
    panel.resaw = true;
    let plan = Plan::new(&[flat(30.0)], question(vec![top, panel]));
    check(&plan);
    assert_eq!(plan.made, [1, 2]);
    let Allowances {
        jointing,
        resaw_clean_up,
        kerf_resaw,
        ..
    } = Allowances::default();
    for strip in of(&plan, "top") {
        assert_eq!(strip.making, Making::Strip);
        assert!((strip.finished.width() - (400.0 + jointing) / 2.0).abs() < 1e-9);
    }
    let thick = 2.0 * (8.0 + resaw_clean_up) + kerf_resaw;
    let panels = of(&plan, "panel");
    assert_eq!(
        panels.len(),
        1,
        "one thick piece is fewer cuts than two thin ones"
    );
    assert!((panels[0].thickness - thick).abs() < 1e-9 && panels[0].making == Making::Resawn);
}

#[test]
fn the_thickest_of_some_sizes_is_found() {
    let sizes = [20.0, 22.0, 25.0, 27.0, 30.0, 35.0];
    let asked = question(vec![part("panel", 6, [600.0, 100.0, 1.0])]);
    let (size, plan) = thickest(&[flat(28.0)], &asked, &sizes, &mut Unwatched).unwrap();
    check(&plan);
    assert_eq!((size, plan.made.as_slice()), (27.0, &[6][..]));
    let many = question(vec![part("panel", 7, [600.0, 100.0, 1.0])]);
    assert_eq!(thickest(&[flat(28.0)], &many, &sizes, &mut Unwatched), None);
}

/// From the command line to a drawing: every part of the plan stands in it, and where the saw is set.
#[test]
fn a_plan_is_drawn() {
    let file = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("plan.svg");
    let run = std::process::Command::new(env!("CARGO_BIN_EXE_outwind"))
        .args([
            "cut",
            "sample-scans/oak-bench.toml",
            "--parts",
            "sample-scans/rails.csv",
        ])
        .arg("--drawing")
        .arg(&file)
        .output()
        .unwrap();
    assert!(run.status.success(), "{run:?}");
    let told = String::from_utf8(run.stdout).unwrap();
    let drawn = std::fs::read_to_string(&file).unwrap();
    assert!(drawn.starts_with("<svg") || drawn.starts_with("<?xml"));
    assert_eq!(
        drawn.matches("long rail").count(),
        told.matches("\n  long rail").count()
    );
    let crosscuts = told
        .split("crosscut at ")
        .nth(1)
        .unwrap()
        .split(" from end A")
        .next()
        .unwrap();
    for place in crosscuts.split(", ") {
        let place = place.trim_end_matches(" in");
        assert!(
            drawn.contains(&format!(">{place}<")),
            "{place} is not in the drawing"
        );
    }
}
