//! The graphics library ends a run where it finds no adapter or loses one; here that becomes a reason.

use std::any::Any;
use std::panic::{AssertUnwindSafe, catch_unwind, set_hook, take_hook};

/// Why nothing could be drawn, with the remedy in its words.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoDrawing {
    /// There is no graphics adapter.
    #[error(
        "there is no graphics adapter to draw with: install a graphics driver or a software renderer (on Debian \
         `apt-get install mesa-vulkan-drivers`) and try again; `outwind flatten` answers without one"
    )]
    NoAdapter,
    /// There is no display to open a window on.
    #[error(
        "there is no display to open a window on: run it in a desktop session, or write the picture to a file with \
         --picture FILE.png"
    )]
    NoDisplay,
    /// The driver gave up.
    #[error(
        "the graphics driver gave up ({0}): try again, update the driver, or install a software renderer (on Debian \
         `apt-get install mesa-vulkan-drivers`)"
    )]
    Lost(String),
}

/// Draws, or says why not.
pub(super) fn guarded<T>(draw: impl FnOnce() -> T) -> Result<T, NoDrawing> {
    let hook = take_hook();
    // What went wrong is told once, by whoever asked.
    set_hook(Box::new(|_| {}));
    let drawn = catch_unwind(AssertUnwindSafe(draw));
    set_hook(hook);
    drawn.map_err(|panic| reason(&*panic))
}

fn reason(panic: &(dyn Any + Send)) -> NoDrawing {
    let text = panic
        .downcast_ref::<String>()
        .map(String::as_str)
        .or_else(|| panic.downcast_ref::<&str>().copied())
        .unwrap_or("no reason given");
    if text.contains("adapter") {
        NoDrawing::NoAdapter
    } else if text.contains("event loop") || text.contains("create window") {
        NoDrawing::NoDisplay
    } else {
        let first = text.lines().next().unwrap_or(text);
        NoDrawing::Lost(first.to_owned())
    }
}

#[cfg(test)]
mod tests {
    use super::{NoDrawing, guarded};

    #[test]
    fn a_panic_while_drawing_becomes_a_reason() {
        let none = guarded(|| -> u8 { panic!("Failed to find an appropriate adapter: NotFound") });
        assert_eq!(none, Err(NoDrawing::NoAdapter));
        let none = guarded(|| -> u8 { panic!("Failed to create event loop: no display") });
        assert_eq!(none, Err(NoDrawing::NoDisplay));
        let lost = guarded(|| -> u8 { panic!("device lost\nmore") });
        assert_eq!(lost, Err(NoDrawing::Lost("device lost".to_owned())));
        assert_eq!(guarded(|| 7), Ok(7));
    }
}
