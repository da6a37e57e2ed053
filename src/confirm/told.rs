//! What was done, in one short line for the inspector.

use super::lesson::teaching;
use super::state::Session;
use crate::items::{Status, standing_words};
use crate::job::{Decision, Event, Field};

impl Session {
    /// Returns what `events` did, as one short line for the inspector, such as
    /// `item 12 confirmed`. Call it after [`Session::apply`].
    pub fn told(&self, events: &[Event]) -> String {
        let parts = || events.iter().flat_map(|event| event.decision.parts());
        let along: Vec<&str> = parts()
            .filter_map(|decision| match decision {
                Decision::Likewise { item, .. } => Some(&**item),
                _ => None,
            })
            .collect();
        if !along.is_empty() {
            return self.told_along(events, &along);
        }
        let decisions: Vec<&Decision> = parts()
            // What follows from an edit shows on the card.
            .filter(|decision| !matches!(decision, Decision::Follow { .. }))
            .collect();
        let count = decisions.len();
        match &decisions[..] {
            [] => String::new(),
            [decision] => self.told_one(decision),
            [
                Decision::Accept {
                    above: Some(above), ..
                },
                ..,
            ] => {
                format!("{count} items confirmed with a confidence of {above} or more")
            }
            [edit @ Decision::Edit { .. }, Decision::Accept { .. }] => {
                format!("{}; confirmed", self.told_one(edit))
            }
            [
                Decision::Edit {
                    field: Field::Place,
                    to,
                    ..
                },
                ..,
            ] => {
                format!("{count} items are in {to} now")
            }
            [Decision::Copy { of, .. }, ..] => {
                let copies = decisions.iter().flat_map(|decision| decision.new_items());
                let copies: Vec<String> = copies
                    .map(|copy| format!("{} in {}", copy.number, copy.place))
                    .collect();
                format!("{} copied: {}", self.named(of), copies.join(", "))
            }
            [first, ..] => format!("{} and {} more", self.told_one(first), count - 1),
        }
    }

    /// What was done to the item that was corrected, then which others were changed `along` with it.
    fn told_along(&self, events: &[Event], along: &[&str]) -> String {
        let own = |decision: &&Decision| decision.item().is_none_or(|id| !along.contains(&id));
        let of_event = |event: &Event| {
            let decisions = event.decision.parts().iter().filter(own).cloned().collect();
            let decision = Decision::Together { decisions };
            Event {
                decision,
                ..event.clone()
            }
        };
        let own: Vec<Event> = events.iter().map(of_event).collect();
        let numbers = along.iter().filter_map(|id| self.number_of(id));
        let numbers: Vec<String> = numbers.map(|number| number.to_string()).collect();
        let others = match &numbers[..] {
            [one] => format!("item {one}"),
            [most @ .., last] => format!("items {} and {last}", most.join(", ")),
            [] => "others".to_owned(),
        };
        format!("{}; likewise in {others}", self.told(&own))
    }

    fn told_one(&self, decision: &Decision) -> String {
        let item = decision.item().map_or(String::new(), |id| self.named(id));
        match decision {
            Decision::Proposed { items, .. } => format!("{items} items proposed"),
            Decision::Accept { .. } => format!("{item} confirmed"),
            Decision::Edit { field, to, .. } if to.is_empty() => format!("{item}: no {field} now"),
            Decision::Edit { field, to, .. } => format!("{item}: the {field} is now {to}"),
            Decision::Follow { .. } | Decision::Likewise { .. } | Decision::Together { .. } => {
                format!("{item} changed")
            }
            Decision::Teach { lesson, .. } => format!(
                "for callover learn: {}",
                teaching(lesson).map_or(String::new(), |one| one.in_words())
            ),
            Decision::Reject { reason, .. } if reason.is_empty() => format!("{item} rejected"),
            Decision::Reject { reason, .. } => format!("{item} rejected: {reason}"),
            Decision::Restore { .. } => format!("{item} is undecided again"),
            Decision::Visited(visited) => format!("{} findings heard", visited.findings.len()),
            Decision::Found(found) => format!("{item}: {}", standing_words(found.seen.standing)),
            Decision::Unfound(_) => format!("{item} stands as before"),
            Decision::Detail(detail) => format!("the {} changed", detail.key),
            Decision::Add { item: new } | Decision::Promote { item: new, .. } => match new.status {
                Status::Confirmed => format!("{item} added and confirmed"),
                _ => format!("{item} added: look at it"),
            },
            Decision::Copy { of, item: copy } => {
                format!(
                    "{} copied: {} in {}",
                    self.named(of),
                    copy.number,
                    copy.place
                )
            }
            Decision::Split { second, .. } => {
                format!("{item} split: the rest is item {} now", second.number)
            }
            Decision::Merge { other, .. } => format!("{} merged into {item}", self.named(other)),
            Decision::Renumber { numbers } => match &numbers[..] {
                [(_, number)] | [(_, number), _] => format!("the item is number {number} now"),
                _ => format!("{} items numbered from 1", numbers.len()),
            },
            Decision::AttachPhoto { photo, .. } => format!("{item} has the photo {photo}"),
            Decision::DetachPhoto { photo, .. } => format!("{item}: not the photo {photo}"),
            Decision::Undo { events } => format!("undone: {}", self.told(&self.events_of(events))),
            Decision::Redo { events } => format!("redone: {}", self.told(&self.events_of(events))),
        }
    }

    /// `item 12`; `an item` where there is none by that id.
    fn named(&self, id: &str) -> String {
        let number = self.number_of(id);
        number.map_or("an item".into(), |number| format!("item {number}"))
    }

    /// The number of an item by id, also of one whose adding was undone.
    fn number_of(&self, id: &str) -> Option<u32> {
        let added = self
            .events()
            .iter()
            .flat_map(|event| event.decision.new_items());
        self.items()
            .iter()
            .chain(added)
            .find(|item| item.id == id)
            .map(|item| item.number)
    }
}
