//! A file read as a whole, unless it is no file of readings: what never ends must not fill the memory.

use std::fs::File;
use std::io::{self, ErrorKind, Read};
use std::path::Path;

/// Bytes of the largest file: four times those of ten million probed places.
const LARGEST: usize = 1_000_000_000;

/// Bytes of the longest line: a grid of a million stations has a fourth of it.
const LONGEST_LINE: usize = 32_000_000;

/// Bytes that are read at once.
const BLOCK: u64 = 1 << 20;

/// The bytes of a file; refused as soon as it is too large, or a line of it too long.
pub(super) fn read(path: &Path) -> io::Result<Vec<u8>> {
    let mut file = File::open(path)?;
    let refused = |why: String| Err(io::Error::new(ErrorKind::FileTooLarge, why));
    let length = file.metadata()?.len();
    let too_large = || {
        refused(format!(
            "it is larger than {} GB; thin it out, or part it",
            LARGEST / 1_000_000_000
        ))
    };
    if length > LARGEST as u64 {
        return too_large();
    }
    let mut bytes = Vec::with_capacity(usize::try_from(length).unwrap_or_default());
    let mut line = 0;
    loop {
        let before = bytes.len();
        if file.by_ref().take(BLOCK).read_to_end(&mut bytes)? == 0 {
            return Ok(bytes);
        }
        let block = &bytes[before..];
        match block.iter().rposition(|byte| matches!(byte, b'\n' | b'\r')) {
            Some(end) => line = block.len() - end,
            None => line += block.len(),
        }
        if line > LONGEST_LINE {
            return refused(format!(
                "a line of it is longer than {} MB; readings stand in lines",
                LONGEST_LINE / 1_000_000
            ));
        }
        if bytes.len() > LARGEST {
            return too_large();
        }
    }
}
