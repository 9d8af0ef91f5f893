//! The sentences for what an answer notes, each with its remedy.

use super::page::Page;
use crate::flatten::{NoExpectation, Unanswerable};
use crate::length::{Length, Notation, Rounding};
use crate::readings::Face;
use crate::surface::MOST_READINGS;

/// Every sentence of an answer, in order: why there is no answer first.
pub(super) fn all(page: &Page<'_>) -> Vec<String> {
    let answer = page.answer;
    let reason = answer
        .flattening
        .as_ref()
        .err()
        .map(|r| unanswerable(*r, page.notation));
    let notes = answer.notes.iter().map(|n| page.note(*n));
    let expectation = match &answer.expectation {
        Ok(e) => {
            let doubts = e.doubted.iter().map(|d| page.doubted(d));
            doubts
                .chain(e.read_next.as_ref().and_then(|w| page.read_next(w)))
                .collect()
        }
        Err(reason) => Vec::from_iter(no_expectation(reason)),
    };
    reason.into_iter().chain(expectation).chain(notes).collect()
}

/// Why nothing is expected, and what would help; nothing where there is no answer to begin with.
pub(super) fn no_expectation(reason: &NoExpectation) -> Option<String> {
    let why = why_none(reason)?;
    Some(format!(
        "Only the readings are counted, as if nothing lay between them; their error and the wood between them usually \
         cost more. The expected thickness, its interval and chances are missing: {why}."
    ))
}

/// Why there is no telling where to cut a board, and what would help.
#[must_use]
pub fn no_cut(reason: &NoExpectation) -> String {
    let why = why_none(reason).unwrap_or_else(|| "its readings have no answer".to_owned());
    format!("where to cut cannot be told: {why}")
}

/// Why there is no telling how to mill a board, and what would help.
#[must_use]
pub fn no_plan(reason: &NoExpectation) -> String {
    let why = why_none(reason).unwrap_or_else(|| "its readings have no answer".to_owned());
    format!("how to mill it cannot be told: {why}")
}

/// Why there is no prediction for a book, and what would help.
#[must_use]
pub fn no_prediction(reason: &NoExpectation) -> String {
    let why = why_none(reason).unwrap_or_else(|| "its readings have no answer".to_owned());
    format!("nothing was noted, as there is no telling what to expect: {why}")
}

/// Why there is no estimate of a board that is still being read.
pub(super) fn no_estimate_yet(reason: &NoExpectation) -> String {
    match why_none(reason) {
        Some(why) => format!("No estimate yet: {why}."),
        None => "No estimate yet.".to_owned(),
    }
}

/// Why nothing is expected; nothing where there is no answer to begin with.
fn why_none(reason: &NoExpectation) -> Option<String> {
    Some(match reason {
        NoExpectation::NoAnswer => return None,
        NoExpectation::NotAsked => "leave out --at-readings to have them".to_owned(),
        NoExpectation::TooManyReadings => {
            format!(
                "more than {MOST_READINGS} readings are taken for a scan, and these lie in too few places to be one; spread \
                 them over the board, or leave some out"
            )
        }
        NoExpectation::LeansOverDatum(degrees) => {
            format!("the board leans {degrees:.0} degrees over its datum; lay it nearer to level")
        }
        NoExpectation::TooLittleRead => {
            "too little of the board was read; read at least both edges at three stations"
                .to_owned()
        }
        NoExpectation::Failed(why) => format!("the estimate failed ({why})"),
    })
}

/// Why there is no answer, and what to do.
#[must_use]
pub fn unanswerable(reason: Unanswerable, notation: Notation) -> String {
    match reason {
        Unanswerable::NoReadings(face) => {
            format!(
                "The {} face has no reading left; take some.",
                face_name(face)
            )
        }
        Unanswerable::TooFar(face) => format!(
            "A reading of the {} face lies over 10 km from zero; check the units of the file.",
            face_name(face)
        ),
        Unanswerable::UpsideDown(by) => format!(
            "The up face lies {} below the down face on average: the faces are swapped, or depths were taken for \
             heights. Say --depth if the numbers are depths below a datum, and only then.",
            notation.write(Length::from_mm(by), Rounding::Nearest)
        ),
        Unanswerable::Apart { along, share } => format!(
            "The two faces were read over different parts of the board: along its {} only {} % of the shorter one \
             lies over the other. Read both over the same stretch, from the same end A and near edge.",
            if along { "length" } else { "width" },
            (share * 100.0).floor(),
        ),
        Unanswerable::Leaning(degrees) => format!(
            "The planes that part the two faces lean {degrees:.0} degrees from the board's own plane, so the two \
             faces cannot be those of one board as it lies. Check that both were read over the same datum, and \
             that stations and positions are in the same unit as the heights."
        ),
    }
}

/// A face in words.
pub(super) fn face_name(face: Face) -> &'static str {
    match face {
        Face::Up => "up",
        Face::Down => "down",
    }
}
