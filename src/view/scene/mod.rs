//! What a picture of a board shows, as plain data: built without a window, from the records of other modules.

mod contour;
mod frame;
mod map;
mod marks;
mod mesh;
mod tint;
mod veil;

pub use contour::contours;
pub use map::{Contour, Levels, Painting};
pub use marks::{Holding, Pin, ShimBlock, Spot};
pub use mesh::{Mesh, Sheet, block, edges_and_ends, solid};
pub use tint::{Rgb, tint};

use crate::board::Board;
use crate::flatten::{Answer, Laying, Relief, ReliefBasis};
use crate::length::{Length, Notation, Rounding};
use crate::readings::Face;
use frame::Frame;

/// A board laid shimmed, mm: x along and y across from its middle, z over the finished down face.
#[derive(Debug, Clone, PartialEq)]
pub struct Scene {
    /// What its owner calls the board.
    pub name: String,
    /// The board's length and width.
    pub size: [f64; 2],
    /// What is left between the finished planes at the readings; negative where they cross.
    pub thickness: f64,
    /// How many times as far everything stands out of the finished planes as in truth.
    pub enlarged: f64,
    /// The up and the down face.
    pub faces: [FaceOf; 2],
    /// Edges and ends.
    pub rim: Mesh,
    /// The finished up and down planes, each as the ring of its corners, a little wider than the board.
    pub planes: [Vec<[f64; 3]>; 2],
    /// The levels of the numbered lines.
    pub levels: Levels,
    /// The numbered lines of both faces.
    pub contours: Vec<Contour>,
    /// Readings.
    pub pins: Vec<Pin>,
    /// What holds the answer where it is.
    pub holding: Vec<Holding>,
    /// Hatching over places of the up face that are little known.
    pub veil: Vec<[[f64; 3]; 2]>,
    /// What the veil says: how far the face may lie off there; `None` where that is not known.
    pub veiled_from: Option<String>,
    /// What lies under the board.
    pub shims: Vec<ShimBlock>,
    /// Places that no part may take in: what is there, and the ring round it.
    pub avoid: Vec<(String, Vec<[f64; 3]>)>,
    /// What the picture leaves out or enlarges, in words.
    pub remarks: Vec<String>,
}

/// A face of the board.
#[derive(Debug, Clone, PartialEq)]
pub struct FaceOf {
    /// Which.
    pub face: Face,
    /// Its course.
    pub sheet: Sheet,
    /// Its tints.
    pub painting: Painting,
}

/// What is drawn: how far things stand out.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Enlarged {
    /// As far as is easily seen.
    #[default]
    Fitting,
    /// So many times as far as in truth; 1 is true to scale.
    Times(f64),
}

/// Wanted: what stands out most is about this share of the board's length and width together.
const SEEN: f64 = 0.02;

/// How far the finished planes reach beyond the board, of its length and width together.
const BEYOND: f64 = 0.02;

impl Scene {
    /// The scene of a board and what its readings answered; `None` where there is no way of laying it.
    #[must_use]
    pub fn new(
        board: &Board,
        answer: &Answer,
        relief: &Relief,
        notation: Notation,
        enlarged: Enlarged,
    ) -> Option<Self> {
        let found = answer.flattening.as_ref().ok()?;
        let laying = &found.shimmed;
        let enlarged = match enlarged {
            Enlarged::Times(times) => times,
            Enlarged::Fitting => fitting(laying, answer),
        };
        let frame = Frame::new(laying, &answer.outline, enlarged);
        let most = laying.most_off_up.max(laying.most_off_down);
        let levels = Levels::new(most, notation);
        let face = |face: Face| FaceOf {
            face,
            sheet: frame.sheet(relief, face, frame::off(face)),
            painting: map::painting(relief, face, &levels),
        };
        let faces = [face(Face::Up), face(Face::Down)];
        let rim = edges_and_ends(&faces[0].sheet, &faces[1].sheet);
        let (pins, left_out) = marks::pins(
            board,
            answer,
            &frame,
            [&faces[0].sheet, &faces[1].sheet],
            notation,
        );
        let mut remarks = Vec::new();
        if enlarged == 1.0 {
            remarks.push("drawn to scale".to_owned());
        } else {
            remarks.push(format!(
                "what comes off is drawn {enlarged:.0} times as thick"
            ));
        }
        if left_out > 0 {
            remarks.push(format!(
                "{} of {} readings are drawn; all are reckoned with",
                pins.len(),
                pins.len() + left_out
            ));
        }
        if let ReliefBasis::Readings(_) = relief.basis {
            remarks.push("the faces are drawn as read".to_owned());
        }
        let veil = veil::veil(relief, &faces[0].sheet);
        Some(Self {
            name: answer.name.clone(),
            size: [answer.outline.length, answer.outline.width],
            thickness: laying.gap(),
            enlarged,
            planes: [Face::Up, Face::Down].map(|face| plane(&frame, answer, face)),
            contours: [Face::Up, Face::Down]
                .into_iter()
                .flat_map(|face| map::lines(relief, &frame, face, &levels))
                .collect(),
            holding: marks::holding(found, &frame),
            shims: marks::shims(answer, laying, &frame, notation),
            avoid: marks::avoid(board, &faces[0].sheet),
            veiled_from: matches!(relief.basis, ReliefBasis::Expected)
                .then(|| notation.write(Length::from_mm(veil::UNSURE), Rounding::Nearest)),
            faces,
            rim,
            levels,
            pins,
            veil,
            remarks,
        })
    }
}

/// Readily seen, and a round number.
fn fitting(laying: &Laying, answer: &Answer) -> f64 {
    let reach = answer.outline.length + answer.outline.width;
    let most = laying.most_off_up.max(laying.most_off_down).max(1e-6);
    let times = [1.0, 2.0, 5.0, 10.0, 20.0];
    let fits = |t: &&f64| most * **t <= SEEN * reach;
    times.iter().rev().find(fits).copied().unwrap_or(1.0)
}

/// The corners of a finished plane.
fn plane(frame: &Frame<'_>, answer: &Answer, face: Face) -> Vec<[f64; 3]> {
    let outline = &answer.outline;
    let wider = BEYOND * (outline.length + outline.width);
    let (from, to) = (outline.x0 - wider, outline.x0 + outline.length + wider);
    let (near, far) = (outline.y0 - wider, outline.y0 + outline.width + wider);
    [[from, near], [to, near], [to, far], [from, far]]
        .map(|place| frame.out(face, place, 0.0))
        .to_vec()
}
