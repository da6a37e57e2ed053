//! What was done, in one short line for the inspector.

use super::state::Session;
use crate::items::standing_words;
use crate::job::{Decision, Event};

impl Session {
    /// Returns what `events` did, as one short line for the inspector, such as
    /// `item 12 confirmed`. Call it after [`Session::apply`].
    pub fn told(&self, events: &[Event]) -> String {
        match events {
            [] => String::new(),
            [event] => self.told_one(&event.decision),
            [first, ..] => match &first.decision {
                Decision::Accept {
                    above: Some(above), ..
                } => {
                    format!(
                        "{} items confirmed with a confidence of {above} or more",
                        events.len()
                    )
                }
                decision => format!("{} and {} more", self.told_one(decision), events.len() - 1),
            },
        }
    }

    fn told_one(&self, decision: &Decision) -> String {
        let number = decision.item().and_then(|id| self.number_of(id));
        let item = number.map_or("an item".to_string(), |number| format!("item {number}"));
        match decision {
            Decision::Proposed { items, .. } => format!("{items} items proposed"),
            Decision::Accept { .. } => format!("{item} confirmed"),
            Decision::Edit { field, to, .. } if to.is_empty() => format!("{item}: no {field} now"),
            Decision::Edit { field, to, .. } => format!("{item}: the {field} is now {to}"),
            Decision::Reject { reason, .. } if reason.is_empty() => format!("{item} rejected"),
            Decision::Reject { reason, .. } => format!("{item} rejected: {reason}"),
            Decision::Restore { .. } => format!("{item} is undecided again"),
            Decision::Add { .. } => format!("{item} added and confirmed"),
            Decision::Visited(visited) => format!("{} findings heard", visited.findings.len()),
            Decision::Found(found) => format!("{item}: {}", standing_words(found.seen.standing)),
            Decision::Unfound(_) => format!("{item} stands as before"),
            Decision::Detail(detail) => format!("the {} changed", detail.key),
            Decision::Undo { events } => format!("undone: {}", self.told(&self.events_of(events))),
            Decision::Redo { events } => format!("redone: {}", self.told(&self.events_of(events))),
        }
    }

    /// The number of an item by id, also of one whose adding was undone.
    fn number_of(&self, id: &str) -> Option<u32> {
        let added = self
            .events
            .iter()
            .filter_map(|event| match &event.decision {
                Decision::Add { item } => Some(&**item),
                _ => None,
            });
        self.items()
            .iter()
            .chain(added)
            .find(|item| item.id == id)
            .map(|item| item.number)
    }
}
