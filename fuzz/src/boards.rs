//! Boards of arbitrary numbers: what survives, and what is expected of the whole board.

use outwind::board::{Board, Down, Particulars, ReadingErrors};
use outwind::flatten::{
    Answer, Expectation, FURTHEST, Faces, Flattening, Interval, Laying, Question, Unanswerable,
    Way, flatten, gap_along, minimum_zone, survives_shimmed,
};
use outwind::length::{Length, Notation};
use outwind::readings::{Caliper, Layout, Point, read_board};
use outwind::report;
use outwind::surface::form::plane;

use super::bytes::Bytes;

/// What flattening leaves of two clouds of arbitrary finite numbers.
pub fn survival(bytes: &[u8]) {
    let mut bytes = Bytes(bytes);
    let how = bytes.byte();
    let up = bytes.points(12);
    let down = if how & 1 == 0 {
        let thickness = bytes.number();
        up.iter().map(|&[x, y, z]| [x, y, z - thickness]).collect()
    } else {
        bytes.points(12)
    };
    let [_, b, c] = plane(&up);
    let normal = if how & 2 == 0 {
        [-b, -c, 1.0]
    } else {
        [0; 3].map(|_| bytes.number())
    };
    let centre = if how & 4 == 0 {
        middle(&up, &down)
    } else {
        [0; 3].map(|_| bytes.number())
    };
    let board = Cloud {
        up,
        down,
        normal,
        centre,
    };
    let found = board.flattened();
    let _ = minimum_zone(&board.up, board.normal);
    let quick = survives_shimmed(&board.faces());
    let Ok(answer) = &found else {
        return;
    };
    board.is_proven(answer, &mut bytes);
    let shimmed = answer.shimmed.thickness();
    assert!(
        (quick.unwrap_or(f64::NAN) - shimmed).abs() <= board.rounding(),
        "{quick:?} {shimmed}"
    );
    let shift = [0; 3].map(|_| bytes.within(-100.0, 100.0));
    let ways: [(&str, Cloud); 4] = [
        ("mirrored along", board.over(|[x, y, z]| [-x, y, z])),
        ("mirrored across", board.over(|[x, y, z]| [x, -y, z])),
        ("shifted", board.shifted(shift)),
        ("turned over", board.turned_over()),
    ];
    for (way, other) in ways {
        let (near, again) = (board.rounding().max(other.rounding()), other.flattened());
        match again {
            Ok(again) => {
                let off = again.shimmed.thickness() - shimmed;
                assert!(off.abs() <= near, "{way}: {off} {board:?}");
            }
            Err(reason) => assert!(
                shimmed <= near || is_a_near_thing(reason, near),
                "{way}: {reason:?} {board:?}"
            ),
        }
    }
}

/// A refusal that rounding alone may bring about.
fn is_a_near_thing(reason: Unanswerable, near: f64) -> bool {
    match reason {
        Unanswerable::Leaning(degrees) => (degrees - 10.0).abs() < 1e-3,
        Unanswerable::Apart { share, .. } => (share - 0.5).abs() < 1e-3,
        Unanswerable::UpsideDown(by) => by < near,
        // A shift may carry a point over the limit.
        Unanswerable::TooFar(_) => true,
        Unanswerable::NoReadings(_) => false,
    }
}

#[derive(Debug)]
struct Cloud {
    up: Vec<Point>,
    down: Vec<Point>,
    normal: [f64; 3],
    centre: Point,
}

impl Cloud {
    fn faces(&self) -> Faces<'_> {
        Faces {
            up: &self.up,
            down: &self.down,
            normal: self.normal,
            centre: self.centre,
        }
    }

    fn flattened(&self) -> Result<Flattening, Unanswerable> {
        flatten(&self.faces())
    }

    /// What rounding may leave, mm: a share of the furthest coordinate.
    fn rounding(&self) -> f64 {
        let all = self.up.iter().chain(&self.down).flatten();
        1e-9 * all.fold(1.0, |most: f64, mm| most.max(mm.abs()))
    }

    /// Every point and direction taken elsewhere by the same rule.
    fn over(&self, to: impl Fn(Point) -> Point) -> Self {
        let each = |points: &[Point]| points.iter().map(|p| to(*p)).collect();
        Self {
            up: each(&self.up),
            down: each(&self.down),
            normal: to(self.normal),
            centre: to(self.centre),
        }
    }

    fn shifted(&self, by: Point) -> Self {
        Self {
            normal: self.normal,
            ..self.over(|p| [0, 1, 2].map(|k| p[k] + by[k]))
        }
    }

    /// Turned about its length: what was down is up.
    fn turned_over(&self) -> Self {
        let Self {
            up: down,
            down: up,
            normal,
            centre,
        } = self.over(|[x, y, z]| [x, -y, -z]);
        Self {
            up,
            down,
            normal: normal.map(|part| -part),
            centre,
        }
    }

    /// The answer keeps what it promises, and no direction that is tried leaves more.
    fn is_proven(&self, answer: &Flattening, bytes: &mut Bytes<'_>) {
        let near = self.rounding();
        let ways = [&answer.shimmed, &answer.balanced, &answer.as_laid];
        let [shimmed, balanced, as_laid] = ways.map(Laying::gap);
        assert!(shimmed >= balanced && shimmed >= as_laid, "{answer:?}");
        for way in ways.into_iter().chain(&answer.rocks_to) {
            let length = way
                .normal
                .iter()
                .map(|part| part * part)
                .sum::<f64>()
                .sqrt();
            assert!((length - 1.0).abs() < 1e-9, "{way:?}");
            // Readings on one line stand for a strip in the ways that need a width: it leaves no more than they do.
            let along = gap_along(&self.up, &self.down, way.normal);
            assert!(way.gap() <= along + near, "{along} {way:?}");
            if way.way == Way::Shimmed {
                assert!((along - way.gap()).abs() <= near, "{along} {way:?}");
            }
            assert!(way.most_off_up >= -near && way.most_off_down >= -near);
        }
        assert!(
            (0.0..=near).contains(&answer.slack),
            "{} {self:?}",
            answer.slack
        );
        let held = &answer.holding_points;
        assert!((2..=5).contains(&held.len()), "{answer:?}");
        let most = answer.shimmed.thickness() + answer.slack + near;
        for _ in 0..16 {
            let [a, b, c] = [0; 3].map(|_| bytes.within(-1.0, 1.0));
            // Every other one leans as little as boards do.
            let direction = if c > 0.0 {
                [a, b, c]
            } else {
                [a / 10.0, b / 10.0, 1.0]
            };
            let length = direction.iter().map(|part| part * part).sum::<f64>().sqrt();
            let along = gap_along(&self.up, &self.down, direction.map(|part| part / length));
            assert!(
                along <= most,
                "{along} over {most} along {direction:?}: {self:?}"
            );
        }
    }
}

/// The mean of all points.
fn middle(up: &[Point], down: &[Point]) -> Point {
    let count = (up.len() + down.len()).max(1) as f64;
    [0, 1, 2].map(|k| up.iter().chain(down).map(|p| p[k] / count).sum())
}

/// What is expected of a board of a few arbitrary readings.
pub fn expectation(bytes: &[u8]) {
    let mut bytes = Bytes(bytes);
    let how = bytes.byte();
    let (stations, positions) = (1 + bytes.byte() % 5, 1 + bytes.byte() % 3);
    let (step_x, step_y) = if how & 1 == 0 {
        (bytes.within(50.0, 600.0), bytes.within(20.0, 150.0))
    } else {
        (bytes.number().abs().min(1e5), bytes.number().abs().min(1e5))
    };
    let heights = |bytes: &mut Bytes<'_>| {
        let mut points = Vec::new();
        for j in 0..positions {
            for i in 0..stations {
                let z = if how & 2 == 0 {
                    bytes.within(-20.0, 20.0)
                } else {
                    bytes.number().clamp(-1e6, 1e6)
                };
                points.push([f64::from(i) * step_x, f64::from(j) * step_y, z]);
            }
        }
        points
    };
    let up = heights(&mut bytes);
    let mut down = Down::default();
    match how >> 2 & 3 {
        0 | 1 => down.thickness = Some(bytes.within(1.0, 100.0)),
        2 => {
            let thickness = bytes.within(0.0, 100.0);
            down.heights = heights(&mut bytes);
            down.heights.iter_mut().for_each(|p| p[2] -= thickness);
        }
        _ => {
            let places = up.iter().step_by(2);
            down.calipers = places
                .map(|p| Caliper {
                    x: p[0],
                    y: p[1],
                    thickness: bytes.within(1.0, 60.0),
                })
                .collect();
        }
    }
    let error = if how & 16 == 0 {
        0.3
    } else {
        bytes.within(1e-3, 30.0)
    };
    let particulars = Particulars {
        name: "a".to_owned(),
        up,
        layout: Layout::Scattered,
        down,
        errors: ReadingErrors {
            up: error,
            down: error,
            caliper: 0.15,
            stated: false,
        },
        ..Particulars::default()
    };
    if let Ok(board) = Board::new(particulars) {
        is_answered(&board);
    }
}

/// A board file's answer, as text and as JSON.
pub fn answer(bytes: &[u8]) {
    let mut no_file = |name: &str| Err(format!("{name}: there is no such file"));
    let Ok(record) = read_board(bytes, "board", None, &mut no_file) else {
        return;
    };
    let Ok(board) = Board::from_record(record, "board") else {
        return;
    };
    // Larger ones take long, and hold nothing that smaller ones do not.
    if board.readings() <= 24 {
        is_answered(&board);
    }
}

fn is_answered(board: &Board) {
    let question = Question {
        need: Some(Length::from_mm(20.0)),
        support_spacing: 250.0,
        sizes: vec![Length::from_mm(10.0), Length::from_mm(20.0)],
        expectation: true,
    };
    let answer = Answer::new(board, &question);
    if let Ok(found) = &answer.flattening {
        let ways = [&found.shimmed, &found.balanced, &found.as_laid];
        let [shimmed, balanced, as_laid] = ways.map(Laying::gap);
        assert!(shimmed >= balanced && shimmed >= as_laid, "{found:?}");
        assert!(ways.iter().all(|way| way.thickness().is_finite()));
    }
    if let Ok(expected) = &answer.expectation {
        is_in_order(expected);
    }
    let notation = Notation::Millimetres { places: 1 };
    let json = report::json(&answer, None, notation);
    assert!(json.starts_with('{') && !json.contains("NaN"), "{json}");
    let text = match answer.flattening {
        Ok(_) => report::text(&answer, None, notation),
        Err(reason) => report::unanswerable(reason, notation),
    };
    for word in ["NaN", "unknown in", "infinite", "inf "] {
        assert!(!text.contains(word), "{text}");
    }
}

fn is_in_order(expected: &Expectation) {
    for Interval {
        expected: median,
        low,
        high,
    } in [expected.as_laid, expected.balanced, expected.shimmed]
    {
        let finite = low.is_finite() && high.is_finite();
        assert!(
            finite && 0.0 <= low && low <= median && median <= high,
            "{expected:?}"
        );
        assert!(high <= FURTHEST);
    }
    let mut last = 1.0;
    for thickness in [0.0, 5.0, 20.0, 80.0] {
        let chance = expected.chance(thickness);
        assert!((0.0..=last).contains(&chance), "{chance} after {last}");
        last = chance;
    }
    // Each draw leaves shimmed at least what it leaves in another way.
    for other in [expected.as_laid, expected.balanced] {
        let near = 1e-6 * (1.0 + other.high);
        assert!(expected.shimmed.low >= other.low - near, "{expected:?}");
        assert!(
            expected.shimmed.expected >= other.expected - near,
            "{expected:?}"
        );
        assert!(expected.shimmed.high >= other.high - near, "{expected:?}");
    }
}
