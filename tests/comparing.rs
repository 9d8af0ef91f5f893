//! What a book's predictions and actuals add up to, beside sums done by hand.

#![allow(clippy::unwrap_used)]

use outwind::book::{
    Actual, Compared, Comparison, Content, Doubt, Entry, Labels, Learnt, Made, Prediction, Prior,
    doubts,
};
use outwind::flatten::{Interval, Shortfall};
use outwind::length::Unit;

fn labels(machine: &str, wood: &str) -> Labels {
    [Some(machine.to_owned()), Some(wood.to_owned()), None]
}

fn prediction(board: &str, expected: f64) -> Prediction {
    Prediction {
        board: board.to_owned(),
        piece: None,
        survey: None,
        unit: Unit::Millimetre,
        plain: Interval {
            expected: expected + 0.4,
            low: expected - 0.1,
            high: expected + 0.8,
        },
        stated: Interval {
            expected,
            low: expected - 0.6,
            high: expected + 0.5,
        },
        shortfall: Shortfall { mean: 0.4, sd: 0.3 },
        learnt_from: 0,
        rough: Some(expected + 5.0),
        labels: labels("planer", "oak"),
    }
}

fn actual(of: i64, thicknesses: &[f64]) -> Content {
    Content::Actual(Actual {
        prediction: of,
        thicknesses: thicknesses.to_vec(),
        rounding: 0.03,
        sure: false,
    })
}

fn entries(contents: Vec<Content>) -> Vec<Entry> {
    let entry = |(k, content)| Entry {
        number: k as i64 + 1,
        made: Made::default(),
        undone: None,
        content,
    };
    contents.into_iter().enumerate().map(entry).collect()
}

#[test]
fn actuals_go_to_their_predictions() {
    let of = |board: &str, expected: f64| Content::Prediction(prediction(board, expected));
    let mut learnt = prediction("d", 24.0);
    learnt.learnt_from = 5;
    let all = entries(vec![
        of("a", 20.0),
        of("b", 21.0),
        of("c", 22.0),
        of("b", 21.5), // surveyed again before it was milled
        actual(1, &[19.9, 19.4]),
        actual(4, &[22.0]),
        Content::Prediction(learnt),
        actual(7, &[23.8]),
        of("A ", 18.0),
    ]);
    let comparison = Comparison::new(&all);
    let actuals: Vec<_> = comparison.pieces.iter().map(|p| p.actual).collect();
    assert_eq!(
        actuals,
        [Some(19.4), None, None, Some(22.0), Some(23.8), None]
    );
    let inside: Vec<_> = comparison.pieces.iter().map(Compared::inside).collect();
    assert_eq!(
        inside,
        [Some(true), None, None, Some(true), Some(true), None]
    );
    assert_eq!(comparison.boards, 3);
    let open: Vec<_> = comparison.open().map(|p| p.entry).collect();
    assert_eq!(open, [3, 9]);
    assert_eq!(comparison.latest(" a").unwrap().entry, 1);
    assert_eq!(comparison.latest("B").unwrap().entry, 4);
    assert!(comparison.latest("e").is_none());
    // Predicted less actual: 0.6 and −0.5 before the loss was reckoned with, 0.2 since.
    let [before, since] = comparison.off_before_and_since().map(Option::unwrap);
    assert!((before - 0.05).abs() < 1e-9 && (since - 0.2).abs() < 1e-9);
    assert_eq!(comparison.inside(), Some(1.0));
    let none = Comparison::new(&all[..3]);
    assert_eq!(none.inside(), None);
    assert_eq!(none.off_before_and_since(), [None, None]);
    // An entry that was undone counts no more.
    let mut undone = all.clone();
    undone[4].undone = Some("2026-11-26T10:00:00Z".to_owned());
    assert_eq!(Comparison::new(&undone).pieces[0].actual, None);
}

#[test]
fn a_hair_beyond_the_interval_is_still_inside() {
    for (actual_mm, inside) in [
        (19.4 - 1e-9, true),
        (20.5 + 1e-9, true),
        (19.399, false),
        (20.501, false),
        (20.0, true),
    ] {
        let all = entries(vec![
            Content::Prediction(prediction("a", 20.0)),
            actual(1, &[actual_mm]),
        ]);
        let comparison = Comparison::new(&all);
        assert_eq!(comparison.pieces[0].inside(), Some(inside), "{actual_mm}");
        assert_eq!(comparison.inside(), Some(f64::from(u8::from(inside))));
    }
}

/// Milled boards, the k-th short by 0.1 k mm of what was stated: 0.4 + 0.1 k of the prediction as without any loss.
fn milled(count: usize) -> Comparison {
    let contents = (0..count).flat_map(|k| {
        let mut prediction = prediction(&format!("board {k}"), 20.0);
        if k % 2 == 1 {
            prediction.labels = labels("sled", "ash");
        }
        let number = 2 * k as i64 + 1;
        [
            Content::Prediction(prediction),
            actual(number, &[20.0 - 0.1 * k as f64]),
        ]
    });
    Comparison::new(&entries(contents.collect()))
}

#[test]
fn the_shop_is_known_from_the_fifth_board_on() {
    for count in 0..7 {
        let comparison = milled(count);
        assert_eq!(comparison.knows_the_shop(), count >= 4, "{count}");
        let shortfall = comparison.shortfall(&labels("planer", "oak"));
        let prior = Learnt::new(&[], &Prior::default()).next(&labels("planer", "oak"));
        if count < 4 {
            assert_eq!(shortfall.mean, 0.0);
            assert_eq!(shortfall.sd, prior.sd());
        } else {
            let next = comparison.learnt.next(&labels("planer", "oak"));
            assert_eq!((shortfall.mean, shortfall.sd), (next.mean, next.sd()));
            assert!(shortfall.mean > 0.2 && shortfall.sd < prior.sd());
        }
    }
}

#[test]
fn boards_alike_tell_what_is_lost_where_there_are_enough() {
    // From 25 mm at the thickest to what came out.
    let lost = |comparison: &Comparison, asked: Labels| {
        let mut record = comparison.record(&asked);
        record.sort_by(f64::total_cmp);
        let tenths = record.iter().map(|mm| (mm * 10.0).round() as i64);
        tenths.collect::<Vec<_>>()
    };
    let ten = milled(10);
    assert_eq!(lost(&ten, labels("planer", "oak")), [50, 52, 54, 56, 58]);
    assert_eq!(lost(&ten, labels("sled", "ash")), [51, 53, 55, 57, 59]);
    let wood_alone = [None, Some("ash".to_owned()), None];
    assert_eq!(lost(&ten, wood_alone), [51, 53, 55, 57, 59]);
    let all: Vec<i64> = (50..60).collect();
    assert_eq!(lost(&ten, labels("sled", "oak")), all);
    assert_eq!(lost(&ten, [None, None, None]), all);
    // Four with the sled are too few.
    assert_eq!(
        lost(&milled(9), labels("sled", "ash")),
        (50..59).collect::<Vec<i64>>()
    );
    let groups = ten.by_group();
    let counts: Vec<_> = groups
        .iter()
        .map(|g| (g.label.as_str(), g.pieces))
        .collect();
    assert_eq!(counts, [("planer", 5), ("sled", 5), ("oak", 5), ("ash", 5)]);
}

#[test]
fn a_thickness_is_doubted_where_it_is_far_off_or_cannot_be() {
    // Stated 20 mm, −0.6 to +0.5: far is more than 2 × 0.55 + 2 = 3.1 mm off. 25 mm at its thickest, rough.
    let prediction = prediction("a", 20.0);
    let of = |thicknesses: &[f64]| doubts(&prediction, thicknesses);
    let far = |actual: f64| Doubt::FarOff {
        actual,
        predicted: 20.0,
    };
    assert_eq!(of(&[20.0]), []);
    assert_eq!(of(&[16.95, 19.0]), []);
    assert_eq!(of(&[23.05]), []);
    assert_eq!(of(&[16.85]), [far(16.85)]);
    assert_eq!(of(&[23.15]), [far(23.15)]);
    // A caliper's error and dust: half a millimetre.
    let thicker = |actual: f64| Doubt::ThickerThanRough {
        actual,
        rough: 25.0,
    };
    assert_eq!(of(&[25.45]), [far(25.45)]);
    assert_eq!(of(&[25.55]), [thicker(25.55), far(25.55)]);
    // Given in inches, or in millimetres where inches were meant.
    assert_eq!(
        of(&[20.0 / 25.4]),
        [far(20.0 / 25.4), Doubt::OtherUnit(Unit::Inch)]
    );
    assert_eq!(
        of(&[20.0 * 25.4]),
        [
            thicker(508.0),
            far(508.0),
            Doubt::OtherUnit(Unit::Millimetre)
        ]
    );
    let uneven = of(&[18.9, 22.1]);
    assert_eq!(uneven.len(), 1);
    assert!(matches!(uneven[0], Doubt::Uneven { .. }), "{uneven:?}");
    assert_eq!(of(&[19.0, 21.9]), []);
}
