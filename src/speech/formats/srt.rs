//! SubRip, which has no standard: read after the descriptions of its de facto form (a number, a
//! line `hh:mm:ss,mmm --> hh:mm:ss,mmm` with optional coordinates, lines of text, a blank line; the
//! tags `<b>`, `<i>`, `<u>`, `<font>`), as in the VisualSubSync help and the File Formats wiki of
//! the Archive Team.

use super::cues::{self, Passage};
use super::error::FormatError;
use super::stamp::{self, Style};
use crate::speech::Transcript;
use crate::time::Span;
use regex::Regex;
use std::sync::LazyLock;

/// The known tags, and position codes (`{\an8}`); other angle brackets and braces are text.
static TAG: LazyLock<Regex> =
    LazyLock::new(|| stamp::pattern(r"(?i)</?(?:b|i|u|s|font)(?:[ \n][^>]*)?>|\{\\[^}]*\}"));

pub(super) fn read(file: &str, text: &str) -> Result<Vec<Passage>, FormatError> {
    let lines: Vec<&str> = text.lines().map(str::trim).collect();
    let is_number = |at: usize| {
        lines
            .get(at)
            .is_some_and(|l| !l.is_empty() && l.bytes().all(|b| b.is_ascii_digit()))
    };
    let has_arrow = |at: usize| lines.get(at).is_some_and(|l| l.contains("-->"));
    let mut found: Vec<(Span, String)> = Vec::new();
    let mut at = 0;
    while at < lines.len() {
        if lines[at].is_empty() {
            at += 1;
            continue;
        }
        if is_number(at) && !has_arrow(at) {
            at += 1;
        }
        let times = lines.get(at).copied().unwrap_or("");
        if !has_arrow(at) {
            return Err(FormatError::NoTimes {
                file: file.to_owned(),
                line: at + 1,
                found: times.chars().take(40).collect(),
                expected: "00:00:01,000 --> 00:00:04,000",
            });
        }
        let span = cues::times(file, at + 1, times, Style::Srt)?;
        at += 1;
        let start = at;
        // A missing blank line is common: a number with times below it begins the next cue.
        let ends = |at: usize| {
            let numbered = is_number(at) && has_arrow(at + 1);
            numbered
                || lines
                    .get(at)
                    .is_none_or(|line| line.is_empty() || is_times(line))
        };
        while !ends(at) {
            at += 1;
        }
        let text = lines[start..at].join("\n");
        found.push((span, TAG.replace_all(&text, "").into_owned()));
    }
    found.sort_by_key(|(span, _)| span.start);
    let passage = |(span, text)| Passage {
        text,
        span: Some(span),
        line_end: true,
    };
    Ok(found.into_iter().map(passage).collect())
}

fn is_times(line: &str) -> bool {
    line.split_once("-->")
        .is_some_and(|(start, _)| stamp::parse(start.trim(), Style::Srt).is_some())
}

pub(super) fn write(transcript: &Transcript) -> Result<String, FormatError> {
    let mut out = String::new();
    for (i, (span, text)) in cues::timed_texts(transcript)?.into_iter().enumerate() {
        let (start, end) = (stamp::clock(span.start, ','), stamp::clock(span.end, ','));
        let gap = if i == 0 { "" } else { "\n" };
        out.push_str(&format!("{gap}{}\n{start} --> {end}\n{text}\n", i + 1));
    }
    Ok(out)
}
