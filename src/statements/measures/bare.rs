//! Numbers whose unit was left out.

use super::approximate::words_before;
use crate::statements::numbers::Reading;
use crate::statements::reader::Reader;

/// Longest gap, lip or the like that is said without its unit, in millimetres.
const LARGEST_BARE_GAP_MM: f64 = 300.0;
/// Risers and the like that are said without unit are above this; smaller numbers are names.
const SMALLEST_BARE_SIZE_MM: f64 = 100.0;

/// Returns the unit that a bare number has from the measuring words before it.
pub(super) fn bare_unit(r: Reader<'_>, at: usize, last: Reading) -> Option<&'static str> {
    if !r.stands_alone(last.end) {
        return None;
    }
    let fine = last
        .denominator
        .is_some_and(|d| d >= 8 && d.is_power_of_two());
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
        };
    if fine {
        let inches_near = (0..r.len()).any(|i| matches!(r.norm(i), "inch" | "inches" | "foot"));
        let out = FINE_AFTER.contains(&r.norm(last.end));
        return (gap || approximate || inches_near || out).then_some("in");
    }
    if last.denominator.is_some() {
        return None;
    }
    let size = unbroken
        && last.value >= SMALLEST_BARE_SIZE_MM
        && (SIZED.contains(&word(1))
            || matches!(
                word(1),
                "is" | "at" | "of" | "'s" | "measures" | "reads" | "are" | "vary" | "varies"
            ) && SIZED.contains(&word(2)));
    (gap && last.value <= LARGEST_BARE_GAP_MM || size).then_some("mm")
}

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
    "riser", "risers", "rise", "rises", "going", "goings", "headroom", "upstand", "spacing",
    "centres", "handrail",
];
