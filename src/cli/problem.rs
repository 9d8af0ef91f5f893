//! Why a command gave no answer.

use std::fmt;
use std::io;

use crate::report;

/// Why a command gave no answer.
#[derive(Debug)]
pub enum Problem {
    /// The input or the command line was at fault: everything that is wrong with it.
    Input(Vec<String>),
    /// The input was understood, but the answer could not be computed.
    NoAnswer(String),
    /// Of several boards, what was wrong with some of them, told one by one before.
    Some {
        /// How many boards there were.
        of: usize,
        /// How many were understood, but have no answer.
        unanswered: usize,
        /// How many were at fault.
        at_fault: usize,
    },
    /// The result could not be written.
    Output(io::Error),
}

impl Problem {
    /// The process's exit code: 1 where the answer could not be computed or written, 2 where the input was at fault.
    #[must_use]
    pub fn exit_code(&self) -> u8 {
        match self {
            Self::Input(_) | Self::Some { at_fault: 1.., .. } => 2,
            Self::NoAnswer(_) | Self::Some { .. } | Self::Output(_) => 1,
        }
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Input(faults) => {
                let laid_out: Vec<String> = faults.iter().map(|fault| lay_out(fault)).collect();
                f.write_str(&laid_out.join("\n"))
            }
            Self::NoAnswer(reason) => f.write_str(&lay_out(reason)),
            Self::Some {
                of,
                unanswered,
                at_fault,
            } => write!(
                f,
                "{at_fault} of {of} boards at fault, {unanswered} without an answer"
            ),
            Self::Output(error) => write!(f, "the result could not be written: {error}"),
        }
    }
}

/// A message of one line is wrapped; one of several is laid out already.
pub(super) fn lay_out(message: &str) -> String {
    if message.contains('\n') {
        message.to_owned()
    } else {
        report::message(message)
    }
}

impl From<io::Error> for Problem {
    fn from(error: io::Error) -> Self {
        Self::Output(error)
    }
}
