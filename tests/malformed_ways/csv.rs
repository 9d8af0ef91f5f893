//! Ways of tables: grids, probes, calipers, parts.

use super::super::May::{self, InPart, Refused, TheSame};
use super::super::common::random::Random;
use super::{Make, NO_NUMBERS, NO_UNITS, Way, one_of};

pub(crate) const CSV: [Way; 24] = [
    way("a cell that is no number", Refused, |table, random| {
        let (row, column) = table.number(random)?;
        table.rows[row][column] = one_of(&NO_NUMBERS, random).to_owned();
        Some(())
    }),
    way("a failed formula", Refused, |table, random| {
        let (row, column) = table.number(random)?;
        let shown = ["#REF!", "#DIV/0!", "#N/A", "#####", "16-Mar", "3. Jan"];
        table.rows[row][column] = one_of(&shown, random).to_owned();
        Some(())
    }),
    way("a digit typed as a letter", Refused, |table, random| {
        let (row, column) = table.number(random)?;
        let cell = &mut table.rows[row][column];
        *cell = cell.replacen(['0', '1'], "O", 1);
        cell.contains('O').then_some(())
    }),
    way("a row twice", TheSame, |table, random| {
        // Of a grid and of parts: a place may be probed twice.
        if table.is_scattered() {
            return None;
        }
        let row = table.body(random);
        let again = table.rows[row].clone();
        table.rows.insert(row, again);
        Some(())
    }),
    way("a column named twice", Refused, |table, random| {
        let from = random.count(1, table.rows[0].len() - 1);
        if from == 1 && table.is_grid() {
            return None;
        }
        table.rows[0][1] = table.rows[0][from].clone();
        (from > 1
            && !table.rows[0][from].trim().is_empty()
            && table.counts(from)
            && table.counts(1))
        .then_some(())
    }),
    way("a cell too many", Refused, |table, random| {
        if !table.is_grid() {
            return None;
        }
        let row = table.body(random);
        table.rows[row].push("7".to_owned());
        Some(())
    }),
    way("a cell dropped", InPart, |table, random| {
        // Others are in its place: what they are is told by the name of their column.
        if !table.is_grid() {
            return None;
        }
        let row = table.body(random);
        let column = random.count(1, table.rows[row].len() - 1);
        // One that is blank already is a reading not taken, here or further on.
        let cell = table.rows[row].remove(column);
        (!cell.is_empty()).then_some(())
    }),
    way("a cell blanked", InPart, |table, random| {
        let (row, column) = table.number(random)?;
        table.rows[row][column].clear();
        Some(())
    }),
    way("a row cut off", InPart, |table, random| {
        if !table.is_grid() {
            return None;
        }
        let row = table.body(random);
        table.rows[row].truncate(2);
        Some(())
    }),
    way("rows lost at the end", InPart, |table, random| {
        let keep = random.count(1, table.rows.len() - 1);
        table.rows.truncate(keep);
        Some(())
    }),
    way("another delimiter in one row", Refused, |table, random| {
        let row = table.body(random);
        let other = if table.delimiter == ";" { "," } else { ";" };
        table.rows[row] = vec![table.rows[row].join(other)];
        Some(())
    }),
    way("another delimiter throughout", TheSame, |table, random| {
        // A comma would part decimal commas.
        table.delimiter = one_of(&["\t", ";"], random);
        table.before.retain(|line| !line.starts_with("sep="));
        Some(())
    }),
    way("a decimal comma among commas", Refused, |table, random| {
        if table.delimiter != "," || !table.is_grid() {
            return None;
        }
        let row = table.body(random);
        let last = table.rows[row].len() - 1;
        table.rows[row][last] = "0,5".to_owned();
        Some(())
    }),
    way("no header", Refused, |table, _| {
        table.rows.remove(0);
        Some(())
    }),
    way("the header below", Refused, |table, random| {
        if table.is_grid() {
            return None;
        }
        let header = table.rows.remove(0);
        table
            .rows
            .insert(random.count(1, table.rows.len() - 1), header);
        Some(())
    }),
    way(
        "the header again, as of two files in one",
        Refused,
        |table, random| {
            if table.is_grid() {
                return None;
            }
            let header = table.rows[0].clone();
            table.rows.insert(random.count(2, table.rows.len()), header);
            Some(())
        },
    ),
    way("a unit that is none", Refused, |table, random| {
        // In the corner of a grid any text may stand; the board file's own unit holds then.
        if table.inside && table.is_grid() {
            return None;
        }
        let unit = one_of(&NO_UNITS, random);
        let header = &mut table.rows[0];
        let changed = header.iter_mut().find(|name| {
            ["in", "mm", "cm"].contains(&name.trim())
                || name.ends_with("_in")
                || name.ends_with("_mm")
        })?;
        *changed = match changed.rsplit_once('_') {
            Some((name, _)) => format!("{name}_{unit}"),
            None => unit.to_owned(),
        };
        Some(())
    }),
    way("no unit", Refused, |table, _| {
        for name in &mut table.rows[0] {
            *name = match name.trim() {
                "in" | "mm" | "cm" => String::new(),
                text => text
                    .trim_end_matches("_in")
                    .trim_end_matches("_mm")
                    .to_owned(),
            };
        }
        let all: String = table.rows.concat().concat();
        (!table.inside && !all.contains("mm") && !all.contains("in")).then_some(())
    }),
    way("nothing or less", Refused, |table, random| {
        // Of a thickness; a height may be either.
        let column = table.rows[0]
            .iter()
            .rposition(|name| name.trim().starts_with("thickness"))?;
        let row = table.body(random);
        table.rows[row][column] = one_of(&["0", "-3", "-1/8"], random).to_owned();
        Some(())
    }),
    way("no count", Refused, |table, random| {
        let column = table.rows[0]
            .iter()
            .position(|name| name.trim() == "count")?;
        let row = table.body(random);
        let none = [
            "0",
            "-1",
            "2.5",
            "many",
            "1e9",
            "99999999999999999999",
            "2 or 3",
        ];
        table.rows[row][column] = one_of(&none, random).to_owned();
        Some(())
    }),
    way(
        "a stray quote at the start of a cell",
        Refused,
        |table, random| {
            let (row, column) = table.number(random)?;
            table.rows[row][column].insert(0, '"');
            Some(())
        },
    ),
    way(
        "every cell in quotes, or with space around it",
        TheSame,
        |table, random| {
            let quotes = random.count(0, 1) == 0;
            for cell in table.rows.iter_mut().flatten() {
                *cell = if quotes {
                    format!("\"{}\"", cell.trim())
                } else {
                    format!(" {cell}  ")
                };
            }
            Some(())
        },
    ),
    way(
        "blank cells at the end of every row",
        TheSame,
        |table, random| {
            let more = random.count(1, 3);
            for row in &mut table.rows {
                row.extend(std::iter::repeat_n(String::new(), more));
            }
            Some(())
        },
    ),
    way(
        "comments and blank rows between",
        TheSame,
        |table, random| {
            for _ in 0..3 {
                let row = table.body(random);
                let text = one_of(&["# again: 3\" rule", "", " "], random);
                table.rows.insert(row, vec![text.to_owned()]);
            }
            Some(())
        },
    ),
];

const fn way(
    name: &'static str,
    may: May,
    change: fn(&mut Table, &mut Random) -> Option<()>,
) -> Way {
    let make = Make::Table(change);
    Way { name, may, make }
}

/// A table in text, with what stands before its first row.
pub(crate) struct Table {
    before: Vec<String>,
    rows: Vec<Vec<String>>,
    delimiter: &'static str,
    /// It stands in a board file, which says what it does not.
    inside: bool,
}

impl Table {
    pub(crate) fn of(text: &str, inside: bool) -> Self {
        let is_before =
            |line: &&str| line.is_empty() || line.starts_with('#') || line.starts_with("sep=");
        let before: Vec<String> = text
            .lines()
            .take_while(is_before)
            .map(str::to_owned)
            .collect();
        let lines: Vec<&str> = text.lines().skip(before.len()).collect();
        let cells = |delimiter: &&str| lines[0].matches(delimiter).count();
        let delimiter = ["\t", ";", ","].into_iter().max_by_key(cells).unwrap();
        let row = |line: &&str| match line.starts_with('#') {
            true => vec![(*line).to_owned()],
            false => line
                .split(delimiter)
                .map(|cell| cell.trim().to_owned())
                .collect(),
        };
        Self {
            rows: lines.iter().map(row).collect(),
            before,
            delimiter,
            inside,
        }
    }

    pub(crate) fn text(&self) -> String {
        let rows = self.rows.iter().map(|row| row.join(self.delimiter));
        let lines: Vec<String> = self.before.iter().cloned().chain(rows).collect();
        lines.join("\n") + "\n"
    }

    /// The columns x, y and others have names, so any place may stand twice.
    fn is_scattered(&self) -> bool {
        self.names_some(&["x", "y"])
    }

    fn is_grid(&self) -> bool {
        !self.is_scattered() && !self.names_some(&["part"])
    }

    fn names_some(&self, names: &[&str]) -> bool {
        let named = |cell: &String| names.contains(&first_word(cell).as_str());
        self.rows[0].iter().any(named)
    }

    /// Whether what stands in a column counts.
    fn counts(&self, column: usize) -> bool {
        const COUNT: [&str; 7] = ["x", "y", "z", "thickness", "count", "length", "width"];
        let name = self.rows[0].get(column).map(|cell| first_word(cell));
        self.is_grid() || name.is_some_and(|name| COUNT.contains(&name.as_str()))
    }

    /// A row below the first that holds something.
    fn body(&self, random: &mut Random) -> usize {
        loop {
            let row = random.count(1, self.rows.len() - 1);
            let first = &self.rows[row][0];
            if self.rows[row].len() > 1 && !first.starts_with('#') {
                return row;
            }
        }
    }

    /// A cell below the first row that holds a number which counts.
    fn number(&self, random: &mut Random) -> Option<(usize, usize)> {
        (0..100).find_map(|_| {
            let row = self.body(random);
            let column = random.count(0, self.rows[row].len() - 1);
            // A row without its reading is passed over, whatever else it holds.
            let blank = |column: usize| self.rows[row][column].is_empty();
            if !self.is_grid() && (0..self.rows[row].len()).any(|c| self.counts(c) && blank(c)) {
                return None;
            }
            let digit = self.rows[row][column].contains(|sign: char| sign.is_ascii_digit());
            (digit && self.counts(column)).then_some((row, column))
        })
    }
}

/// The word that a header's cell begins with, in lower case.
fn first_word(cell: &str) -> String {
    let word = cell.split(|sign: char| !sign.is_alphanumeric()).next();
    word.unwrap_or_default().to_lowercase()
}
