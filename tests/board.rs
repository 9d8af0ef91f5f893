//! What readings and stated sizes say of the rectangle that a board covers, and readings that are left out by their place.

#![allow(clippy::unwrap_used)]

use std::fs;
use std::path::PathBuf;
use std::process::{Command, Stdio};

use outwind::board::{
    Assumption, Board, BoardError, Down, Outline, Particulars, SetUp, Side, gauge_place, reach,
};
use outwind::readings::{
    Aligned, Caliper, CornerGap, Edge, EdgeGap, Face, Gauge, Gauged, Point, Rest, Sticks,
    Straightedge,
};

/// Heights at the corners of a rectangle, and the thickness.
fn corners([x0, x1]: [f64; 2], [y0, y1]: [f64; 2]) -> Particulars {
    Particulars {
        up: vec![[x0, y0, 0.0], [x1, y0, 0.0], [x0, y1, 0.0], [x1, y1, 0.0]],
        down: Down {
            thickness: Some(30.0),
            ..Down::default()
        },
        ..Particulars::default()
    }
}

#[test]
fn a_stated_size_begins_at_zero_where_the_readings_fit_and_lies_about_them_where_not() {
    let of = |along: [f64; 2], length: Option<f64>| {
        let board = Board::new(Particulars {
            length,
            ..corners(along, [0.0, 200.0])
        });
        board.map(|board| (board.outline.x0, board.outline.length, board.assumptions))
    };
    let ends = vec![Assumption::EndsAtReadings(Side::Length)];
    let centred = vec![Assumption::Centred(Side::Length)];
    // Unstated, a board ends at its outermost readings: worth a word where these do not start at zero.
    assert_eq!(of([0.0, 900.0], None), Ok((0.0, 900.0, vec![])));
    assert_eq!(of([50.0, 900.0], None), Ok((50.0, 850.0, ends)));
    assert_eq!(of([-50.0, 900.0], None), Ok((-50.0, 950.0, vec![])));
    // Stated, it begins at zero.
    assert_eq!(
        of([50.0, 900.0], Some(1000.0)),
        Ok((0.0, 1000.0, Vec::new()))
    );
    // A station read off the tape at the very end may lie a hair beyond.
    let hair = of([0.0, 1000.0 + 1e-7], Some(1000.0));
    assert_eq!(hair, Ok((0.0, 1000.0, Vec::new())));
    // Readings about a middle of their own.
    assert_eq!(
        of([-450.0, 350.0], Some(1000.0)),
        Ok((-550.0, 1000.0, centred.clone()))
    );
    assert_eq!(
        of([300.0, 1100.0], Some(1000.0)),
        Ok((200.0, 1000.0, centred))
    );
    let small = BoardError::TooSmall {
        side: Side::Length,
        span: 1000.001,
        stated: 1000.0,
    };
    let [error] = of([0.0, 1000.001], Some(1000.0)).unwrap_err()[..] else {
        unreachable!("one fault")
    };
    assert_eq!(format!("{error:?}"), format!("{small:?}"));
}

#[test]
fn every_reading_counts_for_where_a_board_ends() {
    let far = [1500.0, 320.0];
    let caliper = Caliper {
        x: far[0],
        y: far[1],
        thickness: 30.0,
    };
    let set_up = SetUp {
        datum: 1,
        face: Face::Up,
        turned: false,
        points: vec![[far[0], far[1], 4.0]],
        sd: 0.3,
        stated: false,
    };
    let plain = corners([0.0, 900.0], [0.0, 200.0]);
    let reaches = [
        Particulars {
            down: Down {
                calipers: vec![caliper],
                ..Down::default()
            },
            ..plain.clone()
        },
        Particulars {
            down: Down {
                heights: vec![[far[0], far[1], -30.0]],
                ..Down::default()
            },
            ..plain.clone()
        },
        Particulars {
            set_ups: vec![set_up],
            ..plain
        },
    ];
    for particulars in reaches {
        let Outline { length, width, .. } = Board::new(particulars).unwrap().outline;
        assert_eq!([length, width], far);
    }
    let points = [[3.0, -1.0, 9.0], [-2.0, 5.0, 9.0], [0.0, 0.0, 9.0]];
    assert_eq!(reach(&points), Some([[-2.0, 3.0], [-1.0, 5.0]]));
    assert_eq!(reach(&[]), None);
}

#[test]
fn what_was_read_at_a_place_is_left_out_whatever_it_was() {
    let sticks = Gauge::Sticks(Sticks {
        face: Face::Up,
        stations: [100.0, 700.0],
        across: [[0.0, 200.0], [20.0, 180.0]],
        length: 400.0,
        aligned: Aligned::Tips,
        pads: false,
        sliver: 2.0,
    });
    let straightedge = Gauge::Straightedge(Straightedge {
        face: Face::Up,
        from: [0.0, 0.0],
        to: [900.0, 0.0],
        rest: Rest::Wood,
        at: [450.0, 0.0],
        gap: 1.0,
    });
    let corner = Gauge::Corner(CornerGap {
        on: Face::Down,
        corner: [900.0, 200.0],
        gap: 1.0,
    });
    let edge = |edge: Edge| {
        Gauge::Edge(EdgeGap {
            edge,
            from: 0.0,
            to: 900.0,
            rest: Rest::Wood,
            at: 300.0,
            gap: 1.0,
        })
    };
    let gauges = [
        sticks,
        straightedge,
        corner,
        edge(Edge::Near),
        edge(Edge::Far),
    ];
    let places = [
        [400.0, 100.0],
        [450.0, 0.0],
        [900.0, 200.0],
        [300.0, 0.0],
        [300.0, 200.0],
    ];
    let board = Board::new(Particulars {
        down: Down {
            calipers: vec![Caliper {
                x: 0.0,
                y: 200.0,
                thickness: 30.0,
            }],
            heights: vec![[0.0, 200.0, -30.0], [900.0, 0.0, -30.0]],
            ..Down::default()
        },
        gauged: gauges
            .iter()
            .map(|gauge| Gauged {
                gauge: gauge.clone(),
                sd: 0.3,
            })
            .collect(),
        set_ups: vec![SetUp {
            datum: 1,
            face: Face::Up,
            turned: false,
            points: vec![[0.0, 200.0, 4.0], [10.0, 200.0, 4.0]],
            sd: 0.3,
            stated: false,
        }],
        ..corners([0.0, 900.0], [0.0, 200.0])
    })
    .unwrap();
    assert_eq!(board.readings(), 4 + 1 + 2 + 5 + 2);
    for (gauge, place) in gauges.iter().zip(places) {
        assert_eq!(gauge_place(&board.outline, gauge), place);
    }
    let left = |x: f64, y: f64, near: f64| {
        let mut left = board.clone();
        let count = left.leave_out(x, y, near);
        assert_eq!(left.readings() + count, board.readings());
        count
    };
    // A height, one of the down face, a caliper reading, one over another datum.
    assert_eq!(left(0.0, 200.0, 0.5), 4);
    assert_eq!(left(0.3, 200.3, 0.5), 4);
    assert_eq!(left(0.4, 200.4, 0.5), 0);
    assert_eq!(left(900.0, 200.0, 0.5), 2);
    assert_eq!(left(300.0, 200.0, 0.5), 1);
    assert_eq!(left(400.0, 100.0, 0.5), 1);
    assert_eq!(left(450.0, 100.0, 0.5), 0);
}

/// The same document as of a file in which the reading was never entered.
#[test]
fn a_reading_that_is_left_out_might_as_well_not_have_been_read() {
    let all = "in,0,12,24,36,48\n0,1/4,9/32,5/16,9/32,1/4\n4,3/16,1/4,3/4,1/4,3/16\n8,1/8,3/16,1/4,3/16,1/8\n";
    let without = all.replace("3/4", "");
    let answer = |folder: &str, text: &str, more: &[&str]| {
        let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(folder);
        fs::create_dir_all(&folder).unwrap();
        fs::write(folder.join("oak.csv"), text).unwrap();
        let output = Command::new(env!("CARGO_BIN_EXE_outwind"))
            .current_dir(folder)
            .args(["flatten", "oak.csv", "--thickness", "1", "--json"])
            .args(more)
            .stdin(Stdio::null())
            .output()
            .unwrap();
        let [out, error] = [output.stdout, output.stderr].map(|t| String::from_utf8(t).unwrap());
        (output.status.code(), out, error)
    };
    let left_out = answer("left-out", all, &["--without", "24, 4"]);
    assert_eq!(left_out.0, Some(0), "{}", left_out.2);
    assert_eq!(left_out, answer("never-read", &without, &[]));
    assert_ne!(left_out, answer("left-out", all, &[]));
    let (code, _, error) = answer("left-out", all, &["--without", "24, 5"]);
    assert_eq!(code, Some(2));
    let error = error.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(
        error,
        "--without: nothing was read at station 24 in, position 5 in; the nearest reading is at station 24 in, \
         position 4 in"
    );
}

/// Something of a face must be read, by whatever tool, and something must say how thick the board is.
#[test]
fn what_keeps_readings_from_being_a_board_is_told_at_once() {
    let faults = |change: &dyn Fn(&mut Particulars)| {
        let mut particulars = corners([0.0, 900.0], [0.0, 200.0]);
        (particulars.length, particulars.width) = (Some(900.0), Some(200.0));
        change(&mut particulars);
        Board::new(particulars).err().unwrap_or_default()
    };
    let straightedge = |face: Face| Gauged {
        gauge: Gauge::Straightedge(Straightedge {
            face,
            from: [0.0, 0.0],
            to: [900.0, 0.0],
            rest: Rest::Wood,
            at: [450.0, 0.0],
            gap: 1.0,
        }),
        sd: 0.3,
    };
    let string = Gauged {
        gauge: Gauge::Edge(EdgeGap {
            edge: Edge::Far,
            from: 0.0,
            to: 900.0,
            rest: Rest::Wood,
            at: 300.0,
            gap: 1.0,
        }),
        sd: 0.3,
    };
    let set_up = |face: Face, points: &[Point]| SetUp {
        datum: 1,
        face,
        turned: false,
        points: points.to_vec(),
        sd: 0.3,
        stated: false,
    };
    let place = [[450.0, 100.0, 3.0]];
    assert_eq!(faults(&|_| ()), []);
    assert_eq!(faults(&|p| p.up.clear()), [BoardError::NoHeights]);
    for face in [Face::Up, Face::Down] {
        assert_eq!(
            faults(&|p| {
                p.up.clear();
                p.gauged.push(straightedge(face));
            }),
            []
        );
    }
    let by_another = |face: Face, points: &[Point]| {
        faults(&|p| {
            p.up.clear();
            p.set_ups.push(set_up(face, points));
        })
    };
    assert_eq!(by_another(Face::Up, &place), []);
    assert_eq!(by_another(Face::Down, &place), [BoardError::NoHeights]);
    assert_eq!(by_another(Face::Up, &[]), [BoardError::NoHeights]);
    // A string along an edge says nothing of a face.
    assert_eq!(
        faults(&|p| {
            p.up.clear();
            p.gauged.push(string.clone());
        }),
        [BoardError::NoHeights]
    );
    assert_eq!(
        faults(&|p| p.down = Down::default()),
        [BoardError::NoThickness]
    );
    for thickness in [0.0, -1.0] {
        assert_eq!(
            faults(&|p| p.down.thickness = Some(thickness)),
            [BoardError::ThicknessNotPositive(thickness)]
        );
    }
    // Both at once; and a size that nothing tells.
    assert_eq!(
        faults(&|p| {
            p.up.clear();
            p.down = Down::default();
        }),
        [BoardError::NoHeights, BoardError::NoThickness]
    );
    assert_eq!(
        faults(&|p| {
            p.up.clear();
            p.gauged.push(straightedge(Face::Up));
            (p.length, p.width) = (None, None);
        }),
        [
            BoardError::NoSize(Side::Length),
            BoardError::NoSize(Side::Width)
        ]
    );
}

#[test]
fn points_go_to_the_units_of_a_board_and_back() {
    let outline = Outline {
        x0: -50.0,
        y0: 20.0,
        length: 400.0,
        width: 100.0,
    };
    for (point, unit) in [
        ([-50.0, 20.0], (-1.0, -1.0)),
        ([150.0, 70.0], (0.0, 0.0)),
        ([250.0, 120.0], (0.5, 1.0)),
    ] {
        let [x, y]: [f64; 2] = point;
        assert_eq!(outline.unit_place(x, y), unit);
        assert_eq!(outline.place(unit.0, unit.1), (x, y));
    }
    let line = Outline {
        width: 0.0,
        ..outline
    };
    assert_eq!(line.unit_place(250.0, 20.0), (0.5, 0.0));
    let nothing: [Point; 0] = [];
    assert!(reach(&nothing).is_none());
}
