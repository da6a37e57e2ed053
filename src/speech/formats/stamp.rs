//! Times as written in transcript files.

use crate::time::Millis;
use regex::{Captures, Regex};
use std::sync::LazyLock;

static VTT: LazyLock<Regex> = LazyLock::new(|| {
    pattern(
        r"(?x)^ (?: (?<hours>[0-9]{1,4}) : )? (?<minutes>[0-5][0-9])
        : (?<seconds>[0-5][0-9]) \. (?<fraction>[0-9]{3}) $",
    )
});

static SRT: LazyLock<Regex> = LazyLock::new(|| {
    pattern(
        r"(?x)^ (?: (?<hours>[0-9]{1,4}) : (?<minutes>[0-5][0-9]) | (?<alone>[0-5]?[0-9]) )
        : (?<seconds>[0-5][0-9]) (?: [.,] (?<fraction>[0-9]{1,3}) )? $",
    )
});

static TEXT: LazyLock<Regex> = LazyLock::new(|| {
    pattern(
        r"(?x)^ (?: (?<hours>[0-9]{1,4}) : (?<minutes>[0-5][0-9]) | (?<alone>[0-9]{1,3}) )
        : (?<seconds>[0-5][0-9]) (?: [.,] (?<fraction>[0-9]{1,3}) )? $",
    )
});

/// Returns a pattern of the program's own, which is sound or the tests fail.
pub(super) fn pattern(text: &str) -> Regex {
    Regex::new(text).expect("a sound pattern")
}

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
    let pattern = match style {
        Style::Vtt => &VTT,
        Style::Srt => &SRT,
        Style::Text => &TEXT,
    };
    let parts = pattern.captures(text)?;
    let minutes = number(&parts, "minutes") + number(&parts, "alone");
    let seconds = (number(&parts, "hours") * 60 + minutes) * 60 + number(&parts, "seconds");
    let fraction = parts.name("fraction").map_or("", |part| part.as_str());
    let thousandths: u64 = format!("{fraction:0<3}").parse().ok()?;
    Some(Millis(seconds * 1000 + thousandths))
}

/// Returns the number in a part of a time, 0 where it was left out.
fn number(parts: &Captures<'_>, name: &str) -> u64 {
    // The patterns let no more than four digits through.
    parts
        .name(name)
        .and_then(|part| part.as_str().parse().ok())
        .unwrap_or(0)
}

/// Returns `hh:mm:ss` and the milliseconds after `separator`.
pub(crate) fn clock(at: Millis, separator: char) -> String {
    let s = at.0 / 1000;
    let (h, m, s, ms) = (s / 3600, s / 60 % 60, s % 60, at.0 % 1000);
    format!("{h:02}:{m:02}:{s:02}{separator}{ms:03}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_read_as_each_style_writes_them() {
        let table = [
            // WebVTT: two digits each but for the hours, and three thousandths
            // (W3C, <https://www.w3.org/TR/webvtt1/#webvtt-timestamp>).
            (Style::Vtt, "01:23.450", Some(83_450)),
            (Style::Vtt, "00:01:23.450", Some(83_450)),
            (Style::Vtt, "100:00:00.001", Some(360_000_001)),
            (Style::Vtt, "1:23.450", None),
            (Style::Vtt, "01:23.45", None),
            (Style::Vtt, "01:23,450", None),
            (Style::Vtt, "01:23", None),
            (Style::Vtt, "60:00.000", None),
            (Style::Vtt, "00:60.000", None),
            (Style::Srt, "00:01:23,450", Some(83_450)),
            (Style::Srt, "00:01:23.45", Some(83_450)),
            (Style::Srt, "1:02:03", Some(3_723_000)),
            (Style::Srt, "1:23,4", Some(83_400)),
            (Style::Srt, "00:75:00,000", None),
            (Style::Srt, "75:00,000", None),
            (Style::Srt, "00:01:23,4500", None),
            (Style::Srt, "1:2:03", None),
            (Style::Text, "1:23", Some(83_000)),
            (Style::Text, "1:23.5", Some(83_500)),
            (Style::Text, "75:00", Some(4_500_000)),
            (Style::Text, "1:02:03", Some(3_723_000)),
            (Style::Text, "1:75:00", None),
            (Style::Text, "0:75", None),
            (Style::Text, "1:2", None),
            (Style::Text, "1:23.", None),
            (Style::Text, "1:23\n", None),
            (Style::Text, "1:٢٣", None),
            (Style::Text, "", None),
        ];
        for (style, text, expected) in table {
            assert_eq!(
                parse(text, style),
                expected.map(Millis),
                "{style:?} {text:?}"
            );
        }
    }
}
