//! The transcript as JSON, `callover-transcript/1`: every word with its time in seconds.

use super::Source;
use super::error::FormatError;
use crate::speech::{Recording, Transcript, Word};
use crate::time::{Millis, Span};
use serde::{Deserialize, Serialize};

/// Name and version of the form.
const SCHEMA: &str = "callover-transcript/1";

#[derive(Serialize, Deserialize)]
struct Document {
    schema: String,
    recordings: Vec<Recording>,
    words: Vec<Spoken>,
}

/// One word; times in seconds, absent where unknown.
#[derive(Serialize, Deserialize)]
struct Spoken {
    text: String,
    recording: u32,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    start_s: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    end_s: Option<f64>,
    probability: f32,
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    line_end: bool,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    meant: Option<String>,
}

pub(super) fn read(source: Source<'_>, text: &str) -> Result<Transcript, FormatError> {
    let wrong = |line, why: String| FormatError::Json {
        file: source.file.to_owned(),
        line,
        why,
    };
    if text.trim().is_empty() {
        return Err(FormatError::Empty {
            file: source.file.to_owned(),
        });
    }
    let document: Document =
        serde_json::from_str(text).map_err(|error| wrong(error.line(), error.to_string()))?;
    if document.schema != SCHEMA {
        return Err(wrong(
            1,
            format!("expected schema {SCHEMA:?}, found {:?}", document.schema),
        ));
    }
    let numbers: Vec<u32> = document.recordings.iter().map(|r| r.id).collect();
    let renumbered = |id: u32| {
        let index = numbers.iter().position(|n| *n == id)?;
        u32::try_from(index).ok()?.checked_add(source.recording)
    };
    let mut words = Vec::new();
    for (i, word) in document.words.into_iter().enumerate() {
        let recording = renumbered(word.recording).ok_or_else(|| {
            wrong(
                0,
                format!(
                    "word {} names recording {}, which is not listed",
                    i + 1,
                    word.recording
                ),
            )
        })?;
        let span = match (word.start_s, word.end_s) {
            (Some(start), Some(end)) if end < start => {
                return Err(wrong(0, format!("word {} ends before it starts", i + 1)));
            }
            (Some(start), Some(end)) => Some(Span::new(
                Millis::from_seconds(start),
                Millis::from_seconds(end),
            )),
            (None, None) => None,
            _ => {
                return Err(wrong(
                    0,
                    format!("word {} has only one of start_s and end_s", i + 1),
                ));
            }
        };
        let (text, probability, line_end) = (word.text, word.probability, word.line_end);
        if text.trim().is_empty() || text.contains(char::is_whitespace) {
            return Err(wrong(
                0,
                format!("word {} is empty or holds a space: {text:?}", i + 1),
            ));
        }
        words.push(Word {
            text,
            recording,
            span,
            probability,
            line_end,
            meant: word.meant,
        });
    }
    if words.is_empty() {
        return Err(FormatError::Empty {
            file: source.file.to_owned(),
        });
    }
    let recordings = document
        .recordings
        .into_iter()
        .map(|r| Recording {
            id: renumbered(r.id).unwrap_or(r.id),
            ..r
        })
        .collect();
    Ok(Transcript { recordings, words })
}

pub(super) fn write(transcript: &Transcript) -> Result<String, FormatError> {
    let words = transcript.words.iter().map(|word| Spoken {
        text: word.text.clone(),
        recording: word.recording,
        start_s: word.span.map(|s| s.start.seconds()),
        end_s: word.span.map(|s| s.end.seconds()),
        probability: word.probability,
        line_end: word.line_end,
        meant: word.meant.clone(),
    });
    let document = Document {
        schema: SCHEMA.to_owned(),
        recordings: transcript.recordings.clone(),
        words: words.collect(),
    };
    serde_json::to_string_pretty(&document)
        .map(|json| json + "\n")
        .map_err(|error| FormatError::Json {
            file: "transcript".to_owned(),
            line: 0,
            why: error.to_string(),
        })
}
