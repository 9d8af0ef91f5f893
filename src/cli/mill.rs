//! `outwind mill`: how to mill a board, and the page for the machine.

use std::fs;
use std::io::Write;
use std::path::PathBuf;

use clap::Args;

use super::board_options::{BoardOptions, Loaded};
use super::book_options::{BookOptions, Loss};
use super::cut_input::wanted;
use super::dimension;
use super::files::read_file;
use super::problem::Problem;
use crate::board::Board;
use crate::cutting::{Allowances, Plan, PlanQuestion, Prefer, Stocked};
use crate::flatten::{Answer, Question, Shortfall};
use crate::length::{Length, Notation, Unit};
use crate::milling::moisture::{Air, MeterReading, Sawn, Water};
use crate::milling::{MillQuestion, Milled, NoPiece, Piece};
use crate::readings::{Face, PartList, SawnRecord, read_parts, read_shop};
use crate::report::{self, Paper};
use crate::shop::{Machine, Shop, usual_thicknesses};

#[derive(Debug, Args)]
pub(super) struct MillArguments {
    #[command(flatten)]
    board: BoardOptions,

    /// The finished thickness of the whole board
    #[arg(
        long,
        value_name = "T",
        required_unless_present = "parts",
        allow_hyphen_values = true
    )]
    need: Option<String>,

    /// Cut the board into parts first, as `outwind cut` plans it: a CSV with part, count, length, width, thickness
    #[arg(long, value_name = "CSV", conflicts_with = "need")]
    parts: Option<PathBuf>,

    /// Write the page for the machine: one sheet a piece, to print
    #[arg(long, value_name = "FILE.html")]
    page: Option<PathBuf>,

    /// The paper of the page: a4 or letter [default: letter for inches, else a4]
    #[arg(long, value_name = "PAPER", value_parser = paper)]
    paper: Option<Paper>,

    /// The shop's machines, passes, allowances and air: a shop file (.toml)
    #[arg(long, value_name = "FILE")]
    shop: Option<PathBuf>,

    /// How the first face is made flat: jointer, sled, planer-sled or hand [default: what the shop has and the board allows]
    #[arg(long, value_name = "HOW", value_parser = machine)]
    with: Option<Machine>,

    /// The face to cut first: up or down
    #[arg(long, value_name = "FACE", value_parser = face)]
    first: Option<Face>,

    /// The face that loses no more than it must: up or down
    #[arg(long, value_name = "FACE", value_parser = face)]
    protect: Option<Face>,

    /// The deepest hollow that may stay in a face, as where a frame holds it flat [default: the shop's, or none]
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    tolerate: Option<String>,

    /// Thickness left for smoothing [default: the shop's, or none]
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    smoothing: Option<String>,

    /// Distance between shims along each edge [default: 10 in or 250 mm]
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    shim_every: Option<String>,

    /// What shims are rounded to [default: 1/64 in or 0.1 mm]
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    shim_to: Option<String>,

    /// From the pith of the tree to the middle of the face, for the cup that its rings give it
    #[arg(long, value_name = "R", allow_hyphen_values = true)]
    pith: Option<String>,

    /// How the board was sawn: flat or quarter
    #[arg(long, value_name = "HOW", value_parser = sawn)]
    sawn: Option<Sawn>,

    /// A moisture meter's reading: day and percent, such as 0:14 and, four days later, 4:11.5
    #[arg(long, value_name = "DAY:PERCENT", value_parser = meter)]
    meter: Vec<MeterReading>,

    #[command(flatten)]
    book: BookOptions,

    /// Print the answer as JSON, millimetres throughout
    #[arg(long)]
    json: bool,
}

/// The options that are lengths, in mm.
struct Lengths {
    need: Option<f64>,
    tolerate: Option<f64>,
    smoothing: Option<f64>,
    shim_every: Option<f64>,
    shim_to: Option<f64>,
    pith: Option<f64>,
}

pub(super) fn run(arguments: &MillArguments, out: &mut dyn Write) -> Result<(), Problem> {
    let (
        Loaded {
            board, notation, ..
        },
        (lengths, shop, parts),
    ) = arguments.board.load(|unit, faults| {
        let lengths = lengths(arguments, unit, faults);
        let shop = arguments.shop.as_ref().and_then(|path| {
            let read = read_file(path, |bytes, name| read_shop(bytes, name, unit));
            read.map_err(|told| faults.push(told)).ok()
        });
        let parts = arguments.parts.as_ref().and_then(|path| {
            let read = read_file(path, |bytes, name| read_parts(bytes, name, unit));
            read.map_err(|told| faults.push(told)).ok()
        });
        let shop = shop.map_or_else(Shop::default, |record| Shop::new(&record));
        (lengths, shop, parts)
    })?;
    let unit = notation.unit();
    let species = board.about.species.as_deref();
    let question = question(arguments, &lengths, shop.working(species), unit);
    let usual = question.shop.wood(species);
    let no_answer = |why: NoPiece| {
        let why = match why {
            NoPiece::Unanswerable(reason) => report::unanswerable(reason, notation),
            NoPiece::Faceless(reason) => report::no_plan(&reason),
        };
        Problem::NoAnswer(format!("{}: {why}", board.name))
    };
    let Loss { shortfall, note } = arguments.book.loss(&board)?;
    let pieces = match parts {
        Some(parts) => sawn_pieces(&board, parts, &question.shop, shortfall, unit),
        None => {
            let need = lengths.need.unwrap_or_default();
            whole(&board, need, &question, shortfall, unit).map(|piece| vec![piece])
        }
    };
    let pieces = pieces.map_err(no_answer)?;
    let Some(first) = pieces.first() else {
        let why = "none of these parts comes out of it; outwind cut says why";
        return Err(Problem::NoAnswer(format!("{}: {why}", board.name)));
    };
    let air = |[temperature, humidity]: [f64; 2]| Air {
        temperature,
        humidity,
    };
    let water = Water {
        species: board.about.species.clone(),
        sawn: arguments
            .sawn
            .or(usual.and_then(|w| w.sawn).map(|own| match own {
                SawnRecord::Flat => Sawn::Flat,
                SawnRecord::Quarter => Sawn::Quarter,
            })),
        size: [first.outline.width, first.need],
        moisture: board.about.moisture.or(usual.and_then(|w| w.moisture)),
        meter: arguments.meter.clone(),
        shop: question.shop.shop_air.map(air),
        house: question.shop.house_air.map(air),
        pith: lengths.pith,
    };
    let mut milled = Milled::new(&board, pieces, &question, &water).map_err(no_answer)?;
    // Of what is not expected, nothing is said of the loss either.
    milled.shop_loss = note.filter(|_| milled.expects());
    if arguments.json {
        writeln!(out, "{}", report::mill_json(&milled, notation))?;
    } else {
        write!(out, "{}", report::mill(&milled, notation))?;
    }
    write_page(arguments, &milled, notation)
}

/// The board in one piece.
fn whole(
    board: &Board,
    need: f64,
    question: &MillQuestion,
    shortfall: Option<Shortfall>,
    unit: Unit,
) -> Result<Piece, NoPiece> {
    let asked = Question {
        need: Some(Length::from_mm(need)),
        support_spacing: question.support_spacing,
        sizes: usual_thicknesses(unit),
        expectation: true,
    };
    let mut answer = Answer::new(board, &asked);
    if let Some(shortfall) = shortfall {
        answer.expectation = answer.expectation.map(|e| e.short_by(shortfall));
    }
    Piece::whole(board, &answer, need)
}

/// The pieces that the cut plan saws out of the board.
fn sawn_pieces(
    board: &Board,
    parts: PartList,
    shop: &Shop,
    shortfall: Option<Shortfall>,
    unit: Unit,
) -> Result<Vec<Piece>, NoPiece> {
    let question = PlanQuestion {
        wanted: parts.parts.into_iter().map(wanted).collect(),
        allowances: Allowances::of(shop),
        step: match unit {
            Unit::Inch | Unit::Foot => Length::from_inches(0.25).mm(),
            Unit::Millimetre | Unit::Centimetre | Unit::Metre => 5.0,
        },
        certainty: CERTAINTY,
        prefer: Prefer::default(),
    };
    let stocked = Stocked::new(board, shop.movement).map_err(NoPiece::Faceless)?;
    let plan = Plan::new(&[stocked.short_by(shortfall)], question);
    let pieces = plan.pieces.iter().enumerate().map(|(at, planned)| {
        let part = &plan.question.wanted[planned.part];
        let name = format!("{} {}: {}", board.name, at + 1, part.name);
        Piece::cut(
            board,
            name,
            planned,
            [planned.finished.length(), planned.finished.width()],
        )
    });
    pieces.collect()
}

/// As `outwind cut` has it where nothing is said.
const CERTAINTY: f64 = 0.90;

fn write_page(
    arguments: &MillArguments,
    milled: &Milled,
    notation: Notation,
) -> Result<(), Problem> {
    let Some(path) = &arguments.page else {
        return Ok(());
    };
    let paper = arguments.paper.unwrap_or(Paper::usual(notation.unit()));
    fs::write(path, report::mill_page(milled, notation, paper)).map_err(|error| {
        Problem::NoAnswer(format!("{}: cannot be written: {error}", path.display()))
    })
}

fn lengths(arguments: &MillArguments, unit: Option<Unit>, faults: &mut Vec<String>) -> Lengths {
    let mut positive = |name, text: &Option<String>| {
        dimension::positive(name, text.as_ref(), unit, faults).map(Length::mm)
    };
    let need = positive("--need", &arguments.need);
    let shim_every = positive("--shim-every", &arguments.shim_every);
    let shim_to = positive("--shim-to", &arguments.shim_to);
    let pith = positive("--pith", &arguments.pith);
    let mut allowed = |name: &str, text: &Option<String>| {
        let length = dimension::option(name, text.as_ref(), unit, faults)?.mm();
        if length < 0.0 {
            faults.push(format!("{name}: is less than nothing; give 0 or more"));
        }
        Some(length)
    };
    Lengths {
        need,
        tolerate: allowed("--tolerate", &arguments.tolerate),
        smoothing: allowed("--smoothing", &arguments.smoothing),
        shim_every,
        shim_to,
        pith,
    }
}

fn question(
    arguments: &MillArguments,
    lengths: &Lengths,
    mut shop: Shop,
    unit: Unit,
) -> MillQuestion {
    shop.milling.tolerate = lengths.tolerate.unwrap_or(shop.milling.tolerate);
    shop.milling.smoothing = lengths.smoothing.unwrap_or(shop.milling.smoothing);
    let (every, fine, coarse) = usual_shims(unit);
    MillQuestion {
        shop,
        first: arguments.first,
        protect: arguments.protect,
        with: arguments.with,
        support_spacing: lengths.shim_every.unwrap_or(every),
        shim_steps: [lengths.shim_to.unwrap_or(fine), coarse],
    }
}

/// Common practice: a shim every 10 in or so, to 1/64 in or a tenth of a millimetre; and a coarser step to compare with.
fn usual_shims(unit: Unit) -> (f64, f64, f64) {
    let inches = |n: f64| Length::from_inches(n).mm();
    match unit {
        Unit::Inch | Unit::Foot => (inches(10.0), inches(1.0 / 64.0), inches(1.0 / 32.0)),
        Unit::Millimetre | Unit::Centimetre | Unit::Metre => (250.0, 0.1, 0.5),
    }
}

/// A sheet of paper by its name.
pub(super) fn paper(text: &str) -> Result<Paper, String> {
    match text.to_lowercase().as_str() {
        "a4" => Ok(Paper::A4),
        "letter" => Ok(Paper::Letter),
        _ => Err("give a4 or letter".to_owned()),
    }
}

fn machine(text: &str) -> Result<Machine, String> {
    match text {
        "jointer" => Ok(Machine::Jointer),
        "sled" => Ok(Machine::RouterSled),
        "planer-sled" => Ok(Machine::PlanerSled),
        "hand" => Ok(Machine::HandPlanes),
        _ => Err("give jointer, sled, planer-sled or hand".to_owned()),
    }
}

fn face(text: &str) -> Result<Face, String> {
    match text {
        "up" => Ok(Face::Up),
        "down" => Ok(Face::Down),
        _ => Err("give up or down".to_owned()),
    }
}

fn sawn(text: &str) -> Result<Sawn, String> {
    match text {
        "flat" => Ok(Sawn::Flat),
        "quarter" => Ok(Sawn::Quarter),
        _ => Err("give flat or quarter".to_owned()),
    }
}

fn meter(text: &str) -> Result<MeterReading, String> {
    let wrong = || "give a day and percent, such as 4:11.5".to_owned();
    let (day, moisture) = text.split_once(':').ok_or_else(wrong)?;
    let number = |text: &str| {
        text.trim()
            .trim_end_matches('%')
            .replace(',', ".")
            .parse::<f64>()
    };
    let (day, moisture) = (
        number(day).map_err(|_| wrong())?,
        number(moisture).map_err(|_| wrong())?,
    );
    if day.is_finite() && moisture > 0.0 && moisture <= 250.0 {
        Ok(MeterReading { day, moisture })
    } else {
        Err("give percent of the dry mass, above 0 and up to 250".to_owned())
    }
}
