//! One answer in, text or JSON out: no arithmetic but rounding for show.

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
mod window;
mod words;

pub use curve_svg::{CurveDrawing, CurvePoint, curve_svg};
pub use cut_drawing::plan_drawing;
pub use cut_first::cut_first;
pub use cut_json::{cut_first_json, cut_plan_json};
pub use cut_plan::cut_plan;
pub use json::json;
pub use lines::message;
pub use plan_svg::{AvoidBox, BoardDrawing, CutLine, PieceBox, PlanDrawing, plan_svg};
pub use text::text;
pub use window::{answer_lines, piece_line, shim_rows, trouble_lines};
pub use words::{no_cut, unanswerable};
