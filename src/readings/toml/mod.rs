//! Files in TOML, read so that each fault is told with its line and the piece at fault, all of them at once.

mod brackets;
pub(super) mod keys;
mod moisture;
pub(super) mod reader;
mod slips;
pub(super) mod source;
pub(super) mod syntax;
pub(super) mod tree;
mod values;

use source::{Kind, Source};

use crate::readings::Faults;
use crate::readings::fault::{Collector, Problem};

/// The most bytes of such a file: 1 MB, far more than anyone types. Of one full of brackets, each byte may take a hundred.
const LONGEST: usize = 1 << 20;

/// The text of a file, without a byte-order mark. `kind` is what it should be, and `nothing` what to do where it is empty.
pub(super) fn text<'b>(
    bytes: &'b [u8],
    file: &str,
    kind: Kind,
    nothing: &str,
) -> Result<&'b str, Faults> {
    plain_text(bytes, kind.name, nothing).map_err(|(line, problem)| {
        let mut faults = Collector::default();
        let source = Source::new("", kind);
        let (mut site, mut fault) = source.fault(&(0..0), "", problem);
        (site.line, fault.line) = (line, Some(line));
        faults.told(site, fault);
        faults.faults(file)
    })
}

/// The text, or the line that is none and what is wrong with it.
fn plain_text<'b>(bytes: &'b [u8], kind: &str, nothing: &str) -> Result<&'b str, (u64, Problem)> {
    const SAVE: &str = "save it as plain text in UTF-8";
    if bytes.len() > LONGEST {
        let wrong = format!("the file is larger than 1 MB: no {kind}");
        return Err((
            1,
            Problem::new(wrong, "keep long readings in a CSV file, and name it here"),
        ));
    }
    if bytes.starts_with(b"\xFF\xFE") || bytes.starts_with(b"\xFE\xFF") {
        return Err((1, Problem::new("the file is UTF-16 text", SAVE)));
    }
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let before = &bytes[..error.valid_up_to()];
        let line = 1 + before.iter().filter(|byte| **byte == b'\n').count() as u64;
        (line, Problem::new("a character that is not UTF-8", SAVE))
    })?;
    if text.contains('\r') && !text.contains('\n') {
        let fix = "save it with the line ends of today's systems";
        return Err((1, Problem::new("its lines end in carriage returns", fix)));
    }
    if text.trim().is_empty() {
        return Err((1, Problem::new("the file is empty", nothing)));
    }
    Ok(text)
}
