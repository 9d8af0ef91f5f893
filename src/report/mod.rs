//! One answer in, text or JSON out: no arithmetic but rounding for show.

mod curve_svg;
mod cut_drawing;
mod cut_first;
mod cut_json;
mod cut_plan;
mod cut_short;
mod headline;
mod json;
mod lines;
mod notes;
mod page;
mod pen;
mod plan_distances;
mod plan_svg;
mod readings;
mod svg;
mod text;
mod words;

pub use curve_svg::{CurveDrawing, CurvePoint, curve_svg};
pub use cut_drawing::{AvoidBox, BoardDrawing, CutLine, PieceBox, PlanDrawing, plan_drawing};
pub use cut_first::cut_first;
pub use cut_json::{cut_first_json, cut_plan_json};
pub use cut_plan::{PlanSheet, cut_plan};
pub use json::json;
pub use lines::message;
pub use plan_svg::plan_svg;
pub use text::text;
pub use words::{no_cut, unanswerable};
