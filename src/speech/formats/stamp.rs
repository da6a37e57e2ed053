//! Times as written in transcript files.

use crate::time::Millis;

/// How a format writes times.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Style {
    /// `mm:ss.mmm` or `hh:mm:ss.mmm`, as in WebVTT.
    Vtt,
    /// `hh:mm:ss,mmm`, as in SubRip; a point for the comma and missing digits are common and taken.
    Srt,
    /// `m:ss` or `h:mm:ss`, with or without a decimal fraction; minutes alone may exceed 59.
    Text,
}

impl Style {
    /// Returns what a time looks like, for error messages.
    pub(super) fn example(self) -> &'static str {
        match self {
            Style::Vtt => "mm:ss.mmm or hh:mm:ss.mmm, such as 01:23.450",
            Style::Srt => "hh:mm:ss,mmm, such as 00:01:23,450",
            Style::Text => "m:ss or h:mm:ss, such as 1:23",
        }
    }
}

/// Returns the moment written as `text`; `None` where it is not of that style.
pub(super) fn parse(text: &str, style: Style) -> Option<Millis> {
    let (clock, fraction) = match text.find(['.', ',']) {
        Some(i) => (text.get(..i)?, Some(text.get(i..)?)),
        None => (text, None),
    };
    let parts: Vec<&str> = clock.split(':').collect();
    let (hours, minutes, seconds) = match parts.as_slice() {
        [m, s] => (0, number(m, 1..=3)?, number(s, 2..=2)?),
        [h, m, s] => (number(h, 1..=4)?, number(m, 2..=2)?, number(s, 2..=2)?),
        _ => return None,
    };
    let written_minutes = parts.get(parts.len() - 2)?.len();
    let minutes_may_run_on = style == Style::Text && parts.len() == 2;
    if seconds > 59 || minutes > 59 && !minutes_may_run_on {
        return None;
    }
    if style == Style::Vtt && written_minutes != 2 {
        return None;
    }
    let millis = match (style, fraction) {
        (Style::Vtt, Some(f)) if f.starts_with('.') && f.len() == 4 => thousandths(f)?,
        (Style::Vtt, _) => return None,
        (_, Some(f)) => thousandths(f)?,
        (_, None) => 0,
    };
    Some(Millis(
        ((hours * 60 + minutes) * 60 + seconds) * 1000 + millis,
    ))
}

/// Returns the thousandths of `.5`, `,450`.
fn thousandths(fraction: &str) -> Option<u64> {
    let digits = fraction.get(1..)?;
    let value = number(digits, 1..=3)?;
    Some(value * 10u64.pow(3 - u32::try_from(digits.len()).ok()?))
}

fn number(text: &str, digits: std::ops::RangeInclusive<usize>) -> Option<u64> {
    let plain = digits.contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
    if plain { text.parse().ok() } else { None }
}

/// Returns `hh:mm:ss` and the milliseconds after `separator`.
pub(super) fn clock(at: Millis, separator: char) -> String {
    let s = at.0 / 1000;
    let (h, m, s, ms) = (s / 3600, s / 60 % 60, s % 60, at.0 % 1000);
    format!("{h:02}:{m:02}:{s:02}{separator}{ms:03}")
}
