//! Keeping a taken file in the job: the file itself, its words, and notes beside them.

use super::hear::Heard;
use super::sources::{Content, Source};
use crate::audio::sha256_of_file;
use crate::commands::error::CliError;
use crate::items::Unplaced;
use crate::job::{Job, KeptRecording, RECORDINGS_FOLDER};
use crate::speech::{Recording, Word};
use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};
use tempfile::Builder;

/// Start of the key of a recording's notes, before its number.
const NOTES: &str = "notes/";
/// Start of the key of what a recording's words were made with, before its number.
const MADE_WITH: &str = "made_with/";

/// Refuses a file that has changed since it was taken: both contents in one list would count
/// everything twice.
///
/// # Errors
/// Names the file and the way out.
pub(super) fn refuse_changed(job: &Job, source: &Source) -> Result<(), CliError> {
    let path = original_path(source);
    let recordings = job.recordings()?;
    let known = match &source.content {
        Content::Sound => is_kept(&recordings, &source.sha256),
        // A transcript as JSON names the recordings that it was heard in.
        Content::Transcript(transcript) => transcript
            .recordings
            .iter()
            .any(|recording| is_kept(&recordings, &recording.sha256)),
    };
    let changed = recordings.iter().any(|kept| kept.original_path == path);
    if changed && !known {
        return Err(CliError::input(format_args!(
            "{}: has changed since it was taken into {}; its items would be there twice",
            source.shown(),
            job.dir().display()
        ))
        .hint("take it into another job folder with --job, or take it under another name to have both"));
    }
    Ok(())
}

fn is_kept(recordings: &[KeptRecording], sha256: &str) -> bool {
    recordings
        .iter()
        .any(|kept| kept.recording.sha256 == sha256)
}

/// Returns true where the job has the recording's words, made with the same model and settings,
/// and the file itself.
///
/// # Errors
/// As reading the job has it.
pub(super) fn is_taken(job: &Job, source: &Source, made_with: &str) -> Result<bool, CliError> {
    let details = job.details()?;
    Ok(job.recordings()?.iter().any(|kept| {
        let key = format!("{MADE_WITH}{}", kept.recording.id);
        kept.recording.sha256 == source.sha256
            && kept.transcribed
            && details.get(&key).is_some_and(|made| made == made_with)
            && folder(job).join(&kept.recording.file).is_file()
    }))
}

/// Keeps the file, its words and its notes.
///
/// # Errors
/// As the disk has it.
pub(super) fn keep(
    job: &mut Job,
    source: &Source,
    heard: Heard,
    visit: u32,
) -> Result<(), CliError> {
    for recording in &heard.transcript.recordings {
        let file = if recording.sha256 == source.sha256 {
            keep_file(job, source)?
        } else {
            recording.file.clone()
        };
        let path = original_path(source);
        let id = job.add_later_recording(visit, &file, &recording.sha256, &path)?;
        let words: Vec<Word> = heard
            .transcript
            .words
            .iter()
            .filter(|word| word.recording == recording.id)
            .map(|word| Word {
                recording: id,
                ..word.clone()
            })
            .collect();
        let notes: Vec<Unplaced> = heard
            .notes
            .iter()
            .filter(|note| note.recording == recording.id)
            .map(|note| Unplaced {
                recording: id,
                ..note.clone()
            })
            .collect();
        let kept = Recording {
            id,
            file,
            ..recording.clone()
        };
        job.keep_words(&kept, &words)?;
        job.set_detail(&format!("{NOTES}{id}"), &serde_json::to_string(&notes)?)?;
        let made_with = heard.made_with.as_deref().unwrap_or_default();
        job.set_detail(&format!("{MADE_WITH}{id}"), made_with)?;
    }
    Ok(())
}

/// Returns the notes of all recordings.
///
/// # Errors
/// As reading the job has it.
pub(super) fn notes(job: &Job) -> Result<Vec<Unplaced>, CliError> {
    let mut all = Vec::new();
    for (key, json) in job.details()? {
        if key.starts_with(NOTES) {
            all.extend(serde_json::from_str::<Vec<Unplaced>>(&json).map_err(|e| {
                CliError::input(format_args!(
                    "{}: {key} cannot be read: {e}",
                    job.file().display()
                ))
            })?);
        }
    }
    Ok(all)
}

fn folder(job: &Job) -> PathBuf {
    job.dir().join(RECORDINGS_FOLDER)
}

fn original_path(source: &Source) -> String {
    fs::canonicalize(&source.path)
        .unwrap_or_else(|_| source.path.clone())
        .to_string_lossy()
        .into_owned()
}

/// Copies the file into the job's `recordings/` unless it is there, and returns its name there.
fn keep_file(job: &Job, source: &Source) -> Result<String, CliError> {
    let folder = folder(job);
    fs::create_dir_all(&folder).map_err(|e| failed("make", &folder, &e))?;
    for name in names(&source.name) {
        let target = folder.join(&name);
        if !target.exists() {
            copy(source, &folder, &target)?;
            return Ok(name);
        }
        if sha256_of_file(&target)? == source.sha256 {
            return Ok(name);
        }
    }
    Err(CliError::input(format_args!(
        "{}: no free name for {}",
        folder.display(),
        source.name
    )))
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
fn copy(source: &Source, folder: &Path, target: &Path) -> Result<(), CliError> {
    let mut temporary = Builder::new()
        .prefix(".callover-")
        .suffix(".part")
        .tempfile_in(folder)
        .map_err(|e| failed("make a file in", folder, &e))?;
    let mut from = File::open(&source.path).map_err(|e| failed("read", &source.path, &e))?;
    io::copy(&mut from, &mut temporary).map_err(|e| failed("copy into", target, &e))?;
    temporary
        .as_file()
        .sync_all()
        .map_err(|e| failed("write", target, &e))?;
    if sha256_of_file(temporary.path())? != source.sha256 {
        return Err(CliError::input(format_args!(
            "{}: changed while it was read; wait until it is complete and take it again",
            source.shown()
        )));
    }
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // Temporary files are private; a copy is as readable as its original.
        let mode =
            fs::metadata(&source.path).map_or(0o644, |data| data.permissions().mode() | 0o600);
        temporary
            .as_file()
            .set_permissions(fs::Permissions::from_mode(mode))
            .map_err(|e| failed("set the rights of", target, &e))?;
    }
    temporary
        .persist_noclobber(target)
        .map_err(|e| failed("write", target, &e.error))?;
    Ok(())
}

fn failed(doing: &str, path: &Path, error: &io::Error) -> CliError {
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
}
