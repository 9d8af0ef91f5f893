//! A book as a table for spreadsheets, and back. Numbers are written so that they read back the same.

use super::entry::{Actual, Content, Entry, Made, Prediction};
use super::model::Labels;
use crate::flatten::{Interval, Shortfall};
use crate::length::Unit;
use crate::readings::{Fault, Faults, Sheet};

/// The columns, in order. Lengths are millimetres.
const COLUMNS: [&str; 28] = [
    "entry",
    "kind",
    "at",
    "version",
    "settings",
    "undone",
    "board",
    "piece",
    "survey",
    "unit",
    "plain_expected_mm",
    "plain_low_mm",
    "plain_high_mm",
    "expected_mm",
    "low_mm",
    "high_mm",
    "loss_mean_mm",
    "loss_sd_mm",
    "learnt_from",
    "rough_mm",
    "machine",
    "species",
    "way",
    "prediction",
    "thicknesses_mm",
    "thinnest_mm",
    "rounding_mm",
    "sure",
];

/// How many faults of a file are told one by one.
const SHOWN: usize = 20;

/// The entries as a table, a row each; `thinnest_mm` is for the reader and not read back.
#[must_use]
pub fn write_table(entries: &[Entry]) -> String {
    let mut text = COLUMNS.join(",") + "\n";
    for entry in entries {
        let optional = |text: &Option<String>| text.clone().unwrap_or_default();
        let mut cells = vec![
            entry.number.to_string(),
            String::new(),
            entry.made.at.clone(),
            entry.made.version.clone(),
            entry.made.settings.clone(),
            optional(&entry.undone),
        ];
        match &entry.content {
            Content::Prediction(p) => {
                cells[1] = "prediction".to_owned();
                cells.extend([
                    p.board.clone(),
                    optional(&p.piece),
                    optional(&p.survey),
                    p.unit.symbol().to_owned(),
                ]);
                for interval in [&p.plain, &p.stated] {
                    cells.extend(
                        [interval.expected, interval.low, interval.high].map(|v| v.to_string()),
                    );
                }
                cells.extend([p.shortfall.mean, p.shortfall.sd].map(|v| v.to_string()));
                cells.push(p.learnt_from.to_string());
                cells.push(p.rough.map_or_else(String::new, |v| v.to_string()));
                cells.extend(p.labels.iter().map(optional));
            }
            Content::Actual(a) => {
                cells[1] = "actual".to_owned();
                cells.resize(23, String::new());
                let each: Vec<String> = a.thicknesses.iter().map(f64::to_string).collect();
                cells.extend([
                    a.prediction.to_string(),
                    each.join(" "),
                    a.thinnest().to_string(),
                    a.rounding.to_string(),
                    (if a.sure { "yes" } else { "no" }).to_owned(),
                ]);
            }
        }
        cells.resize(COLUMNS.len(), String::new());
        let quoted: Vec<String> = cells.iter().map(|cell| quoted(cell)).collect();
        text.push_str(&quoted.join(","));
        text.push('\n');
    }
    text
}

fn quoted(cell: &str) -> String {
    if cell.contains([',', ';', '"', '\n', '\r', '\t']) {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell.to_owned()
    }
}

/// The entries of a table; `file` is its name in messages.
///
/// # Errors
///
/// Every cell and row that is at fault.
pub fn read_table(sheet: &Sheet, file: &str) -> Result<Vec<Entry>, Faults> {
    let mut reader = Reader {
        sheet,
        faults: Vec::new(),
    };
    let missing: Vec<&str> = COLUMNS
        .into_iter()
        .filter(|name| *name != "thinnest_mm" && reader.column(name).is_none())
        .collect();
    let mut entries: Vec<Entry> = Vec::new();
    if missing.is_empty() {
        for (line, cells) in &sheet.rows {
            let row = Cells { line: *line, cells };
            let before = reader.faults.len();
            let entry = reader.entry(&row);
            if let Some(entry) = entry.filter(|_| reader.faults.len() == before) {
                reader.check(&row, &entry, &entries);
                entries.push(entry);
            }
        }
    } else {
        let wrong = format!("the first row does not name {}", missing.join(", "));
        let fix = "write out a book with outwind book --out and keep its first row";
        reader.faults.push(fault(None, None, None, wrong, fix));
    }
    if reader.faults.is_empty() {
        return Ok(entries);
    }
    let more = reader.faults.len().saturating_sub(SHOWN);
    reader.faults.truncate(SHOWN);
    Err(Faults {
        file: file.to_owned(),
        faults: reader.faults,
        more,
        rest_unread: false,
    })
}

struct Reader<'s> {
    sheet: &'s Sheet,
    faults: Vec<Fault>,
}

struct Cells<'s> {
    line: u64,
    cells: &'s [String],
}

impl Reader<'_> {
    fn column(&self, name: &str) -> Option<usize> {
        self.sheet
            .columns
            .iter()
            .position(|c| c.eq_ignore_ascii_case(name))
    }

    fn text<'r>(&self, row: &Cells<'r>, name: &str) -> &'r str {
        self.column(name)
            .and_then(|at| row.cells.get(at))
            .map_or("", String::as_str)
    }

    fn optional(&self, row: &Cells<'_>, name: &str) -> Option<String> {
        Some(self.text(row, name).to_owned()).filter(|text| !text.is_empty())
    }

    fn wrong(&mut self, row: &Cells<'_>, name: &str, wrong: impl Into<String>, fix: &str) {
        let found = self.optional(row, name);
        self.faults
            .push(fault(Some(row.line), Some(name), found, wrong.into(), fix));
    }

    fn required(&mut self, row: &Cells<'_>, name: &str) -> String {
        let text = self.text(row, name).to_owned();
        if text.is_empty() {
            self.wrong(
                row,
                name,
                "the cell is empty",
                "fill it as the book wrote it out",
            );
        }
        text
    }

    fn numbers(&mut self, row: &Cells<'_>, name: &str) -> Vec<f64> {
        let mut text = self.required(row, name);
        if self.sheet.decimal_comma {
            text = text.replace(',', ".");
        }
        let read = |word: &str| word.parse::<f64>().ok().filter(|number| number.is_finite());
        let numbers: Option<Vec<f64>> = text.split_whitespace().map(read).collect();
        if numbers.is_none() {
            self.wrong(
                row,
                name,
                "this is no number of millimetres",
                "write it as 23.8",
            );
        }
        numbers.unwrap_or_default()
    }

    fn number(&mut self, row: &Cells<'_>, name: &str) -> f64 {
        match self.numbers(row, name)[..] {
            [] => 0.0,
            [number] => number,
            _ => {
                self.wrong(row, name, "these are several numbers", "write one");
                0.0
            }
        }
    }

    fn count(&mut self, row: &Cells<'_>, name: &str, least: i64) -> i64 {
        let text = self.required(row, name);
        let count = text.parse::<i64>().ok().filter(|count| *count >= least);
        if count.is_none() && !text.is_empty() {
            let fix = format!("write a whole number, {least} or more");
            self.wrong(row, name, "this is no such number", &fix);
        }
        count.unwrap_or(least)
    }

    fn interval(&mut self, row: &Cells<'_>, names: [&str; 3]) -> Interval {
        let [expected, low, high] = names.map(|name| self.number(row, name));
        if !(low <= expected && expected <= high) {
            let fix = "low is the least of the three, high the most";
            self.wrong(row, names[0], "it lies outside its own interval", fix);
        }
        Interval {
            expected,
            low,
            high,
        }
    }

    fn entry(&mut self, row: &Cells<'_>) -> Option<Entry> {
        let number = self.count(row, "entry", 1);
        let made = Made {
            at: self.required(row, "at"),
            version: self.required(row, "version"),
            settings: self.text(row, "settings").to_owned(),
        };
        let content = match self.text(row, "kind") {
            "prediction" => Content::Prediction(self.prediction(row)),
            "actual" => Content::Actual(self.actual(row)),
            _ => {
                self.wrong(
                    row,
                    "kind",
                    "this is no kind of entry",
                    "write prediction or actual",
                );
                return None;
            }
        };
        Some(Entry {
            number,
            made,
            undone: self.optional(row, "undone"),
            content,
        })
    }

    fn prediction(&mut self, row: &Cells<'_>) -> Prediction {
        let unit = Unit::named(self.text(row, "unit"));
        if unit.is_none() {
            self.wrong(row, "unit", "this is no unit", "write in, ft, mm, cm or m");
        }
        let rough = self
            .optional(row, "rough_mm")
            .map(|_| self.number(row, "rough_mm"));
        let labels: Labels = ["machine", "species", "way"].map(|name| self.optional(row, name));
        Prediction {
            board: self.required(row, "board"),
            piece: self.optional(row, "piece"),
            survey: self.optional(row, "survey"),
            unit: unit.unwrap_or(Unit::Millimetre),
            plain: self.interval(row, ["plain_expected_mm", "plain_low_mm", "plain_high_mm"]),
            stated: self.interval(row, ["expected_mm", "low_mm", "high_mm"]),
            shortfall: Shortfall {
                mean: self.number(row, "loss_mean_mm"),
                sd: self.number(row, "loss_sd_mm"),
            },
            learnt_from: usize::try_from(self.count(row, "learnt_from", 0)).unwrap_or(0),
            rough,
            labels,
        }
    }

    fn actual(&mut self, row: &Cells<'_>) -> Actual {
        let thicknesses = self.numbers(row, "thicknesses_mm");
        if thicknesses.iter().any(|mm| *mm <= 0.0) {
            self.wrong(
                row,
                "thicknesses_mm",
                "a thickness is not more than nothing",
                "correct it",
            );
        }
        let sure = self.text(row, "sure");
        if !["yes", "no"].contains(&sure) {
            self.wrong(row, "sure", "this is neither yes nor no", "write yes or no");
        }
        Actual {
            prediction: self.count(row, "prediction", 1),
            thicknesses,
            rounding: self.number(row, "rounding_mm"),
            sure: sure == "yes",
        }
    }

    /// What an entry must be among those before it.
    fn check(&mut self, row: &Cells<'_>, entry: &Entry, before: &[Entry]) {
        if before
            .last()
            .is_some_and(|last| last.number >= entry.number)
        {
            let fix = "keep the rows in the order of their entries, each number once";
            self.wrong(
                row,
                "entry",
                "the number does not come after the one before",
                fix,
            );
        }
        let Content::Actual(actual) = &entry.content else {
            return;
        };
        let own = before.iter().find(|e| e.number == actual.prediction);
        if !own.is_some_and(|e| matches!(e.content, Content::Prediction(_))) {
            let fix = "give the entry number of a prediction in a row above";
            self.wrong(
                row,
                "prediction",
                "no row above predicts what this one measured",
                fix,
            );
        }
        let twice = |e: &Entry| {
            e.actual()
                .is_some_and(|other| other.prediction == actual.prediction)
        };
        if entry.undone.is_none() && before.iter().any(twice) {
            let fix = "keep one of the two, or mark one as undone";
            self.wrong(
                row,
                "prediction",
                "its actual is in a row above already",
                fix,
            );
        }
    }
}

fn fault(
    line: Option<u64>,
    column: Option<&str>,
    found: Option<String>,
    wrong: String,
    fix: &str,
) -> Fault {
    Fault {
        line,
        cell: None,
        place: column.map(|name| format!("column {name}")),
        found,
        wrong,
        fix: fix.to_owned(),
        shown: None,
    }
}
