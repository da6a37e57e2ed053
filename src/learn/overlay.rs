//! Accepted lessons as an overlay of the lexicon: TOML that a person can read, edit and pass on.
//!
//! Each lesson is one entry of an ordinary lexicon file with three more keys: `learnt` (the date on
//! which it was accepted), `reason` and `evidence`. Taking an entry out undoes the lesson.

use super::entries::{Entry, entries};
use super::lesson::{Lesson, Teaching};
use crate::lexicon::{Kind, Lexicon, Mishearing, kind_word};
use std::collections::BTreeMap;
use std::fmt::Write;
use std::mem::discriminant;

/// What `learnt` holds while a lesson is only tried.
pub(super) const ON_TRIAL: &str = "on trial";

/// What `learnt` holds while a lesson is only asked for.
const WANTED: &str = "wanted";

/// What stands at the head of a new overlay.
pub const HEAD: &str = "\
# Learnt from your corrections by `callover learn`. Every entry is one lesson; take it out, or use
# `callover learn --undo`, and it is no longer known. The keys are those of any lexicon file; `learnt`,
# `reason` and `evidence` say when and why.
";

/// The most occasions that an entry names; the count in `reason` tells of all.
const EVIDENCE_NAMED: usize = 3;

/// Returns the entry of a lesson that is only tried.
pub(super) fn on_trial(teaching: &Teaching) -> String {
    entry(teaching, ON_TRIAL, "", &[])
}

/// Returns the entry of a lesson that was asked for and not tried yet.
pub fn wanted(teaching: &Teaching) -> String {
    entry(teaching, WANTED, "", &[])
}

/// Returns the entry of a lesson, accepted on a date for a reason.
pub fn accepted(lesson: &Lesson, date: &str, reason: &str) -> String {
    let told = |s: &super::Sighting| {
        let at = s.at.map(|at| format!(" at {at}")).unwrap_or_default();
        format!("{}, item {}{at}: {}", s.job, s.item, s.quote)
    };
    let evidence: Vec<String> = lesson
        .sightings
        .iter()
        .take(EVIDENCE_NAMED)
        .map(told)
        .collect();
    entry(&lesson.teaching, date, reason, &evidence)
}

/// Returns an overlay with one lesson more. What is learnt of the voice, or of how sure items are, takes
/// the place of what was known of it.
pub fn with(text: &str, lesson: &Lesson, date: &str, reason: &str) -> String {
    let text = match lesson.teaching.is_one_of_all() {
        true => without_like(text, &lesson.teaching),
        false => text.to_owned(),
    };
    format!("{text}\n{}", accepted(lesson, date, reason))
}

/// Returns an overlay without lessons of the kind of this one.
pub(super) fn without_like(text: &str, teaching: &Teaching) -> String {
    let (head, entries) = entries(text);
    let stays = |entry: &Entry| {
        let kind = entry.teaching.as_ref().map(discriminant);
        kind != Some(discriminant(teaching))
    };
    let rest = entries.into_iter().filter(stays).map(|entry| entry.lines);
    head + &rest.collect::<String>()
}

/// Returns a lesson with a key of its entry changed, such as `near` to `door, any defect`; an empty text
/// takes the key out.
///
/// # Errors
/// Where the key belongs to no such lesson, or what is left is none.
pub fn edited(teaching: &Teaching, key: &str, value: &str) -> Result<Teaching, String> {
    let nothing = || format!("{key} = {value:?} makes no lesson of it");
    let mut entry: toml::Table = on_trial(teaching).parse().map_err(|_| nothing())?;
    let all = entry
        .iter_mut()
        .next()
        .and_then(|(_, all)| all.as_array_mut());
    let keys = all.and_then(|all| all.first_mut()?.as_table_mut());
    let keys = keys.ok_or_else(nothing)?;
    keys.remove("learnt");
    // What stands near may be told where nothing had to.
    let optional = matches!(teaching, Teaching::HeardAs { .. }).then_some("near");
    let known: Vec<String> = keys.keys().cloned().collect();
    if !known.iter().any(|one| one == key) && optional != Some(key) {
        return Err(format!(
            "there is no {key} in it, only {}",
            known.join(", ")
        ));
    }
    let several = optional == Some(key) || keys[key].is_array();
    if value.is_empty() {
        keys.remove(key);
    } else if several {
        let parts = value.split(',').map(|part| part.trim().into()).collect();
        keys.insert(key.to_owned(), toml::Value::Array(parts));
    } else {
        keys.insert(key.to_owned(), value.into());
    }
    let text = toml::to_string(&entry).map_err(|_| nothing())?;
    let read = entries(&text).1.into_iter().find_map(|one| one.teaching);
    read.ok_or_else(nothing)
}

fn entry(teaching: &Teaching, date: &str, reason: &str, evidence: &[String]) -> String {
    let mut out = String::new();
    let mut put = |key: &str, value: String| {
        // Writing to a string cannot fail.
        let _ = writeln!(out, "{key} = {value}");
    };
    let table = match teaching {
        Teaching::HeardAs { heard, term, near } => {
            put("heard", text(heard));
            put("term", text(&term.name));
            put("kind", text(kind_word(term.kind)));
            if !near.is_empty() {
                put("near", texts(near));
            }
            "heard"
        }
        Teaching::Wording { wording, term } => {
            put("name", text(&term.name));
            put("also", texts([wording]));
            kind_word(term.kind)
        }
        Teaching::Term { term, of, heard } => {
            put("name", text(&term.name));
            if !heard.is_empty() {
                put("heard", texts(heard));
            }
            match term.kind {
                Kind::Place => put("kind", text(of)),
                Kind::Defect => put("befalls", texts([of])),
                _ => put("group", text(of)),
            }
            kind_word(term.kind)
        }
        Teaching::Remedy {
            defect,
            element,
            remedy,
        } => {
            put("name", text(defect));
            put(
                "remedy_for",
                format!("{{ {} = {} }}", text(element), text(remedy)),
            );
            "defect"
        }
        Teaching::Trade { element, trade } => {
            put("name", text(element));
            put("trade", text(trade));
            "element"
        }
        Teaching::Severity { defect, severity } => {
            put("name", text(defect));
            put("severity", text(crate::job::severity_word(*severity)));
            "defect"
        }
        Teaching::NoDefect { words } => {
            put("kind", text("chat"));
            put("wordings", texts([words]));
            "phrase"
        }
        Teaching::Voice(voice) => {
            put("name", text("mine"));
            put("elements", texts(&voice.elements));
            put("defects", texts(&voice.defects));
            put("confusions", texts(&voice.confusions));
            "voice"
        }
        Teaching::Sureness { claims } => {
            put("name", text("mine"));
            put("claims", texts(claims));
            "sureness"
        }
    };
    put("learnt", text(date));
    if !reason.is_empty() {
        put("reason", text(reason));
    }
    if !evidence.is_empty() {
        put("evidence", texts(evidence));
    }
    format!("[[{table}]]\n{out}")
}

/// Returns the text as TOML writes it.
fn text(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

fn texts<T: AsRef<str>>(all: impl IntoIterator<Item = T>) -> String {
    let all: Vec<String> = all.into_iter().map(|one| text(one.as_ref())).collect();
    format!("[{}]", all.join(", "))
}

/// Returns a lesson that teaches certain words only as what the lexicon can try without being loaded
/// again; `None` for the others.
pub(super) fn as_mishearing(lexicon: &Lexicon, teaching: &Teaching) -> Option<Mishearing> {
    let none = std::collections::BTreeSet::new();
    let (words, term, near) = match teaching {
        Teaching::HeardAs { heard, term, near } => (heard, term, near),
        Teaching::Wording { wording, term } => (wording, term, &none),
        _ => return None,
    };
    let kinds = BTreeMap::from(crate::lexicon::ANY);
    let mut mishearing = Mishearing {
        words: words.split(' ').map(str::to_owned).collect(),
        term: lexicon.find(term.kind, &term.name)?,
        near: Vec::new(),
        near_kinds: Vec::new(),
    };
    for name in near {
        match kinds.get(name.as_str()) {
            Some(kind) => mishearing.near_kinds.push(*kind),
            None => {
                let kinds = [Kind::Place, Kind::Element, Kind::Defect];
                let terms = kinds.iter().filter_map(|kind| lexicon.find(*kind, name));
                mishearing.near.extend(terms);
            }
        }
    }
    Some(mishearing)
}
