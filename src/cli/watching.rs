//! Progress on the error stream, and Ctrl-C.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use signal_hook::consts::SIGINT;
use signal_hook::flag;

use super::teller::Teller;
use crate::cutting::{Progress, Stage, Watch};

/// Says on a terminal how far a computation is; Ctrl-C stops it with what it has, a second one quits.
pub(super) struct Watching {
    stop: Arc<AtomicBool>,
    teller: Teller,
    at: Option<At>,
    stopping: bool,
}

/// The stage that it is in.
#[derive(Clone, Copy)]
struct At {
    stage: Stage,
    since: Instant,
    /// Steps done when it began, and now.
    first: usize,
    done: usize,
}

impl Watching {
    /// From now on.
    pub(super) fn new() -> Self {
        let stop = Arc::new(AtomicBool::new(false));
        // Once it is set, Ctrl-C does what it does elsewhere. It does so too where a handler cannot be set.
        let _ = flag::register_conditional_default(SIGINT, Arc::clone(&stop));
        let _ = flag::register(SIGINT, Arc::clone(&stop));
        Self {
            stop,
            teller: Teller::new(),
            at: None,
            stopping: false,
        }
    }
}

impl Watch for Watching {
    fn hear(&mut self, Progress { stage, done, all }: Progress) {
        let now = Instant::now();
        let at = match self.at {
            // Steps that begin anew are those of the next round.
            Some(at) if at.stage == stage && done >= at.done => At { done, ..at },
            _ => At {
                stage,
                since: now,
                first: done,
                done,
            },
        };
        self.at = Some(at);
        if !self.stopping && self.teller.is_due() {
            let line = line(
                stage,
                done,
                all,
                left(
                    now - at.since,
                    done - at.first,
                    all.saturating_sub(at.first),
                ),
            );
            self.teller.tell(&line);
        }
    }

    fn stopped(&mut self) -> bool {
        let stopped = self.stop.load(Ordering::Relaxed);
        if stopped && !self.stopping {
            self.stopping = true;
            if self.teller.is_watched() {
                self.teller
                    .tell("Stopping with the best plan so far; Ctrl-C again quits.");
            }
        }
        stopped
    }
}

impl Drop for Watching {
    fn drop(&mut self) {
        self.stop.store(true, Ordering::Relaxed);
    }
}

/// What the rest of a stage takes if it goes on as it went.
fn left(spent: Duration, done: usize, all: usize) -> Option<Duration> {
    let rest = all.checked_sub(done)?;
    (done > 0).then(|| spent.mul_f64(rest as f64 / done as f64))
}

fn line(stage: Stage, done: usize, all: usize, left: Option<Duration>) -> String {
    let what = match stage {
        Stage::Boards => "the faces of each board",
        Stage::Places => "where each part comes out",
        Stage::Bound => "the most that can be made",
        Stage::Layout => "laying out",
        Stage::Order => "fewer cuts, more margin",
        Stage::Chances => "how sure each part is",
        Stage::Curves => "thickness against length",
    };
    let step = format!("step {} of 7, {what}: {done} of {all}", stage as usize + 1);
    match left.map(|left| left.as_secs_f64().ceil()) {
        Some(seconds) => format!("{step}, about {seconds} s left of it"),
        None => step,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_left_goes_by_what_was_spent() {
        let spent = Duration::from_secs(4);
        assert_eq!(left(spent, 0, 10), None);
        assert_eq!(left(spent, 2, 10), Some(Duration::from_secs(16)));
        assert_eq!(left(spent, 10, 10), Some(Duration::ZERO));
        assert_eq!(left(spent, 11, 10), None, "more steps than were announced");
        assert_eq!(
            line(Stage::Places, 2, 10, left(spent, 2, 10)),
            "step 2 of 7, where each part comes out: 2 of 10, about 16 s left of it"
        );
    }
}
