//! Slow work, off the drawing thread.

use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};
use std::thread;

use super::{Asked, Reckon, Shown};

/// The thread ended while it was asked.
const BROKEN_OFF: &str =
    "the reckoning broke off, which is a fault of this program: save, and open the board again";

/// Asks for answers; the latest question alone counts.
pub(super) struct Worker {
    questions: Sender<Asked>,
    answers: Receiver<Result<Shown, String>>,
    waiting: bool,
}

impl Worker {
    pub(super) fn new(reckon: Reckon) -> Self {
        let (questions, asked) = channel();
        let (answer, answers) = channel();
        thread::spawn(move || work(reckon, &asked, &answer));
        Self {
            questions,
            answers,
            waiting: false,
        }
    }

    pub(super) fn ask(&mut self, asked: Asked) {
        // Where the thread has gone, that is the answer.
        let _ = self.questions.send(asked);
        self.waiting = true;
    }

    /// The answer to the latest question, when it is there.
    pub(super) fn answer(&mut self) -> Option<Result<Shown, String>> {
        let mut latest = None;
        loop {
            match self.answers.try_recv() {
                Ok(answer) => latest = Some(answer),
                Err(TryRecvError::Empty) => break,
                Err(TryRecvError::Disconnected) if self.waiting => {
                    latest = Some(Err(BROKEN_OFF.to_owned()));
                    break;
                }
                Err(TryRecvError::Disconnected) => break,
            }
        }
        self.waiting &= latest.is_none();
        latest
    }

    pub(super) fn is_busy(&self) -> bool {
        self.waiting
    }
}

fn work(mut reckon: Reckon, asked: &Receiver<Asked>, answer: &Sender<Result<Shown, String>>) {
    while let Ok(first) = asked.recv() {
        // Of questions that came meanwhile only the last is worth an answer.
        let latest = asked.try_iter().last().unwrap_or(first);
        if answer.send(reckon(&latest)).is_err() {
            return;
        }
    }
}
