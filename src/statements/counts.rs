//! How many: *three tiles*, *both*, *a couple of*, *half a dozen*.

use super::numbers;
use super::reader::{Pause, Reader};
use super::units;
use crate::lexicon::Token;
use std::ops::Range;

/// The largest number taken as a count: larger ones on a walk-round are sizes said without a unit.
const LARGEST_COUNT: f64 = 99.0;

/// Returns the whole numbers that count things, with the tokens each covers, in order: *two of the*
/// is 2, *both* is 2, *a couple of* is 2. Of *two or three* the smaller is given, being the certain
/// one. Left out: numbers with a unit, times and layers (*three times*, *two weeks*, *two coats*),
/// numbers in names (*plot four*, *number six*, *two storey*), numbers above 99, numbers with nothing
/// to count after them (unless *there are two*), and the pronoun *one*.
///
/// Room numbers (*bedroom two*) are read as counts here: the caller drops what places and
/// measurements cover.
pub fn counts(tokens: &[Token]) -> Vec<(Range<usize>, u32)> {
    let r = Reader::new(tokens, &[]);
    let mut found = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        match count_at(r, at) {
            Found::Count(end, count) => {
                found.push((at..end, count));
                at = end;
            }
            Found::Other(end) => at = end.max(at + 1),
        }
    }
    found
}

enum Found {
    /// A count, and the token after it.
    Count(usize, u32),
    /// Something else up to this token.
    Other(usize),
}

fn count_at(r: Reader<'_>, at: usize) -> Found {
    if r.norm(at) == "both" {
        let of = at + 1 + usize::from(r.norm(at + 1) == "of");
        return Found::Count(of, 2);
    }
    // "One, two, three, four nail pops": told off one by one.
    let told = (0..ONE_BY_ONE.len()).take_while(|&n| r.norm(at + n) == ONE_BY_ONE[n]);
    let told = told.count();
    if told >= TOLD_OFF && !r.stands_alone(at + told) {
        return Found::Count(at + told, told as u32);
    }
    let Some(reading) = numbers::read(r, at) else {
        return Found::Other(at + 1);
    };
    let (mut value, mut end) = (reading.value, reading.end);
    if matches!(r.norm(end), "or" | "to")
        && r.pause_after(end - 1) == Pause::None
        && let Some(second) = numbers::read(r, end + 1)
    {
        value = value.min(second.value);
        end = second.end;
    }
    // "Three out of the six downlights".
    if r.is(end, &["out", "of"]) {
        let of = end + 2 + usize::from(r.norm(end + 2) == "the");
        end = numbers::read(r, of).map_or(end, |all| all.end);
    }
    let measured = units::after_number(r, end).is_some();
    let whole = (1.0..=LARGEST_COUNT).contains(&value) && value.fract() == 0.0;
    let named =
        at > 0 && BEFORE_NAME.contains(&r.norm(at - 1)) && r.pause_after(at - 1) == Pause::None;
    // "Rocking by the step, four of them".
    let named = named && !r.is(end, &["of", "them"]);
    if value == 1.0 && r.norm(end) == "in" {
        // A gradient: "one in forty".
        if let Some(second) = numbers::read(r, end + 1) {
            return Found::Other(second.end);
        }
    }
    let before = if at > 0 { r.norm(at - 1) } else { "" };
    // "No, make that three".
    let put_right = RIGHT.iter().any(|words| r.ends_with(at, words));
    let announced = value > 1.0 && (BEFORE_LONE_COUNT.contains(&before) || put_right);
    // "Four on 'em blocked".
    let of = r.norm(end) == "of" || r.is(end, &["on", "them"]);
    // "Tiles. Two with chipped corners. Three out."
    let opens = at == 0 || r.pause_after(at - 1) == Pause::Sentence;
    let told_off = opens && value > 1.0 && matches!(r.norm(end), "with" | "out");
    // "Screws missing, two off."
    let off = r.norm(end) == "off" && end + 1 == r.len() && at > 0;
    if off && (1.0..=LARGEST_COUNT).contains(&value) {
        return Found::Count(end + 1, value as u32);
    }
    let lone = r.stands_alone(end) && !announced && !of && !told_off;
    if measured || !whole || named || lone || NOT_THINGS.contains(&r.norm(end)) {
        return Found::Other(end);
    }
    // "two of the tiles" counts tiles; the article is left for whatever follows.
    if of {
        end += 1;
    }
    Found::Count(end, value as u32)
}

/// So many numbers from one on are a counting, and no figures said one by one.
const TOLD_OFF: usize = 3;
const ONE_BY_ONE: &[&str] = &[
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
];

/// Words after which a number counts even with nothing after it: *there are two by the door*.
const BEFORE_LONE_COUNT: &[&str] = &[
    "are", "is", "'s", "all", "another", "got", "these", "those", "other", "just", "only", "count",
    "counted",
];

/// Words that put a count right.
const RIGHT: &[&[&str]] = &[&["make", "that"], &["make", "it"], &["call", "it"]];

/// Words after which a number is a name.
const BEFORE_NAME: &[&str] = &[
    "plot", "number", "flat", "unit", "phase", "block", "page", "item", "step", "house", "photo",
    "point", "line", "snag", "defect", "no",
];

/// Words after a number that are not things with defects.
const NOT_THINGS: &[&str] = &[
    "time",
    "times",
    "second",
    "seconds",
    "minute",
    "minutes",
    "hour",
    "hours",
    "day",
    "days",
    "week",
    "weeks",
    "month",
    "months",
    "year",
    "years",
    "coat",
    "coats",
    "storey",
    "storeys",
    "bed",
    "bedroomed",
    "way",
    "ways",
    "pm",
    "am",
    "o'clock",
    "percent",
    "pence",
    "pounds",
    "gang",
    "past",
    "x",
];
