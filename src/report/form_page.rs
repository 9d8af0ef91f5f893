//! The measuring form: one sheet to fill in at the bench, self-contained HTML, black on white.

use std::fmt::Write as _;

use super::form_svg::{board_drawing, hold_drawing};
use super::mill_page::Paper;
use super::pen::Pen;
use super::survey_words::across;
use crate::flatten::{Ask, SurveyPlan, Tools};
use crate::length::Notation;

/// Round the sheet, mm: as much as any printer wants.
const MARGIN: f64 = 10.0;

/// A box to write in is between these high, mm.
const BOX: [f64; 2] = [16.0, 6.5];

/// What title, expectation and how to read take of the sheet's height, mm, with some to spare.
const REST: f64 = 110.0;

/// What a leg's heading and its row of stations take, mm.
const LEG: f64 = 11.5;

/// One leg of the walk: boxes in a row each for what is read there.
struct Leg {
    name: String,
    /// Over each column, where it is.
    columns: Vec<String>,
    /// What is read, and the number of its box in each column.
    rows: Vec<(&'static str, Vec<usize>)>,
}

/// The form for a plan, lengths written in `notation`; `half_width` is half of the interval to be expected, mm.
#[must_use]
pub fn form_page(plan: &SurveyPlan, half_width: f64, notation: Notation, paper: Paper) -> String {
    let pen = Pen(notation);
    let (name, wide, high) = paper.sheet();
    let (wide, high) = (wide - 2.0 * MARGIN, high - 2.0 * MARGIN);
    let legs = legs(plan, pen);
    let rows: usize = legs.iter().map(|leg| leg.rows.len()).sum();
    let sticks = plan.tools == Tools::Sticks;
    let (drawing, drawn) = board_drawing(plan, pen, wide);
    let rest = REST + drawn + LEG * legs.len() as f64;
    let tall = ((high - rest) / rows as f64).clamp(BOX[1], BOX[0]);
    let size = format!(
        "{} × {}",
        pen.place(plan.outline.length),
        pen.place(plan.outline.width)
    );
    let stick = if sticks {
        "<span>One stick is <u></u> long</span>"
    } else {
        ""
    };
    let mut body = format!(
        "<h1>Measuring form, {size}</h1>\n<p class=\"head\"><span>Board <u></u></span><span>Date <u></u></span>{stick}</p>\n"
    );
    body.push_str(&drawing);
    for leg in &legs {
        body.push_str(&table(leg));
    }
    let _ = write!(
        body,
        "<p class=\"expect\">On a typical board of this size these {} readings tell the thickness that survives to about \
         ± {}, nine times in ten.</p>\n<div class=\"how\">{}</div>\n",
        plan.asks.len(),
        pen.off(half_width),
        how(sticks)
    );
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<title>Measuring form, {size}</title>\n\
         <style>\n@page {{ size: {name}; margin: {MARGIN}mm; }}\n\
         html, body {{ margin: 0; background: white; color: black; font-family: Helvetica, Arial, sans-serif; font-size: 4mm; }}\n\
         h1 {{ font-size: 8mm; line-height: 1.1; margin: 0; }}\n\
         p {{ margin: 1mm 0; line-height: 1.15; }}\n\
         .head {{ font-size: 5mm; display: flex; gap: 6mm; }}\n\
         .head u {{ display: inline-block; width: 36mm; border-bottom: 0.4mm solid black; }}\n\
         svg {{ display: block; width: 100%; height: auto; }}\n\
         h2 {{ font-size: 4.4mm; line-height: 1.1; margin: 1.2mm 0 0.4mm; }}\n\
         table {{ border-collapse: collapse; width: 100%; table-layout: fixed; }}\n\
         th {{ font-size: 3.6mm; line-height: 1; font-weight: bold; padding: 0.3mm; }}\n\
         th:first-child {{ width: 21mm; text-align: left; }}\n\
         td {{ border: 0.4mm solid black; height: {tall:.2}mm; vertical-align: top; font-size: 3.2mm; line-height: 1; padding: 0.5mm; box-sizing: border-box; }}\n\
         .expect {{ font-weight: bold; border: 0.5mm solid black; padding: 1mm 2mm; margin-top: 2mm; }}\n\
         .how {{ columns: 2; column-gap: 6mm; }}\n\
         .how p, .how div {{ break-inside: avoid; font-size: 3.7mm; }}\n\
         </style>\n</head>\n<body>\n{body}</body>\n</html>\n"
    )
}

/// The asks in their order, gathered into legs.
fn legs(plan: &SurveyPlan, pen: Pen) -> Vec<Leg> {
    let mut legs: Vec<Leg> = Vec::new();
    for (at, ask) in plan.asks.iter().enumerate() {
        let (name, column, row) = place(plan, pen, ask);
        if legs.last().is_none_or(|leg| leg.name != name) {
            legs.push(Leg {
                name,
                columns: Vec::new(),
                rows: Vec::new(),
            });
        }
        let Some(leg) = legs.last_mut() else { continue };
        if leg.columns.last() != Some(&column) {
            leg.columns.push(column);
        }
        match leg.rows.iter_mut().find(|(of, _)| *of == row) {
            Some((_, boxes)) => boxes.push(at + 1),
            None => leg.rows.push((row, vec![at + 1])),
        }
    }
    for leg in &mut legs {
        let ends = [leg.columns.first(), leg.columns.last()].map(Option::<&String>::cloned);
        if let [Some(from), Some(to)] = ends {
            let _ = write!(leg.name, ": from {from} to {to}");
        }
    }
    legs
}

/// The leg, the column and the row of a reading.
fn place(plan: &SurveyPlan, pen: Pen, ask: &Ask) -> (String, String, &'static str) {
    let station = |x: f64| {
        if x <= 0.0 {
            "A".to_owned()
        } else if x >= plan.outline.length {
            "B".to_owned()
        } else {
            pen.bare_place(x)
        }
    };
    let row = |at: [f64; 2]| {
        let name = across(pen, plan, at);
        let mut letters = name.chars();
        let first = letters
            .next()
            .map_or(String::new(), |c| c.to_uppercase().collect());
        first + letters.as_str()
    };
    match *ask {
        Ask::Height(at) => (row(at), station(at[0]), "height"),
        Ask::Thickness(at) => (row(at), station(at[0]), "thickness"),
        Ask::Gap { from, to, at } if from[0] == to[0] => (
            "Straightedge across, gap in the middle".to_owned(),
            station(at[0]),
            "gap",
        ),
        Ask::Gap { at, .. } => (
            "Straightedge along the middle, end to end".to_owned(),
            station(at[0]),
            "gap",
        ),
        Ask::Sliver {
            stations: [_, to], ..
        } => (
            "Winding sticks, one at end A, sliver at the other".to_owned(),
            station(to),
            "sliver",
        ),
    }
}

fn table(leg: &Leg) -> String {
    let mut table = format!("<h2>{}</h2>\n<table>\n<tr><th></th>", leg.name);
    for column in &leg.columns {
        let _ = write!(table, "<th>{column}</th>");
    }
    table.push_str("</tr>\n");
    for (what, boxes) in &leg.rows {
        let _ = write!(table, "<tr><th>{what}</th>");
        for number in boxes {
            let _ = write!(table, "<td>{number}</td>");
        }
        table.push_str("</tr>\n");
    }
    table + "</table>\n"
}

/// How to read; the trade's usual ways.
fn how(sticks: bool) -> String {
    let caliper = "<p><b>Caliper.</b> At each station on both edges: over the edge, jaws square to the face, clear of splinters, \
        chips and bark.</p>";
    let marks = "<p><b>Mark</b> end A and the near edge with chalk; run one tape from end A. Near is the edge beside you, the \
        up face up. Boxes are numbered in the order of the walk.</p>";
    let heights = "<p><b>Height.</b> From a flat datum under or over the whole board (bench, rails, beam) to the up face. \
        <b>Plus is more wood</b>: higher out of the up face. Measure down from a beam? Then every number is a \
        depth: write “depth” on the sheet.</p>";
    let beside = "<p><b>Straightedge and sticks</b> may join: write beside the table where they were held and what showed.</p>";
    let (first, last) = if sticks { ("", "") } else { (heights, beside) };
    format!(
        "{marks}{first}{last}<div><p><b>Straightedge on a hollow.</b> It bears on its ends; read the gap, never below 0.</p>{}</div>\
         <div><p><b>Straightedge on a crown.</b> It rocks: stand it on two equal blocks at its ends. Write gap and block, as \
         “3/8 on 1/2”: less than the block is a crown.</p>{}</div>\
         <p><b>Sticks.</b> Across the board, sight over the one at A. Bring the tips at the near side in line; at \
         the far side of the second stick read the sliver, and write which of its ends stands high: “1/16 \
         far”.</p>{caliper}",
        hold_drawing(false),
        hold_drawing(true)
    )
}

/// What a person is told where the form is written.
#[must_use]
pub fn form_line(plan: &SurveyPlan, half_width: f64, notation: Notation) -> String {
    let pen = Pen(notation);
    let stations: Vec<String> = plan.stations.iter().map(|x| pen.bare_place(*x)).collect();
    super::lines::paragraph(&format!(
        "{} readings at stations {} {}; on a typical board they tell the thickness that survives to about ± {}, nine times \
         in ten.",
        plan.asks.len(),
        stations.join(", "),
        notation.unit().symbol(),
        pen.off(half_width)
    ))
}
