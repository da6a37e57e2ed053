//! Making and opening a job folder, and telling apart what stands in the way.

use super::schema::{APPLICATION_ID, MIGRATIONS, copy_to, migrate, user_version};
use super::{DecidedList, JobError, replay};
use rusqlite::{Connection, OpenFlags, Transaction, TransactionBehavior, params};
use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::{ErrorKind, Read};
use std::iter;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// Name of the job file within the folder.
pub const JOB_FILE: &str = "job.db";
/// Name of the folder for recordings.
pub const RECORDINGS_FOLDER: &str = "recordings";
/// Name of the folder for photos.
pub const PHOTOS_FOLDER: &str = "photos";
/// Name of the folder for exported documents.
pub const EXPORTS_FOLDER: &str = "exports";
/// Key of the walk-round's title in the details.
pub const DETAIL_TITLE: &str = "title";
/// Key of the region whose limits and usual practice apply.
pub const DETAIL_REGION: &str = "region";
/// Key of the mark by which an unchanged proposal is known.
pub const DETAIL_PROPOSAL: &str = "proposal_sha256";

/// How long to wait for another program's commit. Commits take some 20 ms; five seconds also
/// covers a slow memory stick, and a person still waits that long.
const PATIENCE: Duration = Duration::from_secs(5);

/// The first bytes of every SQLite 3 file (<https://www.sqlite.org/fileformat.html>, 1.3).
const SQLITE_MAGIC: &[u8; 16] = b"SQLite format 3\0";

/// An open job.
#[derive(Debug)]
pub struct Job {
    dir: PathBuf,
    pub(super) connection: Connection,
}

impl Job {
    /// Makes a new job in `dir` (made where missing) and returns it open.
    ///
    /// # Errors
    /// [`JobError::AlreadyAJob`] where one is there; otherwise as the disk has it.
    pub fn create(dir: &Path) -> Result<Job, JobError> {
        let path = dir.join(JOB_FILE);
        if has_content(&path)? {
            return Err(JobError::AlreadyAJob { dir: dir.into() });
        }
        let inner = [RECORDINGS_FOLDER, PHOTOS_FOLDER, EXPORTS_FOLDER].map(|name| dir.join(name));
        for folder in iter::once(dir.to_path_buf()).chain(inner) {
            fs::create_dir_all(&folder)
                .map_err(|source| JobError::io("make the folder", &folder, source))?;
        }
        check_writable(dir)?;
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE;
        let mut connection = connect(&path, flags)?;
        settle(&connection, &path)?;
        migrate(&mut connection, &path, MIGRATIONS)?;
        // The names must survive a power cut as well as the content.
        sync_folder(dir)?;
        match dir.parent() {
            Some(parent) if parent != Path::new("") => sync_folder(parent)?,
            _ => sync_folder(Path::new("."))?,
        }
        Ok(Job {
            dir: dir.into(),
            connection,
        })
    }

    /// Opens the job in `dir` for reading and writing, finishing or rolling back what a killed
    /// program left behind, and bringing older files up to date after copying them.
    ///
    /// # Errors
    /// [`JobError`] in words for: no job folder, no job file, a newer format, damage, no right to
    /// write. Nothing is changed then.
    pub fn open(dir: &Path) -> Result<Job, JobError> {
        let path = existing_file(dir)?;
        check_writable(dir)?;
        let mut connection = connect(&path, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
        check_mark(&connection, &path)?;
        let locked = connection
            .is_readonly("main")
            .map_err(|source| JobError::sqlite("open the tables", &path, source))?;
        if locked {
            return Err(JobError::ReadOnly { path });
        }
        check_whole(&connection, &path)?;
        settle(&connection, &path)?;
        migrate(&mut connection, &path, MIGRATIONS)?;
        Ok(Job {
            dir: dir.into(),
            connection,
        })
    }

    /// Opens the job in `dir` for reading only, also where nothing may be written (a copy on a
    /// memory stick). Every attempt to change it fails.
    ///
    /// # Errors
    /// As [`Job::open`]; also where the file is of an older format, which only [`Job::open`]
    /// brings up to date.
    pub fn open_to_read(dir: &Path) -> Result<Job, JobError> {
        let path = existing_file(dir)?;
        roll_back(&path);
        let connection = connect(&path, OpenFlags::SQLITE_OPEN_READ_ONLY)?;
        check_mark(&connection, &path)?;
        check_whole(&connection, &path)?;
        let known = i64::try_from(MIGRATIONS.len()).unwrap_or(i64::MAX);
        if user_version(&connection, &path)? < known {
            return Err(JobError::ReadOnly { path });
        }
        Ok(Job {
            dir: dir.into(),
            connection,
        })
    }

    /// Opens the job in `dir` for reading, as [`Job::open_to_read`] does; a file of an older format is
    /// copied and brought up to date first.
    ///
    /// # Errors
    /// As [`Job::open`].
    pub fn open_current(dir: &Path) -> Result<Job, JobError> {
        match Job::open_to_read(dir) {
            Err(JobError::ReadOnly { .. }) => {
                drop(Job::open(dir)?);
                Job::open_to_read(dir)
            }
            opened => opened,
        }
    }

    /// Opens the job in `dir`, or makes it where there is none.
    ///
    /// # Errors
    /// As [`Job::open`] and [`Job::create`].
    pub fn open_or_create(dir: &Path) -> Result<Job, JobError> {
        if has_content(&dir.join(JOB_FILE))? {
            Job::open(dir)
        } else {
            Job::create(dir)
        }
    }

    /// Returns the job folder.
    pub fn dir(&self) -> &Path {
        &self.dir
    }

    /// Returns the path of the job file.
    pub fn file(&self) -> PathBuf {
        self.dir.join(JOB_FILE)
    }

    /// Returns all details, by key.
    ///
    /// # Errors
    /// As reading has it.
    pub fn details(&self) -> Result<BTreeMap<String, String>, JobError> {
        let read = || -> rusqlite::Result<_> {
            let mut statement = self.connection.prepare("SELECT key, value FROM details")?;
            let rows = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
            rows.collect()
        };
        read().map_err(|source| JobError::sqlite("read the details", &self.file(), source))
    }

    /// Returns one detail, such as [`DETAIL_TITLE`].
    ///
    /// # Errors
    /// As reading has it.
    pub fn detail(&self, key: &str) -> Result<Option<String>, JobError> {
        Ok(self.details()?.remove(key))
    }

    /// Returns what the job is called: its title, or else the name of its folder.
    ///
    /// # Errors
    /// As reading has it.
    pub fn title(&self) -> Result<String, JobError> {
        let name = self.dir.file_stem().unwrap_or_default();
        let title = self.detail(DETAIL_TITLE)?;
        Ok(title.unwrap_or_else(|| name.to_string_lossy().into_owned()))
    }

    /// Keeps one detail in place of any earlier value.
    ///
    /// # Errors
    /// As writing has it.
    pub fn set_detail(&mut self, key: &str, value: &str) -> Result<(), JobError> {
        self.connection
            .execute(
                "INSERT OR REPLACE INTO details VALUES (?1, ?2)",
                params![key, value],
            )
            .map_err(|source| JobError::sqlite("keep the detail", &self.file(), source))?;
        Ok(())
    }

    /// Returns the list as it stands: the proposal with all decisions replayed.
    ///
    /// # Errors
    /// As reading has it.
    pub fn list(&self) -> Result<DecidedList, JobError> {
        Ok(replay(&self.proposal()?.items, &self.events()?))
    }

    /// Writes a whole copy of the job file to `target`, which must not exist. Safe while other
    /// programs write, which copying the file with other tools is not.
    ///
    /// # Errors
    /// As the disk has it.
    pub fn save_copy(&self, target: &Path) -> Result<(), JobError> {
        copy_to(&self.connection, &self.file(), target)
    }

    /// Starts a transaction that holds the right to write.
    pub(super) fn begin(&mut self, doing: &'static str) -> Result<Transaction<'_>, JobError> {
        let path = self.dir.join(JOB_FILE);
        self.connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(|source| JobError::sqlite(doing, &path, source))
    }
}

/// Waits until the folder's list of names is on the disk. Only Unix can and must ask for it.
pub(super) fn sync_folder(dir: &Path) -> Result<(), JobError> {
    if cfg!(unix) {
        File::open(dir)
            .and_then(|folder| folder.sync_all())
            .map_err(|source| JobError::io("sync the folder", dir, source))?;
    }
    Ok(())
}

/// Returns false where the file is missing or empty: what a killed `create` may leave is no job.
fn has_content(path: &Path) -> Result<bool, JobError> {
    match fs::metadata(path) {
        Ok(metadata) => Ok(metadata.is_dir() || metadata.len() > 0),
        Err(error) if matches!(error.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) => {
            Ok(false)
        }
        Err(source) => Err(JobError::io("look at", path, source)),
    }
}

/// Returns the path of the job file after checking that it is there and an SQLite file.
pub(super) fn existing_file(dir: &Path) -> Result<PathBuf, JobError> {
    let path = dir.join(JOB_FILE);
    if !has_content(&path)? {
        return Err(JobError::NotAJobFolder { dir: dir.into() });
    }
    let mut start = Vec::new();
    File::open(&path)
        .and_then(|file| file.take(SQLITE_MAGIC.len() as u64).read_to_end(&mut start))
        .map_err(|source| JobError::io("read", &path, source))?;
    if start != SQLITE_MAGIC {
        return Err(JobError::NotAJobFile {
            path,
            found: "not an SQLite file".into(),
        });
    }
    Ok(path)
}

/// SQLite needs to make its journal beside the file, so the folder must be writable too.
fn check_writable(dir: &Path) -> Result<(), JobError> {
    match tempfile::tempfile_in(dir) {
        Ok(_) => Ok(()),
        Err(source) => Err(JobError::io("make a file in", dir, source)),
    }
}

pub(super) fn connect(path: &Path, flags: OpenFlags) -> Result<Connection, JobError> {
    let open = || -> rusqlite::Result<_> {
        let connection =
            Connection::open_with_flags(path, flags | OpenFlags::SQLITE_OPEN_NO_MUTEX)?;
        connection.busy_timeout(PATIENCE)?;
        connection.pragma_update(None, "trusted_schema", false)?;
        connection.pragma_update(None, "cell_size_check", true)?;
        connection.pragma_update(None, "foreign_keys", true)?;
        Ok(connection)
    };
    open().map_err(|source| JobError::sqlite("open the tables", path, source))
}

/// Finishes or rolls back what a killed program left half done: a file with such a journal cannot
/// be opened for reading only. Where it may not be written, opening it tells so.
pub(super) fn roll_back(path: &Path) {
    let mut journal = path.as_os_str().to_owned();
    journal.push("-journal");
    if !Path::new(&journal).exists() {
        return;
    }
    // The first read does it.
    if let Ok(connection) = connect(path, OpenFlags::SQLITE_OPEN_READ_WRITE) {
        let _ = connection.query_row("SELECT 1 FROM sqlite_master", [], |_| Ok(()));
    }
}

/// One file at rest that can be mailed or copied alone, and commits that survive a power cut:
/// measured with killed writers, a copied WAL database was empty, a DELETE one whole. EXTRA also
/// syncs the folder after the journal is deleted (<https://www.sqlite.org/pragma.html>).
fn settle(connection: &Connection, path: &Path) -> Result<(), JobError> {
    let set = || -> rusqlite::Result<String> {
        connection.pragma_update(None, "synchronous", "EXTRA")?;
        connection.pragma_update_and_check(None, "journal_mode", "DELETE", |row| row.get(0))
    };
    let mode = set().map_err(|source| JobError::sqlite("set the journal", path, source))?;
    if mode == "delete" {
        Ok(())
    } else {
        Err(JobError::Busy { path: path.into() })
    }
}

pub(super) fn check_mark(connection: &Connection, path: &Path) -> Result<(), JobError> {
    let mark: i64 = connection
        .pragma_query_value(None, "application_id", |row| row.get(0))
        .map_err(|source| JobError::sqlite("read the mark", path, source))?;
    if mark != APPLICATION_ID {
        let found = format!("an SQLite file with the mark {mark:#x}");
        return Err(JobError::NotAJobFile {
            path: path.into(),
            found,
        });
    }
    let found = user_version(connection, path)?;
    let known = i64::try_from(MIGRATIONS.len()).unwrap_or(i64::MAX);
    if found > known {
        return Err(JobError::Newer {
            path: path.into(),
            found,
            known,
        });
    }
    Ok(())
}

/// Walks the whole file: a job is some megabytes, so this takes milliseconds.
fn check_whole(connection: &Connection, path: &Path) -> Result<(), JobError> {
    let verdict: String = connection
        .query_row("PRAGMA quick_check(1)", [], |row| row.get(0))
        .map_err(|source| JobError::sqlite("check the tables", path, source))?;
    if verdict == "ok" {
        Ok(())
    } else {
        let detail = verdict.lines().collect::<Vec<_>>().join(" ");
        Err(JobError::Damaged {
            path: path.into(),
            detail,
        })
    }
}
