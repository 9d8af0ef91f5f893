//! Layouts beside a general-purpose solver of mixed-integer programmes on the same windows.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

mod common;

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

use common::layouts::{Drawn, check, middling};
use common::random::Random;
use microlp::{ComparisonOp, LinearExpr, OptimizationDirection, Problem, SolveOutcome};
use outwind::cutting::layout::{Task, search};

/// The most finished face by the solver: its incumbent, and whether it proved that there is none better.
///
/// A variable says that a section is sawn, one that an item lies at a start of it. Sections of a sheet share no step, items
/// of a section no start (of two that overlap, one begins within the other), and no more is made than wanted.
fn programme(task: &Task, drawn: &Drawn, limit: Duration) -> Option<(f64, bool)> {
    let mut problem = Problem::new(OptimizationDirection::Maximize);
    let mut wanted: Vec<LinearExpr> = task.demands.iter().map(|_| LinearExpr::empty()).collect();
    let mut lengths: Vec<u32> = task.items.iter().map(|i| i.length).collect();
    lengths.sort_unstable();
    lengths.dedup();
    for (s, sheet) in task.sheets.iter().enumerate() {
        let mut steps: BTreeMap<u32, LinearExpr> = BTreeMap::new();
        let fits = |k: usize, at: u32, length: u32, start: usize| {
            let item = &task.items[k];
            item.length <= length
                && sheet.starts[start] + item.width <= sheet.width
                && (at..=at + length - item.length)
                    .any(|a| drawn.heights[s][k][a as usize * sheet.starts.len() + start] > 0)
        };
        for &length in &lengths {
            for at in 0..(sheet.length + 1).saturating_sub(length) {
                let mut rows: Vec<LinearExpr> =
                    sheet.starts.iter().map(|_| LinearExpr::empty()).collect();
                let section = problem.add_binary_var(0.0);
                for (k, item) in task.items.iter().enumerate() {
                    for start in (0..sheet.starts.len()).filter(|s| fits(k, at, length, *s)) {
                        let demand = &task.demands[item.demand];
                        let lies = problem.add_binary_var(demand.area);
                        wanted[item.demand].add(lies, 1.0);
                        for (row, place) in rows.iter_mut().zip(&sheet.starts) {
                            if (sheet.starts[start]..sheet.starts[start] + item.width)
                                .contains(place)
                            {
                                row.add(lies, 1.0);
                            }
                        }
                    }
                }
                for mut row in rows {
                    row.add(section, -1.0);
                    problem.add_constraint(row, ComparisonOp::Le, 0.0);
                }
                for step in at..at + length {
                    steps
                        .entry(step)
                        .or_insert_with(LinearExpr::empty)
                        .add(section, 1.0);
                }
            }
        }
        for (_, row) in steps {
            problem.add_constraint(row, ComparisonOp::Le, 1.0);
        }
    }
    for (row, demand) in wanted.into_iter().zip(&task.demands) {
        problem.add_constraint(row, ComparisonOp::Le, f64::from(demand.units));
    }
    problem.set_time_limit(limit);
    match problem.solve() {
        Ok(SolveOutcome::Solution(found)) => Some((
            found.objective(),
            found.status() == microlp::SolutionStatus::Optimal,
        )),
        _ => None,
    }
}

/// Prints the table of docs/cutting.md: SECONDS for the solver in each of 30 cases.
#[test]
#[ignore = "takes minutes; prints a table"]
fn beside_the_solver() {
    let seconds = std::env::var("SECONDS")
        .ok()
        .and_then(|s| s.parse().ok())
        .unwrap_or(20);
    let mut random = Random::new(21);
    let sizes = [
        (2, 8),
        (3, 12),
        (4, 20),
        (6, 20),
        (8, 30),
        (10, 40),
        (12, 60),
        (16, 60),
        (20, 60),
        (30, 60),
    ];
    for (boards, parts) in sizes {
        for _ in 0..3 {
            let (task, mut drawn) = middling(&mut random, boards, parts);
            let start = Instant::now();
            let layout = search(&task, &mut drawn);
            let own = start.elapsed();
            check(&task, &drawn, &layout);
            let area = layout.score.area;
            let start = Instant::now();
            let solver = programme(&task, &drawn, Duration::from_secs(seconds));
            let told = match solver {
                Some((found, proven)) => {
                    assert!(
                        found <= layout.most * (1.0 + 1e-6),
                        "the solver passes the bound"
                    );
                    let least = if proven { 0.99 } else { 1.0 - 1e-6 };
                    assert!(area >= least * found, "{area} of the solver's {found}");
                    format!(
                        "{found:.2}{}, ours {:+.2} %",
                        if proven { " proven" } else { "" },
                        100.0 * (area / found - 1.0)
                    )
                }
                None => "nothing".to_owned(),
            };
            println!(
                "{boards} boards, {parts} parts: {area:.2} in {own:.2?}, bound {:.2}; solver {told} in {:.2?}",
                layout.most,
                start.elapsed()
            );
        }
    }
}

/// Small enough for the solver to prove its answer: ours is within 1 in 100 of it in every case, and as much in most.
#[test]
fn small_programmes_are_proven_and_matched() {
    let mut random = Random::new(22);
    let (mut as_much, cases) = (0, 24);
    for case in 0..cases {
        let (task, mut drawn) = middling(&mut random, 2 + case % 5, 8 + 3 * (case % 5));
        let layout = search(&task, &mut drawn);
        check(&task, &drawn, &layout);
        let (found, proven) = programme(&task, &drawn, Duration::from_secs(120)).unwrap();
        assert!(proven, "case {case} took too long");
        let area = layout.score.area;
        assert!(
            layout.most >= found * (1.0 - 1e-6),
            "case {case}: the bound {} lies under {found}",
            layout.most
        );
        assert!(
            area <= found * (1.0 + 1e-6) && area >= 0.99 * found,
            "case {case}: {area} of {found}"
        );
        as_much += usize::from(area >= found * (1.0 - 1e-6));
    }
    println!("as much as the solver proves in {as_much} of {cases}");
    assert!(as_much >= 20);
}
