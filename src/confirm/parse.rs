//! Reading what both faces take as text: numbers, places, filters, where to split.

use super::Session;
use super::filter::{Filter, status_word};
use crate::items::{Severity, Status};
use crate::job::severity_word;

/// Most numbers in one answer: a range of more is a slip of the finger.
const MOST_NUMBERS: u32 = 10_000;

/// Returns the numbers that a text such as `4-7, 9` names.
///
/// # Errors
/// What is wrong, in words.
pub(super) fn numbers_of(text: &str) -> Result<Vec<u32>, String> {
    let wrong = |part: &str| format!("`{part}` is no number: give numbers such as 4-7, 9");
    let mut numbers = Vec::new();
    let parts = text.split([',', ' ', ';']).filter(|part| !part.is_empty());
    for part in parts {
        let (from, to) = part.split_once('-').unwrap_or((part, part));
        let read = |number: &str| number.trim().parse::<u32>().map_err(|_| wrong(part));
        let (from, to) = (read(from)?, read(to)?);
        if from > to || to - from > MOST_NUMBERS {
            return Err(wrong(part));
        }
        numbers.extend(from..=to);
    }
    match numbers.is_empty() {
        true => Err("give at least one number, such as 4".into()),
        false => Ok(numbers),
    }
}

/// Words that number places, in speech and in lists.
const NUMBERS: &[&str] = &[
    "one", "two", "three", "four", "five", "six", "seven", "eight",
];

/// Returns the places that a text names: separated by commas, semicolons or *and*. A number alone
/// goes with the place before it: *bedrooms two and three* is bedroom two, bedroom three.
pub(super) fn places_of(text: &str) -> Vec<String> {
    let text = text.replace(" and ", ",").replace(';', ",");
    let mut places: Vec<String> = Vec::new();
    let is_number = |word: &str| NUMBERS.contains(&word) || word.parse::<u32>().is_ok();
    let parts = text
        .split(',')
        .map(str::trim)
        .filter(|part| !part.is_empty());
    for part in parts {
        let stem = places.last().and_then(|last| last.rsplit_once(' '));
        let place = match (part.rsplit_once(' '), stem) {
            // "bedrooms two": the number says which one.
            (Some((stem, number)), _) if is_number(number) => {
                let one = stem.strip_suffix('s').filter(|_| !stem.ends_with("ss"));
                format!("{} {number}", one.unwrap_or(stem))
            }
            (None, Some((stem, number))) if is_number(part) && is_number(number) => {
                format!("{stem} {part}")
            }
            _ => part.to_string(),
        };
        if !places.contains(&place) {
            places.push(place);
        }
    }
    places
}

/// Returns the filter that a text names, on top of what is shown now; `all` shows everything.
///
/// # Errors
/// What is wrong, in words.
pub(super) fn filter_of(text: &str, session: &Session) -> Result<Filter, String> {
    let mut filter = session.filter().clone();
    let wanted = text.trim().to_lowercase();
    let is = |other: &str| other.to_lowercase() == wanted;
    let statuses = [Status::Proposed, Status::Confirmed, Status::Rejected];
    use Severity::{Clean, Finish, Repair, Safety, Watch};
    let severities = [Safety, Repair, Finish, Clean, Watch];
    let items = session.items();
    if wanted.is_empty() || wanted == "all" {
        return Ok(Filter::default());
    } else if ["unsure", "unsure first"].contains(&&*wanted) {
        filter.unsure_first = true;
    } else if ["outside", "outside limits"].contains(&&*wanted) {
        filter.outside = true;
    } else if wanted == "no photo" {
        filter.no_photo = true;
    } else if wanted == "no trade" {
        filter.trade = Some(String::new());
    } else if let Some(status) = statuses.into_iter().find(|s| is(status_word(*s))) {
        filter.status = Some(status);
    } else if let Some(severity) = severities.into_iter().find(|s| is(severity_word(*s))) {
        filter.severity = Some(severity);
    } else if let Some(item) = items.iter().find(|item| is(&item.place)) {
        filter.place = Some(item.place.clone());
    } else if let Some(trade) = items
        .iter()
        .filter_map(|i| i.trade.as_ref())
        .find(|t| is(t))
    {
        filter.trade = Some(trade.clone());
    } else {
        return Err(format!(
            "nothing is called `{}`: give a place or trade of the list, a severity, undecided, \
             confirmed, rejected, unsure, outside, no photo, or all",
            text.trim()
        ));
    }
    Ok(filter)
}

/// Returns how many words of the item's quote come before the words `text`, with which the second
/// item is to begin.
///
/// # Errors
/// What is wrong, in words.
pub(super) fn split_at(session: &Session, number: u32, text: &str) -> Result<usize, String> {
    let item = session
        .existing(number)
        .map_err(|refusal| refusal.to_string())?;
    let words: Vec<&str> = item.evidence.quote.split_whitespace().collect();
    let plain = |text: &str| -> String {
        let kept = text.chars().filter(|c| c.is_alphanumeric() || *c == ' ');
        kept.collect::<String>().to_lowercase()
    };
    let wanted = plain(text);
    let begins = |at: &usize| plain(&words[*at..].join(" ")).starts_with(wanted.trim());
    match (1..words.len())
        .find(begins)
        .filter(|_| !wanted.trim().is_empty())
    {
        Some(at) => Ok(at),
        None if words.len() < 2 => Err(format!("item {number} has no words that can be divided")),
        None => Err(format!(
            "`{text}` does not come after the first word: “{}”",
            item.evidence.quote
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::samples::walk;

    #[test]
    fn numbers_come_alone_and_in_ranges() {
        for (text, numbers) in [
            ("4", Ok(vec![4])),
            ("4-7, 9", Ok(vec![4, 5, 6, 7, 9])),
            (" 2 3;5 ", Ok(vec![2, 3, 5])),
            ("", Err("give at least one number, such as 4")),
            (
                "7-4",
                Err("`7-4` is no number: give numbers such as 4-7, 9"),
            ),
            (
                "1-99999999",
                Err("`1-99999999` is no number: give numbers such as 4-7, 9"),
            ),
            (
                "all",
                Err("`all` is no number: give numbers such as 4-7, 9"),
            ),
        ] {
            assert_eq!(numbers_of(text), numbers.map_err(String::from), "{text}");
        }
    }

    #[test]
    fn places_are_read_as_they_are_spoken() {
        for (text, places) in [
            (
                "bedrooms two and three",
                vec!["bedroom two", "bedroom three"],
            ),
            (
                "bedroom 2, 3 and loft",
                vec!["bedroom 2", "bedroom 3", "loft"],
            ),
            ("kitchen; utility room", vec!["kitchen", "utility room"]),
            ("lounge and lounge", vec!["lounge"]),
            ("glass one", vec!["glass one"]),
            ("three", vec!["three"]),
            (" , ", vec![]),
        ] {
            assert_eq!(places_of(text), places, "{text}");
        }
    }

    #[test]
    fn filters_are_named_by_what_the_list_has() {
        let session = Session::new(walk(), vec![], |_| String::new());
        for (text, words) in [
            ("Kitchen", Ok("kitchen")),
            ("joiner", Ok("joiner")),
            ("safety", Ok("safety")),
            ("unsure", Ok("unsure first")),
            ("outside", Ok("outside limits")),
            ("no photo", Ok("no photo")),
            ("no trade", Ok("no trade")),
            ("undecided", Ok("undecided")),
            ("all", Ok("")),
            ("", Ok("")),
            ("moon", Err(())),
        ] {
            let filter = filter_of(text, &session).map(|filter| filter.words());
            assert_eq!(filter.map_err(|_| ()), words.map(String::from), "{text}");
        }
    }

    #[test]
    fn a_split_is_found_by_the_words_that_the_second_half_begins_with() {
        let session = Session::new(walk(), vec![], |_| String::new());
        for (text, at) in [
            ("left", Some(5)),
            ("Left of", Some(5)),
            ("the lounge", Some(7)),
            ("and", None),
            ("", None),
            ("cellar", None),
        ] {
            assert_eq!(split_at(&session, 1, text).ok(), at, "{text}");
        }
    }
}
