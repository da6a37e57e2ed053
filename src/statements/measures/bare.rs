//! Numbers whose unit was left out.

use super::approximate::words_before;
use super::direction::is_size;
use crate::statements::numbers::{self, Reading};
use crate::statements::reader::Reader;
use crate::statements::units;

/// Longest gap, lip or the like that is said without its unit, in millimetres.
const LARGEST_BARE_GAP_MM: f64 = 300.0;
/// Risers and the like that are said without unit are above this; smaller numbers are names.
const SMALLEST_BARE_SIZE_MM: f64 = 100.0;

/// Returns the unit that a bare number has from the measuring words before it.
pub(super) fn bare_unit(r: Reader<'_>, at: usize, last: Reading) -> Option<&'static str> {
    if !r.stands_alone(last.end) && !is_size(r, last.end) {
        return None;
    }
    let fine = last
        .denominator
        .is_some_and(|d| d >= 8 && d.is_power_of_two())
        || (at..last.end).any(|i| FINE_PARTS.contains(&r.norm(i)));
    let (mut start, approximate) = words_before(r, at, 0);
    if start > 0 && matches!(r.norm(start - 1), "between" | "from") {
        start -= 1;
    }
    let word = |back: usize| start.checked_sub(back).map_or("", |i| r.norm(i));
    let unbroken = start > 0 && !r.pause_after(start - 1).stops();
    let gap = unbroken
        && match word(1) {
            "by" => BY_WORDS.contains(&word(2)),
            "of" => OF_WORDS.contains(&word(2)),
            "is" | "'s" | "s" | "measures" | "varies" | "reads" => OF_WORDS.contains(&word(2)),
            other => OF_WORDS.contains(&other) && r.norm(start) != r.norm(at),
        }
        || gap_is(r, start);
    if fine {
        let inches_near = (0..r.len()).any(|i| matches!(r.norm(i), "inch" | "inches" | "foot"));
        let out = FINE_AFTER.contains(&r.norm(last.end));
        return (gap || approximate || inches_near || out).then_some("in");
    }
    if last.denominator.is_some() {
        return None;
    }
    let size =
        last.value >= SMALLEST_BARE_SIZE_MM && (is_size(r, last.end) || sized_before(r, start));
    let small = last.value <= LARGEST_BARE_GAP_MM;
    (small && (gap || tied_after(r, last.end)) || size).then_some("mm")
}

/// *Gap between the rails, though, is **ninety***: the gap is named earlier in the same breath.
fn gap_is(r: Reader<'_>, start: usize) -> bool {
    let is = start > 0 && matches!(r.norm(start - 1), "is" | "'s" | "measures" | "reads");
    let from = start.saturating_sub(GAP_REACH);
    is && (from..start)
        .rev()
        .take_while(|&i| !r.pause_after(i).stops() && numbers::read(r, i).is_none())
        .any(|i| matches!(r.norm(i), "gap" | "lip" | "step" | "upstand"))
}

/// *Bottom **riser**, two hundred and thirty*, ***handrail** is only at eight fifty*: a thing whose
/// size is said, with nothing but small words between.
fn sized_before(r: Reader<'_>, start: usize) -> bool {
    let from = start.saturating_sub(SIZED_REACH);
    (from..start)
        .rev()
        .take_while(|&i| !r.pause_after(i).stops())
        .find(|&i| !SMALL_WORDS.contains(&r.norm(i)))
        .is_some_and(|i| SIZED.contains(&r.norm(i)))
}

/// *Nineteen **over the storey***, *six **over two metres***.
fn tied_after(r: Reader<'_>, end: usize) -> bool {
    if r.norm(end) != "over" {
        return false;
    }
    let article = usize::from(matches!(
        r.norm(end + 1),
        "the" | "a" | "its" | "full" | "one"
    ));
    let noun = end + 1 + article;
    let named = matches!(r.norm(noun), "storey" | "height" | "width" | "length");
    let measured = numbers::read(r, noun)
        .and_then(|n| units::after_number(r, n.end))
        .or_else(|| units::unit_word(r, noun))
        .is_some_and(|unit| units::in_millimetres(unit.name).is_some());
    named || measured
}

/// How many tokens a gap may be named before its bare size.
const GAP_REACH: usize = 8;
/// The same for things whose size is said right after them.
const SIZED_REACH: usize = 5;

/// Words between a thing and its bare size.
const SMALL_WORDS: &[&str] = &[
    "is", "'s", "s", "are", "was", "at", "of", "only", "just", "measures", "reads", "vary",
    "varies", "from", "between", "about", "set", "sat", "sits", "comes", "out", "to", "in", "it",
    "here", "height", "actually",
];

/// Parts that are said of inches only.
const FINE_PARTS: &[&str] = &["eighth", "eighths", "sixteenth", "sixteenths"];

/// Words before *by* and a bare number.
const BY_WORDS: &[&str] = &[
    "out", "low", "high", "short", "proud", "under", "off", "down", "up", "drops", "dropped",
    "falls", "fallen", "dips", "dipped", "bowed", "bows", "runs", "leans", "leaning", "twisted",
    "wide", "narrow", "long", "tight", "over", "differs", "differ", "varies", "vary", "proud",
];

/// Nouns before *of* (or *is*) and a bare number.
const OF_WORDS: &[&str] = &[
    "gap",
    "gaps",
    "lip",
    "lips",
    "step",
    "bow",
    "dip",
    "hollow",
    "hump",
    "lippage",
    "difference",
    "deviation",
    "overhang",
    "drop",
    "clearance",
    "rise",
    "twist",
    "lean",
    "variation",
    "upstand",
    "recess",
    "projection",
    "ridge",
    "crown",
];

/// Words after a part of an inch.
const FINE_AFTER: &[&str] = &[
    "out", "proud", "low", "high", "off", "short", "over", "under",
];

/// Things whose size is said right after them.
const SIZED: &[&str] = &[
    "riser",
    "risers",
    "rise",
    "rises",
    "going",
    "goings",
    "headroom",
    "upstand",
    "spacing",
    "centres",
    "handrail",
    "handrails",
    "socket",
    "sockets",
    "switch",
    "switches",
    "balustrade",
    "guarding",
    "rail",
];
