//! One answer in, text or JSON out: no arithmetic but rounding for show.

mod book_json;
mod book_svg;
mod book_text;
mod book_words;
mod curve_svg;
mod cut_drawing;
mod cut_first;
mod cut_json;
mod cut_plan;
mod headline;
mod json;
mod lines;
mod notes;
mod page;
mod pen;
mod plan_svg;
mod readings;
mod svg;
mod text;
mod words;

pub use book_json::{compared_json, predicted_json};
pub use book_svg::compared_svg;
pub use book_text::{book_entries, compared, predicted, recorded};
pub use book_words::questioned;
pub use curve_svg::{CurveDrawing, CurvePoint, curve_svg};
pub use cut_drawing::plan_drawing;
pub use cut_first::cut_first;
pub use cut_json::{cut_first_json, cut_plan_json};
pub use cut_plan::cut_plan;
pub use json::json;
pub use lines::message;
pub use plan_svg::{AvoidBox, BoardDrawing, CutLine, PieceBox, PlanDrawing, plan_svg};
pub use text::text;
pub use words::{no_cut, no_prediction, unanswerable};
