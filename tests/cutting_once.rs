//! The one crosscut that `flatten` offers, beside what is said of all ways to cut the same board.

#![allow(clippy::unwrap_used)]

use outwind::board::{Board, Down, Particulars};
use outwind::cutting::{Allowances, CutFirst, CutOnce, CutQuestion, Movement, WayKind};
use outwind::flatten::{Answer, Question};
use outwind::length::Length;

const LENGTH: f64 = 1800.0;
const WIDTH: f64 = 180.0;

/// A board 28 mm thick, bent up by `sharp` mm at end B from a station on, read at seven stations and three positions.
fn bent(at: f64, sharp: f64) -> Board {
    let heights = (0..7 * 3).map(|k| {
        let (x, y) = (
            LENGTH * f64::from(k / 3) / 6.0,
            WIDTH * f64::from(k % 3) / 2.0,
        );
        [x, y, sharp * ((x - at) / (LENGTH - at)).max(0.0)]
    });
    Board::new(Particulars {
        name: "bent".to_owned(),
        up: heights.collect(),
        down: Down {
            thickness: Some(28.0),
            ..Down::default()
        },
        ..Particulars::default()
    })
    .unwrap()
}

fn question(sizes: &[f64]) -> CutQuestion {
    CutQuestion {
        allowances: Allowances::default(),
        movement: Movement::default(),
        shortfall: None,
        step: 5.0,
        certainty: 0.9,
        sizes: sizes.to_vec(),
    }
}

fn once(board: &Board, need: Option<f64>, sizes: &[f64]) -> Option<CutOnce> {
    let asked = Question {
        need: need.map(Length::from_mm),
        support_spacing: 250.0,
        sizes: sizes.iter().copied().map(Length::from_mm).collect(),
        expectation: true,
    };
    let (answer, known) = Answer::with_known(board, &asked);
    let whole = answer.expectation.unwrap();
    CutOnce::new(&known.unwrap(), &whole, need, &question(sizes))
}

#[test]
fn what_is_offered_is_what_all_ways_say() {
    let sizes = [10.0, 15.0, 18.0, 20.0, 22.0, 25.0, 27.0];
    let mut offered = 0;
    for (at, sharp) in [
        (1200.0, 12.0),
        (900.0, 8.0),
        (600.0, 5.0),
        (0.0, 0.3),
        (1500.0, 3.0),
    ] {
        let board = bent(at, sharp);
        let all = CutFirst::new(&board, question(&sizes)).unwrap();
        let two = |kind| matches!(kind, WayKind::Lengths(2) | WayKind::Uneven(2));
        let whole = all.size(&all.ways[0]);
        let thickest = all
            .ways
            .iter()
            .filter(|w| two(w.kind))
            .filter_map(|w| all.size(w))
            .fold(0.0, f64::max);
        match once(&board, None, &sizes) {
            Some(cut) => {
                offered += 1;
                assert_eq!(cut.size, thickest, "{at}");
                assert!(whole.is_none_or(|w| w < cut.size), "{at}");
                assert_eq!(cut.whole.map(|w| w.0), whole);
                let same = all.ways.iter().find(|w| {
                    two(w.kind) && w.cuts[0].at == cut.at && w.chance(cut.size) == cut.chance
                });
                assert!(same.is_some(), "{cut:?} is none of the ways");
                assert!(cut.chance >= 0.9);
            }
            None => assert!(whole.is_some_and(|w| thickest <= w), "{at}: {thickest}"),
        }
    }
    assert!((2..5).contains(&offered), "{offered} offered");
}

#[test]
fn it_is_offered_for_a_need_only_where_the_whole_does_not_make_it() {
    let board = bent(1200.0, 12.0);
    // The line from end to end passes 12 · 2/3 = 8 mm over the bend: the whole comes out at 20 mm, two straight pieces at 28.
    let cut = once(&board, Some(24.0), &[20.0, 25.0]).unwrap();
    assert_eq!(cut.size, 24.0);
    assert!((cut.at - 1200.0).abs() < 200.0, "{cut:?}");
    assert_eq!(
        once(&board, Some(15.0), &[20.0, 25.0]),
        None,
        "the whole makes it"
    );
    assert_eq!(
        once(&board, Some(28.5), &[20.0, 25.0]),
        None,
        "nothing makes it"
    );
}
