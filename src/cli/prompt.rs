//! Asking a person, or whatever is piped in.

use std::io::{self, IsTerminal, Write};

use rustyline::DefaultEditor;
use rustyline::config::Config;
use rustyline::error::ReadlineError;

use super::problem::Problem;

/// Asks at a terminal, where a line can be edited; of piped input, what was read is shown as if it had been typed.
pub(super) struct Prompt {
    editor: DefaultEditor,
    terminal: bool,
}

impl Prompt {
    pub(super) fn new() -> Result<Self, Problem> {
        let plain = Config::builder().bracketed_paste(false).build();
        let editor = DefaultEditor::with_config(plain).map_err(unreadable)?;
        Ok(Self {
            editor,
            terminal: io::stdin().is_terminal(),
        })
    }

    /// What was typed, without the space around it; nothing where the input ends or was interrupted.
    pub(super) fn ask(
        &mut self,
        out: &mut dyn Write,
        prompt: &str,
    ) -> Result<Option<String>, Problem> {
        if !self.terminal {
            write!(out, "{prompt}")?;
        }
        // The editor writes to the terminal itself.
        out.flush()?;
        let shown = if self.terminal { prompt } else { "" };
        let line = match self.editor.readline(shown) {
            Ok(line) => Some(line.trim().to_owned()),
            Err(ReadlineError::Eof | ReadlineError::Interrupted) => None,
            Err(error) => return Err(unreadable(error)),
        };
        if !self.terminal {
            writeln!(out, "{}", line.as_deref().unwrap_or_default())?;
        }
        Ok(line)
    }
}

fn unreadable(error: ReadlineError) -> Problem {
    match error {
        ReadlineError::Io(error) => Problem::Output(error),
        other => Problem::NoAnswer(format!("what is typed cannot be read: {other}")),
    }
}
