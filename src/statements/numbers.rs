//! Spoken and written numbers: cardinals, digit groups, decimals, fractions, ordinals, counts.
//!
//! The readings follow British site speech (common practice, no source): *two twenty six* is 226,
//! *one oh five* is 105, *twelve hundred* is 1200, while *ten fifteen* and *eight ten* are two
//! numbers (a range said without its *to*). A lone *one* that stands for a thing (*that one*, *one
//! of the tiles*) is no number.

mod cardinals;
mod fractions;
mod vocabulary;

use super::reader::Reader;
use super::units;
use crate::lexicon::Token;
use crate::speech::Word;
use cardinals::{below_hundred, below_thousand, cardinal, digit_group, digit_run};
use fractions::{added_fraction, fraction, fraction_sign};
use std::ops::Range;
use vocabulary::{simple_ordinal, small_digits, spoken_digit, tens, written_ordinal};

#[cfg(test)]
mod tests;

/// A number found in the tokens.
#[derive(Debug, Clone, PartialEq)]
pub struct Number {
    /// Its value.
    pub value: f64,
    /// The tokens it covers.
    pub tokens: Range<usize>,
}

/// A number with what measuring needs to know about how it was said.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Reading {
    pub(super) value: f64,
    /// First token after it.
    pub(super) end: usize,
    /// Denominator of a fraction said without a whole number (*three eighths*: 8).
    pub(super) denominator: Option<u32>,
    /// True for *a couple*.
    pub(super) loose: bool,
}

/// Returns the cardinal number that starts at token `at`: words, digits, digit groups (*two twenty
/// six* is 226), decimals, fractions, *a couple of*, *a pair of*, *dozen*; `None` where none starts
/// there and for the pronoun *one*.
///
/// Tokens alone do not show the stroke of a written `5/8`: that is read with the words, by
/// [`super::measurements`]. *Double* counts only before a spoken digit (*double four* is 44): a double socket is one socket.
pub fn number_at(tokens: &[Token], at: usize) -> Option<Number> {
    let reading = read(Reader::new(tokens, &[]), at)?;
    Some(Number {
        value: reading.value,
        tokens: at..reading.end,
    })
}

/// Returns the number of a list's line that starts at token `at`, from 1 to 999, and the token after
/// it: *twelve*, *twenty one*, *a hundred and four*, *one oh four*, `12`. Neighbouring numbers stay
/// apart (*five six seven* are three), as do those with a pause between them.
pub fn list_number_at(tokens: &[Token], words: &[Word], at: usize) -> Option<(u32, usize)> {
    let r = Reader::new(tokens, words);
    let digit = |at| spoken_digit(r.norm(at)).filter(|digit| *digit > 0);
    if let (Some(hundreds), "oh" | "o", Some(unit)) = (digit(at), r.norm(at + 1), digit(at + 2)) {
        return Some((hundreds * 100 + unit, at + 3));
    }
    if let Some(value) = small_digits(r.norm(at)) {
        return (1..1000).contains(&value).then_some((value, at + 1));
    }
    let (value, end) = below_thousand(r, at)?;
    let value = u32::try_from(value).ok()?;
    (1..1000).contains(&value).then_some((value, end))
}

/// Returns the ordinal that starts at token `at` (*third*, *twenty first*, *3rd*) as its whole
/// number; `None` where none starts there and for *second* as a unit of time.
pub fn ordinal_at(tokens: &[Token], at: usize) -> Option<Number> {
    let r = Reader::new(tokens, &[]);
    let word = r.norm(at);
    if word == "second" && is_time(r, at) {
        return None;
    }
    let whole = |value: u32, end: usize| {
        Some(Number {
            value: f64::from(value),
            tokens: at..end,
        })
    };
    if let Some(value) = written_ordinal(word).or_else(|| simple_ordinal(word)) {
        return whole(value, at + 1);
    }
    let tens = tens(word)?;
    let unit = simple_ordinal(r.norm(at + 1)).filter(|u| *u < 10)?;
    whole(tens + unit, at + 2)
}

/// Reads a number at `at`, minding pauses where the words are known.
pub(super) fn read(r: Reader<'_>, at: usize) -> Option<Reading> {
    if r.norm(at) == "point" {
        return leading_point(r, at);
    }
    if let Some(found) = vague(r, at).or_else(|| fraction(r, at)) {
        return Some(found);
    }
    let (mut value, mut end) = whole(r, at)?;
    if r.norm(end) == "point"
        && !r.pause_after(end - 1).stops()
        && let Some((digits, after)) = decimals(r, end + 1)
    {
        value += digits;
        end = after;
    }
    if let Some((part, after)) = added_fraction(r, end) {
        value += part;
        end = after;
    }
    if value == 1.0 && end == at + 1 && r.norm(at) == "one" && is_pronoun(r, at) {
        return None;
    }
    Some(Reading {
        value,
        end,
        denominator: None,
        loose: false,
    })
}

/// Words before *one* that make it stand for a thing.
const BEFORE_PRONOUN: &[&str] = &[
    "the", "that", "this", "other", "another", "each", "every", "which", "either", "next", "last",
    "first", "second", "third", "same", "only", "no", "any", "some", "big", "small", "left",
    "right", "middle", "top", "bottom", "new", "old", "whole", "end", "loose", "bad", "good",
];

/// True where *one* at `at` stands for a thing rather than a quantity.
fn is_pronoun(r: Reader<'_>, at: usize) -> bool {
    let next = r.norm(at + 1);
    if next == "of" || next == "'s" || next == "s" {
        return true;
    }
    at > 0
        && !r.pause_after(at - 1).stops()
        && BEFORE_PRONOUN.contains(&r.norm(at - 1))
        && units::unit_word(r, at + 1).is_none()
}

/// True where *second* is the sixtieth part of a minute.
fn is_time(r: Reader<'_>, at: usize) -> bool {
    let before = if at > 0 { r.norm(at - 1) } else { "" };
    before == "per"
        || (matches!(before, "a" | "one" | "each") && (at + 1 == r.len() || r.is_function(at + 1)))
}

/// Words before *point* that make it a noun (*at this point two tiles*).
const BEFORE_NOUN_POINT: &[&str] = &[
    "the", "this", "that", "a", "one", "which", "some", "any", "each", "every", "power", "data",
    "tv", "bt", "phone", "access", "fixing", "at", "first", "high", "low",
];

fn leading_point(r: Reader<'_>, at: usize) -> Option<Reading> {
    if at > 0 && BEFORE_NOUN_POINT.contains(&r.norm(at - 1)) {
        return None;
    }
    let (value, end) = decimals(r, at + 1)?;
    Some(Reading {
        value,
        end,
        denominator: None,
        loose: false,
    })
}

/// Reads what follows *point*: spoken digits, a written whole number, or *twenty five*.
fn decimals(r: Reader<'_>, at: usize) -> Option<(f64, usize)> {
    let mut digits = String::new();
    let mut end = at;
    while let Some(d) = spoken_digit(r.norm(end)) {
        if end > at && r.pause_after(end - 1).stops() {
            break;
        }
        digits.push(char::from_digit(d, 10)?);
        end += 1;
    }
    if digits.is_empty() {
        let written = r.norm(at);
        if !written.is_empty() && written.bytes().all(|b| b.is_ascii_digit()) {
            digits.push_str(written);
            end = at + 1;
        } else {
            let (value, after) = below_hundred(r, at)?;
            digits = value.to_string();
            end = after;
        }
    }
    // More digits than a float holds say nothing more.
    digits.truncate(15);
    Some((format!("0.{digits}").parse().ok()?, end))
}

/// Reads *a couple (of)*, *a pair (of)*, *(half a) dozen*.
fn vague(r: Reader<'_>, at: usize) -> Option<Reading> {
    let found = |value, end, loose| {
        Some(Reading {
            value,
            end,
            denominator: None,
            loose,
        })
    };
    let noun = at + usize::from(r.norm(at) == "a");
    let of = |end: usize| end + usize::from(r.norm(end) == "of");
    match r.norm(noun) {
        "couple" => return found(2.0, of(noun + 1), true),
        "pair" if noun > at || r.norm(noun + 1) == "of" => return found(2.0, of(noun + 1), false),
        "dozen" => return found(12.0, of(noun + 1), false),
        _ => {}
    }
    if r.norm(at) == "half" && r.norm(at + 1) == "a" && r.norm(at + 2) == "dozen" {
        return found(6.0, of(at + 3), false);
    }
    None
}

/// Reads a whole (or written decimal) number: its value and the token after it.
fn whole(r: Reader<'_>, at: usize) -> Option<(f64, usize)> {
    if let Some((value, end)) = written(r, at) {
        return Some(match r.norm(end) {
            "hundred" => (value * 100.0, end + 1),
            "thousand" => (value * 1000.0, end + 1),
            "dozen" => (value * 12.0, end + 1),
            _ => (value, end),
        });
    }
    if let Some((value, end)) = digit_run(r, at) {
        return Some((value as f64, end));
    }
    let (value, end) = cardinal(r, at)?;
    if r.norm(end) == "dozen" {
        return Some((value as f64 * 12.0, end + 1));
    }
    if let Some((grouped, after)) = digit_group(r, at, value, end) {
        return Some((grouped as f64, after));
    }
    Some((value as f64, end))
}

/// Reads written digits: `226`, `1.5`, `1,200`, `1½`.
fn written(r: Reader<'_>, at: usize) -> Option<(f64, usize)> {
    let norm = r.norm(at);
    let first = norm.chars().next()?;
    if !first.is_ascii_digit() && first != '.' {
        return None;
    }
    let last = norm.chars().next_back()?;
    if let Some((n, d)) = fraction_sign(last) {
        let whole: f64 = small_digits(norm.strip_suffix(last)?)?.into();
        return Some((whole + f64::from(n) / f64::from(d), at + 1));
    }
    if let Some((head, tail)) = norm.split_once(',') {
        let grouped = matches!(head.len(), 1..=3) && tail.len() == 3;
        let value = f64::from(small_digits(head)?) * 1000.0 + f64::from(small_digits(tail)?);
        return grouped.then_some((value, at + 1));
    }
    if !norm.bytes().all(|b| b.is_ascii_digit() || b == b'.') || norm.len() > 15 {
        return None;
    }
    let value: f64 = norm.parse().ok()?;
    let next = r.norm(at + 1);
    match r.glue(at) {
        Some(',') if next.len() == 3 => {
            Some((value * 1000.0 + f64::from(small_digits(next)?), at + 2))
        }
        Some('.') => Some((format!("{norm}.{next}").parse().ok()?, at + 2)),
        _ => Some((value, at + 1)),
    }
}
