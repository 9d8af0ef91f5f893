//! `outwind cut`: whether and where to cut boards before they are flattened.

use std::fs;
use std::io::{self, Write};
use std::path::PathBuf;

use clap::Args;

use super::board_options::ReadingOptions;
use super::book_options::{BookOptions, Losses};
use super::cut_input::{Asked, load};
use super::dimension;
use super::problem::Problem;
use super::watching::Watching;
use crate::board::Board;
use crate::cutting::{
    self, ByLength, CutFirst, CutQuestion, Movement, Plan, PlanQuestion, Prefer, Progress, Stage,
    Stocked, Tally, Wanted, Watch,
};
use crate::flatten::{NoExpectation, Note};
use crate::length::Notation;
use crate::report::{self, PlanSheet};
use crate::shop::usual_thicknesses;

#[derive(Debug, Args)]
pub(super) struct CutArguments {
    /// Board files (.toml), or readings as CSV: grids of heights, or columns x, y, z
    #[arg(value_name = "BOARD", required = true)]
    pub(super) boards: Vec<PathBuf>,

    #[command(flatten)]
    pub(super) options: ReadingOptions,

    /// The parts wanted: a CSV with part, count, length, width, thickness
    #[arg(long, value_name = "CSV")]
    pub(super) parts: Option<PathBuf>,

    /// Say how thick all these parts can be, instead of as thick as the list says
    #[arg(long, requires = "parts")]
    thickest: bool,

    /// The shop's machines, kerfs and allowances: a shop file (.toml)
    #[arg(long, value_name = "FILE")]
    pub(super) shop: Option<PathBuf>,

    /// Draw the plan for the parts as an SVG file to print
    #[arg(long, value_name = "FILE.svg", requires = "parts")]
    drawing: Option<PathBuf>,

    /// What the saw takes [default: the shop's, or 1/8 in]
    #[arg(long, value_name = "K", allow_hyphen_values = true)]
    pub(super) kerf: Option<String>,

    /// What is cut off each end of a board first [default: the shop's, or 1/8 in]
    #[arg(long, value_name = "E", allow_hyphen_values = true)]
    pub(super) end_trim: Option<String>,

    /// The chance that a piece must have to reach its thickness
    #[arg(long, value_name = "C", default_value = "0.90", value_parser = certainty)]
    certainty: f64,

    /// What counts first of plans that make as much: margin (how sure the least sure part is), cuts (the fewest) or
    /// offcut (the longest left over)
    #[arg(long, value_name = "WHAT", default_value = "margin", value_parser = prefer, requires = "parts")]
    prefer: Prefer,

    #[command(flatten)]
    book: BookOptions,

    /// Print the answer as JSON, millimetres throughout
    #[arg(long)]
    json: bool,
}

pub(super) fn run(arguments: &CutArguments, out: &mut dyn Write) -> Result<(), Problem> {
    let asked = load(arguments)?;
    let sizes = usual_thicknesses(asked.notation.unit());
    let sizes: Vec<f64> = sizes.iter().map(|s| s.mm()).collect();
    let losses = arguments.book.losses()?;
    match &asked.parts {
        None => first(arguments, &asked, &losses, sizes, out),
        Some(parts) => plan(arguments, &asked, &losses, parts, &sizes, out),
    }
}

/// Whether to cut, without a list.
fn first(
    arguments: &CutArguments,
    asked: &Asked,
    losses: &Losses<'_>,
    sizes: Vec<f64>,
    out: &mut dyn Write,
) -> Result<(), Problem> {
    let notation = asked.notation;
    let question = CutQuestion {
        allowances: asked.allowances,
        movement: asked.shop.movement,
        shortfall: None,
        step: dimension::cut_step(notation.unit()),
        certainty: arguments.certainty,
        sizes,
    };
    let mut watch = Watching::new();
    let known = |board: &Board| {
        let movement = asked.shop.movement_of(board.about.species.as_deref());
        let question = CutQuestion {
            movement,
            shortfall: losses.of(board).shortfall,
            ..question.clone()
        };
        CutFirst::new(board, question)
    };
    let answers = gathered(&asked.boards, known, &mut watch)?;
    drop(watch);
    if answers.len() < asked.boards.len() {
        let left_out: Vec<&str> = asked.boards[answers.len()..]
            .iter()
            .map(|b| b.name.as_str())
            .collect();
        let told = format!("stopped; not looked into: {}", left_out.join(", "));
        writeln!(io::stderr(), "{}", report::message(&told))?;
    }
    let told = losses_told(&asked.boards, losses);
    if arguments.json {
        writeln!(
            out,
            "{}",
            report::cut_first_json(&answers, &asked.shop, &told, notation)
        )?;
    } else {
        write!(
            out,
            "{}",
            report::cut_first(&answers, &asked.shop, &told, notation)
        )?;
    }
    Ok(())
}

/// What the book says of the boards' losses, with the wood of the first board of which it says so.
fn losses_told(boards: &[Board], losses: &Losses<'_>) -> Vec<(Option<String>, Note)> {
    let mut told: Vec<(Option<String>, Note)> = Vec::new();
    for board in boards {
        if let Some(note) = losses.of(board).note
            && told.iter().all(|(_, other)| *other != note)
        {
            told.push((board.about.species.clone(), note));
        }
    }
    told
}

/// Where to cut for a list of parts.
fn plan(
    arguments: &CutArguments,
    asked: &Asked,
    losses: &Losses<'_>,
    parts: &[Wanted],
    sizes: &[f64],
    out: &mut dyn Write,
) -> Result<(), Problem> {
    let Asked {
        boards,
        shop,
        notation,
        ..
    } = asked;
    let mut watch = Watching::new();
    let known = |board: &Board| {
        let movement = shop.movement_of(board.about.species.as_deref());
        Ok(Stocked::new(board, movement)?.short_by(losses.of(board).shortfall))
    };
    let stocked = gathered(boards, known, &mut watch)?;
    if watch.stopped() {
        return Err(stopped());
    }
    let question = PlanQuestion {
        wanted: parts.to_vec(),
        allowances: asked.allowances,
        step: dimension::cut_step(notation.unit()),
        certainty: arguments.certainty,
        prefer: arguments.prefer,
    };
    let told = losses_told(&asked.boards, losses);
    let mut movements: Vec<Movement> = Vec::new();
    for board in boards {
        let own = shop.movement_of(board.about.species.as_deref());
        if !movements.contains(&own) {
            movements.push(own);
        }
    }
    let (thickest, plan) = if arguments.thickest {
        let Some((thickness, plan)) = cutting::thickest(&stocked, &question, sizes, &mut watch)
        else {
            if watch.stopped() {
                return Err(stopped());
            }
            let why = "these boards do not make all the parts at any usual thickness; without --thickest the plan says what \
                       is short, and why";
            return Err(Problem::NoAnswer(why.to_owned()));
        };
        (Some(thickness), plan)
    } else {
        (None, Plan::watched(&stocked, question, &mut watch))
    };
    let sheet = PlanSheet {
        plan: &plan,
        tally: &Tally::new(&plan, boards, &stocked, shop),
        shop,
        movements: &movements,
        losses: &told,
        thickest,
        notation: *notation,
    };
    if arguments.json {
        let curves = curves(&stocked, &mut watch);
        drop(watch);
        writeln!(out, "{}", report::cut_plan_json(&sheet, &curves))?;
    } else {
        drop(watch);
        write!(out, "{}", report::cut_plan(&sheet))?;
    }
    draw(arguments, boards, &plan, *notation)
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

/// What survives against length, of each board.
fn curves(stocked: &[Stocked], watch: &mut Watching) -> Vec<Vec<ByLength>> {
    let all = stocked.len();
    let curve = |(done, board): (usize, &Stocked)| {
        let stage = Stage::Curves;
        watch.hear(Progress { stage, done, all });
        cutting::by_length(&board.evidence)
    };
    stocked.iter().enumerate().map(curve).collect()
}

/// What is known of each board, or why nothing can be of some; stopped, of those so far.
fn gathered<T>(
    boards: &[Board],
    known: impl Fn(&Board) -> Result<T, NoExpectation>,
    watch: &mut Watching,
) -> Result<Vec<T>, Problem> {
    let (mut values, mut reasons) = (Vec::new(), Vec::new());
    for (done, board) in boards.iter().enumerate() {
        watch.hear(Progress {
            stage: Stage::Boards,
            done,
            all: boards.len(),
        });
        if watch.stopped() {
            break;
        }
        match known(board) {
            Ok(value) => values.push(value),
            Err(why) => reasons.push(report::message(&format!(
                "{}: {}",
                board.name,
                report::no_cut(&why)
            ))),
        }
    }
    if reasons.is_empty() && values.is_empty() {
        Err(stopped())
    } else if reasons.is_empty() {
        Ok(values)
    } else {
        Err(Problem::NoAnswer(reasons.join("\n")))
    }
}

fn stopped() -> Problem {
    Problem::NoAnswer("stopped before there was any plan".to_owned())
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

/// An order of preference by its name.
fn prefer(text: &str) -> Result<Prefer, String> {
    match text {
        "margin" => Ok(Prefer::Margin),
        "cuts" => Ok(Prefer::Cuts),
        "offcut" => Ok(Prefer::Offcut),
        _ => Err("give margin, cuts or offcut".to_owned()),
    }
}
