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

/// The loss at the best attitude by the formulas of bow b, cup c and corner lift t, each magnitude within its limits.
fn loss(b: f64, c: f64, t: f64) -> f64 {
    let sense = b * c;
    let (b, c, t) = (b.abs(), c.abs(), t.abs());
    if b == 0.0 || c == 0.0 {
        let d = b.max(c);
        if d >= t / 8.0 && d > 0.0 {
            d + t / 4.0 + t * t / (64.0 * d)
        } else {
            t / 2.0
        }
    } else if sense > 0.0 {
        assert!(t <= 8.0 * (b * c).sqrt());
        b + c + t / 4.0
    } else {
        assert!(t <= 8.0 * b.min(c));
        b + c + t * t / 64.0 * (1.0 / b + 1.0 / c)
    }
}

#[test]
fn the_sums_of_the_trade_hold_on_fine_grids() {
    for (b, c, t) in [
        (6.0, 0.0, 10.0),
        (0.0, 6.0, 10.0),
        (1.0, 0.0, 10.0),
        (0.0, 1.0, 10.0),
        (6.0, 4.0, 0.0),
        (6.0, -4.0, 0.0),
        (-6.0, -4.0, 10.0),
        (6.0, 4.0, 10.0),
        (6.0, -4.0, 10.0),
        (-3.0, 2.0, 15.0),
    ] {
        let [as_laid, balanced, shimmed] = losses(b, c, t, 401, 401);
        println!("{b} {c} {t}: {as_laid} {balanced} {shimmed}");
        assert_abs_diff_eq!(shimmed, loss(b, c, t), epsilon = 5e-3);
        assert!(balanced >= shimmed && as_laid >= shimmed);
    }
}

/// The losses of the pieces when the board of bow, cup and corner lift is cut into equal lengths and widths.
fn pieces(bow: f64, cup: f64, lift: f64, lengths: usize, widths: usize) -> Vec<f64> {
    let mut found = Vec::new();
    for i in 0..lengths {
        for j in 0..widths {
            let part = |w: f64, k: usize, n: usize| (w + 1.0 + 2.0 * k as f64) / n as f64 - 1.0;
            let (long, wide) = (L / lengths as f64, W / widths as f64);
            let up = grid(long, wide, 161, 161, |u, v| {
                let (u, v) = (part(u, i, lengths), part(v, j, widths));
                bow * (1.0 - u * u) + cup * (1.0 - v * v) + lift / 4.0 * u * v
            });
            let found_here = flattened(&up, &lowered(&up, THICK)).unwrap();
            found.push(THICK - found_here.shimmed.thickness());
        }
    }
    found
}

#[test]
fn equal_lengths_divide_bow_by_the_square_and_twist_once() {
    // A mild cup: a piece of a steep one lies tilted, and its thickness square to the planes is less.
    let (b, c, t) = (6.0, 1.0, 8.0);
    for n in 2..=4 {
        let k = n as f64;
        for loss_here in pieces(b, c, t, n, 1) {
            assert_abs_diff_eq!(loss_here, loss(b / (k * k), c, t / k), epsilon = 0.01);
        }
        for loss_here in pieces(b, c, t, 1, n) {
            assert_abs_diff_eq!(loss_here, loss(b, c / (k * k), t / k), epsilon = 0.01);
        }
    }
}
