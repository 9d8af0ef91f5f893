//! What the files and options of `outwind cut` say.

use super::board_options::{BoardOptions, Loaded};
use super::cut::CutArguments;
use super::dimension;
use super::files::read_file;
use super::problem::Problem;
use crate::board::Board;
use crate::cutting::{Allowances, Wanted};
use crate::length::{Notation, Unit};
use crate::readings::{Part, read_parts, read_shop};
use crate::shop::Shop;

/// A part of the list as the planner takes it.
pub(super) fn wanted(part: Part) -> Wanted {
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
pub(super) struct Asked {
    pub(super) boards: Vec<Board>,
    /// The list of parts, where one is given.
    pub(super) parts: Option<Vec<Wanted>>,
    pub(super) shop: Shop,
    /// The shop's, or as the options say.
    pub(super) allowances: Allowances,
    pub(super) notation: Notation,
}

/// Reads all boards and options, telling all faults at once; lengths are written as for the first board.
pub(super) fn load(arguments: &CutArguments) -> Result<Asked, Problem> {
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
        parts: parts.map(|list| list.parts.into_iter().map(wanted).collect()),
        shop,
        allowances,
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
