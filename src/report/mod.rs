//! One answer in, text or JSON out: no arithmetic but rounding for show.

mod curve_svg;
mod headline;
mod json;
mod lines;
mod notes;
mod page;
mod plan_svg;
mod readings;
mod svg;
mod text;
mod words;

pub use curve_svg::{CurveDrawing, CurvePoint, curve_svg};
pub use json::json;
pub use lines::message;
pub use plan_svg::{AvoidBox, BoardDrawing, CutLine, PieceBox, PlanDrawing, plan_svg};
pub use text::text;
pub use words::unanswerable;
