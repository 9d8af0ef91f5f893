//! A line on the error stream that tells how far something is, over and over; on a terminal only.

use std::io::{self, IsTerminal, Write};
use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::thread::{self, JoinHandle};
use std::time::{Duration, Instant};

/// Nothing is said of what takes less.
const SILENT: Duration = Duration::from_secs(1);

/// From one line to the next.
pub(super) const BETWEEN: Duration = Duration::from_millis(200);

/// Tells one line in place of the one before, and wipes the last when it goes.
pub(super) struct Teller {
    terminal: bool,
    begun: Instant,
    told: Option<Instant>,
}

impl Teller {
    /// From now on.
    pub(super) fn new() -> Self {
        Self {
            terminal: io::stderr().is_terminal(),
            begun: Instant::now(),
            told: None,
        }
    }

    /// Whether anybody looks on.
    pub(super) fn is_watched(&self) -> bool {
        self.terminal
    }

    /// How long it has been going on.
    pub(super) fn elapsed(&self) -> Duration {
        self.begun.elapsed()
    }

    /// Whether it is time for a line.
    pub(super) fn is_due(&self) -> bool {
        self.terminal
            && self.elapsed() >= SILENT
            && self.told.is_none_or(|told| told.elapsed() >= BETWEEN)
    }

    pub(super) fn tell(&mut self, line: &str) {
        // Wiped to its end: the line before may have been longer.
        let _ = write!(io::stderr(), "\r{line}\x1b[K");
        let _ = io::stderr().flush();
        self.told = Some(Instant::now());
    }

    /// Wipes the line.
    pub(super) fn wipe(&mut self) {
        if self.told.is_some() {
            self.tell("");
            self.told = None;
        }
    }
}

impl Drop for Teller {
    fn drop(&mut self) {
        self.wipe();
    }
}

/// Tells how long something takes that cannot tell itself how far it is, until it is dropped.
pub(super) struct Busy(Option<(Sender<()>, JoinHandle<()>)>);

impl Busy {
    /// `what` is being done from now on.
    pub(super) fn with(what: &'static str) -> Self {
        let mut teller = Teller::new();
        Self(teller.is_watched().then(|| {
            let (done, wait) = channel();
            let told = thread::spawn(move || {
                while wait.recv_timeout(BETWEEN) == Err(RecvTimeoutError::Timeout) {
                    if teller.is_due() {
                        let seconds = teller.elapsed().as_secs();
                        teller.tell(&format!("{what}, {seconds} s so far"));
                    }
                }
            });
            (done, told)
        }))
    }
}

impl Drop for Busy {
    fn drop(&mut self) {
        if let Some((done, told)) = self.0.take() {
            drop(done);
            // Its last line is wiped before anything else is written.
            let _ = told.join();
        }
    }
}
