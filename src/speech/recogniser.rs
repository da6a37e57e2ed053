//! The door to speech recognition: samples in, words out, nothing said silently lost.

use super::adapter::AdapterError;
use crate::time::Span;
use std::ops::Range;
use thiserror::Error;

/// Samples per second that a recogniser takes.
pub const SAMPLE_RATE: u32 = 16_000;

/// Longest window in seconds: what Whisper's encoder sees at once.
pub const LONGEST_WINDOW_S: f64 = 30.0;

/// Turns windows of speech into words.
///
/// What it returns depends on the samples and on how it was made, never on earlier windows: the
/// same recording gives the same words, whole or resumed half-way.
pub trait Recogniser {
    /// Returns what was heard in one window of 16 kHz mono samples, each from -1 to 1; at most
    /// [`LONGEST_WINDOW_S`].
    ///
    /// # Errors
    /// [`SpeechError`] when the samples cannot be used or the recogniser fails.
    fn recognise(&mut self, samples: &[f32]) -> Result<Heard, SpeechError>;

    /// Returns for each doubt about the words of a window how likely they and their other wordings are
    /// for its samples.
    ///
    /// # Errors
    /// [`SpeechError`] when the recogniser fails.
    fn weigh(
        &mut self,
        samples: &[f32],
        words: &[&str],
        doubts: &[Doubt],
    ) -> Result<Vec<Likelihoods>, SpeechError>;

    /// Returns for some words of a window what else may stand in the place of each, likeliest first.
    ///
    /// # Errors
    /// [`SpeechError`] when the recogniser fails.
    fn next_best(
        &mut self,
        samples: &[f32],
        words: &[&str],
        which: &[usize],
    ) -> Result<Vec<Vec<NextBest>>, SpeechError>;
}

/// A word that may stand in the place of one that was heard.
#[derive(Debug, Clone, PartialEq)]
pub struct NextBest {
    /// The word, without punctuation.
    pub text: String,
    /// The natural logarithm of its probability there.
    pub likelihood: f32,
}

/// Words of a window that may have been others.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Doubt {
    /// Which of the window's words.
    pub words: Range<usize>,
    /// What they may have been, each as it would be written.
    pub instead: Vec<String>,
}

/// Natural logarithms of the probabilities of wordings for the sound, each with a few words after it.
#[derive(Debug, Clone, PartialEq)]
pub struct Likelihoods {
    /// Of the words as they were heard.
    pub heard: f32,
    /// Of each other wording; what is far less likely than the words heard is not told exactly.
    pub instead: Vec<f32>,
}

/// What was heard in one window.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Heard {
    /// The words in order; spans never go back and lie within the window.
    pub words: Vec<HeardWord>,
    /// Text that the recogniser wrote but nobody said, as far as can be told; kept as evidence.
    pub dropped: Vec<DroppedText>,
}

/// One recognised word.
#[derive(Debug, Clone, PartialEq)]
pub struct HeardWord {
    /// The word with its capitals and punctuation, without spaces: `"Hallway,"`.
    pub text: String,
    /// When it was said, in time since the window's first sample.
    pub span: Span,
    /// How sure the recogniser is, 0 to 1: the smallest probability among the word's pieces.
    ///
    /// The smallest, not the average: a word is wrong when one of its pieces is wrong, and one
    /// doubtful syllable is what marks a misheard trade word.
    pub probability: f32,
}

/// Recognised text that was taken out.
#[derive(Debug, Clone, PartialEq)]
pub struct DroppedText {
    /// The text as recognised.
    pub text: String,
    /// Where in the window it would have been said.
    pub span: Span,
    /// Why it was taken out.
    pub reason: DropReason,
}

/// Why recognised text was taken out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DropReason {
    /// The recogniser ran in a circle; the first round was kept.
    Repetition,
    /// A phrase that Whisper writes over silence or noise, in a window with hardly any speech.
    HeardInNoise,
    /// Words of the prompt given back.
    PromptEcho,
    /// Nothing was written where speech was found; the text is empty.
    NoWords,
}

/// Ways in which recognition fails.
#[derive(Debug, Error)]
pub enum SpeechError {
    /// The model cannot be put together.
    #[error("cannot use the speech model")]
    Model(#[from] AdapterError),
    /// The model passed its check but could not be loaded.
    #[error("cannot load the speech model (damaged file or too little memory)")]
    Load(#[source] whisper_rs::WhisperError),
    /// The window is longer than the recogniser can take in.
    #[error("a window of {seconds:.1} s is too long to recognise at once, expected at most 30 s")]
    TooLong {
        /// Length of the window.
        seconds: f64,
    },
    /// A sample is not a number.
    #[error("the sound is damaged at {second:.3} s of a window: a sample is not a number")]
    NotANumber {
        /// Place in the window.
        second: f64,
    },
    /// Sound cannot be played at another pace; does not happen.
    #[error("the sound cannot be played slower: {0}")]
    Pace(String),
    /// The prompt cannot be used.
    #[error("the prompt cannot be used, expected plain text without zero characters")]
    Prompt(#[source] whisper_rs::WhisperError),
    /// whisper.cpp reports an error.
    #[error("recognising a window of {seconds:.1} s failed")]
    Recognise {
        /// Length of the window.
        seconds: f64,
        /// What whisper.cpp reported.
        source: whisper_rs::WhisperError,
    },
}
