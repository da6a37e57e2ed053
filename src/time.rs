//! Points and stretches of time within one recording, in whole milliseconds.
//!
//! Milliseconds are finer than any word time the recogniser can give (20 ms) and, being integers,
//! compare, hash and print the same everywhere.

use serde::{Deserialize, Serialize};
use std::fmt;

/// A moment in a recording: milliseconds since its first sample.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Millis(pub u64);

impl Millis {
    /// Returns the moment `seconds` after the start, rounded to the millisecond; negative or
    /// non-finite input gives the start.
    pub fn from_seconds(seconds: f64) -> Self {
        if seconds.is_finite() && seconds > 0.0 {
            Millis((seconds * 1000.0).round() as u64)
        } else {
            Millis(0)
        }
    }

    /// Returns the moment in seconds.
    pub fn seconds(self) -> f64 {
        self.0 as f64 / 1000.0
    }

    /// Returns the moment `by` milliseconds later, stopping at the largest value.
    pub fn later(self, by: u64) -> Self {
        Millis(self.0.saturating_add(by))
    }

    /// Returns the moment `by` milliseconds earlier, stopping at the start.
    pub fn earlier(self, by: u64) -> Self {
        Millis(self.0.saturating_sub(by))
    }
}

/// Shows `m:ss`, or `h:mm:ss` from one hour on.
impl fmt::Display for Millis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let s = self.0 / 1000;
        if s >= 3600 {
            write!(f, "{}:{:02}:{:02}", s / 3600, s / 60 % 60, s % 60)
        } else {
            write!(f, "{}:{:02}", s / 60, s % 60)
        }
    }
}

/// A stretch of time `[start, end)`: the start belongs to it, the end does not.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
pub struct Span {
    /// First moment inside.
    pub start: Millis,
    /// First moment after it; never before `start`.
    pub end: Millis,
}

impl Span {
    /// Returns the stretch from `start` to `end`; an `end` before `start` gives an empty stretch.
    pub fn new(start: Millis, end: Millis) -> Self {
        Span {
            start,
            end: end.max(start),
        }
    }

    /// Returns the length in milliseconds.
    pub fn length(self) -> u64 {
        self.end.0 - self.start.0
    }

    /// Returns the smallest stretch that covers both.
    pub fn cover(self, other: Span) -> Span {
        Span {
            start: self.start.min(other.start),
            end: self.end.max(other.end),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shows_minutes_and_hours() {
        for (ms, text) in [
            (0, "0:00"),
            (61_999, "1:01"),
            (3_600_000, "1:00:00"),
            (3_725_000, "1:02:05"),
        ] {
            assert_eq!(Millis(ms).to_string(), text);
        }
    }

    #[test]
    fn rounds_seconds_and_refuses_nonsense() {
        assert_eq!(Millis::from_seconds(1.2345), Millis(1235));
        assert_eq!(Millis::from_seconds(f64::NAN), Millis(0));
        assert_eq!(Millis::from_seconds(-4.0), Millis(0));
    }

    #[test]
    fn a_span_never_ends_before_it_starts() {
        assert_eq!(Span::new(Millis(5), Millis(3)).length(), 0);
    }
}
