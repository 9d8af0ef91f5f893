//! Files compressed by gzip, known by their first bytes.

use std::io::{self, Read};

use flate2::read::MultiGzDecoder;

/// What every such file begins with (RFC 1952, section 2.3.1).
const MAGIC: [u8; 2] = [0x1F, 0x8B];

/// A file may unpack to so many times its size, since numbers shrink to a tenth or so and not to a thousandth; a small one to
/// this much in any case, a large one to no more than that.
const MOST_TIMES: u64 = 100;
const SMALL: u64 = 1 << 26;
const LARGEST: u64 = 1 << 31;

/// Whether a file that begins so is compressed.
pub(super) fn is_compressed(start: &[u8]) -> bool {
    start.starts_with(&MAGIC)
}

/// What is in a compressed file, or why it cannot be unpacked.
pub(super) fn unpacked(bytes: &[u8]) -> Result<Vec<u8>, String> {
    let mut unpacked = Vec::new();
    reader(bytes, bytes.len() as u64)
        .read_to_end(&mut unpacked)
        .map_err(|error| match error.kind() {
            io::ErrorKind::FileTooLarge => format!(
                "unpacks to more than {} MB, which no scan of its size does; unpack it yourself and look at it",
                most(bytes.len() as u64) >> 20
            ),
            _ => format!("is compressed, but cannot be unpacked: {error}; copy it again"),
        })?;
    Ok(unpacked)
}

/// Reads what is in a compressed file of this size, and fails where that is more than it may be.
pub(super) fn reader<R: Read>(source: R, size: u64) -> impl Read {
    Limited {
        source: MultiGzDecoder::new(source),
        left: most(size),
    }
}

fn most(size: u64) -> u64 {
    size.saturating_mul(MOST_TIMES).clamp(SMALL, LARGEST)
}

/// A source that fails once it has given as much as it may.
struct Limited<R> {
    source: R,
    left: u64,
}

impl<R: Read> Read for Limited<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let read = self.source.read(buffer)?;
        match self.left.checked_sub(read as u64) {
            Some(left) => {
                self.left = left;
                Ok(read)
            }
            None => Err(io::ErrorKind::FileTooLarge.into()),
        }
    }
}
