//! Putting documents in place: whole or not at all, and checked before slow work starts.

use super::{ExportError, Format};
use std::collections::BTreeSet;
use std::fmt;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use tempfile::{Builder, NamedTempFile};
use thiserror::Error;

/// Where one document goes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Target {
    /// What is written.
    pub format: Format,
    /// Where to.
    pub place: Destination,
}

/// A file or the standard output.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Destination {
    /// A file, made or replaced.
    File(PathBuf),
    /// The standard output.
    Stdout,
}

/// Why a document cannot be put where it was asked for.
#[derive(Debug, Error)]
pub enum WriteError {
    /// The ending names no format.
    #[error(transparent)]
    Format(#[from] ExportError),
    /// The folder is missing.
    #[error("{}: there is no folder {}; make it first", .path.display(), .folder.display())]
    NoFolder {
        /// The file asked for.
        path: PathBuf,
        /// The missing folder.
        folder: PathBuf,
    },
    /// The path names a folder or a device.
    #[error("{}: not a file; expected the name of a file to make or replace", .path.display())]
    NotAFile {
        /// The path.
        path: PathBuf,
    },
    /// The file may not be changed.
    #[error("{}: the file is read-only; choose another name or allow changes", .path.display())]
    ReadOnly {
        /// The path.
        path: PathBuf,
    },
    /// Two targets are one file.
    #[error("{}: asked for twice; name each file once", .path.display())]
    Twice {
        /// The path.
        path: PathBuf,
    },
    /// The system refused.
    #[error("{}: cannot {what}: {source}", .path.display())]
    Io {
        /// The path.
        path: PathBuf,
        /// What was tried.
        what: &'static str,
        /// The system's reason.
        source: io::Error,
    },
}

/// Everything that is wrong with the targets, so that all can be mended at once.
#[derive(Debug)]
pub struct TargetProblems(pub Vec<WriteError>);

impl std::error::Error for TargetProblems {}

/// Shows one problem per line.
impl fmt::Display for TargetProblems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, problem) in self.0.iter().enumerate() {
            write!(f, "{}{problem}", if i > 0 { "\n" } else { "" })?;
        }
        Ok(())
    }
}

/// Returns the targets in the order given, after checking that each ending is known, each folder
/// is there and takes a file, no file is read-only, and none is asked for twice. `-` is the
/// standard output as JSON; `-.csv`, `-.md` and `-.html` choose another format for it.
///
/// # Errors
/// [`TargetProblems`] with every problem found.
pub fn prepare(paths: &[PathBuf]) -> Result<Vec<Target>, TargetProblems> {
    let (mut targets, mut problems) = (Vec::new(), Vec::new());
    let mut seen = BTreeSet::new();
    for path in paths {
        match target(path) {
            Ok((target, identity)) => {
                if seen.insert(identity) {
                    targets.push(target);
                } else {
                    problems.push(WriteError::Twice { path: path.clone() });
                }
            }
            Err(problem) => problems.push(problem),
        }
    }
    if problems.is_empty() {
        Ok(targets)
    } else {
        Err(TargetProblems(problems))
    }
}

/// Returns one checked target, with a path that is the same for every way to name the file.
fn target(path: &Path) -> Result<(Target, PathBuf), WriteError> {
    if let Some(format) = stdout_format(path)? {
        return Ok((
            Target {
                format,
                place: Destination::Stdout,
            },
            PathBuf::from("-"),
        ));
    }
    let format = Format::of_path(path)?;
    let (real, _) = replaceable(path)?;
    // Only an attempt tells whether the folder takes a file; it leaves nothing behind.
    temporary_beside(&real)?;
    Ok((
        Target {
            format,
            place: Destination::File(path.to_path_buf()),
        },
        real,
    ))
}

/// Returns the format where the path stands for the standard output.
fn stdout_format(path: &Path) -> Result<Option<Format>, ExportError> {
    let Some(text) = path.to_str() else {
        return Ok(None);
    };
    match text.strip_prefix('-') {
        Some("") => Ok(Some(Format::Json)),
        Some(ending) if ending.starts_with('.') => Format::of_path(path).map(Some),
        _ => Ok(None),
    }
}

/// Writes the document.
///
/// A file is replaced in one step after its new content is on the disk: a reader, or a crash at
/// any moment, finds the old file or the new one, never a part.
///
/// # Errors
/// [`WriteError`], naming the path; the file is then as it was.
pub fn write(target: &Target, bytes: &[u8]) -> Result<(), WriteError> {
    match &target.place {
        Destination::File(path) => write_file(path, bytes),
        Destination::Stdout => {
            let mut out = io::stdout().lock();
            match out.write_all(bytes).and_then(|()| out.flush()) {
                // The reader has seen enough, as `head` does: no error.
                Err(e) if e.kind() == io::ErrorKind::BrokenPipe => Ok(()),
                Err(source) => {
                    let path = PathBuf::from("-");
                    Err(WriteError::Io {
                        path,
                        what: "write the standard output",
                        source,
                    })
                }
                Ok(()) => Ok(()),
            }
        }
    }
}

/// Checks that a file can be made or replaced at `path`, leaving nothing behind.
///
/// # Errors
/// [`WriteError`], naming the path.
pub fn check_file(path: &Path) -> Result<(), WriteError> {
    let (real, _) = replaceable(path)?;
    temporary_beside(&real).map(|_| ())
}

/// Writes a file in one step; see [`write()`].
///
/// # Errors
/// [`WriteError`], naming the path; the file is then as it was.
pub fn write_file(path: &Path, bytes: &[u8]) -> Result<(), WriteError> {
    let failed = |what| {
        move |source| WriteError::Io {
            path: path.to_path_buf(),
            what,
            source,
        }
    };
    let (real, old) = replaceable(path)?;
    let mut temporary = temporary_beside(&real)?;
    if let Some(old) = old {
        // The new file is as readable as the one it replaces.
        temporary
            .as_file()
            .set_permissions(old.permissions())
            .map_err(failed("set its rights"))?;
    }
    temporary.write_all(bytes).map_err(failed("write"))?;
    temporary
        .as_file()
        .sync_all()
        .map_err(failed("write to the disk"))?;
    temporary
        .persist(&real)
        .map_err(|e| failed("replace")(e.error))?;
    sync_folder(folder_of(&real)).map_err(failed("write its folder to the disk"))
}

/// Returns the file behind the path, through links, and what is known of it if it exists.
fn replaceable(path: &Path) -> Result<(PathBuf, Option<fs::Metadata>), WriteError> {
    let io = |what, source| WriteError::Io {
        path: path.to_path_buf(),
        what,
        source,
    };
    match fs::symlink_metadata(path) {
        Ok(_) => {
            // Through a link, so that the link stays and what it points to is replaced.
            let real = fs::canonicalize(path).map_err(|e| io("follow the link", e))?;
            let data = fs::metadata(&real).map_err(|e| io("look at it", e))?;
            if !data.is_file() {
                return Err(WriteError::NotAFile {
                    path: path.to_path_buf(),
                });
            }
            if data.permissions().readonly() {
                return Err(WriteError::ReadOnly {
                    path: path.to_path_buf(),
                });
            }
            Ok((real, Some(data)))
        }
        Err(e) if e.kind() == io::ErrorKind::NotFound => {
            let folder = folder_of(path);
            let no_folder = || WriteError::NoFolder {
                path: path.to_path_buf(),
                folder: folder.to_path_buf(),
            };
            let real = fs::canonicalize(folder).map_err(|_| no_folder())?;
            let name = path.file_name();
            let name = name.ok_or_else(|| WriteError::NotAFile {
                path: path.to_path_buf(),
            })?;
            if real.is_dir() {
                Ok((real.join(name), None))
            } else {
                Err(no_folder())
            }
        }
        Err(e) if e.kind() == io::ErrorKind::NotADirectory => {
            let folder = folder_of(path).to_path_buf();
            Err(WriteError::NoFolder {
                path: path.to_path_buf(),
                folder,
            })
        }
        Err(e) => Err(io("look at it", e)),
    }
}

/// Returns a new temporary file in the folder of `path`: on the same disk, so that it can take the
/// path's place in one step. Dropped, it is gone.
fn temporary_beside(path: &Path) -> Result<NamedTempFile, WriteError> {
    let mut builder = Builder::new();
    builder.prefix(".callover-").suffix(".part");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // As for any new file, the user's mask decides; temporary files are private by default.
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder
        .tempfile_in(folder_of(path))
        .map_err(|source| WriteError::Io {
            path: path.to_path_buf(),
            what: "make a file in its folder",
            source,
        })
}

/// Returns the folder that holds the path.
fn folder_of(path: &Path) -> &Path {
    path.parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."))
}

/// Puts the folder's list of names on the disk; without it, a power cut can lose the new name.
#[cfg(unix)]
fn sync_folder(folder: &Path) -> io::Result<()> {
    File::open(folder)?.sync_all()
}

/// Other systems cannot open a folder to put it on the disk.
#[cfg(not(unix))]
fn sync_folder(_folder: &Path) -> io::Result<()> {
    Ok(())
}

#[cfg(test)]
mod tests;
