//! Shapes whose answer is known in closed form, derived by hand: bow b, cup c, corner lift T on an even thickness.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

mod common;

use approx::assert_abs_diff_eq;
use common::{flattened, grid, lowered};

const L: f64 = 2000.0;
const W: f64 = 200.0;
const THICK: f64 = 50.0;

/// The loss of flattening a board of bow, cup and corner lift: as laid, balanced, shimmed.
fn losses(bow: f64, cup: f64, lift: f64, nx: usize, ny: usize) -> [f64; 3] {
    let up = grid(L, W, nx, ny, |u, v| {
        bow * (1.0 - u * u) + cup * (1.0 - v * v) + lift / 4.0 * u * v
    });
    let found = flattened(&up, &lowered(&up, THICK)).unwrap();
    assert!(found.slack < 1e-9, "slack {}", found.slack);
    [&found.as_laid, &found.balanced, &found.shimmed].map(|way| THICK - way.thickness())
}

#[test]
fn bow_or_cup_alone_is_lost_once() {
    for [_, balanced, shimmed] in [losses(6.0, 0.0, 0.0, 81, 21), losses(0.0, 6.0, 0.0, 81, 21)] {
        assert_abs_diff_eq!(shimmed, 6.0, epsilon = 1e-9);
        assert_abs_diff_eq!(balanced, 6.0, epsilon = 1e-9);
    }
}

#[test]
fn twist_alone_costs_half_when_split_and_all_on_three_corners() {
    let [as_laid, balanced, shimmed] = losses(0.0, 0.0, 8.0, 81, 21);
    println!("{as_laid} {balanced} {shimmed}");
    assert_abs_diff_eq!(shimmed, 4.0, epsilon = 1e-3);
    assert_abs_diff_eq!(balanced, 4.0, epsilon = 1e-3);
    assert_abs_diff_eq!(as_laid, 8.0, epsilon = 0.05);
}

#[test]
fn the_sums_of_the_trade_hold_on_fine_grids() {
    // (bow, cup, lift, loss)
    let same = |b: f64, c: f64, t: f64| b + c + t / 4.0;
    let opposite = |b: f64, c: f64, t: f64| b + c + t * t / 64.0 * (1.0 / b + 1.0 / c);
    for (b, c, t, loss) in [
        (6.0, 0.0, 10.0, 6.0 + 2.5 + 100.0 / (64.0 * 6.0)),
        (1.0, 0.0, 10.0, 5.0),
        (6.0, 4.0, 0.0, 10.0),
        (6.0, -4.0, 0.0, 10.0),
        (6.0, 4.0, 10.0, same(6.0, 4.0, 10.0)),
        (6.0, -4.0, 10.0, opposite(6.0, 4.0, 10.0)),
    ] {
        let [as_laid, balanced, shimmed] = losses(b, c, t, 401, 401);
        println!("{b} {c} {t}: {loss} {as_laid} {balanced} {shimmed}");
        assert_abs_diff_eq!(shimmed, loss, epsilon = 5e-3);
    }
}
