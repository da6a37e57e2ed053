//! Recordings, their words, and the finished recognition windows that make resuming cheap.

use super::{FIRST_VISIT, Job, JobError};
use crate::speech::{Recording, Transcript, Word};
use rusqlite::{OptionalExtension, params};
use serde::Serialize;
use serde::de::DeserializeOwned;
use std::collections::BTreeMap;
use std::path::Path;

/// A recording of the job.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptRecording {
    /// The recording; [`Recording::id`] gives its order.
    pub recording: Recording,
    /// Where the file was when it was taken in, as text for people.
    pub original_path: String,
    /// True once its words are kept.
    pub transcribed: bool,
    /// Number of the visit that it is from: 1 for the walk-round that made the list.
    pub visit: u32,
}

/// What a finished window was made from. A changed recording, model or setting is another key, so
/// a stale result is never used.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct WindowKey {
    /// SHA-256 of the recording's file.
    pub recording_sha256: String,
    /// Running number of the window within the recording.
    pub window: u32,
    /// SHA-256 of the model's file.
    pub model_sha256: String,
    /// Everything else that changes the result, as one line of text.
    pub settings: String,
}

impl Job {
    /// Takes in a recording and returns its number: the one it has already where a recording of
    /// the same content is there, the next free one otherwise. Length and speech start at 0.
    ///
    /// # Errors
    /// As writing has it.
    pub fn add_recording(
        &mut self,
        file: &str,
        sha256: &str,
        original_path: &str,
    ) -> Result<u32, JobError> {
        self.insert_recording(FIRST_VISIT, file, sha256, original_path)
    }

    /// See [`Job::add_recording`] and [`Job::add_later_recording`].
    pub(super) fn insert_recording(
        &mut self,
        visit: u32,
        file: &str,
        sha256: &str,
        original_path: &str,
    ) -> Result<u32, JobError> {
        let path = self.file();
        let mut add = || -> rusqlite::Result<u32> {
            let transaction = self.connection.transaction()?;
            transaction.execute(
                "INSERT INTO recordings
                 (id, sha256, file, original_path, duration_s, speech_s, visit)
                 SELECT coalesce(max(id), 0) + 1, ?1, ?2, ?3, 0.0, 0.0, ?4
                 FROM recordings WHERE true
                 ON CONFLICT (sha256) DO NOTHING",
                params![sha256, file, original_path, visit],
            )?;
            let find = "SELECT id FROM recordings WHERE sha256 = ?1";
            let id = transaction.query_row(find, [sha256], |row| row.get(0))?;
            transaction.commit()?;
            Ok(id)
        };
        add().map_err(|source| JobError::sqlite("keep the recording", &path, source))
    }

    /// Keeps what transcribing found: the recording's length and speech, and its words, in place
    /// of earlier ones.
    ///
    /// # Errors
    /// [`JobError::NoRecording`] where its number and content are not in the job; otherwise as
    /// writing has it.
    pub fn keep_words(&mut self, recording: &Recording, words: &[Word]) -> Result<(), JobError> {
        let path = self.file();
        let json = to_json(&format!("recording {}", recording.id), words)?;
        let changed = self
            .connection
            .execute(
                "UPDATE recordings SET duration_s = ?3, speech_s = ?4, words = ?5
                 WHERE id = ?1 AND sha256 = ?2",
                params![
                    recording.id,
                    recording.sha256,
                    recording.duration_s,
                    recording.speech_s,
                    json
                ],
            )
            .map_err(|source| JobError::sqlite("keep the words", &path, source))?;
        if changed == 1 {
            Ok(())
        } else {
            Err(JobError::NoRecording {
                path,
                id: recording.id,
            })
        }
    }

    /// Returns the recordings in order.
    ///
    /// # Errors
    /// As reading has it.
    pub fn recordings(&self) -> Result<Vec<KeptRecording>, JobError> {
        let read = || -> rusqlite::Result<_> {
            let mut statement = self.connection.prepare(
                "SELECT id, file, sha256, duration_s, speech_s, original_path, words IS NOT NULL,
                        visit
                 FROM recordings ORDER BY id",
            )?;
            let rows = statement.query_map([], |row| {
                let recording = Recording {
                    id: row.get(0)?,
                    file: row.get(1)?,
                    sha256: row.get(2)?,
                    duration_s: row.get(3)?,
                    speech_s: row.get(4)?,
                };
                let original_path = row.get(5)?;
                Ok(KeptRecording {
                    recording,
                    original_path,
                    transcribed: row.get(6)?,
                    visit: row.get(7)?,
                })
            })?;
            rows.collect()
        };
        read().map_err(|source| JobError::sqlite("read the recordings", &self.file(), source))
    }

    /// Returns the words of one recording; `None` until they are kept.
    ///
    /// # Errors
    /// [`JobError::NoRecording`], or as reading has it.
    pub fn words(&self, recording: u32) -> Result<Option<Vec<Word>>, JobError> {
        let path = self.file();
        let found: Option<Option<String>> = self
            .connection
            .query_row(
                "SELECT words FROM recordings WHERE id = ?1",
                [recording],
                |row| row.get(0),
            )
            .optional()
            .map_err(|source| JobError::sqlite("read the words", &path, source))?;
        match found {
            None => Err(JobError::NoRecording {
                path,
                id: recording,
            }),
            Some(None) => Ok(None),
            Some(Some(json)) => {
                from_json(&path, &format!("the words of recording {recording}"), &json).map(Some)
            }
        }
    }

    /// Returns all recordings and all words kept so far.
    ///
    /// # Errors
    /// As reading has it.
    pub fn transcript(&self) -> Result<Transcript, JobError> {
        let mut transcript = Transcript::default();
        for kept in self.recordings()? {
            transcript
                .words
                .extend(self.words(kept.recording.id)?.unwrap_or_default());
            transcript.recordings.push(kept.recording);
        }
        Ok(transcript)
    }

    /// Keeps the result of one window. When this returns, it is on the disk.
    ///
    /// # Errors
    /// As writing has it.
    pub fn keep_window<T: Serialize>(
        &mut self,
        key: &WindowKey,
        result: &T,
    ) -> Result<(), JobError> {
        let json = to_json(&format!("window {}", key.window), result)?;
        self.connection
            .execute(
                "INSERT OR REPLACE INTO windows (sha256, window, model, settings, content)
                 VALUES (?1, ?2, ?3, ?4, ?5)",
                params![
                    key.recording_sha256,
                    key.window,
                    key.model_sha256,
                    key.settings,
                    json
                ],
            )
            .map_err(|source| JobError::sqlite("keep the window", &self.file(), source))?;
        Ok(())
    }

    /// Returns the kept results of all windows of one recording, model and settings, by window.
    ///
    /// # Errors
    /// As reading has it; [`JobError::Damaged`] where a result is not a `T`.
    pub fn windows<T: DeserializeOwned>(
        &self,
        recording_sha256: &str,
        model_sha256: &str,
        settings: &str,
    ) -> Result<BTreeMap<u32, T>, JobError> {
        let read = || -> rusqlite::Result<Vec<(u32, String)>> {
            let mut statement = self.connection.prepare(
                "SELECT window, content FROM windows
                 WHERE sha256 = ?1 AND model = ?2 AND settings = ?3 ORDER BY window",
            )?;
            let rows = statement.query_map([recording_sha256, model_sha256, settings], |row| {
                Ok((row.get(0)?, row.get(1)?))
            })?;
            rows.collect()
        };
        let path = self.file();
        read()
            .map_err(|source| JobError::sqlite("read the windows", &path, source))?
            .into_iter()
            .map(|(window, json)| {
                Ok((
                    window,
                    from_json(&path, &format!("window {window}"), &json)?,
                ))
            })
            .collect()
    }
}

/// Reads kept JSON, or says that the file is damaged.
pub(super) fn from_json<T: DeserializeOwned>(
    path: &Path,
    what: &str,
    json: &str,
) -> Result<T, JobError> {
    serde_json::from_str(json).map_err(|error| JobError::Damaged {
        path: path.into(),
        detail: format!("{what} cannot be read: {error}"),
    })
}

/// Writes JSON for the job file.
pub(super) fn to_json<T: Serialize + ?Sized>(what: &str, value: &T) -> Result<String, JobError> {
    serde_json::to_string(value).map_err(|source| JobError::Unwritable {
        what: what.into(),
        source,
    })
}
