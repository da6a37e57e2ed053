//! What was heard: recordings, and their words with times and probabilities.

use crate::time::Span;
use serde::{Deserialize, Serialize};

/// One recorded file, or one transcript file that stands in for a recording.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Recording {
    /// Its number within the walk-round, from 1, in the order given.
    pub id: u32,
    /// File name without folders.
    pub file: String,
    /// SHA-256 of the file's bytes, 64 lowercase hexadecimal digits.
    pub sha256: String,
    /// Length in seconds; 0 where a transcript carries no times.
    pub duration_s: f64,
    /// Seconds in which speech was detected; 0 where unknown.
    pub speech_s: f64,
}

/// One word as heard.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Word {
    /// The word with its capitals and punctuation, without spaces: `"Hallway,"`.
    pub text: String,
    /// Number of the recording it was heard in ([`Recording::id`]).
    pub recording: u32,
    /// When it was said, in that recording's time; `None` in a transcript without times.
    pub span: Option<Span>,
    /// The recogniser's probability for the word, 0 to 1; 1 in a transcript that a person supplied.
    pub probability: f32,
    /// True where a line, cue or paragraph of a supplied transcript ends after this word.
    pub line_end: bool,
    /// What a second look at the sound takes it for; empty where the words before it stand for it too.
    /// [`Word::text`] stays as it was heard.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub meant: Option<String>,
}

impl Word {
    /// Returns the index after the last of `words` that the one at `at` stands for: itself, and those
    /// that a second look took together with it.
    pub(crate) fn end_of(words: &[Word], at: usize) -> usize {
        let more = words.iter().skip(at + 1);
        let more = more.take_while(|word| word.meant.as_deref() == Some(""));
        at + 1 + more.count()
    }

    /// Returns a word that was written, not heard: without a time, and certain.
    pub(crate) fn written(text: &str) -> Word {
        Word {
            text: text.to_owned(),
            recording: 0,
            span: None,
            probability: 1.0,
            line_end: false,
            meant: None,
        }
    }
}

/// Everything heard in one walk-round: the words of all recordings, in order.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Transcript {
    /// The recordings, ordered by [`Recording::id`].
    pub recordings: Vec<Recording>,
    /// The words, ordered by recording, then by time.
    pub words: Vec<Word>,
}
