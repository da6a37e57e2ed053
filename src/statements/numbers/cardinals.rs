//! Whole numbers in words, and spoken digit groups.

use super::vocabulary::{spoken_digit, spoken_unit, teen, tens};
use crate::statements::reader::{Pause, Reader};

/// Reads a cardinal in words up to 999,999,999, with or without *and*.
pub(super) fn cardinal(r: Reader<'_>, at: usize) -> Option<(u64, usize)> {
    let (mut part, mut end) = below_thousand(r, at)?;
    let mut total = 0u64;
    for (scale, size) in [("million", 1_000_000u64), ("thousand", 1000)] {
        if r.norm(end) != scale || part >= 1000 {
            continue;
        }
        total += part * size;
        part = 0;
        end += 1;
        if r.pause_after(end - 1) == Pause::Sentence {
            break;
        }
        let with_and = r.norm(end) == "and";
        let next = if with_and {
            below_hundred(r, end + 1).map(|(n, e)| (u64::from(n), e))
        } else {
            below_thousand(r, end)
        };
        match next {
            Some((n, e)) if n > 0 && n < 1000 && !matches!(r.norm(end), "a") => {
                (part, end) = (n, e)
            }
            _ => break,
        }
    }
    Some((total + part, end))
}

/// Reads up to 999, and *twelve hundred* up to *ninety nine hundred*.
pub(super) fn below_thousand(r: Reader<'_>, at: usize) -> Option<(u64, usize)> {
    let (count, after) = match r.norm(at) {
        "a" if matches!(r.norm(at + 1), "hundred" | "thousand" | "million") => (1, at + 1),
        "hundred" | "thousand" => (1, at),
        _ => below_hundred(r, at)?,
    };
    // "Ninety-eight, hundred and fifty required": two numbers.
    let apart = after > at && r.pause_after(after - 1) != Pause::None;
    if r.norm(after) != "hundred" || count == 0 || apart {
        return Some((count.into(), after));
    }
    let hundreds = u64::from(count) * 100;
    let end = after + 1;
    if r.pause_after(end - 1).stops() {
        return Some((hundreds, end));
    }
    let rest = end + usize::from(r.norm(end) == "and");
    match below_hundred(r, rest) {
        // "Nine hundred, and six hundred's the limit": another number begins.
        Some((n, after)) if n > 0 && r.norm(after) != "hundred" => {
            Some((hundreds + u64::from(n), after))
        }
        _ => Some((hundreds, end)),
    }
}

/// Reads 0 to 99 in words.
pub(super) fn below_hundred(r: Reader<'_>, at: usize) -> Option<(u32, usize)> {
    let word = r.norm(at);
    if let Some(tens) = tens(word) {
        let unit = spoken_unit(r.norm(at + 1)).filter(|_| r.pause_after(at) == Pause::None);
        return Some(match unit {
            Some(unit) => (tens + unit, at + 2),
            None => (tens, at + 1),
        });
    }
    let value = teen(word).or_else(|| spoken_unit(word)).or_else(|| {
        // "oh" starts no number but "oh point five".
        let zero = matches!(word, "zero" | "nought" | "naught")
            || (matches!(word, "oh" | "o") && r.norm(at + 1) == "point");
        zero.then_some(0)
    })?;
    Some((value, at + 1))
}

/// Reads spoken digits one by one: *two two six*, *one oh five*, *two double four*. Two plain
/// digits are not joined: they may be two counts.
pub(super) fn digit_run(r: Reader<'_>, at: usize) -> Option<(u64, usize)> {
    let (mut value, mut count, mut end, mut joined) = (0u64, 0, at, false);
    // Nine digits are more than any measurement needs and keep the value far from overflow.
    while count < 9 && (end == at || r.pause_after(end - 1) == Pause::None) {
        let double = r.norm(end) == "double";
        let Some(d) = spoken_digit(r.norm(end + usize::from(double))) else {
            break;
        };
        if count == 0 && matches!(r.norm(end), "oh" | "o") {
            return None;
        }
        joined |= double || (d == 0 && count > 0);
        for _ in 0..=u8::from(double) {
            value = value * 10 + u64::from(d);
            count += 1;
        }
        end += 1 + usize::from(double);
    }
    let scaled = matches!(r.norm(end), "hundred" | "thousand" | "dozen" | "point");
    let grouped = tens(r.norm(end)).is_some() || teen(r.norm(end)).is_some();
    (count >= 2 && (joined || count >= 3) && !scaled && !grouped).then_some((value, end))
}

/// Reads the second half of a digit group: *(two) twenty six*, *(nineteen) eighty one*,
/// *(twelve) oh five*.
pub(super) fn digit_group(
    r: Reader<'_>,
    at: usize,
    first: u64,
    end: usize,
) -> Option<(u64, usize)> {
    if first == 0 || first > 99 || end - at > 2 || r.pause_after(end - 1) != Pause::None {
        return None;
    }
    let (second, after) = match r.norm(end) {
        "oh" | "o" => (spoken_digit(r.norm(end + 1)).filter(|d| *d > 0)?, end + 2),
        _ => below_hundred(r, end).filter(|(n, _)| *n >= 10)?,
    };
    if matches!(
        r.norm(after),
        "hundred" | "thousand" | "second" | "seconds" | "eighths"
    ) {
        return None;
    }
    let second = u64::from(second);
    let gap = second.saturating_sub(first);
    // "ten fifteen", "ten twelve" and "eight ten" are ranges said without "to".
    let fives = first.is_multiple_of(5) && second % 5 == 0;
    let is_range =
        gap > 0 && (first >= 10 && (gap <= 2 || gap <= 10 && fives) || first < 10 && gap <= 4);
    (!is_range).then_some((first * 100 + second, after))
}
