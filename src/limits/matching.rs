//! From an item's words to the rows about it.

use super::Limits;
use super::row::{Condition, Limit, Sense, Subject, Unsaid};
use crate::items::Measurement;

/// What is known of a thing that was measured.
#[derive(Debug, Clone, Copy)]
pub(super) struct About<'a> {
    /// The thing.
    pub(super) element: &'a str,
    /// Its fault; empty where none was named.
    pub(super) defect: &'a str,
    /// Where it is.
    pub(super) place: &'a str,
    /// Everything said about it.
    pub(super) said: &'a str,
}

/// Words after the name of a thing that only say where it is: *riser **of** the third step*.
const AFTER_NAME: &[&str] = &[
    "of", "to", "on", "in", "at", "by", "under", "over", "between", "beside",
];

/// Returns lowercase words, plurals folded, so that wordings compare.
pub(crate) fn fold(text: &str) -> Vec<String> {
    text.to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(|word| match word.strip_suffix('s') {
            Some(one) if word.len() > 3 && !one.ends_with('s') => one.to_owned(),
            _ => word.to_owned(),
        })
        .collect()
}

/// Returns true where the folded words of `wording` stand in `words` one after the other.
pub(crate) fn has(words: &[String], wording: &str) -> bool {
    let wording = fold(wording);
    !wording.is_empty() && words.windows(wording.len()).any(|w| w == wording)
}

fn has_any(words: &[String], wordings: &[String]) -> bool {
    wordings.iter().any(|wording| has(words, wording))
}

/// Returns the subjects that an element is: those with its longest wording, which must end its name
/// (a *handrail bracket* is no handrail).
pub(super) fn subjects<'a>(limits: &'a Limits, element: &str) -> Vec<&'a Subject> {
    let words = fold(element);
    let end = words
        .iter()
        .position(|w| AFTER_NAME.contains(&w.as_str()))
        .filter(|at| *at > 0)
        .unwrap_or(words.len());
    let longest = |subject: &Subject| {
        let ends_it =
            |wording: &&Vec<String>| !wording.is_empty() && words[..end].ends_with(wording);
        subject.words.iter().filter(ends_it).map(Vec::len).max()
    };
    let most = limits.subjects.iter().filter_map(longest).max();
    limits
        .subjects
        .iter()
        .filter(|s| most.is_some() && longest(s) == most)
        .collect()
}

/// Returns the rows about the measurement: by element, and by the size that was spoken of. The fault
/// says best which size that is, then the words of the measurement, then all that was said; where
/// none of them does, the element's usual size.
pub(super) fn rows<'a>(
    limits: &'a Limits,
    about: &About<'_>,
    measurement: &Measurement,
) -> Vec<(&'a Limit, &'a Sense)> {
    let subjects = subjects(limits, about.element);
    let on: Vec<&Limit> = limits
        .rows
        .iter()
        .filter(|row| {
            row.on
                .iter()
                .any(|name| subjects.iter().any(|s| s.name == *name))
        })
        .collect();
    let with = |fits: &dyn Fn(&Sense) -> bool| -> Vec<(&'a Limit, &'a Sense)> {
        on.iter()
            .filter_map(|row| {
                let senses = row.sense.iter().filter_map(|name| limits.sense(name));
                let sense = senses.into_iter().find(|s| fits(s))?;
                Some((*row, sense))
            })
            .collect()
    };
    for text in [about.defect, measurement.spoken.as_str(), about.said] {
        let words = fold(text);
        let found = with(&|sense| has_any(&words, &sense.words) && of_size(sense, measurement));
        if !found.is_empty() {
            return found;
        }
    }
    with(&|sense| {
        subjects
            .iter()
            .any(|s| s.reads.as_ref() == Some(&sense.name))
            && of_size(sense, measurement)
    })
}

/// Returns false where the measurement is of something else: the length of a crack, not its width.
fn of_size(sense: &Sense, measurement: &Measurement) -> bool {
    let Some(one) = super::compare::millimetres(&measurement.unit) else {
        return true;
    };
    let low = measurement.value * one;
    let high = measurement.max.unwrap_or(measurement.value) * one;
    sense.smallest_mm.is_none_or(|least| low >= least)
        && sense.largest_mm.is_none_or(|most| high <= most)
        && !has_any(&fold(&measurement.spoken), &sense.unlike)
}

/// How a row's conditions stand.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Holds<'a> {
    /// All hold.
    Yes,
    /// One does not: the row is about another case.
    No,
    /// These were not said.
    Ask(Vec<&'a Condition>),
}

/// Returns how the row's conditions and places stand with what was said.
pub(super) fn holds<'a>(limits: &'a Limits, row: &'a Limit, about: &About<'_>) -> Holds<'a> {
    let place = fold(about.place);
    if !row.at.is_empty() && !has_any(&place, &row.at) {
        return Holds::No;
    }
    let mut words = fold(about.element);
    // A stop between texts, so that no wording is found across them.
    for text in [about.defect, about.place, about.said] {
        words.push(String::new());
        words.extend(fold(text));
    }
    let mut ask = Vec::new();
    for condition in row.needs.iter().filter_map(|name| limits.condition(name)) {
        let denied = has_any(&words, &condition.unless);
        let said = has_any(&words, &condition.said);
        match (said, denied, condition.unsaid) {
            (true, false, _) | (false, false, Unsaid::Holds) => {}
            (false, true, _) | (false, false, Unsaid::DoesNotHold) => return Holds::No,
            (true, true, _) | (false, false, Unsaid::Ask) => ask.push(condition),
        }
    }
    if ask.is_empty() {
        Holds::Yes
    } else {
        Holds::Ask(ask)
    }
}
