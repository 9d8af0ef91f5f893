//! `outwind view`: the board in three dimensions, in a window or as files.

use std::fs;
use std::path::{Path, PathBuf};

use clap::Args;

use super::board_options::{BoardOptions, Loaded};
use super::dimension;
use super::files::stem;
use super::flatten::usual_spacing;
use super::problem::Problem;
use crate::board::Board;
use crate::cutting::{Draws, Movement, Pieces, Window};
use crate::flatten::{Answer, Question, Relief, known};
use crate::length::{Length, Notation};
use crate::readings::{Record, write_board};
use crate::report;
use crate::shop::usual_thicknesses;
use crate::view::scene::{Enlarged, Scene};
use crate::view::{self, Asked, Hands, NoDrawing, Opening, Shown};

#[derive(Debug, Args)]
pub(super) struct ViewArguments {
    #[command(flatten)]
    board: BoardOptions,

    /// The thickness that you need
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    need: Option<String>,

    /// Draw a picture into this file, without a window
    #[arg(long, value_name = "FILE.png")]
    picture: Option<PathBuf>,

    /// Width and height of the picture in pixels
    #[arg(long, value_name = "WxH", default_value = "1600x1000", value_parser = size)]
    size: [u32; 2],

    /// Draw what comes off so many times as thick; 1 is true to scale [default: as is easily seen]
    #[arg(long, value_name = "TIMES", value_parser = times)]
    enlarge: Option<f64>,

    /// Write the board, the finished piece and what comes off as solids: all in one .glb, or one .stl each
    #[arg(long, value_name = "FILE")]
    solids: Option<PathBuf>,
}

pub(super) fn run(arguments: &ViewArguments) -> Result<(), Problem> {
    let (
        Loaded {
            board, notation, ..
        },
        need,
    ) = arguments.board.load(|unit, faults| {
        check_names(arguments, faults);
        dimension::positive("--need", arguments.need.as_ref(), unit, faults)
    })?;
    let enlarged = arguments.enlarge.map_or(Enlarged::Fitting, Enlarged::Times);
    let drawn = Drawn::new(&board, need, notation, enlarged).map_err(Problem::NoAnswer)?;
    if let Some(path) = &arguments.picture {
        let mut title = vec![drawn.scene.name.clone()];
        title.extend(report::answer_lines(&drawn.answer, notation));
        let picture = view::picture(&drawn.scene, &title, arguments.size).map_err(no_drawing)?;
        write(path, &picture.png()).map_err(Problem::NoAnswer)?;
    }
    if let Some(path) = &arguments.solids {
        let scene = Drawn::new(&board, need, notation, Enlarged::Times(1.0));
        let scene = scene.map_err(Problem::NoAnswer)?.scene;
        write_solids(path, &scene).map_err(Problem::NoAnswer)?;
    }
    if arguments.picture.is_some() || arguments.solids.is_some() {
        return Ok(());
    }
    open(arguments, board, need, notation, enlarged)
}

/// Opens the window.
fn open(
    arguments: &ViewArguments,
    board: Board,
    need: Option<Length>,
    notation: Notation,
    enlarged: Enlarged,
) -> Result<(), Problem> {
    let mut faults = Vec::new();
    let record = arguments.board.record(&mut faults).unwrap_or_default();
    let name = board.name.clone();
    let asked = Asked {
        record,
        need: need.map(Length::mm),
        cuts: Vec::new(),
    };
    let mut reckoner = Reckoner {
        name: name.clone(),
        without: board,
        record: asked.record.clone(),
        notation,
        enlarged,
        draws: None,
    };
    let shown = reckoner.shown(&asked).map_err(Problem::NoAnswer)?;
    let path = arguments.board.path().to_owned();
    let picture = path.with_extension("png");
    let mut save = Save::new(path);
    let opening = Opening {
        title: format!("{name} - outwind"),
        asked,
        shown,
        notation,
    };
    let hands = Hands {
        reckon: Box::new(move |asked| reckoner.shown(asked)),
        save: Box::new(move |record| save.save(record)),
        export: Box::new(move |bytes| {
            write(&picture, bytes).map(|()| format!("drawn into {}", picture.display()))
        }),
    };
    view::window(opening, hands).map_err(no_drawing)
}

fn no_drawing(reason: NoDrawing) -> Problem {
    Problem::NoAnswer(format!("Nothing is drawn: {reason}."))
}

/// A board answered and set up to be drawn.
struct Drawn {
    answer: Answer,
    scene: Scene,
}

impl Drawn {
    fn new(
        board: &Board,
        need: Option<Length>,
        notation: Notation,
        enlarged: Enlarged,
    ) -> Result<Self, String> {
        let question = Question {
            need,
            support_spacing: usual_spacing(notation.unit()).mm(),
            sizes: usual_thicknesses(notation.unit()),
            expectation: true,
        };
        let answer = Answer::new(board, &question);
        let found = answer.flattening.as_ref().map_err(|reason| {
            let reason = report::unanswerable(*reason, notation);
            format!("{}: {reason}", answer.name)
        })?;
        let scene = Relief::new(board, &found.shimmed)
            .and_then(|relief| Scene::new(board, &answer, &relief, notation, enlarged))
            .ok_or_else(|| format!("{}: too little was read to draw it", answer.name))?;
        Ok(Self { answer, scene })
    }
}

/// Answers the window's questions.
struct Reckoner {
    name: String,
    /// The board as it was loaded, without what options leave out of it.
    without: Board,
    record: Record,
    notation: Notation,
    enlarged: Enlarged,
    /// Draws of a board, with the board that they are of.
    draws: Option<(Board, Draws)>,
}

impl Reckoner {
    fn shown(&mut self, asked: &Asked) -> Result<Shown, String> {
        let board = if asked.record == self.record {
            self.without.clone()
        } else {
            Board::from_record(asked.record.clone(), &self.name).map_err(|errors| {
                let told = errors.iter().map(|e| e.explain(self.notation, true));
                told.collect::<Vec<String>>().join("; ")
            })?
        };
        let need = asked.need.map(Length::from_mm);
        let Drawn { answer, scene } = Drawn::new(&board, need, self.notation, self.enlarged)?;
        let pieces = self.pieces(&board, &asked.cuts);
        Ok(Shown {
            answer: report::answer_lines(&answer, self.notation),
            trouble: report::trouble_lines(&answer, self.notation),
            laying: report::shim_rows(&answer, self.notation),
            scene,
            pieces,
        })
    }

    /// What the pieces between some crosscuts come to.
    fn pieces(&mut self, board: &Board, cuts: &[f64]) -> Vec<String> {
        if cuts.is_empty() {
            return Vec::new();
        }
        if self.draws.as_ref().is_none_or(|(of, _)| of != board) {
            let known = match known(board) {
                Ok(known) => known,
                Err(reason) => return vec![report::no_cut(&reason)],
            };
            let draws = Draws::new(&known.estimate, DRAWS, SEED, Movement::NONE);
            self.draws = Some((board.clone(), draws));
        }
        let Some((_, draws)) = &self.draws else {
            return Vec::new();
        };
        let whole = draws.whole();
        let mut ends: Vec<f64> = cuts
            .iter()
            .map(|s| whole.from + s * whole.length())
            .collect();
        ends.sort_by(f64::total_cmp);
        ends.push(whole.to);
        let mut pieces = Pieces::new(draws);
        let mut from = whole.from;
        ends.into_iter()
            .map(|to| {
                let window = Window { from, to, ..whole };
                from = to;
                report::piece_line(
                    [window.from, window.to],
                    pieces.interval(&window),
                    self.notation,
                )
            })
            .collect()
    }
}

/// Draws of a board that is cut in the window, the same at every run: a hand that moves a cut waits for them all.
const DRAWS: usize = 200;
const SEED: u64 = 5;

/// Where the window saves to.
struct Save {
    path: PathBuf,
    /// Whether the file holds what this window wrote.
    own: bool,
}

impl Save {
    /// A board file is saved to itself, of a CSV a board file beside it.
    fn new(board: PathBuf) -> Self {
        Self {
            path: board.with_extension("toml"),
            own: false,
        }
    }

    /// Before a file is written over the first time it is kept beside: remarks in it would be lost.
    fn save(&mut self, record: &Record) -> Result<String, String> {
        let mut kept = String::new();
        if !self.own && self.path.exists() {
            let before = PathBuf::from(format!("{}.before", self.path.display()));
            fs::copy(&self.path, &before).map_err(|error| {
                format!("not saved: {} cannot be written: {error}", before.display())
            })?;
            kept = format!("; as it was before: {}", before.display());
        }
        write(&self.path, write_board(record).as_bytes())
            .map_err(|why| format!("not saved: {why}"))?;
        self.own = true;
        Ok(format!("saved as {}{kept}", self.path.display()))
    }
}

fn write_solids(path: &Path, scene: &Scene) -> Result<(), String> {
    let solids = view::solids(scene);
    if has_ending(path, "glb") {
        return write(path, &view::gltf(&solids));
    }
    for solid in &solids {
        let name = format!("{}-{}.stl", stem(path), solid.name);
        write(&path.with_file_name(name), &view::stl(solid))?;
    }
    Ok(())
}

fn write(path: &Path, bytes: &[u8]) -> Result<(), String> {
    fs::write(path, bytes).map_err(|error| {
        format!(
            "{}: cannot be written: {error}; check its folder",
            path.display()
        )
    })
}

fn has_ending(path: &Path, ending: &str) -> bool {
    path.extension()
        .is_some_and(|e| e.eq_ignore_ascii_case(ending))
}

/// The ending says what is written; a board file named by mistake would be lost.
fn check_names(arguments: &ViewArguments, faults: &mut Vec<String>) {
    let mut check = |option: &str, path: &Option<PathBuf>, endings: &[&str]| {
        if let Some(path) = path
            && !endings.iter().any(|ending| has_ending(path, ending))
        {
            let wanted = endings.join(" or .");
            faults.push(format!(
                "{option}: \"{}\" does not end in .{wanted}, which is what can be written; give a name that does",
                path.display()
            ));
        }
    };
    check("--picture", &arguments.picture, &["png"]);
    check("--solids", &arguments.solids, &["glb", "stl"]);
}

/// The least and the largest side of a picture, pixels: below, no text fits; above, drivers refuse.
const SIDES: [u32; 2] = [320, 8192];

fn size(text: &str) -> Result<[u32; 2], String> {
    let wanted = || {
        let [least, most] = SIDES;
        format!("give width and height in pixels, {least} to {most}, such as 1600x1000")
    };
    let (width, height) = text.split_once(['x', 'X', '×']).ok_or_else(wanted)?;
    let side = |text: &str| {
        let side = text.trim().parse::<u32>().ok();
        side.filter(|s| (SIDES[0]..=SIDES[1]).contains(s))
            .ok_or_else(wanted)
    };
    Ok([side(width)?, side(height)?])
}

fn times(text: &str) -> Result<f64, String> {
    let times = text.trim().parse::<f64>().ok();
    times
        .filter(|t| (1.0..=1000.0).contains(t))
        .ok_or_else(|| "give a number from 1 to 1000, such as 10".to_owned())
}
