//! `callover doctor JOB`: what is wrong with a job, and mending what can be mended.

use crate::audio::sha256_of_file;
use crate::commands::error::{CliError, Exit};
use crate::commands::keep_file::{Given, failed, keep_file};
use crate::commands::shared;
use crate::job::{JobError, PHOTOS_FOLDER, RECORDINGS_FOLDER, Trouble, examine, salvage};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// Looks the job over, and mends it where that is asked for.
///
/// # Errors
/// Where something is wrong, and was not mended: [`Exit::Partly`] where a part was mended, or rows
/// were lost.
pub(super) fn run(dir: &Path, repair: bool, search: Option<&Path>) -> Result<(), CliError> {
    super::line("job", &dir.display().to_string());
    let examination = examine(dir)?;
    if !repair {
        for (label, text) in &examination.parts {
            super::line(label, text);
        }
        return result(dir, &examination.troubles, 0, 0, repair);
    }
    let (mut mended, mut lost) = (0, 0);
    let mut troubles = examination.troubles;
    if troubles.iter().any(Trouble::is_of_file) {
        lost = save_rows(dir)?;
        mended += 1;
        troubles = examine(dir)?.troubles;
    }
    let mut known = Known::new(search);
    for trouble in &troubles {
        if mend(dir, trouble, &mut known)? {
            mended += 1;
        }
    }
    let examination = examine(dir)?;
    for (label, text) in &examination.parts {
        super::line(label, text);
    }
    result(dir, &examination.troubles, mended, lost, repair)
}

/// Prints what is wrong and returns what the command ends with.
fn result(
    dir: &Path,
    troubles: &[Trouble],
    mended: usize,
    lost: usize,
    repair: bool,
) -> Result<(), CliError> {
    print_troubles(troubles);
    let shown = dir.display();
    if troubles.is_empty() && lost == 0 {
        super::line(
            "result",
            if mended > 0 {
                "mended"
            } else {
                "nothing is wrong"
            },
        );
        return Ok(());
    }
    let mut said = Vec::new();
    match troubles.len() {
        0 => {}
        1 => said.push(format!("{shown}: one thing is wrong")),
        n => said.push(format!("{shown}: {n} things are wrong")),
    }
    if lost > 0 {
        said.push(format!("{shown}: something was lost; it is listed above"));
    }
    let error = CliError::input(said.join("\n"));
    let folder = shared::quoted(dir);
    if !repair {
        return Err(error.hint(format!(
            "`callover doctor {folder} --repair` mends what can be mended; missing recordings and \
             photos are looked for where they were, and in the folder given with --recordings"
        )));
    }
    let error = match next_step(troubles, lost, &folder) {
        Some(hint) => error.hint(hint),
        None => error,
    };
    Err(match mended > 0 {
        true => error.exit(Exit::Partly),
        false => error,
    })
}

/// Returns what the inspector can do about what was not mended, where anything.
fn next_step(troubles: &[Trouble], lost: usize, folder: &str) -> Option<String> {
    let of_list = troubles
        .iter()
        .any(|trouble| matches!(trouble, Trouble::Decisions(_)));
    if lost > 0 || of_list {
        return Some(format!(
            "what was lost of the list is made again by taking the recordings of the first visit once \
             more, `callover take RECORDINGS --job {folder}` ({folder}/{RECORDINGS_FOLDER} holds them): \
             the decisions that were saved then count again, and items that were lost get new numbers"
        ));
    }
    let missing = |trouble: &Trouble| match trouble {
        Trouble::Recording { .. } => true,
        Trouble::Photo { sha256, .. } => sha256.is_some(),
        _ => false,
    };
    troubles.iter().any(missing).then(|| {
        format!(
            "give the folder that holds what is missing, under whatever name: \
             `callover doctor {folder} --repair --recordings FOLDER`"
        )
    })
}

/// At most so many decisions that could not be applied are shown: after damage they are alike.
const MOST_DECISIONS: usize = 5;

/// Prints what is wrong, one line each.
fn print_troubles(troubles: &[Trouble]) {
    let mut decisions = 0;
    for trouble in troubles {
        if matches!(trouble, Trouble::Decisions(_)) {
            decisions += 1;
            if decisions > MOST_DECISIONS {
                continue;
            }
        }
        super::line("wrong", &trouble.to_string());
    }
    if decisions > MOST_DECISIONS {
        let more = decisions - MOST_DECISIONS;
        super::line("wrong", &format!("{more} more decisions of this kind"));
    }
}

/// Saves the rows of a damaged job file; prints and counts what was lost.
fn save_rows(dir: &Path) -> Result<usize, CliError> {
    let salvaged = salvage(dir).map_err(|error| match error {
        JobError::NotAJobFile { .. } => CliError::from(error).hint(format!(
            "nothing can be saved of it. Put it elsewhere and take the recordings anew \
             (`callover take RECORDINGS --job {}`); {RECORDINGS_FOLDER} and {PHOTOS_FOLDER} are as they were",
            shared::quoted(dir)
        )),
        error => error.into(),
    })?;
    let saved: Vec<String> = salvaged
        .saved
        .iter()
        .filter(|&&(_, count)| count > 0)
        .map(|(what, count)| format!("{what}: {count}"))
        .collect();
    super::line("saved", &saved.join(", "));
    super::line(
        "damaged",
        &format!("kept as {}", salvaged.damaged.display()),
    );
    for lost in &salvaged.lost {
        super::line("lost", lost);
    }
    Ok(salvaged.lost.len())
}

/// Mends one thing; returns false where that cannot be done.
fn mend(dir: &Path, trouble: &Trouble, known: &mut Known) -> Result<bool, CliError> {
    let (folder, name, sha256, original) = match trouble {
        Trouble::Folder(path) => {
            fs::create_dir_all(path).map_err(|e| failed("make", path, &e))?;
            super::line("mended", &format!("made the folder {}", path.display()));
            return Ok(true);
        }
        Trouble::Unfinished(path) => {
            let removed = match path.is_dir() {
                true => fs::remove_dir_all(path),
                false => fs::remove_file(path),
            };
            removed.map_err(|e| failed("remove", path, &e))?;
            super::line("mended", &format!("removed {}", path.display()));
            return Ok(true);
        }
        Trouble::Recording {
            file,
            sha256,
            original_path,
            ..
        } => (RECORDINGS_FOLDER, file, sha256, original_path),
        Trouble::Photo {
            name,
            sha256: Some(sha256),
            original_path,
            ..
        } => (PHOTOS_FOLDER, name, sha256, original_path),
        Trouble::Photo { sha256: None, .. } | Trouble::Decisions(_) | Trouble::File(_) => {
            return Ok(false);
        }
    };
    let Some(found) = known.find(sha256, Path::new(original)) else {
        return Ok(false);
    };
    let folder = dir.join(folder);
    let target = folder.join(name);
    if target.exists() {
        let aside = aside(&target);
        fs::rename(&target, &aside).map_err(|e| failed("rename", &target, &e))?;
        let text = format!("what was {} is now {}", target.display(), aside.display());
        super::line("mended", &text);
    }
    let given = Given {
        path: &found,
        name,
        sha256,
    };
    keep_file(given, &folder)?;
    super::line(
        "mended",
        &format!("{} from {}", target.display(), found.display()),
    );
    Ok(true)
}

/// Returns a free name beside a file for what stands in its place: `memo-changed.m4a`.
fn aside(path: &Path) -> PathBuf {
    let part =
        |part: Option<&std::ffi::OsStr>| part.unwrap_or_default().to_string_lossy().into_owned();
    let (stem, ending) = (part(path.file_stem()), part(path.extension()));
    let ending = if ending.is_empty() {
        ending
    } else {
        format!(".{ending}")
    };
    let numbered = |number: u32| match number {
        1 => path.with_file_name(format!("{stem}-changed{ending}")),
        n => path.with_file_name(format!("{stem}-changed-{n}{ending}")),
    };
    (1..)
        .map(numbered)
        .find(|name| !name.exists())
        .unwrap_or_default()
}

/// Files that may be what is missing, by their content.
struct Known<'a> {
    search: Option<&'a Path>,
    /// SHA-256 and path of all files of the folder; filled when first needed.
    files: Option<BTreeMap<String, PathBuf>>,
}

impl<'a> Known<'a> {
    fn new(search: Option<&'a Path>) -> Self {
        Known {
            search,
            files: None,
        }
    }

    /// Returns a file with this content: the original where it still has it, else one of the
    /// folder that was given.
    fn find(&mut self, sha256: &str, original: &Path) -> Option<PathBuf> {
        if original.is_file() && sha256_of_file(original).is_ok_and(|found| found == sha256) {
            return Some(original.to_owned());
        }
        let search = self.search?;
        let files = self.files.get_or_insert_with(|| {
            let mut files = BTreeMap::new();
            index(search, 0, &mut files);
            files
        });
        files.get(sha256).cloned()
    }
}

/// How deep the folder is looked through.
const DEEPEST: usize = 6;

fn index(folder: &Path, depth: usize, files: &mut BTreeMap<String, PathBuf>) {
    let Ok(entries) = fs::read_dir(folder) else {
        return;
    };
    let mut paths: Vec<PathBuf> = entries
        .filter_map(|entry| Some(entry.ok()?.path()))
        .collect();
    paths.sort();
    for path in paths {
        // Links to folders are not followed: they may lead round in a circle.
        if path.is_dir() && !path.is_symlink() && depth < DEEPEST {
            index(&path, depth + 1, files);
        } else if path.is_file()
            && let Ok(sha256) = sha256_of_file(&path)
        {
            files.entry(sha256).or_insert(path);
        }
    }
}
