//! Scans in a scanner's own frame: how the board lay is found by its edges, for motions that are known, and what survives is what
//! it would be had the places been known.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use std::process::{Command, Output, Stdio};

mod moved_scans;
mod scanned;
mod simulator;

use moved_scans::{Flaws, Motion, Points, any_motion, scan};
use nalgebra::{Matrix2, Vector2};
use outwind::board::{Board, BoardError, Lay, NoLay, Side, Stated};
use outwind::flatten::{Answer, Evidence, Laid};
use outwind::readings::{
    Caliper, Calipers, EdgesAt, EndA, Face, Frame, HeightSet, Heights, Layout, Point, Record,
    Survey,
};
use outwind::surface::Known;
use scanned::{Scanned, question};
use simulator::{Dice, Kind};

fn find(points: &[Point], size: [f64; 2], motion: &Motion, end_a: EndA) -> Result<Lay, NoLay> {
    let stated = Stated {
        size: size.map(Some),
        edges: &[],
        end_a: Some(end_a),
        high: false,
    };
    Lay::find(&[points], motion.turned, &stated)
}

/// How far off the lay is: its middle along and across, mm, and its direction, radians.
fn off(lay: &Lay, motion: &Motion, size: [f64; 2]) -> [f64; 3] {
    let middle = size.map(|size| size / 2.0);
    let found = lay.place(motion.seen(middle));
    let ahead = lay.place(motion.seen([middle[0] + 1.0, middle[1]]));
    [
        found[0] - middle[0],
        found[1] - middle[1],
        (ahead[1] - found[1]).atan2(ahead[0] - found[0]),
    ]
}

/// A hundred boards of other sizes under other motions: how many of the 90 % intervals of the middle's station and position and of
/// the direction hold the motion; prints how far off they are.
fn held(
    name: &str,
    seed: u64,
    points: impl Fn(&mut Dice) -> Points,
    flaws: impl Fn(&mut Dice) -> Flaws,
) -> [u32; 3] {
    let (mut inside, mut squares, mut refused) = ([0; 3], [0.0; 3], 0);
    for k in 0..100 {
        let mut dice = Dice::new(seed * 1000 + k);
        let size = [dice.uniform(1200.0, 2600.0), dice.uniform(120.0, 300.0)];
        let (motion, end_a) = any_motion(&mut dice);
        let (points, flaws) = (points(&mut dice), flaws(&mut dice));
        let points = scan(size, &motion, points, &flaws, &mut dice, |_, _, _| 0.0);
        let Ok(lay) = find(&points, size, &motion, end_a) else {
            refused += 1;
            continue;
        };
        let off = off(&lay, &motion, size);
        let [along, across] = lay.middle_error;
        for (i, sd) in [along, across, lay.direction_error].into_iter().enumerate() {
            inside[i] += u32::from(off[i].abs() <= 1.645 * sd);
            squares[i] += off[i] * off[i] / 100.0;
        }
    }
    let [along, across, turn] = squares.map(f64::sqrt);
    println!(
        "{name}: inside 90 %: {inside:?}; off by {along:.2} mm along, {across:.2} mm across, {:.3} mrad (RMS); refused {refused}",
        1e3 * turn
    );
    assert!(refused <= 3, "{refused} refused");
    inside
}

/// Of a hundred intervals of 90 % between 81 and 99 hold what they should, three standard errors either way.
#[test]
fn known_motions_lie_within_their_error() {
    let scattered = |dice: &mut Dice| Points::Scattered(dice.uniform(1.5, 6.0));
    let rows = |dice: &mut Dice| Points::Rows(dice.uniform(1.0, 5.0), dice.uniform(1.0, 5.0));
    let flaws = |dice: &mut Dice| Flaws {
        noise: dice.uniform(0.0, 0.3),
        uneven: [dice.uniform(0.0, 0.7), dice.uniform(0.0, 0.5)],
        missing: [
            dice.below(2) as f64,
            dice.below(2) as f64,
            dice.uniform(0.03, 0.1),
            dice.uniform(0.05, 0.3),
        ],
        strays: dice.uniform(0.0, 0.003),
    };
    for (inside, least, most) in [
        (
            held("scattered", 1, scattered, |_| Flaws::default()),
            81,
            99,
        ),
        (held("scattered, flawed", 3, scattered, flaws), 81, 99),
        // Of rows the error is an upper bound: where between two of them the edge lies is as likely anywhere.
        (held("in rows", 2, rows, |_| Flaws::default()), 90, 100),
        (held("in rows, flawed", 4, rows, flaws), 85, 100),
    ] {
        assert!(
            inside.iter().all(|n| (least..=most).contains(n)),
            "{inside:?}"
        );
    }
}

/// Rows exactly along the board: nothing tells where between two rows an edge lies, and the error says so.
#[test]
fn rows_along_the_board_leave_their_distance_open() {
    let (size, apart) = ([2000.0, 200.0], 5.0);
    for k in 0..10 {
        let mut dice = Dice::new(k);
        let motion = Motion {
            degrees: 0.0,
            corner: [dice.uniform(-50.0, 50.0), dice.uniform(-50.0, 50.0)],
            turned: dice.coin(),
        };
        let rows = Points::Rows(apart, apart);
        let points = scan(
            size,
            &motion,
            rows,
            &Flaws::default(),
            &mut dice,
            |_, _, _| 0.0,
        );
        let lay = find(&points, size, &motion, EndA::LowX).unwrap();
        let off = off(&lay, &motion, size);
        for (off, sd) in off.into_iter().zip(lay.middle_error) {
            assert!((0.8..1.3).contains(&sd), "{sd}");
            assert!(off.abs() <= apart / 2.0 + 1e-6, "{off}");
        }
        assert!(off[2].abs() <= 3.0 * lay.direction_error);
    }
}

/// Known correspondences, aligned by least squares (W. Kabsch, "A solution for the best rotation to relate two sets of vectors",
/// 1976) with a general-purpose singular value decomposition: without noise that is the motion itself.
#[test]
fn agrees_with_known_correspondences() {
    let size = [1800.0, 220.0];
    for k in 0..8 {
        let mut dice = Dice::new(70 + k);
        let (motion, end_a) = any_motion(&mut dice);
        let flaws = Flaws::default();
        let points = scan(
            size,
            &motion,
            Points::Scattered(3.0),
            &flaws,
            &mut dice,
            |_, _, _| 0.0,
        );
        let pairs: Vec<[Vector2<f64>; 2]> = points
            .iter()
            .map(|p| {
                let [x, y] = motion.on_board([p[0], p[1]]);
                [Vector2::new(p[0], p[1]), Vector2::new(x, y)]
            })
            .collect();
        let mean = [0, 1].map(|k: usize| {
            pairs.iter().map(|pair| pair[k]).sum::<Vector2<f64>>() / pairs.len() as f64
        });
        let covariance: Matrix2<f64> = pairs
            .iter()
            .map(|pair| (pair[1] - mean[1]) * (pair[0] - mean[0]).transpose())
            .sum();
        let svd = covariance.svd(true, true);
        let (u, v_t) = (svd.u.unwrap(), svd.v_t.unwrap());
        let hand = (u * v_t).determinant().signum();
        assert_eq!(hand < 0.0, motion.turned);
        let turn = u * v_t;
        let lay = find(&points, size, &motion, end_a).unwrap();
        for corner in [[0.0, 0.0], [size[0], 0.0], [0.0, size[1]], size] {
            let seen = motion.seen(corner);
            let by_pairs = turn * (Vector2::new(seen[0], seen[1]) - mean[0]) + mean[1];
            let found = lay.place(seen);
            let at_end = lay.direction_error * size[0] / 2.0;
            let [along, across] = lay.middle_error;
            assert!(
                (found[0] - by_pairs[0]).abs() < 3.5 * along.hypot(lay.direction_error * 110.0)
            );
            assert!((found[1] - by_pairs[1]).abs() < 3.5 * across.hypot(at_end));
        }
    }
}

/// Boards on which it is counted how often intervals hold that are set by calipers.
const BOARDS: u64 = 30;

/// Height and slopes along and across of the second scan's datum over the turned board.
const LEAN: [f64; 3] = [40.0, 0.004, -0.02];

/// A board under a scanner twice, turned over between, as a survey: the motions, whether the places are those of the scanner, the
/// error of the calipers, and how each scan is flawed.
struct Twice<'a> {
    board: &'a Scanned,
    motions: [Motion; 2],
    own: bool,
    end_a: [Option<EndA>; 2],
    calipers: usize,
    flaws: Flaws,
    seed: u64,
}

impl Twice<'_> {
    fn record(&self) -> Record {
        let size = [self.board.length, self.board.width];
        let mut dice = Dice::new(self.seed);
        let heights = [0, 1].map(|face| {
            let motion = &self.motions[face];
            let out = if face == 0 { 1.0 } else { -1.0 };
            let lean = [[0.0; 3], LEAN][face];
            let height = |x: f64, y: f64, dice: &mut Dice| {
                let noise = self.board.noise * dice.normal();
                out * self.board.rough(face, x, y) + noise + lean[0] + lean[1] * x + lean[2] * y
            };
            let points = Points::Scattered(4.0);
            let mut up = scan(size, motion, points, &self.flaws, &mut dice, height);
            if !self.own {
                for p in &mut up {
                    let [x, y] = motion.on_board([p[0], p[1]]);
                    (p[0], p[1]) = (x, y);
                }
            }
            HeightSet {
                face: [Face::Up, Face::Down][face],
                turned: motion.turned,
                datum: face,
                frame: self.own.then_some(Frame {
                    number: face,
                    end_a: self.end_a[face],
                }),
                heights: Heights {
                    up,
                    down: Vec::new(),
                    layout: Layout::Scattered,
                    unit: None,
                    step_mm: None,
                },
                error: Some(self.board.noise),
            }
        });
        let readings = (0..self.calipers)
            .map(|k| {
                let along = 0.05 + 0.9 * (k / 2) as f64 / (self.calipers / 2 - 1) as f64;
                let (x, y) = (along * size[0], [0.1, 0.9][k % 2] * size[1]);
                Caliper {
                    x,
                    y,
                    thickness: self.board.caliper(x, y) + 0.15 * dice.normal(),
                }
            })
            .collect();
        Record {
            length: Some(size[0]),
            width: Some(size[1]),
            surveys: vec![Survey {
                heights: heights.to_vec(),
                calipers: Some(Calipers {
                    readings,
                    unit: None,
                    step_mm: None,
                }),
                ..Survey::default()
            }],
            ..Record::default()
        }
    }

    fn answer(&self) -> Answer {
        let board = Board::from_record(self.record(), "twice").unwrap();
        Answer::new(&board, &question())
    }
}

fn twice(board: &Scanned) -> Twice<'_> {
    Twice {
        board,
        motions: [
            Motion {
                degrees: 1.7,
                corner: [31.0, -12.0],
                turned: false,
            },
            Motion {
                degrees: -2.4,
                corner: [-8.0, 240.0],
                turned: true,
            },
        ],
        own: true,
        end_a: [None; 2],
        calipers: 8,
        flaws: Flaws::default(),
        seed: 9,
    }
}

fn shimmed(answer: &Answer) -> [f64; 3] {
    let e = answer.expectation.as_ref().unwrap().shimmed;
    [e.low, e.expected, e.high]
}

/// What survives is that of the same scans with their places known, within what the edges leave open, and holds the truth.
#[test]
fn survives_as_with_known_places() {
    for (kind, seed) in [(Kind::Smooth, 5), (Kind::Kinked, 6), (Kind::Tapered, 7)] {
        let board = Scanned::new(kind, seed);
        let truth = board.survives();
        let known = Twice {
            own: false,
            ..twice(&board)
        };
        let known = shimmed(&known.answer());
        let corner = Flaws {
            noise: 0.2,
            uneven: [0.4, 0.3],
            missing: [1.0, 0.0, 0.06, 0.2],
            strays: 0.0,
        };
        for flaws in [Flaws::default(), corner] {
            let answer = Twice {
                flaws,
                ..twice(&board)
            }
            .answer();
            let found = shimmed(&answer);
            let moves: f64 = answer.laid.iter().map(|l| l.sure.unwrap().moves).sum();
            println!(
                "{kind:?} known {known:.3?}, found {found:.3?} ± {moves:.3}, truth {truth:.3}"
            );
            // The flawed scan is another draw of points, too. Of the same points other ones stand for a cell, since the cells
            // are cut anew in the frame that was found: by that the answer may move a fifth of its half-width.
            let fifth = (known[2] - known[0]) / 10.0;
            let apart = 3.0 * moves + if flaws.noise > 0.0 { 0.1 } else { fifth };
            assert!((found[1] - known[1]).abs() < apart, "{found:?} {known:?}");
            assert!(found[0] <= truth && truth <= found[2], "{found:?} {truth}");
            let [height, along, across] = answer.laid[1].sure.unwrap().datum.unwrap();
            assert!(answer.laid[0].sure.unwrap().datum.is_none());
            // Eight calipers of 0.15 mm, and the depths of both faces' roughness.
            assert!((0.03..0.3).contains(&height), "{height}");
            assert!((0.03..0.3).contains(&along) && (0.03..0.3).contains(&across));
        }
    }
}

/// Calipers decide how the second scan's datum lies: of 90 % intervals of its height and of its lean along and across, those that
/// hold; four to eight calipers with errors of 0.15 mm.
#[test]
fn calipers_decide_height_and_lean() {
    let (mut inside, mut half) = ([0; 3], [0.0; 3]);
    for k in 0..BOARDS {
        let kind = [Kind::Smooth, Kind::OneEnd, Kind::Tapered][k as usize % 3];
        let board = Scanned::new(kind, 40 + k);
        let twice = Twice {
            calipers: 4 + 2 * (k as usize % 3),
            seed: 100 + k,
            ..twice(&board)
        };
        let read = Board::from_record(twice.record(), "twice").unwrap();
        let known = Known::new(&read).unwrap();
        // Heights count from the mean of either set: out of the up face in the first, out of the down face in the second.
        let second = &read.set_ups[0].points;
        let mean = second.iter().map(|p| p[2]).sum::<f64>() / second.len() as f64;
        let [length, width] = [board.length, board.width];
        let [height, along, across] = LEAN;
        let middle = height + along * length / 2.0 + across * width / 2.0;
        let truth = [
            middle - mean - known.observed.level,
            along * length / 2.0,
            across * width / 2.0,
        ];
        for i in 0..3 {
            let (found, sd) = known.estimate.set_up(i);
            inside[i] += u32::from((found - truth[i]).abs() <= 1.645 * sd);
            half[i] += 1.645 * sd / BOARDS as f64;
        }
    }
    println!("inside 90 %: {inside:?} of {BOARDS}; half-widths {half:.2?} mm");
    // Three standard errors below nine in ten.
    assert!(inside.iter().all(|n| *n >= 22), "{inside:?}");
}

/// The same motion of both scans, and a quarter or half turn that is told, change nothing.
#[test]
fn moved_alike_all_stays() {
    let board = Scanned::new(Kind::Smooth, 5);
    let before = twice(&board);
    let known = shimmed(&before.answer());
    for (turn, shift, end_a) in [
        (3.0, [17.0, -230.0], [None; 2]),
        (-1.3, [1e4, 2e3], [None; 2]),
        (90.0, [5.0, 5.0], [Some(EndA::LowY), None]),
        (180.0, [0.0, 80.0], [Some(EndA::HighX), None]),
        (270.0, [0.0, 0.0], [Some(EndA::HighY), Some(EndA::HighY)]),
    ] {
        let mut after = Twice {
            end_a,
            ..twice(&board)
        };
        for motion in &mut after.motions {
            let turned = Motion {
                degrees: turn,
                corner: shift,
                turned: false,
            };
            motion.corner = turned.seen(motion.corner);
            motion.degrees += turn;
        }
        let found = shimmed(&after.answer());
        for (a, b) in found.into_iter().zip(known) {
            assert!((a - b).abs() < 2e-6, "{turn} {found:?} {known:?}");
        }
    }
}

/// Boards that are no rectangles: the stated taper or live edges are followed.
#[test]
fn stated_edges_are_followed() {
    let rows = [
        (0.0, 0.0, 240.0),
        (700.0, 18.0, 236.0),
        (1500.0, 4.0, 200.0),
        (2000.0, 12.0, 214.0),
    ];
    let live = rows.map(|(station, near, far)| EdgesAt { station, near, far });
    let straight = [(0.0, 0.0, 240.0), (2000.0, 0.0, 190.0)];
    let taper = straight.map(|(station, near, far)| EdgesAt { station, near, far });
    let size = [2000.0, 240.0];
    for edges in [&taper[..], &live] {
        for k in 0..6 {
            let mut dice = Dice::new(300 + k);
            let (motion, end_a) = any_motion(&mut dice);
            let on_board = |p: &Point| {
                let [x, y] = motion.on_board([p[0], p[1]]);
                let at = EdgesAt::along(edges, x).unwrap();
                at.near <= y && y <= at.far
            };
            let flaws = Flaws::default();
            let mut points = scan(
                size,
                &motion,
                Points::Scattered(3.0),
                &flaws,
                &mut dice,
                |_, _, _| 0.0,
            );
            points.retain(on_board);
            let stated = Stated {
                size: [Some(size[0]), Some(size[1])],
                edges,
                end_a: Some(end_a),
                high: false,
            };
            let lay = Lay::find(&[&points], motion.turned, &stated).unwrap();
            let off = off(&lay, &motion, size);
            let [along, across] = lay.middle_error;
            println!("{off:?} {along} {across} {}", lay.direction_error);
            assert!(off[0].abs() < 4.0 * along + 0.1 && along < 1.0, "{off:?}");
            assert!(off[1].abs() < 4.0 * across + 0.1 && across < 0.5, "{off:?}");
            assert!(off[2].abs() < 4.0 * lay.direction_error + 1e-4, "{off:?}");
        }
    }
}

/// Half a turn shows in nothing but what is not even: ends out of square, and calipers.
#[test]
fn half_a_turn_is_noticed_where_it_can_be() {
    let board = Scanned::new(Kind::OneEnd, 11);
    let right = Twice {
        calipers: 20,
        ..twice(&board)
    };
    let wrong = Twice {
        calipers: 20,
        end_a: [None, Some(EndA::HighX)],
        ..twice(&board)
    };
    let laid = |twice: &Twice<'_>| -> Laid { twice.answer().laid[1] };
    let (right, wrong) = (laid(&right), laid(&wrong));
    println!("{:?} {:?}", right.calipers, wrong.calipers);
    assert_eq!(right.other_way, None);
    assert_eq!(wrong.other_way, Some(Evidence::Calipers));
    let skewed = |end_a: Option<EndA>| {
        let mut record = twice(&board).record();
        for (set, motion) in record.surveys[0]
            .heights
            .iter_mut()
            .zip(twice(&board).motions)
        {
            set.frame.as_mut().unwrap().end_a = end_a.filter(|_| set.turned);
            set.heights.up.retain(|p| {
                let [x, y] = motion.on_board([p[0], p[1]]);
                x > 0.1 * y
            });
        }
        let board = Board::from_record(record, "skewed").unwrap();
        Answer::new(&board, &question()).laid[1].other_way
    };
    assert_eq!(skewed(None), None);
    assert_eq!(skewed(Some(EndA::HighX)), Some(Evidence::Outline));
}

/// Where the edges do not tell, that is said.
#[test]
fn what_shows_no_edges_is_refused() {
    let mut dice = Dice::new(1);
    let flaws = Flaws::default();
    let mut at = |size: [f64; 2], degrees: f64, apart: f64| {
        let motion = Motion {
            degrees,
            corner: [0.0; 2],
            turned: false,
        };
        scan(
            size,
            &motion,
            Points::Scattered(apart),
            &flaws,
            &mut dice,
            |_, _, _| 0.0,
        )
    };
    let asked = |points: &[Point], size: [Option<f64>; 2]| {
        let stated = Stated {
            size,
            edges: &[],
            end_a: None,
            high: false,
        };
        Lay::find(&[points], false, &stated)
    };
    let few = at([1000.0, 200.0], 0.0, 12.0);
    assert_eq!(asked(&few, [None; 2]), Err(NoLay::TooFew(few.len())));
    let askew = asked(&at([1000.0, 200.0], 44.0, 5.0), [None; 2]);
    assert!(
        matches!(askew, Err(NoLay::Askew(d)) if d > 40.0),
        "{askew:?}"
    );
    assert_eq!(
        asked(&at([300.0, 297.0], 2.0, 4.0), [None; 2]),
        Err(NoLay::Square)
    );
    let long = at([1000.0, 200.0], 2.0, 4.0);
    let size = asked(&long, [Some(1200.0), None]);
    assert!(
        matches!(size, Err(NoLay::Size { side: Side::Length, found, wanted: 1200.0 }) if (found - 1000.0).abs() < 2.0),
        "{size:?}"
    );
    let mut round = at([600.0, 600.0], 0.0, 3.0);
    round.retain(|p| (p[0] / 600.0 - 0.5).hypot(p[1] / 300.0 - 0.5) < 0.5);
    let refused = asked(&round, [None; 2]);
    assert!(
        matches!(refused, Err(NoLay::Ragged(..) | NoLay::NoEdge(_))),
        "{refused:?}"
    );
    for nowhere in [
        vec![[0.0; 3]; 5000],
        (0..5000).map(|k| [f64::from(k), 0.0, 0.0]).collect(),
    ] {
        assert!(asked(&nowhere, [None; 2]).is_err());
    }
}

/// Two scans of which one is of another board.
#[test]
fn scans_of_two_boards_are_refused() {
    let board = Scanned::new(Kind::Smooth, 5);
    let mut record = twice(&board).record();
    (record.length, record.width) = (None, None);
    record.surveys[0].heights[1]
        .heights
        .up
        .retain(|p| p[0] < 0.8 * board.length);
    let refused = Board::from_record(record, "two").unwrap_err();
    assert!(
        matches!(
            refused[..],
            [BoardError::NoLay(
                Face::Down,
                NoLay::Size {
                    side: Side::Length,
                    ..
                }
            )]
        ),
        "{refused:?}"
    );
}

/// A board of 900 × 150 × 30 mm, bowed by 2 mm, as a probe CSV of one face in the scanner's frame.
fn probed(motion: &Motion, down: bool) -> String {
    let mut dice = Dice::new(4);
    let height = |x: f64, y: f64, dice: &mut Dice| {
        let bow = 2.0 * (1.0 - (x / 450.0 - 1.0).powi(2));
        let z = if down { 30.0 - bow } else { bow };
        z + 0.001 * y + 0.1 * dice.normal()
    };
    let flaws = Flaws::default();
    let points = scan(
        [900.0, 150.0],
        motion,
        Points::Scattered(4.0),
        &flaws,
        &mut dice,
        height,
    );
    let mut csv = "x_mm,y_mm,z_mm\n".to_owned();
    for [x, y, z] in points {
        writeln!(csv, "{x:.3},{y:.3},{z:.3}").unwrap();
    }
    csv
}

fn flatten(folder: &Path, arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_outwind"));
    let asked = command.current_dir(folder).arg("flatten").args(arguments);
    asked.stdin(Stdio::null()).output().unwrap()
}

/// From files to the document: a board file that names two scans, a point file alone, and what is wrong with either.
#[test]
fn from_files_to_the_document() {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("scanner_frames");
    fs::create_dir_all(&folder).unwrap();
    let [up, down] = [
        Motion {
            degrees: 1.5,
            corner: [20.0, -35.0],
            turned: false,
        },
        Motion {
            degrees: 178.0,
            corner: [930.0, 7.0],
            turned: true,
        },
    ];
    let board = "unit = \"mm\"\n[[survey]]\ncalipers = \"\"\"\nx, y, thickness\n10, 10, 30\n10, 140, 30\n450, 10, 30\n\
                 890, 10, 30\n890, 140, 30\n\"\"\"\n[[survey.heights]]\nfile = \"up.csv\"\nframe = \"first\"\nerror = 0.1\n\
                 [[survey.heights]]\nfile = \"down.csv\"\nface = \"down\"\nturned = true\nframe = \"second\"\n\
                 error = 0.1\nend-a-at = \"high x\"\n";
    for (name, text) in [
        ("up.csv", probed(&up, false)),
        ("down.csv", probed(&down, true)),
        ("board.toml", board.to_owned()),
        ("short.toml", format!("length = 600\n{board}")),
    ] {
        fs::write(folder.join(name), text).unwrap();
    }
    let told = flatten(&folder, &["board.toml", "--json"]);
    let json: serde_json::Value = serde_json::from_slice(&told.stdout).unwrap();
    let laid = json["laid"].as_array().unwrap();
    assert_eq!(laid.len(), 2);
    for (lay, motion, face) in [(&laid[0], up, "up"), (&laid[1], down, "down")] {
        let number = |key: &str| lay[key].as_f64().unwrap();
        assert_eq!(lay["faces"], serde_json::json!([face]));
        assert_eq!(lay["turned"], motion.turned);
        let off = number("direction_degrees") - motion.degrees;
        assert!(off.abs() < 4.0 * number("direction_error_degrees"), "{lay}");
        assert!(number("direction_error_degrees") < 0.1);
        for (key, at) in [("corner_x_mm", 0), ("corner_y_mm", 1)] {
            assert!((number(key) - motion.corner[at]).abs() < 1.5, "{lay}");
        }
        assert!(
            (number("length_mm") - 900.0).abs() < 2.0 && (number("width_mm") - 150.0).abs() < 1.0
        );
        assert!(number("thickness_error_mm") < 0.05, "{lay}");
        assert_eq!(lay["height_error_mm"].is_null(), face == "up");
        assert_eq!(lay["calipers_fit_mm"].is_null(), face == "up");
    }
    // A bow of 2 mm leaves 28 mm of 30; the calipers stood on crests of what is taken for roughness.
    let expected = json["survives"]["shimmed"]["expected_mm"].as_f64().unwrap();
    assert!((27.0..28.3).contains(&expected), "{expected}");
    let notes = json["notes"].to_string();
    assert!(
        notes
            .contains("The scan of the down face, turned over, was laid on the board by its edges"),
        "{notes}"
    );
    let alone = [
        "up.csv",
        "--thickness",
        "30mm",
        "--scanner",
        "--at-readings",
        "--json",
    ];
    let told = flatten(&folder, &alone);
    let json: serde_json::Value = serde_json::from_slice(&told.stdout).unwrap();
    assert_eq!(
        json["laid"][0]["thickness_error_mm"],
        serde_json::Value::Null
    );
    let length = json["board"]["length_mm"].as_f64().unwrap();
    assert!((length - 900.0).abs() < 2.0, "{length}");
    for (arguments, code, needle) in [
        (
            &["short.toml"][..],
            2,
            "900.1 mm apart there, but 600.0 mm are wanted",
        ),
        (
            &["board.toml", "--scanner"][..],
            2,
            "--scanner goes with a CSV of readings",
        ),
        (&["up.csv", "--thickness", "30mm"][..], 0, ""),
    ] {
        let told = flatten(&folder, arguments);
        let complaint = String::from_utf8(told.stderr).unwrap();
        assert_eq!(told.status.code(), Some(code), "{complaint}");
        assert!(complaint.contains(needle), "{complaint}");
    }
}
