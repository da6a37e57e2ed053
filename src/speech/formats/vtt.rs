//! WebVTT: The Web Video Text Tracks Format (W3C, <https://www.w3.org/TR/webvtt1/>).
//!
//! Reading takes the words and times; voices, classes and settings are passed over. Times inside a
//! cue (`<00:01.500>`) give its words their times. Unlike a player, which leaves a malformed cue
//! out, reading stops at it and names the line: nothing said may get lost unseen.

use super::cues::{self, Passage};
use super::error::FormatError;
use super::stamp::{self, Style};
use crate::speech::Transcript;
use crate::time::{Millis, Span};

pub(super) fn read(file: &str, text: &str) -> Result<Vec<Passage>, FormatError> {
    let lines: Vec<&str> = text.lines().collect();
    let first = lines.first().copied().unwrap_or("");
    if first != "WEBVTT" && !first.starts_with("WEBVTT ") && !first.starts_with("WEBVTT\t") {
        let found = first.chars().take(20).collect();
        return Err(if text.trim().is_empty() {
            FormatError::Empty {
                file: file.to_owned(),
            }
        } else {
            FormatError::NoHeader {
                file: file.to_owned(),
                found,
            }
        });
    }
    let mut found: Vec<(Span, Vec<Passage>)> = Vec::new();
    let mut at = 1;
    while at < lines.len() {
        if !lines[at].contains("-->") {
            at = skip_block_or_identifier(&lines, at);
            continue;
        }
        let span = cues::times(file, at + 1, lines[at], Style::Vtt)?;
        at += 1;
        let start = at;
        while at < lines.len() && !lines[at].trim().is_empty() && !lines[at].contains("-->") {
            at += 1;
        }
        // Where the blank line was left out, the next cue's identifier stays in this cue's text: a
        // word too many rather than one too few.
        found.push((span, passages(span, &lines[start..at].join("\n"))));
    }
    // Cues may overlap; the words go in the order in which their cues start.
    found.sort_by_key(|(span, _)| span.start);
    Ok(found
        .into_iter()
        .flat_map(|(_, passages)| passages)
        .collect())
}

/// Returns the first line after a block without times (comment, style, region, attributes), or the
/// line of times after a cue's identifier.
fn skip_block_or_identifier(lines: &[&str], at: usize) -> usize {
    let opening = lines[at].split([' ', '\t']).next().unwrap_or("");
    let is_block = matches!(opening, "NOTE" | "STYLE" | "REGION") && !lines[at].contains("-->");
    let mut next = at + 1;
    while next < lines.len() && !lines[next - 1].trim().is_empty() {
        if lines[next].contains("-->") && !is_block {
            break;
        }
        next += 1;
    }
    next
}

/// Returns the cue text without tags, cut where times stand in it.
fn passages(span: Span, text: &str) -> Vec<Passage> {
    let mut passages = Vec::new();
    let mut from = span.start;
    let mut plain = String::new();
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        rest = &rest[c.len_utf8()..];
        match c {
            '<' => {
                // An unclosed tag runs to the end, as in the specification's tokenizer.
                let (tag, after) = rest.split_once('>').unwrap_or((rest, ""));
                rest = after;
                let inside = |at: &Millis| *at >= from && *at <= span.end;
                if let Some(at) = stamp::parse(tag.trim(), Style::Vtt).filter(inside) {
                    let text = std::mem::take(&mut plain);
                    passages.push(Passage {
                        text,
                        span: Some(Span::new(from, at)),
                        line_end: false,
                    });
                    from = at;
                }
            }
            '&' => {
                let (sign, length) = entity(rest).unwrap_or(('&', 0));
                plain.push(sign);
                rest = &rest[length..];
            }
            c => plain.push(c),
        }
    }
    passages.push(Passage {
        text: plain,
        span: Some(Span::new(from, span.end)),
        line_end: true,
    });
    passages
}

/// Returns the character of the entity after `&` and the length of what names it. These six are the
/// ones that the specification names; of HTML's others only the numbers are read.
fn entity(rest: &str) -> Option<(char, usize)> {
    let (name, _) = rest.split_once(';').filter(|(name, _)| name.len() <= 8)?;
    let sign = match name {
        "amp" => '&',
        "lt" => '<',
        "gt" => '>',
        "nbsp" => '\u{a0}',
        "lrm" => '\u{200e}',
        "rlm" => '\u{200f}',
        _ => {
            let number = name.strip_prefix('#')?;
            let code = match number.strip_prefix(['x', 'X']) {
                Some(hex) => u32::from_str_radix(hex, 16).ok()?,
                None => number.parse().ok()?,
            };
            char::from_u32(code)?
        }
    };
    Some((sign, name.len() + 1))
}

pub(super) fn write(transcript: &Transcript) -> Result<String, FormatError> {
    let mut out = String::from("WEBVTT\n");
    for (span, text) in cues::timed_texts(transcript)? {
        let (start, end) = (stamp::clock(span.start, '.'), stamp::clock(span.end, '.'));
        let text = text
            .replace('&', "&amp;")
            .replace('<', "&lt;")
            .replace('>', "&gt;");
        out.push_str(&format!("\n{start} --> {end}\n{text}\n"));
    }
    Ok(out)
}
