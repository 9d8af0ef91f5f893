//! Layouts: beside every layout of small tasks.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

mod common;

use common::layouts::{best_of_all, check, real, small};
use common::random::Random;
use outwind::cutting::layout::{exact, search};

/// 2,000 tasks of up to 12 stations by 4 strips, six parts and two boards: face made, margin, cuts and offcut, in each order
/// of preference.
#[test]
fn it_is_the_best_of_all_layouts() {
    let mut random = Random::new(11);
    let (mut whole, mut made, mut differ) = (0, 0, 0);
    for case in 0..2000 {
        let (mut task, mut drawn) = small(&mut random, 2);
        let all = best_of_all(&task, &drawn);
        for (prefer, best) in all {
            task.prefer = prefer;
            let layout = exact(&task, &mut drawn).unwrap();
            check(&task, &drawn, &layout);
            assert!(
                layout.score.compare(&best, prefer).is_eq(),
                "case {case}: {:?} of {best:?}\n{task:?}",
                layout.score
            );
        }
        let [best, fewest, longest] = all.map(|(_, best)| best);
        differ += usize::from(fewest.cuts < best.cuts || longest.offcut > best.offcut);
        let wanted: f64 = task.demands.iter().map(|d| d.made(d.units)).sum();
        whole += usize::from(best.area == wanted);
        made += usize::from(best.area > 0.0);
    }
    println!(
        "{whole} of 2,000 lists made whole, {made} at least in part; orders differ in {differ}"
    );
    assert!(differ > 100);
    assert!(whole > 200 && whole < 1800 && made > 1500);
}

/// The search for real sizes on small tasks: it can be cut, it is what it says, its bound holds the best of all, and most
/// often it makes as much.
#[test]
fn the_search_comes_near_the_best_and_its_bound_holds() {
    let mut random = Random::new(12);
    let (mut as_much, mut made, mut possible, mut bounds) = (0, 0.0, 0.0, 0.0);
    for case in 0..300 {
        let (task, mut drawn) = small(&mut random, 2);
        let layout = search(&task, &mut drawn);
        check(&task, &drawn, &layout);
        let best = exact(&task, &mut drawn).unwrap().score;
        assert!(
            layout.most >= best.area * (1.0 - 1e-9),
            "case {case}: bound {} under {}",
            layout.most,
            best.area
        );
        assert!(layout.score.area <= best.area * (1.0 + 1e-9));
        as_much += usize::from(layout.score.area >= best.area * (1.0 - 1e-9));
        made += layout.score.area;
        possible += best.area;
        bounds += layout.most;
    }
    println!(
        "as much as can be made in {as_much} of 300; {:.4} of it over all; bounds {:.4}",
        made / possible,
        bounds / possible
    );
    assert!(as_much >= 290 && made / possible > 0.995);
}

/// Prints time, gap and growth over sizes.
#[test]
#[ignore = "prints a table"]
fn real_sizes() {
    let mut random = Random::new(13);
    for (boards, parts, along) in [
        (3, 10, 300),
        (10, 20, 300),
        (10, 60, 300),
        (30, 60, 150),
        (30, 60, 300),
        (30, 60, 600),
        (12, 60, 300),
        (6, 60, 300),
    ] {
        let start = std::time::Instant::now();
        let (mut gaps, mut whole) = (Vec::new(), 0);
        for _ in 0..5 {
            let (task, mut drawn) = real(&mut random, boards, parts, along);
            let layout = search(&task, &mut drawn);
            check(&task, &drawn, &layout);
            let wanted: f64 = task.demands.iter().map(|d| d.made(d.units)).sum();
            whole += usize::from(layout.score.area >= wanted);
            gaps.push(100.0 * (1.0 - layout.score.area / layout.most));
        }
        println!(
            "{boards} boards, {parts} parts, {along} steps: {:?} each, short of the bound by % {gaps:.2?}, {whole} of 5 lists whole",
            start.elapsed() / 5
        );
    }
}
