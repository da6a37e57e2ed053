//! The items as cues over a recording, for players that show subtitles: WebVTT (W3C) and SubRip.
//!
//! A cue lasts as long as the item's words; a WebVTT cue's identifier is the item's number. One file
//! belongs to one recording.

use super::Options;
use super::document::Document;
use super::error::ExportError;
use super::facts::mark;
use super::wording::{one_line, place_heading, shortened};
use crate::items::Item;
use crate::speech::Recording;
use crate::speech::formats::clock;
use crate::time::{Millis, Span};

/// The two forms of cues.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Form {
    /// WebVTT: The Web Video Text Tracks Format, <https://www.w3.org/TR/webvtt1/>.
    Vtt,
    /// SubRip, which has no standard.
    Srt,
}

/// Longest description of a cue, in characters: some six lines of a player, more than anybody reads
/// while it is shown. The number leads to the whole of it in the other documents.
const LONGEST: usize = 240;

/// A cue must last, or no player shows it; a word takes some 300 ms (common practice, no source).
const SHORTEST_CUE_MS: u64 = 300;

/// Returns the cues of one recording in the order in which they start.
///
/// # Errors
/// [`ExportError::WhichRecording`] where the options name none and there is not exactly one;
/// [`ExportError::Untimed`] where none of the recording's items has a time.
pub(super) fn bytes(
    document: &Document,
    options: &Options,
    form: Form,
) -> Result<Vec<u8>, ExportError> {
    let recording = recording(document, options.recording)?;
    let items: Vec<&Item> = document
        .by_number(options.include_rejected.unwrap_or(false))
        .into_iter()
        .filter(|item| item.evidence.recording == recording.id)
        .collect();
    let mut timed: Vec<(Span, &Item)> = items
        .iter()
        .filter_map(|item| Some((lasting(item.evidence.span?), *item)))
        .collect();
    timed.sort_by_key(|(span, item)| (span.start, item.number));
    if timed.is_empty() && !items.is_empty() {
        let file = recording.file.clone();
        return Err(ExportError::Untimed { file });
    }
    let untimed: Vec<String> = items
        .iter()
        .filter(|item| item.evidence.span.is_none())
        .map(|item| item.number.to_string())
        .collect();
    let text = match form {
        Form::Vtt => vtt(document, recording, &timed, &untimed),
        Form::Srt => srt(&timed),
    };
    Ok(text.into_bytes())
}

/// Returns the recording asked for, or the only one.
fn recording(document: &Document, asked: Option<u32>) -> Result<&Recording, ExportError> {
    let mut found = document
        .recordings
        .iter()
        .filter(|recording| asked.is_none_or(|id| recording.id == id));
    match (found.next(), found.next()) {
        (Some(only), None) => Ok(only),
        _ => Err(ExportError::WhichRecording {
            count: document.recordings.len(),
        }),
    }
}

fn lasting(span: Span) -> Span {
    Span::new(span.start, span.end.max(span.start.later(SHORTEST_CUE_MS)))
}

fn vtt(
    document: &Document,
    recording: &Recording,
    timed: &[(Span, &Item)],
    untimed: &[String],
) -> String {
    let mut out = format!("WEBVTT {}\n", without_arrow(&document.title));
    out += &format!("\nNOTE {}\n", without_arrow(&recording.file));
    if !untimed.is_empty() {
        let numbers = untimed.join(", ");
        out += &format!("\nNOTE Items without a time, not shown: {numbers}\n");
    }
    for (span, item) in timed {
        out += &format!("\n{}\n{}\n", item.number, times(*span, '.'));
        for line in lines(item) {
            let line = line.replace('&', "&amp;").replace('<', "&lt;");
            out += &format!("{}\n", line.replace('>', "&gt;"));
        }
    }
    out
}

fn srt(timed: &[(Span, &Item)]) -> String {
    let mut out = String::new();
    for (position, (span, item)) in timed.iter().enumerate() {
        let gap = if position == 0 { "" } else { "\n" };
        out += &format!("{gap}{}\n{}\n", position + 1, times(*span, ','));
        for line in lines(item) {
            // SubRip cannot quote its own marks: signs that look alike take their place.
            let line = line.replace('<', "\u{2039}").replace('>', "\u{203a}");
            out += &format!("{}\n", line.replace("{\\", "{\u{29f5}"));
        }
    }
    out
}

/// Returns what a cue shows: the item, and its caution on a line of its own.
fn lines(item: &Item) -> Vec<String> {
    let mark = mark(item).map_or_else(String::new, |mark| format!(" ({mark})"));
    let first = format!(
        "{}. {}: {}{mark}",
        item.number,
        place_heading(&item.place),
        shortened(&one_line(&item.description), LONGEST)
    );
    let caution = item.caution.as_deref().map(|c| format!("Caution: {c}"));
    let all = std::iter::once(first).chain(caution);
    all.map(|line| one_line(&line)).collect()
}

/// Returns the text as it may stand beside `WEBVTT` and in a comment, where an arrow would be taken
/// for times (W3C WebVTT, section 4.1).
fn without_arrow(text: &str) -> String {
    one_line(text).replace("-->", "\u{2192}")
}

fn times(span: Span, separator: char) -> String {
    let at = |moment: Millis| clock(moment, separator);
    format!("{} --> {}", at(span.start), at(span.end))
}

#[cfg(test)]
mod tests;
