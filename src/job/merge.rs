//! Putting a new proposal in place of an old one without disturbing what was decided.

use super::{Decision, Event, replay};
use crate::items::{Item, Proposal};
use crate::time::Millis;
use std::collections::BTreeMap;

/// Returns `new` merged with what was decided about `old`, and the highest number given out.
///
/// - An item that a decision in force is about stays exactly as it was proposed, so that its
///   decisions still mean the same, also where `new` does not have it any more.
/// - Every other item is as in `new`.
/// - Before the first decision, numbers are those of `new`. From then on an item keeps the number
///   it had, and items not seen before continue after the highest number ever given out, so that
///   "item 12" on a printed list always means the same item.
pub(super) fn merge(old: &[Item], events: &[Event], mut new: Proposal) -> (Proposal, u32) {
    let undecided = events
        .iter()
        .all(|e| matches!(e.decision, Decision::Proposed { .. } | Decision::Detail(_)));
    if undecided {
        let highest = new.items.iter().map(|item| item.number).max().unwrap_or(0);
        return (new, highest);
    }
    let list = replay(old, events);
    let mut before: BTreeMap<&str, &Item> = old.iter().map(|item| (&*item.id, item)).collect();
    let mut highest = list.highest;
    for item in &mut new.items {
        match before.remove(&*item.id) {
            Some(kept) if list.touched.contains(&kept.id) => item.clone_from(kept),
            Some(seen) => item.number = seen.number,
            None => {
                highest += 1;
                item.number = highest;
            }
        }
    }
    for kept in old {
        if before.contains_key(&*kept.id) && list.touched.contains(&kept.id) {
            let place = new
                .items
                .iter()
                .position(|item| said_at(item) > said_at(kept));
            new.items
                .insert(place.unwrap_or(new.items.len()), kept.clone());
        }
    }
    (new, highest)
}

/// Sort key by spoken order: by time, and by word where the transcript has no times.
fn said_at(item: &Item) -> (u32, Option<Millis>, Option<usize>) {
    let evidence = &item.evidence;
    let start = evidence.span.map(|span| span.start);
    (
        evidence.recording,
        start,
        evidence.words.map(|(first, _)| first),
    )
}
