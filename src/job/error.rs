//! What can go wrong with a job folder, in words that say what to do next.

use std::io;
use std::path::{Path, PathBuf};

/// Why a job could not be made, opened, read or written.
#[derive(Debug, thiserror::Error)]
pub enum JobError {
    /// The folder is missing, or has no job file.
    #[error(
        "{} is not a job folder: it has no job.db (make one with `callover take AUDIO --job {}`)",
        .dir.display(), .dir.display()
    )]
    NotAJobFolder {
        /// The folder that was asked for.
        dir: PathBuf,
    },
    /// A job is already there.
    #[error("{} already holds a job: open it, or choose another folder", .dir.display())]
    AlreadyAJob {
        /// The folder that was asked for.
        dir: PathBuf,
    },
    /// The file is something else.
    #[error(
        "{} is not a Callover job file ({found}): choose the folder that `callover take` made",
        .path.display()
    )]
    NotAJobFile {
        /// The job file.
        path: PathBuf,
        /// What was found instead.
        found: String,
    },
    /// The file was written by a later edition.
    #[error(
        "{} was written by a newer Callover (job format {found}; this one knows up to {known}): \
         use the newer Callover",
        .path.display()
    )]
    Newer {
        /// The job file.
        path: PathBuf,
        /// Its format number.
        found: i64,
        /// The latest format this program knows.
        known: i64,
    },
    /// The file's content cannot be trusted.
    #[error(
        "{} is damaged ({detail}): nothing was changed; `callover doctor {} --repair` saves what can \
         be read",
        .path.display(), .path.parent().unwrap_or(.path).display()
    )]
    Damaged {
        /// The job file.
        path: PathBuf,
        /// What is wrong with it.
        detail: String,
    },
    /// The folder or the file cannot be written.
    #[error(
        "{} cannot be written: copy the job folder to where you may write, or change its \
         permissions",
        .path.display()
    )]
    ReadOnly {
        /// The folder or file.
        path: PathBuf,
    },
    /// Another program is writing.
    #[error("{} is being written by another program: close it there and try again", .path.display())]
    Busy {
        /// The job file.
        path: PathBuf,
    },
    /// No room is left.
    #[error("the disk holding {} is full: make room and try again; nothing was lost", .path.display())]
    Full {
        /// The job file.
        path: PathBuf,
    },
    /// Decisions were added by another program since the list was read.
    #[error("{} was changed by another program meanwhile: read it again", .path.display())]
    ChangedElsewhere {
        /// The job file.
        path: PathBuf,
    },
    /// Two proposed items share one identity.
    #[error("two proposed items have the same id {id}: each item needs an id of its own")]
    DuplicateId {
        /// The shared id.
        id: String,
    },
    /// A recording number that the job does not have.
    #[error("{} has no recording {id}", .path.display())]
    NoRecording {
        /// The job file.
        path: PathBuf,
        /// The number asked for.
        id: u32,
    },
    /// Data that cannot be written as JSON.
    #[error("{what} cannot be written as JSON")]
    Unwritable {
        /// What was being written.
        what: String,
        /// Why.
        source: serde_json::Error,
    },
    /// A file or folder operation failed.
    #[error("cannot {doing} {}", .path.display())]
    Io {
        /// What was tried, such as `make the folder`.
        doing: &'static str,
        /// The file or folder.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// SQLite failed in a way that has no words of its own above.
    #[error("cannot {doing} in {}", .path.display())]
    Sqlite {
        /// What was tried, such as `keep the decision`.
        doing: &'static str,
        /// The job file.
        path: PathBuf,
        /// Why.
        source: rusqlite::Error,
    },
}

impl JobError {
    /// Returns the error for a failed file operation.
    pub(super) fn io(doing: &'static str, path: &Path, source: io::Error) -> Self {
        match source.kind() {
            io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
                JobError::ReadOnly { path: path.into() }
            }
            io::ErrorKind::StorageFull => JobError::Full { path: path.into() },
            _ => JobError::Io {
                doing,
                path: path.into(),
                source,
            },
        }
    }

    /// Returns the error for a failed SQLite call, in plain words where the cause is known.
    pub(super) fn sqlite(doing: &'static str, path: &Path, source: rusqlite::Error) -> Self {
        use rusqlite::ErrorCode;
        let path = path.to_path_buf();
        match source.sqlite_error_code() {
            Some(ErrorCode::DiskFull) => JobError::Full { path },
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => JobError::Busy { path },
            Some(ErrorCode::ReadOnly | ErrorCode::PermissionDenied) => JobError::ReadOnly { path },
            Some(ErrorCode::DatabaseCorrupt) => JobError::Damaged {
                path,
                detail: source.to_string(),
            },
            Some(ErrorCode::NotADatabase) => JobError::NotAJobFile {
                path,
                found: "not an SQLite file".into(),
            },
            _ => JobError::Sqlite {
                doing,
                path,
                source,
            },
        }
    }
}
