//! Fractions: *half*, *three quarters*, *a sixteenth*, `5/8`, `½`.

use super::Reading;
use super::cardinals::below_hundred;
use super::vocabulary::{small_digits, spoken_unit, teen};
use crate::statements::reader::Reader;
use crate::statements::units;

/// Reads a fraction that stands alone: *half*, *three quarters*, *a sixteenth*, *five thirty
/// seconds*, `5/8`, `½`.
pub(super) fn fraction(r: Reader<'_>, at: usize) -> Option<Reading> {
    let found = |n: u32, d: u32, end| {
        Some(Reading {
            value: f64::from(n) / f64::from(d),
            end,
            denominator: Some(d),
            loose: false,
        })
    };
    if let Some((n, d)) = written_fraction(r.norm(at)) {
        return found(n, d, at + 1);
    }
    if let Some((n, d)) = split_fraction(r, at) {
        return found(n, d, at + 2);
    }
    let article = matches!(r.norm(at), "a" | "an");
    match r.norm(at + usize::from(article)) {
        "half" => return found(1, 2, at + 1 + usize::from(article)),
        "quarter" => return found(1, 4, at + 1 + usize::from(article)),
        _ => {}
    }
    if article {
        let (d, end, _) = denominator(r, at + 1)?;
        // "a third tile" is an ordinal; "a third of", "a third inch" and "a sixteenth" are parts.
        let part = d >= 8 && d != 10 || r.norm(end) == "of" || units::unit_word(r, end).is_some();
        return if part { found(1, d, end) } else { None };
    }
    // "Eighth of an inch".
    if let Some((d, end, false)) = denominator(r, at)
        && r.norm(end) == "of"
        && matches!(r.norm(end + 1), "a" | "an")
        && units::unit_word(r, end + 2).is_some()
    {
        return found(1, d, end);
    }
    // The shorter numerator first: "three thirty seconds" is 3/32.
    let one = small_whole(r, at).map(|n| (n, at + 1));
    for (n, after) in [one, below_hundred(r, at)].into_iter().flatten() {
        if n == 0 || r.pause_after(after - 1).stops() {
            continue;
        }
        if let Some((d, end, plural)) = denominator(r, after) {
            let part = plural || r.norm(end) == "of" || units::unit_word(r, end).is_some();
            if part && (n > 1 || !plural) {
                return found(n, d, end);
            }
        }
        match r.norm(after) {
            "half" if n == 1 => return found(1, 2, after + 1),
            "halves" => return found(n, 2, after + 1),
            "quarter" | "quarters" => return found(n, 4, after + 1),
            _ => {}
        }
    }
    None
}

/// Reads the fraction after a whole number: *and a half*, *and three eighths*, `1/2` after `1`.
pub(super) fn added_fraction(r: Reader<'_>, at: usize) -> Option<(f64, usize)> {
    if at == 0 || r.pause_after(at - 1).stops() {
        return None;
    }
    if r.norm(at) == "and" {
        let part = fraction(r, at + 1).filter(|f| f.value < 1.0)?;
        return Some((part.value, part.end));
    }
    let whole_is_written = r.norm(at - 1).bytes().all(|b| b.is_ascii_digit());
    let (n, d, end) = match (written_fraction(r.norm(at)), split_fraction(r, at)) {
        (Some((n, d)), _) => (n, d, at + 1),
        (_, Some((n, d))) => (n, d, at + 2),
        _ => return None,
    };
    (whole_is_written && n < d).then(|| (f64::from(n) / f64::from(d), end))
}

/// Returns numerator and denominator of `5/8` or `½`.
pub(super) fn written_fraction(norm: &str) -> Option<(u32, u32)> {
    if let Some((n, d)) = norm.split_once('/') {
        return Some((small_digits(n)?, small_digits(d).filter(|d| *d > 0)?));
    }
    let mut chars = norm.chars();
    let (sign, rest) = (chars.next()?, chars.next());
    if rest.is_some() {
        None
    } else {
        fraction_sign(sign)
    }
}

/// Reads `5/8` where it was split into two tokens of one word.
pub(super) fn split_fraction(r: Reader<'_>, at: usize) -> Option<(u32, u32)> {
    if r.glue(at) != Some('/') {
        return None;
    }
    Some((
        small_digits(r.norm(at))?,
        small_digits(r.norm(at + 1)).filter(|d| *d > 0)?,
    ))
}

/// Returns the fraction that one character stands for (Unicode's Number Forms block).
pub(super) fn fraction_sign(sign: char) -> Option<(u32, u32)> {
    Some(match sign {
        '½' => (1, 2),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '⅕' => (1, 5),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        _ => return None,
    })
}

/// Reads a denominator: its value, the token after it, and whether it is a plural.
pub(super) fn denominator(r: Reader<'_>, at: usize) -> Option<(u32, usize, bool)> {
    let two = match (r.norm(at), r.norm(at + 1)) {
        ("thirty", "second") => Some((32, false)),
        ("thirty", "seconds") => Some((32, true)),
        ("sixty", "fourth") => Some((64, false)),
        ("sixty", "fourths") => Some((64, true)),
        _ => None,
    };
    if let Some((d, plural)) = two {
        return Some((d, at + 2, plural));
    }
    let (d, plural) = match r.norm(at) {
        "third" => (3, false),
        "thirds" => (3, true),
        "fifth" => (5, false),
        "fifths" => (5, true),
        "eighth" => (8, false),
        "eighths" => (8, true),
        "tenth" => (10, false),
        "tenths" => (10, true),
        "sixteenth" => (16, false),
        "sixteenths" => (16, true),
        _ => return None,
    };
    Some((d, at + 1, plural))
}

/// Returns the value of one token below 100, in words or digits.
fn small_whole(r: Reader<'_>, at: usize) -> Option<u32> {
    let word = r.norm(at);
    spoken_unit(word)
        .or_else(|| teen(word))
        .or_else(|| small_digits(word).filter(|n| *n < 100))
}
