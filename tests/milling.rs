//! Milling plans: shims that do not rock, limits that are kept, wood that is shared; standards; what to buy.

#![allow(clippy::unwrap_used)]

use approx::assert_abs_diff_eq;
use outwind::board::{Board, Down, Outline, Particulars};
use outwind::cutting::{Making, Planned, Window};
use outwind::flatten::{Answer, Interval, Question};
use outwind::length::Length;
use outwind::milling::moisture::{Sawn, Water};
use outwind::milling::{
    Buying, Drying, Lay, Losses, MillPlan, MillQuestion, Milled, Passes, Piece, Purchase, Shimming,
    StandardWarp, StrengthClass, Task, Verdict, board_faces, board_feet, surfaced_size, with_waste,
};
use outwind::readings::{Face, Point, read_shop};
use outwind::shop::{Limit, Machine, Shop, Size, refusals};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

const INCH: f64 = 25.4;

/// A board of even thickness whose up face has this height over (u, v), both from −1 to 1.
fn board(length: f64, width: f64, thickness: f64, height: impl Fn(f64, f64) -> f64) -> Board {
    let outline = Outline {
        x0: 0.0,
        y0: 0.0,
        length,
        width,
    };
    let mut up = Vec::new();
    for i in 0..7 {
        for j in 0..3 {
            let (u, v) = (f64::from(i) / 3.0 - 1.0, f64::from(j) - 1.0);
            let (x, y) = outline.place(u, v);
            up.push([x, y, height(u, v)]);
        }
    }
    Board::new(Particulars {
        name: "test".to_owned(),
        length: Some(length),
        width: Some(width),
        up,
        down: Down {
            thickness: Some(thickness),
            ..Down::default()
        },
        ..Particulars::default()
    })
    .unwrap()
}

/// Cup, bow and corner lift.
fn warped(cup: f64, bow: f64, twist: f64) -> impl Fn(f64, f64) -> f64 {
    move |u, v| cup * (1.0 - v * v) + bow * (1.0 - u * u) + twist / 4.0 * u * v
}

fn shop(text: &str) -> Shop {
    Shop::new(&read_shop(text.as_bytes(), "shop.toml", None).unwrap())
}

fn question(shop: Shop) -> MillQuestion {
    MillQuestion {
        shop,
        first: None,
        protect: None,
        with: None,
        support_spacing: 250.0,
        shim_steps: [0.1, 0.5],
    }
}

/// The piece at its readings alone, so that closed forms hold.
fn piece(board: &Board, need: f64) -> Piece {
    let asked = Question {
        need: Some(Length::from_mm(need)),
        support_spacing: 250.0,
        sizes: Vec::new(),
        expectation: false,
    };
    Piece::whole(board, &Answer::new(board, &asked), need).unwrap()
}

fn plan(board: &Board, need: f64, question: &MillQuestion) -> MillPlan {
    MillPlan::new(&piece(board, need), question, Drying::default())
}

fn shims(plan: &MillPlan) -> &Shimming {
    match &plan.lay {
        Lay::Shims(shims) => shims,
        Lay::HighPlaces(_) => panic!("not on a sled"),
    }
}

const SLED: &str = "unit = \"mm\"\njointer = false\n[sled]\npass = 1.5\n";

/// What the supports do to a rigid board, worked out apart from the program: it comes to rest on the plane through the three
/// that bear; no other support reaches above it, and the centre of mass stands well between the three. What is then left is
/// found by raising each reading by the plane.
fn rests_without_rocking(board: &Board, plan: &MillPlan) {
    let shims = shims(plan);
    let width = board.outline.width;
    let at = |k: usize| {
        let s = &shims.supports[k];
        [s.station, if s.far { width } else { 0.0 }, s.shim - s.gap]
    };
    let bearing: Vec<usize> = (0..shims.supports.len())
        .filter(|k| shims.supports[*k].bears)
        .collect();
    assert_eq!(bearing.len(), 3);
    let [a, b, c] = [at(bearing[0]), at(bearing[1]), at(bearing[2])];
    // Barycentric weights of a place in the triangle.
    let weights = |x: f64, y: f64| {
        let area = |p: [f64; 3], q: [f64; 3], r: [f64; 3]| {
            (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])
        };
        let whole = area(a, b, c);
        let p = [x, y, 0.0];
        [
            area(p, b, c) / whole,
            area(a, p, c) / whole,
            area(a, b, p) / whole,
        ]
    };
    let lift = |x: f64, y: f64| {
        let [wa, wb, wc] = weights(x, y);
        wa * a[2] + wb * b[2] + wc * c[2]
    };
    let centre = board.outline.place(0.0, 0.0);
    assert!(
        weights(centre.0, centre.1).iter().all(|w| *w > 0.15),
        "it stands sure"
    );
    for k in 0..shims.supports.len() {
        let [x, y, z] = at(k);
        assert!(z <= lift(x, y) + 1e-9, "support {k} lifts the board");
        let s = &shims.supports[k];
        assert!(
            (s.shim / shims.step - (s.shim / shims.step).round()).abs() < 1e-6 && s.shim >= 0.0
        );
        // What is rounded down is near enough to slide in.
        assert!(s.bears || s.shim == 0.0 || lift(x, y) - z < shims.step + 1e-9);
    }
    let faces = board_faces(board).unwrap();
    let exact = piece(board, 1.0).flattening.shimmed;
    let sign = if shims.lies_on == Face::Down {
        1.0
    } else {
        -1.0
    };
    let level = |p: &Point| {
        let n = exact.normal;
        n[0] * p[0] + n[1] * p[1] + n[2] * p[2] + sign * lift(p[0], p[1])
    };
    let up = faces
        .outermost(Face::Up)
        .iter()
        .map(level)
        .fold(f64::INFINITY, f64::min);
    let down = faces
        .outermost(Face::Down)
        .iter()
        .map(level)
        .fold(f64::NEG_INFINITY, f64::max);
    // Square to the planes, which lean as the board does.
    let slope = |dx: f64, dy: f64| sign * (lift(dx, dy) - lift(0.0, 0.0));
    let [nx, ny, nz] = exact.normal;
    let length = (nx + slope(1.0, 0.0)).hypot(ny + slope(0.0, 1.0)).hypot(nz);
    assert_abs_diff_eq!((up - down) / length, shims.left, epsilon = 1e-6);
    // Rounding to a coarser step is worse at the worst, however luckily the finer one fell.
    assert!(shims.coarse.1 <= shims.left + 1e-9 && shims.left <= shims.exact + 1e-9);
}

#[test]
fn shims_hold_a_twisted_board_without_rocking() {
    let board = board(1800.0, 200.0, 40.0, warped(0.0, 3.0, 8.0));
    let plan = plan(&board, 30.0, &question(shop(SLED)));
    assert_eq!(plan.machine, Machine::RouterSled);
    rests_without_rocking(&board, &plan);
    let shims = shims(&plan);
    let (coarse, left) = shims.coarse;
    assert_eq!(coarse, 0.5);
    // A step of rounding moves a place by half of it at most, so both planes lose no more than that together.
    assert!(left <= shims.exact + 1e-9 && shims.exact - left < 2.0 * coarse);
    assert!(shims.exact - shims.left < 0.2);
    assert_abs_diff_eq!(shims.exact, plan.left, epsilon = 1e-9);
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 150,
        rng_seed: RngSeed::Fixed(8),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn no_board_rocks_on_its_shims(
        cup in -3.0..3.0_f64, bow in -8.0..8.0_f64, twist in -12.0..12.0_f64,
        length in 400.0..3000.0_f64, width in 80.0..500.0_f64, down in any::<bool>(), step in 0.05..1.0_f64,
        spacing in 50.0..900.0_f64, odd in -4.0..4.0_f64,
    ) {
        // Lopsided, or a lean to one side would cost what a lean to the other does.
        let form = move |u: f64, v: f64| warped(cup, bow, twist)(u, v) + odd * u * (u * u - 1.0 + v * u);
        let board = board(length, width, 45.0, form);
        let mut question = question(shop(SLED));
        question.first = Some(if down { Face::Down } else { Face::Up });
        question.shim_steps = [step, 2.0 * step];
        question.support_spacing = spacing;
        rests_without_rocking(&board, &plan(&board, 20.0, &question));
    }

    /// Whatever the board and the shop: no step at a machine that cannot take the piece, no pass deeper than the machine's.
    #[test]
    fn limits_are_kept(
        length in 100.0..4000.0_f64, width in 30.0..900.0_f64, thickness in 8.0..120.0_f64, need in 4.0..100.0_f64,
        bow in -6.0..6.0_f64, twist in -6.0..6.0_f64,
        jointer in prop::option::of((100.0..400.0_f64, 100.0..400.0_f64)),
        planer in prop::option::of((150.0..700.0_f64, 50.0..200.0_f64)),
        sled in prop::option::of((200.0..1200.0_f64, 30.0..150.0_f64)),
        with in prop::option::of(0..4_usize),
    ) {
        let mut text = String::from("unit = \"mm\"\n");
        for (name, there) in [("jointer", jointer.is_some()), ("planer", planer.is_some())] {
            if !there {
                text += &format!("{name} = false\n");
            }
        }
        if let Some((width, least)) = jointer {
            text += &format!("[jointer]\nwidth = {width}\nmin-length = {least}\npass = 0.7\n");
        }
        if let Some((width, most)) = planer {
            text += &format!("[planer]\nwidth = {width}\nmax-thickness = {most}\n");
        }
        if let Some((width, most)) = sled {
            text += &format!("[sled]\nwidth = {width}\nmax-length = 2500\nmax-thickness = {most}\n");
        }
        let shop = shop(&text);
        let mut question = question(shop.clone());
        let all = [Machine::Jointer, Machine::RouterSled, Machine::PlanerSled, Machine::HandPlanes];
        question.with = with.map(|k| all[k]);
        let board = board(length, width, thickness, warped(0.0, bow, twist));
        let plan = plan(&board, need, &question);
        let takes = |machine: Machine, before: f64| match machine {
            Machine::Jointer => {
                let (widest, least) = jointer.unwrap();
                width <= widest && length >= least && need >= INCH / 2.0
            }
            Machine::Planer => {
                let (widest, most) = planer.unwrap();
                width <= widest && length >= 12.0 * INCH && before <= most && need >= 3.0 / 16.0 * INCH
            }
            Machine::PlanerSled => {
                let (widest, most) = planer.unwrap();
                width <= widest && length >= 12.0 * INCH && before + 0.75 * INCH <= most
            }
            Machine::RouterSled => {
                let (widest, most) = sled.unwrap();
                width <= widest && length <= 2500.0 && before <= most
            }
            Machine::HandPlanes => true,
        };
        for step in &plan.steps {
            match &step.task {
                Task::FirstFace { machine, passes, .. } | Task::FinalFirst { machine, passes, .. } => {
                    prop_assert!(takes(*machine, thickness));
                    adds_up(*passes, &shop, *machine, width);
                }
                Task::SecondFace { machine, passes, from, stop, .. } => {
                    prop_assert!(takes(*machine, *from));
                    prop_assert!(*stop >= plan.finish - 1e-9 && *from >= *stop);
                    adds_up(*passes, &shop, *machine, width);
                }
                Task::FirstEdge { machine } => prop_assert!(*machine != Machine::Jointer || length >= jointer.unwrap().1),
                _ => {}
            }
        }
        for face in [Face::Up, Face::Down] {
            prop_assert!(plan.comes_off(face) >= -1e-9);
        }
    }
}

fn adds_up(passes: Passes, shop: &Shop, machine: Machine, width: f64) {
    let deepest = outwind::milling::pass(shop, machine, width).max(passes.total / 1000.0);
    assert!(passes.each <= deepest + 1e-9 && passes.last <= passes.each + 1e-6);
    let sum = f64::from(passes.count.saturating_sub(1)) * passes.each + passes.last;
    assert!(
        passes.count == 0 || (sum - passes.total).abs() < 1e-6,
        "{passes:?}"
    );
}

/// Bow b of a board of even thickness costs b at its best attitude; balanced and shimmed are the same (closed form).
/// What comes off a face on the second day, all passes together.
fn second_day(plan: &MillPlan, face: Face) -> f64 {
    let off = plan.steps.iter().find_map(|step| match &step.task {
        Task::FinalFirst {
            face: f, passes, ..
        }
        | Task::FinalSecond {
            face: f, passes, ..
        } => (*f == face).then_some(passes.total),
        _ => None,
    });
    off.unwrap()
}

#[test]
fn surplus_is_shared_equally() {
    let flat = board(1200.0, 150.0, 40.0, warped(0.0, 0.0, 0.0));
    let asked = question(shop(
        "[milling]\nrough-allowance = \"4 mm\"\nsmoothing = \"1 mm\"\n",
    ));
    let found = plan(&flat, 30.0, &asked);
    // 40 less 30, 1 for smoothing and 4 for the second day leaves 5: 2.5 off each.
    assert_abs_diff_eq!(found.comes_off(Face::Up), 2.5, epsilon = 1e-9);
    assert_abs_diff_eq!(found.comes_off(Face::Down), 2.5, epsilon = 1e-9);
    assert_abs_diff_eq!(found.rough, 35.0, epsilon = 1e-9);
    assert_eq!(found.verdict, Verdict::Carries { spare: 40.0 - 35.0 });
    for (protect, off) in [(Face::Up, [0.0, 5.0]), (Face::Down, [5.0, 0.0])] {
        let mut asked = asked.clone();
        asked.protect = Some(protect);
        let found = plan(&flat, 30.0, &asked);
        assert_abs_diff_eq!(found.comes_off(Face::Up), off[0], epsilon = 1e-9);
        assert_abs_diff_eq!(found.comes_off(Face::Down), off[1], epsilon = 1e-9);
        // On the second day it is cleaned of what moved, as far as the 4 mm go; the rest comes off the other face.
        let cleaned = found.moves.mean.min(4.0) / 2.0;
        assert!(cleaned > 0.0);
        for face in [Face::Up, Face::Down] {
            let own = if face == protect {
                cleaned
            } else {
                4.0 - cleaned
            };
            assert_abs_diff_eq!(second_day(&found, face), own, epsilon = 1e-9);
        }
    }
    for face in [Face::Up, Face::Down] {
        assert_abs_diff_eq!(second_day(&found, face), 2.0, epsilon = 1e-9);
    }
    // A bowed one loses its bow beside, off both faces at their highest.
    let bowed = board(1200.0, 150.0, 40.0, warped(0.0, 3.0, 0.0));
    let found = plan(&bowed, 30.0, &asked);
    assert_abs_diff_eq!(found.left, 37.0, epsilon = 1e-4);
    assert_abs_diff_eq!(
        found.comes_off(Face::Up) + found.comes_off(Face::Down),
        2.0 * 3.0 + 2.0,
        epsilon = 1e-3
    );
}

#[test]
fn what_does_not_carry_is_said_before_the_first_cut() {
    let bowed = board(1200.0, 150.0, 30.0, warped(0.0, 4.0, 0.0));
    let with = |need: f64, text: &str| {
        let text = format!("unit = \"mm\"\n{text}");
        plan(&bowed, need, &question(shop(&text))).verdict
    };
    assert!(matches!(with(20.0, ""), Verdict::Carries { .. }));
    let Verdict::ThinSecondDay { left } = with(24.0, "") else {
        panic!()
    };
    assert_abs_diff_eq!(left, 2.0, epsilon = 1e-3);
    let Verdict::Short { by } = with(28.0, "") else {
        panic!()
    };
    assert_abs_diff_eq!(by, 2.0, epsilon = 1e-3);
    let Verdict::Hollows { deep } = with(28.0, "[milling]\ntolerate = \"1.1 mm\"\n") else {
        panic!()
    };
    assert_abs_diff_eq!(deep, 1.0, epsilon = 1e-3);
    assert!(matches!(
        with(28.0, "[milling]\ntolerate = \"0.9 mm\"\n"),
        Verdict::Short { .. }
    ));
}

/// Pure twist with corners ± h: balanced, the two high corners of the first face stand 2h over its low ones (closed form).
#[test]
fn the_high_corners_come_down_first() {
    let twisted = board(1000.0, 150.0, 40.0, warped(0.0, 0.0, 8.0));
    let mut asked = question(Shop::default());
    asked.with = Some(Machine::Jointer);
    asked.first = Some(Face::Up);
    let found = plan(&twisted, 20.0, &asked);
    let Lay::HighPlaces(places) = &found.lay else {
        panic!()
    };
    assert_eq!(places.len(), 4);
    for (k, (spot, off)) in places.iter().enumerate() {
        let high = spot.along * spot.across > 0;
        assert_eq!(high, k < 2);
        assert_abs_diff_eq!(*off, if high { 4.0 } else { 0.0 }, epsilon = 1e-3);
    }
    // By hand all nine places count, the highest first.
    asked.with = Some(Machine::HandPlanes);
    let by_hand = plan(&twisted, 20.0, &asked);
    let Lay::HighPlaces(places) = &by_hand.lay else {
        panic!()
    };
    assert_eq!(places.len(), 9);
    assert!(places.windows(2).all(|w| w[0].1 >= w[1].1));
}

/// A cupped board lies on its hollow face without rocking (common practice), so that one is the first where either leaves as much.
#[test]
fn the_hollow_face_comes_first() {
    for (cup, hollow) in [(2.0, Face::Down), (-2.0, Face::Up)] {
        let cupped = board(900.0, 150.0, 40.0, warped(cup, 0.0, 0.0));
        let mut asked = question(Shop::default());
        asked.with = Some(Machine::Jointer);
        assert_eq!(plan(&cupped, 20.0, &asked).first, hollow);
    }
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 60,
        rng_seed: RngSeed::Fixed(11),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    /// The face that is cut first is chosen so that as much is left as with either, but for what a shop does not notice.
    #[test]
    fn the_better_face_comes_first(heights in prop::collection::vec(-2.0..2.0_f64, 42)) {
        let outline = Outline { x0: 0.0, y0: 0.0, length: 900.0, width: 150.0 };
        let face = |own: &[f64], below: f64| -> Vec<Point> {
            own.iter().enumerate().map(|(k, z)| {
                let (x, y) = outline.place((k / 3) as f64 / 3.0 - 1.0, (k % 3) as f64 - 1.0);
                [x, y, z - below]
            }).collect()
        };
        let uneven = Board::new(Particulars {
            up: face(&heights[..21], 0.0),
            down: Down { heights: face(&heights[21..], 40.0), ..Down::default() },
            ..Particulars::default()
        }).unwrap();
        let mut asked = question(Shop::default());
        asked.with = Some(Machine::Jointer);
        let left = plan(&uneven, 20.0, &asked).left;
        for first in [Face::Up, Face::Down] {
            asked.first = Some(first);
            prop_assert!(left >= plan(&uneven, 20.0, &asked).left - 0.1 - 1e-9);
        }
    }
}

#[test]
fn a_machine_that_cannot_says_why_and_what_instead() {
    let wide = board(900.0, 260.0, 40.0, warped(1.0, 0.0, 0.0));
    let mut asked = question(shop("unit = \"in\"\n[jointer]\nwidth = 6\n"));
    asked.with = Some(Machine::Jointer);
    let found = plan(&wide, 25.0, &asked);
    assert_eq!(found.machine, Machine::PlanerSled);
    let refusal = found.refused[0];
    assert_eq!(
        (refusal.machine, refusal.limit),
        (Machine::Jointer, Limit::Width)
    );
    assert_abs_diff_eq!(refusal.is, 260.0, epsilon = 1e-9);
    assert_abs_diff_eq!(refusal.allowed, 152.4, epsilon = 1e-9);
    // Asked for both days, each limit is told once.
    let mut told: Vec<_> = found.refused.iter().map(|r| (r.machine, r.limit)).collect();
    let all = told.len();
    told.dedup();
    assert_eq!(told.len(), all);
    // Another machine's limit of the same kind, and another limit of the same machine, are told besides.
    let slab = board(900.0, 500.0, 170.0, warped(1.0, 0.0, 0.0));
    let found = plan(&slab, 140.0, &asked);
    let told = |machine: Machine, limit: Limit| {
        let same = found.refused.iter().filter(|r| r.machine == machine);
        same.filter(|r| r.limit == limit).count()
    };
    assert_eq!(told(Machine::Jointer, Limit::Width), 1);
    assert_eq!(told(Machine::Planer, Limit::Width), 1);
    assert_eq!(told(Machine::Planer, Limit::MaxThickness), 1);
    let short = plan(
        &board(250.0, 100.0, 30.0, warped(0.0, 0.0, 0.0)),
        15.0,
        &question(Shop::default()),
    );
    assert!(
        short.too_short
            && short.machine == Machine::HandPlanes
            && short.second_machine == Machine::HandPlanes
    );
    let size = Size {
        length: 500.0,
        width: 100.0,
        before: 160.0,
        after: 3.0,
    };
    let limits: Vec<Limit> = refusals(&Shop::default(), Machine::Planer, size)
        .iter()
        .map(|r| r.limit)
        .collect();
    assert_eq!(limits, [Limit::MaxThickness, Limit::MinThickness]);
}

/// EN 14081-1 from memory: above C18 150 mm wide has a twist limit of 6 mm; bow 10, spring 8. A bow of constant curvature over
/// 3 m is (2/3)² of itself over 2 m, twist 2/3.
#[test]
fn warp_is_measured_over_two_metres() {
    let bowed = board(3000.0, 150.0, 40.0, warped(2.0, 18.0, 9.0));
    let warp = StandardWarp::of(&bowed, &board_faces(&bowed).unwrap());
    assert_eq!(warp.over, 2000.0);
    assert_abs_diff_eq!(warp.bow, 8.0, epsilon = 0.1);
    assert_abs_diff_eq!(warp.twist, 6.0, epsilon = 0.1);
    assert_abs_diff_eq!(warp.cup, 2.0, epsilon = 0.05);
    assert_eq!(warp.spring, None);
    let above = StrengthClass::AboveC18.limits(150.0);
    assert_eq!((above.bow, above.spring, above.twist), (10.0, 8.0, 6.0));
    let below = StrengthClass::UpToC18.limits(150.0);
    assert_eq!((below.bow, below.spring, below.twist), (20.0, 12.0, 12.0));
    let warp = StandardWarp {
        twist: 6.5,
        bow: 9.0,
        ..warp
    };
    assert!(
        !StrengthClass::AboveC18.holds(&warp, 150.0) && StrengthClass::UpToC18.holds(&warp, 150.0)
    );
    // A shorter one over its whole length.
    let short = board(1500.0, 150.0, 40.0, warped(0.0, 5.0, 0.0));
    let warp = StandardWarp::of(&short, &board_faces(&short).unwrap());
    assert_eq!(warp.over, 1500.0);
    assert_abs_diff_eq!(warp.bow, 5.0, epsilon = 1e-6);
}

/// Surfaced sizes of the hardwood rules: 4/4, 5/4 and 8/4 read in a dealer's chart, the others from memory.
#[test]
fn hardwood_is_surfaced_to_its_size() {
    for (quarters, inches) in [
        (4, 13.0 / 16.0),
        (5, 1.0625),
        (6, 1.3125),
        (8, 1.75),
        (10, 2.25),
        (12, 2.75),
    ] {
        let (found, size) = surfaced_size(f64::from(quarters) / 4.0 * INCH).unwrap();
        assert_eq!(found, quarters);
        assert_abs_diff_eq!(size, inches * INCH, epsilon = 1e-9);
    }
    assert_eq!(surfaced_size(0.75 * INCH), None);
}

/// 8/4 × 7 in × 9 ft = 10.5; 4/4 × 6 in × 8 ft = 4.0; 5/8 counts as 1 in; 30 % waste means dividing by 0.70 (trade practice).
#[test]
fn board_feet_are_counted_as_the_trade_does() {
    let feet = |t: f64, w: f64, l: f64| board_feet(t * INCH, w * INCH, l * 12.0 * INCH);
    assert_abs_diff_eq!(feet(2.0, 7.0, 9.0), 10.5, epsilon = 1e-12);
    assert_abs_diff_eq!(feet(1.0, 6.0, 8.0), 4.0, epsilon = 1e-12);
    assert_abs_diff_eq!(feet(0.625, 6.0, 8.0), 4.0, epsilon = 1e-12);
    assert_abs_diff_eq!(with_waste(7.0, 0.30), 10.0, epsilon = 1e-12);
}

fn purchase(need: f64, losses: Losses) -> Purchase {
    Purchase {
        need: need * INCH,
        length: 96.0 * INCH,
        width: 7.0 * INCH,
        count: 2,
        waste: 0.30,
        certainty: 0.5,
        losses,
        species: Some("white oak".to_owned()),
        shop: shop("unit = \"in\"\n[[price]]\nper-board-foot = 8\n"),
    }
}

/// Common practice: four-quarter comes out at 3/4 or 13/16 in, five-quarter at 1 or 1-1/16, six-quarter at 1-1/4 or 1-5/16,
/// eight-quarter at 1-3/4: as likely as not the lower of each.
#[test]
fn the_usual_quarter_is_advised() {
    for (need, quarters) in [(0.75, 4), (1.0, 5), (1.25, 6), (1.75, 8)] {
        let asked = purchase(need, Losses::Usual);
        let found = Buying::new(&asked);
        let advised = found.choices[found.advised.unwrap()];
        assert_eq!(advised.quarters, quarters, "{need}");
        assert_abs_diff_eq!(advised.thickness(), 6.35 * f64::from(quarters));
        assert!(!found.own_record);
        assert_abs_diff_eq!(
            advised.net_board_feet,
            2.0 * f64::from(quarters) / 4.0 * 7.0 * 8.0 / 12.0,
            epsilon = 1e-9
        );
        assert_abs_diff_eq!(
            advised.money.unwrap(),
            advised.net_board_feet / 0.70 * 8.0,
            epsilon = 1e-9
        );
    }
}

#[test]
fn a_shops_own_record_counts_instead() {
    let lossy = Losses::Record([0.3, 0.35, 0.4, 0.3, 0.45].map(|l| l * INCH).to_vec());
    let found = Buying::new(&purchase(1.0, lossy));
    assert!(found.own_record);
    // 5/4 leaves too little each time: one chance in seven by the rule of succession.
    assert_abs_diff_eq!(found.choices[0].chance, 1.0 / 7.0, epsilon = 1e-12);
    assert_eq!(found.choices[found.advised.unwrap()].quarters, 6);
    let few = Buying::new(&purchase(1.0, Losses::Record(vec![20.0; 4])));
    assert!(!few.own_record);
}

#[test]
fn a_board_is_planned_whole() {
    let board = board(1500.0, 180.0, 40.0, warped(1.0, 2.0, 3.0));
    let asked = question(Shop::default());
    let water = Water::default();
    let milled = Milled::new(&board, vec![piece(&board, 30.0)], &asked, &water).unwrap();
    let (_, plan) = &milled.pieces[0];
    let days: Vec<u8> = plan.steps.iter().map(|s| s.day).collect();
    assert!(days.is_sorted() && days[0] == 1 && days[days.len() - 1] == 2);
    assert!(matches!(
        plan.steps.last().unwrap().task,
        Task::Smooth { .. }
    ));
    assert_eq!(milled.water.house, 8.0);
}

/// A flat board with a lump at one place and a hollow at another: a piece is as thick as its own readings leave it, and what is
/// expected of it balanced falls short of shimmed as at the readings.
#[test]
fn a_piece_is_laid_by_its_own_readings() {
    let lump = |u: f64, v: f64| match (u, v) {
        (u, 0.0) if (u - 2.0 / 3.0).abs() < 1e-9 => -3.0,
        (-1.0, -1.0) => -1.0,
        _ => 0.0,
    };
    let board = board(1800.0, 200.0, 40.0, lump);
    let planned = |[from, to]: [f64; 2], [near, far]: [f64; 2]| {
        let rough = Window {
            from,
            to,
            near,
            far,
        };
        Planned {
            board: 0,
            part: 0,
            making: Making::Whole,
            rough,
            finished: rough,
            thickness: 30.0,
            interval: Interval {
                expected: 36.0,
                low: 35.5,
                high: 36.75,
            },
            chance: 0.97,
            chance_unmoved: 0.98,
        }
    };
    let cut = |along: [f64; 2], across: [f64; 2]| {
        let planned = planned(along, across);
        Piece::cut(&board, "rail".to_owned(), &planned, [500.0, 90.0]).unwrap()
    };
    // Away from both it is flat, but for what their faces tell between the readings; with the hollow in its middle, 3 mm less.
    let flat = cut([300.0, 1200.0], [0.0, 200.0]);
    assert!((39.5..=40.0).contains(&flat.flattening.shimmed.gap()));
    let hollow = cut([1210.0, 1790.0], [10.0, 190.0]);
    assert!((36.9..37.6).contains(&hollow.flattening.shimmed.gap()));
    let corner = cut([0.0, 590.0], [0.0, 200.0]);
    let [shimmed, balanced] = [
        corner.flattening.shimmed.gap(),
        corner.flattening.balanced.gap(),
    ];
    assert!(shimmed < 40.0 && balanced <= shimmed);
    let survives = hollow.survives.unwrap();
    let less = hollow.flattening.shimmed.gap() - hollow.flattening.balanced.gap();
    assert_eq!(survives.shimmed, planned([0.0; 2], [0.0; 2]).interval);
    for (balanced, shimmed) in [
        (survives.balanced.expected, 36.0),
        (survives.balanced.low, 35.5),
        (survives.balanced.high, 36.75),
    ] {
        assert_abs_diff_eq!(balanced, shimmed - less, epsilon = 1e-9);
    }
    assert_eq!(survives.chance, 0.97);
    assert_eq!((hollow.need, hollow.finished), (30.0, Some([500.0, 90.0])));
    let Outline {
        x0,
        y0,
        length,
        width,
    } = hollow.outline;
    assert_eq!([x0, y0, length, width], [1210.0, 10.0, 580.0, 180.0]);
}

/// What water costs until the second day is counted with what tension does, and said where the wood left does not carry it.
#[test]
fn water_counts_on_the_second_day() {
    let flat = board(1000.0, 200.0, 40.0, warped(0.0, 0.0, 0.0));
    let asked = question(shop(
        "unit = \"mm\"\n[movement]\nbow = 0\ncup = 0\n[milling]\nrough-allowance = \"3 mm\"\n",
    ));
    let with = |drying| MillPlan::new(&piece(&flat, 30.0), &asked, drying);
    let dry = with(Drying::default());
    assert_eq!((dry.moves.mean, dry.may_move_more), (0.0, false));
    let little = with(Drying {
        cup: 2.5,
        thinner: 0.4,
    });
    assert_abs_diff_eq!(little.moves.nine_in_ten, 2.9, epsilon = 1e-9);
    assert!(!little.may_move_more);
    let much = with(Drying {
        cup: 2.5,
        thinner: 0.6,
    });
    assert!(much.may_move_more);
    assert_eq!(much.verdict, Verdict::Carries { spare: 7.0 });
}

/// The cup and shrinkage that a board's plan counts are those that its outlook tells, by its own width: white oak from 14 to
/// 8 % shrinks 6 · 0.00180 radially (Wood Handbook, table 13-5), and cups by (s_T − s_R) w² / 4R to first order.
#[test]
fn a_plan_counts_its_own_water() {
    let mut oak = board(1000.0, 200.0, 40.0, warped(0.0, 0.0, 0.0));
    oak.about.species = Some("white oak".to_owned());
    let water = Water {
        species: oak.about.species.clone(),
        sawn: Some(Sawn::Flat),
        size: [1.0, 1.0],
        moisture: Some(14.0),
        pith: Some(400.0),
        ..Water::default()
    };
    let asked = question(Shop::default());
    let milled = Milled::new(&oak, vec![piece(&oak, 30.0)], &asked, &water).unwrap();
    let drying = milled.pieces[0].1.drying;
    assert_abs_diff_eq!(drying.thinner, 30.0 * 6.0 * 0.001_80, epsilon = 1e-9);
    let first_order = 6.0 * (0.003_65 - 0.001_80) * 200.0 * 200.0 / 1600.0;
    assert_abs_diff_eq!(drying.cup, first_order, epsilon = 0.1 * first_order);
}

/// No piece under a machine's least size is sent to it, be it the jointer, the planer, the router sled or the table saw; what
/// goes over none is planed by hand, and the plan says that pieces may be left in one length.
#[test]
fn minimum_sizes_are_kept() {
    let text = "unit = \"mm\"\n[saw]\nmin-length = 400\n[jointer]\nmin-length = 350\nmin-thickness = 15\n\
                [planer]\nmin-length = 380\nmin-thickness = 10\nsled-height = 0\n[sled]\nmin-thickness = 12\n";
    let asked = question(shop(text));
    let of = |length: f64, need: f64| {
        plan(
            &board(length, 120.0, 40.0, warped(0.0, 0.0, 0.0)),
            need,
            &asked,
        )
    };
    let saws = |plan: &MillPlan| {
        let tasks = plan.steps.iter().filter_map(|step| match step.task {
            Task::RipRough { saw, .. } | Task::Size { saw, .. } => Some(saw),
            _ => None,
        });
        tasks.collect::<Vec<bool>>()
    };
    let long = of(400.0, 25.0);
    assert_eq!(
        (long.machine, long.second_machine),
        (Machine::Jointer, Machine::Planer)
    );
    assert_eq!((saws(&long), long.too_short), (vec![true, true], false));
    let unripped = of(399.0, 25.0);
    assert_eq!(
        (unripped.machine, saws(&unripped)),
        (Machine::Jointer, vec![false, false])
    );
    let unplaned = of(379.0, 25.0);
    assert_eq!(
        (
            unplaned.machine,
            unplaned.second_machine,
            unplaned.too_short
        ),
        (Machine::Jointer, Machine::RouterSled, true)
    );
    let unjointed = of(349.0, 25.0);
    assert_eq!(
        (unjointed.machine, unjointed.too_short),
        (Machine::RouterSled, true)
    );
    let edge = |plan: &MillPlan| {
        let found = plan.steps.iter().find_map(|step| match step.task {
            Task::FirstEdge { machine } => Some(machine),
            _ => None,
        });
        found.unwrap()
    };
    assert_eq!(
        [edge(&unplaned), edge(&unjointed)],
        [Machine::Jointer, Machine::HandPlanes]
    );
    for (need, first, second) in [
        (14.0, Machine::RouterSled, Machine::Planer),
        (11.0, Machine::PlanerSled, Machine::Planer),
        (9.0, Machine::HandPlanes, Machine::HandPlanes),
    ] {
        let thin = of(500.0, need);
        assert_eq!(
            (thin.machine, thin.second_machine),
            (first, second),
            "{need}"
        );
        assert!(thin.refused.iter().any(|r| r.limit == Limit::MinThickness));
    }
}
