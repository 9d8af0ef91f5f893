//! Answers the window's questions.

use std::sync::Arc;

use crate::board::Board;
use crate::cli::book_options::Loss;
use crate::cli::flatten::{usual_cuts, usual_spacing};
use crate::cli::leave_out::leave_out;
use crate::cutting::{CutFirst, CutKind, Draws, Movement, Pieces, crosscut_at};
use crate::flatten::{Answer, Question, Relief, Shortfall};
use crate::length::{Length, Notation, Unit};
use crate::readings::Record;
use crate::report;
use crate::shop::usual_thicknesses;
use crate::surface::Known;
use crate::view::scene::{Enlarged, Scene};
use crate::view::{Asked, Changes, Proposal, Shown, changed};

/// A board answered and set up to be drawn.
pub(super) struct Drawn {
    pub(super) answer: Answer,
    pub(super) scene: Scene,
    known: Option<Known>,
}

impl Drawn {
    pub(super) fn new(
        board: &Board,
        need: Option<f64>,
        loss: &Loss,
        notation: Notation,
        enlarged: Enlarged,
    ) -> Result<Self, String> {
        let question = Question {
            need: need.map(Length::from_mm),
            support_spacing: usual_spacing(notation.unit()).mm(),
            sizes: usual_thicknesses(notation.unit()),
            expectation: true,
        };
        let (mut answer, known) = Answer::with_known(board, &question);
        loss.reckon_with(&mut answer);
        let found = answer.flattening.as_ref().map_err(|reason| {
            let reason = report::unanswerable(*reason, notation);
            format!("{}: {reason}", answer.name)
        })?;
        let scene = Relief::new(board, &found.shimmed)
            .and_then(|relief| Scene::new(board, &answer, &relief, notation, enlarged))
            .ok_or_else(|| format!("{}: too little was read to draw it", answer.name))?;
        Ok(Self {
            answer,
            scene,
            known,
        })
    }
}

/// A board as it was loaded, whose readings are then changed.
pub(super) struct Loaded {
    pub(super) board: Board,
    pub(super) loss: Loss,
    pub(super) record: Arc<Record>,
    /// Places whose readings are left out, and the unit they are in.
    pub(super) without: Vec<String>,
    pub(super) unit: Option<Unit>,
}

impl Loaded {
    /// The board with readings typed over.
    fn with(&self, changes: &Changes, notation: Notation) -> Result<Board, String> {
        if changes.is_empty() {
            return Ok(self.board.clone());
        }
        let record = changed(&self.record, changes);
        let mut board = Board::from_record(record, &self.board.name).map_err(|errors| {
            let told = errors.iter().map(|e| e.explain(notation, true));
            told.collect::<Vec<String>>().join("; ")
        })?;
        for place in &self.without {
            leave_out(&mut board, place, self.unit, notation)?;
        }
        Ok(board)
    }
}

/// Answers what is asked; of what stays the same, the last answer serves again.
pub(super) struct Reckoner {
    loaded: Arc<Loaded>,
    notation: Notation,
    enlarged: Enlarged,
    last: Option<Last>,
}

struct Last {
    changes: Changes,
    need: Option<f64>,
    drawn: Drawn,
    /// For the pieces between cuts, when there were any.
    draws: Option<Draws>,
}

/// Draws of a board that is cut in the window, the same at every run: a hand that moves a cut waits for them all.
const DRAWS: usize = 200;
const SEED: u64 = 5;

impl Reckoner {
    pub(super) fn new(loaded: Arc<Loaded>, notation: Notation, enlarged: Enlarged) -> Self {
        Self {
            loaded,
            notation,
            enlarged,
            last: None,
        }
    }

    pub(super) fn shown(&mut self, asked: &Asked) -> Result<Shown, String> {
        let notation = self.notation;
        let last = match self.last.take() {
            Some(last) if last.changes == asked.changes && last.need == asked.need => last,
            _ => {
                let board = self.loaded.with(&asked.changes, notation)?;
                Last {
                    changes: asked.changes.clone(),
                    need: asked.need,
                    drawn: Drawn::new(
                        &board,
                        asked.need,
                        &self.loaded.loss,
                        notation,
                        self.enlarged,
                    )?,
                    draws: None,
                }
            }
        };
        let last = self.last.insert(last);
        let pieces = last.pieces(&asked.cuts, self.loaded.loss.shortfall, notation);
        let Drawn { answer, scene, .. } = &last.drawn;
        Ok(Shown {
            answer: report::answer_lines(answer, notation),
            trouble: report::trouble_lines(answer, notation),
            laying: report::shim_rows(answer, notation),
            scene: scene.clone(),
            pieces,
        })
    }
}

impl Last {
    /// What the pieces between some crosscuts come to.
    fn pieces(
        &mut self,
        cuts: &[f64],
        shortfall: Option<Shortfall>,
        notation: Notation,
    ) -> Vec<String> {
        if cuts.is_empty() {
            return Vec::new();
        }
        let answer = &self.drawn.answer;
        let Some(known) = &self.drawn.known else {
            return Vec::from_iter(answer.expectation.as_ref().err().map(report::no_cut));
        };
        let movement = Movement::default();
        let draws = self.draws.get_or_insert_with(|| {
            Draws::new(&known.estimate, DRAWS, SEED, movement).short_by(shortfall)
        });
        let at: Vec<f64> = cuts
            .iter()
            .map(|share| share * answer.outline.length)
            .collect();
        let usual = usual_cuts(&[], None, notation.unit());
        let way = crosscut_at(&at, &usual.allowances, &mut Pieces::new(draws));
        report::piece_lines(&way, &answer.outline, self.need, notation)
    }
}

/// Looks for the best crosscuts of a board.
pub(super) struct Proposer {
    pub(super) loaded: Arc<Loaded>,
    pub(super) notation: Notation,
}

impl Proposer {
    pub(super) fn proposal(&self, asked: &Asked) -> Result<Proposal, String> {
        let notation = self.notation;
        let board = self.loaded.with(&asked.changes, notation)?;
        let need = asked.need;
        let sizes = match need {
            Some(need) => vec![Length::from_mm(need)],
            None => usual_thicknesses(notation.unit()),
        };
        let asked = usual_cuts(&sizes, self.loaded.loss.shortfall, notation.unit());
        let first = CutFirst::new(&board, asked).map_err(|reason| report::no_cut(&reason))?;
        let outline = first.outline;
        let cuts = first.best.map_or_else(Vec::new, |best| {
            let crosscuts = first.ways[best].cuts.iter();
            crosscuts
                .filter(|cut| cut.kind == CutKind::Crosscut)
                .map(|cut| (cut.at - outline.x0) / outline.length)
                .collect()
        });
        Ok(Proposal {
            lines: report::proposal_lines(&first, need, notation),
            cuts,
        })
    }
}
