//! Scans, read in blocks by as many hands as there are processors: the text of a file is never in memory as a whole.

use std::fs::File;
use std::io::{self, Read};
use std::path::Path;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};
use std::thread;

use super::bounded::{self, BLOCK, Holds};
use super::files::read_whole;
use super::reading_watch::ReadingWatch;
use super::teller::{BETWEEN, Busy};
use crate::readings::{Heights, Piece, Scan, Settings, is_hopeless, read_heights};

/// A file of fewer is no scan.
const FEWEST_BLOCKS: u64 = 4;

/// More hands than this wait for the file.
const MOST_HANDS: usize = 8;

/// The heights of a large file of plain rows; `None` of any other, and where it cannot be read to its end: what there is to
/// say of it is said by whoever reads it as a whole.
fn read(path: &Path, settings: Settings) -> Option<Heights> {
    let about = path.metadata().ok()?;
    if !about.is_file() || about.len() < FEWEST_BLOCKS * BLOCK as u64 {
        return None;
    }
    let count = AtomicU64::new(0);
    let counted = Counted {
        file: File::open(path).ok()?,
        count: &count,
    };
    let mut blocks = Blocks::new(bounded::open(counted).ok()?);
    let mut first = Vec::new();
    blocks.next(&mut first).ok()??;
    if is_hopeless(&first) {
        return None;
    }
    let (scan, header) = Scan::begin(&first, settings)?;
    blocks.put_back(&first[header..]);
    let hands = thread::available_parallelism().map_or(1, |n| n.get().min(MOST_HANDS));
    let (blocks, joined) = (Mutex::new(blocks), Joined::by(hands));
    thread::scope(|scope| {
        for _ in 0..hands {
            scope.spawn(|| hand(&scan, &blocks, &joined));
        }
        let mut watch = ReadingWatch::new(path, about.len());
        joined.wait(|| watch.look(count.load(Ordering::Relaxed)));
    });
    let state = joined.state.into_inner();
    let whole = state.unwrap_or_else(PoisonError::into_inner);
    if whole.failed {
        return None;
    }
    scan.heights(whole.rows)
}

/// The heights of a file, be they few or a scan; what is wrong with it, as text.
pub(super) fn heights(path: &Path, settings: Settings) -> Result<Heights, String> {
    match read(path, settings) {
        Some(heights) => Ok(heights),
        None => {
            let _busy = Busy::with("Reading line by line");
            read_whole(path, Holds::Heights, |bytes, name| {
                read_heights(bytes, name, settings)
            })
        }
    }
}

/// Those of a file that is given as the down face: a grid, or probe rows of one face.
pub(super) fn down_heights(path: &Path, settings: Settings) -> Result<Heights, String> {
    let mut heights = heights(path, settings)?;
    if heights.up.is_empty() {
        std::mem::swap(&mut heights.up, &mut heights.down);
    }
    if heights.down.is_empty() {
        Ok(heights)
    } else {
        Err(format!(
            "{}: holds rows of both faces; give it as the board, without --down",
            path.display()
        ))
    }
}

/// A file whose bytes are counted as they are read.
struct Counted<'c> {
    file: File,
    count: &'c AtomicU64,
}

impl Read for Counted<'_> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let read = self.file.read(buffer)?;
        self.count.fetch_add(read as u64, Ordering::Relaxed);
        Ok(read)
    }
}

/// A file in blocks of whole lines.
struct Blocks<R> {
    source: R,
    /// Bytes of the next block that are read already.
    over: Vec<u8>,
    count: usize,
}

impl<R: Read> Blocks<R> {
    fn new(source: R) -> Self {
        Self {
            source,
            over: Vec::new(),
            count: 0,
        }
    }

    /// The next block and its number from 0; `None` at the end.
    fn next(&mut self, block: &mut Vec<u8>) -> io::Result<Option<usize>> {
        block.clear();
        block.append(&mut self.over);
        let room = BLOCK.saturating_sub(block.len()) as u64;
        self.source.by_ref().take(room).read_to_end(block)?;
        if block.is_empty() {
            return Ok(None);
        }
        if block.len() >= BLOCK {
            let Some(end) = block.iter().rposition(|byte| *byte == b'\n') else {
                return Err(io::ErrorKind::InvalidData.into());
            };
            self.over.extend_from_slice(&block[end + 1..]);
            block.truncate(end + 1);
        }
        self.count += 1;
        Ok(Some(self.count - 1))
    }

    /// Puts bytes back that are to be read again from block 0 on.
    fn put_back(&mut self, bytes: &[u8]) {
        self.over.splice(0..0, bytes.iter().copied());
        self.count = 0;
    }
}

/// The pieces read so far, joined in the order of the file.
struct Joined {
    state: Mutex<State>,
    changed: Condvar,
}

#[derive(Default)]
struct State {
    rows: Piece,
    /// How many blocks they are.
    blocks: usize,
    /// Hands that are at work.
    hands: usize,
    failed: bool,
}

impl Joined {
    /// By so many hands.
    fn by(hands: usize) -> Self {
        Self {
            state: Mutex::new(State {
                hands,
                ..State::default()
            }),
            changed: Condvar::new(),
        }
    }

    fn fail(&self) {
        locked(&self.state).failed = true;
        self.changed.notify_all();
    }

    /// Waits until all blocks before have been appended; false where one has failed.
    fn append(&self, number: usize, piece: &Piece) -> bool {
        let not_yet = |state: &mut State| state.blocks != number && !state.failed;
        let state = self.changed.wait_while(locked(&self.state), not_yet);
        let mut state = state.unwrap_or_else(PoisonError::into_inner);
        if state.failed {
            return false;
        }
        state.rows.append(piece);
        state.blocks += 1;
        self.changed.notify_all();
        true
    }

    /// Waits until no hand is at work, and looks every now and then.
    fn wait(&self, mut look: impl FnMut()) {
        let mut state = locked(&self.state);
        while state.hands > 0 {
            let waited = self.changed.wait_timeout(state, BETWEEN);
            drop(waited.unwrap_or_else(PoisonError::into_inner));
            look();
            state = locked(&self.state);
        }
    }
}

/// A hand at work, until it is dropped.
struct AtWork<'j>(&'j Joined);

impl Drop for AtWork<'_> {
    fn drop(&mut self) {
        let mut state = locked(&self.0.state);
        state.hands -= 1;
        // One that panicked leaves its block out, for which the others would wait for ever.
        state.failed |= thread::panicking();
        self.0.changed.notify_all();
    }
}

/// Reads blocks until there are no more, or one cannot be read.
fn hand(scan: &Scan, blocks: &Mutex<Blocks<impl Read>>, joined: &Joined) {
    let _at_work = AtWork(joined);
    let (mut block, mut piece) = (Vec::new(), Piece::default());
    loop {
        let next = locked(blocks).next(&mut block);
        let number = match next {
            Ok(Some(number)) => number,
            Ok(None) => return,
            Err(_) => return joined.fail(),
        };
        piece.clear();
        if scan.read(&block, &mut piece).is_err() {
            return joined.fail();
        }
        if !joined.append(number, &piece) {
            return;
        }
    }
}

/// A hand that panicked ends the program when all have come together; until then what it held is as good as ever.
fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
