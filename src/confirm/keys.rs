//! How many keys a pass takes in the terminal, worked out from what was decided: the list of what may be
//! taken with a digit is known at every step, but not whether the inspector did so. Moving about is not
//! counted, so it is the least.

use super::complete::complete;
use super::state::Session;
use crate::items::Item;
use crate::job::{Decision, Event, Field};

/// Texts that have a digit of their own.
const DIGITS: usize = 9;

/// What is not worked out step by step: a key and an answer of one or two.
const ANY_OTHER: usize = 3;

/// Returns the keys that the events take, oldest first, in a pass that begins with `session`.
pub fn keys_taken(mut session: Session, events: &[Event]) -> usize {
    let mut keys = 0;
    let mut above = None;
    for event in events {
        let parts = event.decision.parts();
        // Accepted unseen with many others: one question for all.
        let together = parts.iter().find_map(|part| match part {
            Decision::Accept { above, .. } => *above,
            _ => None,
        });
        match together {
            Some(confidence) if above == Some((confidence, &event.at)) => {}
            Some(confidence) => {
                keys += ANY_OTHER + confidence.to_string().len() - 1;
                above = Some((confidence, &event.at));
            }
            None => keys += keys_of(&session, parts),
        }
        session.apply(vec![event.clone()]);
    }
    keys
}

/// Returns the keys of one step.
fn keys_of(session: &Session, parts: &[Decision]) -> usize {
    let count = |of: fn(&Decision) -> bool| parts.iter().filter(|part| of(part)).count();
    let along = count(|part| matches!(part, Decision::Likewise { .. }));
    let edits = parts.iter().filter_map(|part| match part {
        Decision::Edit {
            item, field, to, ..
        } => Some((item, *field, to)),
        _ => None,
    });
    let edits: Vec<_> = edits.collect();
    match (parts.first(), &edits[..]) {
        // Accepted with the same key; the others went along with the first.
        (_, [(id, field, to), others @ ..]) if others.len() == along => {
            let item = session.items().iter().find(|item| item.id == **id);
            1 + item.map_or(0, |item| answer(session, item, *field, to))
        }
        (Some(Decision::Reject { reason, .. }), _) if reason == session.usual_reason() => 1,
        (Some(Decision::Reject { .. }), _) => 2,
        (Some(Decision::Add { item }), _) => {
            let texts = [
                (Field::Place, &item.place),
                (Field::Element, &item.element),
                (Field::Defect, &item.defect),
            ];
            let keys = texts.map(|(field, text)| answer(session, item, field, text));
            1 + keys.iter().sum::<usize>()
        }
        (
            Some(
                Decision::Accept { .. }
                | Decision::Restore { .. }
                | Decision::Teach { .. }
                | Decision::Found(_)
                | Decision::Unfound(_)
                | Decision::Undo { .. }
                | Decision::Redo { .. },
            ),
            _,
        ) => 1,
        // Written by the program.
        (
            Some(Decision::Proposed { .. } | Decision::Visited(_) | Decision::Detail(_)) | None,
            _,
        ) => 0,
        _ => ANY_OTHER,
    }
}

/// Returns the keys of a text: as many letters as it takes until it is offered, and its digit; or all of
/// it and Enter.
fn answer(session: &Session, item: &Item, field: Field, text: &str) -> usize {
    let choices = session.choices(field, item);
    let now = field.read(item);
    let letters = text.char_indices().map(|(at, _)| at);
    let found = letters.enumerate().find(|&(_, at)| {
        let offered = complete(field, &text[..at], &now, &choices);
        offered.iter().take(DIGITS).any(|offer| offer == text)
    });
    found.map_or(text.chars().count(), |(typed, _)| typed) + 1
}
