//! The sentences for what an answer notes, each with its remedy.

use crate::board::{Assumption, Side};
use crate::flatten::{Answer, Doubted, MOST_READINGS, NoExpectation, Note, Unanswerable, Wanted};
use crate::length::{Length, Notation, Rounding};
use crate::readings::Face;

/// Every sentence of an answer, in order: why there is no answer first.
pub(super) fn all(answer: &Answer, notation: Notation) -> Vec<String> {
    let reason = answer
        .flattening
        .as_ref()
        .err()
        .map(|r| unanswerable(*r, notation));
    let notes = answer.notes.iter().map(|n| note(*n, notation));
    let expectation = match &answer.expectation {
        Ok(e) => {
            let doubts = e.doubted.iter().map(|d| doubted(d, notation));
            doubts
                .chain(e.read_next.map(|w| read_next(w, notation)))
                .collect()
        }
        Err(reason) => Vec::from_iter(no_expectation(reason)),
    };
    reason.into_iter().chain(expectation).chain(notes).collect()
}

/// What a note says.
#[must_use]
pub fn note(note: Note, notation: Notation) -> String {
    let down = |mm: f64| notation.write(Length::from_mm(mm), Rounding::Down);
    let up = |mm: f64| notation.write(Length::from_mm(mm), Rounding::Up);
    match note {
        Note::Assumed(Assumption::EndsAtReadings(side)) => format!(
            "The {} readings do not start at zero; the board is taken to end where they do. If it is {}, \
             say so with {}.",
            match side {
                Side::Length => "first",
                Side::Width => "nearest",
            },
            match side {
                Side::Length => "longer",
                Side::Width => "wider",
            },
            option(side),
        ),
        Note::Assumed(Assumption::Centred(side)) => format!(
            "The readings do not lie between zero and {}, so they are taken to lie in the middle of the board's {}.",
            option(side),
            named(side),
        ),
        Note::NoCup => "Cup cannot be told from fewer than three positions across the width: read the middle \
                        too."
            .to_owned(),
        Note::NoBow => "Bow cannot be told from fewer than three stations along the length: read the middle \
                        too."
            .to_owned(),
        Note::NoTwist => "Twist cannot be told from these readings: read near both edges at both ends.".to_owned(),
        Note::ReadInPart(face, side, share) => format!(
            "The {} face was read over only {} % of the {} over which the other was; beyond that its wood is \
             unknown and not counted.",
            face_name(face),
            (share * 100.0).floor(),
            named(side),
        ),
        Note::Rocks(other) => format!(
            "Laid on a flat table the board rocks between two ways of lying; if it tips to the other, {} is left.",
            down(other)
        ),
        Note::BalancingLeavesLess(by) => format!(
            "Taking least off the first face leaves {} less than letting the board settle: it is thicker at one \
             end or edge, and the second face pays for it.",
            up(by)
        ),
        Note::NothingSurvives(by) => format!(
            "Nothing survives flattening in one piece: the two finished planes cross by {} or so. Shorter or \
             narrower pieces may still come out.",
            up(by)
        ),
        Note::OneThickness => "The thickness is one number for the whole board, so the expected thickness allows \
                               for its changing from place to place; caliper readings along both edges would \
                               narrow it."
            .to_owned(),
    }
}

/// Why nothing is expected, and what would help; nothing where there is no answer to begin with.
pub(super) fn no_expectation(reason: &NoExpectation) -> Option<String> {
    let why = match reason {
        NoExpectation::NoAnswer => return None,
        NoExpectation::NotAsked => "leave out --at-readings to have them".to_owned(),
        NoExpectation::TooManyReadings => {
            format!(
                "more than {MOST_READINGS} readings are a scan, for which it is not reckoned yet"
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
    };
    Some(format!(
        "Only the readings are counted, as if nothing lay between them; their error and the wood between them usually \
         cost more. The expected thickness, its interval and chances are missing: {why}."
    ))
}

/// The reading that would tell most.
fn read_next(wanted: Wanted, notation: Notation) -> String {
    let near = |mm: f64| notation.write(Length::from_mm(mm), Rounding::Nearest);
    let what = match wanted.face {
        Some(face) => format!("height of the {} face", face_name(face)),
        None => "thickness, with a caliper,".to_owned(),
    };
    format!(
        "To be surer, read next the {what} at station {}, position {}.",
        near(wanted.place[0]),
        near(wanted.place[1])
    )
}

/// A reading that does not fit, and what to do.
pub(super) fn doubted(d: &Doubted, notation: Notation) -> String {
    let near = |mm: f64| notation.write(Length::from_mm(mm), Rounding::Nearest);
    let number = |mm: f64| notation.number(Length::from_mm(mm), Rounding::Nearest);
    let what = match d.face {
        Some(face) => format!("height of the {} face", face_name(face)),
        None => "thickness".to_owned(),
    };
    format!(
        "Read again: the {what} at station {}, position {} is {}; its neighbours expect about {}. The expected \
         thickness leaves it out; --without \"{}, {}\" leaves it out of everything.",
        near(d.place[0]),
        near(d.place[1]),
        near(d.reading),
        near(d.expected),
        number(d.place[0]),
        number(d.place[1])
    )
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

fn named(side: Side) -> &'static str {
    match side {
        Side::Length => "length",
        Side::Width => "width",
    }
}

fn option(side: Side) -> &'static str {
    match side {
        Side::Length => "--length",
        Side::Width => "--width",
    }
}
