//! Everything that one board's readings answer, as plain values.

use super::shims::{Shim, shims};
use super::{Expectation, Faces, Flattening, Laying, NoExpectation, Unanswerable, flatten};
use crate::board::{Assumption, Board, Down, Outline, Side};
use crate::length::Length;
use crate::readings::{Face, Layout};
use crate::surface::ReadFaces;
use crate::warp::Warp;

/// What is asked of a board.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The thickness that is needed, if one is.
    pub need: Option<Length>,
    /// Distance between supports under the board, mm.
    pub support_spacing: f64,
    /// The usual finished thicknesses, ascending.
    pub sizes: Vec<Length>,
    /// Whether to reckon with the wood between the readings too.
    pub expectation: bool,
}

/// What a board's readings answer. Millimetres and the coordinates of the readings.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// What its owner calls the board.
    pub name: String,
    /// What it covers.
    pub outline: Outline,
    /// Number of readings.
    pub readings: usize,
    /// Cup, bow and twist of the up face.
    pub warp: Warp,
    /// What flattening leaves, or why there is no telling.
    pub flattening: Result<Flattening, Unanswerable>,
    /// What is expected of the whole board, or why nothing can be.
    pub expectation: Result<Expectation, NoExpectation>,
    /// The thickness that was asked for.
    pub need: Option<Length>,
    /// What to put under the board, down face down, to hold it in the shimmed attitude.
    pub shims: Vec<Shim>,
    /// The usual thicknesses that the board makes when shimmed, largest first.
    pub makes: Vec<Length>,
    /// What comes off each face at places of it, shimmed.
    pub removal: Option<Removal>,
    /// What the user should know beside.
    pub notes: Vec<Note>,
}

/// What comes off both faces over a grid of places, mm; never negative.
#[derive(Debug, Clone, PartialEq)]
pub struct Removal {
    /// Along the length.
    pub stations: Vec<f64>,
    /// Across the width.
    pub positions: Vec<f64>,
    /// Off the up face: a row a position, a value a station.
    pub up: Vec<Vec<f64>>,
    /// Off the down face, likewise.
    pub down: Vec<Vec<f64>>,
}

/// Something that the user should know; what it says is put into words elsewhere.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Note {
    /// How the readings were taken to lie.
    Assumed(Assumption),
    /// Cup is not determined by the readings.
    NoCup,
    /// Bow is not determined.
    NoBow,
    /// Twist is not determined.
    NoTwist,
    /// One of the faces was read over less of this side than the other: this share of it.
    ReadInPart(Face, Side, f64),
    /// The board rocks between two ways of lying; the other leaves this much.
    Rocks(f64),
    /// Balancing leaves this much less than letting the board settle.
    BalancingLeavesLess(f64),
    /// Nothing survives in the best attitude found: the planes cross by this much.
    NothingSurvives(f64),
    /// The thickness is one number for the whole board; how it changes over the board is guessed.
    OneThickness,
}

/// A map wider or higher than this many readings is drawn at evenly spaced places instead.
const MAP_STATIONS: usize = 9;
const MAP_POSITIONS: usize = 7;

/// A difference in thickness that a shop can see, mm.
const WORTH_A_WORD: f64 = 0.1;

/// A face read over less than this share of the other's reach is worth a word.
const WHOLE: f64 = 0.9;

impl Answer {
    /// Answers the question at the board's readings.
    #[must_use]
    pub fn new(board: &Board, question: &Question) -> Self {
        let read = ReadFaces::new(board);
        let faces = Faces {
            up: read.points(Face::Up),
            down: read.points(Face::Down),
            normal: read.normal(),
            centre: read.centre_of_mass(),
        };
        let warp = Warp::of(read.form(Face::Up));
        let flattening = flatten(&faces);
        let expectation = match &flattening {
            Ok(_) if question.expectation => Expectation::new(board, &read),
            Ok(_) => Err(NoExpectation::NotAsked),
            Err(_) => Err(NoExpectation::NoAnswer),
        };
        let down = |x: f64, y: f64| read.height(Face::Down, x, y);
        let (shims, makes, removal) = match &flattening {
            Ok(f) if f.shimmed.gap() > 0.0 => (
                shims(
                    &f.shimmed,
                    &faces,
                    &board.outline,
                    question.support_spacing,
                    down,
                ),
                makes(&f.shimmed, &question.sizes),
                Some(Removal::new(&f.shimmed, &read, board)),
            ),
            _ => (Vec::new(), Vec::new(), None),
        };
        let notes = notes(board, &faces, &warp, &flattening);
        Self {
            name: board.name.clone(),
            outline: board.outline,
            readings: board.readings(),
            warp,
            flattening,
            expectation,
            need: question.need,
            shims,
            makes,
            removal,
            notes,
        }
    }
}

/// The sizes that are left, largest first; a hair of rounding does not cost one.
fn makes(laying: &Laying, sizes: &[Length]) -> Vec<Length> {
    sizes
        .iter()
        .rev()
        .copied()
        .filter(|s| s.mm() <= laying.thickness() + 1e-6)
        .collect()
}

impl Removal {
    fn new(laying: &Laying, read: &ReadFaces, board: &Board) -> Self {
        let (stations, positions) = places(board);
        let over = |face: Face| {
            positions
                .iter()
                .map(|&y| {
                    stations
                        .iter()
                        .map(|&x| {
                            laying
                                .comes_off(face, [x, y, read.height(face, x, y)])
                                .max(0.0)
                        })
                        .collect()
                })
                .collect()
        };
        let (up, down) = (over(Face::Up), over(Face::Down));
        Self {
            stations,
            positions,
            up,
            down,
        }
    }
}

/// The grid of readings where it is small enough to read at a glance, else places spread over the board.
fn places(board: &Board) -> (Vec<f64>, Vec<f64>) {
    if let Layout::Grid {
        stations,
        positions,
    } = &board.layout
        && stations.len() <= MAP_STATIONS
        && positions.len() <= MAP_POSITIONS
    {
        return (stations.clone(), positions.clone());
    }
    let spread = |start: f64, extent: f64, count: usize| -> Vec<f64> {
        (0..count)
            .map(|i| start + extent * i as f64 / (count - 1) as f64)
            .collect()
    };
    let outline = &board.outline;
    (
        spread(outline.x0, outline.length, 7),
        spread(outline.y0, outline.width, 5),
    )
}

fn notes(
    board: &Board,
    faces: &Faces<'_>,
    warp: &Warp,
    flattening: &Result<Flattening, Unanswerable>,
) -> Vec<Note> {
    let mut notes: Vec<Note> = board
        .assumptions
        .iter()
        .copied()
        .map(Note::Assumed)
        .collect();
    for (value, note) in [
        (warp.cup, Note::NoCup),
        (warp.bow, Note::NoBow),
        (warp.twist, Note::NoTwist),
    ] {
        if value.is_none() {
            notes.push(note);
        }
    }
    if matches!(board.down, Down::Thickness(_)) {
        notes.push(Note::OneThickness);
    }
    if let Ok(found) = flattening {
        notes.extend(read_in_part(faces));
        if let Some(other) = found
            .rocks_to
            .as_ref()
            .filter(|_| found.as_laid.gap() > 0.0)
        {
            notes.push(Note::Rocks(other.thickness()));
        }
        let less = found.as_laid.thickness() - found.balanced.thickness();
        if less >= WORTH_A_WORD {
            notes.push(Note::BalancingLeavesLess(less));
        }
        if found.shimmed.gap() <= 0.0 {
            notes.push(Note::NothingSurvives(-found.shimmed.gap()));
        }
    }
    notes
}

/// The sides along which one face was read over clearly less than the other.
fn read_in_part(faces: &Faces<'_>) -> Vec<Note> {
    let reach = |points: &[[f64; 3]], axis: usize| {
        let values = points.iter().map(|p| p[axis]);
        values.clone().fold(f64::NEG_INFINITY, f64::max) - values.fold(f64::INFINITY, f64::min)
    };
    [(0, Side::Length), (1, Side::Width)]
        .into_iter()
        .filter_map(|(axis, side)| {
            let (up, down) = (reach(faces.up, axis), reach(faces.down, axis));
            if down < WHOLE * up {
                Some(Note::ReadInPart(Face::Down, side, down / up))
            } else if up < WHOLE * down {
                Some(Note::ReadInPart(Face::Up, side, up / down))
            } else {
                None
            }
        })
        .collect()
}
