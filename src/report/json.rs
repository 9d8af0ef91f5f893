//! The document that other programs read. Its keys are a promise: they may be added to, never changed.

use serde::Serialize;

use super::lay_words;
use super::lines::NO_BREAK;
use super::page::Page;
use super::words;
use crate::cutting::CutOnce;
use crate::flatten::{Answer, Basis, Expectation, Flattening, Interval, Laid, Laying};
use crate::length::Notation;
use crate::readings::Face;
use crate::warp::Figure;

#[derive(Serialize)]
struct Document<'a> {
    board: BoardPart<'a>,
    warp: WarpPart,
    survives: Option<SurvivesPart>,
    holding_points: Vec<HoldingPart>,
    need: Option<NeedPart>,
    remeasure: Vec<RemeasurePart>,
    read_next: Option<NextPart>,
    width: Option<WidthPart>,
    #[serde(skip_serializing_if = "Option::is_none")]
    shop_loss_mm: Option<f64>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    laid: Vec<LaidPart>,
    notes: Vec<String>,
}

/// How the board lay in a scanner's own frame.
#[derive(Serialize)]
struct LaidPart {
    faces: Vec<&'static str>,
    turned: bool,
    points: usize,
    corner_x_mm: f64,
    corner_y_mm: f64,
    direction_degrees: f64,
    length_mm: f64,
    width_mm: f64,
    along_error_mm: f64,
    across_error_mm: f64,
    direction_error_degrees: f64,
    thickness_error_mm: Option<f64>,
    height_error_mm: Option<f64>,
    lean_along_error_mm: Option<f64>,
    lean_across_error_mm: Option<f64>,
    calipers_fit_mm: Option<f64>,
}

impl LaidPart {
    fn new(laid: &Laid) -> Self {
        let lay = &laid.lay;
        let [x, y] = lay.seen([0.0, 0.0]);
        let datum = |k: usize| laid.sure.and_then(|sure| sure.datum).map(|datum| datum[k]);
        let faces = [(lay.up, "up"), (lay.down, "down")];
        Self {
            faces: faces.iter().filter(|f| f.0).map(|f| f.1).collect(),
            turned: lay.turned,
            points: lay.points,
            corner_x_mm: x,
            corner_y_mm: y,
            direction_degrees: lay_words::direction(lay),
            length_mm: lay.size[0],
            width_mm: lay.size[1],
            along_error_mm: lay.middle_error[0],
            across_error_mm: lay.middle_error[1],
            direction_error_degrees: lay.direction_error.to_degrees(),
            thickness_error_mm: laid.sure.map(|sure| sure.moves),
            height_error_mm: datum(0),
            lean_along_error_mm: datum(1),
            lean_across_error_mm: datum(2),
            calipers_fit_mm: laid.calipers.map(|fit| fit.as_laid),
        }
    }
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
    cup_error_mm: Option<f64>,
    bow_error_mm: Option<f64>,
    twist_error_mm: Option<f64>,
    crook_error_mm: Option<f64>,
    kink: Option<KinkPart>,
    thin_spot: Option<ThinPart>,
}

#[derive(Serialize)]
struct KinkPart {
    x_mm: f64,
    height_mm: f64,
}

#[derive(Serialize)]
struct ThinPart {
    x_mm: f64,
    y_mm: f64,
    thinner_by_mm: f64,
}

#[derive(Serialize)]
struct WidthPart {
    expected_mm: f64,
    low_mm: f64,
    high_mm: f64,
}

#[derive(Serialize)]
struct NextPart {
    reading: String,
    x_mm: f64,
    y_mm: f64,
    half_width_mm: f64,
    would_be_mm: f64,
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

/// The answer as a JSON document, all lengths in millimetres at full precision. Notes use `notation`; `cut` is the crosscut
/// that would pay before flattening.
#[must_use]
pub fn json(answer: &Answer, cut: Option<&CutOnce>, notation: Notation) -> String {
    asked(answer, cut, notation, serde_json::to_string_pretty)
}

/// The same document in one line.
#[must_use]
pub fn json_line(answer: &Answer, cut: Option<&CutOnce>, notation: Notation) -> String {
    asked(answer, cut, notation, serde_json::to_string)
}

/// In place of the document of a board that was not understood, in one line: the name of its file, and its faults.
#[must_use]
pub fn refused_line(file: &str, faults: &[String]) -> String {
    written(&Refused { file, faults }, serde_json::to_string)
}

#[derive(Serialize)]
struct Refused<'a> {
    file: &'a str,
    faults: &'a [String],
}

/// A document as the writer lays it out.
fn written<T>(document: &T, writer: impl FnOnce(&T) -> serde_json::Result<String>) -> String {
    writer(document)
        .unwrap_or_else(|error| unreachable!("a record of numbers and text is JSON: {error}"))
}

fn asked<'a>(
    answer: &'a Answer,
    cut: Option<&CutOnce>,
    notation: Notation,
    writer: impl FnOnce(&Document<'a>) -> serde_json::Result<String>,
) -> String {
    let found = answer.flattening.as_ref().ok();
    let read = found.filter(|_| answer.basis == Basis::Readings);
    let expectation = answer.expectation.as_ref().ok();
    let way = |laying: fn(&Flattening) -> &Laying, interval: fn(&Expectation) -> Interval| {
        let interval = expectation.map(interval);
        WayPart {
            at_readings_mm: read.map(|f| laying(f).thickness()),
            expected_mm: interval.map(|i| i.expected),
            low_mm: interval.map(|i| i.low),
            high_mm: interval.map(|i| i.high),
        }
    };
    let holding = read.map_or(&[][..], |f| &f.holding_points);
    let warp = &answer.warp;
    let value = |figure: Option<Figure>| figure.map(|f| f.value);
    let error = |figure: Option<Figure>| figure.and_then(|f| f.error);
    let page = Page::new(answer, cut, notation);
    let document = Document {
        board: BoardPart {
            name: &answer.name,
            length_mm: answer.outline.length,
            width_mm: answer.outline.width,
            readings: answer.readings,
        },
        warp: WarpPart {
            cup_mm: value(warp.cup),
            bow_mm: value(warp.bow),
            twist_mm: value(warp.twist),
            crook_mm: value(warp.crook),
            residual_rms_mm: warp.residual_rms,
            cup_error_mm: error(warp.cup),
            bow_error_mm: error(warp.bow),
            twist_error_mm: error(warp.twist),
            crook_error_mm: error(warp.crook),
            kink: answer.kink.map(|k| KinkPart {
                x_mm: k.station,
                height_mm: k.height,
            }),
            thin_spot: answer.thin_spot.map(|t| ThinPart {
                x_mm: t.place[0],
                y_mm: t.place[1],
                thinner_by_mm: t.by,
            }),
        },
        survives: Some(SurvivesPart {
            as_laid: way(|f| &f.as_laid, |e| e.as_laid),
            balanced: way(|f| &f.balanced, |e| e.balanced),
            shimmed: way(|f| &f.shimmed, |e| e.shimmed),
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
            chance: expectation.map(|e| e.chance(n.mm())),
        }),
        remeasure: expectation
            .map_or(&[][..], |e| &e.doubted)
            .iter()
            .map(|d| RemeasurePart {
                x_mm: d.place[0],
                y_mm: d.place[1],
                reading_mm: d.reading,
                expected_mm: d.expected,
            })
            .collect(),
        read_next: expectation
            .and_then(|e| e.read_next.as_ref())
            .map(|wanted| NextPart {
                reading: page.candidate(&wanted.reading),
                x_mm: wanted.reading.place[0],
                y_mm: wanted.reading.place[1],
                half_width_mm: wanted.now,
                would_be_mm: wanted.then,
            }),
        width: answer.jointed.map(|w| WidthPart {
            expected_mm: w.expected,
            low_mm: w.low,
            high_mm: w.high,
        }),
        shop_loss_mm: expectation.and_then(|e| e.shortfall).map(|s| s.mean),
        laid: answer.laid.iter().map(LaidPart::new).collect(),
        notes: page
            .cut_once()
            .into_iter()
            .chain(words::all(&page))
            .map(|n| n.replace(NO_BREAK, " "))
            .collect(),
    };
    written(&document, writer)
}
