//! Those who work beside the drawing thread, and what the panels get of them.

use super::panels::Bench;
use super::worker::Worker;
use super::{Asked, Changes, Hands, Proposal, Shown, Write};
use crate::report::sheet::Sheet;
use crate::view::stage::Stage;

/// Reckons, proposes, reads the book and saves; each on a thread of its own.
pub(super) struct Clerks {
    reckoner: Worker<Shown>,
    proposer: Worker<Proposal>,
    librarian: Option<Worker<Sheet>>,
    saver: Worker<String>,
    keeper: Worker<()>,
    /// What is typed over and not saved, as it was handed to the keeper.
    kept: Changes,
    /// What is asked now.
    asked: Asked,
    /// What is being saved.
    saving: Changes,
    /// Whether the window closes once it is saved.
    leaving: bool,
}

impl Clerks {
    /// Sets them to work; what is left is the writing of pictures.
    pub(super) fn new(hands: Hands, bench: &mut Bench) -> (Self, Write<Vec<u8>>) {
        let Hands {
            reckon,
            propose,
            book,
            save,
            keep,
            export,
        } = hands;
        bench.has_book = book.is_some();
        let clerks = Self {
            reckoner: Worker::new(reckon),
            proposer: Worker::new(propose),
            librarian: book.map(Worker::new),
            saver: Worker::new(save),
            keeper: Worker::new(keep),
            kept: Changes::new(),
            asked: bench.asked(),
            saving: Changes::new(),
            leaving: false,
        };
        (clerks, export)
    }

    /// Asks for the planner's cuts.
    pub(super) fn propose(&mut self, bench: &mut Bench) {
        bench.proposal = None;
        self.proposer.ask(bench.asked());
    }

    /// The planner's cuts are not wanted any more.
    pub(super) fn give_up(&mut self) {
        self.proposer.forget();
    }

    /// Lays the book over the board, or takes it away.
    pub(super) fn turn_to_book(&mut self, bench: &mut Bench) {
        match &mut self.librarian {
            Some(librarian) if bench.sheet.is_none() => librarian.ask(bench.asked()),
            _ => bench.sheet = None,
        }
    }

    /// Saves what is typed over; `leaving` closes the window then.
    pub(super) fn save(&mut self, bench: &Bench, leaving: bool) {
        self.saving = bench.changes.now().clone();
        self.leaving = leaving;
        self.saver.ask(bench.asked());
    }

    /// Asks for what has changed of the questions, and has what is not saved kept.
    pub(super) fn ask(&mut self, bench: &mut Bench) {
        let unsaved = bench.unsaved();
        if unsaved != self.kept {
            self.keeper.ask(Asked {
                changes: unsaved.clone(),
                ..Asked::default()
            });
            self.kept = unsaved;
        }
        let now = bench.asked();
        if now == self.asked {
            return;
        }
        if (&now.changes, now.need) != (&self.asked.changes, self.asked.need) {
            bench.proposal = None;
            self.proposer.forget();
        }
        self.reckoner.ask(now.clone());
        self.asked = now;
    }

    /// Hands over what is ready; whether anything was.
    pub(super) fn answer(&mut self, bench: &mut Bench, stage: &mut Stage) -> bool {
        let mut any = false;
        if let Some(answer) = self.reckoner.answer() {
            any = true;
            match answer {
                Ok(shown) => {
                    *stage = Stage::new(&shown.scene);
                    bench.shown = shown;
                    bench.fault = None;
                }
                Err(why) => bench.fault = Some(why),
            }
        }
        if let Some(found) = self.proposer.answer() {
            any = true;
            bench.proposal = Some(found);
        }
        if let Some(opened) = self.librarian.as_mut().and_then(Worker::answer) {
            any = true;
            match opened {
                Ok(sheet) => bench.sheet = Some(sheet),
                Err(why) => bench.news = why,
            }
        }
        if let Some(saved) = self.saver.answer() {
            any = true;
            match saved {
                Ok(told) => {
                    bench.changes.mark_saved(std::mem::take(&mut self.saving));
                    bench.closed = self.leaving && !bench.changes.unsaved();
                    bench.news = told;
                }
                Err(why) => bench.news = why,
            }
            self.leaving = false;
        }
        if let Some(Err(why)) = self.keeper.answer() {
            any = true;
            bench.news = why;
        }
        bench.proposing = self.proposer.is_busy();
        let reading = self.librarian.as_ref().is_some_and(Worker::is_busy);
        let writing = self.saver.is_busy() || self.keeper.is_busy();
        bench.busy = self.reckoner.is_busy() || reading || writing;
        any
    }
}
