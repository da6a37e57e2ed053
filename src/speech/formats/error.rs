//! What can be wrong with a transcript file.

/// An error in a transcript file; lines count from 1.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FormatError {
    /// The ending names no known format.
    #[error("{file}: no transcript format has this ending; expected .vtt, .srt, .txt or .json")]
    UnknownEnding {
        /// File name.
        file: String,
    },
    /// The file holds no words.
    #[error("{file}: there are no words in the file; check that it was written to the end")]
    Empty {
        /// File name.
        file: String,
    },
    /// The file is no text at all.
    #[error(
        "{file}: this is not text (byte {byte} is zero); if it is a recording, give it a name with \
         its audio ending"
    )]
    Binary {
        /// File name.
        file: String,
        /// Position of the first zero byte, from 0.
        byte: usize,
    },
    /// The bytes are in another encoding.
    #[error(
        "{file}, line {line}: the text is not {expected}; save the file as UTF-8 and try again"
    )]
    Encoding {
        /// File name.
        file: String,
        /// Line of the first byte that does not belong.
        line: usize,
        /// The encoding it was read as.
        expected: &'static str,
    },
    /// A WebVTT file does not begin as one.
    #[error(
        "{file}, line 1: a WebVTT file begins with \"WEBVTT\", found {found:?}; add that line, or name the file .srt or .txt"
    )]
    NoHeader {
        /// File name.
        file: String,
        /// The beginning of its first line.
        found: String,
    },
    /// A line that should hold times does not.
    #[error("{file}, line {line}: {found:?} is not a time; expected {expected}")]
    BadTime {
        /// File name.
        file: String,
        /// The line.
        line: usize,
        /// What stands there.
        found: String,
        /// What a time looks like here.
        expected: &'static str,
    },
    /// A cue's times are missing.
    #[error("{file}, line {line}: expected a line of times such as {expected}, found {found:?}")]
    NoTimes {
        /// File name.
        file: String,
        /// The line.
        line: usize,
        /// What stands there.
        found: String,
        /// An example.
        expected: &'static str,
    },
    /// A cue ends before it starts.
    #[error(
        "{file}, line {line}: the cue ends ({end}) before it starts ({start}); correct one of the two"
    )]
    EndBeforeStart {
        /// File name.
        file: String,
        /// The line.
        line: usize,
        /// Its start as written.
        start: String,
        /// Its end as written.
        end: String,
    },
    /// A stamp is earlier than the one before it.
    #[error(
        "{file}, line {line}: the stamp {found} is earlier than {before} before it; give each recording its own file"
    )]
    StampGoesBack {
        /// File name.
        file: String,
        /// The line.
        line: usize,
        /// The stamp.
        found: String,
        /// The one before.
        before: String,
    },
    /// The JSON is malformed or is no transcript.
    #[error("{file}, line {line}: not a transcript in JSON: {why}")]
    Json {
        /// File name.
        file: String,
        /// The line; 0 where unknown.
        line: usize,
        /// What was expected.
        why: String,
    },
    /// A format of timed cues cannot hold words without times.
    #[error(
        "word {word} ({text:?}) has no time, which WebVTT and SubRip need; write .txt or .json instead"
    )]
    Untimed {
        /// Number of the word, from 1.
        word: usize,
        /// The word.
        text: String,
    },
}
