//! Slow work, off the drawing thread.

use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};
use std::thread;

use super::{Asked, Reckon};

/// The thread ended while it was asked.
const BROKEN_OFF: &str =
    "the reckoning broke off, which is a fault of this program: save, and open the board again";

/// Asks for answers; the latest question alone counts.
pub(super) struct Worker<T> {
    questions: Sender<(usize, Asked)>,
    answers: Receiver<(usize, Result<T, String>)>,
    /// Number of the latest question.
    latest: usize,
    waiting: bool,
}

impl<T: Send + 'static> Worker<T> {
    pub(super) fn new(reckon: Reckon<T>) -> Self {
        let (questions, asked) = channel();
        let (answer, answers) = channel();
        thread::spawn(move || work(reckon, &asked, &answer));
        Self {
            questions,
            answers,
            latest: 0,
            waiting: false,
        }
    }

    pub(super) fn ask(&mut self, asked: Asked) {
        self.latest += 1;
        // Where the thread has gone, that is the answer.
        let _ = self.questions.send((self.latest, asked));
        self.waiting = true;
    }

    /// The answer is not wanted any more.
    pub(super) fn forget(&mut self) {
        self.latest += 1;
        self.waiting = false;
    }

    /// The answer to the latest question, when it is there.
    pub(super) fn answer(&mut self) -> Option<Result<T, String>> {
        while self.waiting {
            match self.answers.try_recv() {
                Ok((number, _)) if number != self.latest => {}
                Ok((_, answer)) => {
                    self.waiting = false;
                    return Some(answer);
                }
                Err(TryRecvError::Empty) => return None,
                Err(TryRecvError::Disconnected) => {
                    self.waiting = false;
                    return Some(Err(BROKEN_OFF.to_owned()));
                }
            }
        }
        None
    }

    pub(super) fn is_busy(&self) -> bool {
        self.waiting
    }
}

fn work<T>(
    mut reckon: Reckon<T>,
    asked: &Receiver<(usize, Asked)>,
    answer: &Sender<(usize, Result<T, String>)>,
) {
    while let Ok(first) = asked.recv() {
        // Of questions that came meanwhile only the last is worth an answer.
        let (number, latest) = asked.try_iter().last().unwrap_or(first);
        if answer.send((number, reckon(&latest))).is_err() {
            return;
        }
    }
}

#[cfg(test)]
mod tests {
    use std::thread::sleep;
    use std::time::Duration;

    use super::Worker;
    use crate::view::Asked;

    fn asked(need: f64) -> Asked {
        Asked {
            need: Some(need),
            ..Asked::default()
        }
    }

    fn waited(worker: &mut Worker<f64>) -> Option<Result<f64, String>> {
        (0..2000).find_map(|_| {
            sleep(Duration::from_millis(1));
            worker.answer()
        })
    }

    #[test]
    fn only_the_latest_question_is_answered_and_none_that_was_given_up() {
        let mut worker = Worker::new(Box::new(|asked: &Asked| {
            sleep(Duration::from_millis(20));
            asked.need.ok_or_else(String::new)
        }));
        for need in [1.0, 2.0, 3.0] {
            worker.ask(asked(need));
        }
        assert_eq!(waited(&mut worker), Some(Ok(3.0)));
        assert!(!worker.is_busy());
        worker.ask(asked(4.0));
        worker.forget();
        worker.ask(asked(5.0));
        assert_eq!(waited(&mut worker), Some(Ok(5.0)));
    }

    #[test]
    fn a_reckoning_that_breaks_off_is_told() {
        let mut worker: Worker<f64> = Worker::new(Box::new(|_| panic!("a fault of ours")));
        worker.ask(asked(1.0));
        let told = waited(&mut worker).and_then(Result::err);
        assert!(told.is_some_and(|why| why.contains("broke off")));
    }
}
