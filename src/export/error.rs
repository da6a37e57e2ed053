//! What can stop a document from being made.

use super::Format;
use std::path::PathBuf;
use thiserror::Error;

/// Why a document could not be made.
#[derive(Debug, Error)]
pub enum ExportError {
    /// The file's ending names no format.
    #[error(
        "{}: the ending names no known format; use one of {}", .path.display(), known_endings()
    )]
    UnknownEnding {
        /// The file asked for.
        path: PathBuf,
    },
    /// The PDF library refused to write the file.
    #[error("the PDF cannot be made: {reason}; please report this with the list as JSON")]
    Pdf {
        /// What it said.
        reason: String,
    },
    /// The document's date is not RFC 3339.
    #[error(
        "the list's date {text:?} is not a date and time as in RFC 3339; expected the form \
         2026-03-02T17:05:00Z"
    )]
    Created {
        /// What was given instead.
        text: String,
    },
    /// A number of an item cannot be right.
    #[error(
        "item {number}: {what} is {value}, expected {expected}; open the item in confirm and save \
         it again"
    )]
    ItemNumber {
        /// The item's running number.
        number: u32,
        /// Which of its numbers.
        what: &'static str,
        /// What it is.
        value: f64,
        /// What it should be.
        expected: &'static str,
    },
    /// Two items share a running number.
    #[error("two items have the number {number}; expected each number once; number the list again")]
    SameNumber {
        /// The number.
        number: u32,
    },
    /// A recording's length cannot be right.
    #[error(
        "recording {file}: its length is {value} seconds, expected a number of at least 0; take the \
         recording again"
    )]
    RecordingLength {
        /// File name.
        file: String,
        /// What it is.
        value: f64,
    },
    /// A day of an item is none.
    #[error(
        "item {number}: {what} is {text:?}, expected a day in the form 2026-03-30; set it again"
    )]
    Day {
        /// The item's running number.
        number: u32,
        /// Which of its days.
        what: &'static str,
        /// What was given instead.
        text: String,
    },
    /// Cues belong to one recording, and it is not clear to which.
    #[error(
        "the list has {count} recordings, and cues belong to one; write them to a file, not to \
         the standard output: each recording then gets its own"
    )]
    WhichRecording {
        /// How many there are.
        count: usize,
    },
    /// Nothing in a recording has a time.
    #[error(
        "{file} has no times, which .vtt and .srt need; take the recording itself, or a transcript \
         with times"
    )]
    Untimed {
        /// The recording's file name.
        file: String,
    },
    /// A calendar without entries.
    #[error("no item is shown, and a calendar needs at least one task; leave the .ics out")]
    NothingToDo,
    /// The workbook could not be written.
    #[error("the list could not be put into a workbook: {0}")]
    Workbook(#[from] rust_xlsxwriter::XlsxError),
    /// The BCF file could not be written.
    #[error("the list could not be put into BCF: {0}")]
    Bcf(#[from] std::io::Error),
    /// The JSON could not be written.
    #[error("the list could not be put into json: {0}")]
    Json(#[from] serde_json::Error),
    /// The CSV could not be written.
    #[error("the list could not be put into csv: {0}")]
    Csv(#[from] csv::Error),
}

/// Returns the endings of all formats, as in `.json, .csv`.
fn known_endings() -> String {
    let dotted: Vec<String> = Format::ALL
        .iter()
        .map(|f| format!(".{}", f.ending()))
        .collect();
    dotted.join(", ")
}
