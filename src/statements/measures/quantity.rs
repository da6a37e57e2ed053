//! Numbers with units, one by one.

use super::approximate::{words_after, words_before};
use super::bare::bare_unit;
use super::expected;
use crate::statements::numbers::{self, Reading};
use crate::statements::reader::{Pause, Reader};
use crate::statements::units::{self, Unit};
use std::ops::Range;

/// A number with its unit, before it is known what it is tied to.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Quantity {
    /// All its tokens, with the words of approximation.
    pub(super) tokens: Range<usize>,
    /// Where the number itself starts.
    pub(super) number: usize,
    pub(super) value: f64,
    pub(super) max: Option<f64>,
    pub(super) unit: &'static str,
    pub(super) approximate: bool,
}

/// Returns every quantity, in order.
pub(super) fn all(r: Reader<'_>) -> Vec<Quantity> {
    let mut found: Vec<Quantity> = Vec::new();
    let mut at = 0;
    let mut free_from = 0;
    while at < r.len() {
        let mut here = quantities_at(r, at);
        if here.is_empty()
            && let Some(again) = found
                .last()
                .and_then(|before| measured_again(r, at, before))
        {
            here.push(again);
        }
        let Some(last) = here.last_mut() else {
            // A number that is no quantity is passed over whole: the "thousand" of "two thousand
            // and ..." starts nothing.
            at = numbers::read(r, at).map_or(at + 1, |n| n.end.max(at + 1));
            continue;
        };
        let (end, after) = words_after(r, last.tokens.end);
        last.tokens.end = end;
        let (start, before) = words_before(r, here[0].tokens.start, free_from);
        here[0].tokens.start = start;
        for quantity in &mut here {
            quantity.approximate |= before || after;
        }
        at = end;
        free_from = end;
        found.append(&mut here);
    }
    expected::left_out(r, found)
}

/// Reads a number whose unit was said just before: *two mil, no, **three***; *should be ten inches,
/// and I've got **six***; *five mil one end and **eleven** the other*.
fn measured_again(r: Reader<'_>, at: usize, before: &Quantity) -> Option<Quantity> {
    let from = before.tokens.end;
    if at <= from || at - from > AGAIN_REACH || r.sentence_ends_within(from - 1, at) {
        return None;
    }
    let corrected = ["no", "sorry", "correction"].contains(&r.norm(at - 1));
    let found = expected::said_before(r, before.tokens.start)
        && ["got", "is", "'s", "only", "reads"].contains(&r.norm(at - 1));
    let number = numbers::read(r, at)?;
    let other_end = at_other_end(r, number.end);
    let alone = r.stands_alone(number.end) || other_end;
    let lengths = before.unit != "ratio";
    (lengths && alone && (corrected || found || other_end))
        .then(|| quantity(at, number.end, number.value, None, before.unit))
}

/// *Eleven **the other***, *thirty-two **at the other end***.
fn at_other_end(r: Reader<'_>, end: usize) -> bool {
    let at = end + usize::from(matches!(r.norm(end), "at" | "on"));
    r.is(at, &["the", "other"])
}

/// How many tokens after a quantity its unit still goes for a number.
const AGAIN_REACH: usize = 8;

/// Returns the quantity that starts at `at`, or several for *ten by twenty mil*; none where none
/// starts there.
fn quantities_at(r: Reader<'_>, at: usize) -> Vec<Quantity> {
    if let Some(one) = article_and_unit(r, at).or_else(|| feet_and_inches_sign(r, at)) {
        return vec![one];
    }
    let Some(first) = numbers::read(r, at) else {
        return Vec::new();
    };
    if let Some(found) = ratio(r, at, first) {
        return vec![found];
    }
    let sizes = by_sizes(r, at, first);
    if !sizes.is_empty() {
        return sizes;
    }
    range(r, at, first)
        .or_else(|| single(r, at, first))
        .or_else(|| without_unit(r, at, first))
        .into_iter()
        .collect()
}

fn quantity(at: usize, end: usize, value: f64, max: Option<f64>, unit: &'static str) -> Quantity {
    let (value, max) = match max {
        Some(max) if max < value => (max, Some(value)),
        _ => (value, max),
    };
    Quantity {
        tokens: at..end,
        number: at,
        value,
        max,
        unit,
        approximate: false,
    }
}

/// Reads *a metre*, *an inch and a half*, *a mil or two*.
fn article_and_unit(r: Reader<'_>, at: usize) -> Option<Quantity> {
    let starts_alone =
        matches!(r.norm(at), "inch" | "mil" | "foot" | "metre") && r.is(at + 1, &["and"]);
    // "A full inch", "a good foot".
    let whole = usize::from(matches!(
        r.norm(at + 1),
        "full" | "good" | "whole" | "clear"
    ));
    let unit_at = at + usize::from(!starts_alone) * (1 + whole);
    if !starts_alone && !matches!(r.norm(at), "a" | "an") {
        return None;
    }
    let unit = units::unit_word(r, unit_at)?;
    // "A meter" is the instrument as likely as the length, and letters are no units here.
    if r.raw(unit_at).to_lowercase().starts_with("meter") || r.norm(unit_at).len() < 2 {
        return None;
    }
    if starts_alone && part_after_unit(r, unit).is_none() {
        return None;
    }
    let mut found = finish(
        r,
        at,
        Reading {
            value: 1.0,
            end: unit_at,
            denominator: None,
            loose: false,
        },
        unit,
    );
    found.approximate |= whole == 1 && r.norm(at + 1) == "good";
    if matches!(r.norm(found.tokens.end), "or") && r.norm(found.tokens.end + 1) == "two" {
        found.max = Some(2.0);
        found.approximate = true;
        found.tokens.end += 2;
    }
    Some(found)
}

/// Reads `6'2"` written as one word or two.
fn feet_and_inches_sign(r: Reader<'_>, at: usize) -> Option<Quantity> {
    if at > 0 && r.same_word(at - 1, at) {
        return None;
    }
    let raw = r.raw(at).replace(['′', '’'], "'").replace(['″', '”'], "\"");
    let (feet, rest) = raw.split_once('\'')?;
    let inches = rest
        .trim_end_matches(['.', ',', ';', '?', '!'])
        .trim_end_matches('"');
    let (feet, inches): (f64, f64) = (
        feet.parse::<u32>().ok()?.into(),
        inches.parse::<u32>().ok()?.into(),
    );
    let mut end = at + 1;
    while r.same_word(at, end) {
        end += 1;
    }
    Some(quantity(at, end, feet * 12.0 + inches, None, "in"))
}

/// Reads a gradient: *one in forty*, `1:40`. A length after it makes it a fall over a length
/// instead (*one in two metres*).
fn ratio(r: Reader<'_>, at: usize, first: Reading) -> Option<Quantity> {
    if first.value != 1.0 || first.denominator.is_some() {
        return None;
    }
    let glued = r.glue(at) == Some(':');
    if !glued && r.norm(first.end) != "in" {
        return None;
    }
    let second = numbers::read(r, first.end + usize::from(!glued))?;
    // Fewer than eight is said of things ("one in four tiles"), unless a slope is named.
    let sloping = (at.saturating_sub(8)..second.end + 4).any(|i| SLOPES.contains(&r.norm(i)));
    let plain = second.value > 1.0 && (glued || second.value >= 8.0 || sloping);
    if !plain || units::after_number(r, second.end).is_some() {
        return None;
    }
    Some(quantity(at, second.end, second.value, None, "ratio"))
}

const SLOPES: &[&str] = &[
    "fall", "falls", "falling", "gradient", "slope", "slopes", "sloping", "ramp", "ramped",
    "pitch", "incline", "cross",
];

/// Reads *ten by twenty mil*, `10 x 20 mm`, *two metres by one*: one quantity each.
fn by_sizes(r: Reader<'_>, at: usize, first: Reading) -> Vec<Quantity> {
    let mut parts = Vec::new();
    let (mut reading, mut start) = (first, at);
    loop {
        let unit = unit_after(r, reading.end);
        let end = unit.map_or(reading.end, |u| u.end);
        parts.push((start, end, reading.value, unit.map(|u| u.name)));
        let glued = matches!(r.glue(end - 1), Some('x' | '×')) || r.lone_sign_after(end - 1) == "×";
        if !glued && (!matches!(r.norm(end), "by" | "x" | "×") || r.pause_after(end - 1).stops()) {
            break;
        }
        start = end + usize::from(!glued);
        match numbers::read(r, start) {
            Some(next) => reading = next,
            None => break,
        }
    }
    // A size without unit takes the next one's, at the end the one before.
    let last_unit = parts.iter().rev().find_map(|p| p.3);
    let (Some(last_unit), true) = (last_unit, parts.len() > 1) else {
        return Vec::new();
    };
    let mut unit = last_unit;
    let mut sizes: Vec<Quantity> = parts
        .iter()
        .rev()
        .map(|(start, end, value, own)| {
            unit = own.unwrap_or(unit);
            quantity(*start, *end, *value, None, unit)
        })
        .collect();
    sizes.reverse();
    sizes
}

/// Reads *six to eight mil*, *six mil to eight mil*, *between four and six*, `6-8mm`, *ten fifteen
/// mil*.
fn range(r: Reader<'_>, at: usize, first: Reading) -> Option<Quantity> {
    let first_unit = unit_after(r, first.end);
    let end = first_unit.map_or(first.end, |u| u.end);
    let before = if at > 0 { r.norm(at - 1) } else { "" };
    let glued = matches!(r.glue(end - 1), Some('-' | '–'))
        || matches!(r.lone_sign_after(end - 1), "-" | "–");
    let joined = match r.norm(end) {
        "to" | "or" | "till" | "until" => true,
        "and" => before == "between",
        "-" | "–" => true,
        _ => false,
    };
    let words = |i: usize| r.norm(i).chars().all(|c| c.is_ascii_alphabetic());
    let beside = first_unit.is_none()
        && first.end == at + 1
        && words(at)
        && words(end)
        && r.pause_after(end - 1) <= Pause::Comma;
    if !joined && !glued && !beside {
        return None;
    }
    let second = numbers::read(r, end + usize::from(joined))?;
    if beside && !joined && (second.value <= first.value || second.denominator.is_some()) {
        return None;
    }
    let (unit, end) = match (first_unit, unit_after(r, second.end)) {
        (Some(a), Some(b)) if a.name != b.name => return None,
        (_, Some(unit)) => (unit.name, unit.end),
        // "Six mil or two of them" is no range.
        (Some(_), None) => return None,
        (None, None) if beside && !joined => return None,
        (None, None) => (bare_unit(r, at, second)?, second.end),
    };
    let mut found = quantity(at, end, first.value, Some(second.value), unit);
    if joined && matches!(before, "between" | "from") {
        found.tokens.start -= 1;
    }
    Some(found)
}

/// Reads one number with its unit.
fn single(r: Reader<'_>, at: usize, first: Reading) -> Option<Quantity> {
    let unit = unit_after(r, first.end)?;
    Some(finish(r, at, first, unit))
}

/// Returns the unit after a number; between a fraction and its unit *of a(n)* may stand.
pub(super) fn unit_after(r: Reader<'_>, end: usize) -> Option<Unit> {
    if let Some(unit) = units::after_number(r, end) {
        return Some(unit);
    }
    if r.pause_after(end.checked_sub(1)?).stops() {
        return None;
    }
    let skip = match (r.norm(end), r.norm(end + 1)) {
        ("of", "a" | "an") => 2,
        ("a" | "an", _) if matches!(r.norm(end - 1), "half" | "quarter") => 1,
        _ => return None,
    };
    units::unit_word(r, end + skip)
}

/// Adds what may follow the unit: inches after feet, centimetres after metres, *and a half*.
fn finish(r: Reader<'_>, at: usize, first: Reading, unit: Unit) -> Quantity {
    let mut found = quantity(at, unit.end, first.value, None, unit.name);
    found.approximate = first.loose;
    if let Some((part, end)) = part_after_unit(r, unit) {
        found.value += part;
        found.tokens.end = end;
        return found;
    }
    let with_and = usize::from(r.norm(unit.end) == "and");
    let Some(second) = numbers::read(r, unit.end + with_and) else {
        return found;
    };
    if r.pause_after(unit.end - 1) != Pause::None {
        return found;
    }
    let second_unit = unit_after(r, second.end);
    let alone = r.stands_alone(second.end)
        || r.norm(second.end) == "against"
        || r.is(second.end, &["of", "it"]);
    let bare = second_unit.is_none() && with_and == 0 && alone;
    // "Six foot or two" and "six foot by two" never come here: the number follows directly.
    match unit.name {
        "ft" if second.value < 12.0 => {
            if let Some(inches) = second_unit.filter(|u| u.name == "in") {
                found.tokens.end = inches.end;
            } else if bare && matches!(r.norm(unit.end - 1), "foot" | "ft") {
                found.tokens.end = second.end;
            } else {
                return found;
            }
            found.value = found.value * 12.0 + second.value;
            found.unit = "in";
        }
        // "Two metres ten" is 2.10 m.
        "m" if bare && (10.0..100.0).contains(&second.value) && first.value.fract() == 0.0 => {
            found.value = ((found.value * 100.0) + second.value) / 100.0;
            found.tokens.end = second.end;
        }
        _ => {}
    }
    found
}

/// Reads *and a half* after a unit: *an inch and a half*, *two foot and a quarter*.
fn part_after_unit(r: Reader<'_>, unit: Unit) -> Option<(f64, usize)> {
    if r.norm(unit.end) != "and" || r.pause_after(unit.end - 1).stops() {
        return None;
    }
    let part = numbers::read(r, unit.end + 1).filter(|p| p.denominator.is_some())?;
    // "Two foot and half an inch": the part has its own unit; "and half of it": a thing's part.
    let of_a_thing = r.norm(part.end) == "of" && r.norm(unit.end + 1) == "half";
    let alone = unit_after(r, part.end).is_none() && !of_a_thing;
    alone.then_some((part.value, part.end))
}

/// Reads a number whose unit was left out.
fn without_unit(r: Reader<'_>, at: usize, first: Reading) -> Option<Quantity> {
    let unit = bare_unit(r, at, first)?;
    Some(quantity(at, first.end, first.value, None, unit))
}
