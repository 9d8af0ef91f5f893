//! The book as an SQLite file. Nothing is deleted from it: what is undone is marked so.

use std::path::Path;
use std::time::Duration;

use rusqlite::{Connection, OpenFlags, Row, Transaction, TransactionBehavior, params};

use super::entry::{Actual, Content, Entry, Made, Prediction};
use super::error::BookError;
use super::file::{Found, log_left, look};
use super::schema::{MIGRATIONS, form, migrate};
use crate::flatten::{Interval, Shortfall};
use crate::length::Unit;

/// How long to wait for another program that is writing.
const PATIENCE: Duration = Duration::from_secs(20);

/// A shop's book, open.
#[derive(Debug)]
pub struct Book {
    connection: Connection,
}

impl Book {
    /// Opens a book to write to, or begins one.
    ///
    /// # Errors
    ///
    /// Why that cannot be; the file is then as it was.
    pub fn open_or_begin(path: &Path) -> Result<Self, BookError> {
        Self::to_write(path, true)
    }

    /// Opens a book to write to.
    ///
    /// # Errors
    ///
    /// As [`Book::open_or_begin`], and where there is none.
    pub fn open(path: &Path) -> Result<Self, BookError> {
        Self::to_write(path, false)
    }

    /// Opens a book to read; it may be write-protected.
    ///
    /// # Errors
    ///
    /// As [`Book::open`].
    pub fn open_to_read(path: &Path) -> Result<Self, BookError> {
        match look(path)? {
            Found::Nothing => Err(nothing(path)),
            // A full disk has no room for the log's index, which reading does without where the log is empty.
            Found::Writable => Self::to_write(path, false).or_else(|error| match error {
                BookError::Full | BookError::Disk(_) | BookError::ReadOnly if !log_left(path) => {
                    Self::protected(path)
                }
                _ => Err(error),
            }),
            Found::ReadOnly => Self::protected(path),
        }
    }

    fn to_write(path: &Path, begin: bool) -> Result<Self, BookError> {
        match look(path)? {
            Found::Nothing if !begin => return Err(nothing(path)),
            Found::ReadOnly => return Err(BookError::ReadOnly),
            Found::Nothing | Found::Writable => {}
        }
        let mut flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        flags.set(OpenFlags::SQLITE_OPEN_CREATE, begin);
        let mut connection = Connection::open_with_flags(path, flags)?;
        connection.busy_timeout(PATIENCE)?;
        connection.pragma_update(None, "foreign_keys", true)?;
        connection.pragma_update(None, "synchronous", "FULL")?;
        form(&connection, MIGRATIONS.len())?;
        check(&connection)?;
        migrate(&mut connection, &MIGRATIONS)?;
        // After the tables are there: a file that says it is a book always holds one.
        connection.pragma_update(None, "journal_mode", "WAL")?;
        Ok(Self { connection })
    }

    /// A file that may not be written: as it stands, without a log beside it.
    fn protected(path: &Path) -> Result<Self, BookError> {
        let name = path.to_string_lossy();
        let escaped = name
            .replace('%', "%25")
            .replace('?', "%3f")
            .replace('#', "%23");
        let address = format!("file:{escaped}?immutable=1");
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_URI;
        let connection = Connection::open_with_flags(address, flags)?;
        if form(&connection, MIGRATIONS.len())? < MIGRATIONS.len() {
            // An earlier form would have to be brought up first.
            return Err(BookError::ReadOnly);
        }
        check(&connection)?;
        Ok(Self { connection })
    }

    /// Everything in the book, in the order in which it was entered.
    ///
    /// # Errors
    ///
    /// Where it cannot be read.
    pub fn entries(&self) -> Result<Vec<Entry>, BookError> {
        entries(&self.connection)
    }

    /// Notes what `decide` makes of the entries so far, all of it or nothing; nobody else writes in between. The numbers of
    /// the new entries.
    ///
    /// # Errors
    ///
    /// Where the book cannot be written; inside, what `decide` refuses with.
    pub fn note<E>(
        &mut self,
        made: &Made,
        decide: impl FnOnce(&[Entry]) -> Result<Vec<Content>, E>,
    ) -> Result<Result<Vec<i64>, E>, BookError> {
        let work = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        let contents = match decide(&entries(&work)?) {
            Ok(contents) => contents,
            Err(refusal) => return Ok(Err(refusal)),
        };
        let batch = next_batch(&work)?;
        let mut numbers = Vec::new();
        for content in &contents {
            numbers.push(insert(&work, batch, made, None, content)?);
        }
        work.commit()?;
        Ok(Ok(numbers))
    }

    /// Takes in entries of another book: those that this one holds already are left out, references follow. How many were
    /// taken in, all of them or none.
    ///
    /// # Errors
    ///
    /// Where the book cannot be written.
    pub fn take_in(&mut self, others: &[Entry]) -> Result<usize, BookError> {
        let work = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        let mut own = entries(&work)?;
        let batch = next_batch(&work)?;
        let mut numbers = Vec::new();
        let mut taken = 0;
        for other in others {
            let mut content = other.content.clone();
            if let Content::Actual(actual) = &mut content {
                let renumbered = numbers.iter().find(|(old, _)| *old == actual.prediction);
                let Some((_, number)) = renumbered else {
                    let what = format!("entry {} has no prediction", other.number);
                    return Err(BookError::Other(what));
                };
                actual.prediction = *number;
            }
            let same = |e: &Entry| {
                e.made == other.made && e.undone == other.undone && e.content == content
            };
            let number = match own.iter().position(same) {
                // Each stands for one: of two alike, both are kept.
                Some(at) => own.swap_remove(at).number,
                None => {
                    taken += 1;
                    insert(&work, batch, &other.made, other.undone.as_deref(), &content)?
                }
            };
            numbers.push((other.number, number));
        }
        work.commit()?;
        Ok(taken)
    }

    /// Undoes what the last command noted: the entries stay, marked, and count no more. Those entries; none where there is
    /// nothing left to undo.
    ///
    /// # Errors
    ///
    /// Where the book cannot be written.
    pub fn undo(&mut self, at: &str) -> Result<Vec<Entry>, BookError> {
        let work = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        let last: Option<i64> = work.query_row(
            "SELECT max(batch) FROM entry WHERE undone IS NULL",
            [],
            |row| row.get(0),
        )?;
        let numbers: Vec<i64> = work
            .prepare("SELECT number FROM entry WHERE batch = ? AND undone IS NULL")?
            .query_map([last], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        work.execute(
            "UPDATE entry SET undone = ?1 WHERE batch = ?2 AND undone IS NULL",
            params![at, last],
        )?;
        let mut undone = entries(&work)?;
        undone.retain(|entry| numbers.contains(&entry.number));
        work.commit()?;
        Ok(undone)
    }
}

fn nothing(path: &Path) -> BookError {
    if path.exists() {
        BookError::Empty
    } else {
        BookError::Missing
    }
}

/// Whether the database is whole; books are small.
fn check(connection: &Connection) -> Result<(), BookError> {
    let told: String = connection.query_row("PRAGMA quick_check(1)", [], |row| row.get(0))?;
    if told == "ok" {
        Ok(())
    } else {
        Err(BookError::Damaged(told.replace('\n', " ")))
    }
}

fn next_batch(work: &Transaction<'_>) -> Result<i64, BookError> {
    let sql = "SELECT coalesce(max(batch), 0) + 1 FROM entry";
    Ok(work.query_row(sql, [], |row| row.get(0))?)
}

fn insert(
    work: &Transaction<'_>,
    batch: i64,
    made: &Made,
    undone: Option<&str>,
    content: &Content,
) -> Result<i64, BookError> {
    work.prepare_cached(
        "INSERT INTO entry (batch, at, version, settings, undone) VALUES (?, ?, ?, ?, ?)",
    )?
    .execute(params![batch, made.at, made.version, made.settings, undone])?;
    let number = work.last_insert_rowid();
    match content {
        Content::Prediction(p) => {
            let [machine, species, way] = &p.labels;
            work.prepare_cached(
                "INSERT INTO prediction VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            )?
            .execute(params![
                number,
                p.board,
                p.piece,
                p.survey,
                p.unit.symbol(),
                p.plain.expected,
                p.plain.low,
                p.plain.high,
                p.stated.expected,
                p.stated.low,
                p.stated.high,
                p.shortfall.mean,
                p.shortfall.sd,
                p.learnt_from as i64,
                p.rough,
                machine,
                species,
                way,
            ])?;
        }
        Content::Actual(a) => {
            work.prepare_cached("INSERT INTO actual VALUES (?, ?, ?, ?)")?
                .execute(params![number, a.prediction, a.rounding, a.sure])?;
            let mut each = work.prepare_cached("INSERT INTO thickness VALUES (?, ?, ?)")?;
            for (place, mm) in a.thicknesses.iter().enumerate() {
                each.execute(params![number, place as i64, mm])?;
            }
        }
    }
    Ok(number)
}

fn entries(connection: &Connection) -> Result<Vec<Entry>, BookError> {
    let mut thicknesses =
        connection.prepare_cached("SELECT mm FROM thickness WHERE actual = ? ORDER BY place")?;
    let mut all = connection.prepare_cached(
        "SELECT e.number, e.at, e.version, e.settings, e.undone, p.number, board, piece, survey, unit, plain_expected, \
         plain_low, plain_high, expected, low, high, loss_mean, loss_sd, learnt_from, rough, machine, species, way, \
         a.prediction, rounding, sure \
         FROM entry e LEFT JOIN prediction p ON p.number = e.number LEFT JOIN actual a ON a.number = e.number \
         ORDER BY e.number",
    )?;
    let mut rows = all.query([])?;
    let mut entries = Vec::new();
    while let Some(row) = rows.next()? {
        let number: i64 = row.get(0)?;
        let content = match row.get::<_, Option<i64>>(5)? {
            Some(_) => Content::Prediction(prediction(row)?),
            None => Content::Actual(Actual {
                prediction: row.get(23)?,
                thicknesses: thicknesses
                    .query_map([number], |row| row.get(0))?
                    .collect::<Result<_, _>>()?,
                rounding: row.get(24)?,
                sure: row.get(25)?,
            }),
        };
        entries.push(Entry {
            number,
            made: Made {
                at: row.get(1)?,
                version: row.get(2)?,
                settings: row.get(3)?,
            },
            undone: row.get(4)?,
            content,
        });
    }
    Ok(entries)
}

fn prediction(row: &Row<'_>) -> Result<Prediction, BookError> {
    let unit: String = row.get(9)?;
    let interval = |at: usize| -> Result<Interval, rusqlite::Error> {
        Ok(Interval {
            expected: row.get(at)?,
            low: row.get(at + 1)?,
            high: row.get(at + 2)?,
        })
    };
    Ok(Prediction {
        board: row.get(6)?,
        piece: row.get(7)?,
        survey: row.get(8)?,
        unit: Unit::named(&unit)
            .ok_or_else(|| BookError::Damaged(format!("\"{unit}\" is no unit")))?,
        plain: interval(10)?,
        stated: interval(13)?,
        shortfall: Shortfall {
            mean: row.get(16)?,
            sd: row.get(17)?,
        },
        learnt_from: usize::try_from(row.get::<_, i64>(18)?).unwrap_or(0),
        rough: row.get(19)?,
        labels: [row.get(20)?, row.get(21)?, row.get(22)?],
    })
}
