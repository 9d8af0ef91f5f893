//! One answer in, text or JSON out: no arithmetic but rounding for show.

mod json;
mod lines;
mod text;
mod words;

pub use json::json;
pub use lines::message;
pub use text::text;
pub use words::{note, unanswerable};
