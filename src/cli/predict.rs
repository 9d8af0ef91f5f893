//! `outwind predict`: how thick a board or piece will come out, noted in the shop's book.

use std::io::Write;
use std::path::PathBuf;

use clap::Args;

use super::board_options::{BoardOptions, Loaded};
use super::book_options::{labels, made, problem};
use super::dimension;
use super::problem::Problem;
use crate::board::Board;
use crate::book::{Book, Comparison, Content, Prediction, rough_thickness};
use crate::cutting::{Evidence, Movement, Pieces, Window};
use crate::flatten::{Answer, Interval, NoExpectation, Question, Shortfall, Way, known};
use crate::length::{Length, Notation, Rounding, Unit};
use crate::report;

#[derive(Debug, Args)]
pub(super) struct PredictArguments {
    #[command(flatten)]
    board: BoardOptions,

    /// The shop's book; begun where there is none
    #[arg(long, value_name = "FILE")]
    book: PathBuf,

    /// A piece of the board: what to call it; it is recorded as "BOARD, PIECE"
    #[arg(long, value_name = "P")]
    piece: Option<String>,

    /// Where the piece begins along the length
    #[arg(long, value_name = "X", requires = "piece", allow_hyphen_values = true)]
    from: Option<String>,

    /// Where the piece ends along the length
    #[arg(long, value_name = "X", requires = "piece", allow_hyphen_values = true)]
    to: Option<String>,

    /// Where the piece begins across the width
    #[arg(long, value_name = "Y", requires = "piece", allow_hyphen_values = true)]
    near: Option<String>,

    /// Where the piece ends across the width
    #[arg(long, value_name = "Y", requires = "piece", allow_hyphen_values = true)]
    far: Option<String>,

    /// The machine that will take it to thickness
    #[arg(long, value_name = "M")]
    machine: Option<String>,

    /// The wood [default: the board file's]
    #[arg(long, value_name = "S")]
    species: Option<String>,

    /// How it will be laid: shimmed, balanced or as-laid
    #[arg(long, value_name = "WAY", default_value = "shimmed", value_parser = way)]
    way: Way,

    /// Leave the shop's own loss out, whatever the book has learnt
    #[arg(long)]
    without_loss: bool,

    /// Print the prediction as JSON, millimetres throughout
    #[arg(long)]
    json: bool,
}

pub(super) fn run(arguments: &PredictArguments, out: &mut dyn Write) -> Result<(), Problem> {
    let (loaded, sides) = arguments.board.load(|unit, faults| {
        [
            ("--from", &arguments.from),
            ("--to", &arguments.to),
            ("--near", &arguments.near),
            ("--far", &arguments.far),
        ]
        .map(|(name, text)| dimension::option(name, text.as_ref(), unit, faults).map(Length::mm))
    })?;
    let Loaded {
        board,
        notation,
        unit,
        survey,
    } = loaded;
    let window = window(&board, sides, notation)?;
    let plain = match window {
        None => whole(&board, arguments.way, notation)?,
        Some(window) => part(&board, arguments.way, &window)?,
    };
    let species = arguments.species.as_ref().or(board.about.species.as_ref());
    let mut prediction = Prediction {
        piece: arguments
            .piece
            .as_ref()
            .map(|piece| piece.trim().to_owned()),
        survey,
        unit: unit.unwrap_or(Unit::Millimetre),
        plain,
        stated: plain,
        shortfall: Shortfall { mean: 0.0, sd: 0.0 },
        learnt_from: 0,
        rough: rough_thickness(&board),
        labels: labels(
            arguments.machine.as_ref(),
            species,
            Some(way_name(arguments.way)),
        ),
        board: board.name.trim().to_owned(),
    };
    let mut boards = 0;
    let mut book =
        Book::open_or_begin(&arguments.book).map_err(|e| problem(&arguments.book, &e))?;
    let noted = book.note(&made(), |entries| {
        let comparison = Comparison::new(entries);
        boards = comparison.boards;
        if !arguments.without_loss {
            prediction.shortfall = comparison.shortfall(&prediction.labels);
            prediction.stated = plain.short_by(&prediction.shortfall);
            prediction.learnt_from = if comparison.knows_the_shop() {
                boards
            } else {
                0
            };
        }
        Ok::<_, Problem>(vec![Content::Prediction(prediction.clone())])
    });
    let numbers = noted.map_err(|e| problem(&arguments.book, &e))??;
    if arguments.json {
        writeln!(out, "{}", report::predicted_json(&prediction))?;
    } else {
        write!(out, "{}", report::predicted(&prediction, boards, notation))?;
        let numbers: Vec<String> = numbers.iter().map(i64::to_string).collect();
        writeln!(out, "Noted as entry {}.", numbers.join(", "))?;
    }
    Ok(())
}

/// What is expected of the whole board.
fn whole(board: &Board, way: Way, notation: Notation) -> Result<Interval, Problem> {
    let answer = Answer::new(
        board,
        &Question {
            need: None,
            support_spacing: 250.0,
            sizes: Vec::new(),
            expectation: true,
        },
    );
    let refused = |why: String| Problem::NoAnswer(format!("{}: {why}", answer.name));
    if let Err(reason) = answer.flattening {
        return Err(refused(report::unanswerable(reason, notation)));
    }
    let expected = answer
        .expectation
        .map_err(|why| refused(report::no_prediction(&why)))?;
    Ok(match way {
        Way::Shimmed => expected.shimmed,
        Way::Balanced => expected.balanced,
        Way::AsLaid => expected.as_laid,
    })
}

/// What is expected of a piece.
fn part(board: &Board, way: Way, window: &Window) -> Result<Interval, Problem> {
    if way != Way::Shimmed {
        let what = "--way: of a piece with --from, --to, --near or --far only shimmed is told; leave it out";
        return Err(Problem::Input(vec![what.to_owned()]));
    }
    let refused = |why: &NoExpectation| {
        Problem::NoAnswer(format!("{}: {}", board.name, report::no_prediction(why)))
    };
    let known = known(board).map_err(|why| refused(&why))?;
    let evidence = Evidence::new(&known.estimate, Movement::default());
    Ok(Pieces::new(&evidence.stating).interval(window))
}

/// The part of the board that is asked for; none where that is the whole.
fn window(
    board: &Board,
    [from, to, near, far]: [Option<f64>; 4],
    notation: Notation,
) -> Result<Option<Window>, Problem> {
    if [from, to, near, far].iter().all(Option::is_none) {
        return Ok(None);
    }
    let o = &board.outline;
    let whole = Window {
        from: o.x0,
        to: o.x0 + o.length,
        near: o.y0,
        far: o.y0 + o.width,
    };
    let window = Window {
        from: from.unwrap_or(whole.from),
        to: to.unwrap_or(whole.to),
        near: near.unwrap_or(whole.near),
        far: far.unwrap_or(whole.far),
    };
    if whole.holds(&window) && window.length() > 0.0 && window.width() > 0.0 {
        return Ok(Some(window));
    }
    let write = |mm: f64| notation.write(Length::from_mm(mm), Rounding::Nearest);
    Err(Problem::Input(vec![format!(
        "--from, --to, --near, --far: this is no piece of the board, which lies from {} to {} along and from {} to {} across",
        write(whole.from),
        write(whole.to),
        write(whole.near),
        write(whole.far)
    )]))
}

fn way(text: &str) -> Result<Way, String> {
    [Way::Shimmed, Way::Balanced, Way::AsLaid]
        .into_iter()
        .find(|way| way_name(*way) == text)
        .ok_or_else(|| "give shimmed, balanced or as-laid".to_owned())
}

fn way_name(way: Way) -> &'static str {
    match way {
        Way::Shimmed => "shimmed",
        Way::Balanced => "balanced",
        Way::AsLaid => "as-laid",
    }
}
