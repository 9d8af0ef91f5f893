//! The document that other programs read. Its keys are a promise: they may be added to, never changed.

use serde::Serialize;

use super::words;
use crate::flatten::{Answer, Laying};
use crate::length::Notation;
use crate::readings::Face;

#[derive(Serialize)]
struct Document<'a> {
    board: BoardPart<'a>,
    warp: WarpPart,
    survives: Option<SurvivesPart>,
    holding_points: Vec<HoldingPart>,
    need: Option<NeedPart>,
    remeasure: Vec<RemeasurePart>,
    notes: Vec<String>,
}

#[derive(Serialize)]
struct BoardPart<'a> {
    name: &'a str,
    length_mm: f64,
    width_mm: f64,
    readings: usize,
}

#[derive(Serialize)]
struct WarpPart {
    cup_mm: Option<f64>,
    bow_mm: Option<f64>,
    twist_mm: Option<f64>,
    crook_mm: Option<f64>,
    residual_rms_mm: f64,
}

#[derive(Serialize)]
struct SurvivesPart {
    as_laid: WayPart,
    balanced: WayPart,
    shimmed: WayPart,
}

#[derive(Serialize)]
struct WayPart {
    at_readings_mm: Option<f64>,
    expected_mm: Option<f64>,
    low_mm: Option<f64>,
    high_mm: Option<f64>,
}

#[derive(Serialize)]
struct HoldingPart {
    face: &'static str,
    x_mm: f64,
    y_mm: f64,
    z_mm: f64,
}

#[derive(Serialize)]
struct NeedPart {
    thickness_mm: f64,
    chance: Option<f64>,
}

#[derive(Serialize)]
struct RemeasurePart {
    x_mm: f64,
    y_mm: f64,
    reading_mm: f64,
    expected_mm: f64,
}

/// The answer as a JSON document, all lengths in millimetres at full precision. Notes use `notation`.
#[must_use]
pub fn json(answer: &Answer, notation: Notation) -> String {
    let way = |pick: fn(&crate::flatten::Flattening) -> &Laying| WayPart {
        at_readings_mm: answer.flattening.as_ref().ok().map(|f| pick(f).thickness()),
        expected_mm: None,
        low_mm: None,
        high_mm: None,
    };
    let holding = answer
        .flattening
        .as_ref()
        .map_or(&[][..], |f| &f.holding_points);
    let document = Document {
        board: BoardPart {
            name: &answer.name,
            length_mm: answer.outline.length,
            width_mm: answer.outline.width,
            readings: answer.readings,
        },
        warp: WarpPart {
            cup_mm: answer.warp.cup,
            bow_mm: answer.warp.bow,
            twist_mm: answer.warp.twist,
            crook_mm: None,
            residual_rms_mm: answer.warp.residual_rms,
        },
        survives: Some(SurvivesPart {
            as_laid: way(|f| &f.as_laid),
            balanced: way(|f| &f.balanced),
            shimmed: way(|f| &f.shimmed),
        }),
        holding_points: holding
            .iter()
            .map(|h| HoldingPart {
                face: match h.face {
                    Face::Up => "up",
                    Face::Down => "down",
                },
                x_mm: h.point[0],
                y_mm: h.point[1],
                z_mm: h.point[2],
            })
            .collect(),
        need: answer.need.map(|n| NeedPart {
            thickness_mm: n.mm(),
            chance: None,
        }),
        remeasure: Vec::new(),
        notes: words::all(answer, notation),
    };
    serde_json::to_string_pretty(&document)
        .unwrap_or_else(|error| unreachable!("a record of numbers and text is JSON: {error}"))
}
