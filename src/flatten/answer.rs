//! Everything that one board's readings answer, as plain values.

use super::expect::known_as_read;
use super::jointed::jointed;
use super::lay_check::{Laid, laid};
use super::notes::notes;
use super::shims::{Shim, shims};
use super::{
    Expectation, Faces, Flattening, Interval, Laying, NoExpectation, Note, Unanswerable,
    flatten_knowing,
};
use crate::board::{Board, Outline, gauge_face};
use crate::length::Length;
use crate::readings::{Face, Layout};
use crate::surface::estimate::Observation;
use crate::surface::form::Form;
use crate::surface::{Edges, Known, ReadFaces};
use crate::warp::{Kink, ThinSpot, Warp};

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
    /// Cup, bow and twist of the up face; crook.
    pub warp: Warp,
    /// The sharp bend of the up face, if the readings show one.
    pub kink: Option<Kink>,
    /// The place where the board is thinner than round about, if it is.
    pub thin_spot: Option<ThinSpot>,
    /// What `flattening`, `shims` and `removal` stand on.
    pub basis: Basis,
    /// What flattening leaves, or why there is no telling.
    pub flattening: Result<Flattening, Unanswerable>,
    /// What is expected of the whole board, or why nothing can be.
    pub expectation: Result<Expectation, NoExpectation>,
    /// The width that survives jointing both edges straight and parallel, where anything was read of them.
    pub jointed: Option<Interval>,
    /// The thickness that was asked for.
    pub need: Option<Length>,
    /// What to put under the board, down face down, to hold it in the shimmed attitude.
    pub shims: Vec<Shim>,
    /// The usual thicknesses that the board makes when shimmed, largest first.
    pub makes: Vec<Length>,
    /// The usual thicknesses, ascending.
    pub sizes: Vec<Length>,
    /// What comes off each face at places of it, shimmed.
    pub removal: Option<Removal>,
    /// How the board lay in scanners' own frames.
    pub laid: Vec<Laid>,
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

/// What an exact answer stands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// The heights that were read, exactly, as if nothing lay between them.
    Readings,
    /// The expected course of both faces, since no heights were read.
    Expected,
}

/// A map wider or higher than this many readings is drawn at evenly spaced places instead.
const MAP_STATIONS: usize = 9;
const MAP_POSITIONS: usize = 7;

impl Answer {
    /// Answers the question at the board's readings.
    #[must_use]
    pub fn new(board: &Board, question: &Question) -> Self {
        Self::with_known(board, question).0
    }

    /// As [`Answer::new`], with the estimate of both faces behind it, where there is one, for more to be asked of it.
    #[must_use]
    pub fn with_known(board: &Board, question: &Question) -> (Self, Option<Known>) {
        let read = ReadFaces::new(board);
        let known = if question.expectation || read.is_none() {
            known_as_read(board, read.as_ref())
        } else {
            Err(NoExpectation::NotAsked)
        };
        let edges = Edges::new(board).and_then(Result::ok);
        let basis = if read.is_some() {
            Basis::Readings
        } else {
            Basis::Expected
        };
        // Without any reading of its shape there is no course to expect.
        let gauged = board.gauged.iter().any(|g| gauge_face(&g.gauge).is_some());
        let expected = || {
            let known = known.as_ref().ok().filter(|_| gauged)?;
            Some(ReadFaces::expected(board.outline, known))
        };
        let (form, reading_error) = form(board, read.as_ref(), known.as_ref().ok());
        let warp = Warp::of(&form, reading_error, edges.as_ref());
        let kink = read
            .as_ref()
            .filter(|r| !r.is_scan(Face::Up))
            .and_then(|r| Kink::find(&board.outline, r.outermost(Face::Up)));
        let mut answer = Self {
            name: board.name.clone(),
            outline: board.outline,
            readings: board.readings(),
            warp,
            kink,
            thin_spot: known
                .as_ref()
                .ok()
                .and_then(|k| ThinSpot::find(&board.outline, k)),
            basis,
            flattening: Err(Unanswerable::NoReadings(Face::Up)),
            expectation: Err(NoExpectation::NoAnswer),
            jointed: edges.as_ref().map(jointed),
            need: question.need,
            shims: Vec::new(),
            makes: Vec::new(),
            sizes: question.sizes.clone(),
            removal: None,
            laid: Vec::new(),
            notes: Vec::new(),
        };
        let read = read.or_else(expected);
        match &read {
            Some(read) => answer.lay(board, question, read, &known),
            None => {
                answer.expectation = Err(known.clone().err().unwrap_or(NoExpectation::NoAnswer));
            }
        }
        let known = known.ok();
        let sure = answer.expectation.as_ref().map_or(&[][..], |e| &e.lays);
        answer.laid = laid(board, known.as_ref(), sure);
        answer.notes = notes(board, &answer, read.as_ref(), known.as_ref());
        (answer, known)
    }

    /// Lays the faces and answers what hangs on it.
    fn lay(
        &mut self,
        board: &Board,
        question: &Question,
        read: &ReadFaces<'_>,
        known: &Result<Known, NoExpectation>,
    ) {
        let faces = Faces {
            up: read.outermost(Face::Up),
            down: read.outermost(Face::Down),
            normal: read.normal(),
            centre: read.centre_of_mass(),
        };
        self.flattening = flatten_knowing(&faces, read.above_by());
        let Ok(found) = &self.flattening else { return };
        self.expectation = match known {
            Ok(known) => Ok(Expectation::new(board, known, read)),
            Err(reason) => Err(reason.clone()),
        };
        if found.shimmed.gap() > 0.0 {
            let down = |x: f64, y: f64| read.height(Face::Down, x, y);
            self.shims = shims(
                &found.shimmed,
                &faces,
                &board.outline,
                question.support_spacing,
                down,
            );
            self.makes = makes(&found.shimmed, &question.sizes);
            self.removal = Some(Removal::new(&found.shimmed, read, board));
        }
    }
}

/// The form of the up face: that of its heights; where they leave one of its terms open, that of all readings of it that
/// are not doubted. With it, how far off each of its rows is, one standard deviation.
fn form(board: &Board, read: Option<&ReadFaces<'_>>, known: Option<&Known>) -> (Form, f64) {
    let open = |form: &Form| form.fit.coefficients[3..].iter().any(Option::is_none);
    let heights = read.map(|r| r.form(Face::Up));
    let gauged = || {
        let trusted: Vec<Observation> =
            known.map_or(Vec::new(), |k| k.trusted().cloned().collect());
        Form::of_observations(board.outline, Face::Up, &trusted)
    };
    match heights {
        Some(form) if !open(form) || board.gauged.is_empty() => (form.clone(), board.errors.up),
        _ => gauged(),
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
    fn new(laying: &Laying, read: &ReadFaces<'_>, board: &Board) -> Self {
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
