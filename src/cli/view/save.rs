//! Where the window saves to.

use std::fs;
use std::path::{Path, PathBuf};

use super::write;
use crate::readings::{Record, write_board};

/// Where the window saves to.
pub(super) struct Save {
    path: PathBuf,
    /// Whether the file holds what this window wrote.
    own: bool,
}

impl Save {
    /// A board file is saved to itself, of a CSV a board file beside it.
    pub(super) fn new(board: &Path) -> Self {
        Self {
            path: board.with_extension("toml"),
            own: false,
        }
    }

    /// Before a file is written over the first time it is kept beside: remarks in it would be lost.
    pub(super) fn save(&mut self, record: &Record) -> Result<String, String> {
        let mut kept = String::new();
        if !self.own && self.path.exists() {
            let before = PathBuf::from(format!("{}.before", self.path.display()));
            fs::copy(&self.path, &before).map_err(|error| {
                format!("not saved: {} cannot be written: {error}", before.display())
            })?;
            kept = format!("; as it was before: {}", before.display());
        }
        write(&self.path, write_board(record).as_bytes())
            .map_err(|why| format!("not saved: {why}"))?;
        self.own = true;
        Ok(format!("saved as {}{kept}", self.path.display()))
    }
}
