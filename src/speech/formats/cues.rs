//! Cues: passages of text with a start and an end, to words and back.

use super::FormatError;
use crate::speech::{Transcript, Word};
use crate::time::{Millis, Span};
use std::ops::Range;

/// Text read from a file that shares one stretch of time.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Passage {
    pub(super) text: String,
    pub(super) span: Option<Span>,
    /// True where a line or cue ends after it.
    pub(super) line_end: bool,
}

/// Returns the words of the passages; those of one passage share its time by their length.
pub(super) fn words(recording: u32, passages: Vec<Passage>) -> Vec<Word> {
    let mut words: Vec<Word> = Vec::new();
    for passage in passages {
        let texts: Vec<&str> = passage.text.split_whitespace().collect();
        let spans = passage.span.map(|span| spread(&texts, span));
        for (i, text) in texts.iter().enumerate() {
            words.push(Word {
                text: (*text).to_owned(),
                recording,
                span: spans.as_ref().and_then(|s| s.get(i).copied()),
                probability: 1.0,
                line_end: false,
                meant: None,
            });
        }
        if let Some(last) = words.last_mut().filter(|_| passage.line_end) {
            last.line_end = true;
        }
    }
    words
}

/// Returns a span for each text, end to end, in proportion to its characters plus one for the gap
/// after it (speech takes about as long as writing it, no source needed for a first guess).
fn spread(texts: &[&str], span: Span) -> Vec<Span> {
    let weights: Vec<u64> = texts.iter().map(|t| t.chars().count() as u64 + 1).collect();
    let total: u64 = weights.iter().sum::<u64>().max(1);
    let mut before = 0;
    let moment = |weight: u64| {
        // Times are below 10,000 hours and texts below 2^24 characters: the product fits.
        span.start
            .later((span.length().saturating_mul(weight) + total / 2) / total)
    };
    weights
        .iter()
        .map(|weight| {
            let start = moment(before);
            before += weight;
            Span::new(start, moment(before).min(span.end))
        })
        .collect()
}

/// A passage to be written: its time and the words it holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cue {
    /// From the first word's start to the last word's end; `None` where words have no times.
    pub span: Option<Span>,
    /// Indices into [`Transcript::words`].
    pub words: Range<usize>,
}

/// Longest cue: seven seconds is the usual upper limit of subtitling (common practice).
const LONGEST_CUE_MS: u64 = 7000;
/// Most characters of a cue: two lines of 42 (common practice of subtitling).
const WIDEST_CUE_CHARS: usize = 84;
/// A halt as long as this ends a cue; pauses within a phrase are rarely longer than half a second.
const PAUSE_MS: u64 = 700;

/// Returns the words grouped into cues: a cue ends with a sentence, a line, a pause or a recording,
/// and before it exceeds 7 seconds or 84 characters (unless one word alone does).
pub fn cues(transcript: &Transcript) -> Vec<Cue> {
    let words = &transcript.words;
    let mut cues: Vec<Cue> = Vec::new();
    let mut start = 0;
    let mut chars = 0;
    for (i, word) in words.iter().enumerate() {
        let width = word.text.chars().count();
        if i > start && (cue_ends_before(words, start, i) || chars + 1 + width > WIDEST_CUE_CHARS) {
            cues.push(cue(words, start..i));
            start = i;
            chars = 0;
        }
        chars += width + usize::from(i > start);
    }
    if start < words.len() {
        cues.push(cue(words, start..words.len()));
    }
    cues
}

fn cue_ends_before(words: &[Word], start: usize, at: usize) -> bool {
    let (Some(first), Some(before), Some(next)) = (
        words.get(start),
        words.get(at.wrapping_sub(1)),
        words.get(at),
    ) else {
        return false;
    };
    let sentence = before
        .text
        .trim_end_matches(['"', '\'', '”', '’', ')'])
        .ends_with(['.', '!', '?']);
    let timed = match (first.span, before.span, next.span) {
        (Some(first), Some(before), Some(next)) => {
            let long = next.end.0.saturating_sub(first.start.0) > LONGEST_CUE_MS;
            long || next.start.0 >= before.end.0 + PAUSE_MS || next.start < before.start
        }
        (_, before, next) => before.is_some() != next.is_some(),
    };
    before.line_end || sentence || timed || before.recording != next.recording
}

fn cue(words: &[Word], range: Range<usize>) -> Cue {
    let covered = words.get(range.clone()).unwrap_or(&[]);
    let span = covered
        .iter()
        .map(|w| w.span)
        .reduce(|a, b| Some(a?.cover(b?)))
        .flatten();
    Cue { span, words: range }
}

/// Returns each cue's time and text, for formats that need times. A cue lasts at least 1 ms, as
/// WebVTT asks.
pub(super) fn timed_texts(transcript: &Transcript) -> Result<Vec<(Span, String)>, FormatError> {
    if let Some((i, word)) = transcript
        .words
        .iter()
        .enumerate()
        .find(|(_, w)| w.span.is_none())
    {
        return Err(FormatError::Untimed {
            word: i + 1,
            text: word.text.clone(),
        });
    }
    Ok(cues(transcript)
        .into_iter()
        .filter_map(|cue| {
            let span = cue.span?;
            let end = span.end.max(span.start.later(1));
            Some((Span::new(span.start, end), text(transcript, &cue)))
        })
        .collect())
}

/// Returns a cue's words with spaces between.
pub(super) fn text(transcript: &Transcript, cue: &Cue) -> String {
    let words = transcript.words.get(cue.words.clone()).unwrap_or(&[]);
    words
        .iter()
        .map(|w| w.text.as_str())
        .collect::<Vec<_>>()
        .join(" ")
}

/// Returns the span of a line of times `start --> end`, with whatever follows the end dropped.
pub(super) fn times(
    file: &str,
    line: usize,
    text: &str,
    style: super::stamp::Style,
) -> Result<Span, FormatError> {
    let (start, rest) = text.split_once("-->").unwrap_or((text, ""));
    let start = start.trim();
    let end = rest.split_whitespace().next().unwrap_or("");
    let moment = |found: &str| -> Result<Millis, FormatError> {
        super::stamp::parse(found, style).ok_or_else(|| FormatError::BadTime {
            file: file.to_owned(),
            line,
            found: found.to_owned(),
            expected: style.example(),
        })
    };
    let (from, to) = (moment(start)?, moment(end)?);
    if to < from {
        return Err(FormatError::EndBeforeStart {
            file: file.to_owned(),
            line,
            start: start.to_owned(),
            end: end.to_owned(),
        });
    }
    Ok(Span::new(from, to))
}
