//! Keeping a taken file in the job: the file itself, its words, and notes beside them.

use super::hear::Heard;
use super::sources::{Content, Source};
use crate::commands::error::CliError;
use crate::commands::keep_file::{Given, keep_file, original_path};
use crate::items::Unplaced;
use crate::job::{Job, KeptRecording, RECORDINGS_FOLDER};
use crate::speech::{Recording, Word};
use std::path::PathBuf;

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
    let path = original_path(&source.path);
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
            let given = Given {
                path: &source.path,
                name: &source.name,
                sha256: &source.sha256,
            };
            keep_file(given, &folder(job))?
        } else {
            recording.file.clone()
        };
        let path = original_path(&source.path);
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
