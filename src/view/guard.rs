//! The graphics library ends a run where it finds no adapter or loses one; here that becomes a reason.

use std::panic::{
    AssertUnwindSafe, Location, PanicHookInfo, catch_unwind, resume_unwind, set_hook, take_hook,
};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;

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

/// Draws, or says why not. A panic of ours goes on as the fault that it is.
pub(super) fn guarded<T>(draw: impl FnOnce() -> T) -> Result<T, NoDrawing> {
    let drawing = thread::current().id();
    let told: Arc<Mutex<Option<NoDrawing>>> = Arc::default();
    let usual: Arc<dyn Fn(&PanicHookInfo<'_>) + Send + Sync> = Arc::from(take_hook());
    let (tell, hook) = (Arc::clone(&told), Arc::clone(&usual));
    set_hook(Box::new(move |panic| {
        let file = panic.location().map_or("", Location::file);
        let text = panic.payload_as_str().unwrap_or("no reason given");
        match reason(file, text).filter(|_| thread::current().id() == drawing) {
            // Told once, by whoever asked.
            Some(reason) => *tell.lock().unwrap_or_else(PoisonError::into_inner) = Some(reason),
            None => hook(panic),
        }
    }));
    let drawn = catch_unwind(AssertUnwindSafe(draw));
    set_hook(Box::new(move |panic| usual(panic)));
    let told = told.lock().unwrap_or_else(PoisonError::into_inner).take();
    drawn.map_err(|panic| told.unwrap_or_else(|| resume_unwind(panic)))
}

/// What the paths of the libraries that draw hold.
const LIBRARIES: [&str; 5] = ["kiss3d", "wgpu", "winit", "egui", "naga"];

/// Why nothing is drawn, when the panic came out of the graphics libraries.
fn reason(file: &str, text: &str) -> Option<NoDrawing> {
    LIBRARIES.iter().find(|library| file.contains(*library))?;
    Some(if text.contains("adapter") {
        NoDrawing::NoAdapter
    } else if text.contains("event loop") || text.contains("create window") {
        NoDrawing::NoDisplay
    } else {
        NoDrawing::Lost(text.lines().next().unwrap_or(text).to_owned())
    })
}

#[cfg(test)]
mod tests {
    use std::panic::catch_unwind;

    use super::{NoDrawing, guarded, reason};

    #[test]
    fn a_panic_of_the_graphics_libraries_becomes_a_reason() {
        let of = |text| reason("/home/me/kiss3d-0.47.0/src/context.rs", text);
        let none = of("Failed to find an appropriate adapter: NotFound");
        assert_eq!(none, Some(NoDrawing::NoAdapter));
        let none = of("Failed to create event loop: no display");
        assert_eq!(none, Some(NoDrawing::NoDisplay));
        let lost = of("device lost\nmore");
        assert_eq!(lost, Some(NoDrawing::Lost("device lost".to_owned())));
    }

    #[test]
    fn a_panic_of_ours_stays_one() {
        assert_eq!(reason("src/view/stage.rs", "no adapter"), None);
        let ours = catch_unwind(|| guarded(|| -> u8 { panic!("ours") }));
        assert_eq!(ours.unwrap_err().downcast_ref(), Some(&"ours"));
        assert_eq!(guarded(|| 7), Ok(7));
    }
}
