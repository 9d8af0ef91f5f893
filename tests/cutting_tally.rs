//! Board feet and cost of a plan, and what to buy for what is short, by hand.

#![allow(clippy::unwrap_used)]

mod common;

use approx::assert_relative_eq;
use common::plans::{LENGTH, WIDTH, evidence, flat, part, question};
use outwind::board::{Board, Down, Particulars};
use outwind::cutting::{Buy, Plan, Stocked, Tally, USUAL_LOSS};
use outwind::length::Unit;
use outwind::readings::{About, read_shop};
use outwind::shop::Shop;

const INCH: f64 = 25.4;
/// A board foot is 1 ft × 1 ft × 1 in (common practice).
const FOOT: f64 = 12.0 * INCH * 12.0 * INCH * INCH;

fn board(species: &str) -> Board {
    Board::new(Particulars {
        name: species.to_owned(),
        up: vec![[0.0, 0.0, 30.0], [LENGTH, WIDTH, 30.0]],
        down: Down {
            thickness: Some(30.0),
            ..Down::default()
        },
        about: About {
            species: Some(species.to_owned()),
            ..About::default()
        },
        ..Particulars::default()
    })
    .unwrap()
}

fn shop(text: &str) -> Shop {
    Shop::new(&read_shop(text.as_bytes(), "shop.toml", Some(Unit::Inch)).unwrap())
}

#[test]
fn board_feet_in_and_out_and_what_they_cost() {
    let boards = [board("oak"), board("ash"), board("oak")];
    let stocked = [flat(30.0), flat(20.0), flat(30.0)];
    let list = vec![part("panel", 9, [600.0, 100.0, 15.0])];
    let plan = Plan::new(&stocked, question(list));
    let oak = "[[price]]\nspecies = \"oak\"\nper-board-foot = 10\n";
    let tally = Tally::new(&plan, &boards, &stocked, &shop(oak));
    let rough = LENGTH * WIDTH / FOOT;
    let each: Vec<(usize, f64)> = tally.taken.iter().map(|t| (t.board, t.feet)).collect();
    for (board, feet) in &each {
        // 20 mm count as an inch.
        let thick = if *board == 1 { INCH } else { 30.0 };
        assert_relative_eq!(*feet, rough * thick, max_relative = 1e-9);
    }
    // Six panels fit one board, so that one is left on the rack.
    assert_eq!(each.len(), 2);
    assert_relative_eq!(
        tally.finished,
        9.0 * 600.0 * 100.0 * 15.0 / FOOT,
        max_relative = 1e-9
    );
    assert_relative_eq!(
        tally.share(),
        tally.finished / each.iter().map(|e| e.1).sum::<f64>(),
        max_relative = 1e-9
    );
    let of_oak: f64 = each.iter().filter(|e| e.0 != 1).map(|e| e.1 * 10.0).sum();
    assert_relative_eq!(tally.cost().unwrap(), of_oak, max_relative = 1e-9);
    assert_eq!(
        Tally::new(&plan, &boards, &stocked, &Shop::default()).cost(),
        None
    );
}

fn to_buy(stocked: &[Stocked], list: Vec<outwind::cutting::Wanted>) -> Buy {
    Plan::new(stocked, question(list)).short[0].buy
}

#[test]
fn the_board_to_buy_holds_the_part_its_allowances_and_the_loss() {
    let buy = to_buy(&[flat(30.0)], vec![part("leg", 4, [400.0, 60.0, 45.0])]);
    // A flat board loses nothing; 45 mm and the usual 3/16 in are 49.8 mm, of 8/4 (50.8 mm) and not of 6/4.
    assert_eq!(
        (buy.quarters, buy.loss, buy.shown),
        (Some(8), USUAL_LOSS, false)
    );
    // 3/8 in over the width; 1 in over the length, 1/8 in off each end and between two pieces.
    assert_relative_eq!(buy.width, 60.0 + 3.0 / 8.0 * INCH, epsilon = 1e-9);
    assert_relative_eq!(buy.length, 400.0 + INCH + INCH / 4.0, epsilon = 1e-9);
    assert_relative_eq!(
        buy.length_for_all,
        4.0 * (400.0 + INCH) + 3.0 * INCH / 8.0 + INCH / 4.0,
        epsilon = 1e-9
    );

    let mut top = part("top", 1, [900.0, 500.0, 20.0]);
    top.strips = 4;
    let buy = to_buy(&[flat(20.0)], vec![top]);
    // Four strips with three glue lines of 3/16 in, one after the other.
    let glued = 3.0 * 3.0 / 16.0 * INCH;
    assert_relative_eq!(
        buy.width,
        (500.0 + glued) / 4.0 + 3.0 / 8.0 * INCH,
        epsilon = 1e-9
    );
    assert_relative_eq!(
        buy.length,
        4.0 * (900.0 + INCH) + 3.0 * INCH / 8.0 + INCH / 4.0,
        epsilon = 1e-9
    );
    let thick = vec![part("newel", 1, [400.0, 100.0, 100.0])];
    assert_eq!(to_buy(&[flat(30.0)], thick).quarters, None);
}

#[test]
fn the_loss_is_that_of_these_boards_where_they_lose_more() {
    // Crowned by 20 mm over its length, thicker there: 30 + 20 · 2/3 mm on average. A piece of 1,900 mm in its middle
    // comes out as thick as its ends, at u = 0.95.
    let crowned = Stocked {
        evidence: evidence(30.0, 0.0, |x, _| {
            let u = 2.0 * x / LENGTH - 1.0;
            20.0 * (1.0 - u * u)
        }),
        ..flat(30.0)
    };
    let buy = to_buy(&[crowned], vec![part("rail", 1, [1900.0, 100.0, 60.0])]);
    let loss = 20.0 * 2.0 / 3.0 - 20.0 * (1.0 - 0.95 * 0.95);
    assert!(buy.shown);
    assert_relative_eq!(buy.loss, loss, epsilon = 0.2);
    assert_eq!(buy.quarters, Some(12));
}
