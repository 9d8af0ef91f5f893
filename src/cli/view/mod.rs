//! `outwind view`: the board in three dimensions, in a window or as files.

mod apart;
mod reckoner;
mod save;

use std::fs;
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use clap::Args;

use self::reckoner::{Drawn, Loaded, Proposer, Reckoner};
use self::save::Save;
use crate::cli::board_options::{self, BoardOptions};
use crate::cli::book_options::BookOptions;
use crate::cli::dimension;
use crate::cli::files::stem;
use crate::cli::problem::Problem;
use crate::length::{Length, Notation};
use crate::readings::write_board;
use crate::report;
use crate::view::scene::{Enlarged, Scene};
use crate::view::{self, Asked, Hands, NoDrawing, Opening, Reckon, changed};

#[derive(Debug, Args)]
pub(super) struct ViewArguments {
    #[command(flatten)]
    board: BoardOptions,

    /// The thickness that you need
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    need: Option<String>,

    #[command(flatten)]
    book: BookOptions,

    /// Draw a picture into this file, without a window
    #[arg(long, value_name = "FILE.png")]
    picture: Option<PathBuf>,

    /// Width and height of the picture in pixels
    #[arg(long, value_name = "WxH", default_value = "1600x1000", value_parser = size)]
    size: [u32; 2],

    /// Draw what comes off so many times as thick; 1 is true to scale [default: as is easily seen]
    #[arg(long, value_name = "TIMES", value_parser = times)]
    enlarge: Option<f64>,

    /// Open the window in this process and not in one of its own
    #[arg(long, hide = true)]
    here: bool,

    /// Tell on closing the window what its frames cost
    #[arg(long, hide = true)]
    count_work: bool,

    /// Write the board, the finished piece and what comes off as solids: all in one .glb, or one .stl each
    #[arg(long, value_name = "FILE")]
    solids: Option<PathBuf>,
}

pub(super) fn run(arguments: &ViewArguments) -> Result<(), Problem> {
    let windowless = arguments.picture.is_some() || arguments.solids.is_some();
    if !(windowless || arguments.here) {
        return apart::run(arguments.board.path());
    }
    let (loaded, need) = arguments.board.load(|unit, faults| {
        check_names(arguments, faults);
        dimension::positive("--need", arguments.need.as_ref(), unit, faults)
    })?;
    let need = need.map(Length::mm);
    if windowless {
        return files(arguments, &loaded, need);
    }
    open(arguments, loaded, need)
}

impl ViewArguments {
    fn enlarged(&self) -> Enlarged {
        self.enlarge.map_or(Enlarged::Fitting, Enlarged::Times)
    }
}

/// Draws into files, without a window.
fn files(
    arguments: &ViewArguments,
    loaded: &board_options::Loaded,
    need: Option<f64>,
) -> Result<(), Problem> {
    let notation = loaded.notation;
    let loss = arguments.book.loss(&loaded.board)?;
    let drawn = |enlarged| {
        Drawn::new(&loaded.board, need, &loss, notation, enlarged).map_err(Problem::NoAnswer)
    };
    if let Some(path) = &arguments.picture {
        let drawn = drawn(arguments.enlarged())?;
        let mut title = vec![drawn.scene.name.clone()];
        title.extend(report::answer_lines(&drawn.answer, notation));
        let picture = view::picture(&drawn.scene, &title, arguments.size)
            .map_err(|reason| no_drawing(&reason))?;
        write(path, &picture.png()).map_err(Problem::NoAnswer)?;
    }
    if let Some(path) = &arguments.solids {
        let scene = drawn(Enlarged::Times(1.0))?.scene;
        write_solids(path, &scene).map_err(Problem::NoAnswer)?;
    }
    Ok(())
}

/// Opens the window.
fn open(
    arguments: &ViewArguments,
    loaded: board_options::Loaded,
    need: Option<f64>,
) -> Result<(), Problem> {
    let board_options::Loaded {
        board,
        notation,
        unit,
        ..
    } = loaded;
    let mut faults = Vec::new();
    let record = arguments.board.record(&mut faults).unwrap_or_default();
    let title = format!("{} - outwind", board.name);
    let loss = arguments.book.loss(&board)?;
    let loaded = Arc::new(Loaded {
        board,
        loss,
        record: Arc::new(record),
        without: arguments.board.without().to_vec(),
        unit,
    });
    let asked = Asked {
        need,
        ..Asked::default()
    };
    let proposer = Proposer {
        loaded: Arc::clone(&loaded),
        notation,
    };
    let mut reckoner = Reckoner::new(Arc::clone(&loaded), notation, arguments.enlarged());
    let shown = reckoner.shown(&asked).map_err(Problem::NoAnswer)?;
    let path = arguments.board.path();
    let picture = path.with_extension("png");
    let mut save = Save::new(path);
    let saved = Arc::clone(&loaded);
    let (unsaved, news) = unsaved(path);
    let opening = Opening {
        title,
        news,
        record: Arc::clone(&loaded.record),
        need,
        shown,
        notation,
    };
    let hands = Hands {
        reckon: Box::new(move |asked| reckoner.shown(asked)),
        propose: Box::new(move |asked| proposer.proposal(asked)),
        book: book_drawing(arguments.book.clone(), notation),
        save: Box::new(move |asked| save.save(&changed(&saved.record, &asked.changes))),
        keep: keep(unsaved.clone(), Arc::clone(&loaded)),
        export: Box::new(move |bytes| {
            write(&picture, bytes).map(|()| format!("drawn into {}", picture.display()))
        }),
    };
    match view::window(opening, hands) {
        Ok(work) => {
            // Saved, or given up by the person.
            let _ = fs::remove_file(&unsaved);
            if arguments.count_work {
                writeln!(io::stderr(), "{work}")?;
            }
            Ok(())
        }
        Err(reason) if unsaved.exists() => Err(Problem::NoAnswer(format!(
            "{} What was typed over and not saved is in {}.",
            no_drawing(&reason),
            unsaved.display()
        ))),
        Err(reason) => Err(no_drawing(&reason)),
    }
}

/// Where readings typed over are kept until they are saved: in no file that was left behind, of which is told.
fn unsaved(board: &Path) -> (PathBuf, String) {
    let first = board.with_extension("unsaved.toml");
    if !first.exists() {
        return (first, String::new());
    }
    let told = format!(
        "{} holds readings typed over earlier and not saved",
        first.display()
    );
    let mut names = (2..).map(|k| board.with_extension(format!("unsaved-{k}.toml")));
    (names.find(|name| !name.exists()).unwrap_or(first), told)
}

/// Keeps a board with the readings typed over in a file of its own, and takes the file away when there are none.
fn keep(path: PathBuf, loaded: Arc<Loaded>) -> Reckon<()> {
    Box::new(move |asked| {
        if !asked.changes.is_empty() {
            let text = write_board(&changed(&loaded.record, &asked.changes));
            return write(&path, text.as_bytes());
        }
        match fs::remove_file(&path) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => {
                Err(format!("{}: {error}", path.display()))
            }
            _ => Ok(()),
        }
    })
}

/// Draws what the book holds at that moment; nothing without a book.
fn book_drawing(book: BookOptions, notation: Notation) -> Option<Reckon<report::sheet::Sheet>> {
    book.comparison()?.ok()?;
    Some(Box::new(move |_| match book.comparison() {
        Some(Ok(comparison)) => Ok(report::compared_drawing(&comparison, notation)),
        Some(Err(problem)) => Err(problem.to_string()),
        None => Err("no book was given".to_owned()),
    }))
}

fn no_drawing(reason: &NoDrawing) -> Problem {
    Problem::NoAnswer(format!("Nothing is drawn: {reason}."))
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
