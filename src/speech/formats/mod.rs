//! Timed transcripts as files: WebVTT, SubRip, plain text with or without stamps, JSON.
//!
//! A transcript file can stand in for a recording, and what was heard can be written as one. Only
//! starts and ends of cues (or stamps) are in such files; the words between share the time by their
//! length in characters.

mod cues;
mod encoding;
mod error;
mod json;
mod srt;
mod stamp;
mod text;
mod vtt;

pub use cues::{Cue, cues};
pub use error::FormatError;
pub(crate) use stamp::clock;

use super::{Recording, Transcript};

/// The kinds of transcript files.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    /// WebVTT (`.vtt`).
    Vtt,
    /// SubRip (`.srt`).
    Srt,
    /// Plain text (`.txt`), with or without `[m:ss]` or `[h:mm:ss]` stamps.
    Text,
    /// The transcript as JSON (`.json`), with every word's own time and probability.
    Json,
}

impl Format {
    /// Returns the format that a file's name asks for by its ending, whatever its case.
    ///
    /// # Errors
    /// [`FormatError::UnknownEnding`] for every other ending.
    pub fn from_file_name(file: &str) -> Result<Self, FormatError> {
        let ending = file
            .rsplit_once('.')
            .map(|(_, ending)| ending.to_ascii_lowercase());
        match ending.as_deref() {
            Some("vtt") => Ok(Format::Vtt),
            Some("srt") => Ok(Format::Srt),
            Some("txt") => Ok(Format::Text),
            Some("json") => Ok(Format::Json),
            _ => Err(FormatError::UnknownEnding {
                file: file.to_owned(),
            }),
        }
    }
}

/// The file that a transcript is read from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Source<'a> {
    /// File name without folders.
    pub file: &'a str,
    /// SHA-256 of its bytes, 64 lowercase hexadecimal digits.
    pub sha256: &'a str,
    /// The number its recording gets.
    pub recording: u32,
}

/// Returns the transcript in `bytes`, as one recording named after the file (JSON keeps the
/// recordings it names, numbered from [`Source::recording`] on). The recording lasts until its last
/// cue ends; 0 s where the file has no times.
///
/// # Errors
/// [`FormatError`] with the file and line where the bytes are no such transcript.
pub fn read(source: Source<'_>, format: Format, bytes: &[u8]) -> Result<Transcript, FormatError> {
    let text = encoding::decode(source.file, bytes)?;
    let passages = match format {
        Format::Vtt => vtt::read(source.file, &text)?,
        Format::Srt => srt::read(source.file, &text)?,
        Format::Text => text::read(source.file, &text)?,
        Format::Json => return json::read(source, &text),
    };
    let words = cues::words(source.recording, passages);
    if words.is_empty() {
        return Err(FormatError::Empty {
            file: source.file.to_owned(),
        });
    }
    let duration_ms = words
        .iter()
        .filter_map(|w| w.span)
        .map(|s| s.end.0)
        .max()
        .unwrap_or(0);
    let recording = Recording {
        id: source.recording,
        file: source.file.to_owned(),
        sha256: source.sha256.to_owned(),
        duration_s: duration_ms as f64 / 1000.0,
        speech_s: 0.0,
    };
    Ok(Transcript {
        recordings: vec![recording],
        words,
    })
}

/// Returns one recording's words as a file of the given format, UTF-8 with `\n` line ends.
///
/// # Errors
/// [`FormatError::Untimed`] for WebVTT and SubRip where a word has no time.
pub fn write(
    transcript: &Transcript,
    recording: u32,
    format: Format,
) -> Result<String, FormatError> {
    let one = Transcript {
        recordings: transcript
            .recordings
            .iter()
            .filter(|r| r.id == recording)
            .cloned()
            .collect(),
        words: transcript
            .words
            .iter()
            .filter(|w| w.recording == recording)
            .cloned()
            .collect(),
    };
    match format {
        Format::Vtt => vtt::write(&one),
        Format::Srt => srt::write(&one),
        Format::Text => Ok(text::write(&one)),
        Format::Json => write_json(&one),
    }
}

/// Returns the whole transcript, all recordings, as JSON.
///
/// # Errors
/// [`FormatError::Json`] where a number cannot be written (an infinite duration).
pub fn write_json(transcript: &Transcript) -> Result<String, FormatError> {
    json::write(transcript)
}

#[cfg(test)]
mod tests;
