//! Copying a given file into a job's folder: whole or not at all, never over another.

use super::error::CliError;
use crate::audio::sha256_of_file;
use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};
use tempfile::Builder;

/// A file to be kept in a folder of the job.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Given<'a> {
    /// Where it is.
    pub(crate) path: &'a Path,
    /// The name that it is to have.
    pub(crate) name: &'a str,
    /// The SHA-256 of its content.
    pub(crate) sha256: &'a str,
}

/// Copies the file into `folder` unless it is there, and returns its name there: the one wanted, or
/// one with a number where another file has that.
///
/// # Errors
/// As the disk has it; also where the file changes while it is read.
pub(crate) fn keep_file(given: Given<'_>, folder: &Path) -> Result<String, CliError> {
    fs::create_dir_all(folder).map_err(|e| failed("make", folder, &e))?;
    for name in names(given.name) {
        let target = folder.join(&name);
        if !target.exists() {
            copy(given, folder, &target)?;
            return Ok(name);
        }
        if sha256_of_file(&target)? == given.sha256 {
            return Ok(name);
        }
    }
    Err(CliError::input(format_args!(
        "{}: no free name for {}",
        folder.display(),
        given.name
    )))
}

/// Returns where the file really is, as text for people.
pub(crate) fn original_path(path: &Path) -> String {
    let real: PathBuf = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    real.to_string_lossy().into_owned()
}

/// Returns the name, then `memo-2.m4a`, `memo-3.m4a`, …: recorders like to begin anew.
fn names(name: &str) -> impl Iterator<Item = String> {
    let (stem, ending) = match name.rsplit_once('.') {
        Some((stem, ending)) if !stem.is_empty() => (stem.to_owned(), format!(".{ending}")),
        _ => (name.to_owned(), String::new()),
    };
    (1..10_000).map(move |n| match n {
        1 => format!("{stem}{ending}"),
        n => format!("{stem}-{n}{ending}"),
    })
}

/// Copies the file in one step: the name appears with the whole content or not at all.
fn copy(given: Given<'_>, folder: &Path, target: &Path) -> Result<(), CliError> {
    let mut temporary = Builder::new()
        .prefix(".callover-")
        .suffix(".part")
        .tempfile_in(folder)
        .map_err(|e| failed("make a file in", folder, &e))?;
    let mut from = File::open(given.path).map_err(|e| failed("read", given.path, &e))?;
    io::copy(&mut from, &mut temporary).map_err(|e| failed("copy into", target, &e))?;
    if sha256_of_file(temporary.path())? != given.sha256 {
        return Err(CliError::input(format_args!(
            "{}: changed while it was read; wait until it is complete and take it again",
            given.path.display()
        )));
    }
    let data = fs::metadata(given.path).ok();
    // When a recording was last changed hints at when it was made. A disk that cannot keep it is
    // no reason to fail.
    if let Some(changed) = data.as_ref().and_then(|data| data.modified().ok()) {
        let _ = temporary.as_file().set_modified(changed);
    }
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // Temporary files are private; a copy is as readable as its original.
        let mode = data.map_or(0o644, |data| data.permissions().mode() | 0o600);
        temporary
            .as_file()
            .set_permissions(fs::Permissions::from_mode(mode))
            .map_err(|e| failed("set the rights of", target, &e))?;
    }
    temporary
        .as_file()
        .sync_all()
        .map_err(|e| failed("write", target, &e))?;
    temporary
        .persist_noclobber(target)
        .map_err(|e| failed("write", target, &e.error))?;
    Ok(())
}

/// Returns the error for a failed file operation.
pub(crate) fn failed(doing: &str, path: &Path, error: &io::Error) -> CliError {
    CliError::input(format_args!("cannot {doing} {}: {error}", path.display()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_second_file_of_the_same_name_is_counted() {
        for (name, second) in [
            ("memo.m4a", "memo-2.m4a"),
            ("a.b.wav", "a.b-2.wav"),
            (".hidden", ".hidden-2"),
            ("memo", "memo-2"),
        ] {
            let both: Vec<String> = names(name).take(2).collect();
            assert_eq!(both, [name, second]);
        }
    }

    #[test]
    fn a_copy_is_as_old_as_its_original() {
        let home = tempfile::tempdir().unwrap();
        let path = home.path().join("memo.m4a");
        fs::write(&path, "abc").unwrap();
        let made = std::time::UNIX_EPOCH + std::time::Duration::from_secs(1_772_471_100);
        File::options()
            .write(true)
            .open(&path)
            .unwrap()
            .set_modified(made)
            .unwrap();
        let sha256 = sha256_of_file(&path).unwrap();
        let given = Given {
            path: &path,
            name: "memo.m4a",
            sha256: &sha256,
        };
        let folder = home.path().join("recordings");
        assert_eq!(keep_file(given, &folder).unwrap(), "memo.m4a");
        let kept = fs::metadata(folder.join("memo.m4a")).unwrap();
        assert_eq!(kept.modified().unwrap(), made);
    }
}
