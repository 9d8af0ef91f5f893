//! What is wrong in a file, where it stands, and what would be right.

use std::fmt::{self, Display, Formatter};

/// How many faults of a file are told one by one.
const SHOWN: usize = 20;

/// How many faults of a file are enough: what follows is not looked at. Whoever has put so many right is told the rest.
pub(super) const ENOUGH: usize = 1000;

/// The longest piece of a cell that is quoted, in characters.
const QUOTED: usize = 28;

/// What stands before the second line of a fault.
const MARGIN: &str = "      ";

/// The widest line of a message, in characters.
const WIDEST: usize = 80;

/// Everything that is wrong in a file. Its [`Display`] names the file, then gives each fault two lines,
/// and two more where the line of the file is shown.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub struct Faults {
    /// The file, as the caller named it.
    pub file: String,
    /// The first faults of the file, ordered by line and cell; at least one, at most 20.
    pub faults: Vec<Fault>,
    /// How many more there are.
    pub more: usize,
    /// Whether they were so many that the rest of the file was not looked at.
    pub rest_unread: bool,
}

/// One fault: where, what was found, what is wrong with it and how to put it right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// The line of the file, counted from 1; none where the fault is the whole file's.
    pub line: Option<u64>,
    /// The cell as a spreadsheet names it, such as `C4`.
    pub cell: Option<String>,
    /// What the cell is on the board, such as `station 24 in, position 8 in`.
    pub place: Option<String>,
    /// The text that was found there, shortened and with control characters made visible.
    pub found: Option<String>,
    /// What is wrong.
    pub wrong: String,
    /// What would be right and how to get there.
    pub fix: String,
    /// The line of the file with the culprit, where that helps to find it.
    pub shown: Option<Shown>,
}

/// A line of a file, or the part of it that fits a terminal, with the culprit underlined.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shown {
    /// The text of the line, tabs and control characters as spaces.
    pub text: String,
    /// The first character of the culprit in `text`, from 0.
    pub column: usize,
    /// How many characters it has; at least one.
    pub width: usize,
}

impl Display for Faults {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        let count = self.faults.len() + self.more;
        write!(
            f,
            "{}: {count} {}",
            self.file,
            if count == 1 { "fault" } else { "faults" }
        )?;
        for fault in &self.faults {
            write!(f, "\n{fault}")?;
        }
        match self.more {
            0 => Ok(()),
            more if self.rest_unread => {
                write!(
                    f,
                    "\n  and {more} more; what follows them was not looked at"
                )
            }
            more => write!(f, "\n  and {more} more"),
        }
    }
}

impl Display for Fault {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        let Self { wrong, fix, .. } = self;
        f.write_str("  ")?;
        if let Some(line) = self.line {
            write!(f, "line {line}")?;
            for part in [&self.cell, &self.place].into_iter().flatten() {
                write!(f, ", {part}")?;
            }
            if self.shown.is_none() {
                f.write_str(": ")?;
            }
        }
        if let Some(Shown {
            text,
            column,
            width,
        }) = &self.shown
        {
            let carets = "^".repeat(*width);
            write!(f, "\n{MARGIN}  {text}\n{MARGIN}  {:column$}{carets}", "")?;
            let whole = format!("{wrong}; {fix}");
            let lines = if MARGIN.len() + whole.chars().count() <= WIDEST {
                vec![whole]
            } else {
                [wrapped(&format!("{wrong};")), wrapped(fix)].concat()
            };
            return lines
                .iter()
                .try_for_each(|line| write!(f, "\n{MARGIN}{line}"));
        }
        match &self.found {
            Some(found) => write!(f, "\"{found}\"\n      {wrong}; {fix}"),
            None => write!(f, "{wrong}\n      {fix}"),
        }
    }
}

/// A text in lines that fit behind the margin, broken between words.
fn wrapped(text: &str) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        let fits = |line: &String| {
            MARGIN.len() + line.chars().count() + 1 + word.chars().count() <= WIDEST
        };
        match lines.last_mut().filter(|line| fits(line)) {
            Some(line) => {
                line.push(' ');
                line.push_str(word);
            }
            None => lines.push(word.to_owned()),
        }
    }
    lines
}

/// What is wrong and how to put it right, without the place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Problem {
    pub(super) wrong: String,
    pub(super) fix: String,
}

impl Problem {
    pub(super) fn new(wrong: impl Into<String>, fix: impl Into<String>) -> Self {
        Self {
            wrong: wrong.into(),
            fix: fix.into(),
        }
    }
}

/// Where a cell stands in the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Site {
    /// The line on which its row begins, from 1.
    pub(super) line: u64,
    /// The row of a spreadsheet that shows the file, from 1.
    pub(super) row: u64,
    /// The column, from 0.
    pub(super) column: usize,
}

impl Site {
    /// The name that a spreadsheet gives the cell: `A1`, `Z1`, `AA1`.
    pub(super) fn cell(self) -> String {
        let mut letters = Vec::new();
        let mut rest = self.column + 1;
        while rest > 0 {
            rest -= 1;
            letters.push(char::from(b'A' + (rest % 26) as u8));
            rest /= 26;
        }
        format!("{}{}", letters.iter().rev().collect::<String>(), self.row)
    }
}

/// Collects the faults of a file: the first ones in full, the others by number.
#[derive(Debug, Default)]
pub(super) struct Collector {
    kept: Vec<(Option<Site>, Fault)>,
    more: usize,
    rest_unread: bool,
}

impl Collector {
    /// A fault of one cell. `place` says what the cell is on the board.
    pub(super) fn cell(
        &mut self,
        site: Site,
        place: impl FnOnce() -> String,
        found: &str,
        problem: Problem,
    ) {
        self.add(Some(site), || Fault {
            line: Some(site.line),
            cell: Some(site.cell()),
            place: Some(place()).filter(|place| !place.is_empty()),
            found: Some(visible(found)).filter(|found| !found.is_empty()),
            wrong: problem.wrong,
            fix: problem.fix,
            shown: None,
        });
    }

    /// A fault of a whole line.
    pub(super) fn line(&mut self, site: Site, problem: Problem) {
        self.add(Some(site), || Fault {
            line: Some(site.line),
            ..whole(problem)
        });
    }

    /// A fault of the whole file.
    pub(super) fn file(&mut self, problem: Problem) {
        self.add(None, || whole(problem));
    }

    /// A fault that is told in full already, at its place in the file.
    pub(super) fn told(&mut self, site: Site, fault: Fault) {
        self.add(Some(site), || fault);
    }

    fn add(&mut self, site: Option<Site>, fault: impl FnOnce() -> Fault) {
        let at = self.kept.partition_point(|(other, _)| *other <= site);
        if at < SHOWN {
            self.kept.insert(at, (site, fault()));
        }
        if at >= SHOWN || self.kept.len() > SHOWN {
            self.kept.truncate(SHOWN);
            self.more += 1;
        }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.kept.is_empty()
    }

    /// Whether there are so many that the reader, which asks before each row, leaves the rest unread.
    pub(super) fn gives_up(&mut self) -> bool {
        self.rest_unread = self.kept.len() + self.more >= ENOUGH;
        self.rest_unread
    }

    /// The faults collected, of which there must be one.
    pub(super) fn faults(self, file: &str) -> Faults {
        Faults {
            file: visible_name(file),
            faults: self.kept.into_iter().map(|(_, fault)| fault).collect(),
            more: self.more,
            rest_unread: self.rest_unread,
        }
    }
}

fn whole(problem: Problem) -> Fault {
    Fault {
        line: None,
        cell: None,
        place: None,
        found: None,
        wrong: problem.wrong,
        fix: problem.fix,
        shown: None,
    }
}

/// A cell's text as a message quotes it: shortened, control and invisible characters written as escapes.
pub(super) fn visible(text: &str) -> String {
    let mut shown = String::new();
    let mut signs = text.chars();
    for sign in signs.by_ref().take(QUOTED) {
        push_visible(&mut shown, sign);
    }
    if signs.next().is_some() {
        shown.push('…');
    }
    shown
}

/// A number as it is written, with the unit that holds for it unless it seems to name one itself.
pub(super) fn with_unit(number: &str, unit: &str) -> String {
    let bare = number.ends_with(char::is_numeric);
    if bare && !unit.is_empty() {
        format!("{} {unit}", visible(number))
    } else {
        visible(number)
    }
}

fn visible_name(file: &str) -> String {
    let mut shown = String::new();
    file.chars().for_each(|sign| push_visible(&mut shown, sign));
    shown
}

fn push_visible(shown: &mut String, sign: char) {
    match sign {
        '\'' | '"' | '\\' => shown.push(sign),
        _ => shown.extend(sign.escape_debug()),
    }
}
