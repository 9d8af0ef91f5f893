//! Both faces as a picture shows them, beside faces of known form (closed forms of bow, cup and twist).

#![allow(clippy::unwrap_used)]

mod common;

use common::{flattened, grid, lowered};
use outwind::board::{Board, Down, Particulars, ReadingErrors};
use outwind::flatten::{Laying, NoExpectation, Relief, ReliefBasis, known};
use outwind::readings::{Edge, EdgeGap, EdgesAt, Face, Gauge, Gauged, Point, Rest};

const LENGTH: f64 = 2000.0;
const WIDTH: f64 = 200.0;
const THICK: f64 = 30.0;

fn form(u: f64, v: f64) -> f64 {
    5.0 * (1.0 - u * u) - 2.0 * (1.0 - v * v) + 1.5 * u * v
}

fn form_at(x: f64, y: f64) -> f64 {
    form(2.0 * x / LENGTH - 1.0, 2.0 * y / WIDTH - 1.0)
}

/// The form read at 17 by 7 places, with the planes of its shimmed laying.
fn read() -> (Particulars, Laying) {
    let up = grid(LENGTH, WIDTH, 17, 7, form);
    let laying = flattened(&up, &lowered(&up, THICK)).unwrap().shimmed;
    let particulars = Particulars {
        up,
        down: Down {
            thickness: Some(THICK),
            ..Down::default()
        },
        errors: ReadingErrors {
            up: 0.02,
            ..ReadingErrors::default()
        },
        ..Particulars::default()
    };
    (particulars, laying)
}

/// What comes off both faces of the form at a place.
fn off(laying: &Laying, [x, y]: [f64; 2]) -> [f64; 2] {
    let z = form_at(x, y);
    [(Face::Up, z), (Face::Down, z - THICK)].map(|(face, z)| laying.comes_off(face, [x, y, z]))
}

#[test]
fn the_faces_stand_out_of_the_planes_as_their_form_does() {
    let (particulars, laying) = read();
    let relief = Relief::new(&Board::new(particulars).unwrap(), &laying).unwrap();
    assert_eq!(relief.basis, ReliefBasis::Expected);
    // Cells of 15 mm at most, 128 along at most, and multiples of eight and four so that sparse places meet the ends.
    assert_eq!([relief.stations, relief.positions], [129, 17]);
    assert_eq!(relief.places.len(), 129 * 17);
    for i in 0..129 {
        for j in 0..17 {
            let place = relief.place(i, j);
            let at = [i as f64 / 128.0 * LENGTH, j as f64 / 16.0 * WIDTH];
            for k in 0..2 {
                assert!((place.at[k] - at[k]).abs() < 1e-9, "{:?} {at:?}", place.at);
            }
            let [up, down] = off(&laying, at);
            // The stated thickness is not as sure as the heights of the up face are.
            assert!((place.off_up - up).abs() < 0.05, "{place:?} {up}");
            assert!((place.off_down - down).abs() < 0.3, "{place:?} {down}");
        }
    }
}

/// Of a board of even thickness, with its usual errors.
fn even(up: Vec<Point>) -> (Relief, Laying) {
    let laying = flattened(&up, &lowered(&up, THICK)).unwrap().shimmed;
    let board = Board::new(Particulars {
        up,
        down: Down {
            thickness: Some(THICK),
            ..Down::default()
        },
        ..Particulars::default()
    });
    (Relief::new(&board.unwrap(), &laying).unwrap(), laying)
}

#[test]
fn small_boards_have_fewer_places() {
    let relief = even(grid(300.0, 60.0, 5, 3, |_, _| 0.0)).0;
    assert_eq!([relief.stations, relief.positions], [33, 9]);
}

/// 1.645 standard deviations hold nine in ten (NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.1).
#[test]
fn how_unsure_a_place_is_runs_straight_between_those_that_were_asked() {
    let (particulars, laying) = read();
    let board = Board::new(particulars).unwrap();
    let relief = Relief::new(&board, &laying).unwrap();
    let estimate = known(&board).unwrap().estimate;
    let unsure = |i: usize, j: usize| relief.place(i, j).unsure.unwrap();
    for (i, j) in [(0, 0), (64, 8), (128, 16), (8, 4), (120, 0)] {
        let [x, y] = relief.place(i, j).at;
        let asked = 1.645 * estimate.sd(Face::Up, x, y);
        assert!((unsure(i, j) - asked).abs() < 1e-9, "{asked}");
    }
    for (i, j) in [(3, 1), (101, 14), (126, 15), (13, 10)] {
        let (p, q) = (i / 8 * 8, j / 4 * 4);
        let (s, t) = ((i - p) as f64 / 8.0, (j - q) as f64 / 4.0);
        let along = |j: usize| unsure(p, j) + s * (unsure(p + 8, j) - unsure(p, j));
        let both = along(q) + t * (along(q + 4) - along(q));
        assert!((unsure(i, j) - both).abs() < 1e-9);
    }
}

#[test]
fn places_follow_a_live_edge_and_a_crook() {
    let (particulars, laying) = read();
    let live = Board::new(Particulars {
        edges: [0.0, 500.0, 1000.0, 1500.0, 2000.0]
            .map(|station| EdgesAt {
                station,
                near: 0.02 * station,
                far: WIDTH - 0.01 * station,
            })
            .to_vec(),
        ..particulars.clone()
    })
    .unwrap();
    let relief = Relief::new(&live, &laying).unwrap();
    for i in (0..relief.stations).step_by(16) {
        let [near, far] = [0, relief.positions - 1].map(|j| relief.place(i, j).at);
        assert!((near[1] - 0.02 * near[0]).abs() < 2.0, "{near:?}");
        assert!((far[1] - (WIDTH - 0.01 * far[0])).abs() < 2.0, "{far:?}");
    }

    // Both edges bend towards the far side by 8 mm; strings do not tell where across the board they lie.
    let string = |edge: Edge, rest: Rest| Gauged {
        gauge: Gauge::Edge(EdgeGap {
            edge,
            from: 0.0,
            to: LENGTH,
            rest,
            at: LENGTH / 2.0,
            gap: 8.0,
        }),
        sd: 0.3,
    };
    let crooked = Board::new(Particulars {
        gauged: vec![
            string(Edge::Near, Rest::Wood),
            string(Edge::Far, Rest::EqualGaps),
        ],
        ..particulars
    })
    .unwrap();
    let relief = Relief::new(&crooked, &laying).unwrap();
    let middle = relief.stations / 2;
    for j in [0, relief.positions - 1] {
        let [start, bend, end] = [0, middle, relief.stations - 1].map(|i| relief.place(i, j).at[1]);
        assert!((bend - f64::midpoint(start, end) - 8.0).abs() < 0.5);
    }
    let [near, far] = [0, relief.positions - 1].map(|j| relief.place(middle, j).at[1]);
    assert!((f64::midpoint(near, far) - WIDTH / 2.0).abs() < 1e-6);
    assert!((far - near - WIDTH).abs() < 2.0);
}

/// A board that leans 10 degrees over its datum is none that anything is expected of.
#[test]
fn without_an_expectation_each_place_is_the_mean_of_the_readings_about_it() {
    // Such a board need not begin at zero.
    const ASIDE: [f64; 2] = [130.0, -70.0];
    let lean = 10f64.to_radians().tan();
    let plain = grid(LENGTH, WIDTH, 65, 9, form);
    let doubled: Vec<Point> = plain
        .iter()
        .flat_map(|&[x, y, z]| {
            [-0.5, 0.5].map(|more| [x + ASIDE[0], y + ASIDE[1], z + more + lean * y])
        })
        .collect();
    // One cell of the picture, of those that hold readings, is left without any.
    let up: Vec<Point> = doubled
        .into_iter()
        .filter(|p| (p[0] - ASIDE[0] - 1000.0).abs() > 1.0 || (p[1] - ASIDE[1] - 100.0).abs() > 1.0)
        .collect();
    let (relief, laying) = even(up);
    assert!(matches!(
        relief.basis,
        ReliefBasis::Readings(NoExpectation::LeansOverDatum(degrees)) if (degrees - 10.0).abs() < 0.5
    ));
    let off = |at: [f64; 2]| {
        let [x, y] = [0, 1].map(|k| at[k] - ASIDE[k]);
        let z = form_at(x, y) + lean * y;
        laying.comes_off(Face::Up, [at[0], at[1], z])
    };
    let mut read = 0;
    for i in 0..relief.stations {
        for j in 0..relief.positions {
            let place = relief.place(i, j);
            assert!(place.unsure.is_none());
            // Every second place of the picture was read; between them, and where none was, the neighbours tell.
            let was_read = i % 2 == 0 && j % 2 == 0 && (i, j) != (64, 8);
            let near = if was_read { 1e-6 } else { 2.5 };
            assert!((place.off_up - off(place.at)).abs() < near, "{i} {j}");
            read += usize::from(was_read);
        }
    }
    assert_eq!(read, 65 * 9 - 1);
}
