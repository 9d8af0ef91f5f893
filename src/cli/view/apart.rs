//! The window in a process of its own: a driver or a display that gives up ends it, and someone is left to say so.

use std::env;
use std::path::Path;
use std::process::{Command, exit};

use super::unsaved;
use crate::cli::problem::Problem;

/// Runs this command once more, as the process that opens the window, and ends as it does.
pub(super) fn run(board: &Path) -> Result<(), Problem> {
    let (kept, _) = unsaved(board);
    let mut arguments = env::args_os().skip(1);
    let window = env::current_exe().and_then(|program| {
        let mut command = Command::new(program);
        command.args(arguments.next()).arg("--here").args(arguments);
        command.status()
    });
    let status =
        window.map_err(|why| Problem::NoAnswer(format!("no window can be opened: {why}")))?;
    match status.code() {
        Some(0) => Ok(()),
        // What there is to say was said.
        Some(code) => exit(code),
        None => Err(Problem::NoAnswer(lost(&kept))),
    }
}

fn lost(kept: &Path) -> String {
    let typed = if kept.exists() {
        format!(
            " What was typed over and not saved is in {}.",
            kept.display()
        )
    } else {
        String::new()
    };
    format!(
        "The window was lost: the graphics driver or the display gave up. The board file is as it was.{typed} Try again, \
         update the driver, or install a software renderer (on Debian `apt-get install mesa-vulkan-drivers`)."
    )
}
