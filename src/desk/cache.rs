//! Files that can be made again: outlines of recordings, small pictures, sound that browsers can play.
//! They stand in the job's `cache/` folder.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use tempfile::NamedTempFile;

/// Name of the folder within the job.
const CACHE_FOLDER: &str = "cache";

/// Returns the path of a cached file after making the folder.
///
/// # Errors
/// Where the folder cannot be made.
pub(crate) fn path(job: &Path, name: &str) -> io::Result<PathBuf> {
    let folder = job.join(CACHE_FOLDER);
    fs::create_dir_all(&folder)?;
    Ok(folder.join(name))
}

/// Starts a file that appears under its name only when it is whole ([`keep`]).
///
/// # Errors
/// As the disk has it.
pub(crate) fn begin(target: &Path) -> io::Result<NamedTempFile> {
    NamedTempFile::new_in(target.parent().unwrap_or(Path::new(".")))
}

/// Gives a whole file its name.
///
/// # Errors
/// As the disk has it.
pub(crate) fn keep(file: NamedTempFile, target: &Path) -> io::Result<()> {
    file.persist(target)?;
    Ok(())
}

/// Writes a whole file.
///
/// # Errors
/// As the disk has it.
pub(crate) fn write(target: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = begin(target)?;
    file.write_all(bytes)?;
    keep(file, target)
}
