//! Number words and their values.

/// Returns a written whole number of up to six digits.
pub(super) fn small_digits(text: &str) -> Option<u32> {
    let plain = matches!(text.len(), 1..=6) && text.bytes().all(|b| b.is_ascii_digit());
    if plain { text.parse().ok() } else { None }
}

pub(super) fn spoken_digit(word: &str) -> Option<u32> {
    match word {
        "oh" | "o" | "zero" | "nought" | "naught" => Some(0),
        _ => spoken_unit(word),
    }
}

pub(super) fn position(words: &[&str], word: &str) -> Option<u32> {
    words.iter().position(|w| *w == word).map(|i| i as u32)
}

pub(super) fn spoken_unit(word: &str) -> Option<u32> {
    const UNITS: &[&str] = &[
        "one", "two", "three", "four", "five", "six", "seven", "eight", "nine",
    ];
    position(UNITS, word).map(|i| i + 1)
}

pub(super) fn teen(word: &str) -> Option<u32> {
    const TEENS: &[&str] = &[
        "ten",
        "eleven",
        "twelve",
        "thirteen",
        "fourteen",
        "fifteen",
        "sixteen",
        "seventeen",
        "eighteen",
        "nineteen",
    ];
    position(TEENS, word).map(|i| i + 10)
}

pub(super) fn tens(word: &str) -> Option<u32> {
    const TENS: &[&str] = &[
        "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
    ];
    if word == "fourty" {
        return Some(40);
    }
    position(TENS, word).map(|i| i * 10 + 20)
}

pub(super) fn simple_ordinal(word: &str) -> Option<u32> {
    const ORDINALS: &[&str] = &[
        "first",
        "second",
        "third",
        "fourth",
        "fifth",
        "sixth",
        "seventh",
        "eighth",
        "ninth",
        "tenth",
        "eleventh",
        "twelfth",
        "thirteenth",
        "fourteenth",
        "fifteenth",
        "sixteenth",
        "seventeenth",
        "eighteenth",
        "nineteenth",
        "twentieth",
    ];
    const TENTHS: &[&str] = &[
        "thirtieth",
        "fortieth",
        "fiftieth",
        "sixtieth",
        "seventieth",
        "eightieth",
        "ninetieth",
    ];
    position(ORDINALS, word)
        .map(|i| i + 1)
        .or_else(|| position(TENTHS, word).map(|i| i * 10 + 30))
        .or_else(|| (word == "hundredth").then_some(100))
}

/// Returns the value of `3rd`, `21st`.
pub(super) fn written_ordinal(word: &str) -> Option<u32> {
    let digits = ["st", "nd", "rd", "th"]
        .iter()
        .find_map(|ending| word.strip_suffix(ending))?;
    small_digits(digits)
}
