//! Speed of a plan as a ratio to flattening each of its windows on its own, and its growth. `cargo bench --bench cutting`
//! prints them; nothing asserts them.

#![allow(clippy::print_stdout)]

use std::hint::black_box;
use std::time::{Duration, Instant};

use outwind::board::Outline;
use outwind::cutting::{
    Allowances, Draws, Evidence, Ground, Movement, Pieces, Plan, PlanQuestion, Prefer, Stocked,
    Wanted, Window,
};
use outwind::surface::estimate::{Faces, halton_normal};

const LENGTH: f64 = 3000.0;
const WIDTH: f64 = 300.0;

/// Draws of a bowed, cupped and twisted board, 35 mm thick, with waves; each draw other than the last.
fn draws(count: usize, first: usize) -> Draws {
    let drawn = (0..count).map(|draw| {
        let shape: Vec<f64> = (0..6).map(|k| halton_normal(first + draw, k)).collect();
        let face = |below: f64| {
            (0..49 * 9)
                .map(|k| {
                    let (u, v) = (f64::from(k / 9) / 24.0 - 1.0, f64::from(k % 9) / 4.0 - 1.0);
                    let form = (6.0 + 0.3 * shape[0]) * u * u
                        + (2.0 + 0.2 * shape[1]) * v * v
                        + (1.5 + 0.2 * shape[2]) * u * v;
                    let waves = 0.3 * shape[3] * (5.0 * u + shape[4]).sin()
                        + 0.2 * shape[5] * (3.0 * v + 2.0 * u).cos();
                    [
                        (u + 1.0) * LENGTH / 2.0,
                        (v + 1.0) * WIDTH / 2.0,
                        form + waves - below,
                    ]
                })
                .collect()
        };
        Faces {
            up: face(0.0),
            down: face(35.0),
        }
    });
    Draws::of(drawn, 9, Movement::default(), first)
}

/// So many kinds of part, two of each, of all sizes and of thicknesses between what the whole board leaves and what a small
/// piece does.
fn parts(kinds: usize) -> Vec<Wanted> {
    (0..kinds)
        .map(|k| Wanted {
            name: format!("part {k}"),
            count: 2,
            length: 300.0 + 90.0 * k as f64,
            width: 40.0 + 16.0 * (k * 3 % 10) as f64,
            thickness: 34.0 - 0.6 * (k * 7 % 10) as f64,
            from_one_board: None,
            strips: 1,
            resaw: false,
            certainty: None,
        })
        .collect()
}

fn main() {
    let evidence = Evidence {
        whole: draws(200, 0),
        choosing: draws(200, 1000),
        stating: draws(200, 2000),
    };
    let alone = {
        let mut pieces = Pieces::new(&evidence.choosing);
        let windows: Vec<Window> = (0..200)
            .map(|k| {
                let part = &parts(10)[k % 10];
                let from = (LENGTH - part.length) * k as f64 / 200.0;
                let near = (WIDTH - part.width) * (k * 7 % 200) as f64 / 200.0;
                Window {
                    from,
                    to: from + part.length,
                    near,
                    far: near + part.width,
                }
            })
            .collect();
        let start = Instant::now();
        for window in &windows {
            black_box(pieces.thicknesses(window));
        }
        start.elapsed() / windows.len() as u32
    };
    println!("one window on its own: {alone:?}");
    let outline = Outline {
        x0: 0.0,
        y0: 0.0,
        length: LENGTH,
        width: WIDTH,
    };
    let stocked = [Stocked {
        name: "board".to_owned(),
        ground: Ground::rectangle(outline),
        evidence,
    }];
    for (step, kinds) in [(2.0, 10), (4.0, 10), (8.0, 10), (2.0, 5), (2.0, 2)] {
        let question = PlanQuestion {
            wanted: parts(kinds),
            allowances: Allowances::default(),
            step,
            certainty: 0.9,
            prefer: Prefer::Margin,
        };
        let start = Instant::now();
        let plan = Plan::new(&stocked, question);
        let spent = start.elapsed();
        let each: Duration = alone.mul_f64(plan.places as f64);
        println!(
            "steps of {step} mm, {kinds:2} kinds: {} places, {spent:.2?}; each on its own {each:.1?}, {:.0} times as long; {:.0} \
             times as many draws flattened",
            plan.places,
            each.as_secs_f64() / spent.as_secs_f64(),
            plan.places as f64 * 200.0 / plan.flattened as f64
        );
    }
}
