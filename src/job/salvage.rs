//! Saving what can be read of a damaged job file, row by row, into a new one.
//!
//! The damaged file is only read, from a copy, and stays beside the new one. Rows are read from the
//! front and from the back of each table until the damage, and between the two each by its number,
//! so that one torn page costs the rows on it and no others. Where the first page itself is torn,
//! on which the file says what tables it has, that of a new, empty job file is put in its place.

use super::folder::{DETAIL_PROPOSAL, connect, sync_folder};
use super::log::from_columns;
use super::{JOB_FILE, Job, JobError};
use crate::items::{Item, Unplaced, VisitedPlace};
use crate::speech::Word;
use rusqlite::types::Value;
use rusqlite::{Connection, OpenFlags, params_from_iter};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// What became of a damaged job file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Salvaged {
    /// How many rows were saved, by what they are.
    pub saved: Vec<(&'static str, usize)>,
    /// What was lost, one line each; empty where all that was written could be read.
    pub lost: Vec<String>,
    /// Where the damaged file is now.
    pub damaged: PathBuf,
}

/// A table to be saved.
struct Table {
    name: &'static str,
    /// What a row is called, for people.
    rows: &'static str,
    /// Those that later formats added stand last.
    columns: &'static str,
    /// The key that rows are read in the order of.
    key: &'static str,
    /// Whether keys are whole numbers without gaps from 1, so that a missing one is a lost row.
    is_dense: bool,
}

/// In the order of worth: what only the inspector knows first.
static TABLES: [Table; 8] = [
    Table {
        name: "events",
        rows: "decisions",
        columns: "id, at, kind, payload",
        key: "id",
        is_dense: true,
    },
    Table {
        name: "items",
        rows: "items",
        columns: "position, id, number, content",
        key: "position",
        is_dense: true,
    },
    Table {
        name: "places",
        rows: "places",
        columns: "position, content",
        key: "position",
        is_dense: true,
    },
    Table {
        name: "unplaced",
        rows: "sentences without an item",
        columns: "position, content",
        key: "position",
        is_dense: true,
    },
    Table {
        name: "recordings",
        rows: "recordings",
        columns: "id, sha256, file, original_path, duration_s, speech_s, words, visit",
        key: "id",
        is_dense: true,
    },
    Table {
        name: "details",
        rows: "details",
        columns: "key, value",
        key: "key",
        is_dense: false,
    },
    Table {
        name: "photos",
        rows: "photos",
        columns: "name, sha256, format, original_path, taken, recording, at_ms, certainty, attached, camera",
        key: "name",
        is_dense: false,
    },
    Table {
        name: "windows",
        rows: "stretches of speech",
        columns: "sha256, window, model, settings, content",
        key: "sha256, model, settings, window",
        is_dense: false,
    },
];

/// Rows of one table, by their key's text.
type Rows = BTreeMap<Key, Vec<Value>>;

#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Key {
    Number(i64),
    Text(Vec<String>),
}

/// Saves what can be read of the job file in `dir` into a new one, which takes its place; the
/// damaged one is kept beside it under another name.
///
/// # Errors
/// As the disk has it; [`JobError::NotAJobFile`] where not one row could be read. The damaged file is
/// then where it was.
pub fn salvage(dir: &Path) -> Result<Salvaged, JobError> {
    let path = dir.join(JOB_FILE);
    // On the same disk, so that the new file can take the place of the old in one step.
    let work = tempfile::Builder::new()
        .prefix(".callover-salvage-")
        .tempdir_in(dir)
        .map_err(|source| JobError::io("make a folder in", dir, source))?;
    let copy = work.path().join("damaged.db");
    fs::copy(&path, &copy).map_err(|source| JobError::io("copy", &path, source))?;
    let journal = dir.join(format!("{JOB_FILE}-journal"));
    if journal.is_file() {
        fs::copy(&journal, work.path().join("damaged.db-journal"))
            .map_err(|source| JobError::io("copy", &journal, source))?;
    }
    let mut new = Job::create(&work.path().join("new"))?;
    let nothing = |read: &[(&Table, Read)]| read.iter().all(|(_, read)| read.rows.is_empty());
    let mut read = read_all(&copy);
    if nothing(&read) {
        graft_first_page(&new.file(), &copy)?;
        read = read_all(&copy);
    }
    if nothing(&read) {
        return Err(JobError::NotAJobFile {
            path,
            found: "not one row of it can be read".into(),
        });
    }
    let salvaged = write_all(&mut new, read)?;
    let made = new.file();
    drop(new);
    let damaged = free_name(dir);
    // The new file last: a crash before leaves the damaged one in place.
    fs::hard_link(&path, &damaged)
        .or_else(|_| fs::copy(&path, &damaged).map(|_| ()))
        .map_err(|source| JobError::io("keep the damaged file as", &damaged, source))?;
    if journal.is_file() {
        // It belongs to the damaged file, and must not be applied to the new one.
        let kept = damaged.with_extension("db-journal");
        fs::rename(&journal, &kept)
            .map_err(|source| JobError::io("keep the journal as", &kept, source))?;
    }
    fs::rename(&made, &path).map_err(|source| JobError::io("put in place", &path, source))?;
    sync_folder(dir)?;
    Ok(Salvaged {
        damaged,
        ..salvaged
    })
}

/// What was read of one table.
#[derive(Debug, Default)]
struct Read {
    /// The columns that the file has: fewer where it is of an older format.
    columns: String,
    rows: Rows,
    lost: Vec<String>,
}

fn read_all(copy: &Path) -> Vec<(&'static Table, Read)> {
    let connection = connect(copy, OpenFlags::SQLITE_OPEN_READ_WRITE);
    if let Ok(connection) = &connection {
        // Without it a file that is shorter than it says is refused as a whole; with it only what
        // is beyond the end (<https://www.sqlite.org/pragma.html#pragma_writable_schema>).
        let _ = connection.pragma_update(None, "writable_schema", true);
    }
    let read = |table: &'static Table| match &connection {
        Ok(connection) => read_table(connection, table),
        Err(error) => Read {
            lost: vec![format!("all {}: {error}", table.rows)],
            ..Read::default()
        },
    };
    TABLES.iter().map(|table| (table, read(table))).collect()
}

fn read_table(connection: &Connection, table: &Table) -> Read {
    let mut read = Read {
        columns: columns_of(connection, table),
        ..Read::default()
    };
    let (name, columns, key) = (table.name, &read.columns, table.key);
    let select = format!("SELECT {columns} FROM {name}");
    let mut scan = |rest: &str| {
        scan(
            connection,
            &format!("{select} {rest}"),
            table,
            &mut read.rows,
        )
    };
    let Err(why) = scan(&format!("ORDER BY {key}")) else {
        let numbers = read.rows.keys().filter_map(Key::number).max().unwrap_or(0);
        read.lost = gaps(table, &read.rows, numbers.max(highest(connection, table)));
        return read;
    };
    if why.contains("no such table") {
        // The file is of an older format, which has none.
        return read;
    }
    let _ = scan(&format!("ORDER BY {} DESC", key.replace(',', " DESC,")));
    if !table.is_dense {
        let count = read.rows.len();
        read.lost.push(format!(
            "some {} beside the {count} that were read: {why}",
            table.rows
        ));
        return read;
    }
    let last = read.rows.keys().filter_map(Key::number).max().unwrap_or(0);
    let last = last.max(highest(connection, table));
    for number in 1..=last {
        if !read.rows.contains_key(&Key::Number(number)) {
            let rest = format!("WHERE {key} = {number}");
            let _ = self::scan(
                connection,
                &format!("{select} {rest}"),
                table,
                &mut read.rows,
            );
        }
    }
    read.lost = gaps(table, &read.rows, last);
    if read.lost.is_empty() {
        read.lost.push(format!(
            "perhaps {} after those that were read: {why}",
            table.rows
        ));
    }
    read
}

/// Returns the columns of the table that the file has, all where it does not tell.
fn columns_of(connection: &Connection, table: &Table) -> String {
    let tell = || -> rusqlite::Result<Vec<String>> {
        let mut statement = connection.prepare("SELECT name FROM pragma_table_info(?1)")?;
        let names = statement.query_map([table.name], |row| row.get(0))?;
        names.collect()
    };
    let known = tell().unwrap_or_default();
    let columns = table.columns.split(", ");
    let columns: Vec<&str> = columns
        .filter(|name| known.is_empty() || known.iter().any(|other| other == name))
        .collect();
    columns.join(", ")
}

/// Reads rows until the end or the first error.
fn scan(connection: &Connection, sql: &str, table: &Table, rows: &mut Rows) -> Result<(), String> {
    let mut read = || -> rusqlite::Result<()> {
        let mut statement = connection.prepare(sql)?;
        let count = statement.column_count();
        let mut found = statement.query([])?;
        while let Some(row) = found.next()? {
            let values: Vec<Value> = (0..count)
                .map(|n| row.get(n))
                .collect::<rusqlite::Result<_>>()?;
            rows.insert(Key::of(table, &values), values);
        }
        Ok(())
    };
    read().map_err(|error| error.to_string())
}

impl Key {
    fn of(table: &Table, values: &[Value]) -> Key {
        match values {
            [Value::Integer(number), ..] if table.is_dense => Key::Number(*number),
            _ => {
                let parts = values.iter().take(table.key.split(',').count());
                Key::Text(parts.map(|value| format!("{value:?}")).collect())
            }
        }
    }

    fn number(&self) -> Option<i64> {
        match self {
            Key::Number(number) => Some(*number),
            Key::Text(_) => None,
        }
    }
}

/// Returns the highest number that the file says it has given out in a table, 0 where it does not
/// say. Only the log of decisions has it kept.
fn highest(connection: &Connection, table: &Table) -> i64 {
    connection
        .query_row(
            "SELECT seq FROM sqlite_sequence WHERE name = ?1",
            [table.name],
            |row| row.get(0),
        )
        // A number beyond this is damage itself.
        .map_or(0, |number: i64| number.clamp(0, MOST_ROWS))
}

/// More rows than any job has; numbers beyond are not looked for one by one.
const MOST_ROWS: i64 = 1_000_000;

/// Names the numbers from 1 to `last` that are missing, as ranges.
fn gaps(table: &Table, rows: &Rows, last: i64) -> Vec<String> {
    if !table.is_dense {
        return vec![];
    }
    let mut ranges: Vec<(i64, i64)> = Vec::new();
    for number in (1..=last.min(MOST_ROWS)).filter(|&n| !rows.contains_key(&Key::Number(n))) {
        match ranges.last_mut() {
            Some((_, end)) if *end + 1 == number => *end = number,
            _ => ranges.push((number, number)),
        }
    }
    let named = |&(first, last): &(i64, i64)| match first == last {
        true => format!("{}: number {first}", table.rows),
        false => format!("{}: numbers {first} to {last}", table.rows),
    };
    ranges.iter().map(named).collect()
}

/// Writes the rows into the new file, leaving out those that cannot be understood.
fn write_all(job: &mut Job, read: Vec<(&'static Table, Read)>) -> Result<Salvaged, JobError> {
    let path = job.file();
    let (mut saved, mut lost) = (Vec::new(), Vec::new());
    let transaction = job.begin("keep what was saved")?;
    for (table, read) in read {
        let columns = match read.columns.as_str() {
            "" => table.columns,
            columns => columns,
        };
        let marks: Vec<String> = (1..=columns.split(',').count())
            .map(|n| format!("?{n}"))
            .collect();
        let insert = format!(
            "INSERT INTO {} ({columns}) VALUES ({})",
            table.name,
            marks.join(", ")
        );
        let mut count = 0;
        for (key, values) in read.rows {
            let written = understood(table, &values).and_then(|()| {
                let done = transaction.execute(&insert, params_from_iter(values.iter()));
                done.map(|_| ()).map_err(|error| error.to_string())
            });
            match (written, key) {
                (Ok(()), _) => count += 1,
                (Err(why), Key::Number(number)) => {
                    lost.push(format!("{}: number {number}: {why}", table.rows));
                }
                (Err(why), Key::Text(key)) => {
                    lost.push(format!("{}: {}: {why}", table.rows, key.join(" ")))
                }
            }
        }
        lost.extend(read.lost);
        saved.push((table.rows, count));
    }
    if !lost.is_empty() {
        // The list is no longer what the mark says: taking the recordings again makes it anew.
        transaction
            .execute("DELETE FROM details WHERE key = ?1", [DETAIL_PROPOSAL])
            .map_err(|source| JobError::sqlite("forget the mark of the list", &path, source))?;
    }
    transaction
        .commit()
        .map_err(|source| JobError::sqlite("keep what was saved", &path, source))?;
    Ok(Salvaged {
        saved,
        lost,
        damaged: path,
    })
}

/// Checks that the program can read the row: one that it cannot would make the whole list
/// unreadable.
fn understood(table: &Table, values: &[Value]) -> Result<(), String> {
    let text = |place: usize| match values.get(place) {
        Some(Value::Text(text)) => Ok(text.as_str()),
        _ => Err("it is no text".to_owned()),
    };
    fn json<T: serde::de::DeserializeOwned>(text: &str) -> Result<(), String> {
        serde_json::from_str::<T>(text)
            .map(|_| ())
            .map_err(|error| error.to_string())
    }
    match table.name {
        "events" => from_columns(text(2)?, text(3)?)
            .map(|_| ())
            .map_err(|error| error.to_string()),
        "items" => json::<Item>(text(3)?),
        "places" => json::<VisitedPlace>(text(1)?),
        "unplaced" => json::<Unplaced>(text(1)?),
        "recordings" if values.get(6) != Some(&Value::Null) => json::<Vec<Word>>(text(6)?),
        _ => Ok(()),
    }
}

/// Puts the first page of a new file, which lists the tables, in place of a torn one. Both have
/// their tables at the same places, because the same steps made them.
fn graft_first_page(new: &Path, damaged: &Path) -> Result<(), JobError> {
    /// Bytes of a page: SQLite's default, which job files are made with.
    const PAGE: usize = 4096;
    let read = |path: &Path| fs::read(path).map_err(|source| JobError::io("read", path, source));
    let (whole, mut torn) = (read(new)?, read(damaged)?);
    if whole.len() < PAGE || torn.len() < PAGE {
        return Ok(());
    }
    torn[..PAGE].copy_from_slice(&whole[..PAGE]);
    // Its length in pages stands at byte 28 (<https://www.sqlite.org/fileformat.html>, 1.3), and
    // the list of free pages at 32, which is the other file's.
    let pages = u32::try_from(torn.len() / PAGE).unwrap_or(u32::MAX);
    torn[28..32].copy_from_slice(&pages.to_be_bytes());
    torn[32..40].fill(0);
    fs::write(damaged, torn).map_err(|source| JobError::io("write", damaged, source))
}

/// Returns a name for the damaged file that is still free.
fn free_name(dir: &Path) -> PathBuf {
    let numbered = |number: u32| match number {
        1 => dir.join("job-damaged.db"),
        n => dir.join(format!("job-damaged-{n}.db")),
    };
    (1..)
        .map(numbered)
        .find(|path| !path.exists())
        .unwrap_or_default()
}
