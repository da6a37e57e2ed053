//! The confirm pass as a pure state machine: where the inspector is, what may be decided, and what
//! the list is after it.
//!
//! Deciding has two halves, so that nothing is shown before it is kept: [`Session::decide`] says
//! which decisions a change amounts to without touching the session; the face keeps them
//! ([`crate::job::Job::append`]) and hands the kept events to [`Session::apply`].

use super::change::{Move, Refusal};
use crate::items::{Item, Status};
use crate::job::{DecidedList, Decision, Event, replay};
use std::fmt;

/// Writes an item's one plain sentence from its facts.
pub type Describe = fn(&Item) -> String;

/// A confirm pass over one list.
#[derive(Debug, Clone)]
pub struct Session {
    proposed: Vec<Item>,
    pub(super) events: Vec<Event>,
    pub(super) list: DecidedList,
    /// Number of the item shown; `None` only while the list is empty.
    at: Option<u32>,
    describe: Describe,
}

/// How far the pass is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Progress {
    /// All items, rejected ones too.
    pub total: usize,
    /// Accepted.
    pub confirmed: usize,
    /// Struck out.
    pub rejected: usize,
}

impl Progress {
    /// Returns how many items are undecided.
    pub fn to_go(&self) -> usize {
        self.total - self.confirmed - self.rejected
    }
}

/// Shows `62 of 180 confirmed, 3 rejected, 115 to go`.
impl fmt::Display for Progress {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} of {} confirmed", self.confirmed, self.total)?;
        if self.rejected > 0 {
            write!(f, ", {} rejected", self.rejected)?;
        }
        write!(f, ", {} to go", self.to_go())
    }
}

impl Session {
    /// Starts or resumes a pass: the proposal's items, all events so far, and what writes
    /// sentences. The first undecided item is shown; the first item where none is undecided.
    pub fn new(proposed: Vec<Item>, events: Vec<Event>, describe: Describe) -> Session {
        let list = replay(&proposed, &events);
        let mut session = Session {
            proposed,
            events,
            list,
            at: None,
            describe,
        };
        session.at = session
            .undecided_from(0)
            .or_else(|| session.items().first().map(|i| i.number));
        session
    }

    /// Returns all items as they stand.
    pub fn items(&self) -> &[Item] {
        &self.list.items
    }

    /// Returns the whole list as it stands, with reasons and edited fields.
    pub fn list(&self) -> &DecidedList {
        &self.list
    }

    /// Returns the item shown; `None` for an empty list.
    pub fn current(&self) -> Option<&Item> {
        self.list.numbered(self.at?)
    }

    /// Returns the id of the last event known, 0 for none.
    pub fn last_event(&self) -> i64 {
        self.events.last().map_or(0, |event| event.id)
    }

    /// Returns the events known, oldest first.
    pub fn events(&self) -> &[Event] {
        &self.events
    }

    /// Returns the list as it stood after the event with this id.
    pub fn list_at(&self, event: i64) -> DecidedList {
        let known = self.events.partition_point(|other| other.id <= event);
        replay(&self.proposed, &self.events[..known])
    }

    /// Returns what writes sentences.
    pub fn describer(&self) -> Describe {
        self.describe
    }

    /// Returns how far the pass is.
    pub fn progress(&self) -> Progress {
        let count = |status| {
            self.items()
                .iter()
                .filter(|item| item.status == status)
                .count()
        };
        Progress {
            total: self.items().len(),
            confirmed: count(Status::Confirmed),
            rejected: count(Status::Rejected),
        }
    }

    /// Takes in events that have been kept, in order, and moves on: after accepting or rejecting
    /// the item shown to the next undecided one, otherwise to the item that changed.
    pub fn apply(&mut self, events: Vec<Event>) {
        let Some(last) = events.last().map(|event| event.decision.clone()) else {
            return;
        };
        let place_before = self.place();
        self.events.extend(events);
        self.list = replay(&self.proposed, &self.events);
        match &last {
            Decision::Accept { .. } | Decision::Reject { .. } => {
                let decided = self
                    .current()
                    .is_some_and(|item| item.status != Status::Proposed);
                if decided && let Some(next) = self.undecided_from(place_before + 1) {
                    self.at = Some(next);
                }
            }
            _ => {
                if let Some(number) = self.subjects(&last).first().copied() {
                    self.at = Some(number);
                }
            }
        }
        if self.current().is_none() {
            // The item shown was added by hand, and that was undone.
            let place = place_before.min(self.items().len().saturating_sub(1));
            self.at = self.items().get(place).map(|item| item.number);
        }
    }

    /// Shows another item. No event: moving decides nothing.
    ///
    /// # Errors
    /// [`Refusal`] where there is no such item; the same item stays shown.
    pub fn go(&mut self, to: Move) -> Result<(), Refusal> {
        let last = self.items().len().checked_sub(1).ok_or(Refusal::NoItems)?;
        let place = self.place();
        let number_at = |place: usize| self.items()[place].number;
        self.at = Some(match to {
            Move::Next if place == last => return Err(Refusal::LastItem),
            Move::Previous if place == 0 => return Err(Refusal::FirstItem),
            Move::Next => number_at(place + 1),
            Move::Previous => number_at(place - 1),
            Move::First => number_at(0),
            Move::Last => number_at(last),
            Move::Undecided => match self.undecided_from(place + 1) {
                Some(number) if Some(number) == self.at => return Err(Refusal::OnlyOneLeft),
                Some(number) => number,
                None => return Err(Refusal::AllDecided),
            },
            Move::Number(number) => self.existing(number)?.number,
        });
        Ok(())
    }

    /// The events with these ids.
    pub(super) fn events_of(&self, ids: &[i64]) -> Vec<Event> {
        self.events
            .iter()
            .filter(|event| ids.contains(&event.id))
            .cloned()
            .collect()
    }

    /// Numbers of the items that a decision is about, looking through undo and redo.
    fn subjects(&self, decision: &Decision) -> Vec<u32> {
        match decision {
            Decision::Undo { events } | Decision::Redo { events } => {
                let inner = self.events_of(events);
                inner
                    .iter()
                    .flat_map(|event| self.subjects(&event.decision))
                    .collect()
            }
            _ => decision
                .item()
                .and_then(|id| self.items().iter().find(|item| item.id == id))
                .map(|item| item.number)
                .into_iter()
                .collect(),
        }
    }

    fn place(&self) -> usize {
        self.items()
            .iter()
            .position(|item| Some(item.number) == self.at)
            .unwrap_or(0)
    }

    /// The first undecided item at `place` or after it, going round.
    fn undecided_from(&self, place: usize) -> Option<u32> {
        let items = self.items();
        let (before, after) = items.split_at(place.min(items.len()));
        let undecided = |item: &&Item| item.status == Status::Proposed;
        after
            .iter()
            .chain(before)
            .find(undecided)
            .map(|item| item.number)
    }

    /// The item with this number.
    pub(super) fn existing(&self, number: u32) -> Result<&Item, Refusal> {
        self.list.numbered(number).ok_or_else(|| {
            let numbers = || self.items().iter().map(|item| item.number);
            match (numbers().min(), numbers().max()) {
                (Some(lowest), Some(highest)) => Refusal::NoSuchNumber {
                    number,
                    lowest,
                    highest,
                },
                _ => Refusal::NoItems,
            }
        })
    }
}
