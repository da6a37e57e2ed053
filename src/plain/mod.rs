//! Plain words: from what was said, or from the facts of an item, to a sentence a buyer can read.
//!
//! Functions from text to text. Which words are which is a matter of closed lists of English;
//! common knowledge, no single source.

mod clauses;
mod contractions;
mod predicate;
mod subject;
mod tidy;
mod work;

pub(crate) use predicate::predicate;
pub(crate) use subject::is_plural;
use subject::subject;
pub(crate) use tidy::{begins_clause, speaks_of_others, tidy};
pub(crate) use work::work;

/// Words that are written in capitals however they were heard.
const CAPITALS: &[&str] = &[
    "AFCI", "CCTV", "CO", "CPVC", "DPC", "DPM", "EV", "GFCI", "HIU", "HVAC", "IP", "LED", "LVT",
    "MDF", "MVHR", "OSB", "PEX", "PIR", "PTFE", "PV", "PVC", "RCBO", "RCD", "TMV", "TRV", "TV",
    "USB", "UV", "WC",
];

/// Words that are written in a way of their own.
const OWN_WAY: &[(&str, &str)] = &[
    ("upvc", "uPVC"),
    ("french", "French"),
    ("juliet", "Juliet"),
    ("trvs", "TRVs"),
    ("leds", "LEDs"),
    ("rcds", "RCDs"),
    ("gfcis", "GFCIs"),
    ("wcs", "WCs"),
    ("georgian", "Georgian"),
    ("belfast", "Belfast"),
    ("i", "I"),
];

/// Returns the text with capitals for what deserves them: PVC, LED, French doors.
pub(crate) fn capitals(text: &str) -> String {
    text.split(' ')
        .map(capital_word)
        .collect::<Vec<_>>()
        .join(" ")
}

fn capital_word(word: &str) -> String {
    let core = word.trim_matches(|c: char| !c.is_alphanumeric());
    // *TRV's*, *LED-lit*: the first part decides.
    let head = core.split(['\'', '’', '-']).next().unwrap_or(core);
    let lower = head.to_lowercase();
    let own = OWN_WAY.iter().find(|(plain, _)| *plain == lower);
    let own = own.map(|(_, own)| (*own).to_owned());
    let upper = || {
        let upper = head.to_uppercase();
        // *Co* and *ip* are no words of speech; *co* before a name would be.
        CAPITALS.contains(&upper.as_str()).then_some(upper)
    };
    match own.or_else(upper) {
        Some(new) if !head.is_empty() => word.replacen(head, &new, 1),
        _ => word.to_owned(),
    }
}

/// Returns the text as a sentence: a capital first, a full stop last, single spaces.
pub(crate) fn sentence(text: &str) -> String {
    let text = capitals(&text.split_whitespace().collect::<Vec<_>>().join(" "));
    let text = text.trim_end_matches([',', ';', ':', '-', ' ']);
    let mut chars = text.chars();
    let Some(first) = chars.next() else {
        return String::new();
    };
    // *uPVC* keeps its small letter.
    let body = if text.starts_with("uPVC") {
        text.to_owned()
    } else {
        first.to_uppercase().chain(chars).collect()
    };
    if body.ends_with(['.', '!', '?']) {
        body
    } else {
        format!("{body}.")
    }
}

/// Returns the text with its first letter small, unless the capital stands for itself.
pub(crate) fn lower_first(text: &str) -> String {
    let mut chars = text.chars();
    match (chars.next(), chars.clone().next()) {
        (Some(first), Some(second))
            if first.is_uppercase() && (second.is_lowercase() || second == ' ' && first == 'A') =>
        {
            capitals(&first.to_lowercase().chain(chars).collect::<String>())
        }
        _ => text.to_owned(),
    }
}

/// Returns the sentence that the facts of an item make: *The left-hand sash is stiff and does not
/// lock.* Where the defect fits no pattern it stands after a colon. `own` gives the predicate that
/// the vocabulary has for a defect (*has a gap*), if any; `plural` the plural of a name.
pub(crate) fn facts(
    element: &str,
    position: Option<&str>,
    defect: &str,
    count: u32,
    own: &dyn Fn(&str) -> Option<String>,
    plural: &dyn Fn(&str) -> String,
) -> String {
    let defect: Vec<String> = defect.split(' ').map(str::to_owned).collect();
    let defect = contractions::written_out(&defect).join(" ");
    let defect = defect.as_str();
    // Of *two cracks* the count is of what the thing has, not of the thing.
    let counts_defects = predicate(defect, own(defect).as_deref(), false)
        .is_some_and(|said| said.starts_with("has ") && !said.starts_with("has come"));
    let count = if counts_defects { 1 } else { count };
    let subject = subject(element, position, count, plural);
    let parts: Vec<&str> = defect
        .split(", ")
        .filter(|part| !part.trim().is_empty())
        .collect();
    let said: Option<Vec<String>> = parts
        .iter()
        .map(|part| {
            let part = without_itself(part, element, own, plural);
            let said = predicate(&part, own(&part).as_deref(), subject.plural)?;
            Some(missing_itself(said, element, subject.plural, plural))
        })
        .collect();
    match said {
        Some(said) if !said.is_empty() => {
            let text = format!("{} {}", subject.text, joined(&said));
            let words = text.split(' ').map(str::to_owned).collect();
            sentence(&tidy::said_once(words).join(" "))
        }
        _ if defect.trim().is_empty() => sentence(&subject.text),
        _ => sentence(&format!("{}: {}", subject.text, tidy(defect))),
    }
}

/// Returns a fault without the element's own name, where the rest says as much: *missing* for *screws
/// missing* of a screw.
fn without_itself(
    defect: &str,
    element: &str,
    own: &dyn Fn(&str) -> Option<String>,
    plural: &dyn Fn(&str) -> String,
) -> String {
    let says = |rest: &str| predicate(rest, own(rest).as_deref(), false).is_some();
    let front = defect.split_once(' ');
    let back = defect.rsplit_once(' ');
    let rest = match (front, back) {
        (Some((name, rest)), _) if is_name(name, element, plural) && says(rest) => rest,
        // *Missing screw*; in *loose at the joint* the name is no subject.
        (_, Some((rest, name)))
            if !rest.contains(' ') && is_name(name, element, plural) && says(rest) =>
        {
            rest
        }
        _ => defect,
    };
    rest.to_owned()
}

/// Nothing has itself missing: returns *is missing* for *has missing fixings*, said of a fixing.
fn missing_itself(
    said: String,
    element: &str,
    several: bool,
    plural: &dyn Fn(&str) -> String,
) -> String {
    let mut words = said.split(' ');
    let has = matches!(words.next(), Some("has" | "have")) && said.contains("missing");
    match has && words.any(|word| is_name(word, element, plural)) {
        true if several => "are missing".into(),
        true => "is missing".into(),
        false => said,
    }
}

/// Returns true where the word is the last of the element's name, in whatever number.
fn is_name(word: &str, element: &str, plural: &dyn Fn(&str) -> String) -> bool {
    let element = element.to_lowercase();
    let head = element.rsplit(' ').next().unwrap_or_default();
    let word = word.to_lowercase();
    !head.is_empty() && (word == head || word == plural(head) || plural(&word) == head)
}

/// Joins predicates: a verb that they share is said once.
fn joined(said: &[String]) -> String {
    let mut text = said[0].clone();
    let verb = |s: &str| s.split(' ').next().unwrap_or_default().to_owned();
    let last = said.len() - 1;
    for (at, next) in said.iter().enumerate().skip(1) {
        let shared = verb(next) == verb(&said[at - 1]);
        let rest = match next.split_once(' ') {
            Some((_, rest)) if shared => rest,
            _ => next.as_str(),
        };
        text.push_str(if at == last { " and " } else { ", " });
        text.push_str(rest);
    }
    text
}

#[cfg(test)]
mod tests;
