//! One answer in, text or JSON out: no arithmetic but rounding for show.

mod headline;
mod json;
mod lines;
mod notes;
mod page;
mod readings;
mod text;
mod words;

pub use json::json;
pub use lines::message;
pub use text::text;
pub use words::unanswerable;
