//! Plain text: a line an utterance, with or without stamps `[m:ss]` or `[h:mm:ss]` at line starts
//! or within lines. Lines at the head of the file that begin with `# ` are comments.

use super::cues::{self, Passage};
use super::error::FormatError;
use super::stamp::{self, Style};
use crate::speech::Transcript;
use crate::time::{Millis, Span};
use regex::Regex;
use std::sync::LazyLock;

/// Time a word takes where only the start is known: 150 words a minute, the usual figure for
/// talking while writing down (common practice, no source).
const WORD_MS: u64 = 400;
/// Longest time a word is given where the next stamp is far off: the rest was silence.
const SLOWEST_WORD_MS: u64 = 1000;

/// What stands in brackets is meant as a stamp if it has a colon and only digits, colons and a
/// fraction: `[0:75]` is a mistake to be told of, `[see 2]` is text.
static STAMP: LazyLock<Regex> = LazyLock::new(|| stamp::pattern(r"\[[0-9][0-9.,]*:[0-9:.,]*\]"));

/// A stretch of text after a stamp (or before the first).
struct Piece<'a> {
    start: Option<Millis>,
    text: &'a str,
    line_end: bool,
}

pub(super) fn read(file: &str, text: &str) -> Result<Vec<Passage>, FormatError> {
    let mut pieces = Vec::new();
    let mut current: Option<(Millis, &str)> = None;
    let mut in_head = true;
    for (index, line) in text.lines().enumerate() {
        in_head &= line.trim().is_empty() || line == "#" || line.starts_with("# ");
        if in_head {
            continue;
        }
        let mut done = 0;
        for bracketed in STAMP.find_iter(line) {
            let before = &line[done..bracketed.start()];
            done = bracketed.end();
            let stamp = bracketed.as_str().trim_matches(['[', ']']);
            let at = stamp::parse(stamp, Style::Text).ok_or_else(|| FormatError::BadTime {
                file: file.to_owned(),
                line: index + 1,
                found: stamp.to_owned(),
                expected: Style::Text.example(),
            })?;
            if let Some((_, written)) = current.filter(|(earlier, _)| at < *earlier) {
                return Err(FormatError::StampGoesBack {
                    file: file.to_owned(),
                    line: index + 1,
                    found: stamp.to_owned(),
                    before: written.to_owned(),
                });
            }
            pieces.push(Piece {
                start: current.map(|c| c.0),
                text: before,
                line_end: false,
            });
            current = Some((at, stamp));
        }
        pieces.push(Piece {
            start: current.map(|c| c.0),
            text: &line[done..],
            line_end: true,
        });
    }
    Ok(timed(pieces))
}

/// Gives the pieces their times: those with one stamp share the time up to the next.
fn timed(pieces: Vec<Piece<'_>>) -> Vec<Passage> {
    let mut passages = Vec::new();
    let mut at = 0;
    let count = |p: &Piece<'_>| p.text.split_whitespace().count() as u64;
    while at < pieces.len() {
        let start = pieces[at].start;
        let end = (at..pieces.len())
            .find(|i| pieces[*i].start != start)
            .unwrap_or(pieces.len());
        let group = &pieces[at..end];
        let next = pieces.get(end).and_then(|p| p.start);
        let words: u64 = group.iter().map(count).sum();
        let span = match (start, next) {
            (Some(start), Some(next)) => Some(Span::new(
                start,
                next.min(start.later(words * SLOWEST_WORD_MS)),
            )),
            (Some(start), None) => Some(Span::new(start, start.later(words * WORD_MS))),
            (None, Some(next)) => Some(Span::new(next.earlier(words * WORD_MS), next)),
            (None, None) => None,
        };
        let mut before = 0;
        for piece in group {
            let part = span.map(|span| {
                let share = |n: u64| span.start.later(span.length() * n / words.max(1));
                Span::new(share(before), share(before + count(piece)))
            });
            before += count(piece);
            passages.push(Passage {
                text: piece.text.to_owned(),
                span: part,
                line_end: piece.line_end,
            });
        }
        at = end;
    }
    passages
}

pub(super) fn write(transcript: &Transcript) -> String {
    let mut out = String::new();
    for cue in cues::cues(transcript) {
        if let Some(span) = cue.span {
            out.push_str(&format!("[{}] ", span.start));
        }
        out.push_str(&cues::text(transcript, &cue));
        out.push('\n');
    }
    out
}
