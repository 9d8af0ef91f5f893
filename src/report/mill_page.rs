//! The page for the machine: one sheet a piece, self-contained HTML, black on white.

use std::fmt::Write as _;

use super::mill_svg::laying;
use super::mill_words::{STANDING, cautions, spot_name};
use super::pen::Pen;
use super::sheet::escaped;
use super::words::face_name;
use crate::flatten::Note;
use crate::length::{Notation, Rounding, Unit};
use crate::milling::{Lay, MillPlan, Milled, Piece, Spot};

/// A sheet of paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// 210 × 297 mm.
    A4,
    /// 8-1/2 × 11 in.
    Letter,
}

impl Paper {
    /// The paper that goes with a unit.
    #[must_use]
    pub fn usual(unit: Unit) -> Self {
        match unit {
            Unit::Inch | Unit::Foot => Self::Letter,
            Unit::Millimetre | Unit::Centimetre | Unit::Metre => Self::A4,
        }
    }

    /// Name, width and height in mm.
    pub(super) fn sheet(self) -> (&'static str, f64, f64) {
        match self {
            Self::A4 => ("A4", 210.0, 297.0),
            Self::Letter => ("letter", 215.9, 279.4),
        }
    }
}

/// Round the sheet, mm: as much as any printer wants.
const MARGIN: f64 = 10.0;

/// Type is between these large, mm: the larger wherever all steps go on the sheet.
const TYPE: [f64; 2] = [5.6, 3.0];

/// From baseline to baseline, over the size of type.
const LEADING: f64 = 1.18;

/// Width of a character over its size: the mean of running text in common sans-serif faces.
const CHARACTER: f64 = 0.48;

/// What is read before the machine runs, and what is to be minded, is set smaller than the steps, by this factor.
const SMALL: f64 = 0.8;

/// The page as HTML, a sheet a piece, lengths written in `notation`.
#[must_use]
pub fn mill_page(milled: &Milled, notation: Notation, paper: Paper) -> String {
    let pen = Pen(notation);
    let (name, wide, high) = paper.sheet();
    let sheets: String = milled
        .pieces
        .iter()
        .map(|(piece, plan)| {
            sheet(
                pen,
                milled,
                piece,
                plan,
                [wide - 2.0 * MARGIN, high - 2.0 * MARGIN],
            )
        })
        .collect();
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<title>{}</title>\n<style>\n\
         @page {{ size: {name}; margin: {MARGIN}mm; }}\n\
         html, body {{ margin: 0; background: white; color: black; font-family: Helvetica, Arial, sans-serif; }}\n\
         section + section {{ break-before: page; }}\n\
         h1 {{ font-size: 9mm; line-height: 1.1; margin: 0; }}\n\
         p, ol {{ margin: 1mm 0; line-height: {LEADING}; }}\n\
         .verdict {{ font-weight: bold; border: 0.6mm solid black; padding: 1mm 2mm; }}\n\
         h2 {{ font-size: 1.15em; margin: 1.2mm 0 0; border-bottom: 0.4mm solid black; }}\n\
         ol {{ padding-left: 1.9em; }}\n\
         .notes {{ font-size: {SMALL}em; }}\n\
         .mind {{ font-style: italic; font-size: {SMALL}em; }}\n\
         svg {{ display: block; width: 100%; height: auto; }}\n\
         table {{ border-collapse: collapse; width: 100%; margin-top: 1.5mm; }}\n\
         td {{ border: 0.5mm solid black; height: 13mm; width: 20%; vertical-align: top; font-size: 3.6mm; padding: 0.8mm; }}\n\
         .standing {{ font-size: 3.2mm; }}\n\
         </style>\n</head>\n<body>\n{sheets}</body>\n</html>\n",
        escaped(&milled.name)
    )
}

/// One piece on one sheet, in so much room.
fn sheet(
    pen: Pen,
    milled: &Milled,
    piece: &Piece,
    plan: &MillPlan,
    [wide, high]: [f64; 2],
) -> String {
    let drawing = laying(pen, piece, plan);
    let counted = match milled.shop_loss {
        Some(Note::ShopLoss { mean, .. }) => {
            format!("; the shop's own loss of {} is in it", pen.near(mean))
        }
        _ => String::new(),
    };
    let expected = format!(
        "{} × {}, to {}. {} {}{}.",
        pen.place(piece.outline.length),
        pen.place(piece.outline.width),
        pen.place(piece.need),
        if plan.low.is_some() {
            "Expect"
        } else {
            "At the readings alone"
        },
        pen.thickness(plan.expected),
        piece.survives.map_or(String::new(), |s| {
            let i = if matches!(plan.lay, Lay::Shims(_)) {
                s.shimmed
            } else {
                s.balanced
            };
            format!(
                " ({} to {} nine times in ten{counted})",
                pen.number(i.low.max(0.0), Rounding::Down),
                pen.number(i.high.max(0.0), Rounding::Up)
            )
        })
    );
    let mut notes = Vec::new();
    let wood = [
        milled.about.end_a.clone().map(|a| format!("end A: {a}")),
        milled.about.up.clone().map(|up| format!("up face: {up}")),
        milled
            .about
            .show
            .map(|face| format!("show face: {}", face_name(face))),
        milled
            .about
            .grain
            .clone()
            .map(|grain| format!("grain {grain}")),
    ];
    let wood: Vec<String> = wood.into_iter().flatten().collect();
    if !wood.is_empty() {
        notes.push(format!("{}.", wood.join("; ")));
    }
    notes.extend(pen.thinnest(piece));
    notes.extend(pen.refusals(plan));
    notes.extend(pen.instead(plan));
    if let Lay::Shims(shims) = &plan.lay {
        notes.push(format!(
            "Slide the other shims in until they touch, lift nothing. Shimmed only to {}: {} left at the worst instead of {}.",
            pen.near(shims.coarse.0),
            pen.thickness(shims.coarse.1),
            pen.thickness(shims.left)
        ));
    }
    let notes = notes.join(" ");
    let verdict = short_verdict(pen, plan);
    let steps: Vec<(u8, String, String, String)> = plan
        .steps
        .iter()
        .map(|step| {
            let (title, how) = pen.task(step, plan);
            (step.day, title.to_owned(), how, cautions(step))
        })
        .collect();
    let stepped = steps
        .iter()
        .map(|(_, title, how, mind)| length(title) + length(how) + 4.0 + SMALL * length(mind));
    let full = [length(&expected), length(&verdict)]
        .into_iter()
        .chain(stepped);
    let texts: Vec<(f64, f64)> = full
        .map(|length| (length, 1.0))
        .chain([(length(&notes), SMALL)])
        .collect();
    let drawn = drawing_height(&drawing) * wide / 186.0;
    let size = type_size(&texts, wide, high - drawn - FIXED);
    let mut html = format!(
        "<section style=\"font-size: {size:.2}mm\">
<h1>{}</h1>
",
        escaped(&clipped(&piece.name, wide))
    );
    let _ = writeln!(html, "<p class=\"verdict\">{}</p>", escaped(&verdict));
    let _ = writeln!(html, "<p>{}</p>", escaped(&expected));
    let _ = writeln!(html, "<p class=\"notes\">{}</p>", escaped(&notes));
    html.push_str(&drawing);
    let mut number = 1;
    for day in plan.days() {
        let _ = write!(html, "<h2>Day {day}</h2>\n<ol start=\"{number}\">\n");
        for (_, title, how, mind) in steps.iter().filter(|s| s.0 == day) {
            let mind = if mind.is_empty() {
                String::new()
            } else {
                format!(" <span class=\"mind\">{}</span>", escaped(mind))
            };
            let _ = writeln!(
                html,
                "<li><b>{}.</b> {}{mind}</li>",
                escaped(title),
                escaped(how)
            );
            number += 1;
        }
        html.push_str("</ol>\n");
    }
    let boxes: String = Spot::all()
        .filter(|spot| spot.is_corner() || (spot.along, spot.across) == (0, 0))
        .map(|spot| format!("<td>{}</td>", spot_name(spot)))
        .collect();
    let _ = write!(
        html,
        "<table><tr>{boxes}</tr></table>\n<p class=\"standing\">Boxes: the actual thickness. Read again on: ________ \
         {STANDING}</p>\n</section>\n"
    );
    html
}

/// The height of name, headings, boxes, standing sentence and what stands between them, mm.
const FIXED: f64 = 10.0 + 2.0 * 9.0 + 16.0 + 9.0 + 1.0;

/// How many characters a text has.
fn length(text: &str) -> f64 {
    text.chars().count() as f64
}

/// The largest type with which texts of so many characters, each by its own factor of it, go into a height.
fn type_size(texts: &[(f64, f64)], wide: f64, high: f64) -> f64 {
    let lines = |size: f64| -> f64 {
        // A step stands in by its number.
        let room = wide - 2.0 * size;
        let of = |(length, factor): &(f64, f64)| {
            let own = factor * size;
            // A word that does not fit goes to the next line: a few characters are lost in each.
            let lines = (length * CHARACTER * own / (room - 3.0 * CHARACTER * own)).ceil();
            lines.max(1.0) * LEADING * own
        };
        texts.iter().map(of).sum()
    };
    let steps = (0..=26).map(|step| TYPE[0] + (TYPE[1] - TYPE[0]) * f64::from(step) / 26.0);
    steps
        .into_iter()
        .find(|size| lines(*size) <= high)
        .unwrap_or(TYPE[1])
}

/// A name that goes on one line of the heading.
fn clipped(name: &str, wide: f64) -> String {
    super::sheet::fitted(name, 9.0, wide)
}

/// The height that a drawing gives itself, mm.
fn drawing_height(svg: &str) -> f64 {
    let after = svg
        .split("height=\"")
        .nth(1)
        .and_then(|rest| rest.split("mm").next());
    after.and_then(|number| number.parse().ok()).unwrap_or(0.0)
}

/// The verdict in one line.
fn short_verdict(pen: Pen, plan: &MillPlan) -> String {
    use crate::milling::Verdict;
    let told = match plan.verdict {
        Verdict::Carries { spare } => format!(
            "Carries both days: {} for the second, {} to spare.",
            pen.near(plan.rough - plan.finish),
            pen.thickness(spare)
        ),
        Verdict::ThinSecondDay { left } => {
            format!(
                "CAUTION: only {} left for the second day. Decide before the first cut.",
                pen.thickness(left)
            )
        }
        Verdict::Hollows { deep } => format!("Hollows up to {} stay in each face.", pen.off(deep)),
        Verdict::Short { by } => {
            return format!("DO NOT MILL FOR THIS: {} short.", pen.off(by));
        }
    };
    if plan.may_move_more {
        let most = pen.off(plan.moves.nine_in_ten);
        let more = pen
            .leave_more(plan)
            .map_or(String::new(), |more| format!(": {more}"));
        format!("{told} It may lose {most} overnight{more}.")
    } else {
        told
    }
}
