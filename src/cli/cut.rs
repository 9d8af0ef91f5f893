//! `outwind cut`: whether and where to cut boards before they are flattened.

use std::fs;
use std::io::Write;
use std::path::PathBuf;

use clap::Args;

use super::board_options::{BoardOptions, Loaded, ReadingOptions};
use super::book_options::BookOptions;
use super::dimension;
use super::files::read_file;
use super::problem::Problem;
use crate::board::Board;
use crate::cutting::{
    self, Allowances, CutFirst, CutQuestion, Movement, Plan, PlanQuestion, Stocked, Wanted,
};
use crate::flatten::{NoExpectation, Shortfall};
use crate::length::{Length, Notation, Unit};
use crate::readings::{Part, PartList, read_parts, read_shop};
use crate::report;
use crate::shop::{Shop, usual_thicknesses};

#[derive(Debug, Args)]
pub(super) struct CutArguments {
    /// Board files (.toml), or readings as CSV: grids of heights, or columns x, y, z
    #[arg(value_name = "BOARD", required = true)]
    boards: Vec<PathBuf>,

    #[command(flatten)]
    options: ReadingOptions,

    /// The parts wanted: a CSV with part, count, length, width, thickness
    #[arg(long, value_name = "CSV")]
    parts: Option<PathBuf>,

    /// Say how thick all these parts can be, instead of as thick as the list says
    #[arg(long, requires = "parts")]
    thickest: bool,

    /// The shop's machines, kerfs and allowances: a shop file (.toml)
    #[arg(long, value_name = "FILE")]
    shop: Option<PathBuf>,

    /// Draw the plan for the parts as an SVG file to print
    #[arg(long, value_name = "FILE.svg", requires = "parts")]
    drawing: Option<PathBuf>,

    /// What the saw takes [default: the shop's, or 1/8 in]
    #[arg(long, value_name = "K", allow_hyphen_values = true)]
    kerf: Option<String>,

    /// What is cut off each end of a board first [default: the shop's, or 1/8 in]
    #[arg(long, value_name = "E", allow_hyphen_values = true)]
    end_trim: Option<String>,

    /// The chance that a piece must have to reach its thickness
    #[arg(long, value_name = "C", default_value = "0.90", value_parser = certainty)]
    certainty: f64,

    #[command(flatten)]
    book: BookOptions,

    /// Print the answer as JSON, millimetres throughout
    #[arg(long)]
    json: bool,
}

pub(super) fn run(arguments: &CutArguments, out: &mut dyn Write) -> Result<(), Problem> {
    let Asked {
        boards,
        parts,
        allowances,
        moves,
        notation,
    } = load(arguments)?;
    let sizes = usual_thicknesses(notation.unit());
    // One loss for all boards, whatever their wood.
    let (shortfall, _) = arguments.book.shortfall(None)?;
    let common = Common {
        allowances,
        moves,
        shortfall,
        step: step(notation.unit()),
        certainty: arguments.certainty,
        sizes: sizes.iter().map(|s| s.mm()).collect(),
        notation,
        json: arguments.json,
    };
    match parts {
        None => first(&boards, &common, out),
        Some(parts) => {
            let plan = plan(&boards, parts, arguments.thickest, &common, out)?;
            draw(arguments, &boards, &plan, notation)
        }
    }
}

/// What both questions take.
struct Common {
    allowances: Allowances,
    moves: Movement,
    shortfall: Option<Shortfall>,
    step: f64,
    certainty: f64,
    sizes: Vec<f64>,
    notation: Notation,
    json: bool,
}

/// Whether to cut, without a list.
fn first(boards: &[Board], common: &Common, out: &mut dyn Write) -> Result<(), Problem> {
    let question = CutQuestion {
        allowances: common.allowances,
        movement: common.moves,
        shortfall: common.shortfall,
        step: common.step,
        certainty: common.certainty,
        sizes: common.sizes.clone(),
    };
    let answers = gathered(boards, |board| CutFirst::new(board, question.clone()))?;
    let notation = common.notation;
    if common.json {
        writeln!(out, "{}", report::cut_first_json(&answers, notation))?;
    } else {
        let texts = answers.iter().map(|a| report::cut_first(a, notation));
        write!(out, "{}", texts.collect::<Vec<String>>().join("\n"))?;
    }
    Ok(())
}

/// Where to cut for a list of parts.
fn plan(
    boards: &[Board],
    parts: PartList,
    thickest: bool,
    common: &Common,
    out: &mut dyn Write,
) -> Result<Plan, Problem> {
    let moves = common.moves;
    let stocked = gathered(boards, |board| {
        Ok(Stocked::new(board, moves)?.short_by(common.shortfall))
    })?;
    let question = PlanQuestion {
        wanted: parts.parts.into_iter().map(wanted).collect(),
        allowances: common.allowances,
        step: common.step,
        certainty: common.certainty,
    };
    let notation = common.notation;
    let (thickness, plan) = if thickest {
        let Some((thickness, plan)) = cutting::thickest(&stocked, &question, &common.sizes) else {
            let why = "these boards do not make all the parts at any usual thickness; without --thickest the plan says what \
                       is short, and why";
            return Err(Problem::NoAnswer(why.to_owned()));
        };
        (Some(thickness), plan)
    } else {
        (None, Plan::new(&stocked, question))
    };
    if common.json {
        let curves: Vec<_> = stocked
            .iter()
            .map(|s| cutting::by_length(&s.evidence))
            .collect();
        let document = report::cut_plan_json(&plan, &curves, moves, thickness, notation);
        writeln!(out, "{document}")?;
    } else {
        write!(
            out,
            "{}",
            report::cut_plan(&plan, moves, thickness, notation)
        )?;
    }
    Ok(plan)
}

/// Draws the plan, where that is asked.
fn draw(
    arguments: &CutArguments,
    boards: &[Board],
    plan: &Plan,
    notation: Notation,
) -> Result<(), Problem> {
    let Some(path) = &arguments.drawing else {
        return Ok(());
    };
    let drawing = report::plan_svg(&report::plan_drawing(boards, plan, notation));
    fs::write(path, drawing).map_err(|error| {
        Problem::NoAnswer(format!("{}: cannot be written: {error}", path.display()))
    })
}

/// A part of the list as the planner takes it.
fn wanted(part: Part) -> Wanted {
    let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    Wanted {
        name: part.name,
        count: count(part.count),
        length: part.length,
        width: part.width,
        thickness: part.thickness,
        from_one_board: part.from_one_board,
        strips: part.strips.map_or(1, count),
        resaw: part.resaw,
        certainty: part.certainty,
    }
}

/// Everything that the files and options say.
struct Asked {
    boards: Vec<Board>,
    parts: Option<PartList>,
    allowances: Allowances,
    moves: Movement,
    notation: Notation,
}

/// Reads all boards and options, telling all faults at once; lengths are written as for the first board.
fn load(arguments: &CutArguments) -> Result<Asked, Problem> {
    let (mut loaded, mut faults) = (Vec::new(), Vec::new());
    let unit = arguments.options.unit();
    let shop = arguments.shop.as_ref().and_then(|path| {
        let read = read_file(path, |bytes, name| read_shop(bytes, name, unit));
        read.map_err(|told| faults.push(told)).ok()
    });
    let shop = shop.map_or_else(Shop::default, |record| Shop::new(&record));
    let mut allowances = Allowances::of(&shop);
    for (k, path) in arguments.boards.iter().enumerate() {
        let board = BoardOptions::new(path.clone(), arguments.options.clone());
        let made = board.load(|unit, faults| {
            // One kerf and trim for all boards: read in the first one's unit.
            if k == 0 {
                read_allowances(arguments, unit, &mut allowances, faults);
            }
        });
        match made {
            Ok((board, ())) => loaded.push(board),
            Err(Problem::Input(told)) => faults.extend(told),
            Err(other) => return Err(other),
        }
    }
    let parts = arguments.parts.as_ref().and_then(|path| {
        read_file(path, |bytes, name| read_parts(bytes, name, unit))
            .map_err(|told| faults.push(told))
            .ok()
    });
    let notation = match loaded.first() {
        Some(Loaded { notation, .. }) if faults.is_empty() => *notation,
        _ => return Err(Problem::Input(faults)),
    };
    Ok(Asked {
        boards: loaded.into_iter().map(|l| l.board).collect(),
        parts,
        allowances,
        moves: shop.movement,
        notation,
    })
}

fn read_allowances(
    arguments: &CutArguments,
    unit: Option<Unit>,
    allowances: &mut Allowances,
    faults: &mut Vec<String>,
) {
    let mut option = |name, text: &Option<String>| {
        let length = dimension::option(name, text.as_ref(), unit, faults)?;
        if length.mm() < 0.0 {
            faults.push(format!("{name}: is less than nothing; give 0 or more"));
        }
        Some(length.mm())
    };
    if let Some(kerf) = option("--kerf", &arguments.kerf) {
        allowances.kerf_crosscut = kerf;
        allowances.kerf_rip = kerf;
    }
    if let Some(trim) = option("--end-trim", &arguments.end_trim) {
        allowances.end_trim = trim;
    }
}

/// What is known of each board, or why nothing can be of some.
fn gathered<T>(
    boards: &[Board],
    known: impl Fn(&Board) -> Result<T, NoExpectation>,
) -> Result<Vec<T>, Problem> {
    let (mut values, mut reasons) = (Vec::new(), Vec::new());
    for board in boards {
        match known(board) {
            Ok(value) => values.push(value),
            Err(why) => reasons.push(report::message(&format!(
                "{}: {}",
                board.name,
                report::no_cut(&why)
            ))),
        }
    }
    if reasons.is_empty() {
        Ok(values)
    } else {
        Err(Problem::NoAnswer(reasons.join("\n")))
    }
}

/// Cuts are marked to the quarter inch, or to 5 mm.
fn step(unit: Unit) -> f64 {
    match unit {
        Unit::Inch | Unit::Foot => Length::from_inches(0.25).mm(),
        Unit::Millimetre | Unit::Centimetre | Unit::Metre => 5.0,
    }
}

fn certainty(text: &str) -> Result<f64, String> {
    let wrong = || "give a chance between 0.5 and 0.99, such as 0.90".to_owned();
    let chance: f64 = text.trim().parse().map_err(|_| wrong())?;
    if (0.5..=0.99).contains(&chance) {
        Ok(chance)
    } else {
        Err(wrong())
    }
}
