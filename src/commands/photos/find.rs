//! Looking for photos, and copying them into the job.

use crate::audio::sha256_of_file;
use crate::commands::error::CliError;
use crate::commands::keep_file::{Given, failed, keep_file, original_path};
use crate::commands::shared;
use crate::job::{Job, KeptPhoto, PHOTOS_FOLDER};
use crate::photos::{PhotoFacts, read_facts};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// How deep folders are looked through: cameras make two levels, people one or two more.
const DEEPEST: usize = 6;

/// What a folder holds.
#[derive(Debug, Default)]
pub(super) struct Found {
    /// The photos, sorted by path, with what their files tell.
    pub(super) photos: Vec<(PathBuf, PhotoFacts)>,
    /// How many other files there are.
    pub(super) others: usize,
}

/// Photos newly copied into the job.
#[derive(Debug, Default)]
pub(super) struct New {
    /// The photos, not yet kept in the job file.
    pub(super) photos: Vec<KeptPhoto>,
    /// How many could not be copied; each was told.
    pub(super) failed: usize,
}

/// Returns the photos in a folder and its subfolders, or the one photo at `path`. Hidden files, and
/// the job folder itself, are passed over.
///
/// # Errors
/// Where the folder cannot be read, or holds no photo.
pub(super) fn photos_in(path: &Path, job: &Path) -> Result<Found, CliError> {
    let mut files = Vec::new();
    if path.is_file() {
        files.push(path.to_owned());
    } else {
        let job = fs::canonicalize(job).ok();
        collect(path, job.as_deref(), 0, &mut files)?;
    }
    files.sort();
    let mut found = Found::default();
    for file in files {
        match read_facts(&file).map_err(|e| failed("read", &file, &e))? {
            Some(facts) => found.photos.push((file, facts)),
            None => found.others += 1,
        }
    }
    if found.photos.is_empty() {
        let others = match found.others {
            0 => "no files at all".to_owned(),
            1 => "one file of another kind".to_owned(),
            n => format!("{n} files of other kinds"),
        };
        return Err(CliError::input(format_args!(
            "{}: there is no photo in it, {others}; expected JPEG, PNG, WebP or HEIC files",
            path.display()
        )));
    }
    Ok(found)
}

fn collect(
    folder: &Path,
    job: Option<&Path>,
    depth: usize,
    files: &mut Vec<PathBuf>,
) -> Result<(), CliError> {
    let entries = fs::read_dir(folder).map_err(|e| failed("read the folder", folder, &e))?;
    for entry in entries {
        let entry = entry.map_err(|e| failed("read the folder", folder, &e))?;
        let path = entry.path();
        if entry.file_name().to_string_lossy().starts_with('.') {
            continue;
        }
        // Links to folders are not followed: they may lead round in a circle.
        let kind = entry
            .file_type()
            .map_err(|e| failed("look at", &path, &e))?;
        if kind.is_dir() {
            let is_job = job.is_some() && fs::canonicalize(&path).ok().as_deref() == job;
            if !is_job && depth < DEEPEST {
                collect(&path, job, depth + 1, files)?;
            }
        } else if path.is_file() {
            files.push(path);
        }
    }
    Ok(())
}

/// Copies every photo that the job does not have yet into its folder.
///
/// # Errors
/// As reading the job has it. A photo that cannot be copied is told and counted.
pub(super) fn take_in(job: &Job, found: &Found) -> Result<New, CliError> {
    let mut have: BTreeSet<String> = job
        .photos()?
        .into_iter()
        .map(|photo| photo.sha256)
        .collect();
    let mut new = New::default();
    for (path, facts) in &found.photos {
        match copy(job, path, facts, &have) {
            Ok(Some(photo)) => {
                have.insert(photo.sha256.clone());
                new.photos.push(photo);
            }
            Ok(None) => {}
            Err(error) => {
                shared::say(error);
                new.failed += 1;
            }
        }
    }
    Ok(new)
}

fn copy(
    job: &Job,
    path: &Path,
    facts: &PhotoFacts,
    have: &BTreeSet<String>,
) -> Result<Option<KeptPhoto>, CliError> {
    let sha256 = sha256_of_file(path)?;
    if have.contains(&sha256) {
        return Ok(None);
    }
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let given = Given {
        path,
        name: &name,
        sha256: &sha256,
    };
    let name = keep_file(given, &job.dir().join(PHOTOS_FOLDER))?;
    Ok(Some(KeptPhoto {
        name,
        sha256,
        format: facts.format,
        original_path: original_path(path),
        taken: facts.taken.map(|taken| taken.to_string()),
        moment: None,
        certainty: None,
        attached: None,
        camera: Some(facts.camera.clone()).filter(|camera| !camera.is_empty()),
    }))
}
