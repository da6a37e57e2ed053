//! What the confirm pass promises.

mod properties;
mod state;

use super::{Change, Move, Refusal, Session};
use crate::items::Item;
use crate::job::Event;

/// A stand-in for the real sentence writer: its output shows which facts it was given.
pub(super) fn describe(item: &Item) -> String {
    format!(
        "<{} {} in {}, {}>",
        item.element, item.defect, item.place, item.count
    )
}

/// Decides, keeps in memory as a job would, applies; returns the kept events.
pub(super) fn act(
    session: &mut Session,
    log: &mut Vec<Event>,
    change: &Change,
) -> Result<Vec<Event>, Refusal> {
    let decisions = session.decide(change)?;
    let first = log.len() as i64 + 1;
    let events: Vec<Event> = decisions
        .into_iter()
        .zip(first..)
        .map(|(decision, id)| Event {
            id,
            at: format!("act {first}"),
            decision,
        })
        .collect();
    log.extend(events.clone());
    session.apply(events.clone());
    Ok(events)
}
