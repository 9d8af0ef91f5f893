//! The tables of a book, and how earlier forms become the present one.

use rusqlite::{Connection, TransactionBehavior};

use super::error::BookError;

/// Marks a database as a book: "outw".
pub(super) const APPLICATION: i64 = 0x6f75_7477;

/// Each turns the form before it into the next; the first, an empty file into form 1.
pub(super) const MIGRATIONS: [&str; 1] = ["CREATE TABLE entry (
        number INTEGER PRIMARY KEY AUTOINCREMENT,
        batch INTEGER NOT NULL,
        at TEXT NOT NULL,
        version TEXT NOT NULL,
        settings TEXT NOT NULL,
        undone TEXT
    ) STRICT;
    CREATE TABLE prediction (
        number INTEGER PRIMARY KEY REFERENCES entry,
        board TEXT NOT NULL,
        piece TEXT,
        survey TEXT,
        unit TEXT NOT NULL,
        plain_expected REAL NOT NULL,
        plain_low REAL NOT NULL,
        plain_high REAL NOT NULL,
        expected REAL NOT NULL,
        low REAL NOT NULL,
        high REAL NOT NULL,
        loss_mean REAL NOT NULL,
        loss_sd REAL NOT NULL,
        learnt_from INTEGER NOT NULL,
        rough REAL,
        machine TEXT,
        species TEXT,
        way TEXT
    ) STRICT;
    CREATE TABLE actual (
        number INTEGER PRIMARY KEY REFERENCES entry,
        prediction INTEGER NOT NULL REFERENCES prediction,
        rounding REAL NOT NULL,
        sure INTEGER NOT NULL
    ) STRICT;
    CREATE TABLE thickness (
        actual INTEGER NOT NULL REFERENCES actual,
        place INTEGER NOT NULL,
        mm REAL NOT NULL,
        PRIMARY KEY (actual, place)
    ) STRICT, WITHOUT ROWID;"];

/// The form of a book, 0 where nothing is in it.
pub(super) fn form(connection: &Connection, known: usize) -> Result<usize, BookError> {
    let number =
        |pragma: &str| connection.pragma_query_value(None, pragma, |row| row.get::<_, i64>(0));
    let (application, form) = (number("application_id")?, number("user_version")?);
    let tables: i64 =
        connection.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    if application != APPLICATION && (application != 0 || form != 0 || tables != 0) {
        return Err(BookError::OtherProgram);
    }
    match usize::try_from(form) {
        Ok(form) if form <= known => Ok(form),
        _ => Err(BookError::Newer {
            found: form,
            known: known as i64,
        }),
    }
}

/// Brings a book to the last form, all or nothing.
pub(super) fn migrate(connection: &mut Connection, migrations: &[&str]) -> Result<(), BookError> {
    if form(connection, migrations.len())? == migrations.len() {
        return Ok(());
    }
    let work = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    // Another program may have been first.
    for migration in &migrations[form(&work, migrations.len())?..] {
        work.execute_batch(migration)?;
    }
    work.pragma_update(None, "application_id", APPLICATION)?;
    work.pragma_update(None, "user_version", migrations.len() as i64)?;
    work.commit()?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_earlier_form_becomes_the_next_and_keeps_what_it_held() {
        let mut book = Connection::open_in_memory().unwrap();
        migrate(&mut book, &MIGRATIONS).unwrap();
        let entry = "INSERT INTO entry (batch, at, version, settings) VALUES (1, 'now', '0', 'x')";
        book.execute(entry, []).unwrap();
        let later = [
            MIGRATIONS[0],
            "ALTER TABLE entry ADD COLUMN by TEXT NOT NULL DEFAULT 'someone'",
        ];
        migrate(&mut book, &later).unwrap();
        let by: String = book
            .query_row("SELECT by FROM entry", [], |row| row.get(0))
            .unwrap();
        assert_eq!((by.as_str(), form(&book, 2)), ("someone", Ok(2)));
        let newer = BookError::Newer { found: 2, known: 1 };
        assert_eq!(form(&book, 1), Err(newer));
    }

    #[test]
    fn a_migration_that_fails_changes_nothing() {
        let mut book = Connection::open_in_memory().unwrap();
        migrate(&mut book, &MIGRATIONS).unwrap();
        let later = [
            MIGRATIONS[0],
            "CREATE TABLE more (x INTEGER); SELECT nonsense",
        ];
        assert!(migrate(&mut book, &later).is_err());
        assert_eq!(form(&book, 1), Ok(1));
        assert!(book.prepare("SELECT * FROM more").is_err());
    }
}
