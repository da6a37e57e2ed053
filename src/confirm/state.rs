//! The confirm pass as a pure state machine: where the inspector is, what may be decided, and what
//! the list is after it.
//!
//! Deciding has two halves, so that nothing is shown before it is kept: [`Session::decide`] says
//! which decisions a change amounts to without touching the session; the face keeps them
//! ([`crate::job::Job::append`]) and hands the kept events to [`Session::apply`].

use super::around::Around;
use super::change::{Move, Refusal};
use super::filter::Filter;
use crate::items::{Item, Status, Unplaced};
use crate::job::{DecidedList, Decision, Event, Replayed};
use crate::limits;
use std::collections::BTreeSet;
use std::fmt;
use std::sync::Arc;

/// Writes an item's one plain sentence from its facts.
pub type Describe = fn(&Item) -> String;

/// A confirm pass over one list.
#[derive(Debug, Clone)]
pub struct Session {
    replayed: Replayed,
    /// Id of the item shown; `None` only while the list is empty.
    at: Option<String>,
    describe: Describe,
    pub(super) around: Arc<Around>,
    /// Where each unplaced statement stands in the words, as [`Around::placed`] gives it.
    pub(super) placed: Arc<Vec<Option<(usize, usize)>>>,
    filter: Filter,
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
    /// Findings of later visits that are undecided.
    pub findings: usize,
}

impl Progress {
    /// Returns how many items are undecided.
    pub fn to_go(&self) -> usize {
        self.total - self.confirmed - self.rejected
    }

    /// Returns how many decisions wait: undecided items, and findings of later visits.
    pub fn waiting(&self) -> usize {
        self.to_go() + self.findings
    }
}

/// Shows `62 of 180 confirmed, 3 rejected, 115 to go`.
impl fmt::Display for Progress {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} of {} confirmed", self.confirmed, self.total)?;
        if self.rejected > 0 {
            write!(f, ", {} rejected", self.rejected)?;
        }
        write!(f, ", {} to go", self.to_go())?;
        match self.findings {
            0 => Ok(()),
            1 => f.write_str(", 1 finding to go"),
            findings => write!(f, ", {findings} findings to go"),
        }
    }
}

impl Session {
    /// Starts or resumes a pass: the proposal's items, all events so far, and what writes
    /// sentences. The first undecided item is shown; the first item where none is undecided.
    pub fn new(proposed: Vec<Item>, events: Vec<Event>, describe: Describe) -> Session {
        let mut session = Session {
            replayed: Replayed::new(proposed, events),
            at: None,
            describe,
            around: Arc::default(),
            placed: Arc::default(),
            filter: Filter::default(),
        };
        let first = session.items().first().map(|item| item.id.clone());
        session.at = session.undecided_after(None).or(first);
        session
    }

    /// Returns the session with what it may draw on beside the list.
    #[must_use]
    pub fn with(mut self, around: Arc<Around>) -> Session {
        self.placed = Arc::new(around.placed());
        self.around = around;
        self.measure(None);
        self
    }

    /// Returns what the session may draw on beside the list.
    pub fn around(&self) -> &Arc<Around> {
        &self.around
    }

    /// Returns the statements that made no item and were not made one since, each with its
    /// position among all of them.
    pub fn unplaced(&self) -> impl Iterator<Item = (usize, &Unplaced)> {
        let all = self.around.unplaced.iter().enumerate();
        all.filter(|(_, statement)| !self.list().promoted.contains(statement))
    }

    /// Returns all items as they stand.
    pub fn items(&self) -> &[Item] {
        &self.list().items
    }

    /// Returns the whole list as it stands, with reasons and edited fields.
    pub fn list(&self) -> &DecidedList {
        self.replayed.list()
    }

    /// Returns the item shown; `None` for an empty list.
    pub fn current(&self) -> Option<&Item> {
        let id = self.at.as_ref()?;
        self.items().iter().find(|item| item.id == *id)
    }

    /// Returns which items are shown.
    pub fn filter(&self) -> &Filter {
        &self.filter
    }

    /// Returns the items shown, in the order in which they are.
    pub fn shown(&self) -> Vec<&Item> {
        let places = self.filter.apply(self.items());
        places
            .into_iter()
            .map(|place| &self.items()[place])
            .collect()
    }

    /// Shows other items. Where the item shown is not among them, the first undecided one of them
    /// is shown, or else the first.
    ///
    /// # Errors
    /// [`Refusal::NoneShown`] where there would be none; everything then stays as it is.
    pub fn show(&mut self, filter: Filter) -> Result<(), Refusal> {
        let before = std::mem::replace(&mut self.filter, filter);
        let shown = self.shown();
        if shown.is_empty() && !self.items().is_empty() {
            let words = self.filter.words();
            self.filter = before;
            return Err(Refusal::NoneShown(words));
        }
        if !shown.iter().any(|item| Some(&item.id) == self.at.as_ref()) {
            let first = shown.first().map(|item| item.id.clone());
            self.at = self.undecided_after(None).or(first);
        }
        Ok(())
    }

    /// Returns the id of the last event known, 0 for none.
    pub fn last_event(&self) -> i64 {
        self.events().last().map_or(0, |event| event.id)
    }

    /// Returns the events known, oldest first.
    pub fn events(&self) -> &[Event] {
        self.replayed.events()
    }

    /// Returns the list as it stood after the event with this id.
    pub fn list_at(&self, event: i64) -> DecidedList {
        self.replayed.list_at(event)
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
            findings: self.findings_to_go(),
        }
    }

    /// Takes in events that have been kept, in order, and moves on: after accepting or rejecting
    /// the item shown to the next undecided one, otherwise to the item that changed.
    pub fn apply(&mut self, events: Vec<Event>) {
        let Some(last) = events.last().map(|event| event.decision.clone()) else {
            return;
        };
        let order: Vec<String> = self.shown().iter().map(|item| item.id.clone()).collect();
        let before = self.at.clone();
        let changed = ids_changed(&events);
        self.replayed.take_in(events);
        self.measure(changed.as_ref());
        match last.parts().last() {
            Some(
                Decision::Accept { .. }
                | Decision::Reject { .. }
                | Decision::Found(_)
                | Decision::Unfound(_),
            ) => {
                let decided = self.current().is_some_and(|item| !self.is_undecided(item));
                if decided && let Some(next) = self.undecided_along(&order, before.as_deref()) {
                    self.at = Some(next);
                }
            }
            // The inspector goes on where they were: copies are as they have just seen them, other
            // numbers change nothing else, and of items moved along none is the next to look at.
            Some(
                Decision::Copy { .. }
                | Decision::Renumber { .. }
                | Decision::Edit { .. }
                | Decision::Follow { .. }
                | Decision::Likewise { .. }
                | Decision::Teach { .. },
            ) => {}
            _ => {
                if let Some(id) = self.subject(&last) {
                    self.at = Some(id);
                }
            }
        }
        if self.current().is_none() {
            // The item shown was added by hand, and that was undone.
            let place = order.iter().position(|id| Some(id) == before.as_ref());
            let items = self.items();
            let place = place.unwrap_or(0).min(items.len().saturating_sub(1));
            self.at = items.get(place).map(|item| item.id.clone());
        }
    }

    /// Shows another item, of those that the filter lets through. No event: moving decides
    /// nothing. By number every item can be reached.
    ///
    /// # Errors
    /// [`Refusal`] where there is no such item; the same item stays shown.
    pub fn go(&mut self, to: Move) -> Result<(), Refusal> {
        if self.items().is_empty() {
            return Err(Refusal::NoItems);
        }
        let order: Vec<String> = self.shown().iter().map(|item| item.id.clone()).collect();
        let place = order.iter().position(|id| Some(id) == self.at.as_ref());
        let beside = |place: Option<usize>| place.and_then(|place| order.get(place)).cloned();
        self.at = Some(match to {
            Move::Next => beside(place.map_or(Some(0), |place| place.checked_add(1)))
                .ok_or(Refusal::LastItem)?,
            Move::Previous => {
                beside(place.and_then(|place| place.checked_sub(1))).ok_or(Refusal::FirstItem)?
            }
            Move::First => beside(Some(0)).ok_or(Refusal::NoItems)?,
            Move::Last => beside(order.len().checked_sub(1)).ok_or(Refusal::NoItems)?,
            Move::Undecided => match self.undecided_after(self.at.as_deref()) {
                Some(id) if Some(&id) == self.at.as_ref() => return Err(Refusal::OnlyOneLeft),
                Some(id) => id,
                None if self.progress().waiting() > 0 => return Err(Refusal::NoneLeftShown),
                None => return Err(Refusal::AllDecided),
            },
            Move::Number(number) => self.existing(number)?.id.clone(),
        });
        Ok(())
    }

    /// Holds measurements against published limits where an edit left that open: of these items,
    /// or of all that were decided on.
    fn measure(&mut self, changed: Option<&BTreeSet<String>>) {
        let Some(yardstick) = &self.around.yardstick else {
            return;
        };
        let changed = changed.unwrap_or(&self.replayed.list().touched).clone();
        let items = self.replayed.items_mut().iter_mut();
        for item in items.filter(|item| item.limits.is_empty() && changed.contains(&item.id)) {
            item.limits = limits::check(item, yardstick);
        }
    }

    /// The events with these ids.
    pub(super) fn events_of(&self, ids: &[i64]) -> Vec<Event> {
        self.events()
            .iter()
            .filter(|event| ids.contains(&event.id))
            .cloned()
            .collect()
    }

    /// Id of the first item that a decision is about and that is there, looking through undo and
    /// redo.
    fn subject(&self, decision: &Decision) -> Option<String> {
        match decision {
            Decision::Undo { events } | Decision::Redo { events } => {
                let inner = self.events_of(events);
                inner.iter().find_map(|event| self.subject(&event.decision))
            }
            _ => {
                let parts = decision.parts().iter().filter_map(Decision::item);
                let mut there = parts.filter(|id| self.items().iter().any(|item| item.id == *id));
                there.next().map(str::to_string)
            }
        }
    }

    /// Id of the next undecided item shown after this one, going round; the first without one.
    fn undecided_after(&self, id: Option<&str>) -> Option<String> {
        let order: Vec<String> = self.shown().iter().map(|item| item.id.clone()).collect();
        self.undecided_along(&order, id)
    }

    /// The same along an order of ids, in which decided items may still be.
    fn undecided_along(&self, order: &[String], after: Option<&str>) -> Option<String> {
        let place = order.iter().position(|id| Some(&**id) == after);
        let (before, rest) = order.split_at(place.map_or(0, |place| place + 1));
        let undecided: BTreeSet<&str> = self
            .items()
            .iter()
            .filter(|item| self.is_undecided(item))
            .map(|item| &*item.id)
            .collect();
        let mut round = rest.iter().chain(before);
        round.find(|id| undecided.contains(&***id)).cloned()
    }

    /// True for an item that waits for a decision, on itself or on what a later visit found.
    fn is_undecided(&self, item: &Item) -> bool {
        item.status == Status::Proposed || self.has_finding(item)
    }

    /// The item with this number.
    pub(super) fn existing(&self, number: u32) -> Result<&Item, Refusal> {
        self.list().numbered(number).ok_or_else(|| {
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

/// Returns the ids of all items that the events may have changed; `None` where it may be any.
pub fn ids_changed(events: &[Event]) -> Option<BTreeSet<String>> {
    let each = events.iter().map(|event| event.decision.changes());
    let all: Option<Vec<Vec<&str>>> = each.collect();
    Some(all?.concat().into_iter().map(str::to_string).collect())
}
