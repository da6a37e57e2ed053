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
