//! `moved`: known movements are found, and a board that stays as it is seldom seems to have moved.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

mod simulator;

use outwind::board::{Board, Down, Particulars, ReadingErrors, SetUp};
use outwind::flatten::{Change, Expectation, Interval, Moved, Question};
use outwind::readings::{Caliper, Face, Gauge, Gauged, Rest, Straightedge};
use simulator::{Board as Wood, Dice, KINDS, SIXTY_FOURTH, with_rounding};

/// What a board does between two surveys, mm, over its whole length and width.
#[derive(Clone, Copy, Default)]
struct Movement {
    cup: f64,
    bow: f64,
    twist: f64,
}

/// Heights of the up face on a grid that begins `inset` mm within the ends and edges, and calipers along both edges, read
/// with errors as the program takes them to be, to 1/64 in.
fn survey(wood: &Wood, movement: Movement, inset: f64, dice: &mut Dice) -> Board {
    const STATIONS: usize = 7;
    let outline = wood.outline;
    let even = |extent: f64, count: usize, i: usize| {
        inset + (extent - 2.0 * inset) * i as f64 / (count - 1) as f64
    };
    let mut read =
        |value: f64, sd: f64| ((value + sd * dice.normal()) / SIXTY_FOURTH).round() * SIXTY_FOURTH;
    let (mut up, mut calipers) = (Vec::new(), Vec::new());
    for i in 0..STATIONS {
        let x = even(outline.length, STATIONS, i);
        for j in 0..3 {
            let y = even(outline.width, 3, j);
            let (u, v) = outline.unit_place(x, y);
            let moved = movement.bow * (1.0 - u * u) + movement.cup * (1.0 - v * v);
            let moved = moved + movement.twist / 4.0 * u * v;
            let [top, bottom] = wood.faces(x, y);
            up.push([x, y, read(top + moved, 0.3)]);
            if j != 1 {
                let thickness = read(top - bottom, 0.15);
                calipers.push(Caliper { x, y, thickness });
            }
        }
    }
    Board::new(Particulars {
        length: Some(outline.length),
        width: Some(outline.width),
        up,
        down: Down {
            calipers,
            ..Down::default()
        },
        errors: ReadingErrors {
            up: with_rounding(0.3),
            down: with_rounding(0.3),
            caliper: with_rounding(0.15),
            ..ReadingErrors::default()
        },
        ..Particulars::default()
    })
    .unwrap()
}

/// Boards of every kind, read twice; the movement may differ from board to board, by its number.
fn pairs(
    each: u64,
    expectation: bool,
    insets: [f64; 2],
    movement: impl Fn(u64) -> Movement,
) -> Vec<Moved> {
    let question = Question {
        need: None,
        support_spacing: 250.0,
        sizes: Vec::new(),
        expectation,
    };
    let mut pairs = Vec::new();
    for kind in KINDS {
        for k in 0..each {
            let mut dice = Dice::new(77 * (k + 1) + 1_000 * kind as u64);
            let wood = Wood::new(kind, &mut dice);
            let before = survey(&wood, Movement::default(), insets[0], &mut dice);
            let after = survey(&wood, movement(k), insets[1], &mut dice);
            pairs.push(Moved::new(&before, &after, &question));
        }
    }
    pairs
}

fn seems_moved(moved: &Moved) -> bool {
    moved.changes().any(Change::beyond_error)
}

fn share(pairs: &[Moved], what: impl Fn(&Moved) -> bool) -> f64 {
    pairs.iter().filter(|m| what(m)).count() as f64 / pairs.len() as f64
}

/// The control: nothing moved. Three figures at 1.25 in 100 each are 3.7 in 100 together, were they independent; of
/// 2,100 boards that is within 1.3 of it, three standard deviations.
#[test]
fn a_board_that_stays_seldom_seems_to_have_moved() {
    let same = pairs(300, false, [0.0, 0.0], |_| Movement::default());
    assert!(
        same.iter()
            .all(|m| m.same_places && m.changes().count() == 3)
    );
    let alarms = share(&same, seems_moved);
    println!(
        "same places: {:.1} false alarms in 100 of {}",
        100.0 * alarms,
        same.len()
    );
    assert!((0.024..=0.05).contains(&alarms), "{alarms}");

    let elsewhere = pairs(300, false, [0.0, 40.0], |_| Movement::default());
    assert!(elsewhere.iter().all(|m| !m.same_places));
    let alarms = share(&elsewhere, seems_moved);
    println!("other places: {:.1} false alarms in 100", 100.0 * alarms);
    assert!(alarms <= 0.05, "{alarms}");
}

/// With the thickness that survives, whose interval takes in the wood between the readings of each survey.
#[test]
fn the_thickness_raises_no_false_alarms_either() {
    let still = pairs(12, true, [0.0, 0.0], |_| Movement::default());
    assert!(still.iter().all(|m| m.changes().count() == 4));
    let of_thickness = share(&still, |m| m.survives.unwrap().beyond_error());
    let n = still.len() as f64;
    let by = |m: &Moved| m.survives.unwrap().by();
    let rms = (still.iter().map(|m| by(m).powi(2)).sum::<f64>() / n).sqrt();
    let shown = still.iter().map(|m| m.survives.unwrap().error).sum::<f64>() / n / 2.4977;
    println!(
        "thickness: {:.1} false alarms in 100 of {n}, {rms:.3} rms, shown {shown:.3} mm",
        100.0 * of_thickness
    );
    assert!(of_thickness <= 0.05, "{of_thickness}");
    assert!((0.75..1.25).contains(&(rms / shown)), "{rms} {shown}");
    // A cup of 1 mm is five times its error; of what survives, whose error is larger, it is less than the error shown.
    let worn = pairs(6, true, [0.0, 0.0], |_| Movement {
        cup: 1.0,
        ..Movement::default()
    });
    let [of_cup, of_thickness] = [
        (|m: &Moved| m.cup) as fn(&Moved) -> Option<Change>,
        |m: &Moved| m.survives,
    ]
    .map(|of| share(&worn, |m| of(m).unwrap().beyond_error()));
    println!("1 mm of cup: seen in cup {of_cup:.2}, in thickness {of_thickness:.2}");
    assert!(of_cup > 0.95, "{of_cup}");
    // A cup of 5 mm costs about as much thickness: flattening takes the whole of it.
    let cupped = pairs(2, true, [0.0, 0.0], |_| Movement {
        cup: 5.0,
        ..Movement::default()
    });
    let found = share(&cupped, |m| m.cup.unwrap().beyond_error());
    assert!(found > 0.99, "{found}");
}

#[test]
fn the_same_places_are_those_of_both_surveys() {
    let question = Question {
        need: None,
        support_spacing: 254.0,
        sizes: Vec::new(),
        expectation: false,
    };
    let places: Vec<[f64; 3]> = (0..9)
        .map(|k| {
            [
                f64::from(k / 3) * 500.0,
                f64::from(k % 3) * 100.0,
                0.1 * f64::from(k % 4),
            ]
        })
        .collect();
    let gap = |at: f64| Gauged {
        gauge: Gauge::Straightedge(Straightedge {
            face: Face::Up,
            from: [0.0, 0.0],
            to: [1000.0, 0.0],
            rest: Rest::Wood,
            at: [at, 0.0],
            gap: 0.5,
        }),
        sd: 0.3,
    };
    let over_another = SetUp {
        datum: 1,
        face: Face::Up,
        turned: false,
        points: places[..4].to_vec(),
        sd: 0.3,
        stated: false,
    };
    let plain = Particulars {
        up: places.clone(),
        down: Down {
            thickness: Some(30.0),
            ..Down::default()
        },
        gauged: vec![gap(300.0)],
        ..Particulars::default()
    };
    let with = |change: &dyn Fn(&mut Particulars)| {
        let mut other = plain.clone();
        change(&mut other);
        Board::new(other).unwrap()
    };
    let same = with(&|_| ());
    let others = [
        with(&|p| p.up.push([250.0, 50.0, 0.1])),
        with(&|p| p.up[4][0] += 20.0),
        with(&|p| p.gauged.push(gap(700.0))),
        with(&|p| p.gauged[0] = gap(500.0)),
        with(&|p| p.set_ups.push(over_another.clone())),
    ];
    // A rule is laid down again within a few millimetres.
    let near = with(&|p| p.up[4][0] += 1.0);
    let places = |a: &Board, b: &Board| Moved::new(a, b, &question).same_places;
    assert!(places(&same, &same) && places(&same, &near) && places(&near, &same));
    for other in &others {
        assert!(!places(&same, other) && !places(other, &same));
    }
}

/// Read at other places, the wood between the readings is another each time: the whole interval counts. The largest of the four
/// errors shown is 2.4977 standard deviations, 90 % of a normal distribution 1.645 either way (NIST/SEMATECH e-Handbook of
/// Statistical Methods, 1.3.6.7.1).
#[test]
fn read_elsewhere_the_thickness_is_as_unsure_as_both_intervals() {
    let mut survive = 0;
    for moved in pairs(1, true, [0.0, 15.0], |_| Movement::default()) {
        assert!(!moved.same_places);
        let answers = [&moved.before, &moved.after].map(|answer| answer.expectation.as_ref());
        if answers.iter().any(|e| e.unwrap().shimmed.high == 0.0) {
            continue;
        }
        survive += 1;
        let variance = |expectation: &Expectation| {
            let Interval { low, high, .. } = expectation.shimmed;
            ((high - low) / 2.0 / 1.644_854).powi(2)
        };
        let both: f64 = answers.into_iter().map(|e| variance(e.unwrap())).sum();
        let shown = moved.survives.unwrap().error;
        assert!((shown / both.sqrt() - 2.4977).abs() < 1e-3, "{shown}");
    }
    assert!(survive >= 5, "{survive}");
}

/// A movement twice as large as the error shown is found nearly always, and is told at its size.
#[test]
fn known_movements_are_found_at_their_size() {
    let movement = Movement {
        cup: 2.0,
        bow: -3.0,
        twist: 5.0,
    };
    let moved = pairs(60, false, [0.0, 0.0], |_| movement);
    for (name, truth, of) in [
        ("cup", movement.cup, (|m: &Moved| m.cup) as fn(&Moved) -> _),
        ("bow", movement.bow, |m: &Moved| m.bow),
        ("twist", movement.twist, |m: &Moved| m.twist),
    ] {
        let found = share(&moved, |m| of(m).unwrap().beyond_error());
        let n = moved.len() as f64;
        let off = |m: &Moved| of(m).unwrap().by() - truth;
        let bias = moved.iter().map(off).sum::<f64>() / n;
        let rms = (moved.iter().map(|m| off(m).powi(2)).sum::<f64>() / n).sqrt();
        let shown = moved.iter().map(|m| of(m).unwrap().error).sum::<f64>() / n / 2.4977;
        println!(
            "{name}: found in {:.1} of 100, off by {bias:+.3} mm, {rms:.3} rms, shown {shown:.3}",
            100.0 * found
        );
        assert!(found > 0.99, "{name}: {found}");
        assert!(bias.abs() < 4.0 * shown / n.sqrt(), "{name}: {bias}");
        assert!(
            (0.85..1.15).contains(&(rms / shown)),
            "{name}: {rms} {shown}"
        );
    }
}
