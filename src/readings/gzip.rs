//! Files compressed by gzip, known by their first bytes.

use std::io::{self, ErrorKind, Read};

use flate2::read::MultiGzDecoder;

/// What every such file begins with (RFC 1952, section 2.3.1).
const MAGIC: [u8; 2] = [0x1F, 0x8B];

/// A file may unpack to so many times its size, since numbers shrink to a tenth or so and not to a thousandth; a small one to
/// this much in any case, a large one to no more than that.
const MOST_TIMES: u64 = 100;
const SMALL: u64 = 1 << 26;
const LARGEST: u64 = 1 << 31;

/// Whether a file that begins so is compressed.
#[must_use]
pub fn is_compressed(start: &[u8]) -> bool {
    start.starts_with(&MAGIC)
}

/// Reads what is in a compressed file. It fails, and says why and what to do, where the file is damaged and where more is in it
/// than it may unpack to.
pub fn reader(source: impl Read) -> impl Read {
    Limited {
        source: MultiGzDecoder::new(Counted { source, count: 0 }),
        unpacked: 0,
    }
}

/// A source whose bytes are counted.
struct Counted<R> {
    source: R,
    count: u64,
}

impl<R: Read> Read for Counted<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let read = self.source.read(buffer)?;
        self.count += read as u64;
        Ok(read)
    }
}

/// What is in a compressed source, until it is more than it may be.
struct Limited<R> {
    source: MultiGzDecoder<Counted<R>>,
    unpacked: u64,
}

impl<R: Read> Read for Limited<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let read = self.source.read(buffer).map_err(explained)?;
        self.unpacked += read as u64;
        let packed = self.source.get_ref().count;
        let most = packed.saturating_mul(MOST_TIMES).clamp(SMALL, LARGEST);
        if self.unpacked <= most {
            return Ok(read);
        }
        let why = format!(
            "it unpacks to more than {} MB, which no scan of its size does; unpack it yourself and look at it",
            most >> 20
        );
        Err(io::Error::new(ErrorKind::FileTooLarge, why))
    }
}

/// What is wrong with the file, where that is told apart from what is wrong with reading it.
fn explained(error: io::Error) -> io::Error {
    use ErrorKind::{InvalidData, InvalidInput, UnexpectedEof};
    let kind = error.kind();
    if !matches!(kind, InvalidData | InvalidInput | UnexpectedEof) {
        return error;
    }
    let why = format!("it is compressed, but cannot be unpacked: {error}; copy it again");
    io::Error::new(kind, why)
}
