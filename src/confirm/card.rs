//! One item as both faces show it: labelled texts, safe to print.

use super::Session;
use super::text::safe;
use super::visit::visit_rows;
use crate::items::{Item, Measurement, RemedySource, Status};
use crate::job::Field;
use crate::speech::Recording;

/// From here on an item is called almost certain: at most one in twenty of such is wrong, about
/// the rate at which people overlook their own slips. Own choice, like the two below.
const ALMOST_CERTAIN: f64 = 0.95;
/// From here on likely right: at most one in five is wrong.
const LIKELY: f64 = 0.8;
/// From here on unsure; below, the item is more often wrong than right.
const UNSURE: f64 = 0.5;

/// An item ready to be shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Card {
    /// `Item 12`, and where it stands in the list if that differs.
    pub(super) title: String,
    /// `undecided`, `confirmed`, or `rejected` with the reason.
    pub(super) status: String,
    /// Confidence in words and figure.
    pub(super) sureness: String,
    /// The facts, in reading order.
    pub(super) rows: Vec<Row>,
}

/// One labelled text of a card.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Row {
    /// The field it shows; `None` for what cannot be edited.
    pub(super) field: Option<Field>,
    /// What it is, one or two words.
    pub(super) label: &'static str,
    /// The text; empty where the field is empty.
    pub(super) text: String,
    /// True for cautions, which must not be overlooked.
    pub(super) alarm: bool,
    /// Marks of the text's words, one each from the end of the text; none where none is marked.
    pub(super) marks: Vec<Mark>,
}

/// How a heard word is marked.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Mark {
    /// It belongs to a term that the item rests on.
    pub(super) term: bool,
    /// The recogniser was not sure of it.
    pub(super) unsure: bool,
}

/// Words of a lower probability are shown as unsure: right words are often marked 0.7, wrong ones
/// seldom higher. Own choice.
const UNSURE_WORD: f32 = 0.6;

/// Returns the confidence in words.
pub fn confidence_words(confidence: f64) -> &'static str {
    match confidence {
        c if c >= ALMOST_CERTAIN => "almost certain",
        c if c >= LIKELY => "likely right",
        c if c >= UNSURE => "unsure",
        _ => "doubtful",
    }
}

/// Returns the card of `item`. Recordings are named only where there are several.
pub(super) fn card(session: &Session, item: &Item, recordings: &[Recording]) -> Card {
    let items = session.items();
    let place = items
        .iter()
        .position(|other| other.id == item.id)
        .unwrap_or(0)
        + 1;
    let title = match item.number as usize == place {
        true => format!("Item {place} of {}", items.len()),
        false => format!("Item {}, {place} of {}", item.number, items.len()),
    };
    let status = match (item.status, session.list().reasons.get(&item.id)) {
        (Status::Proposed, _) => "undecided".to_string(),
        (Status::Confirmed, _) => "confirmed".to_string(),
        (Status::Rejected, Some(reason)) if !reason.is_empty() => format!("rejected: {reason}"),
        (Status::Rejected, _) => "rejected".to_string(),
    };
    let sureness = if item.evidence.quote.is_empty() {
        "written by hand".to_string()
    } else {
        let hedged = if item.hedged {
            ", you were not sure"
        } else {
            ""
        };
        format!(
            "{}, {:.2}{hedged}",
            confidence_words(item.confidence),
            item.confidence
        )
    };
    let mut rows: Vec<Row> = Vec::new();
    let mut add = |field, label, text: String, alarm| {
        rows.push(Row {
            field,
            label,
            text: safe(&text),
            alarm,
            marks: Vec::new(),
        });
    };
    for (label, text, alarm) in visit_rows(session, item) {
        add(None, label, text, alarm);
    }
    // The words come first: they are what the inspector judges the rest by.
    if !item.evidence.quote.is_empty() {
        add(None, "heard", heard(item, recordings), false);
    }
    for field in Field::ALL {
        let mut text = field.read(item);
        match (field, item.remedy_source) {
            (Field::Remedy, Some(RemedySource::Suggested)) => text.push_str(" (suggested)"),
            (Field::Remedy, Some(RemedySource::Spoken)) => text.push_str(" (your words)"),
            (Field::Measurement, _) => text.push_str(&spoken(&item.measurements, &text)),
            _ => {}
        }
        if let Some(number) = session.list().corrected_like(item, field) {
            text.push_str(&format!(" (as you corrected item {number})"));
        }
        add(Some(field), field.name(), text, false);
        if field == Field::Measurement {
            for limit in &item.limits {
                add(
                    None,
                    "limit",
                    format!("{}: {}", limit.verdict, limit.why),
                    false,
                );
            }
        }
    }
    if let Some(caution) = &item.caution {
        add(None, "caution", caution.clone(), true);
    }
    match (item.photos.len(), item.photo_wanted) {
        (0, true) => add(None, "photo", "you asked for one here".into(), false),
        (0, false) => {}
        _ => add(None, "photos", item.photos.join(", "), false),
    }
    let why = why(item);
    if !why.is_empty() {
        add(None, "why", why, false);
    }
    if let Some(row) = rows.iter_mut().find(|row| row.label == "heard") {
        row.marks = marks(session, item);
    }
    Card {
        title,
        status: safe(&status),
        sureness,
        rows,
    }
}

/// Returns the words in which measurements were spoken, to stand after their figures. Typed ones
/// have no other words than the figures.
fn spoken(measurements: &[Measurement], figures: &str) -> String {
    let spoken = measurements.iter().map(|measurement| &*measurement.spoken);
    let spoken = spoken.filter(|words| !words.is_empty() && !figures.contains(words));
    spoken.map(|words| format!(", “{words}”")).collect()
}

/// Returns the heard words as a quote, with their time and, among several, their recording.
fn heard(item: &Item, recordings: &[Recording]) -> String {
    let evidence = &item.evidence;
    let file = recordings
        .iter()
        .find(|recording| recordings.len() > 1 && recording.id == evidence.recording)
        .map(|recording| format!(", {}", recording.file));
    let at = evidence
        .span
        .map(|span| format!("at {}", span.start))
        .unwrap_or_default();
    let place = format!("{at}{}", file.unwrap_or_default());
    let place = place.trim_start_matches(", ");
    let gap = if place.is_empty() { "" } else { ": " };
    format!("{place}{gap}“{}”", evidence.quote)
}

/// Returns the reasons, and the words that stand for a term without being it.
fn why(item: &Item) -> String {
    let bent = item
        .evidence
        .terms
        .iter()
        .filter(|term| term.how != "exact" && term.heard != term.name);
    let terms = bent.map(|term| {
        let Some(heard) = Some(&term.heard).filter(|heard| !heard.is_empty()) else {
            return format!("{} “{}” is {}", term.kind, term.name, term.how);
        };
        format!(
            "“{heard}” taken as {} ({}, {:.2})",
            term.name, term.how, term.score
        )
    });
    item.evidence
        .reasons
        .iter()
        .cloned()
        .chain(terms)
        .collect::<Vec<_>>()
        .join("; ")
}

/// Returns the marks of the quote's words.
fn marks(session: &Session, item: &Item) -> Vec<Mark> {
    let evidence = &item.evidence;
    let plain = |text: &str| {
        text.trim_matches(|c: char| !c.is_alphanumeric())
            .to_lowercase()
    };
    let texts: Vec<String> = evidence.quote.split_whitespace().map(plain).collect();
    let mut marks = vec![Mark::default(); texts.len()];
    for term in &evidence.terms {
        let heard: Vec<String> = term.heard.split_whitespace().map(plain).collect();
        // What is carried from before was heard elsewhere.
        if heard.is_empty() || term.how == "carried" {
            continue;
        }
        let places = texts.windows(heard.len());
        if let Some(at) = places.into_iter().position(|words| words == heard) {
            marks[at..at + heard.len()]
                .iter_mut()
                .for_each(|mark| mark.term = true);
        }
    }
    let said = evidence
        .words
        .and_then(|range| session.around().said(range));
    if let Some(words) = said.filter(|words| words.len() == marks.len()) {
        for (mark, word) in marks.iter_mut().zip(words) {
            mark.unsure = word.probability < UNSURE_WORD;
        }
    }
    marks
}
