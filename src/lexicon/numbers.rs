//! Numbers and letters that tell places of one kind apart: *bedroom two*, *second bedroom*, *plot 4b*.

use super::term::Token;

const UNITS: [&str; 20] = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
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

const TENS: [&str; 10] = [
    "", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
];

/// The ordinals that are said of rooms; homes with more than ten of a kind count by number.
const ORDINALS: [(&str, &str); 10] = [
    ("first", "1st"),
    ("second", "2nd"),
    ("third", "3rd"),
    ("fourth", "4th"),
    ("fifth", "5th"),
    ("sixth", "6th"),
    ("seventh", "7th"),
    ("eighth", "8th"),
    ("ninth", "9th"),
    ("tenth", "10th"),
];

/// Returns a whole number below 10,000 in words, as it is said in British English.
pub(super) fn in_words(number: u32) -> String {
    let unit = |n: u32| UNITS[n as usize];
    match number {
        0..=19 => unit(number).to_owned(),
        20..=99 if number.is_multiple_of(10) => TENS[(number / 10) as usize].to_owned(),
        20..=99 => format!("{} {}", TENS[(number / 10) as usize], unit(number % 10)),
        100..=999 => compound(number / 100, "hundred", number % 100),
        _ => compound(number / 1000, "thousand", number % 1000),
    }
}

fn compound(count: u32, of: &str, rest: u32) -> String {
    match rest {
        0 => format!("{} {of}", in_words(count)),
        1..=99 => format!("{} {of} and {}", in_words(count), in_words(rest)),
        _ => format!("{} {of} {}", in_words(count), in_words(rest)),
    }
}

/// How far a number may reach.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Reach {
    /// *two*, *12*: rooms.
    Small,
    /// Also *one hundred and four*, *one oh four*, and a letter behind: plots and flats.
    Large,
}

/// Returns a number or letter said at `start`, in words, and the index after it.
pub(super) fn after(tokens: &[Token], start: usize, reach: Reach) -> Option<(String, usize)> {
    let at = match tokens.get(start)?.norm.as_str() {
        "number" | "no" | "letter" => start + 1,
        _ => start,
    };
    let named = at > start;
    let word = tokens.get(at)?.norm.as_str();
    if let Some((number, mut end)) = number(tokens, at, reach) {
        let mut said = in_words(number);
        if reach == Reach::Large
            && let Some(letter) = tokens
                .get(end)
                .map(|token| token.norm.as_str())
                .filter(|w| is_letter(w))
            && !matches!(letter, "a" | "i")
        {
            said = format!("{said} {letter}");
            end += 1;
        }
        return Some((said, end));
    }
    // *a* is nearly always the article and *i* the inspector, unless *number* or *plot* announces
    // a letter.
    let article = word == "i" || (word == "a" && !(named || reach == Reach::Large));
    (is_letter(word) && !article).then(|| (word.to_owned(), at + 1))
}

/// Returns an ordinal said right before `end` (*second* bedroom) as a cardinal in words, and the
/// index where it starts.
pub(super) fn before(tokens: &[Token], end: usize) -> Option<(String, usize)> {
    let at = end.checked_sub(1)?;
    let word = tokens.get(at)?.norm.as_str();
    let place = ORDINALS
        .iter()
        .position(|(long, short)| *long == word || *short == word)?;
    Some((in_words(place as u32 + 1), at))
}

fn is_letter(word: &str) -> bool {
    matches!(word.as_bytes(), [b'a'..=b'z'])
}

fn number(tokens: &[Token], start: usize, reach: Reach) -> Option<(u32, usize)> {
    let word = |at: usize| tokens.get(at).map_or("", |token| token.norm.as_str());
    let first = word(start);
    if first.len() <= 4 && !first.is_empty() && first.bytes().all(|byte| byte.is_ascii_digit()) {
        return Some((first.parse().ok()?, start + 1));
    }
    if reach == Reach::Large
        && let Some(digits) = digit_by_digit(tokens, start)
    {
        return Some(digits);
    }
    let (mut value, mut end) = below_hundred(tokens, start)?;
    if reach == Reach::Large && word(end) == "hundred" && value < 10 {
        value *= 100;
        end += 1;
        let rest = if word(end) == "and" { end + 1 } else { end };
        if let Some((more, after)) = below_hundred(tokens, rest) {
            value += more;
            end = after;
        }
    }
    Some((value, end))
}

/// *one oh four*: two or more digits said one by one.
fn digit_by_digit(tokens: &[Token], start: usize) -> Option<(u32, usize)> {
    let digits: Vec<u32> = tokens[start..]
        .iter()
        .take(4)
        .map_while(|token| match token.norm.as_str() {
            "oh" | "o" | "nought" => Some(0),
            word => UNITS[..10]
                .iter()
                .position(|unit| *unit == word)
                .map(|unit| unit as u32),
        })
        .collect();
    if digits.len() < 2 || digits[0] == 0 {
        return None;
    }
    Some((
        digits.iter().fold(0, |value, digit| value * 10 + digit),
        start + digits.len(),
    ))
}

fn below_hundred(tokens: &[Token], start: usize) -> Option<(u32, usize)> {
    let word = |at: usize| tokens.get(at).map_or("", |token| token.norm.as_str());
    let unit = |at: usize| {
        UNITS
            .iter()
            .position(|unit| *unit == word(at))
            .map(|unit| unit as u32)
    };
    if let Some(unit) = unit(start) {
        return Some((unit, start + 1));
    }
    let tens = TENS.iter().skip(2).position(|tens| *tens == word(start))? as u32 * 10 + 20;
    match unit(start + 1).filter(|unit| (1..10).contains(unit)) {
        Some(unit) => Some((tens + unit, start + 2)),
        None => Some((tens, start + 1)),
    }
}
