//! Numbers whose unit was left out.

use super::super::grammar::{Class, class};
use super::approximate::words_before;
use super::direction::is_size;
use super::expected;
use super::heat::{heated, of_heat};
use super::offset::offset;
use crate::statements::numbers::{self, Reading};
use crate::statements::reader::{Pause, Reader};
use crate::statements::units;

/// Longest gap, lip or the like that is said without its unit, in millimetres.
const LARGEST_BARE_GAP_MM: f64 = 300.0;
/// Risers and the like that are said without unit are above this; smaller numbers are names.
const SMALLEST_BARE_SIZE_MM: f64 = 100.0;
/// The largest figure with tenths that is in millimetres without saying so.
const LARGEST_DECIMAL_MM: f64 = 30.0;

/// Returns the unit that a bare number has from the measuring words around it.
pub(super) fn bare_unit(r: Reader<'_>, at: usize, last: Reading) -> Option<&'static str> {
    let (value, end) = (last.value, last.end);
    let (start, _) = words_before(r, at, 0);
    let length = last.denominator.is_none();
    if length && (offset(r, start, value, end) || compared(r, start, value, end)) {
        return Some(if of_heat(r, start, value) {
            "°C"
        } else {
            "mm"
        });
    }
    let fine = last
        .denominator
        .is_some_and(|d| d >= 8 && d.is_power_of_two())
        || (at..end).any(|i| FINE_PARTS.contains(&r.norm(i)));
    // "A three sixteenths gap".
    if fine && OF_WORDS.contains(&r.norm(end)) {
        return Some("in");
    }
    if !ends_here(r, end) && !is_size(r, end) {
        return None;
    }
    let from = usize::from(start > 0 && matches!(r.norm(start - 1), "between" | "from"));
    let start = start - from;
    let varies =
        from == 1 && start > 0 && matches!(r.norm(start - 1), "varies" | "varying" | "vary");
    let gap = varies || measures(r, start, at) || gap_is(r, start);
    if fine {
        let inches_near = (0..r.len()).any(|i| matches!(r.norm(i), "inch" | "inches" | "foot"));
        let approximate = start + from < at;
        let out = FINE_AFTER.contains(&r.norm(end));
        return (gap || approximate || inches_near || out).then_some("in");
    }
    if !length {
        return None;
    }
    if heated(r, start, value) {
        return Some("°C");
    }
    // "Lippage between the two, one point eight": nobody counts in tenths.
    let tenths = (at..end).any(|i| r.norm(i) == "point" || r.norm(i).contains('.'));
    // "The room's two point nine by three point four".
    let room = r.norm(end) == "by" || at > 0 && r.norm(at - 1) == "by";
    if tenths && value <= LARGEST_DECIMAL_MM && ends_here(r, end) && !room {
        let pressure = (start.saturating_sub(BY_REACH)..start).any(|i| r.norm(i) == "pressure");
        return Some(if pressure { "bar" } else { "mm" });
    }
    let sized = is_size(r, end)
        || sized_before(r, start)
        || placed_at(r, start)
        || r.norm(end) == "measured";
    let size = value >= SMALLEST_BARE_SIZE_MM && sized;
    let small = value <= LARGEST_BARE_GAP_MM;
    (small && (gap || tied_after(r, end)) || size).then_some("mm")
}

/// True where no thing follows that the number could count.
fn ends_here(r: Reader<'_>, end: usize) -> bool {
    let beyond = matches!(
        r.norm(end),
        "toward" | "towards" | "against" | "either" | "measured" | "cold"
    );
    r.stands_alone(end) || beyond || r.is(end, &["one", "end"]) || r.is(end, &["one", "side"])
}

/// *Out **by** six*, *short of the newel **by** seven*, *gap **of** four*, *the lip **is** three*.
fn measures(r: Reader<'_>, start: usize, at: usize) -> bool {
    let word = |back: usize| start.checked_sub(back).map_or("", |i| r.norm(i));
    if start == 0 || r.pause_after(start - 1).stops() {
        return false;
    }
    match word(1) {
        "by" => (2..=BY_REACH)
            .take_while(|&back| start >= back && r.pause_after(start - back) == Pause::None)
            .any(|back| BY_WORDS.contains(&word(back))),
        "of" | "is" | "'s" | "s" | "measures" | "varies" | "reads" => OF_WORDS.contains(&word(2)),
        other => {
            PROJECTS.contains(&other)
                || OF_WORDS.contains(&other) && r.norm(start) != r.norm(at)
                || gap_named(r, start)
        }
    }
}

/// *Spindle **gap**, ninety-eight*: the gap alone, then how much.
fn gap_named(r: Reader<'_>, start: usize) -> bool {
    r.pause_after(start - 1) == Pause::Comma && OF_WORDS.contains(&r.norm(start - 1))
}

/// *At **two forty** from the bowl, and we want three hundred*: held against what it should be.
fn compared(r: Reader<'_>, start: usize, value: f64, end: usize) -> bool {
    let before = start.checked_sub(1).map_or("", |i| r.norm(i));
    let counts = matches!(
        before,
        "ip" | "the" | "these" | "those" | "bedroom" | "plot" | "number"
    );
    // "Twenty-eight of water", "two hundred from the bowl".
    let goes_on = matches!(
        r.norm(end),
        "of" | "from" | "to" | "at" | "high" | "wide" | "deep"
    );
    (ends_here(r, end) || goes_on) && !counts && expected::told_after(r, value, end)
}

/// *Set **at** nine fifty*, *hung **at** eight hundred*, ***projects** four hundred*.
fn placed_at(r: Reader<'_>, start: usize) -> bool {
    let word = |back: usize| start.checked_sub(back).map_or("", |i| r.norm(i));
    word(1) == "at" && PLACED.contains(&word(2)) || PROJECTS.contains(&word(1))
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
        .is_some_and(|i| SIZED.contains(&r.norm(i)) || sized_somewhere(r, i))
}

/// ***Headroom** under the trimmer*, ***handrail** on the landing*: a thing whose size is said, and where it is.
fn sized_somewhere(r: Reader<'_>, noun: usize) -> bool {
    let word = |back: usize| noun.checked_sub(back).map_or("", |i| r.norm(i));
    let two = usize::from(class(word(1)) == Class::Open);
    class(r.norm(noun)) == Class::Open
        && class(word(1 + two)) == Class::Determiner
        && class(word(2 + two)) == Class::Preposition
        && SIZED.contains(&word(3 + two))
}

/// *Nineteen **over the storey***, *six **over two metres***, *nine **under a straightedge***.
fn tied_after(r: Reader<'_>, end: usize) -> bool {
    if !matches!(r.norm(end), "over" | "under" | "on" | "across") {
        return false;
    }
    let article = usize::from(matches!(
        r.norm(end + 1),
        "the" | "a" | "its" | "full" | "one" | "my"
    ));
    let noun = end + 1 + article;
    let edge = matches!(r.norm(noun), "straightedge" | "straight");
    if r.norm(end) != "over" {
        return edge;
    }
    let named = matches!(r.norm(noun), "storey" | "height" | "width" | "length");
    let measured = numbers::read(r, noun)
        .and_then(|n| units::after_number(r, n.end))
        .or_else(|| units::unit_word(r, noun))
        .is_some_and(|unit| units::in_millimetres(unit.name).is_some());
    named || measured || edge
}

/// How many tokens before a number the word of its *by* may stand.
const BY_REACH: usize = 7;
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

/// Words right before how far a thing stands out.
const PROJECTS: &[&str] = &["projecting", "projects", "overhanging", "overhangs"];

/// Words before *at* and a height.
const PLACED: &[&str] = &[
    "is", "'s", "set", "mounted", "fixed", "hung", "fitted", "sits", "sat", "placed", "it",
];

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
