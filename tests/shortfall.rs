//! What a shop falls short by, on top of what the readings say, beside values of the normal distribution (NIST/SEMATECH
//! e-Handbook of Statistical Methods, 1.3.6.7.1: 0.8413 lies below one standard deviation, 0.9772 below two).

#![allow(clippy::unwrap_used)]

mod common;

use approx::assert_abs_diff_eq;
use common::grid;
use outwind::board::{Board, Down, Particulars};
use outwind::flatten::{Expectation, Interval, Question, Shortfall};

#[test]
fn what_is_left_reaches_a_thickness_as_the_normal_distribution_says() {
    let short = Shortfall { mean: 0.4, sd: 0.3 };
    for (surviving, chance) in [
        (20.4, 0.5),
        (20.7, 0.8413),
        (21.0, 0.9772),
        (20.1, 1.0 - 0.8413),
    ] {
        assert_abs_diff_eq!(short.reaches(surviving, 20.0), chance, epsilon = 5e-5);
    }
    let sure = Shortfall { mean: 0.4, sd: 0.0 };
    for (surviving, chance) in [(20.4, 1.0), (20.399, 0.0), (20.4 - 1e-12, 1.0)] {
        assert_abs_diff_eq!(sure.reaches(surviving, 20.0), chance);
    }
}

/// Independent normal errors add by squares: 0.3 and 0.4 are 0.5 together.
#[test]
fn an_interval_moves_by_the_mean_and_widens_by_the_root_of_the_sum_of_squares() {
    let of = |expected: f64| Interval {
        expected,
        low: expected - 0.3,
        high: expected + 0.8,
    };
    // Half of 90 % is 1.644854 standard deviations.
    let short = |mean: f64, half: f64| Shortfall {
        mean,
        sd: half / 1.644_853_627,
    };
    let Interval {
        expected,
        low,
        high,
    } = of(20.0).short_by(&short(0.7, 0.4));
    assert_abs_diff_eq!(expected, 19.3, epsilon = 1e-6);
    assert_abs_diff_eq!(low, 19.3 - 0.5, epsilon = 1e-6);
    assert_abs_diff_eq!(high, 19.3 + 0.8_f64.hypot(0.4), epsilon = 1e-6);
    assert_eq!(of(20.0).short_by(&short(0.0, 0.0)), of(20.0));
    let nothing = of(0.2).short_by(&short(0.7, 0.1));
    assert_eq!([nothing.expected, nothing.low], [0.0, 0.0]);
    assert_abs_diff_eq!(nothing.high, -0.5 + 0.8_f64.hypot(0.1), epsilon = 1e-6);
}

#[test]
fn a_board_of_such_a_shop_is_expected_thinner_and_less_surely() {
    let up = grid(1500.0, 180.0, 7, 3, |u, v| {
        3.0 * (1.0 - u * u) + 0.7 * u * v
    });
    let board = Board::new(Particulars {
        up,
        down: Down {
            thickness: Some(30.0),
            ..Down::default()
        },
        ..Particulars::default()
    });
    let question = Question {
        need: None,
        support_spacing: 250.0,
        sizes: Vec::new(),
        expectation: true,
    };
    let answer = outwind::flatten::Answer::new(&board.unwrap(), &question);
    let plain: Expectation = answer.expectation.unwrap();
    let short = Shortfall { mean: 0.5, sd: 0.6 };
    let there = plain.clone().short_by(short);
    assert_eq!(there.shortfall, Some(short));
    for (a, b) in [
        (plain.as_laid, there.as_laid),
        (plain.balanced, there.balanced),
        (plain.shimmed, there.shimmed),
    ] {
        assert_eq!(b, a.short_by(&short));
    }
    let (a, b) = (
        plain.read_next.clone().unwrap(),
        there.read_next.clone().unwrap(),
    );
    let more = 1.644_853_627 * 0.6;
    assert_abs_diff_eq!(b.now, a.now.hypot(more), epsilon = 1e-6);
    assert_abs_diff_eq!(b.then, a.then.hypot(more), epsilon = 1e-6);
    assert_eq!(a.reading, b.reading);
    // As likely as not it reaches what is left of the middle of a nearly normal distribution.
    let half = there.chance(plain.shimmed.expected - 0.5);
    assert!((half - 0.5).abs() < 0.03, "{half}");
    assert!(there.chance(plain.shimmed.expected) < 0.5);
    assert!((plain.chance(plain.shimmed.low) - 0.95).abs() < 0.002);
    // Once a standard deviation of both together further down.
    let plain_sd = (plain.shimmed.high - plain.shimmed.low) / 2.0 / 1.644_853_627;
    let down = plain.shimmed.expected - 0.5 - plain_sd.hypot(0.6);
    assert!((there.chance(down) - 0.8413).abs() < 0.03);
}
