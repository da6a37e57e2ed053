//! The confirm pass as a pure state machine: where the inspector is, what may be decided, and what
//! the list is after it.
//!
//! Deciding has two halves, so that nothing is shown before it is kept: [`Session::decide`] says
//! which decisions a change amounts to without touching the session; the face keeps them
//! ([`crate::job::Job::append`]) and hands the kept events to [`Session::apply`].

use super::change::{Change, Move, NewItem, Refusal};
use crate::items::{Evidence, Item, Severity, Status};
use crate::job::{DecidedList, Decision, Event, Field, replay};
use sha2::{Digest, Sha256};
use std::fmt;

/// Writes an item's one plain sentence from its facts.
pub type Describe = fn(&Item) -> String;

/// A confirm pass over one list.
#[derive(Debug, Clone)]
pub struct Session {
    proposed: Vec<Item>,
    events: Vec<Event>,
    list: DecidedList,
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

    /// Returns the decisions that `change` amounts to. They are not applied.
    ///
    /// # Errors
    /// [`Refusal`] where the change makes no sense for the list as it stands.
    pub fn decide(&self, change: &Change) -> Result<Vec<Decision>, Refusal> {
        match change {
            Change::Accept { number } => {
                let item = self.existing(*number)?;
                if item.status == Status::Confirmed {
                    return Err(Refusal::AlreadyConfirmed(*number));
                }
                Ok(vec![Decision::Accept {
                    item: item.id.clone(),
                    above: None,
                }])
            }
            Change::AcceptAbove { confidence } => self.accept_above(*confidence),
            Change::Reject { number, reason } => {
                let item = self.existing(*number)?;
                if item.status == Status::Rejected {
                    return Err(Refusal::AlreadyRejected(*number));
                }
                let reason = reason.split_whitespace().collect::<Vec<_>>().join(" ");
                Ok(vec![Decision::Reject {
                    item: item.id.clone(),
                    reason,
                }])
            }
            Change::Restore { number } => {
                let item = self.existing(*number)?;
                if item.status == Status::Proposed {
                    return Err(Refusal::NotDecided(*number));
                }
                Ok(vec![Decision::Restore {
                    item: item.id.clone(),
                }])
            }
            Change::Edit {
                number,
                field,
                text,
            } => self.edit(*number, *field, text),
            Change::Add(new) => self.add(new),
            Change::Undo => match self.list.undoable.last() {
                Some(step) => Ok(vec![Decision::Undo {
                    events: step.clone(),
                }]),
                None => Err(Refusal::NothingToUndo),
            },
            Change::Redo => match self.list.redoable.last() {
                Some(step) => Ok(vec![Decision::Redo {
                    events: step.clone(),
                }]),
                None => Err(Refusal::NothingToRedo),
            },
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
            Decision::Undo { events } => format!("undone: {}", self.told(&self.events_of(events))),
            Decision::Redo { events } => format!("redone: {}", self.told(&self.events_of(events))),
        }
    }

    fn events_of(&self, ids: &[i64]) -> Vec<Event> {
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

    fn existing(&self, number: u32) -> Result<&Item, Refusal> {
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

    fn accept_above(&self, confidence: f64) -> Result<Vec<Decision>, Refusal> {
        if !(0.0..=1.0).contains(&confidence) {
            return Err(Refusal::NotAConfidence(confidence));
        }
        let sure = |item: &&Item| item.status == Status::Proposed && item.confidence >= confidence;
        let decisions: Vec<Decision> = self
            .items()
            .iter()
            .filter(sure)
            .map(|item| Decision::Accept {
                item: item.id.clone(),
                above: Some(confidence),
            })
            .collect();
        if decisions.is_empty() {
            Err(Refusal::NoneAbove(confidence))
        } else {
            Ok(decisions)
        }
    }

    fn edit(&self, number: u32, field: Field, text: &str) -> Result<Vec<Decision>, Refusal> {
        let item = self.existing(number)?;
        if item.status == Status::Rejected {
            return Err(Refusal::EditOfRejected(number));
        }
        let mut after = item.clone();
        field.write(&mut after, text)?;
        let (from, to) = (field.read(item), field.read(&after));
        if from == to {
            return Err(Refusal::Unchanged { number, field });
        }
        // The inspector's own sentence is never overwritten.
        let own_words = self
            .list
            .edited
            .contains(&(item.id.clone(), Field::Description));
        let remade = (field.shapes_description() && !own_words).then(|| (self.describe)(&after));
        let description = remade.filter(|remade| *remade != item.description);
        Ok(vec![Decision::Edit {
            item: item.id.clone(),
            field,
            from,
            to,
            description,
        }])
    }

    /// An item written by hand is the inspector's own, so it is confirmed from the start. Its
    /// severity is `repair` until they say otherwise: neither alarming nor playing down.
    fn add(&self, new: &NewItem) -> Result<Vec<Decision>, Refusal> {
        let number = self.list.highest + 1;
        let mut item = Item {
            number,
            id: id_by_hand(number),
            place: String::new(),
            position: None,
            element: String::new(),
            defect: String::new(),
            description: String::new(),
            count: 1,
            measurements: Vec::new(),
            limits: Vec::new(),
            remedy: None,
            remedy_source: None,
            trade: None,
            severity: Severity::Repair,
            caution: None,
            remarks: Vec::new(),
            hedged: false,
            photo_wanted: false,
            evidence: Evidence {
                recording: self.current().map_or(1, |item| item.evidence.recording),
                span: None,
                quote: String::new(),
                words: None,
                terms: Vec::new(),
                reasons: vec!["added by hand".into()],
            },
            confidence: 1.0,
            status: Status::Confirmed,
            photos: Vec::new(),
        };
        Field::Place.write(&mut item, &new.place)?;
        Field::Element.write(&mut item, &new.element)?;
        Field::Defect.write(&mut item, &new.defect)?;
        item.description = (self.describe)(&item);
        Ok(vec![Decision::Add {
            item: Box::new(item),
        }])
    }
}

/// Returns the identity of an item added by hand: numbers are never given twice within a job, so
/// it follows from the number. 16 hexadecimal digits, like every item's.
fn id_by_hand(number: u32) -> String {
    let digest = Sha256::digest(format!("added by hand: {number}"));
    digest
        .iter()
        .take(8)
        .map(|byte| format!("{byte:02x}"))
        .collect()
}
