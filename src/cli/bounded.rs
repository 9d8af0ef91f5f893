//! A file read as a whole, unless it is no file of readings: what never ends must not fill the memory.

use std::fs::File;
use std::io::{self, Cursor, ErrorKind, Read};
use std::path::Path;

use crate::readings::{gzip, is_hopeless, is_ply};

/// Bytes of the longest line: a grid of a hundred thousand stations has as many.
const LONGEST_LINE: usize = 1 << 20;

/// Bytes that are read at once.
pub(super) const BLOCK: usize = 1 << 20;

/// What a file holds, which tells how large it may be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Holds {
    /// Heights, perhaps those of a scan.
    Heights,
    /// Anything else that is typed: calipers, parts, a board, a shop.
    Sheet,
}

impl Holds {
    /// Bytes of the largest such file, unpacked: heights are four times those of ten million probed places.
    fn most(self) -> usize {
        match self {
            Self::Heights => 1_000_000_000,
            Self::Sheet => 32_000_000,
        }
    }
}

/// What is in a file, unpacked where it is compressed.
pub(super) fn open<'f>(mut file: impl Read + Send + 'f) -> io::Result<Box<dyn Read + Send + 'f>> {
    let mut start = Vec::new();
    file.by_ref().take(2).read_to_end(&mut start)?;
    let compressed = gzip::is_compressed(&start);
    let whole = Cursor::new(start).chain(file);
    Ok(if compressed {
        Box::new(gzip::reader(whole))
    } else {
        Box::new(whole)
    })
}

/// The bytes of a file, unpacked; refused as soon as it is too large, or a line of it too long. Of one whose first lines tell
/// that its heights will be refused only these.
pub(super) fn read(path: &Path, holds: Holds) -> io::Result<Vec<u8>> {
    let refused = |why: String| Err(io::Error::new(ErrorKind::FileTooLarge, why));
    let file = File::open(path)?;
    let length = file.metadata()?.len();
    let too_large = || {
        refused(format!(
            "it is larger than {} MB; thin it out, or part it",
            holds.most() / 1_000_000
        ))
    };
    if length > holds.most() as u64 {
        return too_large();
    }
    let mut source = open(file)?;
    let mut bytes = Vec::with_capacity(usize::try_from(length).unwrap_or_default());
    let mut line = 0;
    loop {
        let before = bytes.len();
        if source.by_ref().take(BLOCK as u64).read_to_end(&mut bytes)? == 0 {
            return Ok(bytes);
        }
        let block = &bytes[before..];
        let end = block.iter().rposition(|byte| matches!(byte, b'\n' | b'\r'));
        if before == 0
            && block.len() == BLOCK
            && holds == Holds::Heights
            && let Some(end) = end
            && is_hopeless(&block[..=end])
        {
            bytes.truncate(end + 1);
            return Ok(bytes);
        }
        match end {
            Some(end) => line = block.len() - end,
            None => line += block.len(),
        }
        if line > LONGEST_LINE && !is_ply(&bytes) {
            return refused(format!(
                "a line of it is longer than {} MB; readings stand in lines",
                LONGEST_LINE >> 20
            ));
        }
        if bytes.len() > holds.most() {
            return too_large();
        }
    }
}
