//! A milling plan as the document that other programs read. Its keys are a promise: they may be added to, never changed.

use serde::Serialize;

use super::mill_words::{cautions, spot_name};
use super::pen::Pen;
use super::refusals::{RefusalPart, machine_name};
use super::words::face_name;
use crate::length::Notation;
use crate::milling::moisture::Change;
use crate::milling::{
    Lay, MillPlan, Milled, Passes, Piece, Shimming, Spot, Step, StrengthClass, Task, Verdict,
};
use crate::readings::Face;

#[derive(Serialize)]
struct Document<'a> {
    board: &'a str,
    pieces: Vec<PiecePart<'a>>,
    moisture: WaterPart,
    standards: StandardsPart,
    notes: Vec<String>,
}

#[derive(Serialize)]
struct PiecePart<'a> {
    name: &'a str,
    length_mm: f64,
    width_mm: f64,
    need_mm: f64,
    verdict: &'static str,
    first_face: &'static str,
    first_machine: &'static str,
    second_machine: &'static str,
    at_readings_mm: f64,
    expected_mm: f64,
    low_mm: Option<f64>,
    chance: Option<f64>,
    rough_mm: f64,
    finish_mm: f64,
    off_up_mm: f64,
    off_down_mm: f64,
    second_day_mm: f64,
    second_day_nine_in_ten_mm: f64,
    ring_cup_mm: f64,
    shrinkage_mm: f64,
    thinnest: ThinnestPart,
    shims: Option<ShimsPart>,
    high_places: Vec<HighPart>,
    refused: Vec<RefusalPart>,
    steps: Vec<StepPart>,
}

#[derive(Serialize)]
struct ShimsPart {
    lies_on: &'static str,
    step_mm: f64,
    exact_leaves_mm: f64,
    leaves_mm: f64,
    coarse_step_mm: f64,
    coarse_leaves_mm: f64,
    supports: Vec<SupportPart>,
}

#[derive(Serialize)]
struct SupportPart {
    x_mm: f64,
    edge: &'static str,
    gap_mm: f64,
    shim_mm: f64,
    bears: bool,
}

#[derive(Serialize)]
struct HighPart {
    place: &'static str,
    x_mm: f64,
    y_mm: f64,
    off_mm: f64,
}

#[derive(Serialize)]
struct ThinnestPart {
    x_mm: f64,
    y_mm: f64,
    thickness_mm: f64,
}

#[derive(Serialize)]
struct StepPart {
    day: u8,
    title: &'static str,
    text: String,
    mind: String,
    passes: Option<PassesPart>,
    stop_mm: Option<f64>,
}

#[derive(Serialize)]
struct PassesPart {
    count: u32,
    each_mm: f64,
    last_mm: f64,
    total_mm: f64,
}

#[derive(Serialize)]
struct WaterPart {
    board_percent: Option<f64>,
    shop_percent: Option<f64>,
    house_percent: f64,
    width_to_shop_mm: Option<[f64; 2]>,
    thickness_to_shop_mm: Option<[f64; 2]>,
    width_to_house_mm: Option<[f64; 2]>,
    thickness_to_house_mm: Option<[f64; 2]>,
    cup_mm: Option<[f64; 2]>,
    days_left: Option<f64>,
}

#[derive(Serialize)]
struct StandardsPart {
    over_mm: f64,
    bow_mm: f64,
    spring_mm: Option<f64>,
    twist_mm: f64,
    cup_mm: f64,
    en_14081_1_up_to_c18: bool,
    en_14081_1_above_c18: bool,
    surfaced_quarters: Option<u32>,
    surfaced_mm: Option<f64>,
}

/// The plan as a JSON document, lengths in millimetres at full precision; sentences use `notation`.
#[must_use]
pub fn mill_json(milled: &Milled, notation: Notation) -> String {
    let pen = Pen(notation);
    let (warp, width) = (&milled.warp, milled.outline.width);
    let water = &milled.water;
    let ends = |change: Change| [change.low, change.high];
    let side = |changes: Option<[Change; 2]>, side: usize| changes.map(|c| ends(c[side]));
    let document = Document {
        board: &milled.name,
        pieces: milled
            .pieces
            .iter()
            .map(|(piece, plan)| piece_part(pen, piece, plan))
            .collect(),
        moisture: WaterPart {
            board_percent: water.board,
            shop_percent: water.shop,
            house_percent: water.house,
            width_to_shop_mm: side(water.to_shop, 0),
            thickness_to_shop_mm: side(water.to_shop, 1),
            width_to_house_mm: side(water.to_house, 0),
            thickness_to_house_mm: side(water.to_house, 1),
            cup_mm: water.cup.map(ends),
            days_left: water.acclimation.and_then(|a| a.days_left),
        },
        standards: StandardsPart {
            over_mm: warp.over,
            bow_mm: warp.bow,
            spring_mm: warp.spring,
            twist_mm: warp.twist,
            cup_mm: warp.cup,
            en_14081_1_up_to_c18: StrengthClass::UpToC18.holds(warp, width),
            en_14081_1_above_c18: StrengthClass::AboveC18.holds(warp, width),
            surfaced_quarters: milled.surfaced.map(|s| s.0),
            surfaced_mm: milled.surfaced.map(|s| s.1),
        },
        notes: [
            pen.learnt(milled).into_iter().collect(),
            pen.water(water),
            pen.standards(milled),
        ]
        .concat(),
    };
    serde_json::to_string_pretty(&document)
        .unwrap_or_else(|error| unreachable!("a record of numbers and text is JSON: {error}"))
}

fn piece_part<'a>(pen: Pen, piece: &'a Piece, plan: &MillPlan) -> PiecePart<'a> {
    let (shims, high_places) = match &plan.lay {
        Lay::Shims(shims) => (Some(shims_part(shims)), Vec::new()),
        Lay::HighPlaces(places) => (None, places.iter().map(|p| high_part(piece, *p)).collect()),
    };
    PiecePart {
        name: &piece.name,
        length_mm: piece.outline.length,
        width_mm: piece.outline.width,
        need_mm: piece.need,
        verdict: match plan.verdict {
            Verdict::Carries { .. } => "carries",
            Verdict::ThinSecondDay { .. } => "thin second day",
            Verdict::Hollows { .. } => "hollows",
            Verdict::Short { .. } => "short",
        },
        first_face: face_name(plan.first),
        first_machine: machine_name(plan.machine),
        second_machine: machine_name(plan.second_machine),
        at_readings_mm: plan.left,
        expected_mm: plan.expected,
        low_mm: plan.low,
        chance: piece.survives.map(|s| s.chance),
        rough_mm: plan.rough,
        finish_mm: plan.finish,
        off_up_mm: plan.comes_off(Face::Up),
        off_down_mm: plan.comes_off(Face::Down),
        second_day_mm: plan.moves.mean,
        second_day_nine_in_ten_mm: plan.moves.nine_in_ten,
        ring_cup_mm: plan.drying.cup,
        shrinkage_mm: plan.drying.thinner,
        thinnest: thinnest_part(piece),
        shims,
        high_places,
        refused: plan.refused.iter().map(RefusalPart::new).collect(),
        steps: plan.steps.iter().map(|s| step_part(pen, s, plan)).collect(),
    }
}

fn shims_part(shims: &Shimming) -> ShimsPart {
    let supports = shims.supports.iter().map(|s| SupportPart {
        x_mm: s.station,
        edge: if s.far { "far" } else { "near" },
        gap_mm: s.gap,
        shim_mm: s.shim,
        bears: s.bears,
    });
    ShimsPart {
        lies_on: face_name(shims.lies_on),
        step_mm: shims.step,
        exact_leaves_mm: shims.exact,
        leaves_mm: shims.left,
        coarse_step_mm: shims.coarse.0,
        coarse_leaves_mm: shims.coarse.1,
        supports: supports.collect(),
    }
}

fn high_part(piece: &Piece, (spot, off): (Spot, f64)) -> HighPart {
    let [x_mm, y_mm] = spot.on(&piece.outline);
    HighPart {
        place: spot_name(spot),
        x_mm,
        y_mm,
        off_mm: off,
    }
}

fn thinnest_part(piece: &Piece) -> ThinnestPart {
    let ([x_mm, y_mm], thickness_mm) = piece.thinnest();
    ThinnestPart {
        x_mm,
        y_mm,
        thickness_mm,
    }
}

fn step_part(pen: Pen, step: &Step, plan: &MillPlan) -> StepPart {
    let (title, text) = pen.task(step, plan);
    let (passes, stop_mm) = match &step.task {
        Task::FirstFace { passes, .. } | Task::FinalFirst { passes, .. } => (Some(*passes), None),
        Task::SecondFace { passes, stop, .. } | Task::FinalSecond { passes, stop, .. } => {
            (Some(*passes), Some(*stop))
        }
        _ => (None, None),
    };
    StepPart {
        day: step.day,
        title,
        text,
        mind: cautions(step),
        passes: passes.map(|p: Passes| PassesPart {
            count: p.count,
            each_mm: p.each,
            last_mm: p.last,
            total_mm: p.total,
        }),
        stop_mm,
    }
}
