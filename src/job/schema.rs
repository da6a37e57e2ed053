//! The job file's tables, its mark, and bringing older files up to date.

use super::JobError;
use rusqlite::Connection;
use std::fs::File;
use std::path::{Path, PathBuf};

/// SQLite's `application_id` of a job file: the letters `Calv`. Own choice.
pub(super) const APPLICATION_ID: i64 = 0x4361_6c76;

/// The steps from an empty file to the latest format, in order. A file's `user_version` is the
/// number of steps it has had. Never change a step once released: add one.
pub(super) const MIGRATIONS: &[&str] = &[FIRST, PHOTOS, VISITS, CAMERAS];

const FIRST: &str = "
    CREATE TABLE details (
        key TEXT PRIMARY KEY,
        value TEXT NOT NULL
    ) STRICT, WITHOUT ROWID;
    CREATE TABLE recordings (
        id INTEGER PRIMARY KEY,
        sha256 TEXT NOT NULL UNIQUE,
        file TEXT NOT NULL,
        original_path TEXT NOT NULL,
        duration_s REAL NOT NULL,
        speech_s REAL NOT NULL,
        words TEXT                              -- JSON; NULL until the recording is transcribed
    ) STRICT;
    CREATE TABLE windows (
        sha256 TEXT NOT NULL,
        window INTEGER NOT NULL,
        model TEXT NOT NULL,
        settings TEXT NOT NULL,
        content TEXT NOT NULL,                  -- JSON
        PRIMARY KEY (sha256, model, settings, window)
    ) STRICT, WITHOUT ROWID;
    CREATE TABLE places (position INTEGER PRIMARY KEY, content TEXT NOT NULL) STRICT;
    CREATE TABLE unplaced (position INTEGER PRIMARY KEY, content TEXT NOT NULL) STRICT;
    CREATE TABLE items (
        position INTEGER PRIMARY KEY,
        id TEXT NOT NULL UNIQUE,
        number INTEGER NOT NULL UNIQUE,
        content TEXT NOT NULL                   -- JSON, as proposed; decisions are in events
    ) STRICT;
    CREATE TABLE events (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        at TEXT NOT NULL,
        kind TEXT NOT NULL,
        payload TEXT NOT NULL                   -- JSON
    ) STRICT;
    CREATE TRIGGER events_are_never_changed BEFORE UPDATE ON events
        BEGIN SELECT raise(ABORT, 'decisions are never changed'); END;
    CREATE TRIGGER events_are_never_deleted BEFORE DELETE ON events
        BEGIN SELECT raise(ABORT, 'decisions are never deleted'); END;
";

/// Photos by what their files and the clocks tell.
const PHOTOS: &str = "
    CREATE TABLE photos (
        name TEXT PRIMARY KEY,                  -- within photos/
        sha256 TEXT NOT NULL UNIQUE,
        format TEXT NOT NULL,
        original_path TEXT NOT NULL,
        taken TEXT,                             -- by the camera's clock
        recording INTEGER,
        at_ms INTEGER,                          -- since the start of the recording
        certainty TEXT,
        attached INTEGER                        -- the event that attached it by its time
    ) STRICT, WITHOUT ROWID;
";

/// The visit that a recording was made on.
const VISITS: &str = "
    ALTER TABLE recordings ADD COLUMN visit INTEGER NOT NULL DEFAULT 1;  -- 2 for the second visit
";

/// The camera that took a photo, for pictures that are written anew without what it wrote into them.
const CAMERAS: &str = "
    ALTER TABLE photos ADD COLUMN camera TEXT;  -- maker, model and number, where known
";

/// Brings the file up to date, one transaction per step; a file that already has data is copied
/// first. Returns the copy's path where one was made.
///
/// # Errors
/// [`JobError::Newer`] where the file has had more steps than this program knows; otherwise as
/// SQLite has it. A failed step leaves the file as it was before the step.
pub(super) fn migrate(
    connection: &mut Connection,
    path: &Path,
    migrations: &[&str],
) -> Result<Option<PathBuf>, JobError> {
    let version = user_version(connection, path)?;
    let known = i64::try_from(migrations.len()).unwrap_or(i64::MAX);
    if version > known {
        return Err(JobError::Newer {
            path: path.into(),
            found: version,
            known,
        });
    }
    if version == known {
        return Ok(None);
    }
    let backup = if version > 0 {
        Some(back_up(connection, path, version)?)
    } else {
        None
    };
    let steps = migrations
        .iter()
        .zip(1i64..)
        .skip(usize::try_from(version).unwrap_or(0));
    for (step, number) in steps {
        run_step(connection, step, number)
            .map_err(|source| JobError::sqlite("bring the tables up to date", path, source))?;
    }
    Ok(backup)
}

/// Returns how many migration steps the file has had.
pub(super) fn user_version(connection: &Connection, path: &Path) -> Result<i64, JobError> {
    connection
        .pragma_query_value(None, "user_version", |row| row.get(0))
        .map_err(|source| JobError::sqlite("read the format number", path, source))
}

/// Writes a whole, consistent copy of the open job file to `target`, which must not exist, and
/// waits until it is on the disk.
pub(super) fn copy_to(connection: &Connection, path: &Path, target: &Path) -> Result<(), JobError> {
    let name = target.to_string_lossy();
    connection
        .execute("VACUUM INTO ?1", [name.as_ref()])
        .map_err(|source| JobError::sqlite("make a copy", path, source))?;
    File::open(target)
        .and_then(|file| file.sync_all())
        .map_err(|source| JobError::io("sync the copy", target, source))?;
    super::folder::sync_folder(target.parent().unwrap_or(Path::new(".")))
}

fn run_step(connection: &mut Connection, step: &str, number: i64) -> rusqlite::Result<()> {
    let transaction = connection.transaction()?;
    transaction.execute_batch(step)?;
    transaction.pragma_update(None, "application_id", APPLICATION_ID)?;
    transaction.pragma_update(None, "user_version", number)?;
    transaction.commit()
}

/// Copies the file beside itself under a name that is still free.
fn back_up(connection: &Connection, path: &Path, version: i64) -> Result<PathBuf, JobError> {
    let mut target = path.with_file_name(format!("job-format-{version}.db"));
    let mut try_number = 2;
    while target.exists() {
        target = path.with_file_name(format!("job-format-{version}-{try_number}.db"));
        try_number += 1;
    }
    copy_to(connection, path, &target)?;
    Ok(target)
}
