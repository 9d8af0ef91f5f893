//! Which bracket or text is open at a place of a file.

/// Something that was opened and is not closed; where it opens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::readings) enum Open {
    Bracket(usize),
    /// A text between three quotes.
    Text(usize),
}

impl Open {
    pub(in crate::readings) fn at(self) -> usize {
        match self {
            Self::Bracket(at) | Self::Text(at) => at,
        }
    }
}

/// What is open last at `end`, if anything.
pub(in crate::readings) fn innermost_open(text: &str, end: usize) -> Option<Open> {
    let bytes = text.as_bytes();
    let bytes = &bytes[..end.min(bytes.len())];
    let mut open = Vec::new();
    let mut at = 0;
    while let Some(&byte) = bytes.get(at) {
        let rest = &bytes[at..];
        at += match byte {
            b'#' => line_length(rest),
            b'"' | b'\'' => {
                let quote = [byte; 3];
                if rest.starts_with(&quote) {
                    match rest[3..].windows(3).position(|three| three == quote) {
                        Some(length) => length + 6,
                        None => return Some(Open::Text(at)),
                    }
                } else {
                    1 + closed_after(&rest[1..], byte)
                }
            }
            b'[' | b'{' => {
                open.push(at);
                1
            }
            b']' | b'}' => {
                open.pop();
                1
            }
            _ => 1,
        };
    }
    open.pop().map(Open::Bracket)
}

/// The length of a text up to behind its closing quote, or to the end of the line.
fn closed_after(rest: &[u8], quote: u8) -> usize {
    let line = line_length(rest);
    let mut at = 0;
    while at < line {
        match rest[at] {
            b'\\' if quote == b'"' => at += 2,
            byte if byte == quote => return at + 1,
            _ => at += 1,
        }
    }
    line
}

fn line_length(rest: &[u8]) -> usize {
    rest.iter()
        .position(|byte| *byte == b'\n')
        .unwrap_or(rest.len())
}
